"""How busy the ground of a line is, in the very fineness that letters are read by."""

from typing import Any

import numpy as np
import numpy.typing as npt
from scipy.ndimage import gaussian_filter

from standback.artwork import Artwork, linear_crop
from standback.doubts import Doubt
from standback.elements import Line
from standback.light import luminance1
from standback.masks import grown
from standback.measure.along import whole_samples

Doubles = npt.NDArray[np.float64]
Picture = npt.NDArray[Any]

FINEST_CYCLES, COARSEST_CYCLES = 3.0, 1.0
"""The letter band, in cycles a letter height: Solomon & Pelli (1994), Parish & Sperling (1991)."""
BAND_GAIN = 1.654
"""Makes up for what two Gaussians, each at a half where the band ends, let through of even noise in it (computed)."""
SAMPLES_A_LETTER = 24.0
"""As fine as the band has to be looked at, with some to spare (ours)."""
RIM_SAMPLES = 2
"""How far outside the mask the ink's soft rim and its JPEG noise reach (common practice)."""
LEAST_SAMPLES = 12.0
"""Between letters of fewer samples there is no ground that is clear of their rims (ours)."""
HALO_SAMPLES, HALO_RANGE1 = 2, 0.04
"""Letters whose next samples beyond the rim are of one luminance, nine in ten of them to within this, stand on an even
ground or have an outline, which parts them from whatever lies behind (ours)."""
MOST_SLANT_DEG = 5.0
"""Between the letters of a line that slants more, other things may stand in its box (ours)."""
LEAST_GROUND_SHARE = 0.1
"""A window with less bare ground than this says nothing (ours)."""

_ROUNDING = 1e-6
_HALF_SIGMA = np.sqrt(np.log(2) / 2) / np.pi


def ground_noise1(line: Line, artwork: Artwork) -> float:
    """RMS luminance of the ground in the letter band: 1 to 3 cycles a letter height.

    Measured on the bare ground between the letters (not above or below them, where other things may stand),
    window by window, one letter height wide; the middle one counts, so that the edge of a panel or a stroke
    of a drawing that crosses the line is no texture. 0 where the line leaves too little of its ground bare, for
    slanted lines, and for letters with an outline of one colour. Even noise of that band reads as 0.74 to 0.97
    of what it is (drawn lines in six faces), lower between heavy capitals, which hide most of their ground.
    """
    if Doubt.OUTLINED in line.doubts or abs(line.angle_deg - 90 * round(line.angle_deg / 90)) > MOST_SLANT_DEG:
        return 0.0
    scale = line.mask_scale
    if line.letter_px < LEAST_SAMPLES * scale:
        return 0.0
    light1 = luminance1(linear_crop(artwork, whole_samples(line, artwork), scale))
    height, width = line.mask.shape
    light1 = light1[:height, :width].astype(np.float64)
    rim = grown(line.mask[: light1.shape[0], : light1.shape[1]], RIM_SAMPLES, corners=False)
    beside = light1[grown(rim, HALO_SAMPLES, corners=False) & ~rim]
    if beside.size and float(np.ptp(np.quantile(beside, (0.05, 0.95)))) < HALO_RANGE1:
        return 0.0
    bare = ~rim
    along = 1 if line.box_px.width >= line.box_px.height else 0
    letter = line.letter_px / scale
    light1, bare = (_body(part, line.mask, round(letter), 1 - along) for part in (light1, bare))
    block = max(1, int(letter / SAMPLES_A_LETTER))
    cover, sums = _blocks(bare.astype(np.float64), block), _blocks(np.where(bare, light1, 0.0), block)
    band = _low(cover, sums, letter / block / FINEST_CYCLES) - _low(cover, sums, letter / block / COARSEST_CYCLES)
    energies = _windows(BAND_GAIN**2 * band**2, cover, max(1, round(letter / block)), along)
    noise1 = float(np.sqrt(np.median(energies))) if len(energies) else 0.0
    return noise1 if noise1 > _ROUNDING else 0.0


def _body(picture: Picture, mask: npt.NDArray[np.bool_], letter: int, axis: int) -> Picture:
    """Cut a picture to the rows (axis 0) or columns that the bodies of the letters fill: as many, with the most ink."""
    ink = mask.sum(axis=1 - axis)[: picture.shape[axis]]
    sums = np.concatenate([[0], np.cumsum(ink)])
    size = min(max(letter, 1), len(ink))
    start = int(np.argmax(sums[size:] - sums[:-size]))
    return picture[start : start + size] if axis == 0 else picture[:, start : start + size]


def _blocks(picture: Doubles, block: int) -> Doubles:
    """Sum whole blocks; those cut by the far edges have what there is."""
    for axis in (0, 1):
        if block > 1:
            picture = np.add.reduceat(picture, np.arange(0, picture.shape[axis], block), axis=axis)
    return picture


def _low(cover: Doubles, sums: Doubles, period: float) -> Doubles:
    """Low-pass the bare ground alone: a half is left of what repeats after `period` samples."""
    sigma = period * _HALF_SIGMA
    weight = gaussian_filter(cover, sigma, mode="constant")
    low: Doubles = gaussian_filter(sums, sigma, mode="constant") / np.maximum(weight, 1e-9)
    return low


def _windows(energy: Doubles, cover: Doubles, size: int, along: int) -> Doubles:
    """Return the mean energy on bare ground in each window along the line, one every half of its size."""
    across = cover.shape[1 - along] * float(cover.max(initial=0.0))
    bare, total = (part.sum(axis=1 - along) for part in (cover, cover * energy))
    starts = range(0, max(1, len(bare) - size + 1), max(1, size // 2))
    sums = [(bare[start : start + size].sum(), total[start : start + size].sum()) for start in starts]
    return np.array([t / b for b, t in sums if b > LEAST_GROUND_SHARE * size * across], dtype=np.float64)
