"""The trimmed sheet in linear light on a grid of samples, as fine as whoever looks at it needs.

Averages over whole blocks of pixels come first; a halving by a smoother low-pass may follow, which folds far less
of what is finer than the grid back into the picture.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from math import sqrt

import numpy as np
import numpy.typing as npt

from standback.artwork.model import Artwork, Level
from standback.elements import Box
from standback.light import LUMINANCE_WEIGHTS, luminance1, srgb8_to_linear

Picture = npt.NDArray[np.float32]

HALVING = np.array([1, 5, 10, 10, 5, 1], dtype=np.float32) / 32
"""Weights of the six samples that one of the halved picture is made of: binomial, so nothing rings."""

_BEYOND = len(HALVING) // 2 - 1
_STRIP_SAMPLES = 200_000
"""Small enough for the processor's cache."""
_LEAST_ROWS = 16


def halving_transfer(cycles_per_sample: npt.NDArray[np.float32]) -> npt.NDArray[np.float32]:
    """Return what `halved` leaves of a grating, in cycles per sample of the finer picture: cos(pi f)^5."""
    transfer: npt.NDArray[np.float32] = np.cos(np.float32(np.pi) * cycles_per_sample) ** (len(HALVING) - 1)
    return transfer


def halved(picture: Picture, axis: int) -> Picture:
    """Low-pass along an axis and keep every other sample; each stands for the area of two.

    Two samples more on either side are wanted than it stands for: (2 n + 4) come in, n go out.
    """
    count = picture.shape[axis] // 2 - _BEYOND
    parts = [picture[(slice(None),) * axis + (slice(n, n + 2 * count, 2),)] for n in range(len(HALVING))]
    total: Picture = parts[0] * HALVING[0]
    for part, weight in zip(parts[1:], HALVING[1:], strict=True):
        total += part * weight
    return total


