"""The rhythm of one line: its letter gaps, its word gaps, and the pairs that fall out of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from standback.elements import Mask
from standback.measure.glyph_row import GlyphRow, Letter, glyph_row
from standback.measure.optical_gap import optical_gap
from standback.measure.word_gaps import word_gaps

LEAST_LETTER = 0.45
"""What is lower than this, in letter heights, is a full stop, a dash or a quotation mark, and no letter."""
SIGN_ABOVE, SIGN_BELOW = 0.9, 0.06
"""What reaches over the one and under the other, in letter heights from the baseline, is a bracket or a bar."""
RAISED = 0.2
"""What stands higher than this over the baseline is raised: a reference mark, a quotation mark."""
SLASH_END = 0.2
"""Of a slash, the upper and the lower end, this share of it each, don't stand over each other."""
EXPECTED = (0.157, 0.058, -0.117, 0.153, -0.057)
"""The gap that faces are set with: constant, capitals, stem, counter, counter of capitals (regression over
171 faces; what is left over has a standard deviation of 0.026 letter heights) (ours)."""
NO_COUNTER = 0.28
"""Counter taken where letters have none, in letter heights."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two neighbouring letters.

    Attributes
    ----------
    first
        Which letter of the line the left one is, counted from 1.
    gap
        Their optical gap in letter heights.
    word
        Whether the gap parts two words.
    x0, x1
        Where the white between them lies along the line, in samples.
    """

    first: int
    gap: float
    word: bool
    x0: float
    x1: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rhythm:
    """What was measured of a line's spacing, in letter heights.

    Attributes
    ----------
    row
        Its letters.
    pairs
        Neighbouring letters that face each other, from left to right.
    letter_gap, word_gap
        Median gap of the letters within words, and of the words; None where there are none.
    expected
        The letter gap that a face of such strokes and counters is usually set with.
    """

    row: GlyphRow
    pairs: tuple[Pair, ...]
    letter_gap: float | None
    word_gap: float | None
    expected: float

    @property
    def within_words(self) -> tuple[Pair, ...]:
        """The pairs within words."""
        return tuple(pair for pair in self.pairs if not pair.word)


def rhythm_of(ink: Mask, *, small_only: bool = False, words: Sequence[int] | None = None) -> Rhythm | None:
    """Measure the spacing of a line from its ink (H, W), set upright; None where there is no letter.

    Parameters
    ----------
    small_only
        Whether the line is known to hold small letters without ascenders only, such as "sea".
    words
        How many letters and signs each word has, where the wording is known.
    """
    row = glyph_row(ink, small_only=small_only)
    if row is None:
        return None
    gaps: list[tuple[int, float, Letter, Letter]] = []
    letters = [one for one in row.letters if not _is_sign(one, row)]
    places = {id(one): n for n, one in enumerate(row.letters, start=1)}
    for a, b in pairwise(letters):
        beside = places[id(b)] == places[id(a)] + 1
        gap = optical_gap(a, b, baseline=row.baseline, height=row.height) if beside else None
        if gap is not None:
            gaps.append((places[id(a)], gap, a, b))
    parts = word_gaps(np.array([gap for _, gap, _, _ in gaps]))
    if words is not None and sum(words) == len(row.letters):
        ends = set(np.cumsum(words).tolist())
        parts = np.array([first in ends for first, _, _, _ in gaps], dtype=bool)
    pairs = tuple(
        Pair(first=first, gap=gap, word=bool(word), x0=min(a.x1, b.x0), x1=max(a.x1, b.x0))
        for (first, gap, a, b), word in zip(gaps, parts, strict=True)
    )
    return Rhythm(
        row=row,
        pairs=pairs,
        letter_gap=_median([p.gap for p in pairs if not p.word]),
        word_gap=_median([p.gap for p in pairs if p.word]),
        expected=_expected(row),
    )


def _is_sign(one: Letter, row: GlyphRow) -> bool:
    """Whether a piece is no letter: a stop, dash, quotation mark, bracket, slash, ! or ?, or raised."""
    above, below = (row.baseline - one.top) / row.height, (one.bottom - row.baseline) / row.height
    if one.bottom - one.top < LEAST_LETTER * row.height or one.over_dot or below < -RAISED:
        return True
    if above > SIGN_ABOVE and below > SIGN_BELOW:
        return True
    end = max(1, round(SLASH_END * len(one.left)))
    upper, lower = slice(0, end), slice(len(one.left) - end, None)
    least, most = np.fmin.reduce, np.fmax.reduce
    return bool(least(one.left[upper]) > most(one.right[lower]) or most(one.right[upper]) < least(one.left[lower]))


def _median(values: Sequence[float]) -> float | None:
    return float(np.median(values)) if values else None


def _expected(row: GlyphRow) -> float:
    constant, of_capitals, of_stem, of_counter, of_both = EXPECTED
    counter = NO_COUNTER if row.counter is None else row.counter
    upper = float(row.capitals)
    return constant + of_capitals * upper + of_stem * row.stem + (of_counter + of_both * upper) * counter
