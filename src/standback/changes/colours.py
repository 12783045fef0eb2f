"""Colours that may mend a line, way by way, each way from the mildest to the boldest."""

from collections.abc import Iterator
from typing import Literal

import numpy as np

from standback.changes.fault import Fault
from standback.elements import Srgb8
from standback.light import contrast_ratio, luminance1_of, nearest_ink, srgb8_to_oklab
from standback.measure.look import Look

Side = Literal["darker", "lighter"]
RATIO_STEPS = (1.0, 1.02, 1.06, 1.15, 1.3, 1.6, 2.0, 3.0, 5.0)
"""Colour targets over the wanted ratio: rims, grain and uneven grounds cost some (ours)."""
MOST_RATIO = 21.0
LEAST_CODES = 6
"""A colour that moves by fewer sRGB codes than this looks like the one before: nobody would set it (ours)."""
SLIGHT_OKLAB = 0.06
"""A ground that moves by less is hardly seen to be another one (ours)."""
FAR_OKLAB = 0.2
"""A ground that moves by more is another colour altogether: the ink changes before it does (ours)."""
GROUND_CODES = 24
GROUND_LETTERS, LARGE_SHARE, GROUND_SAMPLES = (2.0, 8.0), 0.5, 200
"""A ground is large where it is most of what lies from so many to so many letter heights away (ours); samples on the
longer side of what is looked at."""
BLACK: Srgb8 = (0, 0, 0)
WHITE: Srgb8 = (255, 255, 255)


def colour_ways(fault: Fault) -> Iterator[Iterator[Look]]:
    """Propose colours of the same hue, way by way.

    Light type stays light and dark type dark if it can: where the ink has no room left on its side of
    the ground, the ground moves, then the ground is laid evenly, or the letters get an outline, and only
    then does the ink change sides. Where the ground would become another colour, or goes on far beyond the line and
    would move by more than a little, the ink changes sides first: nobody repaints a sheet for a line. So it does where
    other lines on that ground have to change sides.
    """
    ink, ground = fault.worst.line.ink_srgb8, fault.worst.line.ground_srgb8
    dark_type = luminance1_of(ink) < luminance1_of(ground)
    away: Side = "darker" if dark_type else "lighter"
    towards: Side = "lighter" if dark_type else "darker"
    across = (Look(ink=new) for new in _nearest(fault, ink, ground, towards))
    ink_first = False
    if "colour" in fault.kinds:
        yield (Look(ink=new) for new in _nearest(fault, ink, ground, away))
        moved = next(_nearest(fault, ground, ink, towards), None)
        by = 0.0 if moved is None else _oklab_between(ground, moved)
        ink_first = (
            fault.keeps_ground
            or by > FAR_OKLAB
            or ((moved is None or by >= SLIGHT_OKLAB) and _on_a_large_ground(fault))
        )
        if ink_first:
            yield across
        yield (Look(ground=new) for new in _nearest(fault, ground, ink, towards))
    if "even ground" in fault.kinds or fault.worst.masked:
        yield iter([Look(even=True)])
    if "outline" in fault.kinds:
        yield iter([Look(outline=WHITE if dark_type else BLACK)])
    if "colour" in fault.kinds and not ink_first:
        yield across


def _oklab_between(old: Srgb8, new: Srgb8) -> float:
    before, after = (srgb8_to_oklab(np.asarray(colour, dtype=np.uint8)) for colour in (old, new))
    return float(np.linalg.norm(after - before))


def _on_a_large_ground(fault: Fault) -> bool:
    """Whether most of what lies some letters away from the worst line has its ground's colour."""
    line, artwork = fault.worst.line, fault.scene.artwork
    inner, outer = (line.box_px.grown(round(by * line.letter_px), artwork.trim_px) for by in GROUND_LETTERS)
    step = max(1, max(outer.width, outer.height) // GROUND_SAMPLES)
    codes = artwork.srgb8[outer.y0 : outer.y1 : step, outer.x0 : outer.x1 : step].astype(np.int16)
    near = (np.abs(codes - np.asarray(line.ground_srgb8)) <= GROUND_CODES).all(axis=2)
    y, x = (np.arange(start, stop, step) for start, stop in ((outer.y0, outer.y1), (outer.x0, outer.x1)))
    inside = ((y >= inner.y0) & (y < inner.y1))[:, None] & ((x >= inner.x0) & (x < inner.x1))
    return bool((~inside).any() and near[~inside].mean() > LARGE_SHARE)


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
