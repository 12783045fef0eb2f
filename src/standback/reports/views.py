"""The sheet, and parts of it, at the size they are shown: in linear light, sharp or as seen."""

from dataclasses import replace

import numpy as np
import numpy.typing as npt
from PIL import Image

from standback.artwork import Artwork, with_levels
from standback.light import linear_to_srgb8, srgb8_to_linear
from standback.stock import Stock
from standback.viewing import WALL_LUMINANCE1, seen_on_wall

Picture = npt.NDArray[np.float32]
Size = tuple[int, int]
Part = tuple[float, float, float, float]


def fitted(artwork: Artwork, long_px: int) -> Size:
    """Return the size in px of the sheet with this long side."""
    scale = long_px / max(artwork.width_mm, artwork.height_mm)
    return max(1, round(artwork.width_mm * scale)), max(1, round(artwork.height_mm * scale))


def as_printed(artwork: Artwork, stock: Stock) -> Artwork:
    """Return the artwork with its paper as white and its inks no darker than they print."""
    codes = linear_to_srgb8(stock.of_paper1(srgb8_to_linear(np.arange(256))))
    return with_levels(replace(artwork, srgb8=codes[artwork.srgb8]))


def resized(linear: Picture, size: Size, part: Part) -> Picture:
    """Resize a part (x0, y0, x1, y1) of a linear picture.

    Shrinking averages over areas with soft rims: with hard ones fine hatching would leave a moiré.
    """
    shrinks = size[0] <= part[2] - part[0]
    way = Image.Resampling.HAMMING if shrinks else Image.Resampling.BICUBIC
    rows, columns = linear.shape[:2]
    box = (max(part[0], 0.0), max(part[1], 0.0), min(part[2], float(columns)), min(part[3], float(rows)))
    planes = [Image.fromarray(np.ascontiguousarray(linear[..., n])).resize(size, way, box) for n in range(3)]
    return np.stack([np.asarray(plane) for plane in planes], axis=-1)


def hung_sheet(
    artwork: Artwork, distance_m: float, pupil_mm: float, size: Size, *, most_wall_px: int, shown_px: int | None = None
) -> tuple[Picture, int]:
    """Return the sheet as seen on a plain wall, at a size.

    Parameters
    ----------
    size
        Width and height of the sheet in px.
    most_wall_px
        Most of the wall around the sheet that is drawn as seen; it fades into the plain wall.
    shown_px
        How large the sheet counts as shown, for the samples that are looked at; None: as `size` says.

    Returns
    -------
    The picture in linear light, and how many px of wall it holds on every side.
    """
    width, height = size
    trim = artwork.trim_px
    seen = seen_on_wall(artwork, distance_m, pupil_mm, shown_px=shown_px or max(size))
    samples_x = trim.width / seen.scale_px / width
    samples_y = trim.height / seen.scale_px / height
    left = (trim.x0 - seen.origin_px[0]) / seen.scale_px
    top = (trim.y0 - seen.origin_px[1]) / seen.scale_px
    wall = min(most_wall_px, int(left / samples_x), int(top / samples_y))
    part = (
        left - wall * samples_x,
        top - wall * samples_y,
        left + (width + wall) * samples_x,
        top + (height + wall) * samples_y,
    )
    shown = resized(seen.linear, (width + 2 * wall, height + 2 * wall), part)
    fade = np.minimum.outer(_fade(height, wall), _fade(width, wall))[..., None]
    return WALL_LUMINANCE1 + (shown - WALL_LUMINANCE1) * fade, wall


def _fade(side: int, wall: int) -> Picture:
    """Return weights along a picture's side: 1 on the sheet, down to 0 at the end of the wall."""
    place = np.arange(side + 2 * wall) + 0.5 - wall
    outside = np.maximum(np.maximum(-place, place - side), 0) / max(wall, 1)
    return np.asarray(1 - outside**2, dtype=np.float32)
