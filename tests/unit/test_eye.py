"""Pupil, optics and reach, against published values."""

import warnings
from math import atan, degrees, tan

import numpy as np
import pytest

from published_values import (
    FUJITA_SIZE_FACTORS,
    OPTOTYPE_ARCMIN,
    OPTOTYPE_DISTANCE_M,
    OPTOTYPE_MM,
    SHEEDY_LOGMAR_PER_DOUBLING,
    SIGN_RULE_M,
    SIGN_RULE_MM,
    SMITH_NINE_IN_TEN_RAD,
    WATSON_CUTOFF_CPD,
    WATSON_MTF,
    WATSON_YELLOTT_PUPIL,
)
from standback.eye import (
    LIMIT_ARCMIN,
    bar_peak,
    cutoff_cpd,
    effective_contrast,
    eye_mtf,
    is_low_contrast,
    light_factor,
    pupil_diameter_mm,
    reach_m,
    size_factor,
)

ROOM_CDM2 = 150 * 0.85 / np.pi
ROOM_PUPIL_MM = pupil_diameter_mm(ROOM_CDM2)


def reach(
    *,
    height_mm: float = 20.0,
    stroke: float = 1 / 6,
    ratio: float = 21.0,
    k: float = 2.0,
    luminance_cdm2: float = ROOM_CDM2,
    pupil_mm: float = ROOM_PUPIL_MM,
    contrast_factor: float = 1.0,
    acuity_logmar: float = 0.0,
) -> float:
    """Reach of letters whose stroke is given as a share of their height."""
    return reach_m(
        height_mm=height_mm,
        stroke_mm=stroke * height_mm,
        ratio=ratio,
        k=k,
        pupil_mm=pupil_mm,
        luminance_cdm2=luminance_cdm2,
        contrast_factor=contrast_factor,
        acuity_logmar=acuity_logmar,
    )


@pytest.mark.parametrize(("pupil_mm", "row"), WATSON_MTF.items())
def test_optics_are_watsons(pupil_mm: float, row: tuple[tuple[float, float], ...]) -> None:
    frequency, transfer = zip(*row, strict=True)
    assert np.allclose(eye_mtf(frequency, pupil_mm), transfer, atol=5.1e-5)
    assert cutoff_cpd(pupil_mm) == pytest.approx(WATSON_CUTOFF_CPD[pupil_mm], abs=0.05)


def test_optics_pass_a_flat_field_and_nothing_beyond_diffraction() -> None:
    assert eye_mtf(0.0, 3.0) == 1.0
    assert np.all(eye_mtf([94.4, 120.0, 1e6], 3.0) == 0.0)
    frequency = np.linspace(-120, 120, 481).reshape(13, 37)
    assert np.array_equal(eye_mtf(frequency, 4.0), eye_mtf(-frequency, 4.0))
    assert eye_mtf(frequency.astype(np.float32), 4.0).dtype == np.float32


def test_pupils_beyond_the_fit_count_as_its_ends() -> None:
    assert eye_mtf(10.0, 1.0) == eye_mtf(10.0, 2.0)
    assert eye_mtf(10.0, 8.0) == eye_mtf(10.0, 6.0)


@pytest.mark.parametrize(("luminance_cdm2", "field_deg2", "age_years", "expected_mm"), WATSON_YELLOTT_PUPIL)
def test_pupils_are_those_of_watson_and_yellott(
    luminance_cdm2: float, field_deg2: float, age_years: float, expected_mm: float
) -> None:
    assert pupil_diameter_mm(luminance_cdm2, field_deg2, age_years) == pytest.approx(expected_mm, abs=0.006)


