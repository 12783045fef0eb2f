"""Peaks of outlines, by how far they stand out."""

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

Doubles = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]


def peaks_of(heights: Doubles, ends: Places, prominence: float) -> Places:
    """Return where outlines peak, from left to right: the middle of the top, where that is level.

    Parameters
    ----------
    heights
        (N,) of one outline after the other, upwards positive; beyond its own ends each counts as infinitely deep.
    ends
        (K,) where each outline ends, the last one at N.
    prominence
        How far one must at least go down from a peak, on either side, before it goes up higher than the peak.
    """
    begins = np.append(0, ends[:-1])
    left, right = _level_tops(heights, begins)
    own = np.searchsorted(ends, left, side="right")
    values = heights.tolist()
    found = [
        (first + last) // 2
        for first, last, begin, end in np.stack([left, right, begins[own], ends[own]], axis=1).tolist()
        if _falls(values[first], reversed(values[begin:first]), prominence)
        and _falls(values[last], values[last + 1 : end], prominence)
    ]
    return np.array(found, dtype=np.intp)


def _level_tops(heights: Doubles, begins: Places) -> tuple[Places, Places]:
    """First and last place of each stretch that is higher than what lies on both sides of it."""
    starts = np.zeros(len(heights), dtype=bool)
    starts[begins] = True
    first = np.flatnonzero(starts | np.append(True, heights[1:] != heights[:-1]))
    last = np.append(first[1:], len(heights)) - 1
    opens, rises = starts[first], heights[first[1:]] > heights[first[:-1]]
    tops = (opens | np.append(True, rises)) & np.append(opens[1:] | ~rises, True)
    return first[tops], last[tops]


def _falls(height: float, others: Iterable[float], by: float) -> bool:
    """Whether one goes down so far from a height before one comes to what is higher; beyond the end all is deep."""
    for other in others:
        if other > height:
            return False
        if height - other >= by:
            return True
    return True
