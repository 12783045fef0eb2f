"""Left edges that lines keep, and those that nearly, but not exactly, agree.

An edge is where lines begin, not where their ink does: a straight stem stands farther in than a round letter, and the
more so the larger the type.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median

import numpy as np

from standback.arrangement import OffAxis
from standback.artwork import Artwork
from standback.elements import Figure, Line
from standback.measure.apart import LEVEL_DEG, in_row
from standback.measure.model import Measurement
from standback.settings import Limits

STEM_BEARING, ROUND_BEARING = 0.08, 0.035
"""White that faces leave before a straight stem, and before round and slanted letters, in ems (ours: the middle of
what common faces have)."""
STEM_WITHIN, STEM_ROWS = 0.03, 0.6
"""A letter begins with a stem where this share of its rows begin within so many ems of its outermost point (ours)."""
FIRST_LETTER = 0.5
"""The first letter is looked for within so many ems (ours)."""
SAME_MM, SAME_EMS = 0.3, 0.05
"""Starts that differ by no more than both together are on one edge: pixels, and bearings unlike the usual (ours)."""
LEAST_EMS, LEAST_PX = 0.12, 2.5
"""Edges nearer to each other than either pass for one, however little is asked (ours)."""
KEPT_BY, OFF_BY = 3, 2
"""So many lines keep an edge, and so many another beside it, before either is taken for one (ours)."""
SURE = 0.7
"""What is less surely text has no edge to keep (ours)."""
BESIDE_EMS, EDGE_EMS = 1.2, 1.6
"""How far to the left a bullet or a sign, and the edge of a panel or a frame, is looked for (ours)."""
ALIKE = 1.5
"""Type up to so many times as large tells an edge about as exactly (ours)."""
OTHER_CODES = 40.0
"""What is farther from the ground than so many codes is something else (ours)."""
EDGE_ROWS, SIGN_ROWS = 0.9, 0.1
"""A panel's edge takes up so much of the line's height, a sign beside it at least so much of it (ours)."""
FIGURE_ROWS = 0.5
"""So much of a figure's height begins at its left edge, if it has one (ours)."""
COMPANY_MM = 0.5
"""What starts with a line nearer by, within so much, has an edge with it that a move would break (ours)."""
STEPS, STEP_EMS, NEXT_EMS = 3, 0.5, 1.0
"""Lines under each other, no more than so many ems apart, that start in so many places, each so far from the next, are
set in steps, as code and verse are: none of these is an edge to keep (ours)."""
FAR_EMS = 15.0
"""Edges whose lines are all farther above each other than so many ems are not compared by eye (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Start:
    """Where a line starts, in mm: its ink, about where its type begins, and the panel it stands in, if any."""

    m: Measurement
    ink_mm: float
    type_mm: float
    panel_mm: float | None

    @property
    def same_mm(self) -> float:
        return SAME_MM + SAME_EMS * self.m.em_mm


def near_edges(
    lines: Sequence[Measurement], figures: Sequence[Figure], artwork: Artwork, limits: Limits
) -> tuple[OffAxis, ...]:
    """Find edges that lines start from beside one that more lines start from, too near to be meant.

    Lines with a sign or a bullet before them have no edge of their own. Nothing is said of lines that are
    set in the middle or to the right of what stands on the other edge, nor of such as stand in another panel, in steps,
    or flush with a figure. Of two edges that lie near each other the one with less on it and close by is off.
    """
    kept = _edges(lines, artwork)
    sides = [_side(figure, artwork) for figure in figures]
    free = [edge for edge in kept if not _by_a_figure(edge, sides)]
    found = []
    for edge in free:
        if _in_company(edge, kept) or _in_steps(edge, kept):
            continue
        near = [
            off
            for main in free
            if main is not edge and len(main) >= KEPT_BY and len(edge) >= OFF_BY
            if _weight(edge, main, kept, limits) <= _weight(main, edge, kept, limits)
            for off in [_off(edge, main, limits)]
            if off is not None
        ]
        if near:
            found.append(min(near, key=lambda off: (-len(off.of), abs(off.off_mm))))
    return tuple(_one_way(found))


def _in_company(edge: Sequence[_Start], kept: Sequence[Sequence[_Start]]) -> bool:
    """Whether the ink of the line next to an edge's own starts hardly elsewhere than theirs, as a heading's does."""
    ink_mm = median(one.ink_mm for one in edge)
    apart = [
        (_apart_mm(one, other), abs(other.ink_mm - ink_mm) <= COMPANY_MM)
        for each in kept
        if each is not edge
        for other in each
        for one in edge
        if one.m.box_mm[0] < other.m.box_mm[2] and other.m.box_mm[0] < one.m.box_mm[2]
    ]
    return min(apart, default=(0.0, False))[1]


def _weight(edge: Sequence[_Start], other: Sequence[_Start], kept: Sequence[Sequence[_Start]], limits: Limits) -> int:
    """Count what starts on an edge or hardly beside it, nearer to it than to the other."""
    at_mm, other_mm = _at(edge), _at(other)
    starts = [start.type_mm for each in kept for start in each if each is not edge and each is not other]
    near = sum(abs(mm - at_mm) <= min(limits.edge_least_mm, abs(mm - other_mm)) for mm in starts)
    return len(edge) + near


def _in_steps(edge: Sequence[_Start], kept: Sequence[Sequence[_Start]]) -> bool:
    """Whether lines that start from an edge belong to a text that is set in steps."""
    starts = [start for each in kept for start in each]
    return any(len(_steps(_block(one, starts))) >= STEPS for one in edge)


def _block(first: _Start, starts: Sequence[_Start]) -> list[_Start]:
    """Collect the lines of about one size that follow each other, from one of them."""
    block, rest = [first], [start for start in starts if start is not first]
    for one in block:
        near = [other for other in rest if _follows(one, other)]
        rest = [other for other in rest if other not in near]
        block += near
    return block


def _follows(one: _Start, other: _Start) -> bool:
    upper, lower = sorted((one.m, other.m), key=lambda m: m.box_mm[1])
    return (
        lower.box_mm[1] - upper.box_mm[3] <= NEXT_EMS * one.m.em_mm
        and 1 / ALIKE <= other.m.em_mm / one.m.em_mm <= ALIKE
        and upper.box_mm[0] < lower.box_mm[2]
        and lower.box_mm[0] < upper.box_mm[2]
    )


def _steps(block: Sequence[_Start]) -> list[float]:
    """Return the places, in mm, that lines of a block start from, but for those hardly beside another."""
    places: list[float] = []
    for start in sorted(block, key=lambda start: start.type_mm):
        if not places or start.type_mm - places[-1] > STEP_EMS * start.m.em_mm:
            places.append(start.type_mm)
    return places


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    """The left side of a figure, in mm."""

    left_mm: float
    top_mm: float
    bottom_mm: float


def _by_a_figure(edge: Sequence[_Start], sides: Sequence[_Side]) -> bool:
    """Whether an edge is flush with a figure over or under its lines, no farther than edges are compared."""
    ink_mm = median(one.ink_mm for one in edge)
    return any(
        abs(side.left_mm - ink_mm) <= COMPANY_MM
        and any(
            max(side.top_mm - one.m.box_mm[3], one.m.box_mm[1] - side.bottom_mm) <= FAR_EMS * one.m.em_mm
            for one in edge
        )
        for side in sides
    )


def _side(figure: Figure, artwork: Artwork) -> _Side:
    """Return where a figure begins: found on coarse samples, and looked for on the artwork's own pixels about there."""
    box, scale, trim = figure.box_px, figure.mask_scale, artwork.trim_px
    x0, x1 = max(box.x0 - 2 * scale, trim.x0), box.x0 + 2 * scale
    strip = artwork.srgb8[box.y0 : box.y1, x0:x1].astype(np.float32)
    other = np.linalg.norm(strip - np.median(strip[:, :1], axis=0), axis=2) > OTHER_CODES
    begins = np.flatnonzero(other.mean(axis=0) >= FIGURE_ROWS)
    left = x0 + (int(begins[0]) if len(begins) else box.x0 - x0)
    left_mm, top_mm, bottom_mm = (
        (px - origin) / artwork.px_per_mm for px, origin in ((left, trim.x0), (box.y0, trim.y0), (box.y1, trim.y0))
    )
    return _Side(left_mm=left_mm, top_mm=top_mm, bottom_mm=bottom_mm)


