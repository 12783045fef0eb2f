"""What looks like fine detail and isn't: pieces of photographs, and small lettering that no line was found for."""

import numpy as np
import numpy.typing as npt
from scipy.spatial import cKDTree

from standback.find.detail_ink import Ink
from standback.find.detail_marks import DOT_SLENDER, Marks
from standback.find.detail_thin import BLOCK_PX, Codes, Flags, Shares
from standback.masks import grown

Doubles = npt.NDArray[np.float64]

MOST_PICTURED = 1.0
"""From this sum of signs on, marks are taken for pieces of a photograph (ours)."""
LEAST_AROUND = 0.4
"""With fewer flat pixels around them, marks lie in a photograph whatever else they are (ours)."""
INK_SPREAD, GROUND_SPREAD, UNREST = 0.17, 0.05, 0.08
"""What counts as one sign each: how much contrast and ground vary from mark to mark, and the share of ground
that isn't plain. Drawn strokes keep well below, photographs lie above (ours)."""
FLAT, FLAT_STEP, FLAT_IN_FLAT = 0.9, 0.35, 0.3
AROUND, AROUND_STEP = 0.75, 0.3
"""Flat pixels at the marks and around them: what is enough, and what lack of them is one sign (ours)."""
FEW_MARKS = 6
AROUND_BLOCKS = 3
WIDE_PX, WIDE_DOT_PX = 2.0, 3.0
"""From here on a stroke, or a dot, shows its own ink wherever it lies on the pixels (ours)."""
SMALL_WIDTHS, LETTER_WIDTHS = 15.0, 30.0
"""Letters are seldom larger than so many strokes are wide; the thinnest ones up to the other (ours)."""
LARGEST_LETTER_MM = 6.0
"""Lettering that no line was found for is small (ours)."""
CURLED, WORD_MM = 1.3, 3.5
"""Joined letters of small words are so much longer than their diagonal, and no higher than this (ours)."""
COHERENT = 0.6
"""Hatching runs one way, letters and crumbs don't: length of the mean direction (ours)."""
FEW_CRUMBS = 25
BENT, BENT_SHARE = 1.15, 0.3
"""Strokes of most letters are longer than the letter's diagonal by the one, in this share of the ink (ours)."""
ROW_OFFSET, ROW_GAP, ROW_ALIKE = 0.35, 1.3, 2.2
"""Letters of a row: how far off it, how far apart in heights, how much higher than each other (ours)."""
ROW_SHARE, MOST_COMPARED = 0.5, 400


def pictured(marks: Marks, ink: Ink, flat_around: float) -> float:
    """Sum up what speaks for a piece of a photograph rather than a drawing.

    Parameters
    ----------
    flat_around
        Share of flat pixels around the group, a little farther off.
    """
    contrast = np.abs(marks.ink - marks.ground).max(axis=1)
    wide = marks.width >= (WIDE_DOT_PX if ink.dots else WIDE_PX)
    spread = float(contrast[wide].std() / contrast[wide].mean()) if np.count_nonzero(wide) >= 3 else 0.0
    scale = float(np.linalg.norm(np.average(marks.ink - marks.ground, axis=0, weights=marks.area)))
    return (
        spread / INK_SPREAD
        + _ground_spread(marks) / scale / GROUND_SPREAD
        + ink.unrest / UNREST
        + max(0.0, FLAT - ink.flat) / FLAT_STEP * (1.0 if flat_around < AROUND else FLAT_IN_FLAT)
        + max(0.0, AROUND - flat_around) / AROUND_STEP
    )


def _ground_spread(marks: Marks) -> float:
    """How far the ground differs from mark to mark, in codes, an even gradient left out: the median."""
    weight = np.sqrt(marks.area)[:, None]
    x, y = (marks.x0 + marks.x1) / 2, (marks.y0 + marks.y1) / 2
    plane = np.stack([np.ones_like(x), x, y], axis=1) if len(marks) > FEW_MARKS else np.ones((len(x), 1))
    fitted = plane @ np.linalg.lstsq(weight * plane, weight * marks.ground, rcond=None)[0]
    off = np.sqrt(((marks.ground - fitted) ** 2).sum(axis=1))
    order = np.argsort(off)
    reached = np.cumsum(marks.area[order])
    return float(off[order][np.searchsorted(reached, reached[-1] / 2)])


