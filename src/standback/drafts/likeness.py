"""How alike two elements look, whatever they say: the shapes of their letters, size, place and colours."""

from dataclasses import dataclass
from math import log

import numpy as np
import numpy.typing as npt

from standback.elements import Line, Mask, Srgb8
from standback.findings import PosterReport
from standback.light import srgb8_to_oklab
from standback.measure.model import DetailMeasurement, Element, FigureMeasurement, Measurement
from standback.places import BoxMm

ROWS, COLUMNS, PATCH_CELLS, LETTER_COLUMNS = 12, 160, 24, 8
"""Grid on which the shapes of lines, of patches and of single letters are laid over each other (ours)."""
LEAST_LETTERS = 3
"""Fewer letters than this tell nothing of a line by their own shapes (ours)."""

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trace:
    """What an element is known again by.

    Attributes
    ----------
    kind, what
        "line", "detail" or "figure", and the kind of detail or figure it is.
    name
        What the brief calls it, None where it is silent.
    size_mm
        Letter height of a line, else the square root of its box's area.
    feature_mm
        Width of a detail's strokes or dots; None for what is no detail.
    shape
        Its ink on a grid over its box, whatever the box's own proportions.
    letters
        (n, ROWS, LETTER_COLUMNS): the ink of each letter of a line, or of letters that touch, on a grid of its
        own: the same however widely the line is spaced. Empty for what is no line.
    """

    id: str
    kind: str
    what: str
    name: str | None
    box_mm: BoxMm
    size_mm: float
    shape: Floats
    letters: Floats
    ink: Srgb8
    ground: Srgb8
    feature_mm: float | None = None

    @property
    def centre_mm(self) -> tuple[float, float]:
        """Middle of the box."""
        x0, y0, x1, y1 = self.box_mm
        return (x0 + x1) / 2, (y0 + y1) / 2


def traces_of(poster: PosterReport) -> tuple[Trace, ...]:
    """Return the trace of every element: the report must still hold the ink masks."""
    return tuple(_trace(m) for m in poster.found)


def line_trace(line: Line, *, name: str, box_mm: BoxMm, letter_mm: float, called: str | None = None) -> Trace:
    """Return the trace of one line.

    Parameters
    ----------
    name, called
        Its id, and what the brief calls it.
    """
    return Trace(
        id=name,
        kind="line",
        what="",
        name=called,
        box_mm=box_mm,
        size_mm=letter_mm,
        shape=gridded(line.mask, ROWS, COLUMNS),
        letters=_letters(line.mask),
        ink=line.ink_srgb8,
        ground=line.ground_srgb8,
    )


def _trace(m: Element) -> Trace:
    match m:
        case Measurement():
            return line_trace(m.line, name=m.id, box_mm=m.box_mm, letter_mm=m.letter_mm, called=m.name)
        case DetailMeasurement():
            mask, kind, what, called = m.detail.mask, "detail", m.detail.kind, m.name
            ink, ground = m.detail.ink_srgb8, m.detail.ground_srgb8
        case FigureMeasurement():
            mask, kind, called = m.figure.mask, "figure", m.name
            what = "picture" if m.figure.picture else "shape"
            ink, ground = m.figure.colour_srgb8, m.figure.ground_srgb8
    x0, y0, x1, y1 = m.box_mm
    return Trace(
        id=m.id,
        kind=kind,
        what=what,
        name=called,
        box_mm=m.box_mm,
        size_mm=((x1 - x0) * (y1 - y0)) ** 0.5,
        shape=gridded(mask, PATCH_CELLS, PATCH_CELLS),
        letters=np.zeros((0, ROWS, LETTER_COLUMNS)),
        ink=ink,
        ground=ground,
        feature_mm=m.detail.feature_mm if isinstance(m, DetailMeasurement) else None,
    )


def gridded(mask: Mask, rows: int, columns: int) -> Floats:
    """Return a mask averaged over the cells of a grid: (rows, columns), 1 where a cell is full of ink."""
    return _averaged(_averaged(np.asarray(mask, dtype=np.float64), rows).T, columns).T


def _averaged(picture: Floats, cells: int) -> Floats:
    """Average the rows of a picture over so many cells of one size, which may cut through rows."""
    sums = np.concatenate([np.zeros((1, picture.shape[1])), picture.cumsum(axis=0)])
    edge = np.linspace(0, len(picture), cells + 1)
    below = np.minimum(edge.astype(int), len(picture) - 1)
    at_edge = sums[below] + (edge - below)[:, None] * picture[below]
    return np.asarray(np.diff(at_edge, axis=0) * (cells / len(picture)))


def _letters(mask: Mask) -> Floats:
    """Return each run of columns with ink on a grid of its own."""
    inked = np.r_[False, mask.any(axis=0), False]
    starts, stops = np.flatnonzero(inked[1:] & ~inked[:-1]), np.flatnonzero(inked[:-1] & ~inked[1:])
    runs = [gridded(mask[:, a:b], ROWS, LETTER_COLUMNS) for a, b in zip(starts, stops, strict=True)]
    return np.array(runs) if runs else np.zeros((0, ROWS, LETTER_COLUMNS))


def shape_likeness(a: Trace, b: Trace) -> float:
    """Return how alike the inks of two elements lie in their boxes: 1 for the same, about 0 for strangers.

    Lines are alike where either the lines as a whole are, or their letters one by one, as in a line that is
    spaced anew.
    """
    whole = _correlation(a.shape, b.shape)
    if len(a.letters) == len(b.letters) >= LEAST_LETTERS:
        return max(whole, _correlation(a.letters, b.letters))
    return whole


def _correlation(a: Floats, b: Floats) -> float:
    a, b = a.ravel() - a.mean(), b.ravel() - b.mean()
    both = float(np.sqrt((a @ a) * (b @ b)))
    if both > 0:
        return float(a @ b) / both
    return float(not a.any() and not b.any())  # even tones are alike, and like nothing else


def size_change(a: Trace, b: Trace) -> float:
    """Return how many times larger the one is than the other, in log."""
    return abs(log(max(a.size_mm, 1e-9) / max(b.size_mm, 1e-9)))


def colour_change(a: Trace, b: Trace) -> float:
    """Return how far apart inks and grounds are in OKLab, averaged; black and white are 1 apart."""
    pairs = ((a.ink, b.ink), (a.ground, b.ground))
    return float(np.mean([np.linalg.norm(srgb8_to_oklab(one) - srgb8_to_oklab(other)) for one, other in pairs]))
