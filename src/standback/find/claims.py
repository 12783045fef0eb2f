"""Lines that another source speaks of, a file's live text or a reader: joined with what was found by shape."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from standback.artwork.model import Artwork
from standback.elements import Box, Line
from standback.find.bands import Band
from standback.find.leaning import shared_place
from standback.find.lines import SAME_PLACE_SHARE, candidates_of

SAME_LINE = 0.5
"""Two boxes that share this much of what both cover are of one line (ours)."""
INSIDE = 0.6
"""A claim that lies in a found line by this share is a part of it (ours)."""
# Of an em, common practice: capitals and ascenders, small letters, descenders.
_TALL_EM, _SMALL_EM, _BELOW_EM = 0.72, 0.52, 0.21
_DESCENDING = frozenset("gjpqyQ,;()[]/|ß")
_SMALL = frozenset("acegmnopqrsuvwxyz.,;:-–—+~")

Rect = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """One line as another source has it.

    Attributes
    ----------
    box_px
        (x0, y0, x1, y1) around its ink.
    source
        "text-layer" or "reader".
    """

    wording: str
    box_px: Rect
    source: str
    angle_deg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Joined:
    """The lines with what was claimed of them, and the claims that nothing on the sheet bears out."""

    lines: tuple[Line, ...]
    unseen: tuple[Claim, ...]


def joined(lines: Sequence[Line], claims: Sequence[Claim], artwork: Artwork) -> Joined:
    """Give found lines the wording that is claimed of them, and look again for lines that were missed.

    A claim that no line bears is measured at its place as any line is; where there is no ink to be told
    from its ground, it stays unseen. The lines come back in reading order.
    """
    worded, left = _worded(lines, claims)
    unseen = []
    for claim in left:
        line = _measured(claim, worded, artwork)
        if line is None:
            unseen.append(claim)
        else:
            worded.append(line)
    worded.sort(key=lambda line: (line.box_px.y0, line.box_px.x0))
    return Joined(lines=tuple(worded), unseen=tuple(unseen))


def band_of(claim: Claim) -> Band | None:
    """Return where the body of a claimed line runs; None where it stands neither level nor on end."""
    x0, y0, x1, y1 = claim.box_px
    quarter = 90.0 * round(claim.angle_deg / 90)
    if abs(claim.angle_deg - quarter) > 1.0:
        return None
    length, height = (y1 - y0, x1 - x0) if quarter % 180 else (x1 - x0, y1 - y0)
    letters = [letter for letter in claim.wording if not letter.isspace()]
    tall = any(letter not in _SMALL for letter in letters)
    below = any(letter in _DESCENDING for letter in letters)
    em = height / ((_TALL_EM if tall else _SMALL_EM) + (_BELOW_EM if below else 0.0))
    body = (_SMALL_EM if 2 * sum(letter.islower() for letter in letters) >= len(letters) else _TALL_EM) * em
    # how far the middle of the body lies below that of the box, along the line's own way down
    off = (height / 2 - (_BELOW_EM * em if below else 0.0)) - body / 2
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    dx, dy = {0: (0.0, off), 90: (off, 0.0), -90: (-off, 0.0), 180: (0.0, -off), -180: (0.0, -off)}[int(quarter)]
    return Band(
        x0=x + dx - length / 2, x1=x + dx + length / 2, middle_y=y + dy, body_px=body, angle_deg=quarter, score=1.0
    )


def _worded(lines: Sequence[Line], claims: Sequence[Claim]) -> tuple[list[Line], list[Claim]]:
    """Give each line the claims that it bears, from left to right; return the other claims as well."""
    left = list(claims)
    worded = []
    for line in lines:
        own = [claim for claim in left if _shared(line.box_px, claim.box_px, of_both=False) >= INSIDE]
        whole = _around(own)
        if whole is None or _shared(line.box_px, whole, of_both=True) < SAME_LINE:
            worded.append(line)
            continue
        left = [claim for claim in left if claim not in own]
        own.sort(key=lambda claim: claim.box_px[0])
        wording = " ".join(claim.wording for claim in own)
        sources = (*line.found_by, *dict.fromkeys(c.source for c in own if c.source not in line.found_by))
        worded.append(replace(line, found_by=sources, wording=line.wording or wording))
    return worded, left


def _measured(claim: Claim, lines: Iterable[Line], artwork: Artwork) -> Line | None:
    """Measure a claimed line at its place; None where there is no such ink, or a found line has it."""
    band = band_of(claim)
    if band is None or any(_shared(line.box_px, claim.box_px, of_both=False) > SAME_PLACE_SHARE for line in lines):
        return None
    found = [candidate.line for candidate in candidates_of(artwork, band)]
    fits = [(_shared(line.box_px, claim.box_px, of_both=True), line) for line in found]
    share, line = max(fits, key=lambda fit: fit[0], default=(0.0, None))
    if line is None or share < SAME_LINE or any(shared_place(line, other) > SAME_PLACE_SHARE for other in lines):
        return None
    return replace(line, found_by=(claim.source,), wording=claim.wording)


def _around(claims: Sequence[Claim]) -> Rect | None:
    if not claims:
        return None
    sides = list(zip(*(claim.box_px for claim in claims), strict=True))
    return min(sides[0]), min(sides[1]), max(sides[2]), max(sides[3])


def _shared(box: Box, claim: Rect, *, of_both: bool) -> float:
    """Shared area as a share of what both cover, or of the claim alone."""
    x0, y0, x1, y1 = claim
    both = max(min(box.x1, x1) - max(box.x0, x0), 0.0) * max(min(box.y1, y1) - max(box.y0, y0), 0.0)
    area = max((x1 - x0) * (y1 - y0), 1e-9)
    return both / (box.area + area - both if of_both else area)
