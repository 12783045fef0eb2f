"""Whether a line stands alone: nothing but its ground far around it."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from standback.artwork import Artwork
from standback.elements import Box, Line

Flags = npt.NDArray[np.bool_]
Codes = npt.NDArray[np.uint8] | npt.NDArray[np.float32]

NEAR_LETTERS, FAR_LETTERS, ROW_LETTERS = 0.6, 3.5, 6.0
"""The ring that is looked at, in letter heights from the line's box: beyond accents and descenders, up to what a
viewer still takes in with the line, which is more along its row (ours)."""
BESIDE_LETTERS, LARGER = 2.0, 1.8
"""Type so many times as large is company only within so many letter heights: it is read from elsewhere (ours)."""
OTHER_CODES = 40.0
"""Colours farther from the ground than this, in codes, are something else (ours)."""
MOST_OTHER = 0.01
"""A speck or a soft rim may take so much, as a share of the line's own box (ours)."""

_ROWS_AT_A_TIME = 32


def stands_alone(line: Line, artwork: Artwork, lines: Sequence[Line] = ()) -> bool:
    """Whether the line's ground goes on around it, with no other line, frame, rule, mark or edge of a panel near.

    What stands at the edge of the sheet stands by something too, and what stands in a row with anything, as the names
    in a footer do, is found along that row.

    Parameters
    ----------
    lines
        The lines of the sheet, so that far larger ones count only where they are near.
    """
    box, trim = line.box_px, artwork.trim_px
    letter = line.letter_px
    inner, outer = (box.grown_freely(round(letters * letter)) for letters in (NEAR_LETTERS, FAR_LETTERS))
    if outer.overlap(trim) < outer.area:
        return False
    along = box.grown(round(ROW_LETTERS * letter), trim)
    row = Box(x0=along.x0, y0=inner.y0, x1=along.x1, y1=inner.y1)
    if box.height > box.width:
        row = Box(x0=inner.x0, y0=along.y0, x1=inner.x1, y1=along.y1)
    beside = box.grown_freely(round(BESIDE_LETTERS * letter))
    elsewhere = [
        one.box_px.grown_freely(round(NEAR_LETTERS * letter))
        for one in lines
        if one.letter_px > LARGER * letter and not beside.overlap(one.box_px)
    ]
    return not any(_holds_other(line, artwork, part, [inner, *elsewhere]) for part in (outer, row))


def off_ground(line: Line, codes: Codes) -> Flags:
    """Tell which (H, W, 3) sRGB codes around a line are not its ground: (H, W)."""
    off = np.zeros(codes.shape[:2], dtype=np.int32)
    for channel, ground in enumerate(line.ground_srgb8):
        along = codes[..., channel].astype(np.int32)
        along -= ground
        along *= along
        off += along
    return np.asarray(off > OTHER_CODES**2, dtype=np.bool_)


def _holds_other(line: Line, artwork: Artwork, part: Box, spared: Sequence[Box]) -> bool:
    """Whether there is more than the line's ground in a part of the sheet, but for what is spared of it."""
    others, most = 0, MOST_OTHER * line.box_px.area
    for top in range(part.y0, part.y1, _ROWS_AT_A_TIME):
        end = min(top + _ROWS_AT_A_TIME, part.y1)
        other = off_ground(line, artwork.srgb8[top:end, part.x0 : part.x1])
        for box in spared:
            rows, columns = (
                slice(max(start - first, 0), max(stop - first, 0))
                for start, stop, first in ((box.y0, box.y1, top), (box.x0, box.x1, part.x0))
            )
            other[rows, columns] = False
        others += int(np.count_nonzero(other))
        if others > most:
            return True
    return False
