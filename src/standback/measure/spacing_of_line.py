"""A found line -> the rhythm of its letters, in letter heights and at its place on the sheet."""

from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise

import numpy as np
from scipy.ndimage import zoom

from standback.artwork import Artwork
from standback.doubts import Doubt
from standback.elements import Box, Line, Mask
from standback.masks import grown
from standback.measure.figure_shapes import figures_of
from standback.measure.glyph_row import X_PER_CAP, GlyphRow, Letter
from standback.measure.model import PairGap, Spacing
from standback.measure.spacing import LEAST_LETTER, Pair, Rhythm, rhythm_of
from standback.measure.upright import Upright, upright
from standback.settings import Limits

MOST_JOINED_SHARE = 0.2
"""Where more of the letters touch than this, the line is script, or too tight to be measured (ours)."""
JOINED_WIDTH = (1.5, 1.3)
"""A piece wider than this, in letter heights, of capitals and of lower case, may be several letters."""
MOST_OVERLAP, DEEPEST_OVERLAP = 0.2, 0.5
"""Letters reach over their neighbours by no more than the one, in letter heights, their slant undone, and a few
by no more than the other (ours)."""
OFF_BASELINE, TAIL, MOST_OFF_BASELINE = 0.045, 0.12, 0.1
"""Letters end within the first of their baseline, in letter heights, or hang lower than the second. Of Latin,
Greek and Cyrillic lines hardly any has a larger share that does neither than the third; ideograms, kana and
Arabic have, and so has type on a curve (ours)."""
OTHER_INK, MOST_OTHER_INK = 60.0, 0.1
"""Colours farther than this from the line between ground and ink, in codes, are something else, and spoil a
gap where they take up more than that share of it (ours)."""
TALL = 0.85
"""Letters from this share of the capitals' height on are tall, and may begin a word of a name (ours)."""
SQUARE, LEAST_SQUARES, SQUARES_SHARE = 0.95, 4, 0.5
"""Where so many tall letters, so large a share of a line in mixed heights, are in the middle so wide for their height,
they are set in squares as Japanese is (ours): Latin ascenders are narrower."""
RIM_SAMPLES, OTHER_SHAPE, SAME_SIZE = 1, 0.01, 0.02
"""Two letters are the same where no more than this share of either lies beyond the other's rim (ours)."""
RIM_OFF_SAMPLES = 1.5
"""So much may come from the samples alone (ours)."""


def spacing_of(line: Line, artwork: Artwork, limits: Limits, wording: str | None = None) -> Spacing | None:
    """Measure the spacing of a line; None where nothing in it looks like letters.

    Parameters
    ----------
    wording
        What the line says, where that is known: it tells joined letters, figures and word spaces.
    """
    tall_px = line.cap_px or (line.x_px or line.letter_px) / X_PER_CAP
    turned = upright(line, artwork, tall_px)
    text = None if wording is None else "".join(wording.split())
    small_only = line.cap_px is None and line.x_px is not None
    rhythm = rhythm_of(turned.ink, small_only=small_only, words=_words_of(wording))
    if rhythm is None:
        return None
    row = rhythm.row
    known = _by_letter(text, rhythm) if text else None
    unit_px = row.height * turned.sample_px
    uncased = line.cap_px is None and line.x_px is None
    why = "a script without capitals" if uncased else _unmeasured(rhythm, unit_px, limits, _joined(text, rhythm))
    pairs = tuple(_pairs(rhythm, turned, line, artwork, known)) if why is None else ()
    right = max(one.x1 for one in row.letters)
    left = min(one.x0 for one in row.letters)
    return Spacing(
        unit_mm=unit_px / artwork.px_per_mm,
        unit_px=unit_px,
        letters=len(row.letters),
        capitals=row.capitals,
        slanted=row.slant > 0,
        letter_gap=rhythm.letter_gap if why is None else None,
        word_gap=rhythm.word_gap if why is None else None,
        expected_gap=rhythm.expected,
        pairs=pairs,
        joined=_joined(text, rhythm),
        of_letters=None if text is None else len(text),
        baseline_px=turned.to_px((left + right) / 2, row.baseline),
        letter_boxes_px=tuple(_boxes(rhythm, turned)),
        unmeasured=why,
        doubts=() if why is None else (Doubt.SPACING_UNMEASURED,),
    )


