"""Which parts of a picture the learned scorer has to look at: what is flat holds no type."""

from math import ceil

import numpy as np
import numpy.typing as npt
from scipy import ndimage

Floats = npt.NDArray[np.float32]
Flags = npt.NDArray[np.bool_]
Area = tuple[int, int, int, int]
"""Top, bottom, left and right in blocks, half-open."""


BLOCK = 4
"""The network sees the picture in blocks of 4 x 4 samples."""
STIR = 0.3
"""Blocks whose codes differ by less than this, in the units that the network sees, are flat: an even colour, a
slow gradient, dithering (ours)."""
STRAIGHT = 0.92
"""Edges all of one direction have 1, of every direction 0; of blocks of letters 19 in 20 have less (ours)."""
REACH_BLOCKS = 4
"""The network looks at what lies within so many blocks of one that is not flat (ours)."""
TILE = 8
"""Blocks along the side of a tile; whole tiles are looked at or left out."""


def stirred_in(blocks: Floats) -> Flags:
    """Tell which blocks (48, H, W) are not flat: (H, W)."""
    by_colour = blocks.reshape(3, BLOCK * BLOCK, *blocks.shape[1:])
    stirred: Flags = (by_colour.max(axis=1) - by_colour.min(axis=1)).max(axis=0) > STIR
    return stirred


def bent_in(blocks: Floats) -> Flags:
    """Tell which blocks (48, H, W) are not flat and have edges of several directions in and around them: (H, W).

    What has one direction only is an edge, as of a panel, a rule or a large ring. The direction is that of a structure
    tensor over the blocks next to each, of differences along both diagonals.
    """
    samples = blocks.reshape(3, BLOCK, BLOCK, *blocks.shape[1:])
    falling, rising = samples[:, :-1, :-1] - samples[:, 1:, 1:], samples[:, :-1, 1:] - samples[:, 1:, :-1]

    def around(one: Floats, other: Floats) -> Floats:
        mean: Floats = ndimage.uniform_filter(np.einsum("cyxhw,cyxhw->hw", one, other), 3, mode="nearest")
        return mean

    both, more, mixed = around(falling, falling), around(rising, rising), around(falling, rising)
    along = np.hypot(both - more, 2 * mixed)
    bent: Flags = stirred_in(blocks) & (along < STRAIGHT * (both + more))
    return bent


def areas_near(stirred: Flags) -> tuple[Area, ...]:
    """Cover what lies within reach of what is stirred (H, W) with rectangles of whole tiles."""
    height, width = stirred.shape
    near = np.zeros((ceil(height / TILE) * TILE, ceil(width / TILE) * TILE), dtype=bool)
    near[:height, :width] = ndimage.maximum_filter(stirred, 2 * REACH_BLOCKS + 1)
    tiles = near.reshape(near.shape[0] // TILE, TILE, -1, TILE).any(axis=(1, 3))
    areas: list[Area] = []
    growing: dict[tuple[int, int], int] = {}
    for row, flags in enumerate(np.pad(tiles, ((0, 1), (0, 0)))):
        ends = np.minimum(np.flatnonzero(np.diff(np.r_[False, flags, False].astype(np.int8))) * TILE, width)
        spans = [(int(left), int(right)) for left, right in ends.reshape(-1, 2)]
        for span in [one for one in growing if one not in spans]:
            areas.append((growing.pop(span), min(row * TILE, height), *span))
        growing |= {span: row * TILE for span in spans if span not in growing}
    return tuple(areas)
