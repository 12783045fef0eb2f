"""How far apart two letters look: the white between them, as a person who sets type by eye weighs it."""

from functools import lru_cache

import numpy as np
import numpy.typing as npt

from standback.measure.glyph_row import Letter

Doubles = npt.NDArray[np.float64]

ROWS = np.arange(-0.01, 1.011, 0.01)
"""Heights above the baseline at which the sides of the letters are read, in letter heights."""
FAR = 9.0
"""Where a letter has no ink, its edge is this far away."""
SLOPE = 0.75
"""How fast white may open into a letter and still count: bounds open shapes such as C and L."""
SIDE_CLIP = 0.12
"""White beside a letter counts up to this share of the height at which two letters face each other."""
SOFT, POWER = 0.20, -3.0
SIDE_WEIGHT, FACING_WEIGHT = 0.34, 0.56
"""Weights of the side white and of the soft minimum of the facing white."""
REACH_WEIGHT, HEIGHT_WEIGHT = -0.37, -0.08
"""Arms that reach over or under the neighbour, as in To, close a gap; so does height that two letters share.
The four weights are a robust regression of the gaps that 110 faces of a Debian system are set with on the shapes
of their letters (ours)."""
MOST_REACH = 0.3
LEAST_FACING = 0.10
"""Letters that share less than this of their height don't face each other."""
_fall = SLOPE * np.abs(ROWS[:, None] - ROWS[None, :])


def optical_gap(a: Letter, b: Letter, *, baseline: float, height: float) -> float | None:
    """Return the optical gap between two neighbouring letters in letter heights.

    It moves one to one with the letters: a letter moved by a hundredth of the height moves it by as much.
    None where the letters don't stand beside each other.

    Notes
    -----
    With p and q the white beside each letter, r how far the letters reach beyond it over and under each other,
    and g the distance of their nearest points seen sideways, all after the slope limit:
    G = g + 0.34 S + 0.56 Q - 0.37 r - 0.08 (h - 1), S = mean(min(p, 0.12 h) + min(q, 0.12 h)) and
    Q = mean((p + q + 0.20)^-3)^(-1/3) - 0.20, over the rows where both stand, h high.
    """
    low = max((baseline - one.bottom) / height for one in (a, b))
    high = min((baseline - one.top) / height for one in (a, b))
    low, high = max(low, float(ROWS[0])), min(high, float(ROWS[-1]))
    facing = high - low
    if facing < LEAST_FACING:
        return None
    band = (low - 1e-9 <= ROWS) & (high + 1e-9 >= ROWS)
    rows = _rows_of(baseline, height)
    white = np.stack([a.x1 - _edge(a, a.right, rows), _edge(b, b.left, rows) - b.x0]) / height
    white_a, white_b = _limited(white)[:, band]
    least_a, least_b = float(white_a.min()), float(white_b.min())
    p, q = white_a - least_a, white_b - least_b
    clip = SIDE_CLIP * facing
    side = float((np.minimum(p, clip) + np.minimum(q, clip)).sum()) / len(p)
    soft = float((((p + q + SOFT) ** POWER).sum() / len(p)) ** (1 / POWER)) - SOFT
    apart = (b.x0 - a.x1) / height + least_a + least_b
    reach = REACH_WEIGHT * min(least_a + least_b, MOST_REACH)
    return apart + SIDE_WEIGHT * side + FACING_WEIGHT * soft + reach + HEIGHT_WEIGHT * (facing - 1.0)


@lru_cache(maxsize=8)
def _rows_of(baseline: float, height: float) -> npt.NDArray[np.intp]:
    """Return the rows of the line that lie at `ROWS`."""
    return np.rint(baseline - ROWS * height - 0.5).astype(np.intp)


def _edge(letter: Letter, side: Doubles, rows: npt.NDArray[np.intp]) -> Doubles:
    """Return a side of the letter at rows of the line, NaN where it has no ink."""
    within = rows - letter.top
    inside = (within >= 0) & (within < len(side))
    edge = np.full(len(rows), np.nan)
    edge[inside] = side[within[inside]]
    return edge


def _limited(white: Doubles) -> Doubles:
    """Limit how fast the white (n, rows) opens from row to row."""
    full = np.where(np.isnan(white), FAR, white)
    limited: Doubles = (full[:, None, :] + _fall).min(axis=2)
    return limited