def _words_of(wording: str | None) -> tuple[int, ...] | None:
    """Return how many letters each word has."""
    return None if wording is None else tuple(len(word) for word in wording.split())


def _joined(text: str | None, rhythm: Rhythm) -> int | None:
    """Return how many letters of the wording have no ink of their own."""
    return None if not text else max(0, len(text) - len(rhythm.row.letters))


def _by_letter(text: str, rhythm: Rhythm) -> str | None:
    """Return the wording where each of its letters was told apart."""
    return text if len(text) == len(rhythm.row.letters) else None


def _unmeasured(rhythm: Rhythm, unit_px: float, limits: Limits, joined: int | None) -> str | None:
    """Say why a line's letter spacing can't be judged."""
    row = rhythm.row
    if unit_px < limits.spacing_least_px:
        return f"letters under {limits.spacing_least_px:g} px high"
    widest = JOINED_WIDTH[0 if row.capitals else 1] * row.height
    wide = sum(one.width > widest for one in row.letters)
    count = len(row.letters) if joined is None else len(row.letters) + joined
    touching = max(joined or 0, wide if joined is None else 0)
    if touching > MOST_JOINED_SHARE * count:
        return "letters that touch each other"
    overlaps = [(a.x1 - b.x0) / row.height for a, b in pairwise(row.letters)]
    overlapping = sum(overlap > MOST_OVERLAP for overlap in overlaps)
    if overlapping > MOST_JOINED_SHARE * len(row.letters) or max(overlaps, default=0.0) > DEEPEST_OVERLAP:
        return "pieces that are no letters"
    if _off_baseline(row) > MOST_OFF_BASELINE:
        return "letters without a common baseline"
    if _in_squares(row):
        return "letters set in squares"
    if len(rhythm.within_words) < limits.spacing_least_pairs:
        return f"under {limits.spacing_least_pairs:g} pairs of letters"
    return None


def _in_squares(row: GlyphRow) -> bool:
    tall = [one.width / row.height for one in row.letters if one.bottom - one.top > TALL * row.height]
    if row.capitals or len(tall) < max(LEAST_SQUARES, SQUARES_SHARE * len(row.letters)):
        return False
    return float(np.median(tall)) >= SQUARE


def _off_baseline(row: GlyphRow) -> float:
    """Share of the letters that neither stand on the baseline nor hang well below it."""
    slack = max(OFF_BASELINE * row.height, RIM_OFF_SAMPLES)
    below = [one.bottom - row.baseline for one in row.letters if one.bottom - one.top > LEAST_LETTER * row.height]
    return sum(abs(one) > slack and one < TAIL * row.height for one in below) / max(1, len(below))


def _pairs(rhythm: Rhythm, turned: Upright, line: Line, artwork: Artwork, known: str | None) -> Iterator[PairGap]:
    row = rhythm.row
    top, bottom = row.baseline - row.height, row.baseline
    lean = row.slant * (top + bottom) / 2
    usual = rhythm.letter_gap or 0.0
    repeats = _repeats(rhythm)
    figures = _figures(rhythm, known)
    for pair in rhythm.within_words:
        box = turned.box_px(pair.x0 - lean, top, pair.x1 - lean, bottom)
        if not _bare(box, line, artwork) or (known is None and _may_part_words(pair, rhythm)):
            continue
        letters = None if known is None else known[pair.first - 1 : pair.first + 1]
        yield PairGap(
            first=pair.first,
            letters=letters,
            gap=pair.gap,
            off=pair.gap - usual,
            repeat_off=repeats.get(pair.first),
            figures=any(figures[pair.first - 1 : pair.first + 1]),
            box_px=box,
            box_mm=artwork.box_mm(box),
        )


