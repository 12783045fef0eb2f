"""Grain of the ground that stands in line with letters, told from them by how little of their ink it has."""

import numpy as np

from standback.find.glyphs import Doubles, Glyphs

GRAINY = 0.02
"""Unrest from which a ground may have pieces of its own in a line (ours)."""
PALE = 0.78
"""A piece's mean cover is at least so large a share of the letters' (ours): of 4,000 letters drawn on noise nine in ten
have .97 or more and 99 in a hundred .71; of 170 pieces of the noise in line with them nineteen in twenty have .73 or
less."""


def without_grain(glyphs: Glyphs, unrest: float) -> Glyphs:
    """Take the pieces off a line on an uneven ground that are much paler than its letters.

    Parameters
    ----------
    unrest
        How far the ground strays from one colour, as a share of its distance from the ink.
    """
    if unrest < GRAINY or len(glyphs.x0) < 2:
        return glyphs
    mean = _mean_cover(glyphs)
    clear = mean >= PALE * _usual(mean[glyphs.letter], glyphs.area[glyphs.letter])
    return glyphs if clear.all() or not (clear & glyphs.letter).any() else glyphs.of(clear)


def _mean_cover(glyphs: Glyphs) -> Doubles:
    rows = slice(int(glyphs.y0.min()), int(glyphs.y1.max()))
    columns = slice(int(glyphs.x0.min()), int(glyphs.x1.max()))
    labels, cover = glyphs.labels[rows, columns].ravel(), glyphs.split.cover[rows, columns].ravel()
    sums = np.bincount(labels, weights=np.clip(cover, 0, 1), minlength=len(glyphs.x0) + 1)
    mean: Doubles = sums[1:] / glyphs.area
    return mean


def _usual(mean: Doubles, area: Doubles) -> float:
    """Return the median where each piece counts by its area: grain is small."""
    order = np.argsort(mean)
    heap = np.cumsum(area[order])
    return float(mean[order][np.searchsorted(heap, heap[-1] / 2)])
