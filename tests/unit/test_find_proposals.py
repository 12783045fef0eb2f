"""The proposing half: strokes stand off, marks form chains, chains become bands."""

import numpy as np
import pytest

from standback.artwork import from_srgb8
from standback.find.bands import Band, thinned
from standback.find.components import propose
from standback.find.strokes import WIDEST_STROKE, spread, top_hats
from synth import Sheet, sans_bold


def band(x0: float, x1: float, middle_y: float, body_px: float, score: float = 1.0) -> Band:
    return Band(x0=x0, x1=x1, middle_y=middle_y, body_px=body_px, score=score)


def test_spread_is_the_maximum_over_a_square() -> None:
    plane = np.zeros((9, 9), dtype=np.uint8)
    plane[4, 4] = 7
    expected = np.zeros((9, 9), dtype=np.uint8)
    expected[3:6, 3:6] = 7
    assert (spread(plane, 3) == expected).all()


def test_a_stroke_keeps_its_contrast_on_a_gradient() -> None:
    plane = np.repeat(np.arange(60, 120, dtype=np.uint8)[None], 60, axis=0)
    plane[28:31, 10:50] -= 40
    light, dark = top_hats(plane)
    assert dark[29, 20:40].tolist() == [40] * 20
    assert light[29, 20:40].max() == 0


def test_what_is_wider_than_the_square_is_no_stroke() -> None:
    plane = np.full((80, 80), 200, dtype=np.uint8)
    plane[20 : 20 + WIDEST_STROKE, 20 : 20 + WIDEST_STROKE] = 10
    assert next(h for n, h in enumerate(top_hats(plane)) if n == 1).max() == 0


def test_bands_share_area_as_a_part_of_the_smaller() -> None:
    assert band(0, 100, 10, 10).shared(band(50, 150, 10, 10)) == pytest.approx(0.5)
    assert band(0, 100, 10, 10).shared(band(0, 50, 10, 10)) == pytest.approx(1.0)
    assert band(0, 100, 10, 10).shared(band(0, 100, 30, 10)) == 0.0


def test_two_looks_at_one_line_become_one_band() -> None:
    (kept,) = thinned([band(0, 60, 10, 10, 0.9), band(30, 100, 10.5, 11, 0.8)])
    assert (kept.x0, kept.x1, kept.body_px) == (0, 100, 10)


def test_lines_above_each_other_stay_apart() -> None:
    assert len(thinned([band(0, 60, 10, 10), band(0, 60, 30, 10)])) == 2


@pytest.mark.parametrize("dark_on_light", [True, False])
def test_a_line_of_type_is_proposed_where_it_stands(dark_on_light: bool) -> None:
    ink, ground = ((20, 20, 60), (240, 235, 220)) if dark_on_light else ((240, 235, 220), (20, 20, 60))
    sheet = Sheet(240, 120, 100, ground)
    line = sheet.text("HARBOUR LIGHTS", sans_bold(), ink, (60, 65), cap_mm=6)
    best = propose(sheet.finish().artwork())[0]
    assert line.cap_px is not None
    assert best.middle_y == pytest.approx(line.baseline_px - line.cap_px / 2, abs=2)
    assert best.body_px == pytest.approx(line.cap_px, rel=0.15)
    assert best.x0 == pytest.approx(line.box_px[0], abs=3)
    assert best.x1 == pytest.approx(line.box_px[2], abs=3)


def test_type_that_differs_in_hue_alone_is_proposed() -> None:
    sheet = Sheet(120, 40, 100, (0, 150, 120))
    sheet.text("HARBOUR LIGHTS", sans_bold(), (208, 104, 40), (10, 25), cap_mm=6)
    best = propose(sheet.finish().artwork())[0]
    assert best.x1 - best.x0 > 200


def test_a_bare_sheet_and_a_panel_propose_nothing() -> None:
    bare = from_srgb8(np.full((200, 300, 3), 90, dtype=np.uint8), size_mm=(76.2, 50.8))
    assert propose(bare) == ()
    sheet = Sheet(100, 80, 100, (255, 255, 255))
    sheet.panel((10, 10, 90, 70), (10, 60, 120))
    assert propose(sheet.finish().artwork()) == ()
