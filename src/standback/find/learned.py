"""Proposes lines by the learned scorer: cores on every octave, one band a line."""

from math import cos, radians

from standback.artwork.model import Artwork
from standback.find.bands import Band, thinned
from standback.find.core_map import Strip, strips_of
from standback.find.scorer import CELL, score
from standback.find.working import Picture, pictures_of

LEAST_SCORE = 0.6
"""Strips the scorer is less sure of are dropped (ours)."""


def propose(artwork: Artwork) -> tuple[Band, ...]:
    """Return where lines may run, the best first, one a line."""
    bands = []
    for picture in pictures_of(artwork):
        core = score(picture.srgb1).core[: -(-picture.height // CELL), : -(-picture.width // CELL)]
        bands += [_band(strip, picture) for strip in strips_of(core, CELL) if strip.probability >= LEAST_SCORE]
    return thinned(bands)


def _band(strip: Strip, picture: Picture) -> Band:
    (y_scale, x_scale), (ox, oy) = picture.scale, picture.origin_px
    half = strip.length / 2 * cos(radians(strip.angle_deg))
    return Band(
        x0=ox + (strip.centre_x - half) * x_scale,
        x1=ox + (strip.centre_x + half) * x_scale,
        middle_y=oy + strip.centre_y * y_scale,
        body_px=strip.body * y_scale,
        angle_deg=strip.angle_deg,
        score=strip.probability,
    )
