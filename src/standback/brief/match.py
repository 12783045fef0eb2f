"""Which of the things found on the sheet the brief speaks of."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from standback.brief.model import PointMm, Where
from standback.places import BoxMm, lies_at

COVERED_SHARE = 0.5
"""Share of the one box that lies in the other when they are about the same thing (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unmatched:
    """An entry of the brief that matches nothing: nothing is there, or other entries have taken it."""

    entry: int
    taken: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Matches:
    """What belongs to what.

    Attributes
    ----------
    entry_of
        For each thing found, the index of the entry that speaks of it, or None.
    unmatched
        The entries that speak of nothing found, in the order of the brief.
    """

    entry_of: tuple[int | None, ...]
    unmatched: tuple[Unmatched, ...]

    def of_entry(self, entry: int) -> tuple[int, ...]:
        """Return the indices of what an entry speaks of."""
        return tuple(index for index, found in enumerate(self.entry_of) if found == entry)


def match(wanted: Sequence[Where], boxes_mm: Sequence[BoxMm], *, width_mm: float, height_mm: float) -> Matches:
    """Match entries of a brief with what was found on the sheet.

    An entry may speak of several things (a title set in two lines), but nothing has two entries. Boxes go
    first: each gets what it overlaps best, then everything that lies half inside it, or that it lies half
    inside of; what two boxes claim goes to the better overlap. A point gets the thing it lies on or is
    nearest to, no farther away than the thing's own short side. A place in words gets all that lies there
    and has no entry yet.

    Parameters
    ----------
    wanted
        Where the entries say they are.
    boxes_mm
        Boxes of what was found, in mm from the top left of the trim.
    width_mm, height_mm
        The trim size.
    """
    entry_of: list[int | None] = [None] * len(boxes_mm)
    could: set[int] = set()  # entries that something answers to, be it taken
    _match_boxes(wanted, boxes_mm, entry_of, could)
    for entry, where in enumerate(wanted):
        if where.point_mm is not None:
            index = _nearest(where.point_mm, boxes_mm)
            if index is not None:
                could.add(entry)
                entry_of[index] = entry if entry_of[index] is None else entry_of[index]
    for entry, where in enumerate(wanted):
        if where.words is not None:
            for index, box in enumerate(boxes_mm):
                if lies_at(where.words, box, width_mm, height_mm):
                    could.add(entry)
                    entry_of[index] = entry if entry_of[index] is None else entry_of[index]
    matched = set(entry_of)
    return Matches(
        entry_of=tuple(entry_of),
        unmatched=tuple(
            Unmatched(entry=entry, taken=entry in could) for entry in range(len(wanted)) if entry not in matched
        ),
    )


def covers(where: Where, box_mm: BoxMm, *, width_mm: float, height_mm: float) -> bool:
    """Whether something with this box is at `where`, whatever else is there.

    A box must hold half of it at least: what lies behind a small box is not at that place.
    """
    if where.box_mm is not None:
        return _shared(where.box_mm, box_mm) >= COVERED_SHARE * _area(box_mm)
    if where.point_mm is not None:
        return _nearest(where.point_mm, (box_mm,)) is not None
    return where.words is not None and lies_at(where.words, box_mm, width_mm, height_mm)


def _match_boxes(
    wanted: Sequence[Where], boxes_mm: Sequence[BoxMm], entry_of: list[int | None], could: set[int]
) -> None:
    claims = sorted(
        (-_overlap(where.box_mm, box), entry, index)
        for entry, where in enumerate(wanted)
        if where.box_mm is not None
        for index, box in enumerate(boxes_mm)
        if _claims(where.box_mm, box)
    )
    could.update(entry for _, entry, _ in claims)
    served: set[int] = set()
    for first in (True, False):  # one thing for each entry, before any gets a second
        for _, entry, index in claims:
            if entry_of[index] is None and not (first and entry in served):
                entry_of[index] = entry
                served.add(entry)


def _nearest(point_mm: PointMm, boxes_mm: Sequence[BoxMm]) -> int | None:
    """Return the box nearest to a point; of several that hold it, the smallest; None if all are far."""
    x, y = point_mm
    near = []
    for index, (x0, y0, x1, y1) in enumerate(boxes_mm):
        away_mm = hypot(max(x0 - x, 0, x - x1), max(y0 - y, 0, y - y1))
        if away_mm <= min(x1 - x0, y1 - y0):
            near.append((away_mm, (x1 - x0) * (y1 - y0), index))
    return min(near)[2] if near else None


def _area(box: BoxMm) -> float:
    return (box[2] - box[0]) * (box[3] - box[1])


def _shared(a: BoxMm, b: BoxMm) -> float:
    width, height = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return max(width, 0) * max(height, 0)


def _claims(a: BoxMm, b: BoxMm) -> bool:
    return _shared(a, b) >= COVERED_SHARE * min(_area(a), _area(b))


def _overlap(a: BoxMm, b: BoxMm) -> float:
    """Return the share of what both cover that they share: 1 for the same box."""
    return _shared(a, b) / (_area(a) + _area(b) - _shared(a, b))
