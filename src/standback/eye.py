"""The viewer's eye: pupil, optics, and how far letters can be read.

Frequencies are in cycles per degree, widths in arcmin; 1 degree is 60 arcmin.
"""

from bisect import bisect_right
from dataclasses import dataclass
from functools import lru_cache
from math import atan, degrees, log2, log10, pi, radians, sqrt, tan

import numpy as np
import numpy.typing as npt

Doubles = npt.NDArray[np.float64]

WAVELENGTH_NM = 555.0
"""Peak of photopic vision, at which Watson (2013) gives the diffraction limit."""
PUPIL_RANGE_MM = (2.0, 6.0)
"""Pupils for which Watson (2013) fitted the optics."""
AGE_RANGE_YEARS = (20.0, 83.0)
"""Ages for which Watson & Yellott (2012) fitted the pupil."""

LIMIT_ARCMIN = 5.0
"""Letter height at the limit of 6/6 vision: the definition of the optotype (ISO 8596)."""
CONTRAST_DECADES = 1.82
"""Fit to the reading acuities of Fujita, Oda, Watanabe & Yuzawa (2008) at 100, 40, 20 and 10 %."""
LOWEST_FITTED_CONTRAST = 0.05
"""Under this contrast the size factor is held (ours): the data end at 0.10."""
LOWEST_CONTRAST = 0.015
"""Under this contrast nothing is read at any size; the fit itself diverges here."""
USUAL_STROKE = 1 / 5
"""Stroke over height of an optotype letter (ISO 8596); thinner strokes lose contrast in the eye."""

MASKING = 2.0
"""Contrast that letters need on a busy ground, over its RMS contrast in their own band (1 to 3 cycles a letter).

From memory: letters are told apart at an energy of about 40 times the noise's spectral density (Pelli, Burns, Farell &
Moore-Page 2006: an efficiency of about a tenth). Noise of RMS contrast c has a density of c²/8pi in that band, in
units of the letter, and ink covers about 0.4 of the letter's square: sqrt(40 / (0.4 x 8pi)) = 2.0.
"""
STILL_GROUND = 0.02
"""A ground of less RMS contrast masks nothing (ours): what JPEG leaves beside letters."""

SHEEDY_RANGE_CDM2 = (40.0, 600.0)
"""Sheedy, Bailey & Raasch (1984): within it 0.02 logMAR for each doubling of luminance."""
DIM_LIMIT_CDM2 = (8.0, 27.0, 40.0)
DIM_LIMIT_ARCMIN = (6.40, 5.08, 4.79)
"""Limit of a black letter in dim light, from the model of Watson & Ahumada (2005) with the luminance
dependence of castleCSF (2024); used as ratios to the limit at 40 cd/m², where Sheedy's range begins."""

_BAR_PERIOD_ARCMIN = 2048.0
_BAR_TABLE_SIZE = 2**17
_HALVINGS = 40


def pupil_diameter_mm(luminance_cdm2: float, field_deg2: float = 400.0, age_years: float = 30.0) -> float:
    """Diameter of the light-adapted pupil, both eyes open.

    Parameters
    ----------
    luminance_cdm2
        Luminance of the bright field in cd/m², above 0.
    field_deg2
        Area of the bright field in square degrees.
    age_years
        Age; ages beyond 20-83 count as the nearest of these.

    Returns
    -------
    Diameter in mm.

    References
    ----------
    Watson & Yellott (2012), "A unified formula for light-adapted pupil size", J Vis 12(10):12, eq. 21.
    """
    if not (luminance_cdm2 > 0 and field_deg2 > 0):
        raise ValueError("luminance and field must be above 0")
    flux = float((luminance_cdm2 * field_deg2 / 846.0) ** 0.41)
    diameter_mm = 7.75 - 5.75 * flux / (flux + 2.0)
    age = min(max(age_years, AGE_RANGE_YEARS[0]), AGE_RANGE_YEARS[1])
    return diameter_mm + (age - 28.58) * (0.021323 - 0.0095623 * diameter_mm)


def cutoff_cpd(pupil_mm: float) -> float:
    """Frequency in cycles per degree above which the pupil lets no detail through (diffraction)."""
    return _within_fit(pupil_mm) * pi * 1e6 / (WAVELENGTH_NM * 180.0)


