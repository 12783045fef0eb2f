"""Glyphs: the pieces of ink inside a band that stand in line as letters do, and how well they do."""

from dataclasses import dataclass
from math import inf
from typing import Self

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.find.order import median
from standback.find.split import Flags, Split

Doubles = npt.NDArray[np.float64]
Labels = npt.NDArray[np.int32]

CORE = 0.38
"""Letters cross the middle of the body within this many body heights (ours)."""
LEAST_LETTER, TALLEST = 0.45, 2.7
"""No letter is lower or higher than this, in body heights (ours)."""
MARK_SIZE, MARK_ABOVE, MARK_BELOW = 0.5, 1.35, 1.0
"""Dots, accents and commas: how large, and how far from the middle, in body heights (ours)."""
MARK_GAP, DASH_GAP = 0.3, 1.0
"""How far from a letter a small mark may be, and one level with the letters, in body heights (ours)."""
MOST_MARKS, FEW_MARKS = 1.5, 4
"""More marks a letter than this over or under the line, and not just a few, are a line of smaller type (ours)."""
DASH_HIGH, DASH_WIDE, DASH_OFF = 0.3, 2.2, 0.3
"""A dash is so low, up to an em wide, and so near to the middle, in body heights (ours)."""
PART_REACH, PART_WIDTH = 0.64, 1.2
"""Parts of letters that stand alone, as in Han and Hangul: within this far of the middle, at most so wide, in body
heights (ours)."""
NARROW_STACK = 0.6
"""Parts on top of each other, none as high as letters are, stand for a letter only if they are wider than this for the
height of them all (ours): else they are a colon, whose dots would be taken for low letters among figures."""
RULE_LENGTH, RULE_THICK = 8.0, 0.3
"""A run of ink this long and no thicker, in body heights, is a rule under or over the line (ours)."""
RING = 0.3
"""Width of the ring around the line in which other ink speaks against text, in body heights (ours)."""
MOST_COVER = 0.68
"""Only the heaviest type covers more of its box than this (ours)."""
_EIGHT = np.ones((3, 3), dtype=bool)
_AT_A_TIME = 512


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Glyphs:
    """Pieces of ink of one line, from left to right; boxes are half-open, in samples of the window.

    Attributes
    ----------
    labels
        (H, W) number of the piece from 1, 0 elsewhere.
    own
        Rows and columns that the pieces take.
    x0, y0, x1, y1, area
        (N,) each.
    letter
        (N,) False for dots, accents, commas and small parts of letters.
    tidy
        How much the ink in and around the band is these letters and nothing else, at most 1.
    """

    split: Split
    labels: Labels
    own: tuple[slice, slice]
    x0: Doubles
    y0: Doubles
    x1: Doubles
    y1: Doubles
    area: Doubles
    letter: Flags
    tidy: float

    @property
    def mask(self) -> Flags:
        """The line's ink, (H, W)."""
        return self.labels > 0

    def place(self, margin: int = 0, most_samples: float = inf) -> tuple[slice, slice]:
        """Return rows and columns of a line and so many samples around it; its middle where it has more samples."""
        rows, columns = self.own
        top, bottom = max(0, rows.start - margin), rows.stop + margin
        left, right = max(0, columns.start - margin), columns.stop + margin
        surplus = max(0, right - left - int(min(most_samples / (bottom - top), right - left)))
        return slice(top, bottom), slice(left + surplus // 2, right - (surplus - surplus // 2))

    def of(self, chosen: Flags) -> Self:
        """Return some of the pieces as a line of their own."""
        if chosen.all():
            return self
        renumber = np.zeros(len(chosen) + 1, dtype=np.int32)
        renumber[1:][chosen] = np.arange(1, np.count_nonzero(chosen) + 1)
        x0, y0, x1, y1 = self.x0[chosen], self.y0[chosen], self.x1[chosen], self.y1[chosen]
        own = _place_of(x0, y0, x1, y1)
        return type(self)(
            split=self.split,
            labels=_renumbered(self.labels, renumber, own),
            own=own,
            x0=x0,
            y0=y0,
            x1=x1,
            y1=y1,
            area=self.area[chosen],
            letter=self.letter[chosen],
            tidy=self.tidy,
        )


def glyphs_of(split: Split) -> Glyphs | None:
    """Pick the letters and their small marks out of a split window; None where no letter is left."""
    window = split.window
    body, middle = window.body, window.middle
    height, width = split.mask.shape
    labels, boxes = _pieces(split.mask)
    if len(boxes) and (boxes[:, 2] - boxes[:, 0]).max() > RULE_LENGTH * body:
        labels, boxes = _pieces(_without_rules(split.mask, round(RULE_LENGTH * body), RULE_THICK * body))
    if not len(boxes):
        return None
    count = len(boxes)
    x0, y0, x1, y1 = boxes.T
    high, wide = y1 - y0, x1 - x0
    at_left, at_right = window.at_edge
    inside = (y0 > 0) & (y1 < height) & ((x0 > 0) | at_left) & ((x1 < width) | at_right)
    crosses = (y0 < middle + CORE * body) & (y1 > middle - CORE * body)
    letter = inside & crosses & (high <= TALLEST * body) & (high >= LEAST_LETTER * body)
    small = inside & ~letter & (high < MARK_SIZE * body) & (wide < 2 * MARK_SIZE * body)
    small &= (y0 > middle - MARK_ABOVE * body) & (y1 < middle + MARK_BELOW * body)
    centre = np.abs((y0 + y1) / 2 - middle)
    small |= inside & (high < DASH_HIGH * body) & (wide < DASH_WIDE * body) & (centre < DASH_OFF * body)
    part = inside & ~letter & (wide < PART_WIDTH * body)
    part &= (y0 > middle - PART_REACH * body) & (y1 < middle + PART_REACH * body)
    # beyond the band's ends lone specks are rather the ground's
    part &= (x1 > window.left - MARK_GAP * body) & (x0 < window.right + MARK_GAP * body)
    letter |= _tallest_of_stacks(boxes, part, letter, LEAST_LETTER * body)
    if not letter.any():
        return None
    small |= part & ~letter
    small &= _near(boxes, letter, middle, body)
    small &= ~_smaller_line(boxes, letter, small)
    kept = letter | small
    order = np.flatnonzero(kept)
    order = order[np.argsort(x0[order], kind="stable")]
    x0, y0, x1, y1 = boxes[order].T
    own = _place_of(x0, y0, x1, y1)
    renumber = np.zeros(count + 1, dtype=np.int32)
    renumber[order + 1] = np.arange(1, len(order) + 1)
    chosen = _renumbered(labels, renumber, own)
    area = np.bincount(chosen[own].ravel(), minlength=len(order) + 1)[1:].astype(np.float64)
    tidy = _tidy(split, chosen, own, float(area.sum()))
    return Glyphs(
        split=split,
        labels=chosen,
        own=own,
        x0=x0,
        y0=y0,
        x1=x1,
        y1=y1,
        area=area,
        letter=letter[order],
        tidy=tidy,
    )


def _place_of(x0: Doubles, y0: Doubles, x1: Doubles, y1: Doubles) -> tuple[slice, slice]:
    """Return rows and columns of some pieces, from left to right."""
    return slice(int(y0.min()), int(y1.max())), slice(int(x0[0]), int(x1.max()))


def _renumbered(labels: Labels, renumber: Labels, place: tuple[slice, slice]) -> Labels:
    """Give the pieces in a place other numbers, (N + 1,), and 0 to all else: a window has a line in its third."""
    other = np.zeros(labels.shape, dtype=np.int32)
    other[place] = renumber.take(labels[place])
    return other


def _pieces(mask: Flags) -> tuple[Labels, Doubles]:
    """Label the connected pieces of ink from 1, and return their boxes (N, 4): x0, y0, x1, y1."""
    labels, _ = ndimage.label(mask, structure=_EIGHT)
    found = [(s[1].start, s[0].start, s[1].stop, s[0].stop) for s in ndimage.find_objects(labels)]
    return labels, np.array(found, dtype=np.float64).reshape(-1, 4)


def _without_rules(mask: Flags, length: int, thick: float) -> Flags:
    """Take out level rules, which join the letters that touch them: runs of ink so long, and no thicker."""
    columns = np.arange(mask.shape[1])
    last_bare = np.maximum.accumulate(np.where(mask, -1, columns), axis=1)
    next_bare = np.minimum.accumulate(np.where(mask, mask.shape[1], columns)[:, ::-1], axis=1)[:, ::-1]
    runs, boxes = _pieces(mask & (next_bare - last_bare > length))
    thin = np.append(False, boxes[:, 3] - boxes[:, 1] <= thick)
    left: Flags = mask & ~thin[runs]
    return left


def _tallest_of_stacks(boxes: Doubles, part: Flags, letter: Flags, least: float) -> Flags:
    """Tell which parts stand for a letter that is all parts: the tallest of a stack as high as letters are.

    A stack is what lies over or under each other.
    """
    tallest = np.zeros(len(boxes), dtype=bool)
    if not part.any():
        return tallest
    order = np.flatnonzero(part | letter)
    order = order[np.argsort(boxes[order, 0], kind="stable")]
    x0, y0, x1, y1 = boxes[order].T
    begins = np.ones(len(order), dtype=bool)
    begins[1:] = x0[1:] >= np.maximum.accumulate(x1)[:-1]
    starts = np.flatnonzero(begins)
    high = np.maximum.reduceat(y1, starts) - np.minimum.reduceat(y0, starts)
    wide = np.maximum.reduceat(x1, starts) - x0[starts]
    bare = (high >= least) & (wide > NARROW_STACK * high) & ~np.logical_or.reduceat(letter[order], starts)
    if not bare.any():
        return tallest
    stack = np.cumsum(begins) - 1
    by_height = np.lexsort((-(y1 - y0), stack))
    first = by_height[np.r_[True, np.diff(stack[by_height]) > 0]]
    tallest[order[first[bare]]] = True
    return tallest


def _near(boxes: Doubles, letter: Flags, middle: float, body: float) -> Flags:
    """Tell which boxes (N, 4) lie over, under or, as a dash does, beside a letter."""
    near = np.zeros(len(boxes), dtype=bool)
    x0, y0, x1, y1 = boxes[letter].T
    others = np.flatnonzero(~letter)
    for start in range(0, len(others), _AT_A_TIME):
        some = others[start : start + _AT_A_TIME]
        left, top, right, bottom = (edge[:, None] for edge in boxes[some].T)
        across = np.maximum(x0 - right, left - x1)
        along = np.maximum(y0 - bottom, top - y1)
        beside = np.abs((top + bottom) / 2 - middle) < 0.6 * body
        reach = np.where(beside, DASH_GAP, MARK_GAP)
        near[some] = ((across < reach * body) & (along < MARK_GAP * body)).any(axis=1)
    return near


def _smaller_line(boxes: Doubles, letter: Flags, small: Flags) -> Flags:
    """Tell which marks are too many for these letters: those of a line of smaller type close over or under it."""
    _, y0, _, y1 = boxes.T
    most = max(FEW_MARKS, MOST_MARKS * np.count_nonzero(letter))
    crowd = np.zeros(len(boxes), dtype=bool)
    for side in (y1 <= median(y0[letter]), y0 >= median(y1[letter])):
        marks = small & side
        if np.count_nonzero(marks) > most:
            crowd |= marks
    return crowd


def _tidy(split: Split, labels: Labels, own: tuple[slice, slice], area: float) -> float:
    """Tell how much of the ink in a line's own place and in a ring around it is its pieces, of that area in all."""
    rows, columns = own
    ring = max(1, round(RING * split.window.body))
    around = (
        slice(max(0, rows.start - ring), rows.stop + ring),
        slice(max(0, columns.start - ring), columns.stop + ring),
    )
    stray = split.mask[around] & (labels[around] == 0)
    core = (split.window.rows(-0.5, 0.5), columns)
    formed = np.count_nonzero(labels[core]) / max(1, int(np.count_nonzero(split.mask[core])))
    cover = area / max(1, (rows.stop - rows.start) * (columns.stop - columns.start))
    tidy: float = formed - np.count_nonzero(stray) / stray.size - 2 * max(0.0, cover - MOST_COVER)
    return tidy
