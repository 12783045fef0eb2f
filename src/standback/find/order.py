"""Medians and quantiles of a line's pieces and samples: numpy's own take longer to begin than these in all."""

from math import ceil, floor
from typing import TypeVar

import numpy as np
import numpy.typing as npt

Numbers = npt.NDArray[np.floating]
Real = TypeVar("Real", np.float32, np.float64)

FEW = 300
"""So many are sorted sooner than parted at their middle (measured)."""


def median(values: Numbers) -> float:
    """Return the middle of some numbers, (N,), half way between two where N is even; as numpy's, to the bit."""
    half = len(values) // 2
    ordered = np.sort(values) if len(values) < FEW else np.partition(values, (half - 1, half))
    return float(ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2)


def medians(values: npt.NDArray[Real]) -> npt.NDArray[Real]:
    """Return the middle of each column, (K,), of some rows of numbers, (N, K), N > 0; as numpy's, to the bit."""
    half = len(values) // 2
    parted = np.partition(values, (max(half - 1, 0), half), axis=0)
    middle: npt.NDArray[Real] = parted[half] if len(values) % 2 else (parted[half - 1] + parted[half]) / 2
    return middle


def quantile(values: Numbers, share: float) -> float:
    """Return what a share of some numbers, (N,), lies under, on a straight line between two; as numpy's, to the bit."""
    return quantile_of_ordered(np.sort(values), share)


def quantile_of_ordered(ordered: Numbers, share: float) -> float:
    """Return the same of numbers in order."""
    place = (len(ordered) - 1) * share
    low = floor(place)
    past = place - low
    under, over = float(ordered[low]), float(ordered[min(low + 1, len(ordered) - 1)])
    return under + (over - under) * past if past < 0.5 else over - (over - under) * (1 - past)


def least_of_largest(values: Numbers, share: float) -> float:
    """Return the least number that is not under what all but a share of some numbers, (N,), lie under."""
    place = ceil((len(values) - 1) * (1 - share))
    return float(np.partition(values, place)[place])
