"""The few large figures that a viewer would name: shapes of one colour, drawings and photographs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.artwork.model import Artwork, Level
from standback.elements import Box, Figure, Line, Srgb8
from standback.light import linear_to_oklab, linear_to_srgb8, luminance1, ratio_of_luminances
from standback.masks import grown, shrunk

Doubles = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Labels = npt.NDArray[np.int32]

LONG_SIDE = 400
"""Figures are looked for on the finest level whose long side is at most this (ours)."""
SAME_COLOUR = 0.06
"""OKLab distance: neighbouring samples of one surface differ by less, and shapes from the ground by more (ours)."""
LEAST_SHARE, MOST_SHARE = 0.006, 0.6
"""Smaller shapes are not named, larger ones are grounds: share of the sheet (ours)."""
PANEL_FILL, PANEL_SIDE = 0.93, 0.9
"""What fills so much of its box and spans this share of a side of the sheet is a band or a panel (ours)."""
LETTERED_SHARE, LETTERED_PANEL = 0.35, 0.06
"""A shape so far covered by lines of text is a ground for text and no figure; a plain panel by the second (ours)."""
SPANNING = 0.95
"""What reaches across the sheet from edge to edge is a ground, as sea and footer are (ours)."""
FRAME_FILL = 0.3
"""What covers less of its box than this, and the box half of the sheet, is a frame (ours)."""
LETTER_ROW, LETTER_OFF = 3, 0.08
"""So many shapes of one height on one line are letters that no line was found for (ours)."""
OUTLINED = 0.6
"""What leaves more of itself open is an outline (ours)."""
STANDING_SHARE = 0.25
"""A picture is seen by what stands off most: this share of it gives its colour (ours)."""
RING_SHARE = 0.04
"""Width of the surroundings: share of the sheet's shorter side (ours)."""
MOST_FIGURES = 6
ONE_COLOUR, ONE_SHARE = 0.05, 0.75
"""A shape of which such a share lies within this OKLab distance of the median is of one colour (ours)."""
_CROSS = ndimage.generate_binary_structure(2, 1)
_EIGHT = np.ones((3, 3), dtype=np.bool_)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Found:
    """A figure on the level."""

    mask: Flags
    rows: slice
    columns: slice
    picture: bool

    @property
    def area(self) -> int:
        return int(np.count_nonzero(self.mask))


def find_figures(artwork: Artwork, lines: Sequence[Line]) -> tuple[Figure, ...]:
    """Find the large figures, the largest first; at most six.

    Parameters
    ----------
    lines
        The lines of text found: letters are no figures, and panels full of text neither.
    """
    level = artwork.no_finer_than(LONG_SIDE).levels[0]
    text = _text(level, lines)
    oklab = linear_to_oklab(level.linear)
    ground = _grounds(oklab, text)
    found = _without_letters(list(_figures(oklab, ground, text)))
    found.sort(key=lambda one: (-one.area, one.rows.start, one.columns.start))
    return tuple(_figure(artwork, level, one, text) for one in found[:MOST_FIGURES])