def _within_fit(pupil_mm: float) -> float:
    return min(max(pupil_mm, PUPIL_RANGE_MM[0]), PUPIL_RANGE_MM[1])


def eye_mtf(frequency_cpd: npt.ArrayLike, pupil_mm: float) -> npt.NDArray[np.floating]:
    """Mean modulation transfer of well-corrected human eyes in white light.

    Parameters
    ----------
    frequency_cpd
        Spatial frequency in cycles per degree, any shape; float32 stays float32.
    pupil_mm
        Pupil diameter in mm; pupils beyond 2-6 mm count as the nearest of these.

    Returns
    -------
    Share of the contrast that reaches the retina, 1 at frequency 0; same shape.

    References
    ----------
    Watson (2013), "A formula for the mean human optical modulation transfer function as a function of
    pupil size", J Vis 13(6):18.
    """
    frequency = np.abs(np.asarray(frequency_cpd))
    if frequency.dtype.kind != "f":
        frequency = frequency.astype(np.float64)
    d = _within_fit(pupil_mm)
    u1 = 21.95 - 5.512 * d + 0.3922 * d * d
    x = np.minimum(frequency / cutoff_cpd(d), 1.0)
    diffraction = (2 / pi) * (np.arccos(x) - x * np.sqrt(1 - x * x))
    aberrations = (1 + (frequency / u1) ** 2) ** -0.62
    return np.asarray(aberrations * np.sqrt(np.maximum(diffraction, 0.0)))


