"""Thin pixels: what stands off from both sides within a millimetre or two, wherever the sheet isn't flat.

A top-hat keeps what is narrower than a square, whatever the ground does farther away; flat shapes, their
edges and gradients vanish. Reference: Serra (1982), Image Analysis and Mathematical Morphology, ch. XII.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import reduce
from math import ceil
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from standback.artwork import Artwork, srgb8_of
from standback.threads import each

Bytes = npt.NDArray[np.uint8]
Whole = TypeVar("Whole", np.uint8, np.int16)
Codes8 = TypeVar("Codes8", npt.NDArray[np.uint8], npt.NDArray[np.bool_])
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]
Shares = npt.NDArray[np.float32]
Place = tuple[slice, slice]
"""Rows and columns."""

SHADE = 0.25
"""What has less than this share of the contrast close by is the ringing of an edge, as JPEG makes it (ours)."""
DARK, LIGHT = 1, 2
FINE_MM = 1.5
"""Widest stroke or dot that counts as fine (ours): 1 arcmin at 5 m is 1.45 mm, so such parts melt into
each other from across a room."""
LEAST_CODES = 8
"""Codes a stroke must stand off by in one channel (ours): a ratio of about 1.1 in the middle greys."""
SHARE_OF_PEAK = 0.45
"""Share of the strongest contrast close by that still belongs to the stroke (ours)."""
FLAT_CODES = 0
"""Neighbours are alike within so many codes (ours)."""
BLOCK_PX = 16
_WEAKEST = 4
"""Pixels below this part of the strongest contrast close by are of no ink."""
_TELLING_SHARE = 0.4
_TILE = 128
_PER_TILE = _TILE // BLOCK_PX
_CHUNK_TILES = 12


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Thin:
    """Thin pixels on the finest level.

    Attributes
    ----------
    polarity
        (h, w), DARK or LIGHT where a pixel is thin, by what it is beside its ground; else 0.
    ground
        (3, h, w) sRGB codes of the ground beside each of them.
    """

    polarity: Bytes
    ground: Bytes


class Codes:
    """8-bit codes of the finest level: the file's own, or those that its averages have."""

    def __init__(self, artwork: Artwork) -> None:
        level, trim = artwork.levels[0], artwork.trim_px
        own = level.scale == 1
        self._codes = artwork.srgb8[trim.y0 : trim.y1, trim.x0 : trim.x1] if own else srgb8_of(level)
        self.height, self.width = level.shape
        self.px_per_mm = artwork.px_per_mm / level.scale

    def piece(self, rows: slice, columns: slice) -> Bytes:
        """Return (h, w, 3) codes."""
        return self._codes[rows, columns]

    def within(self, place: Place, where: Flags) -> Iterator[Bytes]:
        """Yield the codes where flags of a place are set, (N,) each, in reading order: their red, green and blue."""
        return (self._codes[place][..., channel][where] for channel in range(3))

    def at(self, y: Indices, x: Indices) -> Iterator[Bytes]:
        """Yield the codes of single pixels, (N,) each: their red, green and blue."""
        # one channel at a time: three at once take numpy longer
        return (self._codes[..., channel][y, x] for channel in range(3))


def square_px(px_per_mm: float) -> int:
    """Odd side of the square that no fine stroke can hold, at any angle."""
    return 2 * ceil((1.1 * FINE_MM * px_per_mm + 1) / 2) + 1


