"""Letter heights of a line, to a fraction of a sample: baseline, x-height, height of the capitals.

Every letter top and every letter foot is a vote: a place where the outline comes to a peak. Letters
joined to each other vote as well as free ones. The votes pile up at the baseline, the x-height and the
height of the capitals; round letters overshoot these by a little, so the lower votes of a pile count.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from standback.find.glyphs import Doubles, Glyphs
from standback.find.order import median, quantile
from standback.find.peaks import peaks_of
from standback.find.split import Floats

TWO_HEIGHTS = (1.23, 1.9)
"""Capitals or ascenders over x-height in ordinary faces: 1.24 to 1.6, with some slack for small type, and as the lower
is that of round letters as well."""
PILE = 0.07
"""Width of a pile of votes, as a share of the letter height (ours)."""
FLAT_QUANTILE = 0.3
"""Which of a pile's votes stands for the flat letters in it: they fall short of the round ones (ours)."""
LEAST_SHARE = 0.12
"""Share of the letters that makes a second height credible (ours)."""
WORD_GAP = 0.36
"""Gap between words in body heights, at least (ours)."""
DESCENT = 0.14
LEAST_HEIGHT = 0.3
LETTER_WIDTH = 0.85
"""A joined piece holds about one letter for every so many heights of its width (ours)."""
FIRST_SHARE, SAME_CAPITAL = 0.91, 0.025
"""A line's first letter is taken for a capital where it is about as high as the tall letters (ours)."""
LEAST_T = 0.86
"""Height of the t in ordinary faces, as a share of the capitals, at least: it may fill the pile (ours)."""
ALL_INK, LEAST_STEM, SAME = 0.9, 0.4, 0.1
"""A sample covered so far is taken for all ink; along a stroke narrower than a sample, all are covered so far at least
and alike to within this share (ours)."""
CAPITALS = 0.4
"""Width of the pile of capitals in piles (ours): narrower, to keep ascenders and the t apart."""
UNCASED_RANKED, LEAST_UNCASED = 0.6, 4
"""So few pieces in line, out of at least so many, and the script has no two heights (ours)."""
UNCASED_SHARE = 0.75
"""Letter height of scripts without case, as a share of the body (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heights:
    """Heights in samples.

    Attributes
    ----------
    level
        Share of the feet that stand on the baseline or hang below it.
    ranked
        Mean of the shares of the pieces that stand on the baseline and that reach the x-height or the capitals.
    """

    baseline: float
    cap: float | None
    x: float | None
    letter: float
    level: float
    ranked: float
    letters: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Votes:
    """Peaks of the outline: height in samples from the top, number of the piece."""

    y: Doubles
    piece: npt.NDArray[np.intp]


def heights_of(glyphs: Glyphs) -> Heights | None:
    """Measure a line; None where nothing stands on a common baseline."""
    letters = glyphs.of(glyphs.letter)
    guess = median(letters.y1 - letters.y0)
    tops, feet = _votes(letters, guess)
    on_line = _pile(feet.y, guess)
    baseline = quantile(feet.y[on_line], FLAT_QUANTILE)
    hangs = feet.y > baseline + DESCENT * guess
    height = baseline - tops.y
    if height.max() < LEAST_HEIGHT * guess:
        return None
    best = np.zeros(len(letters.x0))
    np.maximum.at(best, tops.piece, height)
    small: float | None
    tall: float | None
    small, tall = two_heights(
        height[height > LEAST_HEIGHT * guess], best[0], guess, lambda flat: _is_dotted_latin(glyphs, flat, baseline)
    )
    if small is None and tall is not None and (np.mean(hangs) > 0.1 or _dotted(glyphs, tall, baseline)):
        small, tall = tall, None
    count = np.maximum(1, np.round((letters.x1 - letters.x0) / (LETTER_WIDTH * guess)))
    letter = tall or small or guess
    if small is not None:
        lower, initials = _lowercase(letters, best, count, small, tall)
        tall = _capitals(initials, tall, guess)
        letter = small if tall is None or 2 * lower >= count.sum() else tall
    ranked = _ranked(letters, best, baseline, small, tall)
    if ranked < UNCASED_RANKED and len(best) >= LEAST_UNCASED:
        body = quantile(letters.y1, 0.9) - quantile(letters.y0, 0.1)
        small, tall, letter = None, None, UNCASED_SHARE * body
    return Heights(
        baseline=baseline,
        cap=tall,
        x=small,
        letter=letter,
        level=float(np.mean(on_line | hangs)),
        ranked=ranked,
        letters=int(count.sum()),
    )


def _ranked(letters: Glyphs, best: Doubles, baseline: float, small: float | None, tall: float | None) -> float:
    slack = 0.1 * (tall or small or 1.0)
    stands = np.abs(letters.y1 - baseline) < slack
    reaches = np.zeros(len(best), dtype=bool)
    for height in (small, tall):
        if height is not None:
            reaches |= np.abs(best - height) < slack
    return float((stands.mean() + reaches.mean()) / 2)


def two_heights(
    height: Doubles, first: float, guess: float, is_dotted: Callable[[float], bool]
) -> tuple[float | None, float]:
    """Find the x-height, None where all are of one height, and the height of the tall letters.

    One tall letter is enough where it is the `first` of the line: a capital. Where dots stand above letters of the
    usual height, as on an i, nothing lower is the x-height, whatever crosses the line.
    """
    main = height[_pile(height, guess)]
    middle, flat = median(main), quantile(main, FLAT_QUANTILE)
    low, high = TWO_HEIGHTS
    others = []
    for least, most in ((middle * low, middle * high), (middle / high, middle / low)):
        beside = height[(height > least) & (height < most)]
        enough = len(beside) >= LEAST_SHARE * len(height)
        if least < middle and len(beside) and enough and is_dotted(flat):
            continue
        if len(beside) and (enough or (least > middle and least < first < most)):
            pile = beside[_pile(beside, guess)]
            others.append((len(pile), quantile(pile, FLAT_QUANTILE)))
    if not others:
        return None, flat
    other = max(others)[1]
    return min(flat, other), max(flat, other)


def _lowercase(
    letters: Glyphs, best: Doubles, count: Doubles, small: float, tall: float | None
) -> tuple[float, Doubles]:
    """Count the lowercase letters, and return the heights of the tall ones that start a word.

    In a word with small letters all are lowercase but the first, if that is tall; words without are of
    capitals or digits.
    """
    is_tall = best > (np.sqrt(small * tall) if tall is not None else 1.15 * small)
    gap = letters.x0[1:] - np.maximum.accumulate(letters.x1)[:-1]
    usual = quantile(gap, 0.3) if len(gap) else 0.0
    word = np.cumsum(np.append(True, gap > max(WORD_GAP * small, 2 * usual)))
    first = np.append(True, word[1:] > word[:-1])
    has_small = np.bincount(word, weights=~is_tall)[word] > 0
    lower = float(count[has_small & ~(first & is_tall)].sum())
    return lower, best[first & is_tall] if is_tall[0] else np.append(0.0, best[first & is_tall])


def _capitals(initials: Doubles, tall: float | None, guess: float) -> float | None:
    """Height of the capitals among tall letters that start words: b and l are often taller, t is lower.

    `initials` begins with the first letter of the line, the likeliest capital, 0 where that is not tall.
    """
    if tall is None or not len(initials):
        return tall
    if FIRST_SHARE * tall < initials[0] < tall / LEAST_T:
        near = initials[np.abs(initials / initials[0] - 1) < SAME_CAPITAL]
        return median(near)
    near = initials[np.abs(initials / tall - 1) < 0.12]
    if not len(near):
        return tall
    return quantile(near[_pile(-near, CAPITALS * guess)], FLAT_QUANTILE)


def _dotted(glyphs: Glyphs, height: float, baseline: float) -> bool:
    """Whether small marks stand above narrow letters, as on an i."""
    mark = ~glyphs.letter & (glyphs.y1 < baseline - 0.95 * height)
    narrow = glyphs.letter & (glyphs.x1 - glyphs.x0 < 0.65 * height)
    middle = (glyphs.x0 + glyphs.x1) / 2
    off = np.abs(middle[mark][:, None] - middle[narrow][None, :])
    return bool(off.size and (off.min(axis=1) < 0.15 * height).any())


def _is_dotted_latin(glyphs: Glyphs, height: float, baseline: float) -> bool:
    """Whether dots stand above letters, and few of the small marks hang under the line, as in Arabic many do."""
    below = glyphs.y0[~glyphs.letter] > baseline
    return bool(3 * np.count_nonzero(below) < len(below)) and _dotted(glyphs, height, baseline)


def _pile(values: Doubles, guess: float) -> npt.NDArray[np.bool_]:
    """Tell which values lie in the densest stretch of a pile's width."""
    width = max(PILE * guess, 0.8)
    ordered = np.sort(values)
    ends = np.searchsorted(ordered, ordered + width, side="right")
    start = int(np.argmax(ends - np.arange(len(ordered))))
    inside: npt.NDArray[np.bool_] = (values >= ordered[start]) & (values <= ordered[start] + width)
    return inside


