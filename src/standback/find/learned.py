"""Proposes lines by the learned scorer: cores on every octave, one band a line."""

import numpy as np

from standback.artwork.model import Artwork
from standback.find.bands import Band, thinned
from standback.find.core_map import Strip, strips_of
from standback.find.scorer import CELL, Floats, score
from standback.find.working import Picture, pictures_of
from standback.threads import each

LEAST_SCORE = 0.72
"""Strips the scorer is less sure of are dropped (ours)."""


def propose(artwork: Artwork) -> tuple[Band, ...]:
    """Return where lines within about 16 degrees of upright may run, the best first, one a line.

    A leaning line's band is that of the line turned upright about its own centre.
    """
    pictures = pictures_of(artwork)
    found = each(lambda picture: strips_on(picture.srgb1, picture.height, picture.width), pictures)
    return thinned(band_of(strip, picture) for picture, strips in zip(pictures, found, strict=True) for strip in strips)


def strips_on(srgb1: Floats, height: int, width: int) -> list[Strip]:
    """Return the credible strips on a padded picture of which (height, width) samples count."""
    core = score(srgb1).core[: -(-height // CELL), : -(-width // CELL)]
    return [strip for strip in strips_of(core, CELL) if strip.probability >= LEAST_SCORE]


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
