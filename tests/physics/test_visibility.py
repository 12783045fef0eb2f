"""The visibility model against published thresholds, closed forms, and cases worked out apart from it."""

from dataclasses import replace
from math import gamma, pi, sqrt

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image, ImageDraw

from published_visibility import (
    CASTLE_RATIOS,
    DOT_M,
    HAIRLINE_JND,
    HAIRLINE_M,
    HAIRLINE_M_BY_CDM2,
    MODELFEST,
    SENSITIVITY_BY_CPD,
    SPLIT_ARCMIN,
    SPLIT_JND,
    Threshold,
)
from standback.light import SCREEN_FLARE, luminance1, srgb8_to_linear
from standback.merging import merged_luminance1
from standback.sensitivity import contrast_sensitivity, jnd, luminance_correction, oblique_loss
from standback.target import FARTHEST_M, SheetLight, Target, parts_of, target_of
from standback.visibility import NOTICED_JND, carry_m, element_jnd, resolve_m
from synth.fonts import Face, face, sans_bold

Picture = npt.NDArray[np.float32]

PX_PER_MM = 300 / 25.4


# The observer


@pytest.mark.parametrize(("frequency_cpd", "sensitivity"), SENSITIVITY_BY_CPD.items())
def test_sensitivity_has_the_published_values(frequency_cpd: float, sensitivity: float) -> None:
    assert contrast_sensitivity(frequency_cpd) == pytest.approx(sensitivity, abs=0.006)


@pytest.mark.parametrize(("luminance_cdm2", "ratios"), CASTLE_RATIOS.items())
def test_luminance_correction_has_the_published_ratios(
    luminance_cdm2: float, ratios: tuple[float, float, float]
) -> None:
    assert luminance_correction([4.0, 16.0, 30.0], luminance_cdm2) == pytest.approx(ratios, abs=0.0015)


def test_luminance_correction_is_one_at_30() -> None:
    assert luminance_correction(np.linspace(0, 70, 50), 30.0) == pytest.approx(1.0)


def modelfest(threshold: Threshold) -> npt.NDArray[np.float64]:
    """Draw a ModelFest stimulus at contrast 1: 256 x 256 at 120 samples a degree."""
    y, x = (np.mgrid[:256, :256] - 128) / 120
    r2 = x**2 + y**2
    size = threshold.size
    window = np.exp(-r2 / (2 * size**2))
    kinds = {
        "gabor": window * np.cos(2 * pi * threshold.frequency_cpd * x),
        "spot": window,
        "edge": window * np.where(y < 0, -1.0, 1.0),
        "line": window * (y == 0),
        "disc": (r2 <= (size / 2) ** 2).astype(float),
    }
    return np.asarray(kinds[threshold.kind])


def test_modelfest_thresholds() -> None:
    errors_db = [20 * (np.log10(jnd(modelfest(stimulus), 120.0)) - stimulus.log_sensitivity) for stimulus in MODELFEST]
    assert np.sqrt(np.mean(np.square(errors_db))) < 1.0
    assert np.max(np.abs(errors_db)) < 2.0


@pytest.mark.parametrize("frequency_cpd", [2.0, 4.0, 16.0])
def test_a_wide_grating_pools_as_the_closed_form_says(frequency_cpd: float) -> None:
    # mean of |cos|^b over a cycle is gamma((b + 1) / 2) / (sqrt(pi) gamma(b / 2 + 1))
    b, aperture_deg = 2.4081, 0.6273
    mean = gamma((b + 1) / 2) / (sqrt(pi) * gamma(b / 2 + 1))
    closed = float(contrast_sensitivity(frequency_cpd)) * (2 * pi * aperture_deg**2 / b * mean) ** (1 / b)
    x = np.arange(8 * 150) / 150
    y = x[: 6 * 150, np.newaxis]
    window = np.clip(np.minimum(x, 8 - x), 0, 1) * np.clip(np.minimum(y, 6 - y), 0, 1)
    assert jnd(np.cos(2 * pi * frequency_cpd * x) * window, 150.0) == pytest.approx(closed, rel=0.005)


def test_a_slanted_grating_loses_what_the_oblique_effect_says() -> None:
    y, x = (np.mgrid[:480, :480] - 240) / 120
    window = np.exp(-(x**2 + y**2) / (2 * 0.5**2))
    upright = jnd(window * np.cos(2 * pi * 16 * x), 120.0)
    slanted = jnd(window * np.cos(2 * pi * 16 * (x + y) / sqrt(2)), 120.0)
    assert slanted / upright == pytest.approx(1 - float(oblique_loss(16.0)), rel=0.02)


