"""Lines that are easily lost: thin and heavy faces, letters of loose parts, grounds that change, underlines."""

import pytest

from standback.find import find_lines
from standback.measure.along import ratio_worst
from synth import Face, Sheet, draw_poster, measuring_faces, ratio, sans_bold
from synth.colours import Srgb8
from synth.fonts import face

NAVY: Srgb8 = (20, 30, 90)
CREAM: Srgb8 = (250, 240, 220)
DULL: Srgb8 = (120, 125, 150)


@pytest.mark.parametrize(
    ("a_face", "text"),
    [
        (face("font_fjallaone", "FjallaOne-Regular.ttf"), "Paper Moon"),
        (face("font_roboto", "Roboto-Thin.ttf"), "Harbour lights"),
        (face("font_lato", "Lato-Black.ttf"), "HARBOUR"),
        (face("font_source_sans_pro", "SourceSansPro-Black.ttf"), "Harbour lights"),
    ],
)
def test_faces_of_any_weight_are_found(a_face: Face, text: str) -> None:
    sheet = Sheet(200, 60, 100, CREAM)
    true = sheet.text(text, a_face, NAVY, (20, 38), cap_mm=12)
    (line,) = find_lines(sheet.finish().artwork())
    assert line.box_px.as_tuple() == pytest.approx(true.box_px, abs=2)


def test_a_line_across_the_edge_of_a_panel_is_one_line_and_its_worst_part_is_seen() -> None:
    sheet = Sheet(200, 60, 100, CREAM)
    sheet.panel((95, 0, 200, 60), DULL)
    true = sheet.text("Harbour lights and music", sans_bold(), NAVY, (20, 35), cap_mm=8)
    artwork = sheet.finish().artwork()
    (line,) = find_lines(artwork)
    assert line.box_px.as_tuple() == pytest.approx(true.box_px, abs=2)
    assert line.ink_srgb8 == NAVY
    assert ratio_worst(line, artwork) == pytest.approx(ratio(NAVY, DULL), rel=0.1)


def test_a_rule_through_the_descenders_does_not_swallow_the_line() -> None:
    sheet = Sheet(200, 60, 100, CREAM)
    true = sheet.text("Quay, gypsy and jumping piano", sans_bold(), NAVY, (20, 35), cap_mm=6)
    x0, x1 = (v / sheet.px_per_mm for v in (true.box_px[0], true.box_px[2]))
    sheet.panel((x0, 36.2, x1, 36.8), NAVY)
    (line,) = find_lines(sheet.finish().artwork())
    assert line.x_px == pytest.approx(true.x_px, rel=0.06)
    assert line.box_px.x0 == pytest.approx(true.box_px[0], abs=3)
    assert line.box_px.x1 == pytest.approx(true.box_px[2], abs=3)


def test_an_icon_beside_a_line_is_none_of_it() -> None:
    sheet = Sheet(200, 60, 100, CREAM)
    true = sheet.text("FUNCTIONAL", sans_bold(), NAVY, (60, 32), cap_mm=5)
    sheet.frame((46, 26.5, 57, 41), 0.6, NAVY)
    for y_mm in (28.5, 31, 33.5):
        for x_mm in (48, 50, 52, 54):
            sheet.panel((x_mm, y_mm, x_mm + 1.2, y_mm + 1.2), NAVY)
    (line,) = find_lines(sheet.finish().artwork())
    assert line.box_px.as_tuple() == pytest.approx(true.box_px, abs=2)


def test_an_arrow_beyond_a_line_is_none_of_it() -> None:
    sheet = Sheet(200, 60, 100, CREAM)
    true = sheet.text("FUNCTIONAL ANALYSES", sans_bold(), NAVY, (20, 32), cap_mm=5)
    right_mm = true.box_px[2] / sheet.px_per_mm + 4
    for n in range(5):
        sheet.panel((right_mm + n / 2, 23 + 1.6 * n, right_mm + n / 2 + 0.6, 24.1 + 1.6 * n), NAVY)
    (line,) = find_lines(sheet.finish().artwork())
    assert line.box_px.as_tuple() == pytest.approx(true.box_px, abs=2)


def test_bands_measured_ahead_give_the_lines_that_one_after_another_gives(monkeypatch: pytest.MonkeyPatch) -> None:
    artwork = draw_poster(5, "panel", measuring_faces(), size_mm=(210.0, 297.0), ppi=100.0).artwork()
    found = []
    for may in (False, True):
        monkeypatch.setattr("standback.find.text.may_fork", lambda may=may: may)
        found.append([(line.box_px, line.confidence, line.mask.tobytes()) for line in find_lines(artwork)])
    assert found[0] == found[1]
    assert len(found[0]) > 5
