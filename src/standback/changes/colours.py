"""Colours that may mend a line, way by way, each way from the mildest to the boldest."""

from collections.abc import Iterator
from typing import Literal

from standback.changes.fault import Fault
from standback.elements import Srgb8
from standback.light import contrast_ratio, luminance1_of, nearest_ink
from standback.measure.look import Look

Side = Literal["darker", "lighter"]
RATIO_STEPS = (1.0, 1.02, 1.06, 1.15, 1.3, 1.6, 2.0, 3.0, 5.0)
"""Colour targets over the wanted ratio: rims, grain and uneven grounds cost some (ours)."""
MOST_RATIO = 21.0
LEAST_CODES = 6
"""A colour that moves by fewer sRGB codes than this looks like the one before: nobody would set it (ours)."""
BLACK: Srgb8 = (0, 0, 0)
WHITE: Srgb8 = (255, 255, 255)


def colour_ways(fault: Fault) -> Iterator[Iterator[Look]]:
    """Propose colours of the same hue, way by way.

    Light type stays light and dark type dark if it can: where the ink has no room left on its side of
    the ground, the ground moves, then the ground is laid evenly, or the letters get an outline, and only
    then does the ink change sides.
    """
    ink, ground = fault.worst.line.ink_srgb8, fault.worst.line.ground_srgb8
    dark_type = luminance1_of(ink) < luminance1_of(ground)
    away: Side = "darker" if dark_type else "lighter"
    towards: Side = "lighter" if dark_type else "darker"
    if "colour" in fault.kinds:
        yield (Look(ink=new) for new in _nearest(fault, ink, ground, away))
        yield (Look(ground=new) for new in _nearest(fault, ground, ink, towards))
    if "even ground" in fault.kinds or fault.worst.masked:
        yield iter([Look(even=True)])
    if "outline" in fault.kinds:
        yield iter([Look(outline=WHITE if dark_type else BLACK)])
    if "colour" in fault.kinds:
        yield (Look(ink=new) for new in _nearest(fault, ink, ground, towards))


def _nearest(fault: Fault, old: Srgb8, other: Srgb8, side: Side) -> Iterator[Srgb8]:
    """Walk away from the colour as it is, up to the ratio wanted and beyond it, as far as colours go."""
    base = max(max(m.ratio, m.ratio_wanted) for m in fault.lines)
    strongest = BLACK if side == "darker" else WHITE
    steps = (nearest_ink(old, other, min(step * base, MOST_RATIO), side=side) for step in RATIO_STEPS)
    tried = {old}
    for new in (*steps, strongest if contrast_ratio(strongest, other) >= base else None):
        if new is not None and new not in tried and moves_enough(old, new):
            tried.add(new)
            yield new


def moves_enough(old: Srgb8, new: Srgb8) -> bool:
    """Whether a colour differs from another by enough to be worth a change."""
    return max(abs(a - b) for a, b in zip(old, new, strict=True)) >= LEAST_CODES