def test_only_what_the_fovea_covers_adds_up() -> None:
    spot = np.zeros((60, 600))
    spot[25:35, 20:30] = 1.0
    near, apart = spot.copy(), spot.copy()
    near[25:35, 50:60] = apart[25:35, 560:570] = 1.0
    assert jnd(apart, 120.0) == pytest.approx(jnd(spot, 120.0), rel=0.005)
    assert jnd(near, 120.0) > 1.2 * jnd(spot, 120.0)


@pytest.mark.parametrize("shape", [(3,), (0, 4), (2, 2, 3)])
def test_a_pattern_has_rows_and_columns(shape: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="rows and columns"):
        jnd(np.zeros(shape), 120.0)


# Marks of known size


def cover(start_mm: float, width_mm: float, length_px: int, px_per_mm: float) -> npt.NDArray[np.float64]:
    """Share of each sample on a line that a bar covers."""
    edges = np.arange(length_px + 1) / px_per_mm
    inside = np.minimum(edges[1:], start_mm + width_mm) - np.maximum(edges[:-1], start_mm)
    share: npt.NDArray[np.float64] = np.clip(inside, 0, None) * px_per_mm
    return share


def on_white(ink: npt.NDArray[np.float64], contrast: float = 1.0, px_per_mm: float = PX_PER_MM) -> Target:
    """Ink of a contrast on a white sheet that goes on."""
    return target_of(1 - contrast * ink, np.ones_like(ink), px_per_mm=px_per_mm)


def hairline(px_per_mm: float = PX_PER_MM, start_mm: float = 0.3) -> npt.NDArray[np.float64]:
    """0.35 mm wide, 100 mm long."""
    across = cover(start_mm, 0.35, round(px_per_mm) + 4, px_per_mm)
    return across[:, np.newaxis] * np.ones(round(100 * px_per_mm))


def dot(side_mm: float, start_mm: float = 1.0, px_per_mm: float = PX_PER_MM) -> npt.NDArray[np.float64]:
    across = cover(start_mm, side_mm, round((side_mm + start_mm + 1) * px_per_mm), px_per_mm)
    return across[:, np.newaxis] * across


def two_lines(px_per_mm: float = PX_PER_MM) -> npt.NDArray[np.float64]:
    """0.35 mm wide, 0.35 mm apart, 100 mm long."""
    rows = round(1.05 * px_per_mm) + 4
    across = cover(0.1, 0.35, rows, px_per_mm) + cover(0.8, 0.35, rows, px_per_mm)
    return across[:, np.newaxis] * np.ones(round(100 * px_per_mm))


def split(ink: npt.NDArray[np.float64], pitch_mm: float, px_per_mm: float = PX_PER_MM) -> Target:
    """Black marks on a white A4 sheet, for telling apart."""
    return parts_of(
        1 - ink,
        np.ones_like(ink),
        pitch_mm=pitch_mm,
        px_per_mm=px_per_mm,
        sheet=SheetLight.of(np.ones((297, 210)), 1.0),
        at_mm=(50.0, 100.0),
    )


@pytest.mark.parametrize("contrast", HAIRLINE_JND)
def test_hairline(contrast: float) -> None:
    line = on_white(hairline(), contrast)
    for distance_m, expected in HAIRLINE_JND[contrast].items():
        # the expected values have one decimal
        assert element_jnd(line, distance_m, flare1=0.0) == pytest.approx(expected, rel=0.1, abs=0.05)


@pytest.mark.parametrize(("contrast", "distances_m"), HAIRLINE_M.items())
def test_hairline_from_how_far(contrast: float, distances_m: tuple[float, float]) -> None:
    line = on_white(hairline(), contrast)
    found = [carry_m(line, flare1=0.0, wanted_jnd=wanted) for wanted in (1.0, 3.0)]
    assert found == pytest.approx(distances_m, rel=0.1)


@pytest.mark.parametrize(("luminance_cdm2", "distances_m"), HAIRLINE_M_BY_CDM2.items())
def test_hairline_in_other_light(luminance_cdm2: float, distances_m: tuple[float, float]) -> None:
    line = on_white(hairline())
    found = [carry_m(line, flare1=0.0, wanted_jnd=wanted, luminance_cdm2=luminance_cdm2) for wanted in (1.0, 3.0)]
    assert found == pytest.approx(distances_m, rel=0.1)


