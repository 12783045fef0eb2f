"""The working pyramid of an artwork, and crops from its full resolution."""

from dataclasses import dataclass, replace
from math import ceil

import numpy as np

from standback.artwork.averages import averaged, halved_once_more
from standback.artwork.model import Artwork, HeldLevel, Level, LinearPicture, Srgb8Picture
from standback.elements import Box
from standback.light import linear_to_srgb8
from standback.threads import each

FINEST_PPI = 180.0
"""The first level is at most this fine (ours): text of 2.5 mm needs 100 to 150 ppi to be found."""
SMALLEST_SIDE_PX = 32
"""No level but the first has a shorter side than this."""
MOST_HELD_PX = 2800
"""A level with a longer side is averaged anew wherever a part of it is looked at (ours): held, it would take four
times the memory of its pixels, and longer to fill than all looks at parts of it. Lines are searched on no finer one."""
_STRIP_PX = 100_000
"""Small enough for the processor's cache."""
# A resolution written as whole px per metre, or a trim rounded to whole px, is not exact.
_PPI_SLACK = 0.01


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PixelLevel:
    """A level that is averaged from the pixels whenever a part of it is looked at.

    Attributes
    ----------
    srgb8
        (H, W, 3) uint8, the trimmed sheet.
    first_scale, halvings
        Pixels along each axis that the first level averages, and how often that is halved.
    """

    srgb8: Srgb8Picture
    first_scale: int
    halvings: int
    origin_px: tuple[int, int]

    @property
    def scale(self) -> int:
        """Original pixels per sample along each axis."""
        return self.first_scale << self.halvings

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns of samples."""
        return ceil(self.srgb8.shape[0] / self.scale), ceil(self.srgb8.shape[1] / self.scale)

    @property
    def linear(self) -> LinearPicture:
        """(h, w, 3) float32 in [0, 1], linear sRGB: all of it, made anew."""
        return averaged(self.srgb8, self.first_scale, self.halvings)

    def part(self, rows: slice, columns: slice) -> LinearPicture:
        """Return a part of it, made anew: to the last bit what it is in `linear`."""
        (y0, y1, _), (x0, x1, _) = (part.indices(n) for part, n in zip((rows, columns), self.shape, strict=True))
        pixels: Srgb8Picture = self.srgb8[
            y0 * self.scale : max(y0, y1) * self.scale, x0 * self.scale : max(x0, x1) * self.scale
        ]
        return averaged(pixels, self.first_scale, self.halvings)


def with_levels(artwork: Artwork) -> Artwork:
    """Return an artwork with its working levels over its trim, finest first, in place of any it has.

    The first level averages whole blocks so that it has at most `FINEST_PPI`; every further one halves
    the one before. At the right and bottom edge a sample averages the pixels that are there.
    """
    trim = artwork.trim_px
    srgb8 = artwork.srgb8[trim.y0 : trim.y1, trim.x0 : trim.x1]
    origin_px = (trim.x0, trim.y0)
    scale = max(1, ceil(artwork.ppi / FINEST_PPI - _PPI_SLACK))
    level = PixelLevel(srgb8=srgb8, first_scale=scale, halvings=0, origin_px=origin_px)
    levels: list[Level] = []
    while max(level.shape) > MOST_HELD_PX and ceil(min(level.shape) / 2) >= SMALLEST_SIDE_PX:
        levels.append(level)
        level = PixelLevel(srgb8=srgb8, first_scale=scale, halvings=level.halvings + 1, origin_px=origin_px)
    halvings, lengths_px = level.halvings, (trim.height, trim.width)
    held = HeldLevel(linear=level.linear, scale=level.scale, origin_px=origin_px)
    levels.append(held)
    while ceil(min(held.shape) / 2) >= SMALLEST_SIDE_PX:
        linear = halved_once_more(held.linear, lengths_px, scale, halvings)
        halvings += 1
        held = HeldLevel(linear=linear, scale=2 * held.scale, origin_px=origin_px)
        levels.append(held)
    return replace(artwork, levels=tuple(levels))


def srgb8_of(level: Level) -> Srgb8Picture:
    """Encode a level as sRGB codes, (h, w, 3) uint8, strip by strip."""
    height, width = level.shape
    srgb8 = np.empty((height, width, 3), np.uint8)
    rows = max(1, _STRIP_PX // width)

    def fill(top: int) -> None:
        srgb8[top : top + rows] = linear_to_srgb8(level.part(slice(top, top + rows), slice(0, width)))

    each(fill, range(0, height, rows))
    return srgb8


def linear_crop(artwork: Artwork, box: Box, scale: int) -> LinearPicture:
    """Return a box of the artwork in linear light, averaged over blocks of `scale` x `scale` pixels.

    Parameters
    ----------
    box
        In original pixels, inside the file; blocks start at its top left corner.
    scale
        Original pixels per sample along each axis; 1 is the full resolution.

    Returns
    -------
    (ceil(height / scale), ceil(width / scale), 3) float32, linear sRGB. The last row and column average
    the pixels that are there.
    """
    if box.x0 < 0 or box.y0 < 0 or box.x1 > artwork.width_px or box.y1 > artwork.height_px:
        raise ValueError(f"{box} reaches beyond the artwork")
    if scale < 1:
        raise ValueError("scale is a whole number of 1 or more")
    return averaged(artwork.srgb8[box.y0 : box.y1, box.x0 : box.x1], scale)