def mirror_beyond(picture: Picture, height: int, width: int) -> None:
    """Fill a picture, in place, with the mirror image of its first rows and columns beyond these."""
    rows, columns = picture.shape[:2]
    picture[:height, width:] = picture[:height, 2 * width - columns : width][:, ::-1]
    picture[height:] = picture[2 * height - rows : height][::-1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Averaged:
    """The trimmed sheet on a grid of samples from its corner, each standing for `scale` x `scale` original pixels.

    Attributes
    ----------
    level
        The level of the pyramid that the samples are made from; None for the pixels themselves.
    block
        Samples of the level, or pixels, that are averaged along each axis.
    halved
        Whether these averages are then halved.
    """

    artwork: Artwork
    level: Level | None
    block: int
    halved: bool

    @classmethod
    def at_most(cls, artwork: Artwork, scale: int, *, halved: bool = False) -> "Averaged":
        """Choose the averages nearest to `scale` pixels that whole blocks of a level (or of pixels) can make."""
        level = max(
            (level for level in artwork.levels if level.scale <= scale),
            key=lambda level: (scale // level.scale * level.scale, level.scale),
            default=None,
        )
        return cls(artwork=artwork, level=level, block=scale // level.scale if level else scale, halved=halved)

    @property
    def block_px(self) -> int:
        """Original pixels that are averaged along each axis, before any halving."""
        return self.block * (self.level.scale if self.level else 1)

    @property
    def scale(self) -> int:
        """Original pixels that a sample stands for along each axis."""
        return self.block_px * (2 if self.halved else 1)

    @property
    def box_px(self) -> float:
        """Side of the box whose transfer that of the blocks is, in original pixels.

        n pixels at a pitch of 1 are points on the lattice: averaging them costs what a box of
        sqrt(n² - 1) costs (equal to the second order), and nothing for n = 1.
        """
        return sqrt(self.block_px**2 - 1)

    def samples(self, box: Box, margin_px: int) -> Box:
        """Return the samples that touch a box grown by a margin, within the trim."""
        trim, scale = self.artwork.trim_px, self.scale
        grown = box.grown(margin_px, trim)
        height, width = self._blocks()
        if self.halved:
            height, width = -(-height // 2), -(-width // 2)
        x1 = min(-(-(grown.x1 - trim.x0) // scale), width)
        y1 = min(-(-(grown.y1 - trim.y0) // scale), height)
        x0 = min((grown.x0 - trim.x0) // scale, x1 - 1)
        y0 = min((grown.y0 - trim.y0) // scale, y1 - 1)
        return Box(x0=x0, y0=y0, x1=x1, y1=y1)

    def linear(self, samples: Box, colour: bool, lengths: tuple[int, int] | None = None) -> Picture:
        """Return the samples' linear light: (h, w) luminance, or (h, w, 3) with `colour`.

        With `lengths`, that many rows and columns, what is beyond the samples being their mirror image.
        """
        height, width = samples.height, samples.width
        rows, columns = lengths or (height, width)
        # one channel after the other in memory: whoever works on one need not copy it
        linear = np.empty((3, rows, columns) if colour else (1, rows, columns), dtype=np.float32)
        linear = linear.transpose(1, 2, 0) if colour else linear[0]
        row = 0
        for strip in self._halved_strips(samples, colour) if self.halved else self._strips(samples, colour):
            linear[row : row + len(strip), :width] = strip
            row += len(strip)
        mirror_beyond(linear, height, width)
        return linear

    def _blocks(self) -> tuple[int, int]:
        """Rows and columns of blocks on the sheet; a level may leave out pixels that fill no sample of its own."""
        trim = self.artwork.trim_px
        height, width = self.level.shape if self.level else (trim.height, trim.width)
        return -(-height // self.block), -(-width // self.block)

    def _halved_strips(self, samples: Box, colour: bool) -> Iterator[Picture]:
        """Yield halved samples in strips of rows; beyond the sheet's edges lies its mirror image."""
        height, width = self._blocks()
        x0, x1 = 2 * samples.x0 - _BEYOND, 2 * samples.x1 + _BEYOND
        rows = max(_LEAST_ROWS, _STRIP_SAMPLES // (4 * samples.width))
        for top in range(samples.y0, samples.y1, rows):
            y0, y1 = 2 * top - _BEYOND, 2 * min(top + rows, samples.y1) + _BEYOND
            inside = Box(x0=max(x0, 0), y0=max(y0, 0), x1=min(x1, width), y1=min(y1, height))
            blocks = np.concatenate(list(self._strips(inside, colour)))
            missing = [(inside.y0 - y0, y1 - inside.y1), (inside.x0 - x0, x1 - inside.x1)]
            if any(map(any, missing)):
                blocks = np.pad(blocks, [*missing, (0, 0)][: blocks.ndim], mode="symmetric")
            yield halved(halved(blocks, 0), 1)

    def _strips(self, blocks: Box, colour: bool) -> Iterator[Picture]:
        """Yield blocks in strips of rows, so that a large file never stands in memory as floats."""
        rows = max(1, _STRIP_SAMPLES // (blocks.width * self.block**2))
        columns = slice(blocks.x0 * self.block, blocks.x1 * self.block)
        for top in range(blocks.y0, blocks.y1, rows):
            part = slice(top * self.block, min(top + rows, blocks.y1) * self.block)
            if self.level:
                linear = self.level.part(part, columns)
                yield _block_means(linear if colour else luminance1(linear), self.block)
            else:
                trim = self.artwork.trim_px
                codes = self.artwork.srgb8[trim.y0 : trim.y1, trim.x0 : trim.x1][part, columns]
                yield _block_means(srgb8_to_linear(codes) if colour else _luminance_of_codes(codes), self.block)


def _block_means(linear: Picture, block: int) -> Picture:
    """Average whole blocks of samples; blocks cut by the far edges average what they have."""
    for axis in (0, 1):
        if block > 1:
            # the second of all blocks, the third, ...: told to sum runs, numpy takes twenty times as long
            first, second, *others = (linear[(slice(None),) * axis + (slice(n, None, block),)] for n in range(block))
            sums, rest = first.copy(), second.copy()
            for part in others:
                rest[tuple(slice(n) for n in part.shape)] += part
            sums[tuple(slice(n) for n in rest.shape)] += rest
            last = (slice(None),) * axis + (slice(-1, None),)
            whole = (slice(None),) * axis + (slice(-1),)
            sums[whole] /= np.float32(block)
            sums[last] /= np.float32((linear.shape[axis] - 1) % block + 1)
            linear = sums
    return linear


@cache
def _weighted_tables() -> tuple[Picture, Picture]:
    """Return what red and green add to the luminance, at 256 times one code plus the other, and what blue adds."""
    red, green, blue = (LUMINANCE_WEIGHTS[:, None] * srgb8_to_linear(np.arange(256), np.float64)).astype(np.float32)
    return np.add.outer(red, green).ravel(), blue


def _luminance_of_codes(codes: npt.NDArray[np.uint8]) -> Picture:
    red_and_green, blue = _weighted_tables()
    both = codes[..., 0].astype(np.intp)
    both <<= 8
    both |= codes[..., 1]
    luminance: Picture = red_and_green.take(both)
    # looked up by bytes that lie three apart, numpy takes six times as long
    luminance += blue.take(codes[..., 2].astype(np.intp))
    return luminance
