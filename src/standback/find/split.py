"""Parts ink from ground inside one band: how much of each sample is ink."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Self

import numpy as np
import numpy.typing as npt

from standback.artwork.model import Artwork
from standback.find.bands import Band
from standback.find.order import median, medians, quantile_of_ordered
from standback.light import linear_to_srgb1

Floats = npt.NDArray[np.float32]
Flags = npt.NDArray[np.bool_]

SIDE_BODIES, REACH_BODIES = 1.9, 1.9
"""How far around the band we look, in body heights: ascenders, descenders, accents and some ground."""
LEAST_APART = 9.0
"""Ink and ground closer than this, in codes, are one colour (ours)."""
OFF_AXIS_SHARE, OFF_AXIS_CODES = 0.6, 12.0
"""How far a colour may lie off the line from ground to ink and still count as a mixture of the two."""
MOST_COVER = 1.4
"""Colours this much farther from the ground than the ink, once that is known, are other ink (ours)."""
EVEN = 1.0
"""A ground whose three codes stray from one colour by less than this in all is even: rounding strays as far (ours)."""
DECIMALS = 3
"""Of codes that are fitted, not read."""
_SAMPLES = 4000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Window:
    """The surroundings of a band at the resolution they are measured at.

    Attributes
    ----------
    codes
        (H, W, 3) float32 sRGB codes, 0 to 255.
    scale
        Original pixels a sample.
    x0, y0
        Top left corner in original pixels: of the turned window, where it is one.
    middle, body
        The band's middle and body height, in samples from the top of the window.
    left, right
        The band's ends, in samples.
    at_edge
        Whether the window's left and right side is the edge of the sheet, where letters may be cut off.
    angle_deg
        Reading direction of the line on the artwork, counter-clockwise; in the window it runs level.
    """

    codes: Floats
    scale: int
    x0: float
    y0: float
    middle: float
    body: float
    left: float
    right: float
    at_edge: tuple[bool, bool]
    angle_deg: float = 0.0

    @classmethod
    def around(cls, artwork: Artwork, band: Band, side_bodies: float = SIDE_BODIES, scale: int = 1) -> Self | None:
        """Cut the window out of the artwork, `side_bodies` wider at either end; None off the sheet."""
        trim = artwork.trim_px
        x0, x1 = band.x0 - side_bodies * band.body_px, band.x1 + side_bodies * band.body_px
        y0, y1 = (band.middle_y + side * REACH_BODIES * band.body_px for side in (-1, 1))
        left, right = (int(np.clip((x - trim.x0) // scale, 0, trim.width // scale)) for x in (x0, x1 + scale))
        top, bottom = (int(np.clip((y - trim.y0) // scale, 0, trim.height // scale)) for y in (y0, y1 + scale))
        if right - left < 3 or bottom - top < 3:
            return None
        x, y = trim.x0 + left * scale, trim.y0 + top * scale
        return cls(
            codes=codes_at(artwork, scale, slice(top, bottom), slice(left, right)),
            scale=scale,
            x0=x,
            y0=y,
            middle=(band.middle_y - y) / scale,
            body=band.body_px / scale,
            left=(band.x0 - x) / scale,
            right=(band.x1 - x) / scale,
            at_edge=(left == 0, right >= trim.width // scale),
        )

    def band(self, x0: float, x1: float, score: float) -> Band:
        """Return the band from one sample along the line to another, on the artwork."""
        c, s, middle = cos(radians(self.angle_deg)), sin(radians(self.angle_deg)), (x0 + x1) / 2
        x, half = self.x0 + self.scale * (middle * c + self.middle * s), self.scale * (x1 - x0) / 2
        return Band(
            x0=x - half,
            x1=x + half,
            middle_y=self.y0 + self.scale * (self.middle * c - middle * s),
            body_px=self.body * self.scale,
            angle_deg=self.angle_deg,
            score=score,
        )

    def rows(self, above: float, below: float) -> slice:
        """Rows from `above` to `below` the middle, in body heights, downwards positive."""
        height = self.codes.shape[0]
        first = min(max(round(self.middle + above * self.body), 0), height - 1)
        return slice(first, max(first + 1, min(height, round(self.middle + below * self.body))))

    def columns(self, beyond: float) -> slice:
        """Columns of the band and `beyond` body heights on either side."""
        width = self.codes.shape[1]
        first = min(max(round(self.left - beyond * self.body), 0), width - 1)
        return slice(first, max(first + 1, min(width, round(self.right + beyond * self.body))))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Split:
    """A window with one of its two colours taken for the ink.

    Attributes
    ----------
    base
        The ground in codes at every sample, (H, W, 3), or (3,) where it is even.
    is_patchy
        The ink has one colour and the ground several, rather than both one slope.
    ink, ground
        The two colours in codes, the ground's at the middle of the window.
    cover
        (H, W) float32, 0 where the ground shows, 1 where ink covers all; unclipped.
    mask
        (H, W) where more than half is ink and the colour is a mixture of the two.
    """

    window: Window
    base: Floats
    ink: Floats
    ground: Floats
    cover: Floats
    mask: Flags
    is_patchy: bool = False

    @classmethod
    def of(cls, window: Window, base: Floats, ink: Floats, most_cover: float = np.inf) -> Self:
        """Part a window, `ink` (3,) being the ink's colour where the ground has its middle colour."""
        ground = base if base.ndim == 1 else _middle(base)
        cover, aside, length = _along(window.codes, base, ink - ground)
        mask = (cover > 0.5) & (aside < _most_aside(length))
        if most_cover < np.inf:
            mask &= cover < most_cover
        return cls(window=window, base=base, ink=ink, ground=ground, cover=cover, mask=mask)

    @classmethod
    def patchy(cls, window: Window, base: Floats, ink: Floats) -> Self:
        """Part a window whose ground (H, W, 3) changes under an ink of one colour."""
        cover, aside, length = _along(window.codes, base, ink - base)
        mask = (cover > 0.5) & (cover < np.maximum(MOST_COVER, 1 + OFF_AXIS_CODES / length))
        mask &= aside < _most_aside(length)
        ground = medians(base[window.rows(-0.5, 0.5), window.columns(0.0)].reshape(-1, 3))
        return cls(window=window, base=base, ink=ink, ground=ground, cover=cover, mask=mask, is_patchy=True)

    def with_colours(self, ink: Floats, ground: Floats) -> Self:
        """Part the window again with better colours; a gradient keeps its slope, a patchy ground its patches."""
        if self.is_patchy:
            return self.patchy(self.window, self.base, ink)
        return type(self).of(self.window, self.base + (ground - self.ground), ink, MOST_COVER)

    @property
    def apart(self) -> float:
        """Distance of ink and ground in codes."""
        return float(np.linalg.norm(self.ink - self.ground))


