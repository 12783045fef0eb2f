"""Groups of a brief that the layout tears apart, and the move that would mend each."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components, minimum_spanning_tree

from standback.arrangement import BoxMm, TornGroup
from standback.light import contrast_ratio, to_hex
from standback.measure.apart import Item, gaps_mm, overlapping, union_mm
from standback.measure.model import Measurement
from standback.numbers import millimetres, ratio

GAP_LETTERS = 0.8
"""White left to the rest of the group, in letter heights of what moves, where the group shows none (ours)."""
BESIDE_GAPS = 2.0
"""White beside the group's own, in gaps between its lines: words that follow on stand farther apart (ours)."""
CENTRED_SHARE = 0.01
"""What is so near to the middle of the sheet, as a share of its width, is set centred (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The trimmed sheet: its sides, the margin that type keeps to its edges, and how clear a gap must be.

    Attributes
    ----------
    clear_ratio
        Strangers stand at least this many times as far away as a group's own.
    """

    width_mm: float
    height_mm: float
    margin_mm: float
    clear_ratio: float


def torn_groups(
    groups: Mapping[str, Sequence[Item]],
    lines: Sequence[Item],
    figures: Sequence[Item],
    measured: Mapping[str, Measurement],
    sheet: Sheet,
) -> tuple[TornGroup, ...]:
    """Find the groups of which a part is not clearly nearer to the rest than to a line that is none of theirs.

    Parameters
    ----------
    groups
        The members of each, by its name.
    lines, figures
        Every line and figure found: members, strangers, and what stands in the way of a move.
    measured
        The lines by id, for their colours.
    """
    return tuple(
        torn
        for name, members in groups.items()
        if len(members) > 1 and (torn := _torn(name, members, lines, figures, measured, sheet)) is not None
    )


def _torn(
    name: str,
    members: Sequence[Item],
    lines: Sequence[Item],
    figures: Sequence[Item],
    measured: Mapping[str, Measurement],
    sheet: Sheet,
) -> TornGroup | None:
    inside = {item.id for item in members}
    strangers = [item for item in lines if item.id not in inside]
    part, rest = _parted(members)
    if not strangers:
        return None
    own_mm = _between(part, rest)
    stranger_mm, stranger = _nearest(part, strangers)
    if stranger_mm >= sheet.clear_ratio * own_mm:
        return None
    places = _places(part, rest, sheet)
    blocked = [*strangers, *(f for f in figures if f.id not in inside and not _under(f, rest))]
    move = next((moved for moved in places if _holds(moved, rest, strangers, blocked, sheet)), None)
    return TornGroup(
        group=name,
        part=_nearest_first(part, rest),
        rest=_nearest_first(rest, part),
        own_mm=own_mm,
        stranger_mm=stranger_mm,
        stranger=stranger,
        move=None if move is None else _in_words(part, move, rest, strangers, measured),
        near_mm=stranger_mm / sheet.clear_ratio,
    )


def _parted(members: Sequence[Item]) -> tuple[list[Item], list[Item]]:
    """Part a group where its own members are farthest apart: the smaller part first."""
    # the tree of least gaps joins all members; without its widest gap two parts are left
    gaps = np.where(np.isfinite(gaps := gaps_mm(members)), np.maximum(gaps, 1e-6), 0.0)
    tree = minimum_spanning_tree(csr_array(gaps)).toarray()
    tree[np.unravel_index(int(tree.argmax()), tree.shape)] = 0.0
    _, labels = connected_components(csr_array(tree), directed=False)
    parts = [[m for m, label in zip(members, labels, strict=True) if label == one] for one in (0, 1)]
    smaller, larger = sorted(parts, key=lambda p: (sum(map(_area, p)), [item.id for item in p]))
    return smaller, larger


def _places(part: Sequence[Item], rest: Sequence[Item], sheet: Sheet) -> Iterator[list[Item]]:
    """Yield the part moved below its own, above it, and beside it: flush with it, or centred as it is."""
    own, other = union_mm([i.box_mm for i in part]), union_mm([i.box_mm for i in rest])
    gap_mm = _usual_gap(rest) or GAP_LETTERS * max((i.letter_mm or 0.0 for i in part), default=0.0)
    width, height = own[2] - own[0], own[3] - own[1]
    x = other[0]
    if abs(other[0] + other[2] - sheet.width_mm) < 2 * CENTRED_SHARE * sheet.width_mm:
        x = (other[0] + other[2] - width) / 2
    elif abs(own[2] - other[2]) < abs(own[0] - other[0]) and other[0] > sheet.width_mm / 2:
        x = other[2] - width
    closer_mm = gap_mm / 2
    for left, top in (
        *((x, other[3] + by_mm) for by_mm in (gap_mm, closer_mm)),
        *((x, other[1] - by_mm - height) for by_mm in (gap_mm, closer_mm)),
        (other[2] + BESIDE_GAPS * gap_mm, other[3] - height),
        (other[0] - BESIDE_GAPS * gap_mm - width, other[3] - height),
    ):
        yield [_moved(item, left - own[0], top - own[1]) for item in part]


