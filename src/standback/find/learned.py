"""Proposes lines by the learned scorer: cores on every octave, one band a line."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from standback.artwork.model import Artwork
from standback.find.bands import Band, thinned
from standback.find.core_map import Floats, Strip, strips_of
from standback.find.scorer import CELL, score
from standback.find.stirred import BLOCK, TILE
from standback.find.working import Picture, pictures_of
from standback.forking import by_two

LEAST_SCORE = 0.72
"""Strips the scorer is less sure of are dropped (ours)."""
UPPER_SHARE, OVERLAP_PX = 0.6, 128
"""Where the finest picture is cut, between tiles, and how far either part is looked at beyond that: farther than the
network sees, so that it says the same."""
TILE_PX = BLOCK * TILE


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Look:
    """What the scorer saw on one picture: its map of cores, and the picture without its samples."""

    core: Floats
    picture: Picture


def looks_at(artwork: Artwork) -> tuple[Look, ...]:
    """Look at every octave of an artwork, upright."""
    pictures = pictures_of(artwork)
    cores = cores_of(pictures)
    # copied: a view of none of the samples would hold them all
    return tuple(
        Look(core=core, picture=replace(picture, srgb1=picture.srgb1[:0].copy()))
        for picture, core in zip(pictures, cores, strict=True)
    )


def bands_of(looks: Iterable[Look]) -> tuple[Band, ...]:
    """Return where lines within about 16 degrees of upright may run, the best first, one a line.

    A leaning line's band is that of the line turned upright about its own centre.
    """
    return thinned(
        band_of(strip, look.picture)
        for look in looks
        for strip in strips_of(look.core, CELL)
        if strip.probability >= LEAST_SCORE
    )


def cores_of(pictures: Sequence[Picture]) -> list[Floats]:
    """Return the map of cores of each picture, but for its padding.

    The finest takes longer than all others: its foot is done by whoever does those.
    """
    finest, *coarser = (picture.srgb1 for picture in pictures)
    cut = round(UPPER_SHARE * len(finest) / TILE_PX) * TILE_PX
    above, below = finest[: cut + OVERLAP_PX], finest[max(0, cut - OVERLAP_PX) :]
    upper, lower, *others = by_two(lambda srgb1: score(srgb1).core, [above, below, *coarser])
    whole = np.vstack([upper[: cut // CELL], lower[min(cut, OVERLAP_PX) // CELL :]])
    return [
        core[: -(-picture.height // CELL), : -(-picture.width // CELL)]
        for core, picture in zip([whole, *others], pictures, strict=True)
    ]


def band_of(strip: Strip, picture: Picture) -> Band:
    """Return the strip in original pixels."""
    (y_scale, x_scale), (ox, oy) = picture.scale, picture.origin_px
    along = np.hypot(np.cos(np.radians(strip.angle_deg)) * x_scale, np.sin(np.radians(strip.angle_deg)) * y_scale)
    x, half = ox + strip.centre_x * x_scale, strip.length / 2 * float(along)
    return Band(
        x0=x - half,
        x1=x + half,
        middle_y=oy + strip.centre_y * y_scale,
        body_px=strip.body * y_scale,
        angle_deg=strip.angle_deg,
        score=strip.probability,
    )