def _one_way(found: Sequence[OffAxis]) -> Iterator[OffAxis]:
    """Of two edges kept by as many lines, name one."""
    named: set[str] = set()
    for off in found:
        if off.element not in named:
            named.update((*off.of, off.element))
            yield off


def _edges(lines: Sequence[Measurement], artwork: Artwork) -> list[list[_Start]]:
    """Collect what starts at one place, edge by edge; the smallest type, which tells it best, first."""
    found: list[list[_Start]] = []
    level = [m for m in lines if abs(m.line.angle_deg) <= LEVEL_DEG and not m.logo and m.line.confidence >= SURE]
    starts = [start for m in level if (start := _start(m, artwork)) is not None]
    for start in sorted(starts, key=lambda start: (start.m.em_mm, start.m.id)):
        nearest = min(found, key=lambda edge: abs(_at(edge) - start.type_mm), default=None)
        if nearest is not None and abs(_at(nearest) - start.type_mm) <= start.same_mm:
            nearest.append(start)
        else:
            found.append([start])
    return found


def _at(edge: Sequence[_Start]) -> float:
    return median(start.type_mm for start in edge)


def _off(edge: Sequence[_Start], main: Sequence[_Start], limits: Limits) -> OffAxis | None:
    """Return how an edge is off another, None where it isn't or is on purpose."""
    off = [(one, other, by) for one in edge for other in _next(one, main) if (by := _off_by(one, other, main, limits))]
    if len(off) < OFF_BY:
        return None
    pairs = [(one, other) for one, _, _ in off for other in main if _off_by(one, other, main, limits) is not None]
    one, beside = min(pairs, key=lambda pair: _apart_mm(*pair))
    if not any(_apart_mm(a, b) <= FAR_EMS * max(a.m.em_mm, b.m.em_mm) for a, _, _ in off for b in main):
        return None
    # what starts with them moves with them, though it be measured a hair less far off
    moved = [a for a in edge if any(_apart_mm(a, b) <= FAR_EMS * max(a.m.em_mm, b.m.em_mm) for b, _, _ in off)]
    return OffAxis(
        element=one.m.id,
        axis="left",
        of=(beside.m.id, *(other.m.id for other in main if other is not beside)),
        at_mm=_at(main),
        off_mm=median(by for _, _, by in off),
        slack_mm=limits.edge_least_mm,
        along=tuple(other.m.id for other in sorted(moved, key=_down) if other is not one),
    )


