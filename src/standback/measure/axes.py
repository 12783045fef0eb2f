"""Axes that elements share, and what stands nearly but not exactly on one."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from standback.arrangement import BoxMm, OffAxis
from standback.artwork import Artwork
from standback.elements import Mask
from standback.measure.apart import LEVEL_DEG, in_row, shared_width
from standback.measure.beyond import found_whole
from standback.measure.model import FigureMeasurement, Measurement
from standback.measure.tiers import near_colours
from standback.settings import Limits

SIDES = ("left", "centre", "right")
SHARED_BY = 2
"""An axis is what at least so many others stand on exactly."""
OVERHANG_LETTERS = 0.15
"""An O and a T stand off their edge by different amounts: so much of the letters' height, and the amount grows
with the type (ours)."""
INDENT_EMS = 4.0
"""A line of a text that starts up to so many ems further in is indented (ours)."""
UNDER = 0.5
"""Share of the narrower one's width that two lines one above the other have in common (ours)."""
NEXT_LETTERS = 4.0
"""Lines up to so many letter heights apart are set to each other (ours)."""
FIGURES_LONG_SIDE = 200
"""Figures are looked for on at least so many samples along the longer side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Edges:
    """A thing's box, and the middle of its ink, in mm."""

    id: str
    box_mm: BoxMm
    ink_mm: float
    measured: Measurement | None

    def at(self, side: str) -> float:
        left, _, right, _ = self.box_mm
        return {"left": left, "centre": (left + right) / 2, "right": right}[side]


def off_axis(
    lines: Sequence[Measurement], figures: Sequence[FigureMeasurement], artwork: Artwork, limits: Limits
) -> tuple[OffAxis, ...]:
    """Find what stands nearly but not exactly on an axis, at most one axis for each element.

    Nothing that shares an axis with two others or with the line next to it, or stands in the middle of the
    sheet, is off another; nor is anything that has a neighbour in its row, since it is placed by that. Of
    an axis through the middle, the box and the ink have both to be off, in the same direction, since a
    slanted or round shape is set by eye. Figures are judged on the middle of the sheet alone.
    """
    slack_mm = limits.axis_share * artwork.width_mm
    level = [m for m in lines if abs(m.line.angle_deg) <= LEVEL_DEG]
    things = [
        *(_Edges(id=m.id, box_mm=m.box_mm, ink_mm=_ink_middle(m.line.mask, m.box_mm), measured=m) for m in level),
        *(
            _Edges(id=f.id, box_mm=f.box_mm, ink_mm=_ink_middle(f.figure.mask, f.box_mm), measured=None)
            for f in figures
        ),
    ]
    set_by = _set_by(things[: len(level)], slack_mm)
    found = []
    for thing in things:
        others = [other for other in things if other.id != thing.id]
        if any(in_row(thing.box_mm, other.box_mm) for other in others):
            continue
        if _on_axis(thing, others, artwork.width_mm, slack_mm):
            continue
        m = thing.measured
        if m is not None and not found_whole(m.line, artwork):
            continue
        mates = [other for other in others if other.measured is not None]
        candidates = [*_off_middle(thing, mates, set_by, artwork, limits)]
        if m is not None:
            candidates += _off_shared(thing, mates, set_by, artwork.width_mm, limits)
        best = min(candidates, key=lambda one: (-len(one.of), abs(one.off_mm)), default=None)
        if best is not None:
            found.append(best)
    return tuple(found)


def _set_by(lines: Sequence[_Edges], slack_mm: float) -> dict[str, str]:
    """Return by which side each line is set: the one that most others share, the left one in doubt."""

    def shared(line: _Edges, side: str) -> int:
        return sum(abs(other.at(side) - line.at(side)) <= slack_mm for other in lines)

    return {line.id: max(SIDES, key=lambda side: shared(line, side)) for line in lines}


def _on_axis(thing: _Edges, others: Sequence[_Edges], width_mm: float, slack_mm: float) -> bool:
    if any(abs(at - width_mm / 2) <= slack_mm for at in (thing.at("centre"), thing.ink_mm)):
        return True
    for side in SIDES:
        own_slack_mm = slack_mm + _overhang(thing, side)
        on = [other for other in others if abs(other.at(side) - thing.at(side)) <= own_slack_mm]
        if len(on) >= SHARED_BY or any(_follow(thing, other, others) for other in on):
            return True
    return False