def thin_pixels(codes: Codes, excluded: Flags) -> tuple[Thin, Shares]:
    """Find the thin pixels.

    Parameters
    ----------
    excluded
        (h, w) of the finest level: where not to look.

    Returns
    -------
    Them; and the share of flat pixels in every block of `BLOCK_PX` samples: those that are
    as their neighbour.
    """
    flat = np.ones((ceil(codes.height / _TILE), _PER_TILE, ceil(codes.width / _TILE), _PER_TILE), np.float32)
    side = square_px(codes.px_per_mm)
    thin = Thin(
        polarity=np.zeros((codes.height, codes.width), dtype=np.uint8),
        ground=np.zeros((3, codes.height, codes.width), dtype=np.uint8),
    )
    places = np.argwhere(_active(codes, excluded)) * _TILE
    chunks = [places[start : start + _CHUNK_TILES] for start in range(0, len(places), _CHUNK_TILES)]

    def look(chunk: Indices) -> None:
        tiles = _tiles(codes, chunk, 3 * (side - 1) // 2)
        flat[chunk[:, 0] // _TILE, :, chunk[:, 1] // _TILE] = _flat_shares(tiles)
        for (top, left), polarity, ground in zip(chunk.tolist(), *_thin_of(tiles, side), strict=True):
            at = (slice(top, top + _TILE), slice(left, left + _TILE))
            rows, columns = thin.polarity[at].shape
            thin.polarity[at] = polarity[:rows, :columns] * ~excluded[at]
            thin.ground[:, *at] = ground[:, :rows, :columns]

    each(look, chunks)
    return thin, flat.reshape(flat.shape[0] * _PER_TILE, -1)


def _flat_shares(tiles: Bytes) -> Shares:
    """Share of pixels of each block that differ by next to nothing from the one before."""
    halo = (tiles.shape[-1] - _TILE) // 2
    core = tiles[..., halo : halo + _TILE, halo - 1 : halo + _TILE]
    one, other = core[..., 1:], core[..., :-1]
    step = np.maximum(one, other) - np.minimum(one, other)
    alike = np.maximum(np.maximum(step[:, 0], step[:, 1]), step[:, 2]) <= FLAT_CODES
    blocks = alike.reshape(len(tiles), _PER_TILE, BLOCK_PX, _PER_TILE, BLOCK_PX)
    return np.asarray(blocks.mean(axis=(2, 4), dtype=np.float32))


def _active(codes: Codes, excluded: Flags) -> Flags:
    """Tell which tiles hold any contrast outside the excluded parts."""
    rows, columns = ceil(codes.height / _TILE), ceil(codes.width / _TILE)
    active = np.zeros((rows, columns), dtype=np.bool_)
    for row in range(rows):
        strip = slice(row * _TILE, min((row + 1) * _TILE, codes.height))
        band = codes.piece(strip, slice(0, codes.width))
        high, low = (_over_blocks(band, extreme) for extreme in (np.maximum, np.minimum))
        lively = (high - low).max(axis=2) >= LEAST_CODES
        lively &= ~_over_blocks(excluded[strip], np.logical_and)
        wide = np.pad(lively, ((0, 0), (0, columns * _PER_TILE - lively.shape[1])))
        active[row] = wide.reshape(len(wide), columns, -1).any(axis=(0, 2))
    return active


def _over_blocks(picture: Codes8, over: np.ufunc) -> Codes8:
    """Reduce (h, w, ...) over blocks; the last ones go on as their edges are."""
    short = [-length % BLOCK_PX for length in picture.shape[:2]]
    if any(short):
        picture = np.pad(picture, [(0, n) for n in short] + [(0, 0)] * (picture.ndim - 2), mode="edge")
    rows = over.reduce(picture.reshape(-1, BLOCK_PX, *picture.shape[1:]), axis=1)
    columns = rows.reshape(len(rows), -1, BLOCK_PX, *picture.shape[2:])
    # one after the other: along so short an axis numpy takes three times as long
    blocks: Codes8 = reduce(over, (columns[:, :, n] for n in range(BLOCK_PX)))
    return blocks


def _tiles(codes: Codes, corners: Indices, halo: int) -> Bytes:
    """Return the codes (n, 3, side, side) of tiles with a halo, edges repeated; `corners` are (n, 2)."""
    side = _TILE + 2 * halo
    tiles = np.empty((len(corners), 3, side, side), dtype=np.uint8)
    for tile, (top, left) in zip(tiles, corners.tolist(), strict=True):
        y0, y1 = max(top - halo, 0), min(top + _TILE + halo, codes.height)
        x0, x1 = max(left - halo, 0), min(left + _TILE + halo, codes.width)
        piece = np.moveaxis(codes.piece(slice(y0, y1), slice(x0, x1)), 2, 0)
        above, aside = y0 - top + halo, x0 - left + halo
        missing = ((0, 0), (above, side - above - (y1 - y0)), (aside, side - aside - (x1 - x0)))
        tile[:] = np.pad(piece, missing, mode="edge") if piece.shape != tile.shape else piece
    return tiles


def _thin_of(tiles: Bytes, side: int) -> tuple[Bytes, Bytes]:
    """Return the polarity (n, h, w) of the pixels in the cores of tiles, and their ground (n, 3, h, w)."""
    highest, depth = most(tiles, side), most(255 - tiles, side)
    closed, opened = 255 - most(255 - highest, side), most(255 - depth, side)
    half = side // 2
    core, inner, wide = (slice(margin, -margin) for margin in (half, side - 1, 2 * half))
    value = tiles[..., inner, inner]
    # what is darker in one channel may be lighter in another: the larger departure is the ink's own
    departures = np.maximum(closed - value, value - opened)
    hat = _greatest(departures)
    # only in the cores, where the neighbourhood is known
    peak = most(hat, side)
    hat = hat[:, core, core]
    value, high, low = (codes[..., core, core] for codes in (value, closed, opened))
    darker = high - value >= value - low
    span = _greatest(highest[..., wide, wide].astype(np.int16) + depth[..., wide, wide]) - 255
    green, red = (most(departures[:, n], side) for n in (1, 0))
    dark = _is_dark(darker, peak, green, red)
    candidates = (hat >= LEAST_CODES) & (hat >= peak // _WEAKEST) & (hat >= np.float32(SHADE) * span)
    polarity = np.zeros(hat.shape, dtype=np.uint8)
    for number, chosen in ((DARK, candidates & dark), (LIGHT, candidates & ~dark)):
        own = hat * chosen
        wanted = most(np.pad(own, ((0, 0), (half, half), (half, half)), mode="edge"), side)
        polarity[chosen & (own >= np.float32(SHARE_OF_PEAK) * wanted.astype(np.float32))] = number
    return polarity, np.where(darker, high, low)


def _greatest(channels: npt.NDArray[Whole]) -> npt.NDArray[Whole]:
    """Return the greatest of three channels: (n, 3, h, w) to (n, h, w)."""
    return np.maximum(np.maximum(channels[:, 0], channels[:, 1]), channels[:, 2])


def _is_dark(darker: Flags, peak: Bytes, green: Bytes, red: Bytes) -> Flags:
    """Tell darker from lighter ink by green; by red or blue where green hardly departs in the neighbourhood.

    Ink may be darker in one channel and lighter in another. Its core and its rims agree within each
    channel, so the channel is chosen for the neighbourhood and not for the pixel.

    Parameters
    ----------
    darker
        (n, 3, h, w) of each pixel.
    peak, green, red
        (n, h, w) the greatest departure in the neighbourhood: of any channel, of green, of red.
    """
    least = np.float32(_TELLING_SHARE) * peak
    return np.where(green >= least, darker[:, 1], np.where(red >= least, darker[:, 0], darker[:, 2]))


def ground_of(picture: Bytes, side: int, darker: Flags) -> Bytes:
    """Ground at every pixel of (h, w, 3) codes: what is left when all thin ink is taken out.

    Parameters
    ----------
    darker
        (3,) in which channels the ink is darker than the ground.
    """
    facing = np.moveaxis(np.where(darker, picture, 255 - picture), 2, 0)
    facing = np.pad(facing, ((0, 0), (side - 1, side - 1), (side - 1, side - 1)), mode="edge")
    closed = np.moveaxis(255 - most(255 - most(facing, side), side), 0, 2)
    return np.asarray(np.where(darker, closed, 255 - closed))


def most(pictures: Bytes, side: int) -> Bytes:
    """Maximum over every square of `side` that lies inside (..., h, w) pictures, by doubling."""
    reach = 1
    while reach < side:
        step = min(reach, side - reach)
        pictures = np.maximum(pictures[..., :-step, :], pictures[..., step:, :])
        pictures = np.maximum(pictures[..., :-step], pictures[..., step:])
        reach += step
    return pictures