def _next(one: _Start, main: Sequence[_Start]) -> Sequence[_Start]:
    """Return which line of an edge is compared with: the next above or below, in type as large if there is any."""
    others = [other for other in main if not in_row(one.m.box_mm, other.m.box_mm)]
    alike = [other for other in others if 1 / ALIKE <= other.m.em_mm / one.m.em_mm <= ALIKE]
    return sorted(alike or others, key=lambda other: _apart_mm(one, other))[:1]


def _off_by(one: _Start, other: _Start, main: Sequence[_Start], limits: Limits) -> float | None:
    """Return by how much a line starts beside the edge that another keeps, None where that may be meant."""
    larger, smaller = max(one.m.em_mm, other.m.em_mm), min(one.m.em_mm, other.m.em_mm)
    ink, body = one.ink_mm - other.ink_mm, one.type_mm - _at(main)
    by = min(ink, body, key=abs)
    least = max(limits.edge_least_mm, LEAST_EMS * larger, LEAST_PX / one.m.px_per_mm)
    if ink * body <= 0 or not least <= abs(by) <= limits.edge_most_ems * smaller:
        return None
    if abs(_right(one) - _right(other)) < abs(by) or abs(_middle(one) - _middle(other)) < abs(by) / 2:
        return None
    if (one.panel_mm is None) != (other.panel_mm is None):
        return None
    if one.panel_mm is not None and other.panel_mm is not None and abs(one.panel_mm - other.panel_mm) > abs(by) / 3:
        return None
    return by


def _down(start: _Start) -> float:
    return (start.m.box_mm[1] + start.m.box_mm[3]) / 2


def _apart_mm(one: _Start, other: _Start) -> float:
    return abs(_down(one) - _down(other))


def _right(start: _Start) -> float:
    return start.m.box_mm[2]


def _middle(start: _Start) -> float:
    return (start.m.box_mm[0] + start.m.box_mm[2]) / 2


def has_sign_before(m: Measurement, artwork: Artwork) -> bool:
    """Whether a sign, a bullet or a raised figure stands before a line: what it begins with is not its box's edge."""
    return _start(m, artwork) is None


def _start(m: Measurement, artwork: Artwork) -> _Start | None:
    """Return where a line starts, None where a sign or a bullet stands before it."""
    em_px = m.em_mm * m.px_per_mm
    box, trim = m.line.box_px, artwork.trim_px
    x0 = max(round(box.x0 - EDGE_EMS * em_px), trim.x0)
    strip = artwork.srgb8[max(box.y0, trim.y0) : box.y1, x0 : box.x0 - m.line.mask_scale].astype(np.float32)
    panel_mm = None
    if strip.size:
        other = np.linalg.norm(strip - np.array(m.line.ground_srgb8, dtype=np.float32), axis=2) > OTHER_CODES
        share = other.mean(axis=0)[::-1]
        edge = np.flatnonzero(share >= EDGE_ROWS)
        before = share[: edge[0] if len(edge) else round(BESIDE_EMS * em_px)][: round(BESIDE_EMS * em_px)]
        if (before >= SIGN_ROWS).any():
            return None
        if len(edge):
            panel_mm = m.box_mm[0] - (m.line.mask_scale + int(edge[0])) / m.px_per_mm
    bearing = STEM_BEARING if _begins_with_stem(m.line, em_px) else ROUND_BEARING
    return _Start(m=m, ink_mm=m.box_mm[0], type_mm=m.box_mm[0] - bearing * m.em_mm, panel_mm=panel_mm)


def _begins_with_stem(line: Line, em_px: float) -> bool:
    em = em_px / line.mask_scale
    first = line.mask[:, : max(2, round(FIRST_LETTER * em))]
    gaps = np.flatnonzero(~first.any(axis=0))
    if len(gaps):
        first = first[:, : gaps[0]]
    rows = first[first.any(axis=1)]
    if not rows.size:
        return False
    return float((rows.argmax(axis=1) <= max(1.0, STEM_WITHIN * em)).mean()) >= STEM_ROWS
