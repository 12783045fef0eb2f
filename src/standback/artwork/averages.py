"""Area averages of pixels, in linear light: whole blocks of them, strip by strip."""

from functools import cache
from math import ceil

import numpy as np
import numpy.typing as npt

from standback.artwork.model import LinearPicture, Srgb8Picture
from standback.light import srgb8_to_linear
from standback.threads import each

_STRIP_PX = 200_000
"""Small enough for the processor's cache."""
_MANY_STRIPS = 16
"""From so many on, a second thread pays."""

Floats = npt.NDArray[np.float32]
Covers = tuple[np.float32, np.float32]
"""How much of its block the last sample stands for, down and across."""


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
    whole = np.float32(1)
    rows = max(1, _STRIP_PX // (width * block))

    def fill(top: int) -> None:
        strip: Srgb8Picture = srgb8[top * block : (top + rows) * block]
        sums = _across(_sums_of_rows(strip, scale), scale, whole)
        cover_y, cover_x = _divided(sums, strip.shape[:2], scale, (whole, whole))
        for _ in range(halvings):
            sums, (cover_y, cover_x) = _halved(sums, (cover_y, cover_x))
        linear[top : top + rows] = sums

    tops = range(0, len(linear), rows)
    if len(tops) < _MANY_STRIPS:
        for top in tops:
            fill(top)
    else:
        each(fill, tops)
    return linear


def halved_once_more(linear: LinearPicture, lengths_px: tuple[int, int], scale: int, halvings: int) -> LinearPicture:
    """Average 2 x 2 of what `averaged` made of so many rows and columns of pixels."""
    covers = []
    for length in lengths_px:
        cover = _cover_of(length, scale, np.float32(1))
        for n in range(halvings):
            cover = _cover_of(ceil(length / (scale << n)), 2, cover)
        covers.append(cover)
    return _halved(linear, (covers[0], covers[1]))[0]


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
    of_code = srgb8_to_linear(np.arange(256))
    for offset in range(2, step):
        part = srgb8[offset::step]
        sums[: len(part)] += of_code.take(part.astype(np.intp))
    return sums


def _halved(linear: LinearPicture, covers: Covers) -> tuple[LinearPicture, Covers]:
    """Average 2 x 2 samples, each weighted by the area it stands for; also what the last new ones stand for."""
    sums = _across(_down(linear, covers[0]), 2, covers[1])
    height, width = linear.shape[:2]
    return sums, _divided(sums, (height, width), 2, covers)


def _down(samples: Floats, cover: np.float32) -> Floats:
    """Sum pairs of rows; the last of all stands for so much of its block."""
    first, second = samples[::2], samples[1::2]
    sums = np.empty(first.shape, np.float32)
    np.add(first[: len(second)], second, out=sums[: len(second)])
    sums[len(second) :] = first[len(second) :]
    if cover != 1:
        sums[-1] -= (1 - cover) * samples[-1]
    return sums


def _across(samples: Floats, step: int, cover: np.float32) -> Floats:
    """Sum runs of `step` columns; the last of all stands for so much of its block."""
    height, width = samples.shape[:2]
    sums = np.empty((height, ceil(width / step), 3), np.float32)
    # One channel at a time: numpy's inner loop is then a row long, not three numbers: 5 times faster.
    for channel in range(3):
        runs, along = sums[..., channel], samples[..., channel]
        first, second = along[:, ::step], along[:, 1::step]
        pairs = second.shape[1]
        np.add(first[:, :pairs], second, out=runs[:, :pairs])
        runs[:, pairs:] = first[:, pairs:]
        for offset in range(2, step):
            part = along[:, offset::step]
            runs[:, : part.shape[1]] += part
        if cover != 1:
            runs[:, -1] -= (1 - cover) * along[:, -1]
    return sums


def _divided(sums: Floats, shape: tuple[int, int], step: int, covers: Covers) -> Covers:
    """Make means, in place, of the sums of runs of samples; return what the last of them stand for."""
    areas = [_last_area(length, step, cover) for length, cover in zip(shape, covers, strict=True)]
    size = np.float32(step)
    sums[:-1] /= size
    sums[-1] /= areas[0]
    sums[:, :-1] /= size
    sums[:, -1] /= areas[1]
    return areas[0] / size, areas[1] / size


def _cover_of(length: int, step: int, cover: np.float32) -> np.float32:
    """Return how much of its block the last of runs of `step` samples stands for, whose last stands for `cover`."""
    return np.float32(_last_area(length, step, cover) / np.float32(step))


def _last_area(length: int, step: int, cover: np.float32) -> np.float32:
    return np.float32((length - 1) % step) + cover
