"""Lines that are easily lost: thin and heavy faces, letters of loose parts, grounds that change, underlines."""

import numpy as np
import pytest

from standback.doubts import Doubt
from standback.find import find_lines
from standback.find.glyphs import glyphs_of
from standback.find.heights import two_heights
from standback.find.hollow import without_hollow
from standback.find.split import MOST_COVER, Split, Window
from standback.measure.along import ratio_worst
from synth import Face, Sheet, draw_poster, measuring_faces, ratio, sans, sans_bold, serif
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


def test_of_a_line_of_two_inks_the_paler_is_judged_and_that_is_said() -> None:
    grey: Srgb8 = (120, 120, 120)
    sheet = Sheet(200, 60, 100, CREAM)
    first = sheet.text("Harbour", sans_bold(), NAVY, (20, 35), cap_mm=8)
    second_mm = first.box_px[2] / sheet.px_per_mm + 2.5
    second = sheet.text("lights", sans_bold(), grey, (second_mm, 35), cap_mm=8)
    (line,) = find_lines(sheet.finish().artwork())
    assert line.box_px.x1 == pytest.approx(second.box_px[2], abs=2)
    assert line.ink_srgb8 == grey
    assert Doubt.TWO_INKS in line.doubts


def test_one_accent_in_a_line_is_no_second_ink() -> None:
    sheet = Sheet(200, 60, 100, CREAM)
    first = sheet.text("Harbour lights", sans_bold(), NAVY, (20, 35), cap_mm=8)
    sheet.text("!", sans_bold(), (200, 60, 40), (first.box_px[2] / sheet.px_per_mm + 1, 35), cap_mm=8)
    (line,) = find_lines(sheet.finish().artwork())
    assert line.ink_srgb8 == NAVY
    assert Doubt.TWO_INKS not in line.doubts


@pytest.mark.parametrize("words", [("Harbour", "lights", ""), ("lights", "Harbour", ""), ("Old", "harbour", "lights")])
@pytest.mark.parametrize("pale_ink", [(160, 160, 160), (230, 140, 20)])
def test_a_pale_word_beside_a_dark_one_is_found_as_a_line_of_its_own(words: tuple[str, ...], pale_ink: Srgb8) -> None:
    sheet = Sheet(200, 60, 100, CREAM)
    x_mm, drawn = 20.0, []
    for word, ink in zip(words, (NAVY, pale_ink, NAVY) if words[0] != "lights" else (pale_ink, NAVY), strict=False):
        if word:
            drawn.append((sheet.text(word, sans_bold(), ink, (x_mm, 35), cap_mm=8), ink))
            x_mm = drawn[-1][0].box_px[2] / sheet.px_per_mm + 2.5
    lines = find_lines(sheet.finish().artwork())
    (pale,) = [true for true, ink in drawn if ink == pale_ink]
    (found,) = [line for line in lines if line.ink_srgb8 == pale_ink]
    assert found.box_px.as_tuple() == pytest.approx(pale.box_px, abs=2)
    assert len(lines) == len(drawn)


def test_a_disc_in_a_letters_place_does_not_stand_for_the_ink_of_the_others() -> None:
    sheet = Sheet(200, 60, 100, CREAM)
    first = sheet.text("HARB", serif(), NAVY, (20, 42), cap_mm=14)
    left_mm = first.box_px[2] / sheet.px_per_mm
    sheet.fill((0, 0, 200, 60), (40, 140, 90), lambda pen: pen.disc((left_mm + 8.5, 35), 7))
    sheet.text("UR", serif(), NAVY, (left_mm + 17, 42), cap_mm=14)
    lines = find_lines(sheet.finish().artwork())
    assert {line.ink_srgb8 for line in lines} == {NAVY}


def test_what_is_left_of_letters_in_a_stronger_ink_tells_no_heights() -> None:
    codes = np.full((60, 200, 3), 200, dtype=np.float32)
    for n, left in enumerate(range(40, 160, 20)):
        codes[20:40, left : left + 12] = 100
        if n < 3:
            codes[21:39, left + 1 : left + 11] = 0
    window = Window(codes=codes, scale=1, x0=0, y0=0, middle=30, body=20, left=36, right=156, at_edge=(False, False))
    ground, ink = (np.full(3, code, dtype=np.float32) for code in (200, 100))
    glyphs = glyphs_of(Split.of(window, ground, ink, MOST_COVER))
    assert glyphs is not None
    assert glyphs.x0.tolist() == [40, 60, 80, 100, 120, 140]
    assert without_hollow(glyphs).x0.tolist() == [100, 120, 140]


@pytest.mark.parametrize(("dotted", "small"), [(False, 14.0), (True, None)])
def test_where_dots_stand_above_a_line_nothing_lower_is_its_small_letters(dotted: bool, small: float | None) -> None:
    heights = np.array([20.0] * 10 + [14.0] * 3)
    assert two_heights(heights, 20.0, 20.0, lambda _: dotted) == (small, 20.0)


@pytest.mark.parametrize("inks", [((0, 0, 0), (102, 102, 102)), ((20, 30, 90), (130, 130, 150))])
@pytest.mark.parametrize("a_face", [sans(), sans_bold()])
def test_two_words_in_a_dark_and_a_middling_ink_are_found(inks: tuple[Srgb8, Srgb8], a_face: Face) -> None:
    sheet = Sheet(200, 60, 86, CREAM)
    first = sheet.text("micro", a_face, inks[0], (20, 42), cap_mm=8)
    second = sheet.text("formats", a_face, inks[1], (first.box_px[2] / sheet.px_per_mm + 0.8, 42), cap_mm=8)
    (line,) = find_lines(sheet.finish().artwork())
    assert (line.box_px.x0, line.box_px.x1) == pytest.approx((first.box_px[0], second.box_px[2]), abs=2)
    assert line.ink_srgb8 in inks
    assert line.x_px == pytest.approx(second.x_px, rel=0.04)
