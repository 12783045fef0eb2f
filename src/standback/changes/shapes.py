"""What would mend a drawn shape that is close to its ground: another colour, drawn and measured again."""

from collections.abc import Iterator

import numpy as np
from scipy import ndimage

from standback.artwork.model import Artwork
from standback.changes.colours import Side, moves_enough
from standback.changes.offer import Offer
from standback.changes.suggestion import is_clean
from standback.changes.words import turned
from standback.elements import Detail, Srgb8
from standback.findings import Redraw
from standback.light import (
    contrast_ratio,
    luminance1,
    luminance1_of,
    nearest_ink,
    ratios_of_luminances,
    srgb8_to_linear,
)
from standback.masks import grown
from standback.measure.again import Scene
from standback.measure.look import Look
from standback.measure.model import DetailMeasurement
from standback.measure.redraw import is_one_colour, shape_again
from standback.numbers import ratio

RATIO_STEPS = (1.0, 1.03, 1.1, 1.3)
"""Contrasts tried, as multiples of the one wanted (ours)."""
LEAST_INSIDE, TOLD, SWALLOWED = 0.02, 1.5, 0.3
"""What stands inside a shape is so much of its size; where it stands off by so much it is told, and a colour swallows
it that leaves so large a share of it under that (ours)."""


def shape_offer(m: DetailMeasurement, scene: Scene) -> Offer | None:
    """Return the nearest colour with which its outline has the contrast wanted, None where none has.

    Where a shape is of several colours, or can't be lifted off what is around it, the colour is worked out, not drawn.
    """
    inks = list(_inks(m))
    if not inks:
        return None
    if _hides(m.detail, inks[0], scene.artwork):
        inside = "what stands in it would be lost on that, and needs another colour"
        return Offer(says=f"{_in_words(m, inks[0])}, but {inside}; or only give it an outline as strong.")
    if not is_one_colour(m.detail, scene.artwork):
        return Offer(says=f"{_in_words(m, inks[0])}, and its other colours as far; or give it an outline as strong.")
    if is_clean(m.detail, scene.artwork):
        for ink in inks:
            again = shape_again(m.detail, scene.artwork, Look(ink=ink))
            if again is not None and again.ratio >= m.ratio_wanted:
                redraw = Redraw(element=m.id, ink=ink, ground=m.detail.ground_srgb8)
                return Offer(says=f"{_in_words(m, ink)}, measured again.", redraws=(redraw,))
    return Offer(says=f"{_in_words(m, inks[0])}.")


def _inks(m: DetailMeasurement) -> Iterator[Srgb8]:
    """Yield colours of its hue that have the contrast wanted, those on its own side of the ground first."""
    ink, ground = m.detail.ink_srgb8, m.detail.ground_srgb8
    darker = luminance1_of(ink) < luminance1_of(ground)
    sides: tuple[Side, Side] = ("darker", "lighter") if darker else ("lighter", "darker")
    for side in sides:
        for step in RATIO_STEPS:
            new = nearest_ink(ink, ground, step * m.ratio_wanted, side=side)
            if new is not None and moves_enough(ink, new):
                yield new


def _hides(shape: Detail, ink: Srgb8, artwork: Artwork) -> bool:
    """Whether what stands inside a shape is told from its colour as it is, but not from another."""
    box, scale = shape.box_px, shape.mask_scale
    within = ndimage.binary_fill_holes(shape.mask) & ~grown(shape.mask)
    codes = artwork.srgb8[box.y0 : box.y1 : scale, box.x0 : box.x1 : scale]
    inside = codes[within[: codes.shape[0], : codes.shape[1]]]
    if len(inside) < LEAST_INSIDE * np.count_nonzero(shape.mask):
        return False
    inside1 = luminance1(srgb8_to_linear(inside))
    before, after = (ratios_of_luminances(inside1, luminance1_of(colour)) for colour in (shape.ink_srgb8, ink))
    return float(((before >= TOLD) & (after < TOLD)).mean()) >= SWALLOWED


def _in_words(m: DetailMeasurement, ink: Srgb8) -> str:
    return f"{turned('it', m.detail.ink_srgb8, ink)}: {ratio(contrast_ratio(ink, m.detail.ground_srgb8))}"
