"""Margins: type close to the trim, and the outer margins on either side."""

from collections.abc import Iterator, Sequence

from standback.arrangement import Margins, NearTrim
from standback.artwork import Artwork
from standback.measure.apart import LEVEL_DEG
from standback.measure.beyond import runs_on
from standback.measure.edges import has_sign_before
from standback.measure.model import Measurement, is_imprint
from standback.settings import Limits

CUT_MM = 0.5
"""Type this close to the trim is cut by it, on purpose (ours)."""
KEPT_BY = 3
"""So many lines keep to a margin that is meant (ours)."""
OVERRUN_OF = 2
"""A margin that others go beyond is kept by so many lines (ours)."""
SLIM = 0.04
"""A margin wider than this, as a share of the sheet's shorter side, is no margin overrun (ours)."""
MOST_UNLIKE = 4.0
"""Where one margin is more than so many times the other, that is the layout (ours)."""
SURE = 0.9
"""What is less surely text sets no margin (ours)."""


def near_trim(lines: Sequence[Measurement], artwork: Artwork, limits: Limits) -> tuple[NearTrim, ...]:
    """Find type inside the safe margin, at its nearest side; not what the trim cuts or what runs on to it."""
    return tuple(_within(lines, artwork, CUT_MM, limits.safe_margin_mm))


def thin_margins(lines: Sequence[Measurement], artwork: Artwork, limits: Limits) -> tuple[NearTrim, ...]:
    """Find type outside the safe margin that leaves too thin a margin for so large a sheet; no lettering of logos."""
    wanted_mm = limits.thin_margin_share * min(artwork.width_mm, artwork.height_mm)
    sure = [m for m in lines if m.line.confidence >= SURE and not m.logo]
    return tuple(near for near in _within(sure, artwork, CUT_MM, wanted_mm) if near.gap_mm >= limits.safe_margin_mm)


def _within(lines: Sequence[Measurement], artwork: Artwork, from_mm: float, to_mm: float) -> Iterator[NearTrim]:
    short_mm = min(artwork.width_mm, artwork.height_mm)
    for m in lines:
        left, top, right, bottom = m.box_mm
        gaps = {"left": left, "top": top, "right": artwork.width_mm - right, "bottom": artwork.height_mm - bottom}
        side, gap_mm = min(gaps.items(), key=lambda one: one[1])
        if from_mm < gap_mm < to_mm and not runs_on(m.line, artwork, side):
            yield NearTrim(element=m.id, side=side, gap_mm=gap_mm, share=gap_mm / short_mm)


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


def overrun(lines: Sequence[Measurement], artwork: Artwork, limits: Limits) -> Margins | None:
    """Return the outer margins if lines go far beyond the one that is kept on the other side, else None.

    Kept by two lines, or by the line that goes beyond it. Only a slim margin can be overrun: a wide one is a part
    of the layout.
    """
    width_mm, slack_mm = artwork.width_mm, limits.axis_share * artwork.width_mm
    slim_mm = SLIM * min(width_mm, artwork.height_mm)
    level = [m for m in lines if abs(m.line.angle_deg) <= LEVEL_DEG and m.line.confidence >= SURE and not m.logo]
    level = [m for m in level if not is_imprint(m, artwork.height_mm)]
    if not level:
        return None
    to_left, to_right = {m.id: m.box_mm[0] for m in level}, {m.id: width_mm - m.box_mm[2] for m in level}
    wide, narrow = sorted((to_left, to_right), key=lambda gaps: -min(gaps.values()))
    kept_mm, least_mm = min(wide.values()), min(narrow.values())
    keeping = [m for m in wide if wide[m] - kept_mm <= slack_mm]
    beyond = sorted((m for m in narrow if limits.overrun_ratio * narrow[m] < kept_mm), key=lambda m: narrow[m])
    if not beyond or not CUT_MM < least_mm <= slim_mm or kept_mm > MOST_UNLIKE * least_mm:
        return None
    if len(keeping) < OVERRUN_OF and beyond[0] not in keeping:
        return None
    by_id = {m.id: m for m in level}
    if wide is to_left and any(has_sign_before(by_id[m], artwork) for m in keeping):
        return None
    if any(runs_on(by_id[m].line, artwork, "left" if narrow is to_left else "right") for m in beyond):
        return None
    left, right = (beyond, keeping) if narrow is to_left else (keeping, beyond)
    return Margins(left_mm=min(to_left.values()), right_mm=min(to_right.values()), left=tuple(left), right=tuple(right))
