"""The letters of one line, from its ink alone: upright, in order, on a common baseline."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.elements import Mask

Doubles = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]

SLANTS = np.arange(-0.06, 0.361, 0.01)
"""Slants tried: sideways pixels for each pixel up."""
LEAST_SLANT, SLANT_GAIN = 0.05, 1.03
"""A slant counts if it is more than the one, and sets its columns off from each other better than none by the other."""
SLANT_ROWS = 64
SLANT_UNDONE = 0.85
"""So much of the slant is undone: italics are spaced more as they stand than their slant would have it (ours)."""
SPECK_SHARE = 0.0015
"""Less ink than this, in squares of the height of the tallest piece, is no letter and no mark."""
JOINED_OVERLAP = 0.4
"""Two pieces over each other are one letter (i, j, accents) where they share so much of the narrower."""
BASELINE_SHARE, TALL_SHARE = 0.45, 0.87
"""Pieces taller than the one stand on the baseline; those near the tallest give the letter height."""
X_PER_CAP = 0.73
"""Height of small letters as a share of the capitals in common text faces (common practice)."""
BELOW_LINE = 0.1
"""What begins lower than this under the baseline, in letter heights, is no comma."""
STEM_ROWS = np.linspace(0.12, 0.55, 14)
"""Heights above the baseline at which stems and counters are measured, in letter heights."""
SMALL_SHARE, MOST_SMALL = (0.55, 0.86), 0.15
"""Letters this high are small ones; a line with more of them than the second share is lower case."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Letter:
    """One letter, its slant undone; x in samples of the line, rows in samples from its top.

    Attributes
    ----------
    left, right
        (rows,) first and last edge of the ink in each row from `top` on; NaN where there is none.
    ink
        (rows, columns) the ink itself, not unslanted.
    over_dot
        Whether a smaller piece stands under the larger, as in ! and ?.
    """

    x0: float
    x1: float
    top: int
    bottom: int
    left: Doubles
    right: Doubles
    ink: Mask
    over_dot: bool = False

    @property
    def width(self) -> float:
        """Width with the slant undone."""
        return self.x1 - self.x0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GlyphRow:
    """The letters of a line from left to right.

    Attributes
    ----------
    slant
        The slant that is undone: sideways samples for each sample up; 0 for upright type.
    baseline, height
        Where the letters stand, in samples from the top, and how high the tall ones are.
    capitals
        Whether all letters are of one height: capitals or figures.
    stem, counter
        Median width of the strokes and of the white inside letters in letter heights, None without any.
    """

    letters: tuple[Letter, ...]
    slant: float
    baseline: float
    height: float
    capitals: bool
    stem: float
    counter: float | None


