"""Whole audits with a brief: what it changes, and that the one to begin with changes nothing."""

from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from standback import pipeline
from standback.artwork import Artwork, load
from standback.brief.apply import with_brief
from standback.brief.read import read_brief
from standback.brief.starter import starter_brief
from standback.find import find_text
from standback.findings import Finding, PosterReport, Severity
from standback.measure.model import Measurement
from standback.pipeline import audit_artwork
from standback.settings import Settings
from synth import Sheet, sans_bold
from synth.sheet import Pen

DEMO = Path(__file__).parents[2] / "demo"


@cache
def poster() -> Artwork:
    """A title, a date and a place in one pale ink, and small print that reads from 1 m."""
    sheet = Sheet(210.0, 297.0, 100.0, (24, 38, 66))
    sheet.text("RIVER NIGHT", sans_bold(), (250, 240, 220), (20, 60), cap_mm=24.0)
    sheet.text("Saturday 12 September", sans_bold(), (80, 94, 128), (20, 120), cap_mm=8.0)
    sheet.text("Old Weir Landing", sans_bold(), (80, 94, 128), (20, 150), cap_mm=8.0)
    sheet.text("Bring a lantern and warm shoes", sans_bold(), (230, 220, 200), (20, 250), cap_mm=4.5)
    return sheet.finish().artwork()


def audited(brief: str = "", artwork: Artwork | None = None, **options: Any) -> PosterReport:
    settings = with_brief(Settings(**options), read_brief(brief, file="brief.toml"), given=tuple(options))
    return audit_artwork(artwork or poster(), settings)


TITLE, DATE, PLACE, PRINT = ("L01", "L02", "L03", "L04")
TIERS = {TITLE: "lead", DATE: "support", PLACE: "support", PRINT: "small"}


def line(report: PosterReport, name: str) -> Measurement:
    return next(m for m in report.elements if m.id == name)


def on_lines(report: PosterReport) -> Sequence[Finding]:
    return [f for f in report.findings if f.elements]


def of(report: PosterReport, element: str) -> Sequence[Finding]:
    return [f for f in report.findings if element in f.elements]


def test_without_a_brief() -> None:
    report = audited()
    assert {m.id: m.tier for m in report.elements} == TIERS
    assert [(f.check, f.elements) for f in on_lines(report)] == [("faint-text", (DATE, PLACE))]
    assert (report.remarks, report.unmatched) == ((), ())


def test_a_tier_or_a_station_outranks_the_guess() -> None:
    report = audited("""
        [[lines]]
        place = [25, 252]
        tier = "lead"
        [[lines]]
        place = [25, 152]
        station = "near"
        [[lines]]
        place = [25, 122]
        tier = "support"
        station = "far"
    """)
    said = {m.id: (m.tier, m.tier_from, m.station) for m in report.elements}
    assert said == {
        TITLE: ("lead", "guess", "far"),
        DATE: ("support", "brief", "far"),
        PLACE: ("small", "brief", "near"),
        PRINT: ("lead", "brief", "far"),
    }
    (short,) = of(report, PRINT)
    assert (short.check, short.severity, short.needed) == ("short-reach", Severity.FAIL, 2.5)


def test_names_roles_groups_and_wording_stay_with_the_line() -> None:
    report = audited("""
        [[lines]]
        box = [18, 110, 150, 160]
        name = "when and where"
        role = "date"
        wording = "Saturday"
        [groups]
        facts = ["when and where"]
    """)
    said = {m.id: (m.name, m.role, m.group, m.wording) for m in report.elements}
    facts = ("when and where", "date", "facts", "Saturday")
    nothing = (None,) * 4
    assert said == {TITLE: nothing, DATE: facts, PLACE: facts, PRINT: nothing}


def test_a_waiver_for_one_check_hides_no_other() -> None:
    report = audited("""
        [viewing]
        from = "8m"
        [[waivers]]
        check = "faint-text"
        reason = "the house's own blue"
    """)
    assert report.far_assumed is False
    live = [f for f in report.findings if f.waived is None]
    waived = [f for f in report.findings if f.waived is not None]
    assert live and waived
    assert [f.rank for f in (*live, *waived)] == list(range(1, len(report.findings) + 1)), "waived last"
    assert {f.waived for f in waived} == {"the house's own blue"}
    assert [(f.check, f.elements) for f in waived] == [("faint-text", (DATE, PLACE))]
    (short,) = [f for f in live if DATE in f.elements]
    assert short.check == "short-reach"
    assert "too little contrast" not in short.says


def test_a_waiver_for_one_line_hides_no_other_of_its_style() -> None:
    waiver = """
        [[lines]]
        name = "date"
        place = [25, 122]
        [[waivers]]
        line = "date"
        reason = "printed over by hand"
    """
    report = audited(waiver)
    assert [(f.elements, f.waived) for f in on_lines(report)] == [
        ((PLACE,), None),
        ((DATE,), "printed over by hand"),
    ]
    assert report.verdict == "fail"
    both = audited(
        waiver
        + '[[waivers]]\nplace = [25, 152]\nreason = "this too"\n'
        + '[[waivers]]\ncheck = "coarse-artwork"\nreason = "only a sketch"'
    )
    assert both.summary.endswith("Nothing measured falls short but what the brief accepts.")
    assert both.verdict == "pass"
    assert {f.waived for f in on_lines(both)} == {"printed over by hand", "this too"}


