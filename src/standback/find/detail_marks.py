"""Fine marks: connected pieces of thin pixels, with the numbers that tell strokes and dots from tips of shapes."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.find.detail_thin import DARK, Bytes, Codes, Flags, Indices, Place, Thin

Doubles = npt.NDArray[np.float64]

INK_POWER = 4
"""Pixels weigh by this power of their contrast in a mark's own colour: rims hardly count (ours)."""
CONTACT_COVER = 0.65
"""A neighbour with so much of the ink that yet isn't thin belongs to a larger shape (ours)."""
DOT_SLENDER, DOTTED_SHARE = 1.3, 0.6
"""Marks up to about three times as long as wide are dots, and many that are mostly such are dotted (ours)."""
_AT_A_TIME = 1 << 16
_EIGHT = np.ones((3, 3), dtype=np.bool_)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Marks:
    """Many marks side by side. Lengths in samples of the finest level, colours in sRGB codes.

    Attributes
    ----------
    x0, y0, x1, y1, area, half_outline, by_rows, by_columns, contact
        (N,) each: half-open box, samples, half the length of the outline (for a stroke its length and
        its width), how many runs of it rows and columns meet, and along how many samples of its outline a
        mark runs into a larger shape of its colour.
    ink, ground
        (N, 3).
    dark
        (N,).
    pixels, owner
        (M,) flat index on the level, and which mark it is of.
    """

    x0: Doubles
    y0: Doubles
    x1: Doubles
    y1: Doubles
    area: Doubles
    half_outline: Doubles
    by_rows: Doubles
    by_columns: Doubles
    contact: Doubles
    ink: Doubles
    ground: Doubles
    dark: Flags
    pixels: Indices
    owner: Indices

    def __len__(self) -> int:
        """Return how many marks there are."""
        return len(self.area)

    @property
    def width(self) -> Doubles:
        """Width of a stroke of this area and outline; of a dot, its diameter."""
        half = self.half_outline
        square = half**2 - 4 * self.area
        return np.where(self.slender > 1, (half - np.sqrt(np.maximum(square, 0))) / 2, 1.1284 * self.area**0.5)

    @property
    def slender(self) -> Doubles:
        """0.62 for a disc, 1 for a square, a quarter of length / width for a long stroke."""
        return self.half_outline**2 / (4 * self.area)

    @property
    def dot_share(self) -> float:
        """Share of their area that is dots rather than strokes."""
        return float(self.area[self.slender < DOT_SLENDER].sum() / max(self.area.sum(), 1e-9))

    @property
    def dotted(self) -> bool:
        """Whether they are dots rather than strokes."""
        return self.dot_share > DOTTED_SHARE

    def of(self, chosen: Flags) -> Self:
        """Return some of the marks."""
        renumber = np.cumsum(chosen) - 1
        kept = chosen[self.owner]
        lists = ("pixels", "owner")
        fields = {n: getattr(self, n)[chosen] for n in self.__dataclass_fields__ if n not in lists}
        return type(self)(pixels=self.pixels[kept], owner=renumber[self.owner[kept]], **fields)


def joined(one: Marks, other: Marks) -> Marks:
    """Put two lots of marks side by side."""
    fields = {n: np.concatenate([getattr(one, n), getattr(other, n)]) for n in one.__dataclass_fields__ if n != "owner"}
    return Marks(owner=np.concatenate([one.owner, other.owner + len(one)]), **fields)


def marks_of(codes: Codes, thin: Thin, polarity: int) -> Marks:
    """Join the thin pixels of a polarity to marks, and measure each."""
    place = _place_of(thin.polarity > 0)
    where = thin.polarity[place] == polarity
    mask, width = np.pad(where, 1), where.shape[1] + 2
    labels, count = ndimage.label(mask, structure=_EIGHT)
    flat, at = mask.ravel(), np.flatnonzero(mask)
    owner = labels.ravel()[at].astype(np.intp)
    owner -= 1
    del labels
    inks, grounds = _colours(
        list(codes.within(place, where)), [plane[place][where] for plane in thin.ground], owner, count
    )
    y, x = np.nonzero(where)
    y += place[0].start
    x += place[1].start
    pixels = y * codes.width + x
    x0, y0, x1, y1 = (np.zeros(count, dtype=np.intp) for _ in range(4))
    # of several pixels the last one counts, and they run down the sheet
    y0[owner[::-1]], y1[owner] = y[::-1], y
    x0[owner] = x
    x1[owner] = x
    np.minimum.at(x0, owner, x)
    np.maximum.at(x1, owner, x)
    del y, x
    outlines = _outlines(flat, at, width, owner, count)
    return Marks(
        x0=x0.astype(np.float64),
        y0=y0.astype(np.float64),
        x1=x1 + 1.0,
        y1=y1 + 1.0,
        area=outlines.area,
        half_outline=outlines.half_outline,
        by_rows=outlines.by_rows,
        by_columns=outlines.by_columns,
        contact=_contact(codes, place, np.pad(thin.polarity[place] > 0, 1).ravel(), at, owner, inks, grounds),
        ink=inks,
        ground=grounds,
        dark=np.full(count, polarity == DARK),
        pixels=pixels,
        owner=owner,
    )