def _off_middle(
    thing: _Edges, lines: Sequence[_Edges], set_by: Mapping[str, str], artwork: Artwork, limits: Limits
) -> Iterator[OffAxis]:
    """Yield how far something is off the middle of the sheet, where lines are set by that."""
    width_mm = artwork.width_mm
    slack_mm = limits.axis_share * width_mm
    middle = [
        line for line in lines if set_by[line.id] == "centre" and abs(line.at("centre") - width_mm / 2) <= slack_mm
    ]
    if len(middle) < SHARED_BY:
        return
    if thing.measured is None:
        slack_mm += _sample_mm(artwork)
    off_mm = _both(thing.at("centre") - width_mm / 2, thing.ink_mm - width_mm / 2)
    if _nearly(off_mm, slack_mm, width_mm, limits):
        yield OffAxis(element=thing.id, axis="centre", of=(), at_mm=width_mm / 2, off_mm=off_mm, slack_mm=slack_mm)


def _off_shared(
    thing: _Edges, lines: Sequence[_Edges], set_by: Mapping[str, str], width_mm: float, limits: Limits
) -> Iterator[OffAxis]:
    """Yield how far a line is off each axis that lines beside it are set by."""
    for side in SIDES:
        slack_mm = limits.axis_share * width_mm
        for axis in _axes([line for line in lines if set_by[line.id] == side], side, slack_mm):
            beside = next((other for other in axis if _follow(thing, other, lines)), None)
            if beside is None:
                continue
            at_mm = beside.at(side)
            off_mm = thing.at(side) - at_mm
            if side == "centre":
                off_mm = _both(off_mm, thing.ink_mm - at_mm)
            own_slack_mm = slack_mm + max(_overhang(thing, side), _overhang(beside, side))
            if _nearly(off_mm, own_slack_mm, width_mm, limits) and not _indented(thing, side, off_mm):
                yield OffAxis(
                    element=thing.id,
                    axis=side,
                    of=(beside.id, *(other.id for other in axis if other is not beside)),
                    at_mm=at_mm,
                    off_mm=off_mm,
                    slack_mm=own_slack_mm,
                )


def _axes(lines: Sequence[_Edges], side: str, slack_mm: float) -> list[list[_Edges]]:
    """Collect what stands on one axis exactly, axis by axis."""
    axes: list[list[_Edges]] = []
    for one in sorted(lines, key=lambda one: one.at(side)):
        if axes and one.at(side) - axes[-1][0].at(side) <= slack_mm:
            axes[-1].append(one)
        else:
            axes.append([one])
    return [axis for axis in axes if len(axis) >= SHARED_BY]


def _nearly(off_mm: float, slack_mm: float, width_mm: float, limits: Limits) -> bool:
    return slack_mm < abs(off_mm) < limits.axis_far_share * width_mm


def _both(box_off_mm: float, ink_off_mm: float) -> float:
    """Return the smaller of two offsets in one direction, 0 for two in opposite ones."""
    if box_off_mm * ink_off_mm <= 0:
        return 0.0
    return min(box_off_mm, ink_off_mm, key=abs)


def _overhang(thing: _Edges, side: str) -> float:
    if thing.measured is None or side == "centre":
        return 0.0
    return OVERHANG_LETTERS * thing.measured.letter_mm


def _indented(thing: _Edges, side: str, off_mm: float) -> bool:
    """Whether a line starts further in than a text it may belong to."""
    m = thing.measured
    return m is not None and side == "left" and 0 < off_mm <= INDENT_EMS * m.em_mm


def _follow(thing: _Edges, other: _Edges, lines: Sequence[_Edges]) -> bool:
    """Whether two lines stand close above each other on one ground, with no other line between them."""
    a, b = thing.measured, other.measured
    if a is None or b is None or shared_width(thing.box_mm, other.box_mm) < UNDER:
        return False
    if not near_colours(a.line.ground_srgb8, b.line.ground_srgb8):
        return False
    upper, lower = sorted((thing, other), key=lambda one: one.box_mm[1])
    apart_mm = lower.box_mm[1] - upper.box_mm[3]
    if apart_mm > NEXT_LETTERS * max(a.letter_mm, b.letter_mm):
        return False
    return not any(
        upper.box_mm[3] <= (one.box_mm[1] + one.box_mm[3]) / 2 <= lower.box_mm[1]
        and shared_width(one.box_mm, thing.box_mm) > 0
        for one in lines
        if one.id not in (thing.id, other.id)
    )


def _ink_middle(mask: Mask, box_mm: BoxMm) -> float:
    """Return where the middle of the ink lies, in mm from the left."""
    columns = mask.sum(axis=0, dtype=np.float64)
    left, _, right, _ = box_mm
    if not columns.any():
        return (left + right) / 2
    middle = float((columns * (np.arange(len(columns)) + 0.5)).sum() / columns.sum())
    return left + (right - left) * middle / len(columns)


def _sample_mm(artwork: Artwork) -> float:
    """Return the side of a sample where figures are looked for: no figure's place is more exact."""
    return max(artwork.width_mm, artwork.height_mm) / FIGURES_LONG_SIDE
