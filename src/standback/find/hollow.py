"""Letters in a stronger ink than their line's: cut out of it, only their rims are left, which tell no heights."""

import numpy as np

from standback.find.glyphs import Glyphs
from standback.find.split import MOST_COVER
from standback.masks import grown

ALONG = 0.6
"""A rim has such a share of its samples beside what is too strong for the ink; letters have few there (ours)."""
LEAST_LETTERS = 2
"""Fewer whole letters tell no heights either (ours)."""


def without_hollow(glyphs: Glyphs) -> Glyphs:
    """Return a line without what is left of letters in a stronger ink, as of the dark word in a wordmark of two."""
    place = glyphs.place()
    labels = glyphs.labels[place]
    stronger = (glyphs.split.cover[place] >= MOST_COVER) & (labels == 0)
    if not stronger.any():
        return glyphs
    beside = np.bincount(labels[grown(stronger)], minlength=len(glyphs.x0) + 1)[1:]
    own = beside < ALONG * glyphs.area
    return glyphs.of(own) if not own.all() and np.count_nonzero(own & glyphs.letter) >= LEAST_LETTERS else glyphs