def _votes(letters: Glyphs, guess: float) -> tuple[Votes, Votes]:
    """Peaks of the upper and of the lower outline of every piece."""
    height = len(letters.labels)
    x0, wide = letters.x0.astype(int), (letters.x1 - letters.x0).astype(int)
    end = np.cumsum(wide)
    begin = end - wide
    # all columns of the first piece, then those of the second
    columns = np.arange(end[-1]) - np.repeat(begin - x0, wide)
    down, across = letters.place()
    inked = letters.labels[down, across]
    # as places in a row: numpy takes five times as long to find those in a plane
    at = np.flatnonzero(inked > 0)
    row, column = np.divmod(at, inked.shape[1])
    place = (begin - x0).take(inked.take(at) - 1) + column + across.start
    row = row + down.start
    first, last = np.empty((2, len(columns)), dtype=np.intp)
    # each column of a piece has ink, and the last of several values for one place stays
    first[place[::-1]], last[place] = row[::-1], row
    upper = _edges(letters.split.cover, first, columns)
    lower = _edges(letters.split.cover[::-1], height - 1 - last, columns)
    found = []
    for edges in (upper, lower):
        peaks = peaks_of(-edges, end, max(0.12 * guess, 0.7))
        found.append(Votes(y=edges[peaks], piece=np.searchsorted(end, peaks, side="right")))
    tops, feet = found
    return tops, replace(feet, y=height - feet.y)


