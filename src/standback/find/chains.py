"""Chains: marks that follow each other along one line, as letters do."""

import numpy as np
import numpy.typing as npt
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import KDTree

from standback.find.marks import HIGHEST, Marks

WIDEST_GAP = 1.3
"""Gap that still joins two letters, in heights of the taller (ours; half as much again as a word space)."""
MOST_UNLIKE_HEIGHT = 2.3
"""A tall letter with a descender beside a small one without."""
MOST_UNLIKE_STROKE = 2.2
MOST_OFF_MIDDLE = 0.42
"""Distance of the vertical middles in heights of the taller: p beside h is at 0.3."""
LEAST_OVERLAP = 0.55
COLOUR_SHARE, COLOUR_SLACK = 0.4, 16.0
_FLATTEN = 2.0


def chains_of(marks: Marks) -> list[npt.NDArray[np.intp]]:
    """Group marks into chains, each from left to right.

    A mark is linked to the best mark to its right and to the best to its left: near, level, of like height,
    stroke and colour. Links are not crossed with other lines because only the best one each way counts.
    """
    left, right = _pairs(marks)
    if not len(left):
        return []
    cost, fits = _costs(marks, left, right)
    left, right, cost = left[fits], right[fits], cost[fits]
    chosen = _best(left, cost, len(marks)) | _best(right, cost, len(marks))
    left, right = left[chosen], right[chosen]
    links = coo_array((np.ones(len(left), dtype=bool), (left, right)), shape=(len(marks), len(marks)))
    _, group = connected_components(links, directed=False)
    order = np.lexsort((marks.x0, group))
    starts = np.flatnonzero(np.r_[True, np.diff(group[order]) > 0])
    return [chain for chain in np.split(order, starts[1:]) if len(chain) > 1]


def _pairs(marks: Marks) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp]]:
    """Pairs whose left one ends near where the right one starts."""
    reach = WIDEST_GAP * HIGHEST
    ends = KDTree(np.stack([marks.x1, marks.middle * _FLATTEN], axis=1))
    starts = KDTree(np.stack([marks.x0, marks.middle * _FLATTEN], axis=1))
    near = ends.sparse_distance_matrix(starts, reach, output_type="ndarray")
    apart = near["i"] != near["j"]
    return near["i"][apart], near["j"][apart]


def _costs(
    marks: Marks, left: npt.NDArray[np.intp], right: npt.NDArray[np.intp]
) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.bool_]]:
    a, b = marks.of(left), marks.of(right)
    tall, small = np.maximum(a.height, b.height), np.minimum(a.height, b.height)
    gap = (b.x0 - a.x1) / tall
    off = np.abs(a.middle - b.middle) / tall
    overlap = (np.minimum(a.y1, b.y1) - np.maximum(a.y0, b.y0)) / small
    unlike_stroke = np.maximum(a.stroke, b.stroke) / np.minimum(a.stroke, b.stroke)
    unlike_colour = np.abs(a.colour - b.colour).max(axis=1)
    contrast = np.minimum(a.contrast, b.contrast)
    fits = (gap > -0.4) & (gap < WIDEST_GAP) & (b.x0 > a.x0)
    fits &= (tall <= MOST_UNLIKE_HEIGHT * small) & (off < MOST_OFF_MIDDLE) & (overlap > LEAST_OVERLAP)
    fits &= (unlike_stroke < MOST_UNLIKE_STROKE) & (unlike_colour < COLOUR_SHARE * contrast + COLOUR_SLACK)
    cost = np.maximum(gap, 0) + 1.5 * off + 0.4 * np.log(tall / small) + unlike_colour / (contrast + COLOUR_SLACK)
    return cost, fits


def _best(end: npt.NDArray[np.intp], cost: npt.NDArray[np.float64], count: int) -> npt.NDArray[np.bool_]:
    """Tell for each pair whether it is the cheapest of its end."""
    least = np.full(count, np.inf)
    np.minimum.at(least, end, cost)
    return cost <= least[end]
