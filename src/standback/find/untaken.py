"""Which parts of a picture are left for turned looks: what upright lines take is not, nor straight edges and crumbs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import ceil, log2

import numpy as np
from scipy import ndimage

from standback.find.bands import Band
from standback.find.learned import Look
from standback.find.scorer import CELL, blocks_of
from standback.find.stirred import BLOCK, REACH_BLOCKS, Area, Flags, bent_in
from standback.find.working import Picture
from standback.masks import grown

LEAST_LEAN_DEG = 5.0
"""A band that leans less stands upright."""
SURE, ABOVE_BODIES, BESIDE_BODIES = 1.05, 0.5, 0.8
"""Where the upright look thinks so much of a line, no turned one is looked for, nor so far over and under it, where its
ascenders and descenders are, and beside it, where a comma may be (ours): of turned lines it thinks less."""
CROWD, CROWD_BLOCKS = 5, 9
"""So many blocks that are no straight edges in a square of so many blocks a side may be letters: the shortest line
that is looked for has more, corners of panels and what bands leave of upright lines have fewer (ours)."""
LEAST_SEEN, LEAST_SEEN_BLOCKS, MOST_APART = 0.3, 4.0, 2.2
"""Of a leaning line the upright looks take more than so many blocks for its core, as likely as that: 13 and more of
drawn ones that lean by less than 30 degrees; asked are looks up to so many times as fine or as coarse (ours)."""
APART_BLOCKS = 500
"""Parts are looked at as one where that turns no more blocks than so many more (ours): each look costs a little."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Part:
    """A part of a picture as a picture of its own, and near which of its blocks (H/4, W/4) to look."""

    picture: Picture
    wanted: Flags


def worth_of(band: Band) -> float:
    """Tell what a look thinks of a line: the surer and the longer, the more."""
    return band.score + 0.08 * log2(max((band.x1 - band.x0) / band.body_px, 1e-3))


def untaken_in(picture: Picture, upright: Sequence[Band]) -> Flags:
    """Tell which blocks of a picture, (H/4, W/4), may be letters and aren't taken by upright lines."""
    taken = _taken(picture, upright)
    height, width = taken.shape
    return _crowded(bent_in(blocks_of(picture.srgb1))[:height, :width] & ~taken)


def leaning_in(picture: Picture, wanted: Flags, looks: Sequence[Look]) -> Flags:
    """Leave only those heaps of wanted blocks in which the upright looks saw some core.

    Of lines that lean by less than 30 degrees they see one somewhere, if not the whole; of lines on end they don't.
    """
    heaps, count = ndimage.label(grown(wanted), np.ones((3, 3)))
    seen = np.zeros(count + 1)
    for look in looks:
        apart = look.picture.scale[0] / picture.scale[0]
        if 1 / MOST_APART < apart < MOST_APART:
            cells = np.argwhere(look.core > LEAST_SEEN) + 0.5
            px = cells * CELL * np.array(look.picture.scale) + look.picture.origin_px[::-1]
            blocks = np.floor((px - picture.origin_px[::-1]) / picture.scale / BLOCK).astype(np.intp)
            y, x = blocks[((blocks >= 0) & (blocks < wanted.shape)).all(axis=1)].T
            seen += np.bincount(heaps[y, x], minlength=count + 1) * (apart * CELL / BLOCK) ** 2
    leaning = seen > LEAST_SEEN_BLOCKS
    leaning[0] = False
    chosen: Flags = wanted & leaning[heaps]
    return chosen


def parts_of(picture: Picture, wanted: Flags) -> Iterator[Part]:
    """Cut out the parts of a picture that hold all that is wanted, (H/4, W/4), and its surroundings."""
    for top, bottom, left, right in _places(wanted):
        yield Part(picture=_cut(picture, (top, bottom, left, right)), wanted=wanted[top:bottom, left:right])


def _taken(picture: Picture, upright: Sequence[Band]) -> Flags:
    """Tell which blocks of a picture upright lines surely take."""
    taken = np.zeros((ceil(picture.height / BLOCK), ceil(picture.width / BLOCK)), dtype=bool)
    for band in upright:
        if worth_of(band) < SURE or abs(band.angle_deg) >= LEAST_LEAN_DEG:
            continue
        half, beside = (0.5 + ABOVE_BODIES) * band.body_px, BESIDE_BODIES * band.body_px
        x0, x1 = ((x - picture.origin_px[0]) / picture.scale[1] / BLOCK for x in (band.x0 - beside, band.x1 + beside))
        y0, y1 = ((band.middle_y + y - picture.origin_px[1]) / picture.scale[0] / BLOCK for y in (-half, half))
        taken[max(0, round(y0)) : max(0, round(y1)), max(0, round(x0)) : max(0, round(x1))] = True
    return taken


def _crowded(blocks: Flags) -> Flags:
    """Leave only those blocks (H, W) that have many others around them."""
    count = ndimage.uniform_filter(blocks.astype(np.float32), CROWD_BLOCKS, mode="constant") * CROWD_BLOCKS**2
    crowded: Flags = blocks & (count > CROWD - 0.5)
    return crowded


def _places(wanted: Flags) -> list[Area]:
    """Return boxes around what is wanted (H, W) and its surroundings, as few as cost little to turn."""
    near = ndimage.maximum_filter(wanted, 2 * REACH_BLOCKS + 1)
    labels, _ = ndimage.label(near, np.ones((3, 3)))
    places: list[Area] = [
        (rows.start, rows.stop, columns.start, columns.stop) for rows, columns in ndimage.find_objects(labels)
    ]
    joined = True
    while joined:
        joined = False
        for a, b in combinations(places, 2):
            both = (min(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), max(a[3], b[3]))
            if _size(both) < _size(a) + _size(b) + APART_BLOCKS:
                places = [both, *(one for one in places if one not in (a, b))]
                joined = True
                break
    return places


def _size(place: Area) -> int:
    """Return how many blocks a part has about, once it is turned."""
    height, width = place[1] - place[0], place[3] - place[2]
    return height * width + (height * height + width * width) // 3


def _cut(picture: Picture, place: Area) -> Picture:
    top, bottom, left, right = place
    (y_scale, x_scale), (x, y) = picture.scale, picture.origin_px
    return Picture(
        srgb1=picture.srgb1[top * BLOCK : bottom * BLOCK, left * BLOCK : right * BLOCK],
        height=(bottom - top) * BLOCK,
        width=(right - left) * BLOCK,
        scale=picture.scale,
        origin_px=(x + left * BLOCK * x_scale, y + top * BLOCK * y_scale),
    )