@pytest.mark.parametrize(("side_mm", "distances_m"), DOT_M.items())
def test_dot(side_mm: float, distances_m: tuple[float, float]) -> None:
    found = [carry_m(on_white(dot(side_mm)), flare1=0.0, wanted_jnd=wanted) for wanted in (1.0, 3.0)]
    assert found == pytest.approx(distances_m, rel=0.1)


@pytest.mark.parametrize("px_per_mm", [PX_PER_MM, 20.0, 47.0])
def test_two_lines_told_apart(px_per_mm: float) -> None:
    lines = split(two_lines(px_per_mm), 0.7, px_per_mm)
    for distance_m, expected in SPLIT_JND.items():
        assert element_jnd(lines, distance_m, flare1=0.0) == pytest.approx(expected, rel=0.1)
    for width_arcmin, wanted in zip(SPLIT_ARCMIN, (1.0, 3.0), strict=True):
        expected_m = 0.35 / 1000 / np.tan(np.radians(width_arcmin / 60))
        assert resolve_m(lines, flare1=0.0, wanted_jnd=wanted) == pytest.approx(expected_m, rel=0.1)


def test_noticed_from_the_carry_and_no_farther() -> None:
    line = on_white(hairline())
    carry = carry_m(line)
    assert element_jnd(line, 0.99 * carry) > NOTICED_JND > element_jnd(line, 1.01 * carry)


def test_carry_ends_where_the_search_ends() -> None:
    assert carry_m(on_white(np.ones((100, 100)), px_per_mm=0.1)) == FARTHEST_M
    assert carry_m(on_white(hairline(), 0.001)) == 0.0
    assert carry_m(on_white(np.zeros((5, 5)))) == 0.0


def test_linear_in_contrast() -> None:
    full, faint = (element_jnd(on_white(dot(2.0), contrast), 2.0) for contrast in (0.8, 0.08))
    assert full == pytest.approx(10 * faint, rel=1e-4)


def test_falls_with_distance_and_rises_with_light() -> None:
    line = on_white(hairline())
    by_distance = [element_jnd(line, d) for d in np.geomspace(0.5, 100, 24)]
    assert np.all(np.diff(by_distance) < 0)
    by_light = [element_jnd(line, 3.0, luminance_cdm2=light) for light in (2.0, 8.0, 30.0, 135.0, 600.0)]
    assert np.all(np.diff(by_light) > 0)


@pytest.mark.parametrize("distance_m", [0.5, 2.0, 7.0, 30.0])
def test_a_quarter_turn_changes_nothing(distance_m: float) -> None:
    ink = np.zeros((90, 200))
    ink[10:20, 10:190] = ink[10:80, 40:60] = 1.0
    lying, standing = on_white(ink), on_white(np.rot90(ink))
    assert element_jnd(standing, distance_m) == pytest.approx(element_jnd(lying, distance_m), rel=0.002)


@pytest.mark.parametrize("distance_m", [1.0, 4.3, 17.0])
def test_where_a_mark_lies_on_the_pixels_changes_nothing(distance_m: float) -> None:
    seen = [element_jnd(on_white(dot(1.0, start)), distance_m) for start in (1.0, 1.02, 1.05, 1.21)]
    assert seen == pytest.approx([seen[0]] * 4, rel=0.01)


def test_twice_the_size_is_noticed_from_twice_as_far() -> None:
    line = on_white(hairline())
    twice = replace(line, px_per_mm=PX_PER_MM / 2, ground_px_per_mm=PX_PER_MM / 2)
    assert carry_m(twice) == pytest.approx(2 * carry_m(line), rel=0.01)


# An element and its neighbours

GROUND_SRGB8 = (0x18, 0x26, 0x42)
SCENE_PX_PER_MM = 2.0
TITLES = ("RIVER NIGHT", "OPEN HOUSE", "MOON")


def letters(text: str, face: Face, cap_mm: float) -> Picture:
    """Cover of a word in capitals, cut to its ink."""
    fine = 4
    em_px = cap_mm / face.cap_em * SCENE_PX_PER_MM * fine
    font = face.at(em_px)
    picture = Image.new("L", (int(font.getlength(text) + 2 * em_px), int(3 * em_px)))
    ImageDraw.Draw(picture).text((em_px, 2 * em_px), text, font=font, fill=255, anchor="ls")
    left, top, right, bottom = picture.getbbox() or (0, 0, 1, 1)
    whole = (left, top, right + -(right - left) % fine, bottom + -(bottom - top) % fine)
    cover_255: Picture = np.asarray(picture.crop(whole).reduce(fine), dtype=np.float32)
    return cover_255 / np.float32(255)


