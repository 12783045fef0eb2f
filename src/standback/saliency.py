"""What draws the eye on a picture: maps of saliency, a heuristic for the first looks.

Two maps are joined. The spectral residual (Hou & Zhang, CVPR 2007) keeps what departs from the spectrum
that natural pictures share; it is computed at 64 samples, as published, since it depends on the scale.
Centre-surround differences of lightness and colour (after Itti, Koch & Niebur 1998) keep what stands off
from what is around it; their sizes are visual angles, so that what stands off changes as the viewer comes
nearer.
"""

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.light import linear_to_oklab

LONG_SIDE = 64
"""Samples along the longer side: Hou & Zhang (2007)."""
MEAN_SAMPLES = 3
"""Box over which the log spectrum is averaged: Hou & Zhang (2007)."""
RESIDUAL_SIGMA = 2.5
"""Gaussian that smooths the residual's map, in samples: Hou & Zhang (2007), as in public codes."""
CENTRE_DEG, SURROUND_DEG = 0.25, 1.5
"""What is compared with what is around it, as standard deviations in degrees (ours)."""
LEAST_CENTRE, LEAST_SURROUND = 0.7, 2.8
"""No finer than this, in samples, whatever the angle (ours)."""
CENTRE_BIAS_SHARE = 0.25
"""Standard deviation of looks around the middle of a picture, as a share of each side (ours): people look
there first whatever is shown."""
LEAST_DIFFERENCE = 0.004
"""OKLab: less is a sheet of one colour, where only rounding is left (ours)."""

Map = npt.NDArray[np.float64]


def shrunk(linear: npt.ArrayLike, long_side: int = LONG_SIDE) -> npt.NDArray[np.float64]:
    """Return a picture (H, W, 3) averaged over areas, its longer side `long_side` samples, linear light."""
    picture = np.asarray(linear, dtype=np.float64)
    height, width = picture.shape[:2]
    scale = long_side / max(height, width)
    rows, columns = max(1, round(height * scale)), max(1, round(width * scale))
    rows, columns = min(rows, height), min(columns, width)
    down, across = _averaging(rows, height), _averaging(columns, width)
    averaged: Map = np.einsum("rh,hwc,kw->rkc", down, picture, across, optimize=True)
    return averaged


def _averaging(count: int, of: int) -> Map:
    """Return the (count, of) weights that average `of` samples into `count`."""
    edges = np.linspace(0, of, count + 1)
    start, end = edges[:-1, None], edges[1:, None]
    index = np.arange(of)
    cover = np.clip(np.minimum(end, index + 1) - np.maximum(start, index), 0.0, None)
    return np.asarray(cover / cover.sum(axis=1, keepdims=True))


def spectral_residual(lightness: npt.ArrayLike) -> Map:
    """Return the spectral residual's map of a picture (H, W), of the same shape.

    References
    ----------
    Hou, X. & Zhang, L. (2007). Saliency detection: a spectral residual approach. CVPR 2007.
    """
    spectrum = np.fft.fft2(np.asarray(lightness, dtype=np.float64))
    # where a picture is flat its spectrum is 0: the logarithm of nothing says nothing
    log_amplitude = np.log(np.maximum(np.abs(spectrum), 1e-9))
    residual = log_amplitude - ndimage.uniform_filter(log_amplitude, MEAN_SAMPLES, mode="wrap")
    back = np.fft.ifft2(np.exp(residual + 1j * np.angle(spectrum)))
    return np.asarray(ndimage.gaussian_filter(np.abs(back) ** 2, RESIDUAL_SIGMA))


def centre_surround(oklab: npt.ArrayLike, px_per_deg: float) -> tuple[Map, Map]:
    """Return how far each place (H, W, 3) stands off from around it: in lightness, and in colour."""
    planes = np.moveaxis(np.asarray(oklab, dtype=np.float64), -1, 0)
    centre = max(CENTRE_DEG * px_per_deg, LEAST_CENTRE)
    surround = max(SURROUND_DEG * px_per_deg, LEAST_SURROUND)
    off = [ndimage.gaussian_filter(p, centre) - ndimage.gaussian_filter(p, surround) for p in planes]
    return np.abs(off[0]), np.hypot(off[1], off[2])


def saliency(linear: npt.ArrayLike, px_per_deg: float) -> Map:
    """Return what draws the eye on a small picture (H, W, 3) of linear light: (H, W), its sum 1.

    Spectral residual and centre-surround count alike, and what is no more salient than the picture on
    the whole draws nothing (both ours): else a large even text would draw by its mere extent.

    Parameters
    ----------
    px_per_deg
        Samples in one degree of visual angle.
    """
    oklab = linear_to_oklab(np.clip(linear, 0.0, 1.0))
    if float(np.ptp(oklab, axis=(0, 1)).max()) < LEAST_DIFFERENCE:
        return np.zeros(oklab.shape[:2])
    light, colour = centre_surround(oklab, px_per_deg)
    whole = _to_one(spectral_residual(oklab[..., 0])) + _to_one(light + colour)
    return _to_one(np.maximum(whole - whole.mean(), 0.0))


def centre_bias(shape: tuple[int, int]) -> Map:
    """Return where people look whatever is shown: a Gaussian around the middle, its sum 1."""
    y, x = (((np.arange(n) + 0.5) / n - 0.5) / CENTRE_BIAS_SHARE for n in shape)
    return _to_one(np.exp(-0.5 * (y[:, None] ** 2 + x**2)))


def _to_one(values: Map) -> Map:
    total = float(values.sum())
    return values / total if total > 0 else np.zeros_like(values)
