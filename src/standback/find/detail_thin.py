"""Thin pixels: what stands off from both sides within a millimetre or two, wherever the sheet isn't flat.

A top-hat keeps what is narrower than a square, whatever the ground does farther away; flat shapes, their
edges and gradients vanish. Reference: Serra (1982), Image Analysis and Mathematical Morphology, ch. XII.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

import numpy as np
import numpy.typing as npt

from standback.artwork import Artwork, srgb8_of
from standback.threads import each

Bytes = npt.NDArray[np.uint8]
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]
Shares = npt.NDArray[np.float32]

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
        (h, w, 3) sRGB codes of the ground beside each of them; elsewhere 0.
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

    def at(self, y: Indices, x: Indices) -> Bytes:
        """Return (N, 3) codes of single pixels."""
        return self._codes[y, x]


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
        ground=np.zeros((codes.height, codes.width, 3), dtype=np.uint8),
    )
    places = np.argwhere(_active(codes, excluded)) * _TILE
    chunks = [places[start : start + _CHUNK_TILES] for start in range(0, len(places), _CHUNK_TILES)]

    def look(chunk: Indices) -> None:
        tiles = _tiles(codes, chunk, 3 * (side - 1) // 2)
        flat[chunk[:, 0] // _TILE, :, chunk[:, 1] // _TILE] = _flat_shares(tiles)
        for polarity, (tile, y, x, ground) in zip((DARK, LIGHT), _thin_of(tiles, side), strict=True):
            y, x = y + chunk[tile, 0], x + chunk[tile, 1]
            inside = (y < codes.height) & (x < codes.width)
            inside[inside] = ~excluded[y[inside], x[inside]]
            y, x = y[inside], x[inside]
            thin.polarity[y, x], thin.ground[y, x] = polarity, ground[inside]

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
        high, low = (_extremes(band, extreme) for extreme in (np.maximum, np.minimum))
        lively = (high - low).max(axis=2) >= LEAST_CODES
        lively &= ~_all_set(excluded[strip])
        wide = np.pad(lively, ((0, 0), (0, columns * _PER_TILE - lively.shape[1])))
        active[row] = wide.reshape(len(wide), columns, -1).any(axis=(0, 2))
    return active


def _extremes(codes: Bytes, extreme: np.ufunc) -> Bytes:
    """Reduce (h, w, 3) codes over blocks."""
    height, width = codes.shape[:2]
    padded = np.pad(codes, ((0, -height % BLOCK_PX), (0, -width % BLOCK_PX), (0, 0)), mode="edge")
    rows = extreme.reduce(padded.reshape(-1, BLOCK_PX, padded.shape[1] * 3), axis=1)
    return np.asarray(extreme.reduce(rows.reshape(len(rows), -1, BLOCK_PX, 3), axis=2))


def _all_set(flags: Flags) -> Flags:
    height, width = flags.shape
    padded = np.pad(flags, ((0, -height % BLOCK_PX), (0, -width % BLOCK_PX)), constant_values=True)
    blocks = padded.reshape(-1, BLOCK_PX, padded.shape[1] // BLOCK_PX, BLOCK_PX)
    return np.asarray(blocks.all(axis=(1, 3)))


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


def _thin_of(tiles: Bytes, side: int) -> Iterator[tuple[Indices, Indices, Indices, Bytes]]:
    """Yield tile, row and column in its core, and codes of the ground: of the dark ones, then of the light."""
    highest, depth = most(tiles, side), most(255 - tiles, side)
    closed, opened = 255 - most(255 - highest, side), most(255 - depth, side)
    inner = slice(side - 1, -(side - 1))
    value = tiles[..., inner, inner]
    # what is darker in one channel may be lighter in another: the larger departure is the ink's own
    departures = np.maximum(closed - value, value - opened)
    hat = np.maximum(np.maximum(departures[:, 0], departures[:, 1]), departures[:, 2])
    half = side // 2
    core = slice(half, -half)
    # only in the cores, where the neighbourhood is known
    peak = most(hat, side)
    hat_core = hat[:, core, core]
    found = np.nonzero((hat_core >= LEAST_CODES) & (hat_core >= peak // _WEAKEST))
    at = (found[0], slice(None), found[1] + half, found[2] + half)
    at_wide = (found[0], slice(None), found[1] + 2 * half, found[2] + 2 * half)
    pixel, high, low = value[at], closed[at], opened[at]
    darker = high - pixel >= pixel - low
    ground = np.where(darker, high, low)
    wide = highest[at_wide].astype(np.int16) + depth[at_wide] - 255
    green, red = (most(departures[:, n], side)[found] for n in (1, 0))
    dark = _is_dark(darker, peak[found], green, red)
    shaded = hat_core[found] < np.float32(SHADE) * wide.max(axis=1)
    for chosen in (dark & ~shaded, ~dark & ~shaded):
        tile, y, x = (index[chosen] for index in found)
        own = np.zeros_like(peak)
        own[tile, y, x] = hat_core[tile, y, x]
        wanted = most(np.pad(own, ((0, 0), (half, half), (half, half)), mode="edge"), side)
        strong = own[tile, y, x] >= np.float32(SHARE_OF_PEAK) * wanted[tile, y, x].astype(np.float32)
        yield tile[strong], y[strong], x[strong], ground[chosen][strong]


def _is_dark(darker: Flags, peak: Bytes, green: Bytes, red: Bytes) -> Flags:
    """Tell darker from lighter ink by green; by red or blue where green hardly departs in the neighbourhood.

    Ink may be darker in one channel and lighter in another. Its core and its rims agree within each
    channel, so the channel is chosen for the neighbourhood and not for the pixel.

    Parameters
    ----------
    darker
        (N, 3) of each pixel.
    peak, green, red
        (N,) the greatest departure in the neighbourhood: of any channel, of green, of red.
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
