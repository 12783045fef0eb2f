"""Which letters look like figures: those stand farther apart than letters, being made for columns."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from standback.elements import Mask
from standback.measure.glyph_row import GlyphRow, Letter

Doubles = npt.NDArray[np.float64]

# fmt: off
WEIGHTS = np.array((
    (-382, 82, -238, 226, 117, 178, -25, -311),
    (83, 153, 273, -27, 233, -123, -9, -6),
    (297, -138, -97, 73, -60, 44, 343, -126),
    (-105, 178, 158, -182, -278, -152, -18, -123),
    (-437, -206, -263, 91, 213, 194, -116, 360),
    (145, -114, -97, -36, 155, 171, 263, -219),
    (-163, 198, 150, -194, -91, 57, -69, 29),
    (86, 27, -228, 112, -43, -36, 113, 129),
    (144, -437, 110, 217, -33, 95, 173, 217),
    (-164, 5, 67, -104, 167, -114, -102, -92),
    (-86, 0, -222, -55, -55, 21, -161, -38),
    (-389, 85, 68, -188, -24, 194, -202, 4),
)) / 100
# fmt: on
"""What ink in each part of a glyph's box speaks for a figure (above 0) or a letter. A logistic regression on
the figures, capitals and tall letters of 120 faces (tests/training/figure_shapes.py); letters that are
shaped as figures (I, O, S, l) count little. On faces not trained on, 91 of 100 figures and 6 of 100 tall
letters come out above 0, most of these O and S."""
WIDTH_WEIGHT, BIAS = -8.87, 4.95
"""Weight of the width in letter heights, and what is added at the end."""
AS_HIGH = 0.12
"""Figures are as high as the tall letters, give or take this share."""
MAY_BE = -1.0
"""A glyph beside a figure may be one from here on."""


def figures_of(row: GlyphRow, parts: Sequence[bool]) -> tuple[bool, ...]:
    """Tell which glyphs of a line are taken for figures: they look it, and stand alone or beside another.

    Parameters
    ----------
    parts
        For each glyph but the last, whether a word ends after it.
    """
    looks = [_looks(one, row) for one in row.letters]

    def beside(n: int, step: int) -> float | None:
        """Return how the next glyph of the same word looks, None at the word's end."""
        other = n + step
        ends = not 0 <= other < len(looks) or parts[min(n, other)]
        return None if ends else looks[other]

    figures = []
    for n, look in enumerate(looks):
        near = [one for one in (beside(n, -1), beside(n, 1)) if one is not None]
        figures.append(look > 0 and (not near or max(near) > MAY_BE))
    return tuple(figures)


def _looks(letter: Letter, row: GlyphRow) -> float:
    """Return how much a glyph looks like a figure: above 0 it is more likely one than not."""
    if abs((letter.bottom - letter.top) / row.height - 1) > AS_HIGH:
        return float("-inf")
    return float((WEIGHTS * shares(letter.ink)).sum() + WIDTH_WEIGHT * letter.width / row.height + BIAS)


def shares(ink: Mask) -> Doubles:
    """Return how much ink each part of a glyph's box holds, on the grid of `WEIGHTS`."""
    rows, columns = WEIGHTS.shape
    mean: Doubles = _parts(rows, ink.shape[0]) @ ink.astype(np.float64) @ _parts(columns, ink.shape[1]).T
    return mean


def _parts(count: int, size: int) -> Doubles:
    """Return the weights (count, size) that average `size` samples into `count` equal parts."""
    edges = np.linspace(0, size, count + 1)
    samples = np.arange(size)
    overlap = np.minimum(edges[1:, None], samples + 1) - np.maximum(edges[:-1, None], samples)
    weights: Doubles = np.clip(overlap, 0, None) * count / size
    return weights
