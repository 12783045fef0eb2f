"""Fine detail on an artwork: hairlines, dots, hatching, outlines, as few patches as a reviewer would name."""

from collections.abc import Sequence

import numpy as np

from standback.artwork.model import Artwork
from standback.doubts import Doubt
from standback.elements import Box, Detail, Line, Srgb8
from standback.find.detail_groups import Group, cell_px, groups_of, usable
from standback.find.detail_ink import Ink, ink_of
from standback.find.detail_kinds import kind_of
from standback.find.detail_marks import joined, marks_of
from standback.find.detail_rivals import settled
from standback.find.detail_thin import FINE_MM, Codes, Flags, thin_pixels
from standback.light import contrast_ratio

MOST_PATCHES = 12
LEAST_SPAN = 0.02
"""A patch spans at least this share of the sheet's diagonal (ours)."""
LEAST_LENGTH = 2.0
"""Its strokes are together at least so many times as long as it must span (ours)."""
LEAST_DOTS = 8
LARGE_LETTER_MM = 12.0
"""In lines of such letters only the letters themselves are left out, else the whole line (ours)."""


def find_details(artwork: Artwork, lines: Sequence[Line]) -> tuple[Detail, ...]:
    """Find the fine detail, in reading order.

    Parameters
    ----------
    lines
        The lines of text found: fine detail is what isn't text.
    """
    codes = Codes(artwork)
    dark, light = thin_pixels(codes, lettering(artwork, lines))
    marks = joined(marks_of(codes, dark), marks_of(codes, light))
    groups = settled(groups_of(marks.of(usable(marks, codes)), codes))
    groups = [group for group in groups if _worth(group, codes)]
    thin = np.zeros((codes.height, codes.width), dtype=np.uint8)
    for number, pixels in ((1, dark), (2, light)):
        thin.ravel()[pixels.at] = number
    found = [detail for group in groups if (detail := _detail(artwork, codes, group, thin)) is not None]
    found = sorted(found, key=lambda one: -one.area_mm2)[:MOST_PATCHES]
    return tuple(sorted(found, key=lambda one: (one.box_px.y0, one.box_px.x0)))


def lettering(artwork: Artwork, lines: Sequence[Line]) -> Flags:
    """Where on the finest level text stands."""
    level = artwork.levels[0]
    height, width = level.linear.shape[:2]
    origin_x, origin_y = level.origin_px
    taken = np.zeros((height, width), dtype=np.bool_)
    for line in lines:
        box, margin = line.box_px, line.letter_px / 4
        x0, x1 = (int((v - origin_x) / level.scale) for v in (box.x0 - margin, box.x1 + margin + level.scale))
        y0, y1 = (int((v - origin_y) / level.scale) for v in (box.y0 - margin, box.y1 + margin + level.scale))
        x0, y0 = max(x0, 0), max(y0, 0)
        part = taken[y0:y1, x0:x1]
        if line.letter_px < LARGE_LETTER_MM * artwork.px_per_mm:
            part[:] = True
            continue
        y, x = (np.arange(n) * level.scale + origin for n, origin in ((part.shape[0], y0 * level.scale + origin_y - box.y0), (part.shape[1], x0 * level.scale + origin_x - box.x0)))
        rows, columns = (np.clip(v // line.mask_scale, -1, side) for v, side in ((y, line.mask.shape[0]), (x, line.mask.shape[1])))
        spread = max(1, round(0.5 * artwork.px_per_mm / line.mask_scale))
        from scipy import ndimage
        mask = np.pad(ndimage.maximum_filter(line.mask, 2 * spread + 1), 1)
        part |= mask[np.ix_(rows + 1, columns + 1)]
    return taken


def _worth(group: Group, codes: Codes) -> bool:
    marks = group.marks
    wanted = LEAST_SPAN * float(np.hypot(codes.width, codes.height))
    span = max(float(marks.x1.max() - marks.x0.min()), float(marks.y1.max() - marks.y0.min()))
    length = float((marks.half_outline - marks.width).clip(0).sum())
    return span >= wanted and (length >= LEAST_LENGTH * wanted or len(marks) >= LEAST_DOTS)


def _detail(artwork: Artwork, codes: Codes, group: Group, thin: np.ndarray) -> Detail | None:
    marks = group.marks
    own = np.zeros(thin.shape, dtype=np.bool_)
    own.ravel()[marks.pixels] = True
    others = (thin == (1 if marks.dark[0] else 2)) & ~own
    ink = ink_of(artwork, codes, marks, own, others)
    if ink is None or ink.width_px > FINE_MM * artwork.px_per_mm:
        return None
    level = artwork.levels[0]
    x0, y0, x1, y1 = (int(v) for v in (marks.x0.min(), marks.y0.min(), marks.x1.max(), marks.y1.max()))
    origin_x, origin_y = level.origin_px
    trim = artwork.trim_px
    box = Box(
        x0=origin_x + x0 * level.scale,
        y0=origin_y + y0 * level.scale,
        x1=min(origin_x + x1 * level.scale, trim.x1),
        y1=min(origin_y + y1 * level.scale, trim.y1),
    )
    inked, ground = _srgb8(ink.ink), _srgb8(ink.ground)
    return Detail(
        box_px=box,
        kind=kind_of(marks, ink, codes),
        mask=own[y0:y1, x0:x1].copy(),
        mask_scale=level.scale,
        ink_srgb8=inked,
        ground_srgb8=ground,
        ratio=contrast_ratio(inked, ground),
        feature_mm=ink.width_px / artwork.px_per_mm,
        pitch_mm=None if ink.pitch_px is None else ink.pitch_px / artwork.px_per_mm,
        count=len(marks),
        area_mm2=len(group.cells) * (cell_px(codes) / codes.px_per_mm) ** 2,
        confidence=1-ink.unrest,
        doubts=(Doubt.LOW_RESOLUTION,) if ink.width_px < 3 else (),
    )


def _srgb8(colour: np.ndarray) -> Srgb8:
    r, g, b = (round(float(v)) for v in colour)
    return (r, g, b)
