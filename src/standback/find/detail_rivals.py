"""Which of two is the ink: strokes, or the gaps between them, that are as thin as they are."""

from collections import Counter, defaultdict

import numpy as np
import numpy.typing as npt

from standback.find.detail_groups import Group
from standback.light import linear_to_oklab, srgb8_to_linear

Doubles = npt.NDArray[np.float64]
Colours = tuple[Doubles, Doubles]

SHARED_CELLS = 0.5
"""Groups are rivals where they share so much of the smaller one's place (ours)."""
SWAPPED = 0.35
"""Colours are swapped within this share of the contrast (ours)."""
LESSER = 0.5
"""A group with less outline than this share of its rival's is what is left between its strokes (ours)."""
CLEARLY_THINNER = 1.15
"""By this factor (ours)."""
FRAGMENT = 0.25
"""What lies in a larger group's place and is smaller than this share of it is left over from it (ours)."""


def settled(groups: list[Group]) -> list[Group]:
    """Drop the gaps between strokes, and leftovers within a larger group, largest group first."""
    kept: dict[int, Group] = {}
    colours: dict[int, Colours] = {}
    # photographs give thousands of small groups: only those that share a cell are worth comparing
    holders: defaultdict[int, list[int]] = defaultdict(list)
    for number, group in enumerate(sorted(groups, key=lambda one: -float(one.marks.area.sum()))):
        cells = group.cells.tolist()
        colours[number] = _colours(group)
        shared = Counter(holder for cell in cells for holder in holders.get(cell, ()))
        lost = False
        for holder in sorted(shared):
            other = kept.get(holder)
            if other is None or shared[holder] < SHARED_CELLS * min(len(group.cells), len(other.cells)):
                continue
            if _swapped(colours[number], colours[holder]):
                loser = _gaps_of(group, other)
                if loser is group:
                    lost = True
                else:
                    del kept[holder]
            elif group.marks.area.sum() < FRAGMENT * other.marks.area.sum():
                lost = True
        if not lost:
            kept[number] = group
            for cell in cells:
                holders[cell].append(number)
    return list(kept.values())


def _swapped(one: Colours, other: Colours) -> bool:
    (ink, ground), (other_ink, other_ground) = one, other
    near = SWAPPED * float(np.linalg.norm(ink - ground))
    apart = max(float(np.linalg.norm(ink - other_ground)), float(np.linalg.norm(ground - other_ink)))
    return apart < near


def _colours(group: Group) -> Colours:
    """Ink and ground of a group in OKLab, large marks counting for more."""
    weights = group.marks.area / group.marks.area.sum()
    ink, ground = (np.rint(weights @ colour).astype(np.uint8) for colour in (group.marks.ink, group.marks.ground))
    return linear_to_oklab(srgb8_to_linear(ink)), linear_to_oklab(srgb8_to_linear(ground))


def _gaps_of(one: Group, other: Group) -> Group:
    """Return the one that is gaps: the lesser, the wider, or the one that runs into larger shapes of its colour.

    Of dots and a net around them it is what covers more.
    """
    outlines = [float(group.marks.half_outline.sum()) for group in (one, other)]
    if min(outlines) < LESSER * max(outlines):
        return one if outlines[0] < outlines[1] else other
    if one.marks.dotted != other.marks.dotted:
        # a net's width is none that compares with a dot's
        areas = [float(group.marks.area.sum()) for group in (one, other)]
        return one if areas[0] > areas[1] else other
    widths = [float(np.average(group.marks.width, weights=group.marks.half_outline)) for group in (one, other)]
    if max(widths) > CLEARLY_THINNER * min(widths):
        return one if widths[0] > widths[1] else other
    contacts = [float(g.marks.contact.sum() / g.marks.half_outline.sum()) for g in (one, other)]
    return one if contacts[0] > contacts[1] else other
