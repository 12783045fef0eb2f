"""Is it text? The scorer's word, weighed with what letters in line have and patterns, icons and blots have not."""

from dataclasses import dataclass
from math import exp, log

import numpy as np

from standback.find.colours import Colours
from standback.find.glyphs import Doubles, Glyphs
from standback.find.heights import Heights
from standback.find.order import quantile
from standback.find.split import Floats
from standback.find.stroke import Stroke

WEIGHTS = {
    "start": -0.83,
    "score": 1.93,
    "letters": 1.62,
    "untidy": -3.16,
    "unlevel": -2.41,
    "unranked": -3.81,
    "repeats": -5.63,
    "uneven": -2.56,
    "unrest": -1.91,
    "square": -1.22,
    "solid": -2.08,
    "nested": -1.39,
    "single": -3.25,
    "alone": 4.2,
    "bare": 2.2,
    "narrow": -3.65,
}
"""What each trait adds to the log odds that a line is text: a logistic regression, see
tests/training/weigh.py, but for "alone" and "bare", which are set by hand."""
MOST_UNLIKE = 0.4
"""So many shapes repeat in any line (ours)."""
SAME_SHAPE = 0.15
"""Shapes that differ by less than this share of their ink repeat (ours)."""
MOST_NESTED, MOST_REPEATS, WIDEST_PIECE = 0.55, 0.9, 15.0
"""More than this is a code, a frame or a pattern whatever the scorer says (ours)."""
ORDERLY_PIECES, ORDERLY, ORDERLY_SCORE = 8, 0.97, 0.88
"""So many unlike pieces on so even a ground, and so well in line, speak for themselves: the scorer may have seen but a
part of them (ours)."""
LARGE = 0.1
"""One letter alone is as a rule as high as this share of the sheet's shorter side; what is smaller is a bullet or an
icon as often (ours)."""
BARE = 0.985
"""Around one large letter alone there is no other ink but so little, or it is a ring, a leaf or a blot among others as
often (ours)."""
LEAST_MARKS, MARKS_A_LETTER = 12, 3.0
"""Dots, accents and commas are fewer than this, or so many to a letter (ours)."""
MOST_UNEVEN = 0.5
"""Strokes more uneven than by this say no more: large type of thick and thin strokes shows both (ours)."""
LETTERS_A_PIECE, MANY_LETTERS = 2.5, 12.0
_FOURS = np.kron(np.eye(5), np.full(4, 0.25))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Looks:
    """The letters of a line without its marks, and the traits that are seen at a glance: see `Traits`."""

    letters: Glyphs
    repeats: float
    nested: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Traits:
    """What speaks for or against text.

    Attributes
    ----------
    score
        The proposer's own, 0 to 1.
    letters
        About how many letters there are.
    tidy
        How much the ink in and around the band is these letters and nothing else, at most 1.
    level
        Share of the feet that stand on the baseline or hang below it.
    ranked
        Mean of the shares of pieces that stand on the baseline and that reach one of the line's two heights.
    fill
        Share of a letter's box that is ink, exceeded by nine letters in ten.
    repeats
        Share of the pieces that have the shape of the next or the next but one.
    square
        Share of the outline that runs along the axes, as in codes and checkers.
    uneven
        Spread of the stroke's width.
    unrest
        How far the ground strays from one colour, as a share of its distance from the ink.
    widest
        Width of the widest piece in letter heights.
    nested
        Share of the pieces whose box lies inside another's, as in codes and targets.
    share
        Height of the letters over the sheet's shorter side.
    """

    score: float
    letters: int
    pieces: int
    tidy: float
    level: float
    ranked: float
    fill: float
    repeats: float
    square: float
    uneven: float
    unrest: float
    widest: float
    nested: float
    share: float

    @property
    def one_letter(self) -> bool:
        """Whether it is one piece, no wider than a letter."""
        return self.pieces == 1 and self.letters == 1


def traits_of(
    glyphs: Glyphs,
    looks: Looks,
    heights: Heights,
    stroke: Stroke,
    colours: Colours,
    score: float,
    shorter_side: float,
) -> Traits:
    """Gather the traits of a line; the sheet's shorter side is in samples of its glyphs."""
    letters = looks.letters
    high, wide = letters.y1 - letters.y0, letters.x1 - letters.x0
    return Traits(
        score=score,
        letters=heights.letters,
        pieces=len(high),
        tidy=glyphs.tidy,
        level=heights.level,
        ranked=heights.ranked,
        fill=quantile(letters.area / (high * wide), 0.1),
        repeats=looks.repeats,
        square=_square(letters, glyphs.split.cover),
        uneven=stroke.uneven,
        unrest=colours.unrest,
        widest=float(wide.max()) / heights.letter,
        nested=looks.nested,
        share=heights.letter / shorter_side,
    )