@lru_cache(maxsize=32)
def _bar_table(pupil_mm: float) -> tuple[Doubles, Doubles]:
    """Widths in arcmin and peaks of bars, one bar every `_BAR_PERIOD_ARCMIN`.

    The peak is 2 x the integral over f of MTF(f) sin(pi f w) / (pi f), that is the line spread
    integrated over the bar. As a Fourier series it is exact: the MTF ends at the diffraction limit.
    """
    n = _BAR_TABLE_SIZE
    step_cpd = 60.0 / _BAR_PERIOD_ARCMIN
    frequency = np.arange(1, n // 2 + 1) * step_cpd
    sines = np.zeros(n // 2 + 1, dtype=np.complex128)
    sines[1:] = -1j * (n / 2) * 2 * step_cpd * eye_mtf(frequency, pupil_mm) / (pi * frequency)
    width_arcmin = np.arange(n // 2 + 1) * (2 * _BAR_PERIOD_ARCMIN / n)
    peak = np.fft.irfft(sines, n)[: n // 2 + 1] + width_arcmin / _BAR_PERIOD_ARCMIN
    return width_arcmin.astype(np.float64), np.maximum.accumulate(peak)


def bar_peak(width_arcmin: npt.ArrayLike, pupil_mm: float) -> Doubles:
    """Contrast left at the middle of a long bar after the eye's optics.

    Parameters
    ----------
    width_arcmin
        Width of the bar in arcmin, any shape.
    pupil_mm
        Pupil diameter in mm.

    Returns
    -------
    0 for a bar without width, growing to 1 for a wide one; same shape.
    """
    return np.interp(np.asarray(width_arcmin, dtype=np.float64), *_bar_table(pupil_mm))


def _bar_peak_of(width_arcmin: float, pupil_mm: float) -> float:
    """Return `bar_peak` of one bar: numpy takes ten times as long for a single number, and many are asked for."""
    widths, peaks = _bar_lists(pupil_mm)
    n = bisect_right(widths, width_arcmin) - 1
    if n >= len(widths) - 1:
        return peaks[-1]
    slope = (peaks[n + 1] - peaks[n]) / (widths[n + 1] - widths[n])
    return slope * (width_arcmin - widths[n]) + peaks[n]


@lru_cache(maxsize=32)
def _bar_lists(pupil_mm: float) -> tuple[list[float], list[float]]:
    widths, peaks = _bar_table(pupil_mm)
    return widths.tolist(), peaks.tolist()


def weber_contrast(ratio: float) -> float:
    """Weber contrast, WCAG's flare included, of a WCAG ratio: 1 - 1/ratio, for either polarity."""
    return 1.0 - 1.0 / ratio


def is_low_contrast(ratio: float, contrast_factor: float = 1.0) -> bool:
    """Tell whether a WCAG ratio lies below what the reading model was measured for."""
    return weber_contrast(ratio) * contrast_factor < LOWEST_FITTED_CONTRAST


def ratio_on_even_ground(ratio: float, ground_contrast: float) -> float:
    """WCAG ratio on an even ground at which letters read as well as they do at `ratio` on a busy one.

    Parameters
    ----------
    ratio
        WCAG ratio of ink to ground.
    ground_contrast
        RMS contrast of the ground in the letter band, over the same luminance as the letters' own contrast.

    Notes
    -----
    Squared contrasts add: letters are read where C² >= C0² + (2c)², C0 being what they need without noise.
    So sqrt(C² - (2c)²) counts; 0 is left where the ground masks them wholly. Under `STILL_GROUND` nothing is
    taken, and from there on it sets in smoothly.

    References
    ----------
    Pelli & Farell (1999), "Why use noise?", JOSA A 16:647, for the sum of squares.
    """
    busy2 = max(ground_contrast**2 - STILL_GROUND**2, 0.0)
    if busy2 == 0.0:
        return ratio
    left2 = max(weber_contrast(ratio) ** 2 - MASKING**2 * busy2, 0.0)
    return 1.0 / (1.0 - sqrt(left2))


def size_factor(contrast: float) -> float:
    """How many times larger than black ones letters of this Weber contrast must be at the limit.

    1 / (1 - log10(1/C) / 1.82); held below a contrast of 0.05, infinite below 0.015.

    References
    ----------
    Fujita, Oda, Watanabe & Yuzawa (2008), Jpn J Ophthalmol: one parameter fitted to its four contrasts.
    """
    if contrast < LOWEST_CONTRAST:
        return float("inf")
    return 1.0 / (1.0 + log10(max(contrast, LOWEST_FITTED_CONTRAST)) / CONTRAST_DECADES)


def light_factor(luminance_cdm2: float) -> float:
    """How many times larger than at 80 cd/m² letters must be in this light.

    Notes
    -----
    40-600 cd/m²: Sheedy, Bailey & Raasch (1984), level above. Below 40: the limits of
    `DIM_LIMIT_ARCMIN` as ratios, interpolated over the logarithm of luminance; below the table its last
    slope goes on (ours).
    """
    if not luminance_cdm2 > 0:
        raise ValueError("luminance must be above 0")
    low, high = SHEEDY_RANGE_CDM2
    factor = 10.0 ** (-0.02 * log2(min(max(luminance_cdm2, low), high) / 80.0))
    if luminance_cdm2 >= low:
        return float(factor)
    level = np.log10(DIM_LIMIT_CDM2)
    limit = np.log10(DIM_LIMIT_ARCMIN)
    here = log10(luminance_cdm2)
    dimmest = limit[0] + (here - level[0]) * (limit[1] - limit[0]) / (level[1] - level[0])
    log_limit = dimmest if here < level[0] else np.interp(here, level, limit)
    return float(factor * 10.0 ** (log_limit - limit[-1]))


def effective_contrast(
    contrast: float, *, height_mm: float, stroke_mm: float, distance_m: float, pupil_mm: float
) -> float:
    """Weber contrast that counts for reading: what thin strokes lose in the eye is taken off.

    C x min(1, A(stroke) / A(height/5)), A the peak of a bar after the eye's optics.
    """
    usual_mm = height_mm * USUAL_STROKE
    if stroke_mm >= usual_mm:
        return contrast
    stroke, usual = (_bar_peak_of(_arcmin(size_mm, distance_m), pupil_mm) for size_mm in (stroke_mm, usual_mm))
    return contrast * min(1.0, stroke / usual)


def _arcmin(size_mm: float, distance_m: float) -> float:
    return 60.0 * degrees(atan(size_mm / (1000.0 * distance_m)))


def _distance_m(size_mm: float, angle_arcmin: float) -> float:
    """Distance at which a size fills an angle; 0 for what would have to fill the whole view."""
    return size_mm / (1000.0 * tan(radians(angle_arcmin / 60.0))) if angle_arcmin < 90 * 60 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LettersAt:
    """What reading letters from one distance comes down to: every number on the way, in the order it is had.

    Attributes
    ----------
    contrast
        Weber contrast, flare included, as far as this viewer makes use of it.
    stroke_arcmin, usual_arcmin
        Angles of the strokes, and of those of an optotype as tall, at the distance whose detail is seen.
    stroke_kept
        Share of the contrast that the strokes keep in the eye, against an optotype's.
    effective_contrast, size_factor, light_factor
        Contrast that counts; how many times larger than black letters, and than in good light.
    wanted_arcmin
        Letter height that this viewer wants, as an angle.
    """

    contrast: float
    stroke_arcmin: float
    usual_arcmin: float
    stroke_kept: float
    effective_contrast: float
    size_factor: float
    light_factor: float
    wanted_arcmin: float


def letters_at(
    distance_m: float,
    *,
    height_mm: float,
    stroke_mm: float,
    ratio: float,
    k: float,
    pupil_mm: float,
    luminance_cdm2: float,
    contrast_factor: float = 1.0,
    acuity_logmar: float = 0.0,
) -> LettersAt:
    """Return what reading letters from a distance takes: 5' x m(Ceff(D)) x k x light(L).

    Parameters as in `reach_m`.
    """
    contrast = weber_contrast(ratio) * contrast_factor
    detail_m = distance_m * 10.0**acuity_logmar
    effective = effective_contrast(
        contrast, height_mm=height_mm, stroke_mm=stroke_mm, distance_m=detail_m, pupil_mm=pupil_mm
    )
    size, light = size_factor(effective), light_factor(luminance_cdm2)
    return LettersAt(
        contrast=contrast,
        stroke_arcmin=_arcmin(stroke_mm, detail_m),
        usual_arcmin=_arcmin(height_mm * USUAL_STROKE, detail_m),
        stroke_kept=effective / contrast if contrast > 0 else 0.0,
        effective_contrast=effective,
        size_factor=size,
        light_factor=light,
        wanted_arcmin=LIMIT_ARCMIN * size * k * light,
    )


def reach_m(
    *,
    height_mm: float,
    stroke_mm: float,
    ratio: float,
    k: float,
    pupil_mm: float,
    luminance_cdm2: float,
    contrast_factor: float = 1.0,
    acuity_logmar: float = 0.0,
) -> float:
    """Farthest distance at which a viewer reads letters: angle(h, D) = 5' x m(Ceff(D)) x k x light(L).

    Parameters
    ----------
    height_mm
        Height of the capitals, or x-height of lowercase.
    stroke_mm
        Width of the strokes.
    ratio
        WCAG ratio of ink to ground.
    k
        Letter height wanted as a multiple of the limit of a young corrected eye.
    pupil_mm, luminance_cdm2
        Pupil in mm and luminance of the paper in cd/m².
    contrast_factor
        Share of the contrast that this viewer's eye makes use of.
    acuity_logmar
        The strokes are judged at D x 10^logMAR.

    Returns
    -------
    Distance in m; 0 where the contrast is below what can be read at any size.
    """
    contrast = weber_contrast(ratio) * contrast_factor
    if contrast < LOWEST_CONTRAST or height_mm <= 0 or stroke_mm <= 0:
        return 0.0

    light, blurred = light_factor(luminance_cdm2), 10.0**acuity_logmar

    def readable_to_m(at_m: float) -> float:
        # the last number of `letters_at`, without all that stays as it is: it is asked for some forty times
        effective = effective_contrast(
            contrast, height_mm=height_mm, stroke_mm=stroke_mm, distance_m=at_m * blurred, pupil_mm=pupil_mm
        )
        return _distance_m(height_mm, LIMIT_ARCMIN * size_factor(effective) * k * light)

    # Strokes only lose contrast with distance: thick ones bound the reach, and halving finds it.
    far = _distance_m(height_mm, LIMIT_ARCMIN * k * light * size_factor(contrast))
    if readable_to_m(far) >= far:
        return far
    near = 0.0
    for _ in range(_HALVINGS):
        middle = (near + far) / 2.0
        if readable_to_m(middle) >= middle:
            near = middle
        else:
            far = middle
    return near
