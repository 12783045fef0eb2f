"""Both halves together on small drawn posters, in faces that nothing was tuned on."""

import numpy as np
import pytest

from standback.artwork import from_srgb8
from standback.find import find_lines
from standback.light import contrast_ratio
from synth import GROUNDS, Sheet, draw_poster, draw_text_free, matched, measuring_faces, sans_bold
from synth.display import draw_emblems

SEEDS = range(41_000, 41_005)


def test_lines_are_found_and_measured_on_drawn_posters() -> None:
    right = false = missed = 0
    ratio_errors, cap_errors = [], []
    for seed in SEEDS:
        poster = draw_poster(seed, GROUNDS[seed % 3], measuring_faces())
        found = find_lines(poster.artwork())
        match = matched([line.box_px.as_tuple() for line in found], [line.box_px for line in poster.lines])
        right, false, missed = right + len(match.pairs), false + len(match.false), missed + len(match.missed)
        for n, m in match.pairs:
            line, true = found[n], poster.lines[m]
            ratio_errors.append(abs(contrast_ratio(line.ink_srgb8, line.ground_srgb8) / true.ratio - 1))
            if line.cap_px is not None and true.cap_px is not None:
                cap_errors.append(abs(line.cap_px / true.cap_px - 1))
    assert 2 * right / (2 * right + false + missed) >= 0.92
    assert np.median(ratio_errors) <= 0.015
    assert np.quantile(ratio_errors, 0.9) <= 0.05
    assert np.quantile(cap_errors, 0.9) <= 0.06


@pytest.mark.parametrize("seed", [42_000, 42_001, 42_002])
def test_marks_that_are_no_text_are_left_alone(seed: int) -> None:
    assert find_lines(draw_text_free(seed).artwork()) == ()


def test_nothing_is_found_on_a_bare_sheet() -> None:
    for shape in ((1, 1, 3), (1, 400, 3), (300, 200, 3)):
        artwork = from_srgb8(np.full(shape, 200, dtype=np.uint8), size_mm=(100.0, 100.0 * shape[0] / shape[1]))
        assert find_lines(artwork) == ()


def test_resolution_and_compression_leave_the_numbers_alone() -> None:
    numbers = []
    for ppi, jpeg in ((100, False), (150, False), (300, False), (100, True), (150, True), (300, True)):
        sheet = Sheet(210, 120, ppi, (250, 244, 230))
        sheet.text("HARBOUR LIGHTS", sans_bold(), (24, 40, 110), (15, 40), cap_mm=16)
        sheet.text("Saturday 14 June, Old Mill Hall", sans_bold(), (150, 40, 30), (15, 80), cap_mm=7)
        poster = sheet.finish().as_jpeg(90) if jpeg else sheet.finish()
        found = find_lines(poster.artwork())
        assert len(found) == 2
        numbers.append(
            [(contrast_ratio(n.ink_srgb8, n.ground_srgb8), n.letter_px / ppi, n.stroke_px / ppi) for n in found]
        )
    ratios, letters, strokes = np.moveaxis(np.array(numbers), 2, 0)
    assert np.ptp(ratios / ratios[2], axis=0).max() < 0.03
    assert np.ptp(letters / letters[2], axis=0).max() < 0.03
    assert np.ptp(strokes / strokes[2], axis=0).max() < 0.1


def test_the_same_sheet_gives_the_same_lines() -> None:
    artwork = draw_poster(41_100, "panel", measuring_faces()).artwork()
    first, second = find_lines(artwork), find_lines(artwork)
    assert [line.box_px for line in first] == [line.box_px for line in second]
    assert [line.confidence for line in first] == [line.confidence for line in second]


@pytest.mark.parametrize("seed", [3, 8])
def test_large_signs_are_no_lines(seed: int) -> None:
    assert find_lines(draw_emblems(seed, ppi=60.0).artwork()) == ()


@pytest.mark.parametrize("text", ["5", "R", "8"])
def test_a_large_letter_alone_is_a_line_but_not_on_end(text: str) -> None:
    sheet = Sheet(210.0, 297.0, 60.0, (240, 236, 226))
    sheet.text(text, sans_bold(), (30, 40, 90), (70.0, 190.0), cap_mm=80.0)
    poster = sheet.finish()
    (line,) = find_lines(poster.artwork())
    assert line.box_px.as_tuple() == pytest.approx(poster.lines[0].box_px, abs=4)  # its samples are 4 px wide
    assert line.angle_deg == 0.0
    on_end = np.ascontiguousarray(np.rot90(poster.srgb8))
    assert find_lines(from_srgb8(on_end, size_mm=(297.0, 210.0))) == ()
