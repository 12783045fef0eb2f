"""Is it text? What letters in line have and patterns, icons and textures have not."""

from dataclasses import dataclass

import numpy as np

from standback.find.colours import Colours
from standback.find.glyphs import Doubles, Glyphs
from standback.find.heights import Heights
from standback.find.stroke import Stroke

# Limits of what counts as text, all ours, set on drawn posters in faces that no figure is measured with.
LEAST_HEAVY, MOST_HEAVY, MOST_FILL = 0.04, 0.40, 0.72
LEAST_SQUARE, SQUARE, HEAVY_BLOCKS = 0.12, 0.8, 0.12
EQUAL, MOST_REPEATS, SAME_SHAPE = 0.07, 0.75, 0.15
MOST_UNEVEN, MOST_UNREST, MOST_NESTED = 1.6, 0.2, 0.15
FEW_PIECES, AIRY, AIRY_ICONS, UNEVEN = 6, 0.3, 0.25, 0.5
WIDEST_PIECE = 9.0
LEAST_LEVEL, FEW_RANKED, MANY_RANKED = 0.5, 0.72, 0.4
LETTERS_A_PIECE = 2.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Traits:
    """What speaks for or against text.

    Attributes
    ----------
    letters
        About how many letters there are.
    tidy
        How much the ink in and around the band is these letters and nothing else, at most 1.
    level
        Share of the feet that stand on the baseline or hang below it.
    ranked
        Mean of the shares of pieces that stand on the baseline and that reach one of the line's two heights.
    heaviness
        Stroke over letter height.
    fill
        Share of a letter's box that is ink, exceeded by nine letters in ten.
    repeats
        Share of the pieces that have the shape of the next or the next but one.
    alike_width, alike_area
        Spread of heights, of pitch and of widths or inked areas, the largest: near 0 for icons and hatching.
    square
        Share of the outline that runs along the axes, as in codes and checkers.
    airy
        Median gap between pieces in letter heights.
    uneven
        Spread of the stroke's width.
    unrest
        How far the ground strays from one colour, as a share of its distance from the ink.
    widest
        Width of the widest piece in letter heights.
    nested
        Share of the pieces whose box lies inside another's, as in codes and targets.
    """

    letters: int
    pieces: int
    tidy: float
    level: float
    ranked: float
    heaviness: float
    fill: float
    repeats: float
    alike_width: float
    alike_area: float
    square: float
    airy: float
    uneven: float
    unrest: float
    widest: float
    nested: float


def traits_of(glyphs: Glyphs, heights: Heights, stroke: Stroke, colours: Colours) -> Traits:
    """Gather the traits of a line."""
    letters = glyphs.of(glyphs.letter)
    high, wide = letters.y1 - letters.y0, letters.x1 - letters.x0
    pitch = _spread(np.diff((letters.x0 + letters.x1) / 2))
    return Traits(
        letters=heights.letters,
        pieces=len(high),
        tidy=glyphs.tidy,
        level=heights.level,
        ranked=heights.ranked,
        heaviness=stroke.width / heights.letter,
        fill=float(np.quantile(letters.area / (high * wide), 0.1)),
        repeats=_repeats(letters),
        alike_width=max(_spread(high), _spread(wide), pitch),
        alike_area=max(_spread(high), _spread(letters.area), pitch),
        square=_square(letters),
        airy=_airy(letters) / heights.letter,
        uneven=stroke.uneven,
        unrest=colours.unrest,
        widest=float(wide.max()) / heights.letter,
        nested=_nested(letters),
    )


def hopeless(glyphs: Glyphs) -> bool:
    """Tell at a glance, before anything is measured, that pieces can't be text."""
    letters = glyphs.of(glyphs.letter)
    few = len(letters.x0) < 2
    return few or _nested(letters) > MOST_NESTED or (len(letters.x0) >= 3 and _repeats(letters) > MOST_REPEATS)


def text_likeness(traits: Traits) -> float:
    """Weigh the traits, 0 to 1; 0 as soon as one of them rules text out."""
    t = traits
    # scripts without two heights rank low, but a handful of rings or blots must not pass for them
    least_ranked = FEW_RANKED if t.pieces <= FEW_PIECES else MANY_RANKED
    if _is_pattern(t) or _is_drawing(t) or t.level < LEAST_LEVEL or t.ranked < least_ranked:
        return 0.0
    letters = min(t.letters, LETTERS_A_PIECE * t.pieces)
    even = 1 - 0.3 * max(0.0, t.uneven - 0.3)
    return float(max(t.tidy, 0.0) ** 3 * t.level**0.5 * (1 - np.exp(-letters / 1.6)) * (1 - 2 * t.unrest) * even)