def test_pupils_are_near_bartens() -> None:
    """Another formula for the same pupil, Barten (1999) in colour-science: within 25 %."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from colour.contrast import pupil_diameter_Barten1999
    for luminance_cdm2 in (10, 40, 100, 500):
        barten_mm = float(pupil_diameter_Barten1999(luminance_cdm2, 20, 20))
        assert pupil_diameter_mm(luminance_cdm2, 400) == pytest.approx(barten_mm, rel=0.25)


def test_pupils_need_light() -> None:
    with pytest.raises(ValueError, match="above 0"):
        pupil_diameter_mm(0.0)


@pytest.mark.parametrize("pupil_mm", [2.0, 3.0, 4.12, 6.0])
def test_a_bars_peak_is_the_integral_of_its_line_spread(pupil_mm: float) -> None:
    """Against plain summation of 2 x MTF(f) sin(pi f w) / (pi f)."""
    count = 100_000
    frequency = (np.arange(count) + 0.5) * cutoff_cpd(pupil_mm) / count
    transfer = eye_mtf(frequency, pupil_mm) / (np.pi * frequency)
    for width_arcmin in (0.05, 0.3, 1.0, 2.2, 7.0, 60.0):
        peak = 2 * np.sum(transfer * np.sin(np.pi * frequency * width_arcmin / 60)) * frequency[0] * 2
        assert bar_peak(width_arcmin, pupil_mm) == pytest.approx(peak, abs=1e-4)


def test_a_bars_peak_grows_with_its_width_up_to_1() -> None:
    widths = np.concatenate([[0.0], np.geomspace(0.001, 5000, 300)])
    peaks = bar_peak(widths, 4.0)
    assert peaks[0] == 0.0
    assert np.all(np.diff(peaks) >= 0)
    assert peaks[-1] == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize(("contrast", "factor"), FUJITA_SIZE_FACTORS)
def test_size_factors_are_fujitas(contrast: float, factor: float) -> None:
    # one parameter fitted to three points: it misses the farthest by 1.2 %
    assert size_factor(contrast) / size_factor(1.0) == pytest.approx(factor, rel=0.015)


def test_size_factors_are_held_and_then_end_at_low_contrast() -> None:
    assert size_factor(1.0) == 1.0
    assert size_factor(0.03) == size_factor(0.05) == pytest.approx(3.51, abs=0.005)
    assert size_factor(0.0149) == float("inf")
    assert is_low_contrast(1.05)
    assert not is_low_contrast(1.06)
    assert is_low_contrast(1.06, contrast_factor=0.6)


def test_light_helps_as_sheedy_measured() -> None:
    assert light_factor(80.0) == 1.0
    for luminance_cdm2 in (40.0, 100.0, 300.0):
        gain = np.log10(light_factor(luminance_cdm2) / light_factor(2 * luminance_cdm2))
        assert gain == pytest.approx(SHEEDY_LOGMAR_PER_DOUBLING)
    assert light_factor(600.0) == light_factor(20_000.0)


def test_dim_light_goes_on_without_a_step() -> None:
    assert light_factor(39.999) == pytest.approx(light_factor(40.0), rel=1e-5)
    # 5.08' and 6.40' against 4.79' at 40 cd/m²
    assert light_factor(27.0) == pytest.approx(1.11, abs=0.005)
    assert light_factor(8.0) == pytest.approx(1.40, abs=0.005)
    levels = np.geomspace(0.1, 1000, 200)
    assert np.all(np.diff([light_factor(level) for level in levels]) <= 1e-12)
    with pytest.raises(ValueError, match="above 0"):
        light_factor(0.0)


def test_an_optotype_at_its_limit_is_5_arcmin_high() -> None:
    """A black 6/6 letter (Weber contrast 1, so an endless ratio) in the light of the definition."""
    limit_m = reach(height_mm=OPTOTYPE_MM, stroke=1 / 5, ratio=1e9, k=1.0, luminance_cdm2=80.0)
    assert limit_m == pytest.approx(OPTOTYPE_DISTANCE_M, rel=1e-3)
    assert 1000 * OPTOTYPE_DISTANCE_M * tan(np.radians(OPTOTYPE_ARCMIN / 60)) == pytest.approx(OPTOTYPE_MM, abs=0.005)


@pytest.mark.parametrize("stroke", [1 / 5, 1 / 6])
@pytest.mark.parametrize("illuminance_lx", [150, 300, 500])
def test_black_capitals_reach_nine_readers_in_ten_as_smith_measured(stroke: float, illuminance_lx: float) -> None:
    luminance_cdm2 = illuminance_lx * 0.85 / np.pi
    ours_m = reach(stroke=stroke, luminance_cdm2=luminance_cdm2, pupil_mm=pupil_diameter_mm(luminance_cdm2))
    assert ours_m == pytest.approx(0.020 / SMITH_NINE_IN_TEN_RAD, rel=0.10)


def test_the_sign_makers_rule_is_near_our_reach() -> None:
    """Signs are seen by day: 1 in for 30 ft is a little bolder than ours indoors."""
    indoors_m = reach(height_mm=SIGN_RULE_MM)
    assert indoors_m == pytest.approx(SIGN_RULE_M, rel=0.15)
    day_cdm2 = 3000.0
    by_day_m = reach(height_mm=SIGN_RULE_MM, luminance_cdm2=day_cdm2, pupil_mm=pupil_diameter_mm(day_cdm2, 3600))
    assert by_day_m == pytest.approx(SIGN_RULE_M, rel=0.15)
    assert indoors_m < SIGN_RULE_M < by_day_m


def test_reach_solves_its_own_equation() -> None:
    """angle(h, D) = 5' x m(Ceff(D)) x k x light(L), put together from its parts."""
    height_mm, stroke_mm, ratio, k = 14.0, 1.1, 6.0, 2.0
    distance_m = reach(height_mm=height_mm, stroke=stroke_mm / height_mm, ratio=ratio, k=k)
    angle_arcmin = 60 * degrees(atan(height_mm / (1000 * distance_m)))
    seen = effective_contrast(
        1 - 1 / ratio,
        height_mm=height_mm,
        stroke_mm=stroke_mm,
        distance_m=distance_m,
        pupil_mm=ROOM_PUPIL_MM,
    )
    assert angle_arcmin == pytest.approx(LIMIT_ARCMIN * size_factor(seen) * k * light_factor(ROOM_CDM2), rel=1e-6)
    assert seen < 1 - 1 / ratio


