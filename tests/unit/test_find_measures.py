"""The measuring half, on bands placed by hand over type whose numbers are known by construction."""

from dataclasses import replace

import numpy as np
import pytest

from standback.doubts import Doubt
from standback.find.bands import Band
from standback.find.glyphs import Glyphs, glyphs_of
from standback.find.heights import heights_of
from standback.find.lines import Candidate, candidates_of, suppressed
from standback.find.split import Window, splits_of
from standback.find.stroke import middle_of
from standback.light import contrast_ratio
from synth import Face, Sheet, TrueLine, sans, sans_bold, serif
from synth.colours import Srgb8
from synth.fonts import face as face_of
from synth.strokes import true_stroke_px

NAVY: Srgb8 = (20, 30, 90)
CREAM: Srgb8 = (250, 240, 220)


def band_over(line: TrueLine) -> Band:
    body = line.x_px or line.cap_px or 1.0
    return Band(x0=line.box_px[0], x1=line.box_px[2], middle_y=line.baseline_px - body / 2, body_px=body)


def measured(sheet: Sheet, line: TrueLine) -> Candidate:
    (candidate,) = candidates_of(sheet.finish().artwork(), band_over(line))
    return candidate


@pytest.mark.parametrize("ppi", [100, 150, 300])
def test_a_letter_of_40_mm_measures_40_mm(ppi: float) -> None:
    sheet = Sheet(420, 80, ppi, CREAM)
    line = measured(sheet, sheet.text("HARBOUR", sans_bold(), NAVY, (20, 60), cap_mm=40)).line
    assert line.cap_px is not None
    assert line.cap_px / ppi * 25.4 == pytest.approx(40, rel=0.01)
    assert line.x_px is None
    assert line.letter_px == line.cap_px


@pytest.mark.parametrize("face", [sans(), sans_bold(), serif()])
@pytest.mark.parametrize("x_mm", [2.5, 8.0])
def test_x_height_and_capitals_of_mixed_type(face: Face, x_mm: float) -> None:
    sheet = Sheet(260, 60, 100, CREAM)
    true = sheet.text("Harbour music and Tales", face, NAVY, (10, 40), x_mm=x_mm)
    line = measured(sheet, true).line
    assert line.x_px == pytest.approx(true.x_px, rel=0.04)
    assert line.cap_px == pytest.approx(true.cap_px, rel=0.03)
    assert line.letter_px == line.x_px


@pytest.mark.parametrize("name", ["Roboto-Regular.ttf", "Roboto-Light.ttf"])
def test_strokes_of_a_pixel_make_small_type_no_lower(name: str) -> None:
    errors = []
    for n in range(6):
        sheet = Sheet(160, 20, 100, CREAM)
        true = sheet.text("Evening waves move hills", face_of("font_roboto", name), NAVY, (10, 10 + 0.03 * n), x_mm=1.7)
        line = measured(sheet, true).line
        assert line.x_px is not None and true.x_px is not None
        errors.append(line.x_px / true.x_px - 1)
    assert np.median(errors) == pytest.approx(0, abs=0.015)


def test_digits_count_as_capitals() -> None:
    sheet = Sheet(160, 40, 100, CREAM)
    true = sheet.text("14.06.2031", sans_bold(), NAVY, (10, 30), cap_mm=8)
    line = measured(sheet, true).line
    assert line.x_px is None
    assert line.cap_px == pytest.approx(true.cap_px, rel=0.02)


@pytest.mark.parametrize("face", [sans(), sans_bold(), serif()])
def test_the_dots_of_a_colon_are_no_low_letters(face: Face) -> None:
    sheet = Sheet(160, 40, 100, CREAM)
    true = sheet.text("19:30", face, NAVY, (10, 30), cap_mm=8)
    line = measured(sheet, true).line
    assert line.x_px is None
    assert line.letter_px == pytest.approx(true.cap_px, rel=0.04)  # the 7 is level, the others are round


def test_figures_little_higher_than_the_small_letters_are_told_from_them() -> None:
    black = face_of("font_source_sans_pro", "SourceSansPro-Black.ttf")
    sheet = Sheet(160, 40, 150, CREAM)
    true = sheet.text("7.45 pm", black, NAVY, (10, 30), x_mm=4.3)
    line = measured(sheet, true).line
    assert line.x_px == pytest.approx(true.x_px, rel=0.03)
    assert line.letter_px == pytest.approx(true.cap_px, rel=0.03)


@pytest.mark.parametrize("ink, ground", [(NAVY, CREAM), (CREAM, NAVY), ((128, 128, 128), (150, 150, 150))])
def test_colours_are_exact_on_an_even_ground(ink: Srgb8, ground: Srgb8) -> None:
    sheet = Sheet(160, 40, 100, ground)
    line = measured(sheet, sheet.text("Old Mill Hall", sans_bold(), ink, (10, 30), cap_mm=8)).line
    assert line.ink_srgb8 == ink
    assert line.ground_srgb8 == ground
    assert line.doubts == ()