def codes_at(artwork: Artwork, scale: int, rows: slice, columns: slice) -> Floats:
    """Return a part of the trimmed artwork at a scale, in sRGB codes: (h, w, 3)."""
    if scale == 1:
        trim = artwork.trim_px
        codes: Floats = artwork.srgb8[trim.y0 : trim.y1, trim.x0 : trim.x1][rows, columns].astype(np.float32)
        return codes
    level = next(level for level in artwork.levels if level.scale == scale)
    return (linear_to_srgb1(level.part(rows, columns)) * 255).astype(np.float32)


def splits_of(window: Window, like: Floats | None = None) -> Iterator[Split]:
    """Yield both ways to part a window into ink and ground; nothing where there is one colour only.

    First that whose ink is the more `like` a colour (3,); left out: whose ground is what there is most of.
    """
    rows, columns = window.rows(-0.5, 0.5), window.columns(0.0)
    plane = _ground_plane(window)
    core = window.codes[rows, columns].reshape(-1, 3)
    some = slice(None, None, max(1, len(core) // _SAMPLES))
    two = _two_means(core[some] - (plane if plane.ndim == 1 else plane[rows, columns].reshape(-1, 3)[some]))
    if two is None:
        return
    inks = two + (plane if plane.ndim == 1 else _middle(plane))
    first = int(np.argmax(np.linalg.norm(two, axis=1)))
    if like is not None:
        first = int(np.argmin(np.linalg.norm(inks - like, axis=1)))
    for n in (first, 1 - first):
        yield Split.of(window, plane + two[1 - n], inks[n])


def _along(codes: Floats, base: Floats, axis: Floats) -> tuple[Floats, Floats, Floats]:
    """Return how far samples lie along an axis from their ground, how far beside it, and its length.

    The first as a share of the length, the second in codes, squared. One channel after the other: numpy is slow with
    threes. Nothing is raised to a power or multiplied by a number of Python's: of one colour older versions of numpy
    would make that a double.
    """
    squares = axis * axis
    length: Floats = np.sqrt(squares[..., 0] + squares[..., 1] + squares[..., 2])
    if axis.ndim > 1:
        length = np.maximum(length, np.float32(LEAST_APART))
    squared = length * length
    cover, aside = np.zeros((2, *codes.shape[:2]), np.float32)
    for channel in range(3):
        off = codes[..., channel] - base[..., channel]
        cover += off * (axis[..., channel] / squared)
        off *= off
        aside += off
    along = cover * length
    along *= along
    aside -= along
    return cover, aside, length


def _most_aside(length: Floats) -> Floats:
    """Return how far beside an axis so long a sample may lie, in codes, squared."""
    most: Floats = np.float32(OFF_AXIS_SHARE) * length + np.float32(OFF_AXIS_CODES)
    return most * most


def _middle(plane: Floats) -> Floats:
    """Colour half way along an even gradient: that of the window's centre."""
    colour: Floats = plane[plane.shape[0] // 2, plane.shape[1] // 2]
    return colour


def _two_means(colours: Floats) -> Floats | None:
    """Two colours (2, 3) that stand for all the others, started far apart on the main axis."""
    centred = colours - _mean(colours)
    axis = np.linalg.eigh(centred.T @ centred)[1][:, -1].astype(np.float32)
    along = centred @ axis
    ordered = np.sort(along)
    sums = np.cumsum(ordered, dtype=np.float64)
    low, high = quantile_of_ordered(ordered, 0.08), quantile_of_ordered(ordered, 0.92)
    if high - low < LEAST_APART / 2:
        low, high = float(ordered[0]), float(ordered[-1])
    for _ in range(10):
        middle = np.float32((low + high) / 2)
        under = int(np.searchsorted(ordered, middle, side="right"))
        over = len(ordered) - under
        if not under or not over:
            return None
        before = low, high
        low, high = float(sums[under - 1]) / under, float(sums[-1] - sums[under - 1]) / over
        if (low, high) == before:
            break
    if high - low < LEAST_APART:
        return None
    upper = along > middle
    two: Floats = np.stack([_mean(colours.take(np.flatnonzero(own), axis=0)) for own in (~upper, upper)])
    return two.round(DECIMALS)


def _mean(colours: Floats) -> Floats:
    """Return the mean (3,) of colours (N, 3), as numpy's to the bit: it adds rows of three at a fifth of this pace."""
    sums: Floats = np.array([np.cumsum(channel)[-1] for channel in colours.T], dtype=np.float32)
    return sums / np.float32(len(colours))


def _ground_plane(window: Window) -> Floats:
    """Slope of a gradient under the line as (H, W, 3) codes, or one colour (3,) where there is none.

    Least absolute deviations, so that letters, being fewer than the ground around them, don't tilt it.
    """
    rows, columns = window.rows(-0.9, 0.9), window.columns(0.2)
    part = window.codes[rows, columns]
    step = max(1, int(np.sqrt(part.shape[0] * part.shape[1] / _SAMPLES)))
    # a row for each channel and each term: numpy is slow with threes
    colours = np.ascontiguousarray(part[::step, ::step].reshape(-1, 3).T, dtype=np.float64)
    flat = medians(colours.T)
    even: Floats = flat.astype(np.float32)
    misfit_flat = median(np.abs(colours - flat[:, None]).sum(axis=0))
    if misfit_flat < EVEN:
        return even
    y, x = np.mgrid[0 : part.shape[0] : step, 0 : part.shape[1] : step]
    terms = np.stack([np.ones(x.size), x.ravel() / window.body, y.ravel() / window.body])
    weights = np.ones(x.size)
    for _ in range(6):
        weighted = terms * weights
        plane = np.linalg.lstsq(weighted @ terms.T, weighted @ colours.T, rcond=None)[0]
        misfit = np.abs(colours - plane.T @ terms).sum(axis=0)
        weights = 1 / np.maximum(misfit, 1.0)
    if median(misfit) > 0.6 * misfit_flat:
        return even
    height, width = window.codes.shape[:2]
    ys = (np.arange(height) - rows.start) / window.body
    xs = (np.arange(width) - columns.start) / window.body
    # what libraries of linear algebra differ by must not turn a sample into ink
    plane = plane.round(DECIMALS)
    tilted = plane[0] + xs[None, :, None] * plane[1] + ys[:, None, None] * plane[2]
    sloping: Floats = tilted.astype(np.float32)
    return sloping
