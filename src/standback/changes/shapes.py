"""What would mend a drawn shape that is close to its ground: another colour, drawn and measured again."""

from collections.abc import Iterator

from standback.changes.colours import Side, moves_enough
from standback.changes.offer import Offer
from standback.changes.suggestion import is_clean
from standback.changes.words import turned
from standback.elements import Srgb8
from standback.findings import Redraw
from standback.light import contrast_ratio, luminance1_of, nearest_ink
from standback.measure.again import Scene
from standback.measure.look import Look
from standback.measure.model import DetailMeasurement
from standback.measure.redraw import is_one_colour, shape_again
from standback.numbers import ratio

RATIO_STEPS = (1.0, 1.03, 1.1, 1.3)
"""Contrasts tried, as multiples of the one wanted (ours)."""


def shape_offer(m: DetailMeasurement, scene: Scene) -> Offer | None:
    """Return the nearest colour with which its outline has the contrast wanted, None where none has.

    Where a shape is of several colours, or can't be lifted off what is around it, the colour is worked out, not drawn.
    """
    inks = list(_inks(m))
    if not inks:
        return None
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


def _in_words(m: DetailMeasurement, ink: Srgb8) -> str:
    return f"{turned('it', m.detail.ink_srgb8, ink)}: {ratio(contrast_ratio(ink, m.detail.ground_srgb8))}"