def test_strokes_under_three_pixels_carry_a_doubt() -> None:
    sheet = Sheet(160, 40, 100, CREAM)
    line = measured(sheet, sheet.text("Old Mill Hall", sans(), NAVY, (10, 30), cap_mm=3)).line
    assert Doubt.LOW_RESOLUTION in line.doubts
    assert np.abs(np.subtract(line.ink_srgb8, NAVY)).max() <= 6


@pytest.mark.parametrize(
    "ink, ground, face",
    [
        ((40, 20, 190), (255, 255, 255), sans()),
        ((200, 32, 58), (255, 255, 255), serif()),
        ((30, 227, 82), (16, 64, 213), sans()),
        ((255, 150, 20), (40, 20, 60), sans()),
    ],
)
def test_thin_coloured_type_in_a_jpeg_has_the_ratio_it_was_drawn_with(ink: Srgb8, ground: Srgb8, face: Face) -> None:
    sheet = Sheet(160, 40, 100, ground)
    true = sheet.text("Harbour lights and old music", face, ink, (10, 30), x_mm=2.6)
    packed = sheet.finish().as_jpeg(90)
    left, top, right, bottom = (round(v) for v in true.box_px)
    nearest = np.abs(packed.srgb8[top:bottom, left:right].astype(int) - ink).max(axis=2).min()
    assert nearest > 12, "a sample shows the ink as drawn, so that nothing has to be undone"
    (found,) = candidates_of(packed.artwork(), band_over(true))
    assert contrast_ratio(found.line.ink_srgb8, found.line.ground_srgb8) == pytest.approx(true.ratio, rel=0.03)


def test_the_ground_of_a_gradient_is_taken_near_the_letters() -> None:
    sheet = Sheet(160, 40, 100)
    sheet.gradient((255, 250, 240), (150, 200, 230), 0)
    true = sheet.text("Harbour lights", sans_bold(), NAVY, (15, 28), cap_mm=8)
    line = measured(sheet, true).line
    assert line.ink_srgb8 == NAVY
    assert np.abs(np.subtract(line.ground_srgb8, true.ground_srgb8)).max() <= 4


@pytest.mark.parametrize("cap_mm", [4.0, 10.0, 30.0])
def test_stroke_width(cap_mm: float) -> None:
    sheet = Sheet(300, 60, 100, CREAM)
    true = sheet.text("HAMBURG", sans_bold(), NAVY, (10, 45), cap_mm=cap_mm)
    assert measured(sheet, true).line.stroke_px == pytest.approx(true_stroke_px(true), rel=0.09)


@pytest.mark.parametrize(("widths", "width"), [((3, 5), 4), ((6,), 6), ((1, 6, 6, 7, 7, 7, 7, 20), 6.6)])
def test_a_stroke_is_as_wide_as_the_middle_half_of_its_widths(widths: tuple[float, ...], width: float) -> None:
    assert middle_of(np.array(widths, dtype=float)).width == pytest.approx(width, abs=0.21)


def test_box_and_mask_hold_the_ink_and_nothing_else() -> None:
    sheet = Sheet(160, 40, 100, CREAM)
    true = sheet.text("Quay, piano", sans_bold(), NAVY, (10, 25), cap_mm=8)
    line = measured(sheet, true).line
    assert line.box_px.as_tuple() == pytest.approx(true.box_px, abs=1)
    assert line.mask.shape == line.core.shape == (line.box_px.height, line.box_px.width)
    box = line.box_px
    crop = sheet.pixels[box.y0 : box.y1, box.x0 : box.x1].astype(int)
    nearer_ink = np.abs(crop - NAVY).sum(axis=2) < np.abs(crop - CREAM).sum(axis=2)
    assert (line.mask == nearer_ink).mean() > 0.995
    assert (crop[line.core] == NAVY).all()


