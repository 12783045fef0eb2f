"""Area averages of pixels, in linear light: whole blocks of them, strip by strip."""

from functools import cache
from math import ceil

import numpy as np
import numpy.typing as npt

from standback.artwork.model import LinearPicture, Srgb8Picture
from standback.light import srgb8_to_linear
from standback.threads import each

_STRIP_PX = 100_000
"""Small enough for the processor's cache."""
_MANY_STRIPS = 16
"""From so many on, a second thread pays."""

Floats = npt.NDArray[np.float32]


def averaged(srgb8: Srgb8Picture, scale: int, halvings: int = 0) -> LinearPicture:
    """Average sRGB codes in linear light over blocks of `scale` x `scale` pixels, then over 2 x 2 of these.

    Parameters
    ----------
    srgb8
        (H, W, 3) uint8; blocks start at its top left corner.
    scale
        1 or more.
    halvings
        How many times four averages become one.

    Returns
    -------
    (ceil(H / s), ceil(W / s), 3) float32, linear sRGB, with s = scale * 2 ** halvings. The last row and column
    average the pixels that are there.
    """
    if scale == 1:
        return srgb8_to_linear(srgb8) if halvings == 0 else averaged(srgb8, 2, halvings - 1)
    block = scale << halvings
    height, width = srgb8.shape[:2]
    linear = np.empty((ceil(height / block), ceil(width / block), 3), np.float32)
    rows = max(1, _STRIP_PX // (width * block))

    def fill(top: int) -> None:
        strip: Srgb8Picture = srgb8[top * block : (top + rows) * block]
        sums = _sums_of_rows(strip, scale)
        means, cover_y, cover_x = _means_of_sums(sums, _cover(len(strip)), _cover(width), scale)
        for _ in range(halvings):
            means, cover_y, cover_x = block_means(means, cover_y, cover_x, 2)
        linear[top : top + rows] = means

    tops = range(0, len(linear), rows)
    if len(tops) < _MANY_STRIPS:
        for top in tops:
            fill(top)
    else:
        each(fill, tops)
    return linear


def halved_once_more(linear: LinearPicture, lengths_px: tuple[int, int], scale: int, halvings: int) -> LinearPicture:
    """Average 2 x 2 of what `averaged` made of so many rows and columns of pixels."""
    cover_y, cover_x = (_cover(length, scale, halvings) for length in lengths_px)
    return block_means(linear, cover_y, cover_x, 2)[0]


def _cover(length_px: int, scale: int = 1, halvings: int = 0) -> Floats:
    """Return how much of its block each sample along one axis stands for: 1, the last perhaps less."""
    samples = ceil(length_px / scale)
    cover = np.ones(samples, np.float32)
    cover[-1] = (length_px - (samples - 1) * scale) / scale
    for _ in range(halvings):
        cover = _run_sums(cover, np.ones_like(cover), 2, 0) / np.float32(2)
    return cover


def block_means(
    linear: LinearPicture, cover_y: Floats, cover_x: Floats, step: int
) -> tuple[LinearPicture, Floats, Floats]:
    """Average blocks of `step` x `step` samples, each weighted by the area it stands for.

    Returns the means and the cover of the new samples along y and x.
    """
    return _means_of_sums(_run_sums(linear, cover_y, step, 0), cover_y, cover_x, step)


def _means_of_sums(sums: Floats, cover_y: Floats, cover_x: Floats, step: int) -> tuple[LinearPicture, Floats, Floats]:
    """Go on from what `step` rows sum up to."""
    sums = _run_sums(sums, cover_x, step, 1)
    area_y, area_x = (_run_sums(cover, np.ones_like(cover), step, 0) for cover in (cover_y, cover_x))
    sums /= area_y[:, None, None]
    sums /= area_x[None, :, None]
    return sums, area_y / np.float32(step), area_x / np.float32(step)


@cache
def _of_two_codes() -> Floats:
    """Linear light of two codes together, at 256 times the first plus the second: half as much to look up."""
    linear = srgb8_to_linear(np.arange(256))
    table: Floats = np.add.outer(linear, linear).astype(np.float32).ravel()
    table.setflags(write=False)
    return table


def _sums_of_rows(srgb8: Srgb8Picture, step: int) -> Floats:
    """Sum the linear light of runs of `step` rows; the last run may be shorter."""
    first, second = srgb8[::step], srgb8[1::step]
    sums = np.empty(first.shape, np.float32)
    both = first[: len(second)].astype(np.uint16) << np.uint16(8)
    both |= second
    np.take(_of_two_codes(), both.astype(np.intp), out=sums[: len(second)], mode="clip")
    if len(second) < len(first):
        sums[-1] = srgb8_to_linear(first[-1])
    for offset in range(2, step):
        part = srgb8[offset::step]
        sums[: len(part)] += srgb8_to_linear(part)
    return sums


def _run_sums(samples: Floats, cover: Floats, step: int, axis: int) -> Floats:
    """Sum runs of `step` samples times their cover along an axis; the last run may be shorter."""
    shape = list(samples.shape)
    shape[axis] = ceil(shape[axis] / step)
    sums = np.empty(shape, np.float32)
    # Along x one channel at a time: numpy's inner loop is then a row long, not three numbers: 5 times faster.
    channels = range(3) if axis == 1 else (slice(None),)
    for channel in channels:
        runs, along = (np.moveaxis(a[..., channel], axis, 0) for a in (sums, samples))
        first, second = along[::step], along[1::step]
        np.add(first[: len(second)], second, out=runs[: len(second)])
        runs[len(second) :] = first[len(second) :]
        for offset in range(2, step):
            part = along[offset::step]
            runs[: len(part)] += part
        # only the last sample can stand for less than a whole block
        if cover[-1] != 1:
            runs[-1] -= (1 - cover[-1]) * along[-1]
    return sums
