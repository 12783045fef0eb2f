"""Is there anything on the sheet at all."""

from standback.checks.model import Check
from standback.findings import Finding, Severity
from standback.measure.model import Measurements
from standback.settings import Limits


def _nothing_found(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    if measured.elements:
        return ()
    return (
        Finding(
            check="nothing-found",
            severity=Severity.FAIL,
            elements=(),
            places=(),
            measured=None,
            needed=None,
            unit=None,
            shortfall=1.0,
            says=(
                "No line of text stands out from its ground anywhere on the sheet: the artwork is blank, or "
                "its text is too faint, too small or too busy a picture to be told from its ground."
            ),
            tier="lead",
        ),
    )


NOTHING_FOUND = Check(
    id="nothing-found",
    title="No text was found",
    rationale="A poster on which no line of text can be made out says nothing, or could not be measured.",
    source="ours",
    asks="at least one line of text on the sheet",
    severity="fail",
    run=_nothing_found,
    alike=lambda a, b: True,
)