def test_large_letters_have_a_coarse_mask() -> None:
    sheet = Sheet(420, 160, 100, CREAM)
    line = measured(sheet, sheet.text("MILL", sans_bold(), NAVY, (20, 130), cap_mm=100)).line
    assert line.mask_scale > 1
    expected = (-(-line.box_px.height // line.mask_scale), -(-line.box_px.width // line.mask_scale))
    assert line.mask.shape == expected


def test_a_line_is_cut_where_a_reader_would_stop() -> None:
    sheet = Sheet(200, 40, 100, CREAM)
    left = sheet.text("HARBOUR", sans_bold(), NAVY, (10, 25), cap_mm=6)
    right_mm = left.box_px[2] / sheet.px_per_mm + 3 * 6
    right = sheet.text("CELLAR", sans_bold(), NAVY, (right_mm, 25), cap_mm=6)
    both = Band(
        x0=left.box_px[0],
        x1=right.box_px[2],
        middle_y=left.baseline_px - (left.cap_px or 0) / 2,
        body_px=left.cap_px or 0,
    )
    found = [c.line.box_px for c in candidates_of(sheet.finish().artwork(), both)]
    assert [b.as_tuple() for b in found] == [pytest.approx(t.box_px, abs=1) for t in (left, right)]


@pytest.mark.parametrize(("gaps", "lines"), [((1.2, 1.35, 1.33), 1), ((0.6, 0.7, 1.6), 2), ((1.2, 0.7, 2.2), 2)])
def test_gaps_as_wide_as_others_in_the_line_are_spaces_between_words(gaps: tuple[float, ...], lines: int) -> None:
    sheet = Sheet(220, 40, 100, CREAM)
    words = [sheet.text("HARBOUR", sans_bold(), NAVY, (10, 25), cap_mm=5)]
    bearing_mm = words[0].box_px[0] / sheet.px_per_mm - 10
    for gap in gaps:
        at_mm = words[-1].box_px[2] / sheet.px_per_mm + gap * 5 - bearing_mm
        words.append(sheet.text("HARBOUR", sans_bold(), NAVY, (at_mm, 25), cap_mm=5))
    whole = band_over(words[0])
    found = list(candidates_of(sheet.finish().artwork(), replace(whole, x1=words[-1].box_px[2])))
    assert len(found) == lines
    assert found[0].line.box_px.x0 == pytest.approx(words[0].box_px[0], abs=1)
    assert found[-1].line.box_px.x1 == pytest.approx(words[-1].box_px[2], abs=1)


def test_a_line_goes_on_beyond_a_dash_an_em_wide() -> None:
    sheet = Sheet(220, 40, 100, CREAM)
    true = sheet.text("summer stories \u2014 new", sans_bold(), NAVY, (10, 25), x_mm=4)
    (found,) = candidates_of(sheet.finish().artwork(), band_over(true))
    assert found.line.box_px.as_tuple() == pytest.approx(true.box_px, abs=1)


def test_a_band_over_part_of_a_line_finds_all_of_it() -> None:
    sheet = Sheet(200, 40, 100, CREAM)
    true = sheet.text("Harbour lights and music", sans_bold(), NAVY, (10, 25), cap_mm=6)
    whole = band_over(true)
    part = Band(x0=whole.x0 + 60, x1=whole.x0 + 140, middle_y=whole.middle_y, body_px=whole.body_px)
    (found,) = candidates_of(sheet.finish().artwork(), part)
    assert found.line.box_px.as_tuple() == pytest.approx(true.box_px, abs=1)


def test_one_line_is_kept_in_one_place() -> None:
    sheet = Sheet(160, 40, 100, CREAM)
    true = sheet.text("Harbour lights", sans_bold(), NAVY, (10, 25), cap_mm=6)
    artwork = sheet.finish().artwork()
    twice = [c for _ in range(2) for c in candidates_of(artwork, band_over(true))]
    assert len(twice) == 2
    assert len(suppressed(twice)) == 1


def test_letters_cut_off_by_the_side_of_the_sheet_touch_its_edge() -> None:
    sheet = Sheet(100, 40, 100, CREAM)
    true = sheet.text("HARBOUR MUSIC", sans_bold(), NAVY, (-2, 25), cap_mm=8)
    line = measured(sheet, true).line
    assert line.box_px.x0 == 0
    assert Doubt.TOUCHES_EDGE in line.doubts


def test_scripts_without_two_heights_count_three_quarters_of_their_body() -> None:
    sheet = Sheet(240, 60, 100, CREAM)
    # signs of one body, 10 mm, filling it unevenly: top and foot, in mm from the body's top
    tops = (0.0, 2.4, 4.2, 0.0, 3.3, 1.4, 0.0, 4.2, 2.4, 1.4)
    feet = (6.0, 10.0, 8.6, 7.3, 10.0, 6.0, 8.6, 10.0, 7.3, 6.6)
    for n, (top, foot) in enumerate(zip(tops, feet, strict=True)):
        x = 20 + 11 * n
        sheet.panel((x, 20 + top, x + 2, 20 + foot), NAVY)
        sheet.panel((x, 20 + top, x + 4 + n % 4, 20 + top + 2), NAVY)
    band = Band(x0=78, x1=510, middle_y=98, body_px=36)
    heights = [h for h in (heights_of(g) for g in _pieces(sheet, band)) if h is not None]
    assert [h.cap for h in heights] == [None]
    assert heights[0].letter / sheet.px_per_mm == pytest.approx(7.5, rel=0.05)


def _pieces(sheet: Sheet, band: Band) -> list[Glyphs]:
    window = Window.around(sheet.finish().artwork(), band)
    assert window is not None
    found = [glyphs for split in splits_of(window) if (glyphs := glyphs_of(split)) is not None]
    return [max(found, key=lambda glyphs: glyphs.tidy)]