def _usual_gap(items: Sequence[Item]) -> float | None:
    if len(items) < 2:
        return None
    return median(gaps_mm(items).min(axis=1).tolist()) or None


def _holds(
    moved: Sequence[Item], rest: Sequence[Item], strangers: Sequence[Item], blocked: Sequence[Item], sheet: Sheet
) -> bool:
    """Whether a place is free and on the sheet, and clearly nearer to its own, measured again."""
    box, margin = union_mm([i.box_mm for i in moved]), sheet.margin_mm
    if box[0] < margin or box[1] < margin:
        return False
    if box[2] > sheet.width_mm - margin or box[3] > sheet.height_mm - margin:
        return False
    if any(overlapping(box, other.box_mm) for other in (*blocked, *rest)):
        return False
    return _nearest(moved, strangers)[0] >= sheet.clear_ratio * _between(moved, rest)


def _in_words(
    part: Sequence[Item],
    moved: Sequence[Item],
    rest: Sequence[Item],
    strangers: Sequence[Item],
    measured: Mapping[str, Measurement],
) -> str:
    old, new = (union_mm([i.box_mm for i in items]) for items in (part, moved))
    steps = [
        f"{millimetres(abs(by_mm))} {forth if by_mm > 0 else back}"
        for by_mm, forth, back in ((new[1] - old[1], "down", "up"), (new[0] - old[0], "right", "left"))
        if abs(by_mm) >= 0.5
    ]
    what = part[0].id if len(part) == 1 else f"{', '.join(i.id for i in part[:-1])} and {part[-1].id}"
    said = (
        f"Move {what} {' and '.join(steps)}, to {millimetres(new[0])} from the left and "
        f"{millimetres(new[1])} from the top: then its own is {millimetres(_between(moved, rest))} away and "
        f"the next line {millimetres(_nearest(moved, strangers)[0])}."
    )
    return f"{said} {_colour(part, _nearest_first(rest, moved), measured)}".strip()


def _colour(part: Sequence[Item], beside: Sequence[str], measured: Mapping[str, Measurement]) -> str:
    """Say which ink it takes on the new ground, where its own would be too pale there.

    Parameters
    ----------
    beside
        Ids of what it comes to stand with, the nearest first.
    """
    mates = [measured[name] for name in beside if name in measured]
    lines = [measured[item.id] for item in part if item.id in measured]
    if not mates or not lines:
        return ""
    ground = mates[0].line.ground_srgb8
    worst = min(lines, key=lambda m: contrast_ratio(m.line.ink_srgb8, ground) / m.ratio_wanted)
    there = contrast_ratio(worst.line.ink_srgb8, ground)
    model = next((m for m in mates if contrast_ratio(m.line.ink_srgb8, ground) >= worst.ratio_wanted), None)
    if there >= worst.ratio_wanted or there >= worst.ratio or model is None:
        return ""
    ink = model.line.ink_srgb8
    return f"Set it in {to_hex(ink)} there, as {model.id} is: its own ink would have {ratio(there)}."


def _moved(item: Item, x_mm: float, y_mm: float) -> Item:
    def by(box: BoxMm) -> BoxMm:
        return box[0] + x_mm, box[1] + y_mm, box[2] + x_mm, box[3] + y_mm

    return replace(item, box_mm=by(item.box_mm), body_mm=by(item.body_mm))


def _between(part: Sequence[Item], others: Sequence[Item]) -> float:
    return min(_nearest([one], others)[0] for one in part)


def _nearest(part: Sequence[Item], others: Sequence[Item]) -> tuple[float, str]:
    """Return the least gap to any of the others, and whose it is."""
    gaps = gaps_mm([*part, *others])[: len(part), len(part) :]
    column = int(gaps.min(axis=0).argmin())
    return float(gaps[:, column].min()), others[column].id


def _nearest_first(items: Sequence[Item], others: Sequence[Item]) -> tuple[str, ...]:
    return tuple(item.id for item in sorted(items, key=lambda one: (_nearest([one], others)[0], one.id)))


def _under(figure: Item, items: Sequence[Item]) -> bool:
    return any(overlapping(figure.box_mm, item.box_mm) for item in items)


def _area(item: Item) -> float:
    x0, y0, x1, y1 = item.box_mm
    return (x1 - x0) * (y1 - y0)
