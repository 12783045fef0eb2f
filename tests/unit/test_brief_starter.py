"""The brief to begin with."""

import re
from dataclasses import replace

import pytest

from reports.fixture import BLANK, CLEAN, FACTS, LINES, POSTER
from standback.brief.apply import with_brief
from standback.brief.match import match
from standback.brief.model import Brief, BriefLine, Where
from standback.brief.read import read_brief
from standback.brief.starter import starter_brief
from standback.findings import PosterReport
from standback.measure.model import Measurement
from standback.settings import Settings, stations
from standback.sheet import parse_distance_m, parse_size

ASLEEP = re.compile(r"^# (?=\[|[a-z_0-9]+ = )", re.MULTILINE)
"""A comment that is something to say once its # is taken away."""


def read(report: PosterReport) -> Brief:
    return read_brief(starter_brief(report), file="starter.toml")


@pytest.mark.parametrize("report", [POSTER, CLEAN])
def test_it_says_where_the_lines_are_and_nothing_else(report: PosterReport) -> None:
    brief = read(report)
    assert brief == Brief(
        lines=tuple(
            BriefLine(name=f"line {number}", where=Where(box_mm=line.box_mm))
            for number, line in enumerate(report.elements, start=1)
        )
    )
    found = match(
        [line.where for line in brief.lines],
        [line.box_mm for line in report.elements],
        width_mm=FACTS.width_mm,
        height_mm=FACTS.height_mm,
    )
    assert found.entry_of == tuple(range(len(report.elements)))
    assert with_brief(Settings(), brief) == Settings(brief=brief)


def test_of_a_poster_without_lines() -> None:
    brief = read(replace(BLANK, far_assumed=True, artwork=replace(FACTS, bleed_mm=0.0)))
    assert brief == Brief()


def test_what_was_given_is_written_down() -> None:
    brief = read(BLANK)
    assert brief.sheet.size == parse_size("A2")
    assert brief.sheet.bleed_mm == 3.0
    assert brief.viewing.far_m == 5.0


@pytest.mark.parametrize("typed", ["A3", "18x24in", "457.3x609.6mm", "16.54x23.39in", "1x0.123456789m"])
@pytest.mark.parametrize("size_from", ["option", "brief"])
def test_a_size_is_written_down_as_it_was(typed: str, size_from: str) -> None:
    size = parse_size(typed)
    for width_mm, height_mm in ((size.width_mm, size.height_mm), (size.height_mm, size.width_mm)):
        facts = replace(FACTS, size_from=size_from, width_mm=width_mm, height_mm=height_mm)
        again = read(replace(POSTER, artwork=facts)).sheet.size
        assert again is not None
        turned = again.oriented(width_mm, height_mm)
        assert (turned.width_mm, turned.height_mm) == (width_mm, height_mm)


@pytest.mark.parametrize("typed", ["5m", "15ft", "0.1m", "1000m", "7.123456789m", "333 in"])
def test_a_distance_is_written_down_as_it_was(typed: str) -> None:
    far_m = parse_distance_m(typed)
    report = replace(POSTER, far_assumed=False, stations=stations(far_m))
    assert read(report).viewing.far_m == far_m


@pytest.mark.parametrize(
    ("width_mm", "height_mm", "line"),
    [
        (420.0, 594.0, '# size = "A2"'),
        (419.99, 594.02, '# size = "A2"'),
        (500.04, 710.01, '# size = "B2"'),
        (512.34, 600.0, '# size = "512.3x600.0mm"'),
    ],
)
def test_a_size_from_the_file_is_only_offered(width_mm: float, height_mm: float, line: str) -> None:
    facts = replace(FACTS, size_from="file", width_mm=width_mm, height_mm=height_mm)
    assert line in starter_brief(replace(POSTER, artwork=facts)).splitlines()


def test_boxes_are_rounded_outward() -> None:
    one: Measurement = replace(LINES[0], box_mm=(-0.04, 48.26, 380.01, 48.27))
    brief = read(replace(POSTER, elements=(one,)))
    assert brief.lines[0].where.box_mm == (-0.1, 48.2, 380.1, 48.3)


def test_what_is_said_of_a_line() -> None:
    assert """
# L03 in the report: middle left, 15 mm letters
[[lines]]
name = "line 3"
box = [40, 286.5, 160, 301.5]
# tier = "support"
wording = ""
""" in starter_brief(POSTER)


@pytest.mark.parametrize("report", [POSTER, CLEAN, replace(POSTER, elements=LINES[:1])])
def test_whatever_is_asleep_can_be_woken(report: PosterReport) -> None:
    text = starter_brief(report)
    woken = ASLEEP.sub("", text)
    if len(report.elements) == 1:  # there is but one line to put in the group
        woken = woken.replace(', "line 2"]', "]")
    brief = read_brief(woken, file="starter.toml")
    assert brief.sheet.size == parse_size("A2")
    assert brief.viewing.far_m == 5.0
    assert with_brief(Settings(), replace(brief, sheet=Brief().sheet)).limits == Settings().limits
    assert [line.tier for line in brief.lines] == [line.tier for line in report.elements]
    assert [figure.name for figure in brief.figures] == ["drawing"]
    assert brief.groups.keys() == {"when"}
    assert len(brief.waivers) == len(brief.remarks) == 1
    # every other comment is prose
    assert not re.search(r"^#.* = [\"\[0-9]", woken, re.MULTILINE)


def test_a_file_name_can_break_nothing() -> None:
    text = starter_brief(replace(POSTER, file="a\nlines = 3 \x1b[1m\udcff.png"))
    assert text.startswith("# What this poster must do: a brief for a?lines = 3 ?[1m?.png.\n")
    assert read_brief(text, file="starter.toml").lines
    text.encode()


def test_who_looked_and_in_what_light_is_kept() -> None:
    settings = Settings(illuminance_lx=62.5, age_years=60.0, acuity_logmar=0.3)
    brief = read_brief(starter_brief(POSTER, settings), file="starter.toml")
    kept = with_brief(Settings(), brief)
    assert [kept.illuminance_lx, kept.age_years, kept.acuity_logmar] == pytest.approx([62.5, 60.0, 0.3])
    assert kept.judged_for == "public"
