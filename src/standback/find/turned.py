"""Proposes turned lines: the scorer looks again at the sheet turned sideways and slanted."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil, cos, hypot, radians, sin

import numpy as np
import numpy.typing as npt
from skimage.transform import warp

from standback.artwork.model import Artwork
from standback.find.bands import Band
from standback.find.core_map import Strip, strips_of
from standback.find.learned import LEAST_SCORE, Look, band_of, bands_of, looks_at
from standback.find.scorer import CELL, Maps, score
from standback.find.stirred import BLOCK, Floats
from standback.find.untaken import LEAST_LEAN_DEG, Part, leaning_in, parts_of, untaken_in, worth_of
from standback.find.working import TURNED_DETAIL, padded, pictures_of
from standback.forking import by_two

Doubles = npt.NDArray[np.float64]

SIDEWAYS_DEG, SLANTS_DEG = 90.0, (25.0, -25.0)
"""The scorer reads within about 16 degrees of each of these and of upright."""
LEAST_TURN_DEG = 12.0
"""Lines that lean less are left to the upright look."""
UPRIGHT = 0.85
"""Type this surely upright is not upside down: one training crop in sixteen was turned over."""
SHARED = 0.35
"""Two bands are one line where this share of the middle of either lies in the other."""
_POINTS = 15


def propose(artwork: Artwork) -> tuple[Band, ...]:
    """Return where lines of any lean may run, upright ones first, those of each kind the best first.

    A band is that of the line turned upright about its own centre; `angle_deg` says how it was turned.
    """
    looks = looks_at(artwork)
    upright = list(bands_of(looks))
    kept: list[Band] = []
    for band in sorted(_turned(artwork, upright, looks), key=lambda b: (-worth_of(b), b.middle_y, b.x0)):
        if any(_shared(band, k) > SHARED for k in kept):
            continue
        rivals = [k for k in upright if _shared(band, k) > SHARED]
        if all(worth_of(k) < worth_of(band) for k in rivals):
            kept.append(band)
            # what the upright look saw of a leaning line; one that stands upright is left to be measured
            upright = [k for k in upright if k not in rivals or abs(k.angle_deg) < LEAST_LEAN_DEG]
    return (*upright, *kept)


def _turned(artwork: Artwork, upright: Sequence[Band], looks: Sequence[Look]) -> Iterator[Band]:
    again: list[tuple[Part, float]] = []
    for picture in pictures_of(artwork, TURNED_DETAIL):
        untaken = untaken_in(picture, upright)
        leaning = list(parts_of(picture, leaning_in(picture, untaken, looks)))
        again += [(part, SIDEWAYS_DEG) for part in parts_of(picture, untaken)]
        again += [(part, turn_deg) for part in leaning for turn_deg in SLANTS_DEG]
    again.sort(key=lambda one: -one[0].wanted.size)
    for bands in by_two(lambda one: tuple(_look(*one)), again):
        yield from (band for band in bands if LEAST_TURN_DEG <= abs(band.angle_deg) <= 180 - LEAST_TURN_DEG)


def _look(part: Part, turn_deg: float) -> Iterator[Band]:
    """Yield the bands seen on a part of a picture turned clockwise by an angle, near the blocks that are wanted."""
    picture, wanted = part.picture, part.wanted
    sheet = picture.srgb1[: picture.height, : picture.width]
    turned = np.rot90(sheet, -1) if turn_deg == SIDEWAYS_DEG else _slanted(sheet, turn_deg)
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
