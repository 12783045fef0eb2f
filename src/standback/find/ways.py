"""The ways to part ink from ground in a band: tried, weighed, and the band widened as long as letters go on."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from standback.artwork.model import Artwork
from standback.find.bands import Band
from standback.find.colours import colours_of
from standback.find.cuts import line_numbers
from standback.find.glyphs import Glyphs, glyphs_of
from standback.find.leaning import window_of
from standback.find.patchy import is_patchy, patchy_splits
from standback.find.split import SIDE_BODIES, Flags, Floats, Split, Window, splits_of

LEAST_TIDY = 0.5
"""What has more stray ink in and around it is no line (ours)."""
MOST_WIDENINGS, WIDER = 9, 1.6
"""How often a band is widened, and how much farther we look each time (ours)."""
CLOSE_SIDE_BODIES = 0.15
"""What is left of a band is looked at so far beyond its ends, where a word space parts it from the line (ours)."""
TRUSTED_WIDENINGS = 2
"""After so many, only what promises to be text is widened on (ours)."""
SETTLED = 1.45
"""Worth of a way to part a band, at most 1.5, that no other is tried against (ours)."""
HALF_FOUND = 0.5
"""What a line loses in tidiness weighs this much against what share of the band it fills (ours)."""
WORSE_TIDY = 0.1
"""A widening that lets in so much stray ink is taken back (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Way:
    """A way to part a band: its glyphs, from where to where a reader reads on, in samples, and what it is worth."""

    glyphs: Glyphs
    left: float
    right: float
    worth: float


def parted(
    artwork: Artwork, band: Band, scale: int, promises: Callable[[Glyphs], bool], *, widens: bool = True
) -> Glyphs | None:
    """Return the better of the two ways to part a band, widened as long as letters go on beyond its ends.

    Parameters
    ----------
    widens
        False for what is left of a band beside a line: nothing of that is looked at.
    """
    best: Way | None = None
    for n in range(MOST_WIDENINGS):
        window = window_of(artwork, band, SIDE_BODIES * WIDER**n if widens else CLOSE_SIDE_BODIES, scale)
        if window is None:
            break
        found = _tried(splits_of(window))
        enough = SETTLED if best is None or best.glyphs.split.is_patchy else best.worth
        settled = any(way.worth >= enough for way in found)
        if found and not settled and all(is_patchy(way.glyphs.split) for way in found):
            found += _tried(patchy_splits(window))
        # weighed first: which way round a way to part is costs more to tell
        found.sort(key=lambda way: -way.worth)
        better = next((way for way in found if not _upside_down(way.glyphs)), None)
        if better is None or better.glyphs.tidy < LEAST_TIDY:
            break
        if best is not None and better.glyphs.tidy < best.glyphs.tidy - WORSE_TIDY:
            break
        best = better
        wider = _widened(best, band) if widens else None
        if wider is None:
            break
        if n == TRUSTED_WIDENINGS and not promises(best.glyphs):
            break
        band = wider
    return None if best is None else best.glyphs


def _tried(ways: Iterable[Split]) -> list[Way]:
    """Weigh ways to part a window, up to the first that none could be better than."""
    found = []
    for split in ways:
        glyphs = glyphs_of(split)
        if glyphs is not None:
            found.append(_weighed(glyphs))
            if found[-1].worth >= SETTLED and not split.is_patchy:
                break
    return found


def _upside_down(glyphs: Glyphs) -> bool:
    """Whether what was taken for letters on a patchy ground lies on its own colour: the spaces between letters."""
    split = glyphs.split
    if not split.is_patchy:
        return False
    ground = colours_of(glyphs).ground
    return float(np.linalg.norm(ground - split.ink)) < float(np.linalg.norm(ground - split.ground))


def _weighed(glyphs: Glyphs) -> Way:
    """Tell how well a way to part a band does: tidy letters, from one end of the band to the other."""
    window, joined = glyphs.split.window, _joined(glyphs)
    left, right = float(glyphs.x0[joined].min()), float(glyphs.x1[joined].max())
    covered = min(right, window.right) - max(left, window.left)
    worth = glyphs.tidy + HALF_FOUND * min(covered / max(window.right - window.left, 1.0), 1.0)
    return Way(glyphs=glyphs, left=left, right=right, worth=worth)


def _widened(way: Way, band: Band) -> Band | None:
    """Return the band up to the letters that lie beyond it, None where there are none."""
    window = way.glyphs.split.window
    slack = 0.35 * window.body
    if way.left > window.left - slack and way.right < window.right + slack:
        return None
    return window.band(min(way.left, window.left), max(way.right, window.right), band.score)


def _joined(glyphs: Glyphs) -> Flags:
    """Tell which pieces a reader reaches from inside the band without crossing a wide gap."""
    window = glyphs.split.window
    part = line_numbers(glyphs)
    inside = (glyphs.x1 > window.left) & (glyphs.x0 < window.right)
    return (np.bincount(part, weights=inside) > 0)[part] if inside.any() else np.ones(len(part), dtype=bool)


def nearest(window: Window, ink: Floats, patchy: bool) -> Split | None:
    """Return the way to part a window, as patchy or not, whose ink is nearest to a colour (3,); None where none is."""
    if not patchy:
        return next(splits_of(window, ink), None)
    return min(patchy_splits(window), key=lambda split: float(np.linalg.norm(split.ink - ink)), default=None)