def faint_year(face: Face, title: str | None) -> tuple[Picture, Picture]:
    """An 800 x 700 mm sheet: a year 20 mm high at 1.25:1, 20 mm under a white title 60 mm high.

    Returns the sheet with and without the year.
    """
    ground = float(luminance1(srgb8_to_linear(np.array(GROUND_SRGB8), np.float64)))
    ink = 1.25 * (ground + SCREEN_FLARE) - SCREEN_FLARE
    without = np.full((1400, 1600), ground, dtype=np.float32)
    top = 700
    if title:
        word = letters(title, face, 60.0)
        bottom, left = top - round(20 * SCENE_PX_PER_MM), (1600 - word.shape[1]) // 2
        without[bottom - word.shape[0] : bottom, left : left + word.shape[1]] += word * (1 - ground)
    year = letters("2031", face, 20.0)
    left = (1600 - year.shape[1]) // 2
    with_ = without.copy()
    with_[top : top + year.shape[0], left : left + year.shape[1]] += year * (ink - ground)
    return with_, without


@pytest.mark.parametrize("title", TITLES)
@pytest.mark.parametrize(
    "face",
    [
        face("font_roboto", "Roboto-Bold.ttf"),
        face("font_hanken_grotesk", "HankenGrotesk-Bold.otf"),
        face("font_manrope", "Manrope-ExtraBold.ttf"),
    ],
    ids=lambda face: face.path.stem,
)
def test_a_faint_year_under_a_title(face: Face, title: str) -> None:
    year = target_of(*faint_year(face, title), px_per_mm=SCENE_PX_PER_MM)
    assert element_jnd(year, 10.0) == pytest.approx(2.0, abs=0.3)
    assert carry_m(year) < 10.0


def test_the_title_lends_the_year_nothing() -> None:
    with_, without = faint_year(sans_bold(), TITLES[0])
    year = target_of(with_, without, px_per_mm=SCENE_PX_PER_MM)
    both = target_of(with_, np.full_like(with_, without[0, 0]), px_per_mm=SCENE_PX_PER_MM)
    assert element_jnd(both, 10.0) > 20 * element_jnd(year, 10.0)
    alone = target_of(*faint_year(sans_bold(), None), px_per_mm=SCENE_PX_PER_MM)
    # a white neighbour takes something away: the eye is adapted to its light as well
    assert element_jnd(alone, 10.0) > element_jnd(year, 10.0)


def test_a_neighbour_counts_by_its_light_alone() -> None:
    """Hatching beside a word and the flat tone of the same mean give the word the same JND."""
    hatched = np.full((800, 1200), 0.4)
    hatched[100:300:4, 100:1100] = hatched[101:300:4, 100:1100] = 1.0
    flat = np.full((800, 1200), 0.4)
    flat[100:300, 100:1100] = 0.7
    word = 0.3 * letters("MOON", sans_bold(), 20.0)
    seen = []
    for ground in (hatched, flat):
        with_ = ground.copy()
        with_[320 : 320 + word.shape[0], 500 : 500 + word.shape[1]] -= word
        seen.append(element_jnd(target_of(with_, ground, px_per_mm=SCENE_PX_PER_MM), 10.0))
    assert seen[0] == pytest.approx(seen[1], rel=0.01)


def test_what_lies_out_of_sight_counts_for_nothing() -> None:
    with_, without = faint_year(sans_bold(), TITLES[0])
    far_away = np.zeros_like(with_)
    far_away[1380:, :] = 0.9
    before = target_of(with_, without, px_per_mm=SCENE_PX_PER_MM)
    after = target_of(with_ + far_away, without + far_away, px_per_mm=SCENE_PX_PER_MM)
    assert element_jnd(after, 2.0) == pytest.approx(element_jnd(before, 2.0), rel=1e-4)


@pytest.mark.parametrize("distance_m", [0.5, 3.0, 10.0, 60.0])
def test_a_crop_on_a_coarse_sheet_is_as_good_as_the_whole(distance_m: float) -> None:
    with_, without = faint_year(sans_bold(), TITLES[0])
    rows, columns = (np.flatnonzero((with_ != without).any(axis=axis)) for axis in (1, 0))
    box = np.s_[rows[0] - 3 : rows[-1] + 4, columns[0] - 5 : columns[-1] + 6]
    crop = target_of(
        with_[box],
        without[box],
        px_per_mm=SCENE_PX_PER_MM,
        sheet=SheetLight.of(with_.reshape(700, 2, 800, 2).mean(axis=(1, 3)), 1.0),
        at_mm=((columns[0] - 5) / SCENE_PX_PER_MM, (rows[0] - 3) / SCENE_PX_PER_MM),
    )
    whole = target_of(with_, without, px_per_mm=SCENE_PX_PER_MM)
    assert element_jnd(crop, distance_m) == pytest.approx(element_jnd(whole, distance_m), rel=0.01)


