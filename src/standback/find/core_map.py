"""From the scorer's map of line cores to strips: one strip a line, with its tilt."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import atan2, cos, degrees, radians, sin

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.masks import grown

Floats = npt.NDArray[np.float32]

LEAST_PROBABILITY = 0.5
STRICTER = (0.70, 0.83, 0.92)
"""Cores that touch are parted by asking for more."""
CORE_SHARE = 0.64
"""Height of the marked core over body height, as the network was taught."""
LEAST_CELLS = 4
TALL, SLACK_CELLS = 1.6, 2.0
"""A core this many times (and cells) taller than its columns are thick holds more than one line."""
SHORT = 2.5
"""A core shorter than this many thicknesses tells nothing about its tilt."""
JOIN_GAP_BODIES, JOIN_MIDDLE_BODIES, JOIN_RATIO = 1.6, 0.3, 1.45
"""Pieces in one row this close are one line (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Where a line's body runs on one map, in samples of the picture: x and y to the right and down.

    Attributes
    ----------
    centre_x, centre_y
        The middle of the strip.
    length, body
        Along the line and across it.
    angle_deg
        Counter-clockwise from horizontal.
    probability
        Mean over the core.
    """

    centre_x: float
    centre_y: float
    length: float
    body: float
    angle_deg: float
    probability: float

    def end(self, side: int) -> tuple[float, float]:
        """Return the middle of the strip's left (-1) or right (+1) end."""
        a, half = radians(self.angle_deg), side * self.length / 2
        return self.centre_x + half * cos(a), self.centre_y - half * sin(a)


def strips_of(core: Floats, cell: float) -> tuple[Strip, ...]:
    """Return the strips on a map of core probabilities (H, W) whose cells are `cell` samples wide."""
    found = [
        _scaled(strip, cell)
        for rows, columns, own in _components(core >= LEAST_PROBABILITY)
        for strip in _parted(core[rows, columns], own, rows.start, columns.start, 0)
    ]
    return tuple(_joined(found))


def _components(mask: npt.NDArray[np.bool_]) -> Iterator[tuple[slice, slice, npt.NDArray[np.bool_]]]:
    """Yield each connected part's box, grown by a cell, and its own cells in the box."""
    labels, _ = ndimage.label(mask, np.ones((3, 3)))
    for number, box in enumerate(ndimage.find_objects(labels), start=1):
        rows, columns = (
            slice(max(side.start - 1, 0), min(side.stop + 1, size)) for side, size in zip(box, mask.shape, strict=True)
        )
        own = labels[rows, columns] == number
        if own.sum() >= LEAST_CELLS:
            yield rows, columns, own


def _parted(core: Floats, own: npt.NDArray[np.bool_], top: int, left: int, depth: int) -> Iterator[Strip]:
    """Measure a component, or part it where it is too tall for one line."""
    strip, spread = _measured(core, own, added=0.4 * depth)
    thick = strip.body * CORE_SHARE
    if depth < len(STRICTER) and spread > TALL * thick + SLACK_CELLS:
        stricter = own & (core >= STRICTER[depth])
        pieces = list(_components(stricter))
        if len(pieces) > 1 or depth + 1 < len(STRICTER):
            for rows, columns, piece in pieces:
                yield from _parted(core[rows, columns], piece, top + rows.start, left + columns.start, depth + 1)
            return
    yield replace(strip, centre_x=strip.centre_x + left, centre_y=strip.centre_y + top)


def _measured(core: Floats, own: npt.NDArray[np.bool_], added: float) -> tuple[Strip, float]:
    """Return the strip of a component in cells, and how far it spreads across its own direction."""
    weight = np.where(grown(own, corners=False), core, 0)
    rows, columns = np.arange(core.shape[0]) + 0.5, np.arange(core.shape[1]) + 0.5
    by_column = weight.sum(axis=0)
    inner = own.any(axis=0)
    thick = float(np.median(by_column[inner]))
    # the end columns count by how full they are
    length = float(np.minimum(by_column / max(thick, 1e-6), 1).sum())
    total = float(by_column.sum())
    x = float((by_column * columns).sum()) / total
    y = float((weight.sum(axis=1) * rows).sum()) / total
    slope = 0.0
    if length > SHORT * thick:
        heights = (weight * rows[:, None]).sum(axis=0)[inner] / by_column[inner]
        off = columns[inner] - x
        slope = float((by_column[inner] * off * (heights - y)).sum() / (by_column[inner] * off**2).sum())
    lean = atan2(slope, 1)
    across = (rows[:, None] - y - slope * (columns - x))[own] * cos(lean)
    strip = Strip(
        centre_x=x,
        centre_y=y,
        length=length / cos(lean),
        body=(thick * cos(lean) + added) / CORE_SHARE,
        angle_deg=-degrees(lean),
        probability=float(core[own].mean()),
    )
    return strip, float(np.ptp(across)) + 1


def _scaled(strip: Strip, cell: float) -> Strip:
    return replace(
        strip,
        centre_x=strip.centre_x * cell,
        centre_y=strip.centre_y * cell,
        length=strip.length * cell,
        body=strip.body * cell,
    )


def _joined(strips: list[Strip]) -> list[Strip]:
    """Join strips that go on from one another, from left to right."""
    kept: list[Strip] = []
    ends: list[tuple[float, float]] = []
    for start, strip in sorted(((s.end(-1), s) for s in strips), key=lambda one: (one[0][0], one[1].centre_y)):
        follows = [n for n, end in enumerate(ends) if _goes_on(end, kept[n].body, start, strip.body)]
        if follows:
            n = max(follows, key=lambda n: ends[n][0])
            kept[n] = _union(kept[n], strip)
            ends[n] = kept[n].end(1)
        else:
            kept.append(strip)
            ends.append(strip.end(1))
    return kept


def _goes_on(end: tuple[float, float], body: float, start: tuple[float, float], next_body: float) -> bool:
    """Whether a strip goes on from the end of another."""
    gap, large = start[0] - end[0], max(body, next_body)
    if not -0.5 * large < gap < JOIN_GAP_BODIES * large:
        return False
    return large <= JOIN_RATIO * min(body, next_body) and abs(start[1] - end[1]) < JOIN_MIDDLE_BODIES * large


def _union(left: Strip, right: Strip) -> Strip:
    (x0, y0), (x1, y1) = left.end(-1), right.end(1)
    length = float(np.hypot(x1 - x0, y1 - y0))
    share = left.length / (left.length + right.length)
    return Strip(
        centre_x=(x0 + x1) / 2,
        centre_y=(y0 + y1) / 2,
        length=length,
        body=share * left.body + (1 - share) * right.body,
        angle_deg=degrees(atan2(y0 - y1, x1 - x0)),
        probability=share * left.probability + (1 - share) * right.probability,
    )
