"""Letters with an outline of one colour, as on a burst: they stand on that, not on what lies behind it."""

import numpy as np

from standback.find.colours import RING_BODIES
from standback.find.glyphs import Glyphs, glyphs_of
from standback.find.order import median, medians
from standback.find.split import Floats, Split
from standback.find.two_inks import srgb8_of
from standback.light import contrast_ratio
from standback.masks import grown

LEAST_LETTERS, LEAST_SHARE = 3, 0.6
"""So many letters, and such a share of all, have one outline, or what is around them is chance (ours)."""
LEAST_SAMPLES = 16.0
"""In letters lower than this, what lies beside the soft rim may be what sharpening or a JPEG leaves there (ours)."""
ALIKE_CODES, BEHIND = 40.0, 0.5
"""An outline is of one colour to within so many codes, and no more than such a share of what lies behind is (ours)."""
MOSTLY, SOME = 0.7, 500
"""Where so much of what is next to the letters is ground, they have no outline; told by so many samples (ours)."""
AROUND, FARTHER = 0.9, 0.2
"""Such a share of the samples next to a letter's rim are of it, and of those beyond (ours)."""


def with_outline(glyphs: Glyphs) -> tuple[Glyphs, Floats] | None:
    """Return the letters of a line that have an outline, and its codes, (3,); None where it has none, or a weaker one.

    What has no such outline, as the rays behind a title, is no letter of its line.
    """
    high = (glyphs.y1 - glyphs.y0)[glyphs.letter]
    if len(high) < LEAST_LETTERS or median(high) < LEAST_SAMPLES or _stands_on_ground(glyphs):
        return None
    rings = [_rings(glyphs, n) if glyphs.letter[n] else None for n in range(len(glyphs.letter))]
    even = [ring[0] for ring in rings if ring is not None and _is_even(ring)]
    if len(even) < max(LEAST_LETTERS, LEAST_SHARE * len(high)):
        return None
    colour = medians(np.array(even))
    if sum(_apart(one, colour) < ALIKE_CODES for one in even) < LEAST_SHARE * len(high):
        return None
    behind, ink = _behind(glyphs), glyphs.split.ink
    if not len(behind) or _share(behind, colour) > BEHIND:
        return None
    if _ratio(ink, colour) <= _ratio(ink, medians(behind)):
        return None
    again = glyphs_of(Split.of(glyphs.split.window, colour, ink))
    if again is None:
        return None
    own = np.array([_has(again, n, colour) for n in range(len(again.letter))])
    return (again.of(own), colour) if np.count_nonzero(own & again.letter) >= LEAST_LETTERS else None


def _stands_on_ground(glyphs: Glyphs) -> bool:
    """Whether what is next to the letters' rims is the ground, nearly all of it: so it is with most lines."""
    split = glyphs.split
    if split.is_patchy:
        # such a ground follows an outline as it does any patch
        return False
    place = glyphs.place()
    rim = grown(glyphs.mask[place])
    beside = np.flatnonzero(grown(rim) & ~rim)
    rows, columns = np.divmod(beside[:: 1 + len(beside) // SOME], rim.shape[1])
    codes = split.window.codes[place][rows, columns]
    base = split.base if split.base.ndim == 1 else split.base[place][rows, columns]
    return _share(codes, base) >= MOSTLY


_Ring = tuple[Floats, float, float]


def _rings(glyphs: Glyphs, n: int) -> _Ring | None:
    """Return the colour next to a piece's soft rim, and which share of the samples there, and beyond, are of it."""
    near, beyond = _beside(glyphs, n)
    if not len(near) or not len(beyond):
        return None
    colour = medians(near)
    return colour, _share(near, colour), _share(beyond, colour)


def _is_even(ring: _Ring) -> bool:
    return ring[1] >= AROUND and ring[2] >= FARTHER


def _has(glyphs: Glyphs, n: int, colour: Floats) -> bool:
    near, _ = _beside(glyphs, n)
    return len(near) > 0 and _share(near, colour) >= AROUND


def _beside(glyphs: Glyphs, n: int) -> tuple[Floats, Floats]:
    """Return the codes, (N, 3) each, of the second and the third sample out from a piece, clear of all others."""
    margin = 4
    rows = slice(max(0, int(glyphs.y0[n]) - margin), int(glyphs.y1[n]) + margin)
    columns = slice(max(0, int(glyphs.x0[n]) - margin), int(glyphs.x1[n]) + margin)
    labels, codes = glyphs.labels[rows, columns], glyphs.split.window.codes[rows, columns]
    one = labels == n + 1
    free = ~grown((labels > 0) & ~one)
    rim = grown(one)
    near = grown(rim)
    return codes[near & ~rim & free], codes[grown(near) & ~near & free]


def _behind(glyphs: Glyphs) -> Floats:
    """Return the codes, (N, 3), of what lies around the line where an outline has ended."""
    reach = max(6, round(RING_BODIES * glyphs.split.window.body))
    place = glyphs.place(reach)
    mask = glyphs.mask[place]
    codes: Floats = glyphs.split.window.codes[place][grown(mask, reach) & ~grown(mask, reach // 2)]
    return codes


def _share(codes: Floats, colour: Floats) -> float:
    """Return which share of some codes are about a colour; none of none."""
    return float((np.linalg.norm(codes - colour, axis=1) < ALIKE_CODES).mean()) if len(codes) else 0.0


def _apart(a: Floats, b: Floats) -> float:
    return float(np.linalg.norm(a - b))


def _ratio(a: Floats, b: Floats) -> float:
    return contrast_ratio(srgb8_of(a), srgb8_of(b))
