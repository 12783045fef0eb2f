"""Contrast along a line: how it holds where the ground changes under it."""

from math import inf
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy.ndimage import rotate

from standback.artwork import Artwork, linear_crop
from standback.doubts import Doubt
from standback.elements import Box, Line, Mask
from standback.find.order import median
from standback.light import luminance1, luminance1_of, ratio_of_luminances
from standback.masks import grown

Doubles = npt.NDArray[np.float64]

LEAST_INK_SHARE = 0.05
"""A window with less ink than this says nothing of the line (design rule)."""
WORST_QUANTILE = 0.1
"""The worst tenth of the windows counts: a single bad spot is no fault of the line (design rule)."""
STEPS_A_WINDOW = 2
CLEAR_SAMPLES = (2, 1)
"""Anti-aliased rims, one sample wide outside the mask and two where a file is blurred or packed, are neither ink
nor ground; tight letters leave so much room only here and there, and get by with less (ours)."""
LEAST_BARE_SHARE = 0.05
"""Share of a window that must be clear ground, before ground nearer to the letters is taken too (ours)."""
THIN_SAMPLES = 5.0
"""Strokes thinner than this have no core that is clear of both rims, and of the colour that a JPEG spreads over
two pixels: there the line's own ink stands for the ink (as where its colour is measured)."""


def ratio_worst(line: Line, artwork: Artwork) -> float:
    """10th percentile of the ratio over windows one letter height wide along the line.

    Infinite where no window holds enough ink, and of letters with an outline, which goes with them. Where
    strokes are too thin to hold a core, the line's own ink stands for the ink, and only the ground is
    measured window by window.
    """
    if Doubt.OUTLINED in line.doubts:
        return inf
    ratios = window_ratios(line, artwork)
    return float(np.quantile(ratios, WORST_QUANTILE)) if len(ratios) else inf


def window_ratios(line: Line, artwork: Artwork) -> Doubles:
    """Return the ratio in each window that holds enough ink, from one end of the line to the other."""
    scale = line.mask_scale
    luminance = luminance1(linear_crop(artwork, whole_samples(line, artwork), scale))
    height, width = line.mask.shape
    luminance = luminance[:height, :width].astype(np.float64)
    mask, core = (m[: luminance.shape[0], : luminance.shape[1]] for m in (line.mask, line.core))
    along = 0 if line.box_px.width >= line.box_px.height else 1
    solid = core if line.stroke_px >= THIN_SAMPLES * scale else np.zeros_like(core)
    clear = [~grown(mask, samples) for samples in CLEAR_SAMPLES]
    if line.angle_deg % 90:
        along = 0
        luminance, mask, solid, *clear = _levelled(line, luminance, mask, solid, *clear)
    ink, cores, core_y = (_sums(part, along) for part in (mask, solid, np.where(solid, luminance, 0.0)))
    light = luminance if along == 0 else luminance.T
    bare = [(one if along == 0 else one.T, _sums(one, along)) for one in clear]
    size = max(1, round(line.letter_px / scale))
    across = mask.shape[along]
    own_ink_y = luminance1_of(line.ink_srgb8)
    ratios = []
    for start in range(0, max(1, len(ink) - size), max(1, size // STEPS_A_WINDOW)):
        end = min(start + size, len(ink) - 1)

        def total(sums: Doubles, start: int = start, end: int = end) -> float:
            return float(sums[end] - sums[start])

        least = LEAST_BARE_SHARE * size * across
        ground, grounds = next((one for one in bare if total(one[1]) >= least), bare[-1])
        if total(ink) < LEAST_INK_SHARE * size * across or not total(grounds):
            continue
        ink_y = total(core_y) / total(cores) if total(cores) else own_ink_y
        # the median: hairlines of a letter that are too thin for the mask are no ground
        ground_y = median(light[:, start:end][ground[:, start:end]])
        ratios.append(ratio_of_luminances(max(ink_y, 0.0), max(ground_y, 0.0)))
    return np.array(ratios, dtype=np.float64)


def _levelled(line: Line, light: npt.NDArray[np.floating], mask: Mask, *others: Mask) -> list[Any]:
    """Turn pictures over a leaning line level and cut them to its ink."""
    turned = [rotate(part.astype(np.float64), -line.angle_deg, order=1) for part in (light, mask, *others)]
    inks = turned[1] > 0.5
    if not inks.any():
        return [light, mask, *others]
    rows, columns = np.flatnonzero(inks.any(axis=1)), np.flatnonzero(inks.any(axis=0))
    own = (slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1))
    return [turned[0][own], *(part[own] > 0.5 for part in turned[1:])]


def _sums(picture: npt.NDArray[np.generic], axis: int) -> Doubles:
    """Return running sums along the line, starting from 0."""
    return np.concatenate([[0.0], np.cumsum(picture.sum(axis=axis, dtype=np.float64))])


def whole_samples(line: Line, artwork: Artwork) -> Box:
    """Return the line's box, longer where its mask's last samples stand for a part of one."""
    box, scale = line.box_px, line.mask_scale
    height, width = line.mask.shape
    trim = artwork.trim_px
    return Box(
        x0=box.x0,
        y0=box.y0,
        x1=min(box.x0 + width * scale, trim.x1),
        y1=min(box.y0 + height * scale, trim.y1),
    )
