"""What would mend a figure whose outline is weak: a line around it, measured again along the whole outline."""

from collections.abc import Iterator
from typing import Literal

from standback.changes.offer import Offer
from standback.elements import Srgb8
from standback.light import luminance1_of, nearest_ink, to_hex
from standback.measure.again import Scene
from standback.measure.model import FigureMeasurement
from standback.measure.outline import ratios_with_line
from standback.numbers import least_millimetres, ratio

Side = Literal["darker", "lighter"]
LINE_MM_PER_M = 0.58
"""A line of two minutes of arc: twice what an eye of 6/6 just parts (ours)."""
WIDER = (1.0, 1.5, 2.0)
"""Widths tried, as multiples of that (ours)."""
RATIO_STEPS = (1.0, 1.15, 1.3, 1.6, 2.0, 3.0)
"""Contrasts tried, as multiples of the one wanted: the ground is not of one colour all around (ours)."""
SPARE = 1.04
"""So much more of the outline than must hold does hold (ours)."""


def outline_change(f: FigureMeasurement, scene: Scene) -> Offer | None:
    """Return the mildest line around the figure with which its outline holds, None where none does."""
    limits = scene.settings.limits
    for width_mm in (wider * LINE_MM_PER_M * f.far_m for wider in WIDER):
        for ink in _inks(f, limits.detail_ratio):
            ratios = ratios_with_line(f.figure, scene.artwork, ink, width_mm)
            held = float((ratios >= limits.detail_ratio).mean()) if len(ratios) else 0.0
            if held >= min(SPARE * limits.outline_share, 1.0):
                return Offer(
                    says=f"Give it an outline or an edge of {to_hex(ink)}, {least_millimetres(width_mm)} wide or more: "
                    f"then {held:.0%} of it stands off from what is around it by {ratio(limits.detail_ratio)} or more."
                )
    return None


def _inks(f: FigureMeasurement, wanted: float) -> Iterator[Srgb8]:
    """Yield colours of its hue: on its own side of the ground first, the least contrast first."""
    colour, ground = f.figure.colour_srgb8, f.figure.ground_srgb8
    darker = luminance1_of(colour) < luminance1_of(ground)
    sides: tuple[Side, Side] = ("darker", "lighter") if darker else ("lighter", "darker")
    seen: set[Srgb8] = set()
    for side in sides:
        for step in RATIO_STEPS:
            ink = nearest_ink(colour, ground, step * wanted, side=side)
            if ink is not None and ink not in seen:
                seen.add(ink)
                yield ink
