"""Grain of the ground that stands in line with letters, told from them by how little of their ink it has."""

import numpy as np

from standback.find.glyphs import Doubles, Glyphs
from standback.find.order import median

GRAINY = 0.02
"""Unrest from which a ground may have pieces of its own in a line (ours)."""
PALE, SLIGHT = 0.78, 0.45
"""Grain has less than so large a share of the letters' mean cover, and of the ink of the middle one of them (ours). Of
170 pieces of drawn noise that stood in line with letters, nineteen in twenty had up to .73 of the cover and nine in
ten up to .37 of the ink; of 4,000 letters there, nine in ten have .97 or more and .57 or more. Letters that are
paler alone stand where a panel begins under the line."""


def without_grain(glyphs: Glyphs, unrest: float) -> Glyphs:
    """Take the pieces off a line on an uneven ground that are much paler than its letters.

    Parameters
    ----------
    unrest
        How far the ground strays from one colour, as a share of its distance from the ink.
    """
    if unrest < GRAINY or len(glyphs.x0) < 2:
        return glyphs
    mean, letter = _mean_cover(glyphs), glyphs.letter
    clear = mean >= PALE * _usual(mean[letter], glyphs.area[letter])
    clear |= glyphs.area >= SLIGHT * median(glyphs.area[clear & letter])
    return glyphs if clear.all() else glyphs.of(clear)


def _mean_cover(glyphs: Glyphs) -> Doubles:
    place = glyphs.place()
    labels, cover = glyphs.labels[place].ravel(), glyphs.split.cover[place].ravel()
    sums = np.bincount(labels, weights=np.clip(cover, 0, 1), minlength=len(glyphs.x0) + 1)
    mean: Doubles = sums[1:] / glyphs.area
    return mean


def _usual(mean: Doubles, area: Doubles) -> float:
    """Return the median where each piece counts by its area: grain is small."""
    order = np.argsort(mean)
    heap = np.cumsum(area[order])
    return float(mean[order][np.searchsorted(heap, heap[-1] / 2)])
