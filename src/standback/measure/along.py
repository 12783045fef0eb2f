"""Contrast along a line: how it holds where the ground changes under it."""

from math import inf

import numpy as np
import numpy.typing as npt
from scipy.ndimage import binary_dilation

from standback.artwork import Artwork, linear_crop
from standback.elements import Box, Line
from standback.light import luminance1, ratio_of_luminances, srgb8_to_linear

Doubles = npt.NDArray[np.float64]

LEAST_INK_SHARE = 0.05
"""A window with less ink than this says nothing of the line (design rule)."""
WORST_QUANTILE = 0.1
"""The worst tenth of the windows counts: a single bad spot is no fault of the line (design rule)."""
STEPS_A_WINDOW = 2
RIM_SAMPLES = 1
"""Anti-aliased rims reach this far outside the mask and are neither ink nor ground (common practice)."""


def ratio_worst(line: Line, artwork: Artwork) -> float:
    """10th percentile of the ratio over windows one letter height wide along the line.

    Infinite where no window holds enough ink. Where strokes are too thin to hold a core, the line's own
    ink stands for the ink, and only the ground is measured window by window.
    """
    ratios = window_ratios(line, artwork)
    return float(np.quantile(ratios, WORST_QUANTILE)) if len(ratios) else inf


def window_ratios(line: Line, artwork: Artwork) -> Doubles:
    """Return the ratio in each window that holds enough ink, from one end of the line to the other."""
    scale = line.mask_scale
    luminance = luminance1(linear_crop(artwork, _whole_samples(line, artwork), scale))
    height, width = line.mask.shape
    luminance = luminance[:height, :width].astype(np.float64)
    mask, core = (m[: luminance.shape[0], : luminance.shape[1]] for m in (line.mask, line.core))
    bare = ~binary_dilation(mask, iterations=RIM_SAMPLES)
    along = 0 if line.box_px.width >= line.box_px.height else 1
    ink, cores, ground = (_sums(part, along) for part in (mask, core, bare))
    core_y, ground_y = (_sums(np.where(part, luminance, 0.0), along) for part in (core, bare))
    size = max(1, round(line.letter_px / scale))
    across = mask.shape[along]
    own_ink_y = float(luminance1(srgb8_to_linear(np.array(line.ink_srgb8, dtype=np.uint8))))
    ratios = []
    for start in range(0, max(1, len(ink) - size), max(1, size // STEPS_A_WINDOW)):
        end = min(start + size, len(ink) - 1)

        def total(sums: Doubles, start: int = start, end: int = end) -> float:
            return float(sums[end] - sums[start])

        if total(ink) < LEAST_INK_SHARE * size * across or not total(ground):
            continue
        ink_y = total(core_y) / total(cores) if total(cores) else own_ink_y
        ratios.append(ratio_of_luminances(max(ink_y, 0.0), max(total(ground_y) / total(ground), 0.0)))
    return np.array(ratios, dtype=np.float64)


def _sums(picture: npt.NDArray[np.generic], axis: int) -> Doubles:
    """Return running sums along the line, starting from 0."""
    return np.concatenate([[0.0], np.cumsum(picture.sum(axis=axis, dtype=np.float64))])


def _whole_samples(line: Line, artwork: Artwork) -> Box:
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
