"""The standard observer: how far a pattern of contrast is above the threshold of the fovea, in JND.

The sensitivity is that of a whole observer: the eye's optics are already in it, so a picture that is
filtered by it must not be blurred first.
"""

from functools import lru_cache
from math import ceil, pi, sqrt

import numpy as np
import numpy.typing as npt
from scipy import fft
from scipy.ndimage import gaussian_filter

Doubles = npt.NDArray[np.float64]
Picture = npt.NDArray[np.float32]

NATIVE_CDM2 = 30.0
"""Luminance at which the sensitivity was measured: Watson & Ahumada (2005), ModelFest's displays."""

# Watson & Ahumada (2005), the model with the HPmH sensitivity and the oblique effect.
_GAIN = 373.08
_HIGH_CPD = 4.1726
_HIGH_POWER = 0.7786
_LOW_LOSS = 0.8493
_LOW_CPD = 1.3625
OBLIQUE_FROM_CPD = 3.481
OBLIQUE_SPREAD_CPD = 13.57

POOLING = 2.4081
"""Minkowski exponent over place: Watson & Ahumada (2005)."""
APERTURE_DEG = 0.6273
"""Standard deviation of the foveal aperture: Watson & Ahumada (2005)."""
HIGHEST_CPD = 50.0
"""From here on the sensitivity is under 0.4 % of its peak and is taken as 0."""

_MARGIN_DEG = 0.5
_POOL_STEP_DEG = 0.05
_TABLE_STEP_CPD = 0.005

# castleCSF v0.2.4, achromatic sustained channel.
_PEAK_GAIN = (56.4947, 7.54726, 0.144532)
_PEAK_CPD = (1.78119, 91.5718, 0.256682)
_BRIGHT_LOSS = (5.58341e-7, 9.66862e9)
_BANDWIDTH = 0.000213047
_LOW_FREQUENCY_LOSS = 0.100207
_CPD_RANGE = (1 / 16, 64.0)
_CDM2_RANGE = (0.1, 1e4)


def contrast_sensitivity(frequency_cpd: npt.ArrayLike) -> Doubles:
    """Foveal contrast sensitivity to an upright or level grating at 30 cd/m².

    Parameters
    ----------
    frequency_cpd
        Any shape, cycles per degree, at least 0.

    Returns
    -------
    Sensitivity of the same shape; one over the threshold of the filter alone, before pooling.

    References
    ----------
    Watson & Ahumada (2005), "A standard model for foveal detection of spatial contrast", Journal of
    Vision 5(9):6, doi:10.1167/5.9.6; difference of two hyperbolic secants.
    """
    f = np.asarray(frequency_cpd, dtype=np.float64)
    return _GAIN * (_sech((f / _HIGH_CPD) ** _HIGH_POWER) - _LOW_LOSS * _sech(f / _LOW_CPD))


def oblique_loss(frequency_cpd: npt.ArrayLike) -> Doubles:
    """Share of the sensitivity lost at 45 degrees; between the axes it goes with sin² of twice the angle.

    Parameters
    ----------
    frequency_cpd
        Any shape, cycles per degree.

    References
    ----------
    Watson & Ahumada (2005), Journal of Vision 5(9):6.
    """
    f = np.asarray(frequency_cpd, dtype=np.float64)
    return -np.expm1(-np.maximum(f - OBLIQUE_FROM_CPD, 0.0) / OBLIQUE_SPREAD_CPD)


def luminance_correction(frequency_cpd: npt.ArrayLike, luminance_cdm2: float) -> Doubles:
    """Sensitivity at a luminance as a multiple of that at 30 cd/m².

    Parameters
    ----------
    frequency_cpd
        Any shape, cycles per degree; outside 1/16 to 64 the value at the end is used.
    luminance_cdm2
        Adapting luminance; outside 0.1 to 10 000 cd/m² the value at the end is used.

    Notes
    -----
    Only the ratio is taken, so the terms for area and frequency that are the same at every luminance
    cancel. The transient channel's share for a still picture is under 1e-6 in this range and is left out.

    References
    ----------
    Ashraf, Mantiuk, Chapiro & Wuerger (2024), "castleCSF", Journal of Vision 24(4):5; constants as
    published with castleCSF v0.2.4.
    """
    f = np.clip(np.asarray(frequency_cpd, dtype=np.float64), *_CPD_RANGE)
    return _castle(f, float(np.clip(luminance_cdm2, *_CDM2_RANGE))) / _castle(f, NATIVE_CDM2)


