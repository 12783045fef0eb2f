"""Which lines of one style follow each other, and which of them make a text."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from standback.measure.model import Measurement
from standback.measure.tiers import same_style
from standback.reading import CAP_PER_EM
from standback.settings import Limits

SHARED_WIDTH = 0.3
"""Lines are under each other where they share this much of the narrower's width (ours)."""
MOST_PITCH = 2.5
"""Baselines of one text are no farther apart than so many heights of capitals (ours)."""
SAME_ANGLE_DEG = 1.0
TEXT_LINES = 3
"""So many lines at one distance are a text (ours)."""
EVEN, EVEN_PX = 0.06, 1.5
"""Distances of the lines of one text differ by no more than this share, or so many px where that is more (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Text:
    """Lines of one style that follow each other at one distance, from the first to the last.

    Attributes
    ----------
    pitch_px
        From one baseline to the next, in the mean.
    """

    lines: tuple[Measurement, ...]
    pitch_px: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Run:
    """A line's place in its own frame: along it, and where its baseline lies across."""

    m: Measurement
    start: float
    end: float
    across: float


def neighbours(
    lines: Sequence[Measurement], limits: Limits, *, least_px: float | None = None
) -> Iterator[tuple[Measurement, Measurement, float]]:
    """Yield lines of one style that follow each other, and the distance of their baselines in px.

    Parameters
    ----------
    least_px
        Height of the letters from which on a single distance can be relied on; None for the limit of spacing.
    """
    least_px = limits.spacing_least_px if least_px is None else least_px
    runs = [_run(m, m.spacing.baseline_px) for m in lines if m.spacing is not None and m.spacing.unit_px >= least_px]
    for upper in runs:
        under = [
            (lower.across - upper.across, lower.m)
            for lower in runs
            if lower.m.id != upper.m.id and _under(upper, lower) and same_style(upper.m.line, lower.m.line, limits)
        ]
        if under:
            pitch_px, lower_m = min(under, key=lambda one: (one[0], one[1].id))
            yield upper.m, lower_m, pitch_px


def texts(lines: Sequence[Measurement], limits: Limits) -> tuple[Text, ...]:
    """Return what follows at one distance, the longest first; each line is in one text at the most.

    Over several lines the distance is exact however small the letters are.
    """
    after = {upper.id: (lower, pitch_px) for upper, lower, pitch_px in neighbours(lines, limits, least_px=0.0)}
    chains = sorted((_chain(m, after) for m in lines), key=lambda chain: (-len(chain.lines), chain.lines[0].id))
    found: list[Text] = []
    taken: set[str] = set()
    for chain in chains:
        ids = {m.id for m in chain.lines}
        if len(chain.lines) >= TEXT_LINES and not ids & taken:
            found.append(chain)
            taken |= ids
    return tuple(found)


def _chain(first: Measurement, after: Mapping[str, tuple[Measurement, float]]) -> Text:
    chain, down_px = [first], 0.0
    while chain[-1].id in after:
        following, pitch_px = after[chain[-1].id]
        mean_px = down_px / max(1, len(chain) - 1) or pitch_px
        if abs(pitch_px - mean_px) > max(EVEN * mean_px, EVEN_PX):
            break
        chain.append(following)
        down_px += pitch_px
    return Text(lines=tuple(chain), pitch_px=down_px / max(1, len(chain) - 1))


def _run(m: Measurement, baseline_px: tuple[float, float]) -> _Run:
    turn = radians(m.line.angle_deg)
    along, across = (cos(turn), -sin(turn)), (sin(turn), cos(turn))
    box = m.line.box_px
    middle = ((box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2)
    half = (box.width * abs(along[0]) + box.height * abs(along[1])) / 2
    if abs(m.line.angle_deg) < SAME_ANGLE_DEG:
        half = box.width / 2
    at = middle[0] * along[0] + middle[1] * along[1]
    return _Run(m=m, start=at - half, end=at + half, across=baseline_px[0] * across[0] + baseline_px[1] * across[1])


def _under(upper: _Run, lower: _Run) -> bool:
    if abs(upper.m.line.angle_deg - lower.m.line.angle_deg) > SAME_ANGLE_DEG:
        return False
    cap_px = CAP_PER_EM * upper.m.em_mm * upper.m.px_per_mm
    if not 0 < lower.across - upper.across < MOST_PITCH * cap_px:
        return False
    shared = min(upper.end, lower.end) - max(upper.start, lower.start)
    return shared > SHARED_WIDTH * min(upper.end - upper.start, lower.end - lower.start)
