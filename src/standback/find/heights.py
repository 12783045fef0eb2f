"""Letter heights of a line, to a fraction of a sample: baseline, x-height, height of the capitals.

Every letter top and every letter foot is a vote: a place where the outline comes to a peak. Letters
joined to each other vote as well as free ones. The votes pile up at the baseline, the x-height and the
height of the capitals; round letters overshoot these by a little, so the lower votes of a pile count.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import ndimage
from scipy.signal import find_peaks

from standback.find.glyphs import Doubles, Glyphs
from standback.find.split import Floats

TWO_HEIGHTS = (1.24, 1.9)
"""Capitals or ascenders over x-height in ordinary faces: 1.28 to 1.6, with some slack for small type."""
PILE = 0.07
"""Width of a pile of votes, as a share of the letter height (ours)."""
FLAT_QUANTILE = 0.3
"""Which of a pile's votes stands for the flat letters in it: they fall short of the round ones (ours)."""
LEAST_SHARE = 0.12
"""Share of the letters that makes a second height credible (ours)."""
WORD_GAP = 0.36
"""Gap between words in body heights, at least (ours)."""
DESCENT = 0.14
UNCASED_SHARE = 0.75
"""Letter height of scripts without case, as a share of the body (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heights:
    """Heights in samples; `level` is the share of the feet that stand on the baseline or hang below it."""

    baseline: float
    cap: float | None
    x: float | None
    letter: float
    level: float
    letters: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Votes:
    """Peaks of the outline: place along the line, height in samples from the top, number of the piece."""

    x: Doubles
    y: Doubles
    piece: npt.NDArray[np.intp]


def heights_of(glyphs: Glyphs) -> Heights | None:
    """Measure a line; None where nothing stands on a common baseline."""
    letters = glyphs.of(glyphs.letter)
    guess = float(np.median(letters.y1 - letters.y0))
    tops = _votes(letters, guess, top=True)
    feet = _votes(letters, guess, top=False)
    on_line = _pile(feet.y, guess)
    baseline = float(np.quantile(feet.y[on_line], FLAT_QUANTILE))
    hangs = feet.y > baseline + DESCENT * guess
    level = float(np.mean(on_line | hangs))
    height = baseline - tops.y
    standing = height > 0.3 * guess
    if not standing.any():
        return None
    small, tall = _two_heights(height[standing], guess)
    if small is None and (np.mean(hangs) > 0.1 or _dotted(glyphs, tall, baseline)):
        small, tall = tall, None
    best = np.zeros(len(letters.x0))
    np.maximum.at(best, tops.piece, height)
    count = np.maximum(1, np.round((letters.x1 - letters.x0) / (0.85 * guess)))
    if small is None:
        return Heights(
            baseline=baseline, cap=tall, x=None, letter=tall or guess, level=level, letters=int(count.sum())
        )
    limit = np.sqrt(small * tall) if tall is not None else 1.15 * small
    is_tall = best > limit
    word = np.cumsum(np.r_[True, letters.x0[1:] - np.maximum.accumulate(letters.x1)[:-1] > WORD_GAP * small])
    first = np.r_[True, np.diff(word) > 0]
    has_small = np.bincount(word, weights=~is_tall)[word] > 0
    lower = float(count[has_small & ~(first & is_tall)].sum())
    initials = best[first & is_tall]
    if tall is not None and len(initials):
        near = initials[np.abs(np.log(initials / tall)) < 0.12]
        if len(near):
            # of two equal piles the higher: a t at the start of a word is lower than the capitals
            tall = float(np.quantile(near[_pile(-near, 0.4 * guess)], FLAT_QUANTILE))
    mostly_lower = tall is None or 2 * lower >= count.sum()
    return Heights(
        baseline=baseline,
        cap=tall,
        x=small,
        letter=small if mostly_lower else tall or small,
        level=level,
        letters=int(count.sum()),
    )


def _two_heights(height: Doubles, guess: float) -> tuple[float | None, float]:
    """x-height, None where all are of one height, and the height of the tall letters."""
    main = _pile(height, guess)
    middle = float(np.median(height[main]))
    low, high = TWO_HEIGHTS
    flat = float(np.quantile(height[main], FLAT_QUANTILE))
    others = []
    for least, most in ((middle * low, middle * high), (middle / high, middle / low)):
        beside = height[(height > least) & (height < most)]
        if len(beside) and len(beside) >= LEAST_SHARE * len(height):
            pile = beside[_pile(beside, guess)]
            others.append((len(pile), float(np.quantile(pile, FLAT_QUANTILE))))
    if not others:
        return None, flat
    other = max(others)[1]
    return min(flat, other), max(flat, other)


def _dotted(glyphs: Glyphs, height: float, baseline: float) -> bool:
    """Whether small marks stand above narrow letters, as on an i."""
    mark = ~glyphs.letter & (glyphs.y1 < baseline - 0.95 * height)
    narrow = glyphs.letter & (glyphs.x1 - glyphs.x0 < 0.5 * height)
    middle = (glyphs.x0 + glyphs.x1) / 2
    off = np.abs(middle[mark][:, None] - middle[narrow][None, :])
    return bool(off.size and (off.min(axis=1) < 0.15 * height).any())


def _pile(values: Doubles, guess: float) -> npt.NDArray[np.bool_]:
    """Tell which values lie in the densest stretch of a pile's width."""
    width = max(PILE * guess, 0.8)
    ordered = np.sort(values)
    ends = np.searchsorted(ordered, ordered + width, side="right")
    start = int(np.argmax(ends - np.arange(len(ordered))))
    inside: npt.NDArray[np.bool_] = (values >= ordered[start]) & (values <= ordered[start] + width)
    return inside


