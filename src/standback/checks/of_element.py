"""How a check on one element turns into a finding."""

from collections.abc import Sequence

from standback.doubts import Doubt
from standback.findings import MOST_SHORTFALL, Finding, Place, Severity
from standback.measure.model import DetailMeasurement, Element, FigureMeasurement, Measurement


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
    return _finding(check, m.id, _place(m), severity, (measured, needed, unit), says=says, tier=m.tier, doubts=m.doubts)


def patch_finding(
    check: str,
    m: DetailMeasurement | FigureMeasurement,
    severity: Severity,
    *,
    measured: float,
    needed: float,
    unit: str,
    says: str,
) -> Finding:
    """Return a finding about one patch of detail or one figure, ranked with the support lines."""
    return _finding(
        check, m.id, _place(m), severity, (measured, needed, unit), says=says, tier="support", doubts=m.doubts
    )


def placed_finding(
    check: str,
    elements: Sequence[Element],
    severity: Severity,
    *,
    measured: float | None,
    needed: float | None,
    unit: str | None,
    shortfall: float,
    says: str,
    change: str | None = None,
) -> Finding:
    """Return a finding about how elements stand to each other; the first one is the one at fault."""
    places = tuple(_place(m) for m in elements)
    return Finding(
        check=check,
        severity=severity,
        elements=tuple(m.id for m in elements),
        places=places,
        measured=measured,
        needed=needed,
        unit=unit,
        shortfall=min(max(shortfall, 1.0), MOST_SHORTFALL),
        says=says,
        change=change,
        tier=elements[0].tier if isinstance(elements[0], Measurement) else "support",
        seen_area=sum((p.box_mm[2] - p.box_mm[0]) * (p.box_mm[3] - p.box_mm[1]) for p in places),
    )


def _place(m: Measurement | DetailMeasurement | FigureMeasurement) -> Place:
    match m:
        case Measurement():
            box = m.line.box_px
        case DetailMeasurement():
            box = m.detail.box_px
        case FigureMeasurement():
            box = m.figure.box_px
    return Place(box_px=box, box_mm=m.box_mm)


def _finding(
    check: str,
    element: str,
    place: Place,
    severity: Severity,
    numbers: tuple[float, float, str],
    *,
    says: str,
    tier: str,
    doubts: tuple[Doubt, ...],
) -> Finding:
    measured, needed, unit = numbers
    left, top, right, bottom = place.box_mm
    return Finding(
        check=check,
        severity=severity,
        elements=(element,),
        places=(place,),
        measured=measured,
        needed=needed,
        unit=unit,
        shortfall=shortfall_of_minimum(measured, needed),
        says=says,
        doubts=doubts,
        tier=tier,
        seen_area=(right - left) * (bottom - top),
    )
