"""Medians and quantiles of few numbers, as of a line's pieces: numpy's own take longer to begin than these in all."""

from math import floor

import numpy as np
import numpy.typing as npt

Numbers = npt.NDArray[np.floating]


def median(values: Numbers) -> float:
    """Return the middle of some numbers, (N,), half way between two where N is even; as numpy's, to the bit."""
    ordered = np.sort(values)
    half = len(ordered) // 2
    return float(ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2)


def quantile(values: Numbers, share: float) -> float:
    """Return what a share of some numbers, (N,), lies under, on a straight line between two; as numpy's, to the bit."""
    ordered = np.sort(values)
    place = (len(ordered) - 1) * share
    low = floor(place)
    past = place - low
    under, over = float(ordered[low]), float(ordered[min(low + 1, len(ordered) - 1)])
    return under + (over - under) * past if past < 0.5 else over - (over - under) * (1 - past)
