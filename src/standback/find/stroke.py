"""Stroke width: the median width of the ink along its centre line."""

from dataclasses import dataclass

import numpy as np
from scipy import ndimage
from skimage.morphology import skeletonize

from standback.find.colours import rough_stroke
from standback.find.glyphs import Glyphs
from standback.masks import grown

FINE_STROKE, MOST_FINE = 16.0, 8
"""Strokes are enlarged to about this many samples, at most so many times, before they are measured (ours)."""
MOST_SAMPLES, LEAST_HEIGHTS = 80_000, 5.0
"""A long line is measured from its middle out, until this much is seen, but not less than 5 letter heights."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """Median stroke width in samples, and how far the middle half of the widths spreads, as a share of it."""

    width: float
    uneven: float


def stroke_of(glyphs: Glyphs, letter: float) -> Stroke:
    """Measure the strokes of a line whose letters are `letter` samples high.

    The outline is taken where the ink covers half, on an enlarged picture, so widths come out to a
    fraction of a sample; ends of strokes, where the centre line runs out, are left off.
    """
    fine = int(np.clip(np.ceil(FINE_STROKE / rough_stroke(glyphs)), 1, MOST_FINE))
    rows = slice(max(0, int(glyphs.y0.min()) - 2), int(glyphs.y1.max()) + 2)
    half = max(MOST_SAMPLES / (fine**2 * (rows.stop - rows.start)), LEAST_HEIGHTS * letter) / 2
    left, right = glyphs.x0.min() - 2, glyphs.x1.max() + 2
    middle = (left + right) / 2
    columns = slice(max(0, int(max(left, middle - half))), int(min(right, middle + half)))
    own = grown(glyphs.mask[rows, columns], corners=False)
    cover = np.where(own, np.clip(glyphs.split.cover[rows, columns], 0, 1), 0)
    if fine > 1:
        cover = ndimage.zoom(cover, fine, order=1, grid_mode=True, mode="nearest")
    ink = cover > 0.5
    distance = ndimage.distance_transform_edt(ink)
    line = skeletonize(ink)
    # the centre of an odd width w lies (w + 1) / 2 from the ground, the two centres of an even one w / 2
    widths = 2 * distance[line] - 0.5
    if not len(widths):
        return Stroke(width=1.0, uneven=1.0)
    whole = widths[widths > 0.35 * np.median(widths)]
    low, middle, high = np.quantile(whole, [0.25, 0.5, 0.75])
    return Stroke(width=float(middle) / fine, uneven=float((high - low) / middle))
