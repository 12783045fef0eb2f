"""Check of lines that stand on end."""

from standback.checks.headlines import rivals
from standback.checks.model import Check
from standback.checks.of_element import placed_finding
from standback.findings import Finding, Severity
from standback.measure.model import Measurement, Measurements
from standback.settings import Limits

ON_END_DEG = 15.0
"""Lines this near to upright stand on end; what leans less is set so for its look, and read (ours)."""


def _turned_type(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    told = {element for finding in rivals(measured, limits) for element in finding.elements}
    lead = (m for m in measured.lines if m.tier == "lead" and not m.logo and m.id not in told)
    return tuple(_turned(m) for m in lead if on_end(m))


def on_end(m: Measurement) -> bool:
    """Whether a line runs up or down the sheet."""
    return abs(abs(m.line.angle_deg) % 180 - 90) <= ON_END_DEG


def _turned(m: Measurement) -> Finding:
    return placed_finding(
        "turned-type",
        [m],
        Severity.NOTE,
        measured=None,
        needed=None,
        unit=None,
        shortfall=1.0,
        says="It stands on end, which should be read first: type turned like that is read at little more than half "
        "the speed, and with the head to one side.",
        change=f"Set {m.id} level, or say the same once more in a level line.",
    )


TURNED_TYPE = Check(
    id="turned-type",
    title="Type on end",
    rationale=(
        "Words are learnt and recognised level. Turned by a right angle they are taken in by fewer letters at a time, "
        "and who walks by does not stop for that."
    ),
    source=(
        "Yu, Park, Gerold & Legge (2010), Comparing reading speed for horizontal and vertical English text, Journal of "
        "Vision 10(2):21 (from memory: level text was read about 1.8 times as fast). That addresses, credits and "
        "labels may stand on end: common practice."
    ),
    asks="that lead lines are set level, or lean",
    severity="note",
    run=_turned_type,
    alike=lambda a, b: True,
    stands_alone=True,
    spares_logos=True,
)
