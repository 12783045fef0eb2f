"""Area averages in linear light: the working pyramid, and crops from the full resolution."""

from math import ceil

import numpy as np
import numpy.typing as npt

from standback.artwork.model import Artwork, Level, LinearPicture, Srgb8Picture
from standback.elements import Box
from standback.light import srgb8_to_linear

FINEST_PPI = 180.0
"""The first level is at most this fine (ours): text of 2.5 mm needs 100 to 150 ppi to be found."""
SMALLEST_SIDE_PX = 32
"""No level but the first has a shorter side than this."""
_STRIP_PX = 400_000
"""Small enough for the processor's cache."""
# A resolution written as whole px per metre, or a trim rounded to whole px, is not exact.
_PPI_SLACK = 0.01

Floats = npt.NDArray[np.float32]


def pyramid(artwork: Artwork) -> tuple[Level, ...]:
    """Build the working levels of an artwork over its trim, finest first.

    The first level averages whole blocks so that it has at most `FINEST_PPI`; every further one halves
    the one before. At the right and bottom edge a sample averages the pixels that are there.
    """
    trim = artwork.trim_px
    origin_px = (trim.x0, trim.y0)
    scale = max(1, ceil(artwork.ppi / FINEST_PPI - _PPI_SLACK))
    linear = linear_crop(artwork, trim, scale)
    cover_y, cover_x = _cover(trim.height, scale), _cover(trim.width, scale)
    levels = [Level(linear=linear, scale=scale, origin_px=origin_px)]
    while ceil(min(linear.shape[:2]) / 2) >= SMALLEST_SIDE_PX:
        scale *= 2
        linear, cover_y, cover_x = _block_means(linear, cover_y, cover_x, 2)
        levels.append(Level(linear=linear, scale=scale, origin_px=origin_px))
    return tuple(levels)


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
    srgb8 = artwork.srgb8[box.y0 : box.y1, box.x0 : box.x1]
    if scale == 1:
        return srgb8_to_linear(srgb8)
    linear = np.empty((ceil(box.height / scale), ceil(box.width / scale), 3), np.float32)
    cover_x = _cover(box.width, 1)
    rows = max(1, _STRIP_PX // (box.width * scale))
    for top in range(0, len(linear), rows):
        strip: Srgb8Picture = srgb8[top * scale : (top + rows) * scale]
        linear[top : top + rows], _, _ = _block_means(srgb8_to_linear(strip), _cover(len(strip), 1), cover_x, scale)
    return linear


def _cover(length_px: int, scale: int) -> Floats:
    """Return how much of its block each sample along one axis stands for: 1, the last perhaps less."""
    samples = ceil(length_px / scale)
    cover = np.ones(samples, np.float32)
    cover[-1] = (length_px - (samples - 1) * scale) / scale
    return cover


def _block_means(
    linear: LinearPicture, cover_y: Floats, cover_x: Floats, step: int
) -> tuple[LinearPicture, Floats, Floats]:
    """Average blocks of `step` x `step` samples, each weighted by the area it stands for.

    Returns the means and the cover of the new samples along y and x.
    """
    sums = _run_sums(linear, cover_y, step, 0)
    sums = _run_sums(sums, cover_x, step, 1)
    area_y, area_x = (_run_sums(cover, np.ones_like(cover), step, 0) for cover in (cover_y, cover_x))
    sums /= area_y[:, None, None]
    sums /= area_x[None, :, None]
    return sums, area_y / np.float32(step), area_x / np.float32(step)


def _run_sums(samples: Floats, cover: Floats, step: int, axis: int) -> Floats:
    """Sum runs of `step` samples times their cover along an axis; the last run may be shorter."""
    shape = list(samples.shape)
    shape[axis] = ceil(shape[axis] / step)
    sums = np.zeros(shape, np.float32)
    # Along x one channel at a time: numpy's inner loop is then a row long, not three numbers: 5 times faster.
    channels = range(3) if axis == 1 else (slice(None),)
    for channel in channels:
        runs, along = (np.moveaxis(a[..., channel], axis, 0) for a in (sums, samples))
        for offset in range(step):
            part = along[offset::step]
            runs[: len(part)] += part
        # only the last sample can stand for less than a whole block
        runs[-1] -= (1 - cover[-1]) * along[-1]
    return sums