def test_a_change_mends_nothing_that_is_waived() -> None:
    (whole,) = of(audited(far_m=8.0), DATE)
    assert whole.change is not None
    assert "high" in whole.change
    waived = [f'[[waivers]]\ncheck = "{check}"\nreason = "known"' for check in ("short-reach", "fades", "washed-out")]
    (live,) = [f for f in of(audited("\n".join(waived), far_m=8.0), DATE) if f.waived is None]
    assert live.check == "faint-text"
    assert live.change is not None
    assert "ink" in live.change
    assert "high" not in live.change


def test_what_matches_nothing_is_told() -> None:
    report = audited("""
        [[lines]]
        place = "top right"
        [[figures]]
        name = "lantern"
        box = [100, 200, 190, 240]
        [[waivers]]
        check = "read-late"
        reason = "they will find it"
        [[remarks]]
        place = "top right"
        text = "an owl would fit here"
    """)
    assert report.unmatched == (
        "brief.toml, line 2: the line (top right) matches nothing: nothing found is there",
        "brief.toml, line 4: the figure 'lantern' (box 100, 200, 190, 240 mm) matches nothing: nothing found is there",
        "brief.toml, line 7: the waiver (read-late) matches no finding: take it out",
    )
    assert [r.text for r in report.remarks] == ["an owl would fit here"]


FIGURES = """
    [limits]
    detail_ratio = 5
    [[figures]]
    name = "sun"
    box = [60, 90, 150, 180]
    [[figures]]
    name = "rain"
    box = [20, 200, 80, 260]
"""


def _rain(pen: Pen) -> None:
    for x in range(36, 78, 2):
        pen.line([(x, 205), (x - 12, 255)], 0.4)


@cache
def drawing() -> Artwork:
    """A title over a disc of 4.1:1, and hairlines that melt from afar."""
    sheet = Sheet(210.0, 297.0, 100.0, (236, 232, 222))
    sheet.text("RIVER NIGHT", sans_bold(), (20, 24, 40), (20, 60), cap_mm=24.0)
    sheet.fill((65, 95, 145, 175), (120, 110, 90), lambda pen: pen.disc((105, 135), 40))
    sheet.fill((20, 200, 80, 260), (60, 60, 70), _rain)
    return sheet.finish().artwork()


def test_a_figure_is_judged_once_the_brief_names_it() -> None:
    plain = audited("[limits]\ndetail_ratio = 5", artwork=drawing(), far_m=5.0)
    assert {f.severity for f in plain.findings if f.check in ("faint-detail", "detail-lost")} == {Severity.NOTE}
    named = audited(FIGURES, artwork=drawing(), far_m=5.0)
    assert [m.name for m in named.figures] == ["sun"]
    assert {m.name for m in named.details} == {"rain"}
    found = {f.check: f for f in named.findings}
    assert found["faint-detail"].elements == ("F01",)
    assert found["faint-detail"].severity == Severity.FAIL
    assert found["faint-detail"].change is not None
    assert found["detail-lost"].severity == Severity.FAIL
    assert named.unmatched == ()


def test_what_counts_as_noticed_is_for_the_brief_to_say() -> None:
    strict = audited("[limits]\nnoticed_jnd = 9", artwork=drawing(), far_m=5.0)
    plain = audited(artwork=drawing(), far_m=5.0)
    assert strict.details[0].resolve_m < plain.details[0].resolve_m
    assert strict.figures[0].carry_m < plain.figures[0].carry_m
    assert strict.elements[0].carry_m <= plain.elements[0].carry_m


def test_limits_of_the_brief_are_judged_by() -> None:
    strict = audited('[limits]\ntext_ratio = 15\nlarge_text_ratio = 15\n[[waivers]]\nplace = "top"\nreason = "x"')
    assert {m.ratio_wanted for m in strict.elements} == {15.0}
    assert {e for f in strict.findings for e in f.elements} == {*TIERS}


def alike(a: PosterReport, b: PosterReport) -> bool:
    return (a.verdict, a.findings, a.summary, a.carries, a.walk_up, a.not_judged, b.unmatched) == (
        b.verdict, b.findings, b.summary, b.carries, b.walk_up, b.not_judged, (),
    )  # fmt: skip


@pytest.mark.parametrize("far_m", [None, 8.0])
def test_a_starter_brief_changes_no_verdict(far_m: float | None) -> None:
    plain = audit_artwork(poster(), Settings(far_m=far_m))
    assert plain.findings
    again = audited(starter_brief(plain))
    assert alike(plain, again)
    assert [m.name for m in again.elements] == [f"line {n}" for n in range(1, 5)]


def test_a_starter_brief_changes_nothing_in_the_demo(monkeypatch: pytest.MonkeyPatch) -> None:
    # changes follow from the findings, and no brief has a say in which lines are found
    monkeypatch.setattr(pipeline, "with_changes", lambda findings, *_, **__: findings)
    monkeypatch.setattr(pipeline, "find_text", cache(find_text))
    artwork = load(DEMO / "first-draft.png", size=None)
    plain = audit_artwork(artwork, Settings())
    assert alike(plain, audited(starter_brief(plain), artwork))