def looks_of(glyphs: Glyphs) -> Looks:
    """Return how the letters of a line look."""
    letters = glyphs.of(glyphs.letter)
    return Looks(letters=letters, repeats=_repeats(letters), nested=_nested(letters))


def hopeless(looks: Looks) -> bool:
    """Tell at a glance, before anything is measured, that pieces can't be text."""
    return looks.nested > MOST_NESTED or (len(looks.letters.x0) >= 3 and looks.repeats > MOST_REPEATS)


def crumbles(glyphs: Glyphs) -> bool:
    """Whether there are far more small marks than letters: a rim taken for ink, in pieces."""
    marks, letters = np.count_nonzero(~glyphs.letter), np.count_nonzero(glyphs.letter)
    return bool(marks > max(LEAST_MARKS, MARKS_A_LETTER * letters))


def text_likeness(traits: Traits) -> float:
    """Weigh the traits: how likely it is, 0 to 1, that a line is text."""
    if traits.widest > WIDEST_PIECE:
        return 0.0
    odds = sum(WEIGHTS[name] * value for name, value in evidence(traits).items())
    return 1 / (1 + exp(-odds))


def evidence(traits: Traits) -> dict[str, float]:
    """Return what is weighed, by the name of its weight: 0 where it says nothing."""
    t = traits
    alone = t.one_letter and t.share > LARGE
    score = min(max(t.score, ORDERLY_SCORE if _is_orderly(t) else 0.5), 0.99)
    return {
        "start": 1.0,
        "score": log(score / (1 - score)) - 2.0,
        "letters": log(max(1.0, min(t.letters, LETTERS_A_PIECE * t.pieces, MANY_LETTERS))),
        "untidy": 1 - max(t.tidy, 0.5),
        "unlevel": 1 - t.level,
        "unranked": 1 - t.ranked,
        "repeats": max(0.0, t.repeats - MOST_UNLIKE),
        "uneven": min(max(0.0, t.uneven - 0.35), MOST_UNEVEN),
        "unrest": t.unrest,
        "square": max(0.0, t.square - 0.72),
        "solid": max(0.0, t.fill - 0.62),
        "nested": t.nested,
        "single": float(t.pieces == 1),
        "alone": float(alone),
        "bare": float(alone and t.tidy >= BARE),
        "narrow": max(0.0, 0.6 - t.widest),
    }


def _is_orderly(t: Traits) -> bool:
    in_line = min(t.tidy, t.level, t.ranked) >= ORDERLY
    return t.pieces >= ORDERLY_PIECES and in_line and t.repeats <= MOST_UNLIKE and t.unrest <= 1 - ORDERLY


def _repeats(letters: Glyphs) -> float:
    if len(letters.x0) < 2:
        return 0.0
    shapes = _shapes(letters)
    like = np.zeros(len(shapes), dtype=bool)
    for step in (1, 2):
        a, b = shapes[:-step], shapes[step:]
        near = np.abs(a - b).sum(axis=1) < SAME_SHAPE * (a + b).sum(axis=1)
        like[:-step] |= near
        like[step:] |= near
    return float(like.mean())


def _shapes(letters: Glyphs) -> Doubles:
    """Cover of each piece on a 5 x 5 grid over its own box, and its proportions: (N, 26)."""
    x0, x1, y0, y1 = (v.astype(int).astype(float)[:, None] for v in (letters.x0, letters.x1, letters.y0, letters.y1))
    places = (np.arange(20) + 0.5) / 20
    rows, columns = (y0 + places * (y1 - y0)).astype(int), (x0 + places * (x1 - x0)).astype(int)
    numbers = np.arange(1, len(rows) + 1)[:, None, None]
    own = letters.labels[rows[:, :, None], columns[:, None, :]] == numbers
    # means of four by four, as a product: numpy takes ten times as long to add up so few
    grid = (_FOURS @ own.astype(np.float64) @ _FOURS.T).reshape(-1, 25)
    wide, high = x1 - x0, y1 - y0
    shapes: Doubles = np.hstack([grid * np.minimum(1.0, wide / high), 2 * wide / (high + wide)])
    return shapes


def _nested(letters: Glyphs) -> float:
    inside = (letters.x0[:, None] >= letters.x0 - 1) & (letters.x1[:, None] <= letters.x1 + 1)
    inside &= (letters.y0[:, None] >= letters.y0 - 1) & (letters.y1[:, None] <= letters.y1 + 1)
    np.fill_diagonal(inside, False)
    return float(inside.any(axis=1).mean())


def _square(letters: Glyphs, cover: Floats) -> float:
    place = letters.place(2)
    inside = np.flatnonzero(letters.labels[place] > 0)
    down, across = (np.abs(g.take(inside)) for g in np.gradient(np.clip(cover[place], 0, 1)))
    steep = np.hypot(down, across) > 0.25
    if not steep.any():
        return 0.0
    down, across = down[steep], across[steep]
    return float((np.minimum(down, across) < 0.15 * np.maximum(down, across)).mean())
