"""misread: what was read against what was wanted, and near against far."""

from dataclasses import replace

import pytest

from checks.builders import measured
from standback.checks import check_of
from standback.checks.unjudged import not_judged
from standback.elements import Box
from standback.findings import Severity
from standback.measure.model import Hole, Measurement, Measurements, ReadAt
from standback.settings import Limits

LIMITS = Limits()


def worded(
    wording: str | None, near: str, far: str | None = None, *, source: str = "brief", sure: float = 0.99
) -> Measurement:
    readings = [ReadAt(station="near", wording=near, confidence=sure)]
    if far is not None:
        readings.append(ReadAt(station="far", wording=far, confidence=0.9))
    m = measured(tier="lead")
    m = replace(m, line=replace(m.line, letter_px=40.0), reach_m=50.0)
    return replace(m, wording=wording, wording_from=source if wording else None, read=tuple(readings))


@pytest.mark.parametrize(
    ("m", "severity", "says"),
    [
        (worded("CAFÉ LUNA", "CA É LUNA"), Severity.FAIL, "From near: reads as “CA É”, wanted “CAFÉ”."),
        (worded("HARBOUR", "HAR BOUR"), Severity.WARN, "From near: reads as “HAR BOUR”, wanted “HARBOUR”."),
        (worded("OPEN DAY", "OPEN"), Severity.FAIL, "From near: “DAY” is not read."),
        (worded("CAFÉ", "CAFÉ", "CAIE"), Severity.WARN, "Seen from 5 m: reads as “CAIE”, wanted “CAFÉ”."),
        (worded("CAFÉ", "CAIE", source="text-layer"), Severity.NOTE, "From near: reads as “CAIE”, wanted “CAFÉ”."),
        (worded(None, "CAFÉ", "CAIE"), Severity.NOTE, "Seen from 5 m: reads as “CAIE”, close up as “CAFÉ”."),
        (worded("CAFÉ", "CAFÉ", "CAFÉ"), None, ""),
        (worded(None, "CAFÉ", "CAIE", sure=0.7), None, ""),
        (worded(None, "CAIE", "CAFÉ", sure=0.89), None, ""),  # from farther away it is read more surely
        (worded("CAFÉ LUNA", "xyz"), None, ""),  # a reader that is lost says nothing of people
        (replace(worded("CAFÉ", "CAIE"), reach_m=0.3), None, ""),  # can't be read at all: another check's matter
    ],
)
def test_misread_words(m: Measurement, severity: Severity | None, says: str) -> None:
    found = check_of("misread").run(Measurements(lines=(m,)), LIMITS)
    assert [f.severity for f in found] == ([] if severity is None else [severity])
    assert all(f.says.startswith(says) and f.elements == (m.id,) for f in found)


def test_a_picture_in_a_letters_place_says_more_than_a_note_and_less_than_a_fail() -> None:
    hole = Hole(element="L01", at_end=False, tier="lead", box_px=Box(x0=0, y0=0, x1=9, y1=9), box_mm=(0, 0, 2, 2))
    for wording, says in ((None, "A picture stands in"), ("CAFÉ", "From near")):
        m = worded(wording, "CA É", "CAIE")
        (found,) = check_of("misread").run(Measurements(lines=(m,), holes=(hole,)), LIMITS)
        assert found.says.startswith(says)


def test_what_a_reader_is_lost_with_is_not_judged() -> None:
    said = {item.check: item.why for item in not_judged(Measurements(lines=(worded("CAFÉ LUNA", "xyz"),)), LIMITS)}
    assert said["misread"] == "the reader can make nothing of 1 line whose wording is known"
