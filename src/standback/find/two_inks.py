"""Lines of two inks: a word set off in another colour. What is judged is the paler of them."""

import numpy as np

from standback.elements import Srgb8
from standback.find.glyphs import Glyphs
from standback.find.order import medians
from standback.find.split import Flags, Floats
from standback.light import contrast_ratio
from standback.masks import those_in

LEAST_LETTERS, LEAST_SAMPLES = 4, 6
"""Two inks are told apart by so many letters, each of so many samples clear of rims (ours)."""
LEAST_SHARE, FEWEST = 0.25, 2
"""A second ink has so much of a line and so many of its letters, or is an accent or a picture in it (ours)."""
APART_CODES, CLEARLY = 40.0, 4.0
"""Inks are two where the letters' colours leave a gap so wide, and so many times as wide as either spreads (ours)."""


def paler_ink(glyphs: Glyphs, solid: Flags, ground: Floats) -> Floats | None:
    """Return the codes, (3,), of the ink of a line that stands off less from its ground; None where it has but one.

    Parameters
    ----------
    solid
        (H, W) its ink clear of all rims.
    """
    codes = those_in(glyphs.split.window.codes, solid)
    # of most lines no two samples are so far apart, and no two letters then
    if float(np.linalg.norm([np.ptp(channel) for channel in codes.T])) < APART_CODES:
        return None
    of_letter = glyphs.labels.take(np.flatnonzero(solid))
    counts = np.bincount(of_letter, minlength=len(glyphs.x0) + 1)
    letters = np.flatnonzero(counts >= LEAST_SAMPLES)
    if len(letters) < LEAST_LETTERS:
        return None
    inks = np.array([medians(codes[of_letter == n]) for n in letters])
    spread = inks - inks.mean(axis=0)
    along = spread @ np.linalg.svd(spread, full_matrices=False)[2][0]
    order = np.argsort(along, kind="stable")
    gaps = np.diff(along[order])
    cut = int(gaps.argmax()) + 1
    groups = (order[:cut], order[cut:])
    widest = max(float(np.ptp(along[group])) for group in groups)
    if gaps[cut - 1] < max(APART_CODES, CLEARLY * widest):
        return None
    shares = [counts[letters[group]].sum() / counts[letters].sum() for group in groups]
    if min(shares) < LEAST_SHARE or min(map(len, groups)) < FEWEST:
        return None
    found = [medians(codes[np.isin(of_letter, letters[group])]) for group in groups]
    return min(found, key=lambda ink: contrast_ratio(srgb8_of(ink), srgb8_of(ground)))


def srgb8_of(codes: Floats) -> Srgb8:
    """Return codes, (3,), as a colour."""
    r, g, b = (int(v) for v in np.clip(np.rint(codes), 0, 255))
    return (r, g, b)
