"""Proposes lines by the learned scorer: cores on every octave, one band a line."""

import numpy as np

from standback.artwork.model import Artwork
from standback.find.bands import Band, thinned
from standback.find.core_map import Strip, strips_of
from standback.find.scorer import CELL, score
from standback.find.working import Picture, pictures_of
from standback.threads import Each, one_by_one, side_by_side

LEAST_SCORE = 0.72
"""Strips the scorer is less sure of are dropped (ours)."""


def propose(artwork: Artwork) -> tuple[Band, ...]:
    """Return where lines within about 16 degrees of upright may run, the best first, one a line.

    A leaning line's band is that of the line turned upright about its own centre.
    """
    pictures = pictures_of(artwork)
    # the finest takes longer than all others
    with side_by_side() as each:
        found = [strips_on(pictures[0], each), *each(strips_on, pictures[1:])]
    return thinned(band_of(strip, picture) for picture, strips in zip(pictures, found, strict=True) for strip in strips)


def strips_on(picture: Picture, each: Each = one_by_one) -> list[Strip]:
    """Return the credible strips on a picture, of whose padding nothing counts."""
    core = score(picture.srgb1, each=each).core[: -(-picture.height // CELL), : -(-picture.width // CELL)]
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
