"""What works, the walk-up, and the two sentences that open a report."""

from collections.abc import Sequence

from standback.checks import title_of
from standback.findings import Carries, Finding, Severity, WalkUpStep
from standback.measure.model import Measurement
from standback.numbers import distance, millimetres, ratio
from standback.settings import Station

MOST_CARRIES = 5


def walk_up(measurements: Sequence[Measurement], places: Sequence[Station]) -> tuple[WalkUpStep, ...]:
    """Return what reads from each station, far to near; a line counts from its reach inwards."""
    return tuple(
        WalkUpStep(
            distance_m=station.distance_m,
            reads=tuple(m.id for m in measurements if m.reach_m >= station.distance_m),
        )
        for station in places
    )


def carries(measurements: Sequence[Measurement], findings: Sequence[Finding]) -> tuple[Carries, ...]:
    """Return the lines that work best: no finding on them, ranked by reach over station."""
    faulty = {element for finding in findings for element in finding.elements}
    good = [m for m in measurements if m.id not in faulty]
    best = sorted(good, key=lambda m: (-m.reach_m / m.station_m, m.id))[:MOST_CARRIES]
    return tuple(
        Carries(
            element=m.id,
            why=f"{ratio(m.ratio)}, letters {millimetres(m.letter_mm)} high: reads from "
            f"{distance(m.reach_m)}, wanted from {distance(m.station_m)}",
        )
        for m in best
    )


def summarise(
    measurements: Sequence[Measurement], ranked_findings: Sequence[Finding], places: Sequence[Station]
) -> str:
    """Return two sentences: what works, and the one thing to mend first."""
    return f"{_what_works(measurements, places)} {_what_first(ranked_findings)}"


def _what_works(measurements: Sequence[Measurement], places: Sequence[Station]) -> str:
    total = len(measurements)
    if not total:
        return "Nothing to read was found on the sheet."
    far = places[0]
    from_far = sum(m.reach_m >= far.distance_m for m in measurements)
    at_station = sum(m.reach_m >= m.station_m for m in measurements)
    first = (
        f"{_count(from_far, 'line')} can be read from {distance(far.distance_m)}"
        if from_far
        else f"No line can be read from {distance(far.distance_m)}"
    )
    return f"{first}, and {at_station} of {total} from where they should be."


def _what_first(ranked_findings: Sequence[Finding]) -> str:
    open_findings = [f for f in ranked_findings if f.waived is None]
    if not open_findings:
        but = " but what the brief accepts" if ranked_findings else ""
        return f"Nothing measured falls short{but}."
    first = open_findings[0]
    what = title_of(first.check)
    what = what[0].lower() + what[1:]
    where = f" ({first.elements[0]})" if len(first.elements) == 1 else ""
    if len(first.elements) > 1:
        where = f" ({first.elements[0]} and {len(first.elements) - 1} more)"
    verb = "Mend first" if first.severity is Severity.FAIL else "Look first at"
    return f"{verb}: {what}{where}."


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
