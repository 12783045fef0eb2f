"""Checks of lines set one under the other, and of words with something else in a letter's place."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import cos, radians, sin

from standback.checks.model import Check
from standback.checks.of_element import line_finding
from standback.findings import Finding, Place, Severity
from standback.measure.model import Measurement, Measurements
from standback.measure.tiers import same_style
from standback.numbers import millimetres
from standback.reading import CAP_PER_EM
from standback.settings import Limits

SHARED_WIDTH = 0.3
"""Lines are under each other where they share this much of the narrower's width (ours)."""
LEAST_PITCH, MOST_PITCH = 0.8, 2.5
"""Distances of baselines, in heights of capitals, that lines of one text can have (ours)."""
CLEAR_OF = 0.05
"""Level lines of a title in lower case whose ink stays so far apart, in heights of capitals, have no descender above
an ascender: they are set tight on purpose, as capitals are (ours)."""
SAME_ANGLE_DEG = 1.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Run:
    """A line's place in its own frame: along it, and where its baseline lies across."""

    m: Measurement
    start: float
    end: float
    across: float


def _close_lines(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    return tuple(_close(measured.lines, limits))


def _close(lines: Sequence[Measurement], limits: Limits) -> Iterator[Finding]:
    for upper, lower, pitch_px in neighbours(lines, limits):
        assert upper.spacing is not None
        cap_px = CAP_PER_EM * upper.em_mm * upper.px_per_mm
        pitch, needed = pitch_px / cap_px, _least_pitch(upper, lower, limits)
        if not LEAST_PITCH < pitch < needed or _tight_on_purpose(upper, lower, cap_px):
            continue
        mm = cap_px / upper.px_per_mm
        finding = line_finding(
            "close-lines",
            upper,
            Severity.NOTE,
            measured=pitch * mm,
            needed=needed * mm,
            unit="mm",
            says=f"{lower.id} follows {upper.id} at {millimetres(pitch * mm)} from baseline to baseline: the white "
            "between the lines is hardly wider than that between words, and the eye slips from one to the other.",
        )
        yield replace(
            finding,
            elements=(upper.id, lower.id),
            places=tuple(Place(box_px=m.line.box_px, box_mm=m.box_mm) for m in (upper, lower)),
            change=f"{upper.id}, {lower.id}: set the baselines {millimetres(needed * mm)} apart or more.",
        )


def _tight_on_purpose(upper: Measurement, lower: Measurement, cap_px: float) -> bool:
    capitals = all(m.spacing is not None and m.spacing.capitals for m in (upper, lower))
    if capitals or upper.tier != "lead" or upper.line.angle_deg:
        return False
    return lower.line.box_px.y0 - upper.line.box_px.y1 > CLEAR_OF * cap_px


def _least_pitch(upper: Measurement, lower: Measurement, limits: Limits) -> float:
    if all(m.spacing is not None and m.spacing.capitals for m in (upper, lower)):
        return limits.close_capitals
    return limits.close_titles if upper.tier == "lead" else limits.close_text


def neighbours(lines: Sequence[Measurement], limits: Limits) -> Iterator[tuple[Measurement, Measurement, float]]:
    """Yield lines of one style that follow each other, and the distance of their baselines in px."""
    least_px = limits.spacing_least_px
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


CLOSE_LINES = Check(
    id="close-lines",
    title="Lines too close to each other",
    rationale=(
        "When the white between two lines is no wider than that between two words, the eye slips into the "
        "line below. Titles in capitals, which have no descenders, are often set tight on purpose."
    ),
    source=(
        "ADA Standards (2010), 703.5.9: 135 to 170 % of the height of the capitals, on signs. What is asked "
        "of titles and of capitals: ours."
    ),
    asks=(
        "baselines at least {close_text:g} times the height of the capitals apart; {close_titles:g} times in "
        "a title in lower case where descenders come down to the line below, {close_capitals:g} times in capitals"
    ),
    severity="note",
    run=_close_lines,
    alike=lambda a, b: same_style(a.line, b.line, Limits()),
    stands_alone=True,
    measured_as="baselines {} apart",
    needed_as="at least {}",
    spares_logos=True,
)