def _is_pattern(t: Traits) -> bool:
    """Whether the pieces repeat: hatching, rows of icons or dots, checkers and codes."""
    hatching = t.pieces >= 3 and (t.alike_area < EQUAL or t.repeats > MOST_REPEATS)
    slanted = t.pieces >= 4 and t.square < LEAST_SQUARE
    icons = t.pieces >= 3 and t.alike_width < EQUAL and t.airy > AIRY_ICONS
    blocks = t.square > SQUARE and t.heaviness > HEAVY_BLOCKS and (t.uneven > 0.35 or t.heaviness > 0.3)
    return hatching or slanted or icons or blocks or t.nested > MOST_NESTED


def _is_drawing(t: Traits) -> bool:
    """Whether the pieces are blots, leaves, rings or long strokes, or too few to be told from them."""
    solid = not LEAST_HEAVY < t.heaviness < MOST_HEAVY or t.fill > MOST_FILL
    blobs = t.heaviness > 0.27 and t.uneven > 0.5 and t.fill < 0.5
    chained = t.pieces <= FEW_PIECES and (t.widest > 3 or (t.widest > 2.5 and t.uneven > UNEVEN))
    restless = t.uneven > MOST_UNEVEN or t.unrest > MOST_UNREST
    few = t.pieces < 2 or (t.pieces == 2 and not _strong_pair(t))
    return solid or blobs or chained or restless or few or t.widest > WIDEST_PIECE


def _strong_pair(t: Traits) -> bool:
    """Whether two pieces alone may be a word: close, even of stroke, unlike each other, on a calm ground."""
    calm = t.tidy > 0.95 and t.unrest < 0.03 and t.uneven < 0.45
    return calm and t.ranked > 0.9 and t.airy < AIRY and t.fill < 0.55 and t.heaviness > 0.08 and t.repeats == 0


def _repeats(letters: Glyphs) -> float:
    shapes = np.array([_shape(letters, n) for n in range(len(letters.x0))])
    if len(shapes) < 2:
        return 0.0
    like = np.zeros(len(shapes), dtype=bool)
    for step in (1, 2):
        a, b = shapes[:-step], shapes[step:]
        near = np.abs(a - b).sum(axis=1) < SAME_SHAPE * (a + b).sum(axis=1)
        like[:-step] |= near
        like[step:] |= near
    return float(like.mean())


def _shape(letters: Glyphs, n: int) -> Doubles:
    """Cover of a piece on a 5 x 5 grid over its own box, and its proportions."""
    x0, x1, y0, y1 = (int(v[n]) for v in (letters.x0, letters.x1, letters.y0, letters.y1))
    places = (np.arange(20) + 0.5) / 20
    rows, columns = (y0 + places * (y1 - y0)).astype(int), (x0 + places * (x1 - x0)).astype(int)
    own = letters.labels[np.ix_(rows, columns)] == n + 1
    grid = own.reshape(5, 4, 5, 4).mean(axis=(1, 3)).ravel()
    shape: Doubles = np.r_[grid * min(1.0, (x1 - x0) / (y1 - y0)), 2 * (x1 - x0) / (y1 - y0 + x1 - x0)]
    return shape


def _airy(letters: Glyphs) -> float:
    if len(letters.x0) < 2:
        return 0.0
    return float(np.median(letters.x0[1:] - np.maximum.accumulate(letters.x1)[:-1]))


def _nested(letters: Glyphs) -> float:
    inside = (letters.x0[:, None] >= letters.x0 - 1) & (letters.x1[:, None] <= letters.x1 + 1)
    inside &= (letters.y0[:, None] >= letters.y0 - 1) & (letters.y1[:, None] <= letters.y1 + 1)
    np.fill_diagonal(inside, False)
    return float(inside.any(axis=1).mean())


def _spread(values: Doubles) -> float:
    """How far four values in five lie from the median at most, as a share of it; 1 of fewer than two."""
    if len(values) < 2:
        return 1.0
    middle = np.median(values)
    return float(np.quantile(np.abs(values - middle), 0.8) / max(abs(middle), 1e-9))


def _square(letters: Glyphs) -> float:
    rows = slice(max(0, int(letters.y0.min()) - 2), int(letters.y1.max()) + 2)
    columns = slice(max(0, int(letters.x0.min()) - 2), int(letters.x1.max()) + 2)
    cover = np.clip(letters.split.cover[rows, columns], 0, 1)
    down, across = (np.abs(g) for g in np.gradient(cover))
    steep = (np.hypot(down, across) > 0.25) & letters.mask[rows, columns]
    if not steep.any():
        return 0.0
    return float((np.minimum(down, across)[steep] < 0.15 * np.maximum(down, across)[steep]).mean())
