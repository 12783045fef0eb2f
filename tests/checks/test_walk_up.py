"""What is read on the way from far to near: nothing from far, and the words that open a report."""

from dataclasses import replace

import pytest

from checks.builders import FAR_M, measured, text_line
from standback.checks import check_of
from standback.findings import Finding, Severity, ranked
from standback.judge import causes, failed
from standback.measure.model import Measurement, Measurements
from standback.settings import Limits, stations
from standback.summary import summarise

LIMITS = Limits()
SHEET_MM = (420.0, 594.0)


def line(name: str, reach_m: float, tier: str, *, cap_px: float = 40.0, tier_from: str = "guess") -> Measurement:
    type_ = text_line(cap_px=cap_px, at=(100, 100 * int(name[1:])))
    return measured(name, line=type_, reach_m=reach_m, tier=tier, tier_from=tier_from)


def run(check: str, *lines: Measurement) -> tuple[Finding, ...]:
    return check_of(check).run(Measurements(lines=lines), LIMITS)


def told(*lines: Measurement) -> tuple[str, tuple[Finding, ...]]:
    sheet = Measurements(lines=lines)
    found = ranked(causes(failed(sheet, LIMITS), sheet))
    return summarise(lines, found, stations(FAR_M), SHEET_MM, LIMITS), found


def test_nothing_from_far_is_one_finding_of_the_best_line() -> None:
    title, url = line("L01", 3.5, "lead", cap_px=40), line("L02", 4.6, "lead", cap_px=45)
    (found,) = run("short-reach", title, url, line("L03", 0.6, "small"))
    assert (found.elements, found.severity, found.measured, found.needed) == (("L02",), Severity.WARN, 4.6, FAR_M)
    assert found.says.startswith("Nothing on the sheet can be read from 5 m: this line reads from farthest, from 4.6 m")


def test_what_goes_with_the_best_line_is_named_with_it() -> None:
    above, title = line("L01", 3.9, "lead"), line("L02", 4.6, "lead")
    first, second = run("short-reach", above, title)
    assert (first.elements, first.severity) == (("L01",), Severity.FAIL)
    assert "this line reads from 3.9 m at the most, and none from farther than 4.6 m" in first.says
    assert (second.elements, second.severity) == (("L02",), Severity.WARN)


@pytest.mark.parametrize(
    "lines",
    [
        # one line is enough, whatever it was taken for; a guess may then be missed by a fifth
        (line("L01", 4.6, "lead"), line("L02", 5.0, "support")),
        (line("L01", 4.6, "lead"), line("L02", 5.0, "lead")),
        # who says in a brief what is read from where has not left it to a guess
        (line("L01", 4.6, "support", tier_from="brief"),),
    ],
)
def test_no_word_where_something_reads_from_far_or_nothing_is_meant_to(lines: tuple[Measurement, ...]) -> None:
    assert run("short-reach", *lines) == run("no-lead", *lines) == ()


def test_a_logo_from_far_is_no_line_from_far() -> None:
    logo = replace(line("L02", 9.0, "support"), logo=True)
    said, found = told(line("L01", 4.6, "lead"), logo)
    assert [f.elements for f in found] == [("L01",)]
    assert said.startswith("No line can be read from 5 m, and 0 of 1 from where they should be (1 more nearly).")


def test_a_sheet_of_one_size_has_nothing_to_read_from_far() -> None:
    lines = (line("L01", 2.4, "support"), line("L02", 2.5, "support"))
    (found,) = run("no-lead", *lines)
    assert (found.elements, found.severity) == (("L02",), Severity.WARN)
    assert found.change == "Let one line lead: set it with letters 20 mm high, where L02 has 10 mm."
    assert run("short-reach", *lines) == ()


@pytest.mark.parametrize(
    "reaches_m",
    [(4.99, 2.4, 0.45), (4.0, 1.7, 0.6), (3.0, 1.0, 0.3), (6.0, 1.9, 0.41), (5.0, 2.0, 0.5), (4.2, 1.59, 0.39)],
)
def test_the_first_words_and_the_findings_agree(reaches_m: tuple[float, float, float]) -> None:
    far, mid, near = reaches_m
    lines = (line("L01", far, "lead"), line("L02", mid, "support"), line("L03", near, "small"))
    said, found = told(*lines)
    named = {element for f in found if f.check == "short-reach" for element in f.elements}
    assert ("No line" in said) == (reaches_m[0] < FAR_M)
    assert ("No line" in said) <= ("L01" in named)
    reached = sum(m.reach_m >= m.station_m for m in lines)
    assert f"{reached} of 3 from where they should be" in said
    short = {m.id for m in lines if m.reach_m < m.station_m}
    nearly = len(short - {m.id for m in lines if m.reach_m < LIMITS.reach_guess_share * m.station_m})
    assert (f"({nearly} more nearly)" in said) == bool(nearly)
    assert ("Nothing measured falls short" in said) == (not named)
