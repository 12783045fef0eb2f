"""The numbers of an element that two drafts are compared by."""

from standback.drafts.model import Value
from standback.findings import Finding
from standback.measure.model import DetailMeasurement, Element, FigureMeasurement, Measurement

LEAST_CHANGE = 0.05
"""A number that falls by no more than this share has not fallen (design rule)."""

JUDGED_BY = {
    "ratio": ("faint-text", "faint-detail"),
    "ratio_worst": ("patchy-ground", "faint-text"),
    "reach_m": ("short-reach",),
    "resolve_m": ("detail-lost",),
}
"""The numbers that make a redraft worse where they fall, and the checks that say what is asked of them."""

_LINE = {
    "ratio": "ratio",
    "ratio_worst": "ratio",
    "ratio_printed": "ratio",
    "reach_m": "m",
    "carry_m": "m",
    "letter_mm": "mm",
    "stroke_mm": "mm",
}
_DETAIL = {"ratio": "ratio", "resolve_m": "m", "carry_m": "m", "feature_mm": "mm"}
_FIGURE = {"ratio": "ratio", "carry_m": "m"}


def values_of(before: Element, after: Element, failed: set[str]) -> tuple[Value, ...]:
    """Return the numbers of one element in both drafts.

    Parameters
    ----------
    failed
        The checks that it fails in the later draft.
    """
    units = _FIGURE
    if isinstance(before, Measurement) and isinstance(after, Measurement):
        units = _LINE
    elif isinstance(before, DetailMeasurement) and isinstance(after, DetailMeasurement):
        units = _DETAIL
    return tuple(_value(name, unit, before, after, failed) for name, unit in units.items())


def _value(name: str, unit: str, before: Element, after: Element, failed: set[str]) -> Value:
    was, now = _number(before, name), _number(after, name)
    return Value(
        name=name,
        unit=unit,
        before=was,
        after=now,
        worse=fell(was, now) and not failed.isdisjoint(JUDGED_BY.get(name, ())),
    )


def _number(m: Element, name: str) -> float | None:
    match m:
        case DetailMeasurement() if name in ("ratio", "feature_mm"):
            return float(getattr(m.detail, name))
        case FigureMeasurement() if name == "ratio":
            return m.figure.ratio
    number = getattr(m, name)
    return None if number is None else float(number)


def fell(before: float | None, after: float | None) -> bool:
    """Whether a number is lower than before by more than counts."""
    return before is not None and after is not None and after < (1 - LEAST_CHANGE) * before


def changed(value: Value) -> bool:
    """Whether a number is another one than before, either way."""
    return fell(value.before, value.after) or fell(value.after, value.before)


def measured_as_in(fault: Finding, own: Element, m: Element) -> tuple[float, float] | None:
    """Return the number that fell short in one draft as it is in the other, and what is asked of it there.

    Parameters
    ----------
    own, m
        The element in the draft that has the fault, and in the other.

    Returns
    -------
    The number and the one needed; None where the check has no such number, or it can't be measured.
    """
    needed = fault.needed
    number: float | None = None
    match fault.check, m:
        case "faint-text", Measurement():
            as_printed = fault.measured != _number(own, "ratio")
            number, needed = m.ratio_printed if as_printed else m.ratio, m.ratio_wanted
        case "patchy-ground", Measurement():
            number, needed = m.ratio_worst, m.ratio_wanted
        case "hue-only", Measurement() if fault.measured is not None:
            number, needed = min((seen.ratio for seen in m.vision), default=None), m.ratio_wanted
        case "short-reach", Measurement():
            number, needed = m.reach_m, m.station_m
        case "read-late" | "no-middle", Measurement():
            number, needed = m.reach_m, m.mid_m
        case "washed-out", Measurement():
            number = m.at(m.station).ratio
        case "fades", Measurement():
            number = m.at("far").jnd if fault.unit == "JND" else m.at("far").block_ratio
        case "faint-detail", (DetailMeasurement() | FigureMeasurement()):
            number, needed = _number(m, "ratio"), m.ratio_wanted
        case "detail-lost", DetailMeasurement():
            number, needed = m.resolve_m, m.far_m
        case "hairline", Measurement():
            number = m.stroke_mm
        case "hairline", DetailMeasurement():
            number = m.detail.feature_mm
        case "many-inks", Measurement():
            number = m.inks
    return None if number is None or needed is None else (number, needed)