def slant_of(ink: Mask) -> float:
    """Return the slant at which the columns of the ink differ most from their neighbours, 0 for upright type."""
    rows = np.flatnonzero(ink.any(axis=1))
    if not len(rows):
        return 0.0
    step = max(1, len(rows) // SLANT_ROWS)
    picked = ink[rows[0] : rows[-1] + 1 : step]
    # a stem's edge is as wide as the slants tried are apart
    scores = _slant_scores(picked, step, np.append(SLANTS, 0.0), max(1, round(len(rows) / SLANT_ROWS)))
    best = int(scores[:-1].argmax())
    slant = float(SLANTS[best])
    return slant if slant > LEAST_SLANT and scores[best] > SLANT_GAIN * scores[-1] else 0.0


def _slant_scores(ink: Mask, step: int, slants: Doubles, blur: int) -> Places:
    """Return for each slant how much the sums of the columns differ from those `blur` columns before, squared.

    Only where runs of ink begin and end the sums change, which is far less than all the ink.

    Parameters
    ----------
    ink, step
        (rows, columns), one row for so many samples up.
    """
    (y0, x0), (y1, x1) = _run_ends(ink)
    # what is a whole sample but for rounding counts as one
    shifts = np.floor(np.outer(slants, step * np.arange(len(ink))) + 1e-9).astype(np.intp)
    shifts -= shifts.min()
    begins, ends = x0 + shifts[:, y0], x1 + shifts[:, y1]
    width = int(ends.max()) + blur + 1
    rows = np.arange(len(slants))[:, np.newaxis] * width
    changes = np.bincount((begins + rows).ravel(), minlength=len(slants) * width)
    changes -= np.bincount((ends + rows).ravel(), minlength=len(slants) * width)
    sums = changes.reshape(len(slants), width).cumsum(axis=1)
    off = sums.copy()
    off[:, blur:] -= sums[:, :-blur]
    # the fall after the last column is left out
    last = np.take_along_axis(sums, ends.max(axis=1, keepdims=True) - 1, axis=1)[:, 0]
    scores: Places = (off * off).sum(axis=1) - last * last
    return scores


def _run_ends(ink: Mask) -> tuple[tuple[Places, Places], tuple[Places, Places]]:
    """Return rows and columns at which runs of ink begin, and those just after their ends, run by run."""
    framed = np.zeros((ink.shape[0], ink.shape[1] + 2), dtype=np.int8)
    framed[:, 1:-1] = ink
    change = framed[:, 1:] - framed[:, :-1]
    begins, ends = np.nonzero(change > 0), np.nonzero(change < 0)
    return (begins[0], begins[1]), (ends[0], ends[1])


def glyph_row(ink: Mask, *, small_only: bool = False) -> GlyphRow | None:
    """Part a line's ink (H, W), reading direction to the right, into letters; None without any.

    Parameters
    ----------
    small_only
        Whether its letters are known to be small ones without ascenders: the height is then scaled up to
        that of capitals.
    """
    slant = SLANT_UNDONE * slant_of(ink)
    labels, count = ndimage.label(ink, structure=np.ones((3, 3), dtype=bool))
    if not count:
        return None
    found = ndimage.find_objects(labels)
    tallest = max(rows.stop - rows.start for rows, _ in found)
    area = np.bincount(labels.ravel(), minlength=count + 1)[1:]
    pieces = [
        _letter(labels[place] == n + 1, place, slant)
        for n, place in enumerate(found)
        if area[n] >= SPECK_SHARE * tallest**2
    ]
    letters = sorted(_joined(pieces), key=lambda one: one.x0 + one.x1)
    if not letters:
        return None
    tall = [one for one in letters if one.bottom - one.top > BASELINE_SHARE * tallest]
    baseline = float(np.median([one.bottom for one in tall]))
    above = np.array([baseline - one.top for one in tall])
    height = float(np.median(above[above >= TALL_SHARE * above.max()]))
    if height < 1:
        return None
    if small_only:
        height /= X_PER_CAP
    letters = [one for one in letters if _in_line(one, baseline, height)]
    share = above / height
    small = np.mean((share > SMALL_SHARE[0]) & (share < SMALL_SHARE[1]))
    stem, counter = _stem_and_counter(tall, baseline, height)
    return GlyphRow(
        letters=tuple(letters),
        slant=slant,
        baseline=baseline,
        height=height,
        capitals=bool(small <= MOST_SMALL),
        stem=stem,
        counter=counter,
    )


def _letter(ink: Mask, place: tuple[slice, slice], slant: float) -> Letter:
    rows, columns = place
    shift = columns.start + slant * np.arange(rows.start, rows.stop)
    some = ink.any(axis=1)
    left = np.where(some, ink.argmax(axis=1) + shift, np.nan)
    right = np.where(some, ink.shape[1] - ink[:, ::-1].argmax(axis=1) + shift, np.nan)
    return Letter(
        x0=float(np.fmin.reduce(left)),
        x1=float(np.fmax.reduce(right)),
        top=rows.start,
        bottom=rows.stop,
        left=left,
        right=right,
        ink=ink,
    )


def _in_line(piece: Letter, baseline: float, height: float) -> bool:
    """Whether a piece reaches into the line: what only floats over it or under it is none of its letters."""
    return piece.bottom > baseline - height and piece.top < baseline + BELOW_LINE * height


def _joined(pieces: list[Letter]) -> list[Letter]:
    """Join what stands over each other into letters, the largest first."""
    letters: list[Letter] = []
    for piece in sorted(pieces, key=lambda one: -one.ink.size):
        top, bottom = piece.top, piece.bottom
        # nearly all stand beside each other: what doesn't is rare, and asked about with more care
        over = next(
            (n for n, one in enumerate(letters) if (one.bottom <= top or bottom <= one.top) and _over(one, piece)), None
        )
        if over is None:
            letters.append(piece)
        else:
            letters[over] = _union(letters[over], piece)
    return letters


def _over(a: Letter, b: Letter) -> bool:
    """Whether two pieces, one of them higher up, share enough of their width."""
    return min(a.x1, b.x1) - max(a.x0, b.x0) > JOINED_OVERLAP * min(a.width, b.width)


def _union(a: Letter, b: Letter) -> Letter:
    """Return both as one letter; the ink kept is the larger piece's, for stems and counters."""
    top, bottom = min(a.top, b.top), max(a.bottom, b.bottom)
    left, right = np.full(bottom - top, np.nan), np.full(bottom - top, np.nan)
    for one in (a, b):
        rows = slice(one.top - top, one.bottom - top)
        left[rows] = np.fmin(left[rows], one.left)
        right[rows] = np.fmax(right[rows], one.right)
    return Letter(
        x0=min(a.x0, b.x0),
        x1=max(a.x1, b.x1),
        top=top,
        bottom=bottom,
        left=left,
        right=right,
        ink=a.ink,
        over_dot=a.bottom <= b.top,
    )


def _stem_and_counter(letters: list[Letter], baseline: float, height: float) -> tuple[float, float | None]:
    """Return the median run of ink, and of white inside letters, in letter heights."""
    dark: list[int] = []
    white: list[int] = []
    for one in letters:
        base = one.bottom if one.bottom <= baseline else baseline
        places = np.rint(base - STEM_ROWS * height).astype(np.intp) - (one.bottom - one.ink.shape[0])
        picked = one.ink[places[(places >= 0) & (places < one.ink.shape[0])]]
        (row, starts), (_, ends) = _run_ends(picked)
        dark.extend((ends - starts).tolist())
        white.extend((starts[1:] - ends[:-1])[row[1:] == row[:-1]].tolist())
    stem = float(np.median(dark)) / height if dark else 0.0
    return stem, float(np.median(white)) / height if white else None
