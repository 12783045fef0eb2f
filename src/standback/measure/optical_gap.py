"""How far apart two letters look: the white between them, as a person who sets type by eye weighs it."""

import numpy as np
import numpy.typing as npt

from standback.measure.glyph_row import Letter

Doubles = npt.NDArray[np.float64]

ROWS = np.arange(-0.01, 1.011, 0.01)
"""Heights above the baseline at which the sides of the letters are read, in letter heights."""
FAR = 9.0
"""Where a letter has no ink, its edge is this far away."""
SLOPE = 0.6
"""How fast white may open into a letter and still count: bounds open shapes such as C and L."""
SIDE_CLIP = 0.14
"""White beside a letter counts up to this share of the height at which two letters face each other."""
SOFT, POWER = 0.20, -2.0
SIDE_WEIGHT, FACING_WEIGHT = 0.28, 0.60
"""Weights of the side white and of the soft minimum of the facing white: a robust regression of the gaps
that 112 faces are set with on the shapes of their letters (ours)."""
LEAST_FACING = 0.10
"""Letters that share less than this of their height don't face each other."""
_fall = SLOPE * np.abs(ROWS[:, None] - ROWS[None, :])


def optical_gap(a: Letter, b: Letter, *, baseline: float, height: float) -> float | None:
    """Return the optical gap between two neighbouring letters in letter heights.

    It moves one to one with the letters: a letter moved by a hundredth of the height moves it by as much.
    None where the letters don't stand beside each other.

    Notes
    -----
    With p and q the white beside each letter and g the distance of their nearest points seen sideways,
    all after the slope limit: G = g + 0.28 S + 0.60 Q, S = mean(min(p, 0.14 h) + min(q, 0.14 h)) and
    Q = mean((p + q + 0.20)^-2)^(-1/2) - 0.20, over the rows where both stand, h high.
    """
    low = max((baseline - one.bottom) / height for one in (a, b))
    high = min((baseline - one.top) / height for one in (a, b))
    low, high = max(low, float(ROWS[0])), min(high, float(ROWS[-1]))
    facing = high - low
    if facing < LEAST_FACING:
        return None
    heights = ROWS
    band = (heights >= low - 1e-9) & (heights <= high + 1e-9)
    white_a = _limited((a.x1 - _edge(a, a.right, baseline, height)) / height)[band]
    white_b = _limited((_edge(b, b.left, baseline, height) - b.x0) / height)[band]
    least_a, least_b = float(white_a.min()), float(white_b.min())
    p, q = white_a - least_a, white_b - least_b
    clip = SIDE_CLIP * facing
    side = float((np.minimum(p, clip) + np.minimum(q, clip)).mean())
    soft = float(((p + q + SOFT) ** POWER).mean() ** (1 / POWER)) - SOFT
    apart = (b.x0 - a.x1) / height + least_a + least_b
    return apart + SIDE_WEIGHT * side + FACING_WEIGHT * soft


def _edge(letter: Letter, side: Doubles, baseline: float, height: float) -> Doubles:
    """Return a side of the letter at `ROWS`, NaN where it has no ink."""
    rows = np.rint(baseline - ROWS * height - 0.5).astype(np.intp) - letter.top
    inside = (rows >= 0) & (rows < len(side))
    edge = np.full(len(ROWS), np.nan)
    edge[inside] = side[rows[inside]]
    return edge


def _limited(white: Doubles) -> Doubles:
    """Limit how fast the white opens from row to row."""
    full = np.where(np.isnan(white), FAR, white)
    limited: Doubles = (full[None, :] + _fall).min(axis=1)
    return limited
