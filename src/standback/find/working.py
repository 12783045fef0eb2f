"""The pictures that the learned scorer looks at: sRGB from averaged linear light, octave by octave."""

from dataclasses import dataclass
from functools import cache
from math import ceil

import numpy as np
import numpy.typing as npt
from scipy import sparse

from standback.artwork.model import Artwork, Level, LinearPicture
from standback.find.scorer import MULTIPLE
from standback.light import linear_to_srgb1
from standback.threads import each

Floats = npt.NDArray[np.float32]

MOST_SURPLUS = 1.25
"""A level up to this much finer than wanted is taken as it is."""
SHORTEST_PX = 20
"""The coarsest picture's shorter side is at least so long, where the artwork's is: letters half as high as that are
still 10 samples high there (ours)."""
SMALL_PX, FRAME_PX = 160, 32
"""A picture whose shorter side is under so many samples gets so wide a frame of its edge's own colours: large letters
near the edge are else judged by what the scorer makes of the end of the world (ours)."""
_ROWS_AT_A_TIME = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Detail:
    """How fine the finest picture is, where the artwork has that much; cost goes with the square.

    Attributes
    ----------
    px_per_mm
        Samples per mm of the trim.
    least_long_px, most_long_px
        Limits of its long side.
    """

    px_per_mm: float
    least_long_px: float
    most_long_px: float


UPRIGHT_DETAIL = Detail(px_per_mm=2.8, least_long_px=1700, most_long_px=2800)
"""Letters of 2.5 mm are then 7 samples high, which the scorer can read (ours)."""
TURNED_DETAIL = Detail(px_per_mm=1.3, least_long_px=800, most_long_px=1250)
"""Turned lines are wanted from 5 mm up: 6.5 samples (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Picture:
    """One octave.

    Attributes
    ----------
    srgb1
        (H, W, 3) float32, sides padded to multiples of 8 with the edge's own colours.
    height, width
        Samples that are artwork, or the frame of a small picture.
    scale
        Original pixels a sample, along (y, x).
    origin_px
        (x, y) of the top left corner in original pixels.
    """

    srgb1: Floats
    height: int
    width: int
    scale: tuple[float, float]
    origin_px: tuple[float, float]


def pictures_of(artwork: Artwork, detail: Detail = UPRIGHT_DETAIL) -> tuple[Picture, ...]:
    """Return the octaves of an artwork, finest first."""
    linear, scale = _finest(artwork, detail)
    x, y = artwork.levels[0].origin_px
    found = []
    while True:
        height, width = linear.shape[:2]
        frame = FRAME_PX if min(height, width) < SMALL_PX else 0
        found.append(
            Picture(
                srgb1=_framed(linear, frame),
                height=height + 2 * frame,
                width=width + 2 * frame,
                scale=scale,
                origin_px=(x - frame * scale[1], y - frame * scale[0]),
            )
        )
        if min(height, width) < 2 * SHORTEST_PX:
            return tuple(found)
        linear = _halved(linear)
        scale = (scale[0] * 2, scale[1] * 2)


def encoded(linear: LinearPicture) -> Floats:
    """Encode linear light as sRGB on the scale 0-1, within 0.0005."""
    codes = np.empty(linear.shape, np.float32)
    _encode(linear, codes)
    return codes


def _framed(linear: LinearPicture, frame: int) -> Floats:
    """Encode linear light in a frame of its edge's own colours, and repeat the last row and column as `padded` does."""
    height, width = linear.shape[:2]
    sides = (n + 2 * frame for n in (height, width))
    # laid where it stays: new memory costs as much as what is put into it
    whole = np.empty((*(n + -n % MULTIPLE for n in sides), 3), np.float32)
    rows = whole[frame : frame + height]
    _encode(linear, rows[:, frame : frame + width])
    rows[:, :frame], rows[:, frame + width :] = rows[:, frame, None], rows[:, frame + width - 1, None]
    whole[:frame], whole[frame + height :] = rows[0], rows[-1]
    return whole


