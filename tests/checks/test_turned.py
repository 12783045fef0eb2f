"""The check of type on end, as a table."""

from dataclasses import replace

import pytest

from checks.builders import measured, text_line
from standback.checks import check_of
from standback.findings import Severity
from standback.judge import causes, failed
from standback.measure.model import Measurement, Measurements
from standback.settings import Limits


def line(angle_deg: float, tier: str = "lead", name: str = "L01", *, logo: bool = False) -> Measurement:
    at = replace(text_line(size_px=(20, 200)), angle_deg=angle_deg)
    return replace(measured(name, line=at, tier=tier), logo=logo)


@pytest.mark.parametrize(
    ("one", "told"),
    [
        (line(90.0), True),
        (line(-90.0), True),
        (line(76.0), True),
        # leaning, level, upside down, an address, small, a logo
        (line(74.0), False),
        (line(0.0), False),
        (line(180.0), False),
        (line(90.0, "support"), False),
        (line(90.0, "small"), False),
        (line(90.0, logo=True), False),
    ],
)
def test_type_on_end(one: Measurement, told: bool) -> None:
    found = check_of("turned-type").run(Measurements(lines=(one,)), Limits())
    assert [(f.severity, f.elements, f.measured) for f in found] == ([(Severity.NOTE, ("L01",), None)] if told else [])


def test_several_share_a_finding() -> None:
    two = Measurements(lines=(line(90.0), line(90.0, name="L02")))
    (found,) = (f for f in causes(failed(two, Limits()), two) if f.check == "turned-type")
    assert sorted(found.elements) == ["L01", "L02"]
    assert found.tier == "lead"
