"""Margins: type close to the trim, and the outer margins on either side."""

from collections.abc import Sequence

from standback.arrangement import Margins, NearTrim
from standback.artwork import Artwork
from standback.measure.apart import LEVEL_DEG
from standback.measure.beyond import runs_on
from standback.measure.model import Measurement
from standback.settings import Limits

CUT_MM = 0.5
"""Type this close to the trim is cut by it, on purpose (ours)."""
KEPT_BY = 3
"""So many lines keep to a margin that is meant (ours)."""


def near_trim(lines: Sequence[Measurement], artwork: Artwork, limits: Limits) -> tuple[NearTrim, ...]:
    """Find type inside the safe margin, at its nearest side; not what the trim cuts or what runs on to it."""
    found = []
    for m in lines:
        left, top, right, bottom = m.box_mm
        gaps = {"left": left, "top": top, "right": artwork.width_mm - right, "bottom": artwork.height_mm - bottom}
        side, gap_mm = min(gaps.items(), key=lambda one: one[1])
        if CUT_MM < gap_mm < limits.safe_margin_mm and not runs_on(m.line, artwork, side):
            found.append(NearTrim(element=m.id, side=side, gap_mm=gap_mm))
    return tuple(found)


def outer_margins(lines: Sequence[Measurement], artwork: Artwork, limits: Limits) -> Margins | None:
    """Return the outer margins if on either side several lines keep to one exactly, else None.

    Lines set ragged have no right margin, and a sheet whose type stands in its middle has neither.
    """
    slack_mm = limits.axis_share * artwork.width_mm
    level = [m for m in lines if abs(m.line.angle_deg) <= LEVEL_DEG]
    if not level:
        return None
    left_mm = min(m.box_mm[0] for m in level)
    right_mm = max(m.box_mm[2] for m in level)
    left = [m for m in level if m.box_mm[0] - left_mm <= slack_mm]
    right = [m for m in level if right_mm - m.box_mm[2] <= slack_mm]
    if min(len(left), len(right)) < KEPT_BY:
        return None
    return Margins(
        left_mm=left_mm,
        right_mm=artwork.width_mm - right_mm,
        left=tuple(m.id for m in left),
        right=tuple(m.id for m in right),
    )