def _text(level: Level, lines: Sequence[Line]) -> Flags:
    """Where the boxes of lines lie on the level."""
    taken = np.zeros(level.shape, dtype=np.bool_)
    x, y = level.origin_px
    for line in lines:
        box = line.box_px
        rows = slice(max(0, (box.y0 - y) // level.scale), max(0, -((y - box.y1) // level.scale)))
        columns = slice(max(0, (box.x0 - x) // level.scale), max(0, -((x - box.x1) // level.scale)))
        taken[rows, columns] = True
    return taken


def _regions(oklab: Doubles, step: float) -> Labels:
    """Label connected samples that differ little from sample to sample."""
    across = np.sqrt((np.diff(oklab, axis=1) ** 2).sum(axis=2)) < step
    down = np.sqrt((np.diff(oklab, axis=0) ** 2).sum(axis=2)) < step
    height, width = oklab.shape[:2]
    # samples and the links between them on one grid of twice the size
    grid = np.zeros((2 * height - 1, 2 * width - 1), dtype=np.bool_)
    grid[::2, ::2] = True
    grid[::2, 1::2], grid[1::2, ::2] = across, down
    labels, _ = ndimage.label(grid, structure=_CROSS)
    return np.asarray(labels[::2, ::2], dtype=np.int32)


def _grounds(oklab: Doubles, text: Flags) -> Flags:
    """Tell the grounds: the largest even region, and every one that spans the sheet like a band or a panel."""
    labels = _regions(oklab, SAME_COLOUR)
    area = np.bincount(labels.ravel())
    area[0] = 0
    main = int(area.argmax())
    sums = [np.bincount(labels.ravel(), weights=oklab[..., n].ravel()) for n in range(3)]
    means = np.stack(sums, axis=1).astype(np.float64) / np.maximum(area, 1)[:, None]
    # paper shows through outlines and letters, cut off from the rest of it
    paper = np.sqrt(((means - means[main]) ** 2).sum(axis=1)) < SAME_COLOUR
    ground = paper[labels]
    height, width = labels.shape
    for number, place in enumerate(ndimage.find_objects(labels), start=1):
        if place is None or area[number] < LEAST_SHARE * labels.size:
            continue
        rows, columns = place
        high, wide = rows.stop - rows.start, columns.stop - columns.start
        part = labels[place] == number
        spans = wide >= PANEL_SIDE * width or high >= PANEL_SIDE * height
        filled = ndimage.binary_fill_holes(part | text[place]).mean()
        lettered = (text[place] & ndimage.binary_fill_holes(part)).mean()
        if (spans and (filled >= PANEL_FILL or area[number] > 0.15 * labels.size)) or (
            filled >= PANEL_FILL and lettered > LETTERED_SHARE
        ):
            ground |= labels == number
    return np.asarray(ground)


def _figures(oklab: Doubles, ground: Flags, text: Flags) -> Iterator[_Found]:
    """Yield what stands on the grounds and is large, each with its holes filled."""
    # a thin link, as of a drawn line, doesn't make one figure of two
    standing = ndimage.binary_opening(~ground, structure=_EIGHT)
    labels, _ = ndimage.label(standing, structure=_EIGHT)
    for number, place in enumerate(ndimage.find_objects(labels), start=1):
        solid = labels[place] == number
        whole = ndimage.binary_fill_holes(solid)
        # a closed outline is not what it encloses
        mask = whole if solid.sum() > OUTLINED * whole.sum() else solid
        if not LEAST_SHARE * ground.size <= np.count_nonzero(mask) <= MOST_SHARE * ground.size:
            continue
        rows, columns = place
        if _is_ground(mask, text[place], ground.shape):
            continue
        inner = shrunk(solid, corners=False)
        inside = oklab[place][inner if inner.any() else solid]
        off = np.sqrt(((inside - np.median(inside, axis=0)) ** 2).sum(axis=1))
        yield _Found(mask=mask, rows=rows, columns=columns, picture=bool((off < ONE_COLOUR).mean() < ONE_SHARE))


def _is_ground(mask: Flags, text: Flags, sheet: tuple[int, ...]) -> bool:
    """Tell bands, frames and panels of text from figures; `sheet` is the height and width of the level."""
    filled, lettered = mask.mean(), (text & mask).sum() / mask.sum()
    if lettered > LETTERED_SHARE or (lettered > LETTERED_PANEL and filled > PANEL_FILL):
        return True
    if any(side >= SPANNING * whole for side, whole in zip(mask.shape, sheet, strict=True)):
        return True
    return bool(filled < FRAME_FILL and 2 * mask.size > sheet[0] * sheet[1])


def _without_letters(found: list[_Found]) -> list[_Found]:
    """Drop rows of shapes as high as each other."""

    def in_row(one: _Found) -> int:
        slack = LETTER_OFF * (one.rows.stop - one.rows.start)
        return sum(
            abs(other.rows.start - one.rows.start) <= slack and abs(other.rows.stop - one.rows.stop) <= slack
            for other in found
        )

    return [one for one in found if in_row(one) < LETTER_ROW]


def _figure(artwork: Artwork, level: Level, found: _Found, text: Flags) -> Figure:
    height, width = level.shape
    reach = max(2, round(RING_SHARE * min(height, width)))
    rows = slice(max(0, found.rows.start - reach), min(height, found.rows.stop + reach))
    columns = slice(max(0, found.columns.start - reach), min(width, found.columns.stop + reach))
    around = np.zeros((rows.stop - rows.start, columns.stop - columns.start), dtype=np.bool_)
    top, left = found.rows.start - rows.start, found.columns.start - columns.start
    around[top : top + found.mask.shape[0], left : left + found.mask.shape[1]] = found.mask
    # the rim is a mix of both colours and belongs to neither
    inner = shrunk(around, corners=False)
    ring = grown(around, reach, corners=False) & ~grown(around)
    free = ring & ~text[rows, columns]
    light = level.linear[rows, columns].astype(np.float64)
    inside = light[inner if inner.any() else around]
    near = free if free.any() else ~around
    ground = light[near].mean(axis=0) if near.any() else inside.mean(axis=0)
    own = _standing_off(inside, ground) if found.picture else inside.mean(axis=0)
    x, y, scale, trim = *level.origin_px, level.scale, artwork.trim_px
    return Figure(
        box_px=Box(
            x0=x + found.columns.start * scale,
            y0=y + found.rows.start * scale,
            x1=min(x + found.columns.stop * scale, trim.x1),
            y1=min(y + found.rows.stop * scale, trim.y1),
        ),
        mask=found.mask,
        mask_scale=scale,
        colour_srgb8=_srgb8(own),
        ground_srgb8=_srgb8(ground),
        ratio=ratio_of_luminances(float(luminance1(own)), float(luminance1(ground))),
        area_share=found.area / (height * width),
        picture=found.picture,
    )


def _standing_off(inside: Doubles, ground: Doubles) -> Doubles:
    """Mean light of the part of a picture (N, 3) that stands off most from its ground, on one side of it."""
    own1, ground1 = luminance1(inside), float(luminance1(ground))
    order = np.argsort(own1, kind="stable")
    count = max(1, int(STANDING_SHARE * len(order)))
    ends = (inside[order[:count]].mean(axis=0), inside[order[-count:]].mean(axis=0))
    return max(ends, key=lambda end: ratio_of_luminances(float(luminance1(end)), ground1))


def _srgb8(linear: Doubles) -> Srgb8:
    r, g, b = (int(v) for v in linear_to_srgb8(linear))
    return (r, g, b)