def flat_around(marks: Marks, flat: Shares, width: int) -> float:
    """Median share of flat pixels in the blocks around a group of marks."""
    y, x = np.divmod(marks.pixels, width)
    own = np.zeros(flat.shape, dtype=np.bool_)
    own[y // BLOCK_PX, x // BLOCK_PX] = True
    ring = grown(own, AROUND_BLOCKS, corners=False) & ~own
    return float(np.median(flat[ring])) if ring.any() else 1.0


def looks_lettered(marks: Marks, codes: Codes) -> bool:
    """Tell whether most of the ink is small irregular marks, or stands in rows or columns as letters do."""
    high, wide = marks.y1 - marks.y0, marks.x1 - marks.x0
    size = np.maximum(high, wide)
    length = np.maximum(marks.half_outline - marks.width, 1.0)
    bent = length > BENT * np.hypot(high, wide)
    strokes = marks.slender > DOT_SLENDER
    words = strokes & (length > CURLED * np.hypot(high, wide))
    words &= np.minimum(high, wide) < WORD_MM * codes.px_per_mm
    if _share(marks, words) > 0.5:
        return True
    little = size < LARGEST_LETTER_MM * codes.px_per_mm
    small = little & (size < SMALL_WIDTHS * marks.width)
    if _share(marks, small & strokes) > 0.5:
        if coherence(marks, codes.width) < COHERENT:
            return len(marks) < FEW_CRUMBS or _share(marks, bent) > BENT_SHARE
        if len(marks) < FEW_CRUMBS and _lonely(marks, size) > BENT_SHARE:
            return True
    letter = strokes & little & (size < LETTER_WIDTHS * marks.width)
    if np.count_nonzero(letter) < 4 or _share(marks, bent & letter) < BENT_SHARE:
        return False
    chosen = np.flatnonzero(letter)[:MOST_COMPARED]
    x, y = (marks.x0 + marks.x1)[chosen] / 2, (marks.y0 + marks.y1)[chosen] / 2
    inline = (
        _neighbours(*across) >= 2 for across in ((x, y, wide[chosen], size[chosen]), (y, x, high[chosen], size[chosen]))
    )
    in_rows = np.zeros(len(marks), dtype=np.bool_)
    in_rows[chosen[max(inline, key=np.count_nonzero)]] = True
    return bool(_share(marks, in_rows) > ROW_SHARE * len(chosen) / np.count_nonzero(letter))


def _lonely(marks: Marks, size: Doubles) -> float:
    """Share of marks that have no other one within their own size."""
    middles = np.stack([marks.x0 + marks.x1, marks.y0 + marks.y1], axis=1) / 2
    nearest = cKDTree(middles).query(middles, k=2)[0][:, 1]
    return float((nearest > size).mean())


def _share(marks: Marks, chosen: Flags) -> float:
    return float(marks.area[chosen].sum() / marks.area.sum())


def coherence(marks: Marks, width: int) -> float:
    """How far the strokes run one way: 0 to 1, each weighed by its own length."""
    y, x = np.divmod(marks.pixels, width)
    dx, dy = (v - (np.bincount(marks.owner, weights=v) / marks.area)[marks.owner] for v in (x, y))
    xx, yy, xy = (np.bincount(marks.owner, weights=v) for v in (dx * dx, dy * dy, dx * dy))
    turn = (xx - yy) + 2j * xy
    return float(abs((turn / np.maximum(abs(turn), 1e-9) * marks.area).sum()) / marks.area.sum())


def _neighbours(along: Doubles, off: Doubles, extent: Doubles, size: Doubles) -> npt.NDArray[np.intp]:
    """How many others stand close before or after each, on its own row."""
    larger = np.maximum(size[:, None], size)
    alike = larger < ROW_ALIKE * np.minimum(size[:, None], size)
    row = np.abs(off[:, None] - off) < ROW_OFFSET * larger
    gap = np.abs(along[:, None] - along) - (extent[:, None] + extent) / 2
    near = alike & row & (gap < ROW_GAP * larger) & (gap > -0.5 * larger)
    np.fill_diagonal(near, False)
    before = near & (along[:, None] > along)
    sides = before.any(axis=1).astype(np.intp) + (near & ~before).any(axis=1)
    return np.asarray(sides + (near.sum(axis=1) >= 2))
