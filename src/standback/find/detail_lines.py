"""What belongs to the lines of text that were found, and so isn't fine detail."""

from collections.abc import Sequence

import numpy as np
from scipy import ndimage

from standback.artwork.model import Artwork
from standback.elements import Line
from standback.find.detail_groups import TIP_SLENDER
from standback.find.detail_marks import Marks
from standback.find.detail_thin import FINE_MM, Flags

LARGE_LETTER_MM = 12.0
"""In lines of such letters only the letters themselves are left out, else the whole line (ours)."""
HEAVY = 2.0
"""Strokes so many times wider than fine ones hide no detail (ours)."""
MARGIN_LETTERS = 0.25
RUN_LETTERS, RUN_OFF, RUN_SIZES = 8.0, 0.4, (0.4, 2.5)
"""Marks of so many letter heights in the run of a line, so far before or after it and no more off it, are
letters that the line missed (ours)."""
_EDGE_MM = 0.5


def lettered(artwork: Artwork, lines: Sequence[Line]) -> Flags:
    """Where on the finest level text stands."""
    level = artwork.levels[0]
    origin_x, origin_y = level.origin_px
    taken = np.zeros(level.shape, dtype=np.bool_)
    for line in lines:
        box, margin = line.box_px, MARGIN_LETTERS * line.letter_px
        y0, x0 = (max(0, int((v - margin) / level.scale)) for v in (box.y0 - origin_y, box.x0 - origin_x))
        y1, x1 = (max(0, int((v + margin) / level.scale) + 1) for v in (box.y1 - origin_y, box.x1 - origin_x))
        part = taken[y0:y1, x0:x1]
        if not _is_large(line, artwork):
            part[:] = True
        elif not _is_heavy(line, artwork):
            spread = max(1, round(_EDGE_MM * artwork.px_per_mm / line.mask_scale))
            mask = np.pad(ndimage.maximum_filter(line.mask, 2 * spread + 1), 1)
            at_y, at_x = (
                np.clip((origin + (first + np.arange(n)) * level.scale - start) // line.mask_scale, -1, side) + 1
                for origin, first, n, start, side in zip(
                    (origin_y, origin_x), (y0, x0), part.shape, (box.y0, box.x0), line.mask.shape, strict=True
                )
            )
            part |= mask[np.ix_(at_y, at_x)]
    return taken


def of_lines(marks: Marks, artwork: Artwork, lines: Sequence[Line]) -> Flags:
    """Tell which marks are letters in the run of a line, or parts of heavy letters."""
    level = artwork.levels[0]
    x0, y0, x1, y1 = (
        v * level.scale + level.origin_px[n % 2] for n, v in enumerate((marks.x0, marks.y0, marks.x1, marks.y1))
    )
    x, y, size = (x0 + x1) / 2, (y0 + y1) / 2, np.maximum(x1 - x0, y1 - y0)
    letters = np.zeros(len(marks), dtype=np.bool_)
    for line in lines:
        box, letter = line.box_px, line.letter_px
        if _is_large(line, artwork):
            if _is_heavy(line, artwork):
                inside = (x > box.x0) & (x < box.x1) & (y > box.y0) & (y < box.y1)
                letters |= inside & ((marks.contact > 0) | (marks.slender < TIP_SLENDER))
            continue
        upright = 45 < abs(line.angle_deg) % 180 < 135
        reach_x, reach_y = (RUN_OFF, RUN_LETTERS) if upright else (RUN_LETTERS, RUN_OFF)
        near = (x > box.x0 - reach_x * letter) & (x < box.x1 + reach_x * letter)
        near &= (y > box.y0 - reach_y * letter) & (y < box.y1 + reach_y * letter)
        letters |= near & (size > RUN_SIZES[0] * letter) & (size < RUN_SIZES[1] * letter)
    return letters


def _is_large(line: Line, artwork: Artwork) -> bool:
    return line.letter_px >= LARGE_LETTER_MM * artwork.px_per_mm


def _is_heavy(line: Line, artwork: Artwork) -> bool:
    return line.stroke_px >= HEAVY * FINE_MM * artwork.px_per_mm
