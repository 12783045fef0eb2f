"""What is read on the way from far to near: nothing from far, and the words that open a report."""

from dataclasses import replace

import pytest

from checks.builders import FAR_M, measured, text_line
from standback.arrangement import Arrangement, Group
from standback.checks import check_of
from standback.findings import Finding, Severity, ranked
from standback.judge import causes, failed
from standback.measure.model import Measurement, Measurements, PrintMeasurement
from standback.settings import Limits, stations
from standback.summary import summarise

LIMITS = Limits()
SHEET_MM = (420.0, 594.0)
SHEET = PrintMeasurement(ppi=100.0, near_m=0.5, sharpness_ppi=None, cmyk=False, height_mm=594.0)


def line(name: str, reach_m: float, tier: str, *, cap_px: float = 40.0, tier_from: str = "guess") -> Measurement:
    type_ = text_line(cap_px=cap_px, at=(100, 60 * int(name[1:])))
    return measured(name, line=type_, reach_m=reach_m, tier=tier, tier_from=tier_from)


def run(check: str, *lines: Measurement) -> tuple[Finding, ...]:
    return check_of(check).run(Measurements(lines=lines), LIMITS)


def told(*lines: Measurement) -> tuple[str, tuple[Finding, ...]]:
    sheet = Measurements(lines=lines)
    found = ranked(causes(failed(sheet, LIMITS), sheet))
    return summarise(lines, found, stations(FAR_M), SHEET_MM, LIMITS), found


def test_nothing_from_far_is_one_finding_of_the_best_line() -> None:
    title, url = line("L01", 3.5, "lead", cap_px=40), line("L02", 4.4, "lead", cap_px=45)
    (found,) = run("short-reach", title, url, line("L03", 0.6, "small"))
    assert (found.elements, found.severity, found.measured, found.needed) == (("L02",), Severity.WARN, 4.4, FAR_M)
    assert found.says.startswith("Nothing on the sheet can be read from 5 m: this line reads from farthest, from 4.4 m")


def test_what_goes_with_the_best_line_is_named_with_it() -> None:
    above, title = line("L01", 3.9, "lead"), line("L02", 4.4, "lead")
    first, second = run("short-reach", above, title)
    assert (first.elements, first.severity) == (("L01",), Severity.FAIL)
    assert "this line reads from 3.9 m at the most, and none from farther than 4.4 m" in first.says
    assert (second.elements, second.severity) == (("L02",), Severity.WARN)


@pytest.mark.parametrize(
    "lines",
    [
        # one line is enough, whatever it was taken for; a guess may then be missed by a fifth
        (line("L01", 4.4, "lead"), line("L02", 5.0, "support")),
        (line("L01", 4.4, "lead"), line("L02", 5.0, "lead")),
        # who says in a brief what is read from where has not left it to a guess
        (line("L01", 4.4, "support", tier_from="brief"),),
    ],
)
def test_no_word_where_something_reads_from_far_or_nothing_is_meant_to(lines: tuple[Measurement, ...]) -> None:
    assert run("short-reach", *lines) == run("no-lead", *lines) == ()


def test_a_logo_from_far_is_no_line_from_far() -> None:
    logo = replace(line("L02", 9.0, "support"), logo=True)
    said, found = told(line("L01", 4.4, "lead"), logo)
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
    [(4.99, 2.4, 0.45), (4.74, 2.4, 0.45), (4.0, 1.7, 0.6), (3.0, 1.0, 0.3), (6.0, 1.9, 0.41), (4.2, 1.59, 0.39)],
)
def test_the_first_words_and_the_findings_agree(reaches_m: tuple[float, float, float]) -> None:
    far, mid, near = reaches_m
    lines = (line("L01", far, "lead"), line("L02", mid, "support"), line("L03", near, "small"))
    said, found = told(*lines)
    named = {element for f in found if f.check == "short-reach" for element in f.elements}
    assert ("No line" in said) == (reaches_m[0] < 0.9 * FAR_M)
    assert ("1 line can all but be read" in said) == (0.9 * FAR_M <= reaches_m[0] < FAR_M)
    assert ("No line" in said) <= ("L01" in named)
    reached = sum(m.reach_m >= m.station_m for m in lines)
    assert f"{reached} of 3 from where they should be" in said
    short = {m.id for m in lines if m.reach_m < m.station_m}
    nearly = len(short - {m.id for m in lines if m.reach_m < LIMITS.reach_guess_share * m.station_m})
    assert (f"({nearly} more nearly)" in said) == bool(nearly)
    assert ("Nothing measured falls short" in said) == (not named)


def small(count: int, *, first: int = 11, reach_m: float = 0.8) -> tuple[Measurement, ...]:
    return tuple(line(f"L{n}", reach_m, "small", cap_px=12) for n in range(first, first + count))


def middle(*lines: Measurement) -> tuple[Finding, ...]:
    return check_of("no-middle").run(Measurements(lines=lines, sheet=SHEET), LIMITS)


TITLE = line("L01", 9.0, "lead")
DATE = line("L02", 2.5, "support", cap_px=25)


def test_text_that_waits_for_arms_length_is_told_once() -> None:
    (found,) = middle(TITLE, *small(4), line("L15", 0.9, "small", cap_px=12), line("L16", 0.6, "small", cap_px=9))
    assert (found.severity, found.measured, found.needed, found.unit) == (Severity.NOTE, 0.9, 2.0, "m")
    assert found.elements == ("L15", "L11", "L12", "L13", "L14")
    assert found.says == (
        "Between 5 m and 90 cm nothing new can be read: 6 lines wait for those who come nearer. The largest text of "
        "these, 5 lines, reads from 90 cm."
    )


def test_what_reads_on_the_way_is_named_where_it_is_but_little() -> None:
    (found,) = middle(TITLE, DATE, *small(12))
    assert found.says.startswith("Between 5 m and 80 cm nothing new can be read but L02: 12 lines wait")
    assert not middle(TITLE, DATE, *small(9))


FOOT = tuple(replace(m, box_mm=(20.0, 560.0, 100.0, 563.0)) for m in small(8))


@pytest.mark.parametrize(
    "lines",
    [
        # a title and an address
        (TITLE, *small(4)),
        # the names and licences at the foot
        (TITLE, *FOOT),
        # logos
        (TITLE, *(replace(m, logo=True) for m in small(8))),
        # all of it reads from mid
        (TITLE, *small(8, reach_m=2.0)),
        # nothing reads from mid at all, which short-reach says
        (line("L01", 1.9, "lead"), *small(8)),
        # the brief says what is to be read from where
        (TITLE, *(replace(m, tier_from="brief") for m in small(8))),
    ],
)
def test_no_hole_in_the_walk_up(lines: tuple[Measurement, ...]) -> None:
    assert middle(*lines) == ()


def test_the_title_may_be_told_by_the_brief() -> None:
    assert middle(line("L01", 9.0, "lead", tier_from="brief"), *small(8))


def test_first_words_above_a_title_are_of_the_title() -> None:
    above, title = line("L01", 3.0, "support", cap_px=25), line("L02", 9.0, "lead")
    group = Group(name=None, elements=("L01", "L02"), whence="guess", box_mm=(25.0, 25.0, 75.0, 60.0))
    sheet = Measurements(lines=(above, title, *small(6)), sheet=SHEET)
    run_on = check_of("no-middle").run
    assert not run_on(sheet, LIMITS)
    (found,) = run_on(replace(sheet, arrangement=Arrangement(groups=(group,))), LIMITS)
    assert found.says.startswith("Between 3 m and 80 cm nothing new can be read: 6 lines")
