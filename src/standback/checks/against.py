"""The number that fell short against the one needed, as people read it."""

from math import floor

from standback.checks import check_of
from standback.findings import Finding
from standback.numbers import distance, millimetres, ratio

WHOLE_MM = 1.0
"""Lengths on the sheet from here on are written as elsewhere; thinner ones are strokes."""


def against(finding: Finding) -> str | None:
    """Return the number that fell short against the one needed, None for a finding without a number."""
    pair = numbers_of(finding)
    return None if pair is None else ", ".join(pair)


def numbers_of(finding: Finding) -> tuple[str, str] | None:
    """Return the number that fell short and the one needed, each in its own words."""
    measured, needed = finding.measured, finding.needed
    if measured is None or needed is None:
        return None
    check = check_of(finding.check)
    if finding.unit == "m" and measured <= 0:
        fell, wanted = "nowhere", distance(needed)
    else:
        fell, wanted = _apart(measured, needed, finding.unit)
    return check.measured_as.format(fell), check.needed_as.format(wanted)


def _apart(measured: float, needed: float, unit: str | None) -> tuple[str, str]:
    """Write two numbers with as many decimals as it takes to tell them apart."""
    pair = quantity(measured, unit), quantity(needed, unit)
    for digits in range(3, 7):
        if pair[0] != pair[1]:
            break
        pair = _with_unit(_floored(measured, digits), unit), _with_unit(_floored(needed, digits), unit)
    return pair


def quantity(value: float, unit: str | None) -> str:
    """Write a number with its unit, as people read it."""
    match unit:
        case "m":
            return distance(value)
        case "ratio":
            return ratio(value)
        case "mm" if value >= WHOLE_MM:
            return millimetres(value)
        case _:
            return _with_unit(_floored(value, 2), unit)


def _with_unit(text: str, unit: str | None) -> str:
    match unit:
        case "ratio":
            return f"{text}:1"
        case "JND":
            return f"{text} × just visible"
        case None:
            return text
    return f"{text} {unit}"


def _floored(value: float, digits: int) -> str:
    # the small addend undoes binary fractions: 4.35 * 100 is 434.99999999999994
    text = f"{floor(value * 10**digits + 1e-7) / 10**digits:.{digits}f}"
    return text.rstrip("0").rstrip(".")