def test_the_ground_of_a_crop_is_the_sheet_without_the_element_in_every_octave() -> None:
    with_, without = faint_year(sans_bold(), TITLES[0])
    with_, without = with_[:-3, :-1], without[:-3, :-1]  # odd sides
    rows, columns = (np.flatnonzero((with_ != without).any(axis=axis)) for axis in (1, 0))
    box = np.s_[rows[0] - 3 : rows[-1] + 4, columns[0] - 5 : columns[-1] + 6]
    at_mm = ((columns[0] - 5) / SCENE_PX_PER_MM, (rows[0] - 3) / SCENE_PX_PER_MM)
    sheet = SheetLight.of(with_, SCENE_PX_PER_MM)
    found = target_of(with_[box], without[box], px_per_mm=SCENE_PX_PER_MM, sheet=sheet, at_mm=at_mm).grounds
    bare = SheetLight.of(without, SCENE_PX_PER_MM).octaves
    for ground, octave in zip(found, bare, strict=True):
        (y, x), (height, width) = ground.starts, ground.luminance1.shape
        np.testing.assert_allclose(ground.luminance1, octave[y : y + height, x : x + width], atol=1e-6)


def test_the_pictures_must_fit() -> None:
    with pytest.raises(ValueError, match="of one shape"):
        target_of(np.ones((4, 5)), np.ones((5, 4)), px_per_mm=1.0)


# Parts of a detail


def hatching(pitch_px: int, width_px: int, side_px: int = 480) -> npt.NDArray[np.float64]:
    return (np.arange(side_px) % pitch_px < width_px)[:, np.newaxis] * np.ones(side_px)


@pytest.mark.parametrize("ink", [hatching(12, 4), np.tile(dot(0.4)[:16, :16], (20, 20)), two_lines()])
def test_the_merged_tone_holds_the_same_ink(ink: npt.NDArray[np.float64]) -> None:
    merged = merged_luminance1(1 - 0.7 * ink, np.ones_like(ink), pitch_px=16)
    assert np.sum(1 - merged, dtype=float) == pytest.approx(0.7 * ink.sum(), rel=0.002)


def test_hatching_merges_to_its_mean_tone() -> None:
    ink = hatching(12, 4)
    merged = merged_luminance1(1 - ink, np.ones_like(ink), pitch_px=12)
    # away from the ends, where the last bar has no gap beyond it
    assert 1 - merged[60:420, 60:420] == pytest.approx(1 / 3, abs=0.01)


def test_a_solid_shape_and_a_single_stroke_have_no_parts() -> None:
    for ink in (hatching(480, 60), hatching(480, 3)):
        parts = parts_of(1 - ink, np.ones_like(ink), pitch_mm=1.0, px_per_mm=PX_PER_MM)
        assert element_jnd(parts, 1.0) < 0.05
        assert resolve_m(parts) == 0.0


def test_gaps_wider_than_the_pitch_stay_open() -> None:
    ink = np.zeros((60, 200))
    ink[:, 20:24] = ink[:, 28:32] = ink[:, 100:104] = ink[:, 108:112] = 1.0
    merged = merged_luminance1(1 - ink, np.ones_like(ink), pitch_px=8)
    assert merged[:, 32:100] == pytest.approx(1.0)
    assert 1 - merged[:, 20:32] == pytest.approx(2 / 3, abs=0.03)


def test_hatching_too_fine_to_see_never_comes_back_as_a_coarser_one() -> None:
    # 9 px a pitch: from 8 m on it nearly beats with the samples
    parts = split(hatching(9, 3), 9 / PX_PER_MM)
    resolve = resolve_m(parts)
    assert 1.0 < resolve < 2.0
    beyond = [element_jnd(parts, d) for d in resolve * np.geomspace(2, 30, 40)]
    assert max(beyond) < 1.0
    assert np.all(np.diff(beyond) < 0.01)


def test_closer_hatching_is_resolved_from_nearer() -> None:
    near, far = (resolve_m(split(hatching(pitch, pitch // 3), pitch / PX_PER_MM)) for pitch in (12, 24))
    assert far == pytest.approx(2 * near, rel=0.1)