def _votes(letters: Glyphs, guess: float, *, top: bool) -> Votes:
    """Peaks of the upper (or lower) outline of every piece."""
    split = letters.split
    cover = np.clip(split.cover, 0, 1)
    labels = letters.labels if top else letters.labels[::-1]
    cover = cover if top else cover[::-1]
    height = labels.shape[0]
    xs, ys, pieces = [], [], []
    for n, found in enumerate(ndimage.find_objects(labels), start=1):
        rows, columns = found
        own = labels[found] == n
        first = own.argmax(axis=0) + rows.start
        edge = _edges(cover, first, np.arange(columns.start, columns.stop))
        edge[~own.any(axis=0)] = np.inf
        for place in _peaks(edge, max(0.12 * guess, 0.7)):
            xs.append(columns.start + place)
            ys.append(edge[place] if top else height - edge[place])
            pieces.append(n - 1)
    return Votes(x=np.array(xs), y=np.array(ys), piece=np.array(pieces, dtype=np.intp))


def _edges(cover: Floats, first: npt.NDArray[np.intp], columns: npt.NDArray[np.intp]) -> Doubles:
    """Upper edge of the ink in each column: what the rim's samples are covered adds up to its place.

    `first` is each column's uppermost sample of more than half cover.
    """
    last = cover.shape[0] - 1
    farther, above, at, below = (cover[np.clip(first + n, 0, last), columns] for n in (-2, -1, 0, 1))
    rim = at + above + np.minimum(farther, above)
    return np.asarray(np.where(below > at, first + 2 - (rim + below), first + 1 - rim), dtype=np.float64)


def _peaks(edge: Doubles, prominence: float) -> list[int]:
    """Columns where the outline rises to a peak; the piece's own ends count as deep valleys."""
    finite = np.where(np.isfinite(edge), edge, np.nanmax(np.where(np.isfinite(edge), edge, np.nan)))
    padded = np.concatenate([[finite.max() + 9e3], finite, [finite.max() + 9e3]])
    found, _ = find_peaks(-padded, prominence=prominence, plateau_size=1)
    return [int(p) - 1 for p in found]
