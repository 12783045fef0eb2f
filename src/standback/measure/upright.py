"""A line of text set upright: its ink turned level, and finer where its letters are small."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, cos, floor, radians, sin

import numpy as np
import numpy.typing as npt
from scipy.ndimage import affine_transform, spline_filter

from standback.artwork import Artwork
from standback.elements import Box, Line, Mask
from standback.masks import grown

Floats = npt.NDArray[np.float32]
Doubles = npt.NDArray[np.float64]

FINE_LETTER = 56.0
"""Letters lower than this, in samples, are enlarged before ink is parted from ground: a hard edge on a
coarse grid is wrong by half a sample (ours)."""
MOST_ENLARGED = 4
"""Beyond this nothing more is gained."""
LEVEL_DEG = 0.3
"""Lines that lean less are level: over 20 letters that is a tenth of their height (ours)."""
RIM_SAMPLES = 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Upright:
    """A line's ink with its reading direction to the right.

    Attributes
    ----------
    ink
        (H, W) where ink covers more than half.
    sample_px
        Original pixels a sample.
    """

    ink: Mask
    sample_px: float
    _matrix: tuple[tuple[float, float], tuple[float, float]]
    _offset: tuple[float, float]

    def to_px(self, x: float, y: float) -> tuple[float, float]:
        """Return the place in original pixels, x before y, of one in samples of the line's own frame."""
        (row_y, row_x), (column_y, column_x) = self._matrix
        row, column = self._offset
        return column_y * y + column_x * x + column, row_y * y + row_x * x + row

    def box_px(self, x0: float, y0: float, x1: float, y1: float) -> Box:
        """Return the box in original pixels around one in the line's own frame."""
        xs, ys = zip(*(self.to_px(x, y) for x in (x0, x1) for y in (y0, y1)), strict=True)
        left, top = floor(min(xs)), floor(min(ys))
        return Box(x0=left, y0=top, x1=max(ceil(max(xs)), left + 1), y1=max(ceil(max(ys)), top + 1))


def upright(line: Line, artwork: Artwork, letter_px: float) -> Upright:
    """Set a line upright.

    Parameters
    ----------
    artwork
        Where small letters are read anew: between the pixels, and finer than the line's own samples.
    letter_px
        Height of its tall letters.
    """
    letter_px = max(letter_px, 1.0)
    scale = max((n for n in _divisors(line.mask_scale) if letter_px >= FINE_LETTER * n), default=1)
    zoom = min(ceil(FINE_LETTER * scale / letter_px), MOST_ENLARGED)
    level = abs(line.angle_deg) < LEVEL_DEG
    origin = np.array([line.box_px.y0, line.box_px.x0], dtype=np.float64)
    if level and zoom == 1:
        ink = line.mask if scale == line.mask_scale else _cover(line, artwork, scale) > 0.5
        return _upright(ink, float(scale), scale * np.eye(2), origin)
    cover = _cover(line, artwork, scale)
    height, width = cover.shape
    # a step along the line in its own frame is (cos, -sin) on the sheet, whose y runs down
    turn = 0.0 if level else radians(line.angle_deg)
    matrix = np.array([[cos(turn), -sin(turn)], [sin(turn), cos(turn)]]) / zoom
    size = _size_within(height, width, turn)
    new = (ceil(size[0] * zoom), ceil(size[1] * zoom))
    middle = np.array([height, width]) / 2 - matrix @ (np.array(new) / 2)
    # places are at the corners of samples, values at their middles
    shift = middle + matrix @ (0.5, 0.5) - 0.5
    if level and new == (height * zoom, width * zoom):
        fine = finer(cover, zoom, shift)
    else:
        fine = affine_transform(cover, matrix, shift, new, order=3 if zoom > 1 else 1)
    return _upright(fine > 0.5, scale / zoom, scale * matrix, origin + scale * middle)


def finer(cover: Floats, times: int, shift: Doubles) -> Floats:
    """Put so many samples a side in the place of each, on cubic splines; 0 beyond the middles of the outermost ones.

    As an `affine_transform` does it that asks about each sample by itself, but by rows, then by columns: in a fifth
    of the time.

    Parameters
    ----------
    shift
        Where the first of the new samples lies, (row, column).
    """
    splines = spline_filter(cover, order=3, mode="constant")
    rows = _finer_rows(splines, times, float(shift[0]))
    return _finer_rows(rows.T, times, float(shift[1])).T.astype(np.float32)


def _finer_rows(splines: Doubles, times: int, shift: float) -> Doubles:
    count = len(splines)
    framed = np.pad(splines, ((2, 2), (0, 0)), mode="reflect")
    phases = np.empty((count, times, splines.shape[1]))
    for n in range(times):
        away = (n + 0.5) / times - 0.5
        first, t = (0, away + 1) if away < 0 else (1, away)
        weights = ((1 - t) ** 3, 3 * t**3 - 6 * t**2 + 4, 3 * (1 - t) ** 3 - 6 * (1 - t) ** 2 + 4, t**3)
        beside = (framed[first + k : first + k + count] for k in range(4))
        phases[:, n] = sum(weight / 6 * part for weight, part in zip(weights, beside, strict=True))
    fine = phases.reshape(-1, splines.shape[1])
    at = shift + np.arange(len(fine)) * (1 / times)
    fine[(at < 0) | (at > count - 1)] = 0
    return fine


def _upright(ink: Mask, sample_px: float, matrix: Doubles, offset: Doubles) -> Upright:
    (a, b), (c, d) = matrix.tolist()
    top, left = offset.tolist()
    return Upright(ink=ink, sample_px=sample_px, _matrix=((a, b), (c, d)), _offset=(top, left))


def _divisors(scale: int) -> Iterator[int]:
    """Yield the whole numbers of px that fill the samples of a mask."""
    return (n for n in range(1, scale + 1) if scale % n == 0)


def _size_within(height: int, width: int, turn: float) -> Sequence[float]:
    return (
        height * abs(cos(turn)) + width * abs(sin(turn)),
        width * abs(cos(turn)) + height * abs(sin(turn)),
    )


def _cover(line: Line, artwork: Artwork, scale: int) -> Floats:
    """Share of ink in each sample of the line's box, `scale` px wide: where it lies between ground and ink."""
    box = line.box_px
    codes = artwork.srgb8[box.y0 : box.y1, box.x0 : box.x1].astype(np.float32)
    if scale > 1:
        beyond = [(0, -length % scale) for length in codes.shape[:2]]
        codes = np.pad(codes, [*beyond, (0, 0)], mode="edge")
        rows, columns = codes.shape[0] // scale, codes.shape[1] // scale
        codes = codes.reshape(rows, scale, columns, scale, 3).mean(axis=(1, 3))
    ground, ink = (np.array(colour, dtype=np.float32) for colour in (line.ground_srgb8, line.ink_srgb8))
    axis = ink - ground
    cover = np.clip((codes - ground) @ axis / max(float(axis @ axis), 1.0), 0.0, 1.0)
    height, width = cover.shape
    finer = line.mask_scale // scale
    mask = line.mask.repeat(finer, axis=0).repeat(finer, axis=1)[:height, :width]
    near = grown(mask, RIM_SAMPLES * finer, corners=False)
    return np.asarray(np.where(near, cover, 0.0), dtype=np.float32)
