"""Proposes turned lines: the scorer looks again at the sheet turned sideways and slanted."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil, cos, hypot, log2, radians, sin

import numpy as np
import numpy.typing as npt
from scipy import ndimage
from skimage.transform import warp

from standback.artwork.model import Artwork
from standback.find.bands import Band
from standback.find.core_map import Strip, strips_of
from standback.find.learned import LEAST_SCORE, band_of
from standback.find.learned import propose as upright_bands
from standback.find.scorer import CELL, Maps, blocks_of, score
from standback.find.stirred import BLOCK, REACH_BLOCKS, Flags, Floats, crossed_in
from standback.find.working import TURNED_DETAIL, Picture, padded, pictures_of
from standback.threads import each

Doubles = npt.NDArray[np.float64]

TURNS_DEG = (90.0, 25.0, -25.0)
"""The scorer reads within about 16 degrees of each of these and of upright."""
LEAST_TURN_DEG = 12.0
"""Lines that lean less are left to the upright look."""
LEAST_LEAN_DEG = 5.0
"""A band that leans less stands upright."""
UPRIGHT = 0.85
"""Type this surely upright is not upside down: one training crop in sixteen was turned over."""
SURE, SURE_BODIES, AROUND_BODIES = 0.9, 4.0, 0.3
"""Where the upright look is so sure of a line of such a length, no turned one is looked for, nor so close around
it, where its ascenders and descenders are (ours)."""
CROWD, CROWD_BLOCKS = 5, 9
"""So many blocks that are no straight edges in a square of so many blocks a side may be letters: the shortest line
that is looked for has more, corners of panels and what bands leave of upright lines have fewer (ours)."""
SHARED = 0.35
"""Two bands are one line where this share of the middle of either lies in the other."""
_POINTS = 15


def propose(artwork: Artwork) -> tuple[Band, ...]:
    """Return where lines of any lean may run, upright ones first, those of each kind the best first.

    A band is that of the line turned upright about its own centre; `angle_deg` says how it was turned.
    """
    upright = list(upright_bands(artwork))
    kept: list[Band] = []
    for band in sorted(_turned(artwork, upright), key=lambda b: (-_worth(b), b.middle_y, b.x0)):
        if any(_shared(band, k) > SHARED for k in kept):
            continue
        rivals = [k for k in upright if _shared(band, k) > SHARED]
        if all(_worth(k) < _worth(band) for k in rivals):
            kept.append(band)
            # what the upright look saw of a leaning line; one that stands upright is left to be measured
            upright = [k for k in upright if k not in rivals or abs(k.angle_deg) < LEAST_LEAN_DEG]
    return (*upright, *kept)


def _turned(artwork: Artwork, upright: Sequence[Band]) -> Iterator[Band]:
    parts = [_left_of(picture, _taken(picture, upright)) for picture in pictures_of(artwork, TURNED_DETAIL)]
    looks = [(*part, turn_deg) for part in parts if part is not None for turn_deg in TURNS_DEG]
    for bands in each(lambda look: tuple(_look(*look)), looks):
        yield from (band for band in bands if LEAST_TURN_DEG <= abs(band.angle_deg) <= 180 - LEAST_TURN_DEG)


def _left_of(picture: Picture, taken: Flags) -> tuple[Picture, Flags] | None:
    """Cut out the part of a picture that holds all that may be letters but isn't taken, and tell its blocks."""
    height, width = taken.shape
    wanted = _crowded(crossed_in(blocks_of(picture.srgb1))[:height, :width] & ~taken)
    rows, columns = np.flatnonzero(wanted.any(axis=1)), np.flatnonzero(wanted.any(axis=0))
    if not len(rows):
        return None
    top, left = max(0, int(rows[0]) - REACH_BLOCKS), max(0, int(columns[0]) - REACH_BLOCKS)
    bottom, right = min(height, int(rows[-1]) + 1 + REACH_BLOCKS), min(width, int(columns[-1]) + 1 + REACH_BLOCKS)
    (y_scale, x_scale), (x, y) = picture.scale, picture.origin_px
    part = Picture(
        srgb1=picture.srgb1[top * BLOCK : bottom * BLOCK, left * BLOCK : right * BLOCK],
        height=(bottom - top) * BLOCK,
        width=(right - left) * BLOCK,
        scale=picture.scale,
        origin_px=(x + left * BLOCK * x_scale, y + top * BLOCK * y_scale),
    )
    return part, wanted[top:bottom, left:right]


def _crowded(blocks: Flags) -> Flags:
    """Leave only those blocks (H, W) that have many others around them."""
    count = ndimage.uniform_filter(blocks.astype(np.float32), CROWD_BLOCKS, mode="constant") * CROWD_BLOCKS**2
    crowded: Flags = blocks & (count > CROWD - 0.5)
    return crowded


