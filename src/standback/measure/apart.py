"""How far apart things on a sheet are: the boxes that a viewer takes for their edges, and the white between."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from standback.arrangement import BoxMm
from standback.elements import Line
from standback.measure.model import FigureMeasurement, Measurement

BODY_INK = 0.35
"""Rows of a line with at least this share of its fullest rows' ink are its body; the tails of letters are
not (ours)."""
FULLEST = 90.0
"""Percentile of the rows' ink that stands for the fullest."""
LEVEL_DEG = 2.0
"""Lines up to this angle are level (ours)."""
SAME_ROW = 0.3
"""Share of the lower one's height that two things in one row share (ours)."""

Gaps = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One thing on the sheet. `body_mm` is where its edges are taken to be, `box_mm` the box of its ink."""

    id: str
    box_mm: BoxMm
    body_mm: BoxMm
    letter_mm: float | None = None


def item_of(m: Measurement | FigureMeasurement) -> Item:
    """Return a line or a figure as a thing with edges."""
    if isinstance(m, FigureMeasurement):
        return Item(id=m.id, box_mm=m.box_mm, body_mm=m.box_mm)
    return Item(id=m.id, box_mm=m.box_mm, body_mm=body_mm(m.line, m.box_mm), letter_mm=m.letter_mm)


def body_mm(line: Line, box_mm: BoxMm) -> BoxMm:
    """Return a level line's box without ascenders and descenders where most of its letters have none.

    The white between two lines is seen from the one's feet to the other's shoulders: whether a line
    happens to hold a p or a d moves its box but not the text. Lines at an angle keep their box.
    """
    if abs(line.angle_deg) > LEVEL_DEG:
        return box_mm
    ink = line.mask.sum(axis=1, dtype=np.float64)
    rows = np.flatnonzero(ink >= BODY_INK * np.percentile(ink, FULLEST))
    if not len(rows):
        return box_mm
    left, top, right, bottom = box_mm
    row_mm = (bottom - top) / len(ink)
    return left, top + row_mm * float(rows[0]), right, top + row_mm * float(rows[-1] + 1)


def gaps_mm(items: Sequence[Item]) -> Gaps:
    """Return the white between any two, edge to edge: (n, n), 0 where they overlap, infinite with themselves."""
    if not items:
        return np.zeros((0, 0))
    x0, y0, x1, y1 = np.array([item.body_mm for item in items], dtype=np.float64).T
    across = np.maximum(np.maximum(x0[:, None], x0) - np.minimum(x1[:, None], x1), 0.0)
    down = np.maximum(np.maximum(y0[:, None], y0) - np.minimum(y1[:, None], y1), 0.0)
    gaps = np.hypot(across, down)
    np.fill_diagonal(gaps, np.inf)
    return np.asarray(gaps)


def union_mm(boxes: Sequence[BoxMm]) -> BoxMm:
    """Return the box around several."""
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return min(x0), min(y0), max(x1), max(y1)


def overlapping(a: BoxMm, b: BoxMm) -> bool:
    """Whether two boxes share any area."""
    return min(a[2], b[2]) > max(a[0], b[0]) and min(a[3], b[3]) > max(a[1], b[1])


def shared_width(a: BoxMm, b: BoxMm) -> float:
    """Return how much of the narrower one's width two boxes have above each other: 0 to 1."""
    shared = min(a[2], b[2]) - max(a[0], b[0])
    return max(shared, 0.0) / max(min(a[2] - a[0], b[2] - b[0]), 1e-9)


def in_row(a: BoxMm, b: BoxMm) -> bool:
    """Whether two boxes stand beside each other in one row."""
    shared = min(a[3], b[3]) - max(a[1], b[1])
    beside = max(a[0], b[0]) >= min(a[2], b[2])
    return beside and shared > SAME_ROW * min(a[3] - a[1], b[3] - b[1])
