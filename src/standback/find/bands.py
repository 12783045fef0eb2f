"""Where lines of text may run: what a proposer hands to the measuring half of the finder."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from math import log2

from standback.artwork.model import Artwork

SAME_BAND_SHARE = 0.35
"""Two proposals whose bands share more than this of the smaller are about one line (ours)."""
WEAKER = 0.25
"""A band that overlaps another and scores so much less is dropped (ours)."""
MUCH_SURER = 0.15
"""Of two looks at a line, one so much surer isn't lengthened by the other (ours)."""
SAME_BODY_RATIO = 1.67
SAME_MIDDLE_BODIES = 0.35


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Where the body of a line runs: the x-height of lowercase letters, the height of capitals.

    All lengths in original pixels; a rough guess is enough, everything is measured again.

    Attributes
    ----------
    x0, x1
        From the first letter to the last.
    middle_y
        Half way up the body.
    angle_deg
        Reading direction, counter-clockwise from horizontal.
    score
        0 to 1: how much it looks like text.
    """

    x0: float
    x1: float
    middle_y: float
    body_px: float
    angle_deg: float = 0.0
    score: float = 1.0

    def shared(self, other: "Band") -> float:
        """Shared area with another upright band, as a share of the smaller."""
        if 2 * abs(self.middle_y - other.middle_y) >= self.body_px + other.body_px:
            return 0.0
        width = min(self.x1, other.x1) - max(self.x0, other.x0)
        top = max(self.middle_y - self.body_px / 2, other.middle_y - other.body_px / 2)
        bottom = min(self.middle_y + self.body_px / 2, other.middle_y + other.body_px / 2)
        smaller = min((self.x1 - self.x0) * self.body_px, (other.x1 - other.x0) * other.body_px)
        return max(width, 0.0) * max(bottom - top, 0.0) / max(smaller, 1e-9)

    def agrees(self, other: "Band") -> bool:
        """Whether two bands that overlap are two looks at one line."""
        small, large = sorted((self.body_px, other.body_px))
        off = abs(self.middle_y - other.middle_y)
        return large <= SAME_BODY_RATIO * small and off <= SAME_MIDDLE_BODIES * small


Proposer = Callable[[Artwork], tuple[Band, ...]]
"""Looks at an artwork and says where lines may run."""


def thinned(bands: Iterable[Band]) -> tuple[Band, ...]:
    """Keep one proposal a line, the best first; a longer look at the same line lengthens it.

    Bands that overlap but disagree are both kept unless one is much the weaker: which of them is right shows
    when they are measured.
    """
    best = sorted(bands, key=lambda b: (-b.score - 0.08 * log2(max(b.x1 - b.x0, 1.0) / b.body_px), b.middle_y, b.x0))
    kept: list[Band] = []
    for band in best:
        rivals = [n for n, k in enumerate(kept) if k.shared(band) > SAME_BAND_SHARE]
        same = next((n for n in rivals if kept[n].agrees(band)), None)
        if same is not None:
            known = kept[same]
            if band.score > known.score - MUCH_SURER:
                kept[same] = replace(known, x0=min(known.x0, band.x0), x1=max(known.x1, band.x1))
        elif all(kept[n].score < band.score + WEAKER for n in rivals):
            kept.append(band)
    return tuple(kept)
