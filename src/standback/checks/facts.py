"""Does a poster that announces something say when and where."""

from standback.checks.model import Check
from standback.facts import WHEN_AND_WHERE
from standback.facts.of_line import facts_of
from standback.findings import Finding, Severity
from standback.measure.model import Measurements
from standback.settings import NEAR_M, Limits

LEAST_WORDED = 0.9
"""Unless so many of the lines are known by their wording, a fact may stand in one that is not (ours)."""


def known_enough(measured: Measurements) -> bool:
    """Whether enough of the lines are known by their wording to say what none of them says."""
    worded = sum(m.said is not None for m in measured.lines)
    return bool(measured.lines) and worded >= LEAST_WORDED * len(measured.lines)


def announces(measured: Measurements) -> bool:
    """Whether anything on the sheet tells of something that people go to."""
    return any({"event", "date", "time"} & {*facts_of(m)} for m in measured.lines)


def _missing_facts(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    if not known_enough(measured) or not announces(measured):
        return ()
    stated = [(m, facts_of(m)) for m in measured.lines]
    readable = {fact for m, facts in stated if m.reach_m >= min(NEAR_M, m.station_m) for fact in facts}
    missing = [fact for fact in WHEN_AND_WHERE if fact not in readable]
    if not missing:
        return ()
    words = missing[0] if len(missing) == 1 else f"{', '.join(missing[:-1])} or {missing[-1]}"
    there = [f"{m.id} states the {fact}" for m, facts in stated for fact in facts if fact in missing]
    but = f" ({'; '.join(there)}, but can't be read even from near)" if there else ""
    return (
        Finding(
            check="missing-facts",
            severity=Severity.NOTE,
            elements=(),
            places=(),
            measured=None,
            needed=None,
            unit=None,
            shortfall=1.0,
            says=f"It seems to announce something, but no {words} was made out in its words{but}.",
            change="Say when and where, in so many words, or waive this if the poster means to leave it open.",
            tier="support",
        ),
    )


MISSING_FACTS = Check(
    id="missing-facts",
    title="When or where is not said",
    rationale=(
        "Who is won over from across the room walks up for one thing: when it is, and where. A poster that leaves one "
        "of them out loses whom it has already won."
    ),
    source=(
        "ours: simple patterns of dates, times and places, English first. Judged only where nine lines in ten are "
        "known by their wording, and one of them tells of an event, a date or a time."
    ),
    asks="a date, a time and a place that can be read from near, on a poster that announces something",
    severity="note",
    run=_missing_facts,
    alike=lambda a, b: True,
    stands_alone=True,
)