def test_effective_contrast_is_the_bars_peak_against_the_usual_stroke() -> None:
    # 20 mm at 10 m: strokes of 0.344' and 1.375' (the usual fifth)
    seen = effective_contrast(0.8, height_mm=20, stroke_mm=1.0, distance_m=10, pupil_mm=3.0)
    assert seen == pytest.approx(0.8 * float(bar_peak(0.34377, 3.0) / bar_peak(1.37510, 3.0)), rel=1e-4)
    assert effective_contrast(0.8, height_mm=20, stroke_mm=6.0, distance_m=10, pupil_mm=3.0) == 0.8


def test_reach_never_falls_with_height_contrast_stroke_or_light() -> None:
    def rises(values: list[float]) -> bool:
        return bool(np.all(np.diff(values) > 0))

    assert rises([reach(height_mm=h, stroke=1.5 / h) for h in (2, 3, 5, 7, 7.5)])
    assert rises([reach(ratio=r) for r in (1.06, 1.2, 1.5, 2, 3, 4.5, 7, 12, 21)])
    assert rises([reach(stroke=s) for s in (0.01, 0.03, 0.05, 0.08, 0.12, 0.16, 0.2)])
    assert reach(stroke=0.2) == reach(stroke=0.3)
    assert rises([reach(luminance_cdm2=lum) for lum in (1, 5, 10, 30, 40, 60, 200, 599)])
    assert rises([reach(k=k) for k in (4.0, 2.9, 2.0, 1.45, 1.0)])
    assert rises([reach(contrast_factor=f) for f in (0.05, 0.3, 0.63, 1.0)])
    assert rises([reach(acuity_logmar=a) for a in (0.5, 0.3, 0.0)])


def test_reach_is_in_proportion_to_height_where_the_stroke_is_too() -> None:
    assert reach(height_mm=40, stroke=0.1) == pytest.approx(2 * reach(height_mm=20, stroke=0.1), rel=1e-4)


def test_worse_acuity_judges_the_strokes_from_farther_away() -> None:
    """At D x 10^logMAR; where the stroke is thick the acuity alone changes nothing (k does)."""
    assert reach(stroke=0.2, acuity_logmar=0.3) == reach(stroke=0.2)
    assert reach(stroke=0.05, acuity_logmar=0.3) < reach(stroke=0.05)


def test_nothing_is_read_without_contrast() -> None:
    assert reach(ratio=1.0) == 0.0
    assert reach(ratio=1.015) == 0.0
    assert reach(ratio=1.02) > 0.0
    # a contrast of 0.0196 is enough, six tenths of it are not
    assert reach(ratio=1.02, contrast_factor=0.6) == 0.0
    assert reach(stroke=0.0) == 0.0
    assert reach(height_mm=0.0) == 0.0