def _may_part_words(pair: Pair, rhythm: Rhythm) -> bool:
    """Whether a wide gap before a tall letter may be the only word space of a line that is set tight."""
    row = rhythm.row
    if row.capitals or rhythm.word_gap is not None or pair.gap <= (rhythm.letter_gap or 0.0):
        return False
    before, after = (row.baseline - one.top >= TALL * row.height for one in _letters(row.letters, pair))
    return after and not before


def _bare(box: Box, line: Line, artwork: Artwork) -> bool:
    """Whether there is nothing between two letters but ground and ink: other things hide their edges."""
    codes = artwork.srgb8[max(box.y0, 0) : box.y1, max(box.x0, 0) : box.x1].astype(np.float64)
    ground, ink = np.array(line.ground_srgb8, dtype=np.float64), np.array(line.ink_srgb8, dtype=np.float64)
    axis = ink - ground
    along = (codes - ground) @ axis / max(float(axis @ axis), 1.0)
    aside = codes - ground - along[..., None] * axis
    other = (aside * aside).sum(axis=-1) > OTHER_INK**2
    return bool(np.count_nonzero(other) < MOST_OTHER_INK * other.size)


def _figures(rhythm: Rhythm, known: str | None) -> Sequence[bool]:
    """Tell which letters are figures: by the wording, else by their shapes."""
    if known is not None:
        return [letter.isdigit() for letter in known]
    ends = {pair.first for pair in rhythm.pairs if pair.word}
    return figures_of(rhythm.row, [n in ends for n in range(1, len(rhythm.row.letters))])


def _boxes(rhythm: Rhythm, turned: Upright) -> Iterator[Box]:
    slant = rhythm.row.slant
    for one in rhythm.row.letters:
        lean = slant * (one.top + one.bottom) / 2
        yield turned.box_px(one.x0 - lean, one.top, one.x1 - lean, one.bottom)


def _repeats(rhythm: Rhythm) -> dict[int, float]:
    """Return by how much each pair that comes twice differs from its twin, the more usual of the two."""
    row, usual = rhythm.row, rhythm.letter_gap or 0.0
    off: dict[int, float] = {}
    alike = _of_one_size(row.letters)
    for one, other in combinations(rhythm.within_words, 2):
        if not (alike[one.first - 1, other.first - 1] and alike[one.first, other.first]):
            continue
        if not all(_same(a, b) for a, b in zip(_letters(row.letters, one), _letters(row.letters, other), strict=True)):
            continue
        worse, better = sorted((one, other), key=lambda pair: -abs(pair.gap - usual))
        apart = worse.gap - better.gap
        if abs(apart) > abs(off.get(worse.first, 0.0)):
            off[worse.first] = apart
    return off


def _letters(letters: Sequence[Letter], pair: Pair) -> tuple[Letter, Letter]:
    return letters[pair.first - 1], letters[pair.first]


def _of_one_size(letters: Sequence[Letter]) -> Mask:
    """Tell which letters are about as wide and high as which (N, N): what isn't can't be the same shape."""
    sides = np.array([letter.ink.shape for letter in letters], dtype=np.float64).reshape(-1, 2)
    near = np.abs(sides[:, None] - sides) <= np.maximum(1.0, SAME_SIZE * sides[:, None])
    return np.asarray(near.all(axis=2), dtype=np.bool_)


def _same(a: Letter, b: Letter) -> bool:
    """Whether two letters of one size are the same shape."""
    other = b.ink
    if a.ink.shape != other.shape:
        factors = [m / n for m, n in zip(a.ink.shape, other.shape, strict=True)]
        other = zoom(other.astype(np.float32), factors, order=1) > 0.5
    return _beyond(a.ink, other) < OTHER_SHAPE and _beyond(other, a.ink) < OTHER_SHAPE


def _beyond(ink: Mask, other: Mask) -> float:
    """Share of a letter's ink that lies beyond another's rim."""
    near = grown(other, RIM_SAMPLES)
    return int(np.count_nonzero(ink & ~near)) / max(1, int(np.count_nonzero(ink)))
