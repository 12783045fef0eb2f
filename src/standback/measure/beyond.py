"""Whether a line's own ink goes on beyond its box: then it was not found whole, or is cut on purpose."""

import numpy as np

from standback.artwork import Artwork
from standback.elements import Line

FREE_LETTERS = 0.7
"""A line whose own ink goes on within so many letter heights beside its box was not found whole (ours)."""
OWN_INK_SHARE = 0.02
"""Share of a strip in the line's own ink that shows it (ours)."""
NEARER = 0.5
"""A colour is the ink's if its squared distance to it is under this share of that to the ground (ours)."""


def found_whole(line: Line, artwork: Artwork) -> bool:
    """Whether nothing in the line's own ink follows right beside its box."""
    box, margin, gap = line.box_px, max(2, round(FREE_LETTERS * line.letter_px)), line.mask_scale
    left = _own_ink(line, artwork, (box.x0 - margin, box.y0, box.x0 - gap, box.y1))
    right = _own_ink(line, artwork, (box.x1 + gap, box.y0, box.x1 + margin, box.y1))
    return max(left, right) < OWN_INK_SHARE


def runs_on(line: Line, artwork: Artwork, side: str) -> bool:
    """Whether the line's own ink goes on to an edge of the trim: "left", "top", "right" or "bottom"."""
    box, trim, gap = line.box_px, artwork.trim_px, line.mask_scale
    beyond = {
        "left": (trim.x0, box.y0, box.x0 - gap, box.y1),
        "top": (box.x0, trim.y0, box.x1, box.y0 - gap),
        "right": (box.x1 + gap, box.y0, trim.x1, box.y1),
        "bottom": (box.x0, box.y1 + gap, box.x1, trim.y1),
    }
    return _own_ink(line, artwork, beyond[side]) >= OWN_INK_SHARE


def _own_ink(line: Line, artwork: Artwork, strip_px: tuple[int, int, int, int]) -> float:
    """Return the share of a strip, inside the trim, that is nearer to the line's ink than to its ground."""
    x0, y0, x1, y1 = strip_px
    trim = artwork.trim_px
    codes = artwork.srgb8[max(y0, trim.y0) : min(y1, trim.y1), max(x0, trim.x0) : min(x1, trim.x1)]
    if not codes.size:
        return 0.0
    strip = codes.astype(np.float32)
    ink, ground = (
        ((strip - np.array(colour, dtype=np.float32)) ** 2).sum(axis=2)
        for colour in (line.ink_srgb8, line.ground_srgb8)
    )
    return float((ink < NEARER * ground).mean())
