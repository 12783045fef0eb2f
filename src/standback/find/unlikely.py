"""Lines as credible as text by their shapes, but not by where they lie or how large they are."""

from collections.abc import Sequence

from standback.elements import Box, Detail, Line
from standback.find.textlike import Traits

SOLID, NARROW = 0.76, 0.6
"""One piece that fills so much of its box and is so wide for its height is a dot or a block (ours): a disc fills
0.79, a bold letter up to 0.7, and a stroke alone may be an I."""
GIANT, GIANT_SURE = 0.5, 0.97
"""Letters so large on the shorter side of the sheet are drawings, unless they are so surely text (ours)."""
CRUMB_PX, CRUMB_SURE = 5.0, 0.8
"""Of letters of so few pixels not enough is left to be told from specks, unless they are so surely text (ours)."""
OVERLAID = 0.5
"""A line with more of its area on two or more others is none (ours)."""
CROSSED = 0.05
"""Level and upright lines don't share more of their area than this (ours)."""
IN_CODE = 0.8
"""Share of a row of a code's modules that lies within the code (ours)."""


def is_dot(traits: Traits) -> bool:
    """Whether a single piece is solid: no letter but an I or an l is."""
    return traits.pieces == 1 and traits.fill > SOLID and traits.widest > NARROW


def is_crumb(line: Line) -> bool:
    """Whether the letters are too few pixels high to be taken for text so easily, as boards in a photograph."""
    return line.letter_px < CRUMB_PX and line.confidence < CRUMB_SURE


def is_giant(line: Line, sheet: Box) -> bool:
    """Whether the letters are too large for the sheet to be taken for text so easily."""
    return line.letter_px > GIANT * min(sheet.width, sheet.height) and line.confidence < GIANT_SURE


def is_across(line: Line, surer: Sequence[Line]) -> bool:
    """Whether a line runs across others that are surer than it is, as things do that are strung together."""
    shares = [
        (line.box_px.overlap(other.box_px) / line.box_px.area, other)
        for other in surer
        if _along_an_axis(line) and _along_an_axis(other)
    ]
    over = [share for share, _ in shares if share]
    if len(over) > 1 and sum(over) > OVERLAID:
        return True
    return any(share > CROSSED and (line.angle_deg - other.angle_deg) % 180 for share, other in shares)


def outside_codes(lines: Sequence[Line], details: Sequence[Detail]) -> tuple[int, ...]:
    """Return the indices of the lines that are no rows of a code, as its modules may be taken for."""
    codes = [detail.box_px for detail in details if detail.kind == "code"]
    return tuple(
        n
        for n, line in enumerate(lines)
        if line.wording or all(line.box_px.overlap(code) < IN_CODE * line.box_px.area for code in codes)
    )


def _along_an_axis(line: Line) -> bool:
    return line.angle_deg % 90 == 0