def _taken(picture: Picture, upright: Sequence[Band]) -> Flags:
    """Tell which blocks of a picture upright lines surely take."""
    taken = np.zeros((ceil(picture.height / BLOCK), ceil(picture.width / BLOCK)), dtype=bool)
    for band in upright:
        if band.score < SURE or abs(band.angle_deg) >= LEAST_LEAN_DEG or band.x1 - band.x0 < SURE_BODIES * band.body_px:
            continue
        half = (0.5 + AROUND_BODIES) * band.body_px
        x0, x1 = ((x - picture.origin_px[0]) / picture.scale[1] / BLOCK for x in (band.x0, band.x1))
        y0, y1 = ((band.middle_y + y - picture.origin_px[1]) / picture.scale[0] / BLOCK for y in (-half, half))
        taken[max(0, round(y0)) : max(0, round(y1)), max(0, round(x0)) : max(0, round(x1))] = True
    return taken


def _look(picture: Picture, wanted: Flags, turn_deg: float) -> Iterator[Band]:
    """Yield the bands seen on one picture turned clockwise by an angle, near the blocks that are wanted."""
    sheet = picture.srgb1[: picture.height, : picture.width]
    turned = np.rot90(sheet, -1) if turn_deg == 90 else _slanted(sheet, turn_deg)
    height, width = turned.shape[:2]
    framed = padded(np.ascontiguousarray(turned))
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))

    def on_sheet(x: Doubles, y: Doubles) -> tuple[Doubles, Doubles]:
        u, v = x - width / 2, y - height / 2
        return picture.width / 2 + u * c + v * s, picture.height / 2 - u * s + v * c

    down, across = np.ogrid[: framed.shape[0] : BLOCK, : framed.shape[1] : BLOCK]
    x, y = on_sheet(across + BLOCK / 2, down + BLOCK / 2)
    columns, rows = np.floor(x / BLOCK).astype(int), np.floor(y / BLOCK).astype(int)
    on = (rows >= 0) & (rows < wanted.shape[0]) & (columns >= 0) & (columns < wanted.shape[1])
    maps = score(framed, on & wanted[np.where(on, rows, 0), np.where(on, columns, 0)])
    for strip in strips_of(maps.core[: ceil(height / CELL), : ceil(width / CELL)], CELL):
        if strip.probability < LEAST_SCORE:
            continue
        x, y = on_sheet(np.array(strip.centre_x), np.array(strip.centre_y))
        if 0 <= x <= picture.width and 0 <= y <= picture.height:
            angle = strip.angle_deg + turn_deg
            if not _stands(maps, strip):
                angle += -180 if angle > 0 else 180
            yield band_of(replace(strip, centre_x=float(x), centre_y=float(y), angle_deg=angle), picture)


def _slanted(sheet: Floats, turn_deg: float) -> Floats:
    """Turn a picture clockwise; the sheet's edge goes on outside of it."""
    height, width = sheet.shape[:2]
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))
    new = (ceil(height * c + width * abs(s)), ceil(height * abs(s) + width * c))
    turn = np.array([[c, s], [-s, c]])
    middle = np.array([width - 1, height - 1]) / 2 - turn @ ((np.array(new[::-1]) - 1) / 2)
    back = np.vstack([np.column_stack([turn, middle]), [0, 0, 1]]).astype(np.float32)
    # half the time of scipy's
    turned: Floats = warp(sheet, back, output_shape=new, order=1, mode="edge", preserve_range=True, clip=False)
    return turned


def _stands(maps: Maps, strip: Strip) -> bool:
    """Whether the type on a strip stands upright there, rather than upside down."""
    (x0, y0), (x1, y1) = strip.end(-1), strip.end(1)
    t = np.linspace(0, 1, _POINTS)
    rows = np.clip((y0 + t * (y1 - y0)) / 4, 0, maps.upright.shape[0] - 1).astype(int)
    columns = np.clip((x0 + t * (x1 - x0)) / 4, 0, maps.upright.shape[1] - 1).astype(int)
    return float(maps.upright[rows, columns].mean()) >= UPRIGHT


def _worth(band: Band) -> float:
    return band.score + 0.08 * log2(max((band.x1 - band.x0) / band.body_px, 1e-3))


def _shared(a: Band, b: Band) -> float:
    """Share of the middle of one band that lies in the other's body, the larger of both ways."""
    if hypot((a.x0 + a.x1 - b.x0 - b.x1) / 2, a.middle_y - b.middle_y) > a.x1 - a.x0 + b.x1 - b.x0:
        return 0.0
    return max(_inside(a, b), _inside(b, a))


def _inside(a: Band, b: Band) -> float:
    """Share of the middle line of `a` that lies in the body of `b`."""
    t = (np.arange(_POINTS) + 0.5) / _POINTS - 0.5
    ta, tb = radians(a.angle_deg), radians(b.angle_deg)
    dx = (a.x0 + a.x1 - b.x0 - b.x1) / 2 + t * (a.x1 - a.x0) * cos(ta)
    dy = a.middle_y - b.middle_y - t * (a.x1 - a.x0) * sin(ta)
    along, across = dx * cos(tb) - dy * sin(tb), dx * sin(tb) + dy * cos(tb)
    return float(((np.abs(along) <= (b.x1 - b.x0) / 2) & (np.abs(across) <= b.body_px / 2)).mean())