def _encode(linear: LinearPicture, codes: Floats) -> None:
    def fill(top: int) -> None:
        part = slice(top, top + _ROWS_AT_A_TIME)
        place = np.clip(linear[part], 0, 1)
        np.sqrt(place, out=place)
        place *= np.float32(4095)
        place += np.float32(0.5)
        codes[part] = _codes().take(place.astype(np.intp), mode="clip")

    each(fill, range(0, len(linear), _ROWS_AT_A_TIME))


def padded(srgb1: Floats) -> Floats:
    """Repeat the last row and column until both sides are multiples of 8."""
    height, width = srgb1.shape[:2]
    return np.pad(srgb1, ((0, -height % MULTIPLE), (0, -width % MULTIPLE), (0, 0)), mode="edge")


@cache
def _codes() -> Floats:
    # spaced by square roots, which is nearly how sRGB is spaced
    linear = (np.arange(4096) / 4095) ** 2
    codes: Floats = linear_to_srgb1(linear).astype(np.float32)
    return codes


def _finest(artwork: Artwork, detail: Detail) -> tuple[LinearPicture, tuple[float, float]]:
    """Return the finest picture and its scale: a level of the artwork, averaged down where it is too fine."""
    long_mm = max(artwork.width_mm, artwork.height_mm)
    want_px = min(max(detail.px_per_mm * long_mm, detail.least_long_px), detail.most_long_px)
    level = next((one for one in reversed(artwork.levels) if max(one.shape) >= 0.99 * want_px), artwork.levels[0])
    height, width = level.shape
    surplus = max(height, width) / want_px
    if surplus <= MOST_SURPLUS:
        return level.linear, (level.scale, level.scale)
    new = (ceil(height / surplus), ceil(width / surplus))
    return _averaged(level, new), (level.scale * height / new[0], level.scale * width / new[1])


def _averaged(level: Level, shape: tuple[int, int]) -> LinearPicture:
    """Shrink to a shape, each new sample the mean of the area it covers."""
    height, width = level.shape
    down, across = _overlaps(height, shape[0]), _overlaps(width, shape[1])
    picture = np.empty((*shape, 3), np.float32)

    def fill(top: int) -> None:
        band = down[top : top + _ROWS_AT_A_TIME]
        first, end = int(band.indices.min()), int(band.indices.max()) + 1
        part = level.part(slice(first, end), slice(0, width)).reshape(end - first, -1)
        rows = (band[:, first:end] @ part).reshape(-1, width, 3).transpose(1, 0, 2).reshape(width, -1)
        columns = (across @ rows).reshape(shape[1], -1, 3)
        picture[top : top + _ROWS_AT_A_TIME] = columns.transpose(1, 0, 2)

    each(fill, range(0, shape[0], _ROWS_AT_A_TIME))
    return picture


def _overlaps(old: int, new: int) -> sparse.csr_array:
    """Share of each new sample (row) that each old one (column) fills."""
    edges = np.linspace(0, old, new + 1)
    first = np.floor(edges[:-1]).astype(int)
    most = ceil(old / new) + 1
    columns = first[:, None] + np.arange(most)
    share = np.minimum(columns + 1, edges[1:, None]) - np.maximum(columns, edges[:-1, None])
    share = np.maximum(share, 0) * (new / old)
    rows = np.repeat(np.arange(new), most)
    inside = (share > 0).ravel() & (columns < old).ravel()
    return sparse.csr_array(
        (share.ravel()[inside].astype(np.float32), (rows[inside], columns.ravel()[inside])), shape=(new, old)
    )


def _halved(linear: LinearPicture) -> LinearPicture:
    height, width = (n // 2 * 2 for n in linear.shape[:2])
    even = linear[:height, :width]
    picture: LinearPicture = (even[::2, ::2] + even[1::2, ::2] + even[::2, 1::2] + even[1::2, 1::2]) * np.float32(0.25)
    return picture
