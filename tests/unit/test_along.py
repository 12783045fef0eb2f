"""Contrast along a line, window by window."""

from math import inf

import numpy as np
import pytest

from standback.artwork import Artwork, from_srgb8
from standback.elements import Box, Line
from standback.find import find_lines
from standback.measure.along import ratio_worst, window_ratios
from synth import Sheet, sans, sans_bold, serif
from synth.colours import Srgb8, ratio

WHITE: Srgb8 = (255, 255, 255)


def bars(ground: np.ndarray[tuple[int, int, int], np.dtype[np.uint8]], ink: Srgb8) -> tuple[Artwork, Line]:
    """Bars 4 px wide every 8 px, 20 px high, over a given ground (40, W, 3); a line by construction."""
    picture = ground.copy()
    height, width = 20, ground.shape[1]
    mask = np.zeros((height, width), dtype=np.bool_)
    for x in range(0, width - 4, 8):
        picture[10 : 10 + height, x : x + 4] = ink
        mask[:, x : x + 4] = True
    core = mask.copy()
    line = Line(
        box_px=Box(x0=0, y0=10, x1=width, y1=10 + height),
        mask=mask,
        core=core,
        ink_srgb8=ink,
        ground_srgb8=(255, 255, 255),
        cap_px=20.0,
        x_px=None,
        letter_px=20.0,
        stroke_px=4.0,
    )
    return from_srgb8(picture, size_mm=(100.0, 20.0)), line


def test_an_even_ground_is_as_good_everywhere() -> None:
    ground = np.full((40, 400, 3), 255, dtype=np.uint8)
    artwork, line = bars(ground, (118, 118, 118))
    expected = ratio((118, 118, 118), WHITE)  # 4.5422, WCAG
    assert len(window_ratios(line, artwork)) == len(range(0, 381, 10))
    assert window_ratios(line, artwork) == pytest.approx(expected, rel=1e-3)
    assert ratio_worst(line, artwork) == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize(
    ("ink", "ground", "ppi"),
    [((230, 230, 230), (20, 30, 60), 100.0), ((200, 60, 60), (32, 48, 128), 100.0), ((120, 120, 120), WHITE, 150.0)],
)
@pytest.mark.parametrize(("x_mm", "tracking_em"), [(1.6, -0.03), (5.0, -0.04)])
def test_thin_tight_type_on_an_even_ground_is_as_good_everywhere(
    ink: Srgb8, ground: Srgb8, ppi: float, x_mm: float, tracking_em: float
) -> None:
    sheet = Sheet(210.0, 60.0, ppi, ground)
    for n, face in enumerate((sans(), serif())):
        sheet.text("With songs from the valley", face, ink, (10, 20 + 20 * n), x_mm=x_mm, tracking_em=tracking_em)
    artwork = sheet.finish().artwork()
    lines = find_lines(artwork)
    assert lines
    for line in lines:
        whole = ratio(line.ink_srgb8, line.ground_srgb8)
        assert ratio_worst(line, artwork) == pytest.approx(whole, rel=0.02)


def test_a_ground_that_changes_half_way_shows_its_worse_half() -> None:
    ground = np.full((40, 400, 3), 255, dtype=np.uint8)
    ground[:, 200:] = 150
    artwork, line = bars(ground, (60, 60, 60))
    found = window_ratios(line, artwork)
    assert found.max() == pytest.approx(ratio((60, 60, 60), WHITE), rel=0.01)
    assert ratio_worst(line, artwork) == pytest.approx(ratio((60, 60, 60), (150, 150, 150)), rel=0.01)


def test_one_bad_spot_in_a_long_line_is_not_the_line() -> None:
    ground = np.full((40, 1600, 3), 255, dtype=np.uint8)
    ground[:, 800:840] = 80
    artwork, line = bars(ground, (60, 60, 60))
    expected = ratio((60, 60, 60), WHITE)
    assert ratio_worst(line, artwork) == pytest.approx(expected, rel=0.01)


def test_windows_with_little_ink_say_nothing() -> None:
    ground = np.full((40, 400, 3), 255, dtype=np.uint8)
    artwork, line = bars(ground, (0, 0, 0))
    line.mask[:, 100:300] = False
    line.core[:, 100:300] = False
    assert 0 < len(window_ratios(line, artwork)) < len(range(0, 381, 10))


def test_without_ink_there_is_no_worst_window() -> None:
    artwork, line = bars(np.full((40, 400, 3), 255, dtype=np.uint8), (0, 0, 0))
    line.mask[:] = False
    assert ratio_worst(line, artwork) == inf


def test_given_the_box_type_on_a_gradient_is_worst_at_its_pale_end() -> None:
    sheet = Sheet(210.0, 99.0, 100.0, WHITE)
    sheet.gradient((250, 250, 250), (110, 120, 140), 0.0)
    true = sheet.text("LANTERN WALK TONIGHT", sans_bold(), (90, 90, 110), (10, 60), cap_mm=14.0)
    poster = sheet.finish()
    x0, y0, x1, y1 = (round(v) for v in true.box_px)
    inside = poster.srgb8[y0:y1, x0:x1].astype(float)
    mask = np.abs(inside - np.array((90, 90, 110))).sum(axis=2) < 12
    line = Line(
        box_px=Box(x0=x0, y0=y0, x1=x1, y1=y1),
        mask=mask,
        core=mask,
        ink_srgb8=(90, 90, 110),
        ground_srgb8=(180, 185, 195),
        cap_px=true.cap_px,
        x_px=None,
        letter_px=true.letter_px,
        stroke_px=10.0,
    )
    ratios = window_ratios(line, poster.artwork())
    assert ratios[0] > 4
    assert ratios[-1] < 2.2
    assert ratio_worst(line, poster.artwork()) < 2.4