def jnd(
    difference_contrast: npt.ArrayLike,
    px_per_deg: float,
    *,
    luminance_cdm2: float = NATIVE_CDM2,
    halvings: int = 0,
) -> float:
    """How far a pattern is above threshold, looked at where it shows best.

    Parameters
    ----------
    difference_contrast
        (H, W) difference in luminance over the luminance the eye is adapted to; 0 outside the picture.
    px_per_deg
        Samples a degree; detail above half of that is missing from the answer.
    luminance_cdm2
        Luminance the eye is adapted to.
    halvings
        How often the samples were low-passed by (1 3 3 1) / 8 and halved in number; what that took from
        the fine detail is given back.

    Returns
    -------
    JND: 1 is just detectable; twice the contrast is twice the JND.

    Notes
    -----
    r is the contrast after the contrast sensitivity, s = aperture / sqrt(pooling). The aperture centred
    on x pools to J(x) = (2 pi s² G_s * |r|^pooling)^(1 / pooling); the largest J counts. There is no
    masking: on a busy ground the answer is too high.

    References
    ----------
    Watson & Ahumada (2005), Journal of Vision 5(9):6.
    """
    contrast = np.asarray(difference_contrast, dtype=np.float32)
    if contrast.ndim != 2 or contrast.size == 0:
        raise ValueError(f"a pattern is a picture of rows and columns, not of shape {contrast.shape}")
    response, samples_per_deg = _filtered(contrast, px_per_deg, luminance_cdm2, halvings)
    blocks = tuple(max(1, round(n * _POOL_STEP_DEG)) for n in samples_per_deg)
    rows, columns = (-(-n // b) for n, b in zip(response.shape, blocks, strict=True))
    power = np.zeros((rows * blocks[0], columns * blocks[1]), dtype=np.float32)
    inside = power[: response.shape[0], : response.shape[1]]
    np.power(np.abs(response), np.float32(POOLING), out=inside)
    pooled = power.reshape(rows, blocks[0], columns, blocks[1]).mean(axis=(1, 3), dtype=np.float64)
    spread_deg = APERTURE_DEG / sqrt(POOLING)
    sigmas = [spread_deg * n / b for n, b in zip(samples_per_deg, blocks, strict=True)]
    peak = gaussian_filter(pooled, sigmas, mode="constant").max()
    return float((2 * pi * spread_deg**2 * peak) ** (1 / POOLING))


def _filtered(
    contrast: Picture, px_per_deg: float, luminance_cdm2: float, halvings: int
) -> tuple[Picture, tuple[float, float]]:
    """Contrast after the sensitivity, on a grid no finer than it needs, and that grid's samples a degree."""
    margin = ceil(_MARGIN_DEG * px_per_deg)
    height, width = (fft.next_fast_len(n + 2 * margin, real=True) for n in contrast.shape)
    padded = np.zeros((height, width), dtype=np.float32)
    padded[margin : margin + contrast.shape[0], margin : margin + contrast.shape[1]] = contrast
    spectrum = fft.rfft2(padded)
    # the highest kept frequency on each axis, as a whole number of cycles over the picture
    ky, kx = (min((n - 1) // 2, int(HIGHEST_CPD * n / px_per_deg)) for n in (height, width))
    rows, columns = (min(n, fft.next_fast_len(2 * k + 1, real=True)) for n, k in ((height, ky), (width, kx)))
    fy_cpd, fx_cpd = (np.arange(k + 1) * (px_per_deg / n) for k, n in ((ky, height), (kx, width)))
    gain = _gain(fy_cpd, fx_cpd, luminance_cdm2)
    if halvings:
        gain *= _given_back(fy_cpd, px_per_deg, halvings)[:, np.newaxis]
        gain *= _given_back(fx_cpd, px_per_deg, halvings)
    kept = np.zeros((rows, columns // 2 + 1), dtype=np.complex64)
    kept[: ky + 1, : kx + 1] = spectrum[: ky + 1, : kx + 1] * gain
    if ky:
        kept[-ky:, : kx + 1] = spectrum[-ky:, : kx + 1] * gain[:0:-1]
    response = fft.irfft2(kept, s=(rows, columns))
    response *= np.float32(rows * columns / (height * width))
    return response, (px_per_deg * rows / height, px_per_deg * columns / width)


def _gain(fy_cpd: Doubles, fx_cpd: Doubles, luminance_cdm2: float) -> Picture:
    """Sensitivity at every pair of frequencies (H, W), from a table over their length."""
    straight, oblique = _tables(luminance_cdm2)
    fy2, fx2 = (fy_cpd**2).astype(np.float32)[:, np.newaxis], (fx_cpd**2).astype(np.float32)
    index = (np.sqrt(fy2 + fx2) * np.float32(1 / _TABLE_STEP_CPD) + np.float32(0.5)).astype(np.int32)
    gain: Picture = straight[index] - oblique[index] * (fy2 * fx2)
    return gain


@lru_cache(maxsize=16)
def _tables(luminance_cdm2: float) -> tuple[Picture, Picture]:
    """Sensitivity along an axis, and its oblique loss as the factor of fx² fy²; by frequency."""
    # sin²(2 angle) = 4 fx² fy² / f⁴
    f = np.arange(ceil(sqrt(2) * HIGHEST_CPD / _TABLE_STEP_CPD) + 2) * _TABLE_STEP_CPD
    straight = contrast_sensitivity(f) * luminance_correction(f, luminance_cdm2)
    oblique = straight * oblique_loss(f) * 4 / np.maximum(f, _TABLE_STEP_CPD) ** 4
    return straight.astype(np.float32), oblique.astype(np.float32)


def _given_back(frequency_cpd: Doubles, px_per_deg: float, halvings: int) -> Picture:
    """One over what halving so often leaves of each frequency."""
    left = np.ones_like(frequency_cpd)
    for n in range(1, halvings + 1):
        left *= np.cos(pi * frequency_cpd / px_per_deg / 2**n) ** 3
    return (1 / left).astype(np.float32)


def _castle(f: Doubles, luminance_cdm2: float) -> Doubles:
    """Sustained sensitivity up to factors that don't depend on luminance."""
    gain, knee, power = _PEAK_GAIN
    peak = gain * (1 + knee / luminance_cdm2) ** -power
    peak *= -np.expm1(-_BRIGHT_LOSS[1] * np.log1p(_BRIGHT_LOSS[0] / luminance_cdm2))
    gain, knee, power = _PEAK_CPD
    peak_cpd = gain * (1 + knee / luminance_cdm2) ** -power
    fall = 10 ** (-((np.log10(f) - np.log10(peak_cpd)) ** 2) / 2**_BANDWIDTH)
    sensitivity: Doubles = peak * np.where(f < peak_cpd, np.maximum(fall, 1 - _LOW_FREQUENCY_LOSS), fall)
    return sensitivity


def _sech(x: Doubles) -> Doubles:
    secant: Doubles = 1 / np.cosh(np.minimum(x, 700.0))
    return secant
