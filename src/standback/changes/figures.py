"""What would mend a large figure that the brief names: its colour, then its size; measured again."""

from collections.abc import Collection, Iterator
from dataclasses import replace

from standback.changes.colours import moves_enough
from standback.changes.offer import Offer
from standback.elements import Srgb8
from standback.findings import Redraw
from standback.light import contrast_ratio, luminance1_of, nearest_ink, to_hex
from standback.measure.again import Scene
from standback.measure.figures import figure_target
from standback.measure.model import FigureMeasurement
from standback.measure.notice import jnd_of
from standback.numbers import ratio

RATIO_STEPS = (1.0, 1.15, 1.3, 1.6, 2.0, 3.0, 4.0)
SIZES = (1.25, 1.5, 2.0, 3.0, 4.0)
"""Sizes tried, as multiples of today's (ours)."""


def figure_change(m: FigureMeasurement, scene: Scene, asked: Collection[str]) -> Offer | None:
    """Return the mildest change that clears what is asked for, None where none does.

    Parameters
    ----------
    asked
        The checks that it should no longer fail.
    """
    colours = [] if m.figure.picture else list(_colours(m))
    for colour in colours:
        if not asked or _stands_out(m, scene, asked, colour, 1.0):
            return _offer(m, colour, 1.0)
    if "faint-detail" not in asked:
        for larger in SIZES:
            if _stands_out(m, scene, asked, m.figure.colour_srgb8, larger):
                return _offer(m, m.figure.colour_srgb8, larger)
    return None


def _colours(m: FigureMeasurement) -> Iterator[Srgb8]:
    """Yield colours of its hue, the nearest that has the contrast wanted first."""
    base = max(m.ratio_wanted, m.figure.ratio)
    for step in RATIO_STEPS:
        new = nearest_ink(m.figure.colour_srgb8, m.figure.ground_srgb8, step * base)
        if new is not None and moves_enough(m.figure.colour_srgb8, new):
            yield new


def _stands_out(m: FigureMeasurement, scene: Scene, asked: Collection[str], colour: Srgb8, larger: float) -> bool:
    """Whether the figure, redrawn, is noticed from far; one twice as large looks as from half as far."""
    if "fades" not in asked:
        return True
    target = figure_target(replace(m.figure, colour_srgb8=colour), scene.artwork, scene.sheet)
    return jnd_of(target, m.far_m / larger, scene.settings) >= scene.settings.limits.stands_out_jnd


def _offer(m: FigureMeasurement, colour: Srgb8, larger: float) -> Offer:
    if larger > 1:
        return Offer(says=f"Show it {larger:g} times as large.")
    old, ground = m.figure.colour_srgb8, m.figure.ground_srgb8
    verb = "Darken" if luminance1_of(colour) < luminance1_of(old) else "Lighten"
    contrast = ratio(contrast_ratio(colour, ground))
    return Offer(
        says=f"{verb} it from {to_hex(old)} to {to_hex(colour)}: {contrast} to what is around it.",
        redraws=(Redraw(element=m.id, ink=colour, ground=ground),),
    )
