"""Lines that are like text by their shapes, and by their place or size are none."""

from dataclasses import replace

import numpy as np
import pytest

from checks.builders import text_line
from standback.elements import Box, Detail, Line
from standback.find import find_lines
from standback.find.bands import Band
from standback.find.lines import Candidate, candidates_of, suppressed
from standback.find.unlikely import is_across, is_dot, is_giant, outside_codes
from synth import Sheet, sans_bold
from synth.colours import Srgb8

NAVY: Srgb8 = (20, 30, 90)
CREAM: Srgb8 = (250, 240, 220)
SHEET = Box(x0=0, y0=0, x1=1000, y1=1400)


def level(x: int, y: int, width: int, height: int, confidence: float = 0.99) -> Line:
    return replace(text_line(at=(x, y), size_px=(width, height)), confidence=confidence)


def upright(x: int, y: int, width: int, height: int, confidence: float) -> Line:
    return replace(level(x, y, width, height, confidence), angle_deg=90.0)


def alone(text: str, cap_mm: float = 6.0) -> Candidate:
    """Measure what stands alone on a sheet."""
    sheet = Sheet(60, 40, 100, CREAM)
    if text == "disc":
        sheet.fill((0, 0, 60, 40), NAVY, lambda pen: pen.disc((30, 20), cap_mm / 2))
    else:
        sheet.text(text, sans_bold(), NAVY, (30, 20 + cap_mm / 2), cap_mm=cap_mm, align="centre")
    px = sheet.px_per_mm
    band = Band(x0=(30 - cap_mm / 2) * px, x1=(30 + cap_mm / 2) * px, middle_y=20 * px, body_px=cap_mm * px)
    (found,) = candidates_of(sheet.finish().artwork(), band)
    return replace(found, line=replace(found.line, confidence=0.99))


@pytest.mark.parametrize("text", [*"A8aBM17gO", "NO", "8 pm"])
def test_single_letters_and_short_words_are_lines(text: str) -> None:
    found = alone(text)
    assert not is_dot(found.traits)
    assert len(suppressed([found])) == 1


@pytest.mark.parametrize("cap_mm", [1.5, 6.0])
def test_a_dot_is_no_line(cap_mm: float) -> None:
    found = alone("disc", cap_mm)
    assert is_dot(found.traits)
    assert suppressed([found]) == ()
    assert not is_dot(replace(found.traits, widest=0.3))  # as solid, an I


def test_letters_of_a_few_pixels_have_to_be_surely_text() -> None:
    specks = alone("NO")
    tiny = replace(specks, line=replace(specks.line, letter_px=4.9, confidence=0.79))
    assert suppressed([tiny]) == ()
    for line in (replace(tiny.line, confidence=0.8), replace(tiny.line, letter_px=5.0)):
        assert suppressed([replace(tiny, line=line)]) == (line,)


def test_giant_letters_have_to_be_surely_text() -> None:
    giant = replace(text_line(cap_px=550), confidence=0.9)
    assert is_giant(giant, SHEET)
    assert not is_giant(replace(giant, confidence=0.98), SHEET)
    assert not is_giant(replace(giant, letter_px=490.0), SHEET)


def test_what_is_strung_together_across_lines_is_none() -> None:
    words = [level(100, 100 + 60 * n, 600, 50) for n in range(3)]
    strung = upright(200, 90, 120, 800, confidence=0.93)
    assert is_across(strung, words)
    # beside them, or hardly touching them, it is a line
    assert not is_across(upright(720, 90, 120, 800, confidence=0.93), words)
    assert not is_across(upright(690, 90, 120, 800, confidence=0.93), words)


def test_a_line_on_two_others_is_none_and_tight_lines_are_three() -> None:
    words = [level(100, 100, 600, 50), level(100, 160, 600, 50)]
    assert is_across(level(100, 115, 600, 85, confidence=0.8), words)
    assert not is_across(level(100, 140, 600, 60, confidence=0.8), [level(100, 90, 600, 60), level(100, 190, 600, 60)])
    assert not is_across(level(100, 120, 600, 85), words[:1])  # one line's rival is weighed elsewhere


def test_leaning_lines_are_not_told_by_their_boxes() -> None:
    words = [level(100, 100, 600, 50), level(100, 160, 600, 50)]
    assert not is_across(replace(level(100, 100, 600, 110), angle_deg=10.0), words)


def code(kind: str = "code") -> Detail:
    return Detail(
        box_px=Box(x0=500, y0=500, x1=700, y1=700),
        kind=kind,
        mask=np.ones((2, 2), dtype=np.bool_),
        ink_srgb8=(0, 0, 0),
        ground_srgb8=(255, 255, 255),
        ratio=21.0,
        feature_mm=1.0,
        pitch_mm=None,
        count=1,
        area_mm2=1.0,
    )


def test_rows_of_a_code_are_no_lines() -> None:
    row, caption = level(520, 600, 160, 20), level(500, 705, 200, 20)
    assert outside_codes([row, caption], [code()]) == (1,)
    assert outside_codes([row, caption], [code("texture")]) == (0, 1)
    assert outside_codes([replace(row, wording="B5")], [code()]) == (0,)  # live text is text


def test_a_large_letter_alone_is_a_line_and_a_large_disc_is_none() -> None:
    sheet = Sheet(210.0, 297.0, 100.0)
    sheet.text("K", sans_bold(), (20, 40, 90), (60.0, 110.0), cap_mm=60.0)
    sheet.fill((60, 170, 140, 250), (20, 40, 90), lambda pen: pen.disc((100.0, 210.0), 40.0))
    poster = sheet.finish()
    (found,) = find_lines(poster.artwork())
    assert found.box_px.y1 < 115 / 25.4 * 100
    assert found.letter_px == pytest.approx(poster.lines[0].letter_px, rel=0.02)