def _edges(cover: Floats, first: npt.NDArray[np.intp], columns: npt.NDArray[np.intp]) -> Doubles:
    """Upper edge of the ink in each column: what the rim's samples are covered adds up to its place.

    `first` is each column's uppermost sample of more than half cover. Thin strokes have no sample that is all ink, and
    taken for the rim of more they would begin too low: one that lies across has half of its ink above its middle, and
    along one that stands up every sample is covered as far as the next.
    """
    rows = np.clip(first + np.arange(-2, 3)[:, None], 0, cover.shape[0] - 1)
    farther, above, at, below, beyond = np.clip(cover[rows, columns], 0, 1)
    farther = np.minimum(farther, above)
    rim = at + above + farther
    ink = np.maximum(rim + below, 0.5)
    edge = np.where(below > at, first + 2 - ink, first + 1 - rim)
    most = np.maximum(at, below)
    middle = first + 0.5 + (below - above - 2 * farther) / ink
    edge = np.where((most < ALL_INK) & (beyond < most / 2), middle - ink / 2, edge)
    usual = (below + beyond) / 2
    stands = (usual < ALL_INK) & (np.minimum(below, beyond) > LEAST_STEM) & (np.abs(below - beyond) < SAME * usual)
    stands &= np.maximum(at, above) < (1 + SAME) * usual  # no serif ends it
    usual = np.where(stands, usual, 1.0)
    whole = sum(np.minimum(row, usual) for row in (farther, above, at, below)) / usual
    return np.asarray(np.where(stands, first + 2 - whole, edge), dtype=np.float64)
