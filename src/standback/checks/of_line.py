"""How a check on a line turns into a finding."""

from standback.findings import MOST_SHORTFALL, Finding, Place, Severity
from standback.measure.model import Measurement


def shortfall_of_minimum(measured: float, needed: float) -> float:
    """How many times `measured` falls short of the wanted minimum: 1 to 100."""
    if measured <= 0:
        return MOST_SHORTFALL
    return min(max(needed / measured, 1.0), MOST_SHORTFALL)


def line_finding(
    check: str,
    m: Measurement,
    severity: Severity,
    *,
    measured: float,
    needed: float,
    unit: str,
    says: str,
) -> Finding:
    """Return a finding about one line, whose number should have been at least `needed`."""
    left, top, right, bottom = m.box_mm
    return Finding(
        check=check,
        severity=severity,
        elements=(m.id,),
        places=(Place(box_px=m.line.box_px, box_mm=m.box_mm),),
        measured=measured,
        needed=needed,
        unit=unit,
        shortfall=shortfall_of_minimum(measured, needed),
        says=says,
        doubts=m.doubts,
        tier=m.tier,
        seen_area=(right - left) * (bottom - top),
    )
