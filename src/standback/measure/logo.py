"""Which lines are the lettering of a logo: nobody sets that in another colour, size or spacing for a poster's sake."""

from collections.abc import Sequence
from math import ceil

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.artwork import Artwork
from standback.elements import Box, Line
from standback.masks import grown
from standback.measure.around import off_ground
from standback.measure.tiers import em_px, same_style
from standback.settings import Limits

HEAD_FOOT = 6
"""Logos stand at the head or the foot of a sheet: in this part of its height (ours)."""
LONGEST_LETTERS = 24.0
"""The lettering of a logo is no longer than so many letter heights: twelve capitals, far apart (ours)."""
REACH_LETTERS, JOINED_LETTERS = 10.0, (0.6, 0.3)
"""So far around a line its mark is looked for, and so wide are the gaps within a logo; the narrower ones where the
wider would join it to a frame (ours)."""
MOST_SAMPLES = 240
"""Samples on the longer side of what is looked at: colours are flat."""
CHROMATIC, APART_CIEDE2000, COLOUR_SHARE = 25.0, 18.0, 0.08
"""A logo has two colours or more of so much chroma, so far apart, each of so much of its ink (ours)."""
FLAT_CODES, FLAT_SHARE = 24.0, 0.5
"""Its colours are flat: so much of its ink is as near to one of a few of them, and not of a photograph (ours)."""
MOST_FLAT = 5

Flags = npt.NDArray[np.bool_]
Codes = npt.NDArray[np.float32]


def logos(lines: Sequence[Line], tiers: Sequence[str], artwork: Artwork, limits: Limits) -> tuple[bool, ...]:
    """Tell which lines are the lettering of a logo.

    A short line at the head or the foot of the sheet, that is not lead nor the largest and in a style of its own, is
    one where it stands by itself with a mark, and the two together are of several flat colours, greys not counted.
    (Text that is part of a logo has no contrast to meet: WCAG 2.2, 1.4.3.)
    """
    largest_px = max((em_px(line) for line in lines), default=0.0)
    return tuple(
        tier != "lead"
        and em_px(line) < largest_px
        and _at_head_or_foot(line.box_px, artwork.trim_px)
        and line.box_px.width <= LONGEST_LETTERS * line.letter_px
        and not any(same_style(line, other, limits) for other in lines if other is not line)
        and _has_mark(line, artwork)
        for line, tier in zip(lines, tiers, strict=True)
    )


def _at_head_or_foot(box: Box, trim: Box) -> bool:
    part = trim.height / HEAD_FOOT
    return box.y1 <= trim.y0 + part or box.y0 >= trim.y1 - part


def _has_mark(line: Line, artwork: Artwork) -> bool:
    """Whether a line is part of an island of several flat colours."""
    around = line.box_px.grown(round(REACH_LETTERS * line.letter_px), artwork.trim_px)
    step = max(1, max(around.width, around.height) // MOST_SAMPLES)
    codes = artwork.srgb8[around.y0 : around.y1 : step, around.x0 : around.x1 : step].astype(np.float32)
    other = off_ground(line, codes)
    place = _within(line.box_px, around, step)
    islands = (_island(other, place, letters * line.letter_px / step) for letters in JOINED_LETTERS)
    island = next((found for found in islands if found is not None), None)
    return island is not None and _colours(codes[island & other]) > 1


def _within(box: Box, around: Box, step: int) -> tuple[slice, slice]:
    y0, x0 = (box.y0 - around.y0) // step, (box.x0 - around.x0) // step
    return slice(y0, y0 + max(1, box.height // step)), slice(x0, x0 + max(1, box.width // step))


def _island(other: Flags, place: tuple[slice, slice], joined: float) -> Flags | None:
    """Return what hangs together with a place, None where that goes on beyond what is looked at."""
    labels, _ = ndimage.label(grown(other, ceil(joined / 2)))
    own = np.unique(labels[place][other[place]])
    island: Flags = np.isin(labels, own[own > 0])
    edges = (island[0], island[-1], island[:, 0], island[:, -1])
    return None if not len(own) or any(edge.any() for edge in edges) else island


def _colours(ink: Codes) -> int:
    """Count the flat colours that are no greys and clearly apart, 0 where the ink is not mostly flat."""
    from skimage.color import deltaE_ciede2000, rgb2lab

    left, flat = ink, []
    for _ in range(MOST_FLAT):
        if len(left) < COLOUR_SHARE * len(ink):
            break
        bins, counts = np.unique((left // FLAT_CODES).astype(np.int32), axis=0, return_counts=True)
        middle = np.median(left[((left // FLAT_CODES).astype(np.int32) == bins[counts.argmax()]).all(axis=1)], axis=0)
        near = np.linalg.norm(left - middle, axis=1) < 1.5 * FLAT_CODES
        flat.append((middle, near.sum() / len(ink)))
        left = left[~near]
    if sum(share for _, share in flat) < FLAT_SHARE:
        return 0
    labs = [rgb2lab(middle[None, None] / 255)[0, 0] for middle, share in flat if share >= COLOUR_SHARE]
    kept: list[npt.NDArray[np.float64]] = []
    for lab in labs:
        if np.hypot(lab[1], lab[2]) >= CHROMATIC and all(deltaE_ciede2000(lab, k) >= APART_CIEDE2000 for k in kept):
            kept.append(lab)
    return len(kept)
