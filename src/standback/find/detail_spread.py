"""Width of strokes and dots about as wide as a pixel, from how their contrast is spread over pixels.

What a pixel shows of a thin stroke is its ink times the share of the pixel it covers, so the darkest pixel
is paler than the ink. Two sums tell width and ink apart: the contrast summed across a stroke is its width
times the contrast of its ink; the sum of squares says over how many pixels that is spread. By Parseval's
theorem the latter is an integral over the spectra of stroke and pixel, the mean over all places of the
stroke on the pixels.
"""

from functools import cache

import numpy as np
import numpy.typing as npt
from scipy.special import j1

Doubles = npt.NDArray[np.float64]

NARROWEST_PX, WIDEST_PX = 0.25, 40.0
"""Widths that are told apart: below, all strokes look like lines without width."""
_SLOPE_STEP_DEG = 5.0
_HIGHEST_PER_PX = 8.0


def stroke_width_px(spread: float, slope_rad: float) -> float:
    """Width of strokes in px.

    Parameters
    ----------
    spread
        Sum of squared contrast times length, over the squared sum of contrast, in 1/px; falls with width.
    slope_rad
        Angle of the strokes to the nearer axis of the pixels, 0 to pi / 4.
    """
    return _looked_up(spread, _stroke_table(round(np.degrees(slope_rad) / _SLOPE_STEP_DEG)))


def dot_width_px(spread: float) -> float:
    """Diameter of dots in px; `spread` is the sum of squared contrast times their number, over the squared sum."""
    return _looked_up(spread, _dot_table())


def _looked_up(spread: float, table: tuple[Doubles, Doubles]) -> float:
    widths, spreads = table
    return float(np.exp(np.interp(-np.log(spread), -np.log(spreads), np.log(widths))))


@cache
def _stroke_table(slope: int) -> tuple[Doubles, Doubles]:
    angle = np.radians(slope * _SLOPE_STEP_DEG)
    step = 1 / (8 * WIDEST_PX)
    frequency = np.arange(step / 2, _HIGHEST_PER_PX, step)
    pixel = (np.sinc(frequency * np.cos(angle)) * np.sinc(frequency * np.sin(angle))) ** 2
    widths = np.geomspace(NARROWEST_PX, WIDEST_PX, 48)
    spreads = [2 * step * float((np.sinc(frequency * width) ** 2 * pixel).sum()) for width in widths]
    return widths, np.array(spreads)


@cache
def _dot_table() -> tuple[Doubles, Doubles]:
    widths = np.geomspace(NARROWEST_PX, WIDEST_PX, 48)
    return widths, np.array([_dot_spread(width) for width in widths])


def _dot_spread(width: float) -> float:
    highest = min(_HIGHEST_PER_PX, 12 / width)
    frequency = (np.arange(200) + 0.5) * highest / 200
    across = np.hypot(frequency[:, None], frequency) * np.pi * width
    pixel = np.outer(np.sinc(frequency) ** 2, np.sinc(frequency) ** 2)
    return 4 * (highest / 200) ** 2 * float(((2 * j1(across) / across) ** 2 * pixel).sum())