def _place_of(flags: Flags) -> Place:
    """Return the rows and columns that hold all flags (h, w) that are set; none where none is."""
    rows, columns = (np.flatnonzero(flags.any(axis=axis)) for axis in (1, 0))
    if not len(rows):
        return slice(0, 0), slice(0, 0)
    return slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)


def _colours(value: Sequence[Bytes], ground: Sequence[Bytes], owner: Indices, count: int) -> tuple[Doubles, Doubles]:
    """Return the mean colour of each mark and of its ground, (N, 3) each, weighed by contrast.

    Parameters
    ----------
    value, ground
        Red, green and blue, (M,) each, of the pixels.
    """

    def total(weights: Doubles) -> Doubles:
        return np.bincount(owner, weights=weights, minlength=count).astype(np.float64)

    red, green, blue = (np.maximum(v, g) - np.minimum(v, g) for v, g in zip(value, ground, strict=True))
    contrast = np.maximum(np.maximum(red, green), blue)
    weight = (np.arange(256, dtype=np.float64) ** INK_POWER)[contrast]
    weighed = np.maximum(total(weight), 1e-9)
    inks, grounds = (
        np.stack([total(weight * codes) / weighed for codes in channels], axis=1) for channels in (value, ground)
    )
    return inks, grounds


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outlines:
    """Area, half the outline's length, and how many runs rows and columns meet, (N,) each."""

    area: Doubles
    half_outline: Doubles
    by_rows: Doubles
    by_columns: Doubles


def outlines_of(labels: npt.NDArray[np.int32]) -> Outlines:
    """Measure every piece of a labelled picture (h, w); 0 is ground."""
    padded = np.pad(labels, 1).ravel()
    at = np.flatnonzero(padded)
    return _outlines(padded > 0, at, labels.shape[1] + 2, padded[at].astype(np.intp) - 1, int(labels.max()))


def _outlines(flat: Flags, at: Indices, width: int, owner: Indices, count: int) -> Outlines:
    """Half the outline's length by Crofton's formula: runs met by lines in four directions.

    Reference: Serra (1982), ch. V; a corner shared by two diagonal neighbours is met by the diagonal
    that passes between them.
    """

    def number(flags: Flags) -> Doubles:
        return np.bincount(owner[flags], minlength=count).astype(np.float64)

    left, right, above, below = flat[at - 1], flat[at + 1], flat[at - width], flat[at + width]
    by_rows, by_columns = number(~left), number(~above)
    falling = number(~flat[at - width - 1]) + number(~left & ~below & flat[at + width - 1])
    rising = number(~flat[at - width + 1]) + number(~right & ~below & flat[at + width + 1])
    return Outlines(
        area=np.bincount(owner, minlength=count).astype(np.float64),
        half_outline=np.pi / 8 * (by_rows + by_columns + (falling + rising) / np.sqrt(2)),
        by_rows=by_rows,
        by_columns=by_columns,
    )


def _contact(
    codes: Codes, place: Place, flat: Flags, at: Indices, owner: Indices, inks: Doubles, grounds: Doubles
) -> Doubles:
    """Count the neighbours of each mark that have its ink but are not thin."""
    width = place[1].stop - place[1].start + 2
    axis = inks - grounds
    axis /= np.maximum((axis**2).sum(axis=1), 1e-9)[:, None]
    by_channel = [(np.ascontiguousarray(g), np.ascontiguousarray(a)) for g, a in zip(grounds.T, axis.T, strict=True)]
    touched: list[Indices] = [np.zeros(0, dtype=np.intp)]
    for start in range(0, len(at), _AT_A_TIME):
        part = slice(start, start + _AT_A_TIME)
        for step in (-1, 1, -width, width):
            beside = at[part] + step
            outside = ~flat[beside]
            beside, whose = beside[outside], owner[part][outside]
            y, x = np.divmod(beside, width)
            y += place[0].start - 1
            x += place[1].start - 1
            inside = (y >= 0) & (y < codes.height) & (x >= 0) & (x < codes.width)
            whose = whose[inside]
            cover = np.zeros(len(whose))
            for colour, (ground, along) in zip(codes.at(y[inside], x[inside]), by_channel, strict=True):
                cover += (colour - ground[whose]) * along[whose]
            touched.append(whose[cover >= CONTACT_COVER])
    return np.bincount(np.concatenate(touched), minlength=len(inks)).astype(np.float64)
