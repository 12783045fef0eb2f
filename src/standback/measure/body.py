"""Body text: lines of one style that stand one under the other at an even distance."""

from collections.abc import Sequence
from math import cos, radians, sin

from standback.elements import Line

LEAST_LINES = 4
"""So many lines one under the other are body text (ours)."""
SHARED_LENGTH = 0.3
"""Lines are under each other where they share this much of the shorter one's length (ours)."""
LEAST_PITCH_EM, MOST_PITCH_EM = 0.6, 2.0
"""Distances of the lines of one text (ours)."""
EVEN_EM = 0.3
"""Distances differ by this much where one line has ascenders and descenders and the next has none (ours)."""
SAME_ANGLE_DEG = 1.0

Place = tuple[float, float, float]


def is_body(lines: Sequence[Line], em_px: float) -> bool:
    """Whether lines of one style, set at `em_px`, hold a block of `LEAST_LINES` or more at an even distance."""
    if len(lines) < LEAST_LINES:
        return False
    places = [_place(line) for line in lines]
    pitches = [_next(n, lines, places, em_px) for n in range(len(lines))]
    return any(_run(n, pitches, em_px) >= LEAST_LINES for n in range(len(lines)))


def goes_on(line: Line, body: Sequence[Line], em_px: float) -> bool:
    """Whether a line stands next over or under one of a body text that is set at `em_px`, as if of that text."""
    both = [line, *body]
    places = [_place(one) for one in both]
    below = _next(0, both, places, em_px)
    return below is not None or any(
        (after := _next(n, both, places, em_px)) is not None and after[1] == 0 for n in range(1, len(both))
    )


def _place(line: Line) -> Place:
    """Return where a line starts and ends along its own direction, and how far down its middle lies."""
    turn, box = radians(line.angle_deg), line.box_px
    x, y = (box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2
    half = (box.width * abs(cos(turn)) + box.height * abs(sin(turn))) / 2
    along = x * cos(turn) - y * sin(turn)
    return along - half, along + half, x * sin(turn) + y * cos(turn)


def _next(n: int, lines: Sequence[Line], places: Sequence[Place], em_px: float) -> tuple[float, int] | None:
    """Return how far down the next line under this one lies, and which it is."""
    start, end, down = places[n]
    under = []
    for k, (other_start, other_end, other_down) in enumerate(places):
        pitch = other_down - down
        turned = abs(lines[k].angle_deg - lines[n].angle_deg) > SAME_ANGLE_DEG
        if turned or not LEAST_PITCH_EM * em_px <= pitch <= MOST_PITCH_EM * em_px:
            continue
        shared = min(end, other_end) - max(start, other_start)
        if shared >= SHARED_LENGTH * min(end - start, other_end - other_start):
            under.append((pitch, k))
    return min(under, default=None)


def _run(n: int, pitches: Sequence[tuple[float, int] | None], em_px: float) -> int:
    """Count the lines from this one down whose distances are even."""
    count, first = 1, pitches[n]
    below = first
    while first is not None and below is not None and abs(below[0] - first[0]) <= EVEN_EM * em_px:
        count += 1
        below = pitches[below[1]]
    return count
