"""What a brief changes."""

from dataclasses import replace

import pytest

from reports.fixture import FINDINGS, POSTER
from standback.brief.apply import split_waived, unmatched_in_words, with_brief
from standback.brief.match import Matches, Unmatched
from standback.brief.model import Brief, BriefFigure, BriefLine, BriefSheet, Viewing, Waiver, Where
from standback.brief.read import read_brief
from standback.findings import Finding, Severity
from standback.settings import Limits, Settings
from standback.sheet import parse_size

A2, A3 = parse_size("A2"), parse_size("A3")
SAYS_ALL = Brief(sheet=BriefSheet(size=A2, bleed_mm=3.0), viewing=Viewing(far_m=8.0), limits=(("text_ratio", 7.0),))
SHEET = {"width_mm": 420.0, "height_mm": 594.0}


@pytest.mark.parametrize(
    ("settings", "brief", "given", "wanted", "from_brief"),
    [
        (Settings(), Brief(), (), Settings(), ()),
        (
            Settings(),
            SAYS_ALL,
            (),
            Settings(size=A2, bleed_mm=3.0, far_m=8.0, limits=Limits(text_ratio=7.0)),
            ("size", "bleed_mm", "far_m", "limits"),
        ),
        # an option outranks the brief, also where it says the default
        (
            Settings(size=A3, far_m=2.0, bleed_mm=0.0),
            SAYS_ALL,
            ("size", "far_m", "bleed_mm"),
            Settings(size=A3, far_m=2.0, bleed_mm=0.0, limits=Limits(text_ratio=7.0)),
            ("limits",),
        ),
        # a brief without a word on it leaves an option, and what is no business of a brief
        (
            Settings(size=A3, gate="warn"),
            Brief(),
            ("size",),
            Settings(size=A3, gate="warn"),
            (),
        ),
        (
            Settings(gate="warn", limits=Limits(tier_gap=1.5)),
            SAYS_ALL,
            ("size",),
            Settings(bleed_mm=3.0, far_m=8.0, gate="warn", limits=Limits(tier_gap=1.5, text_ratio=7.0)),
            ("bleed_mm", "far_m", "limits"),
        ),
        (
            Settings(limits=Limits(text_ratio=3.0)),
            SAYS_ALL,
            ("limits", "size", "far_m", "bleed_mm"),
            Settings(limits=Limits(text_ratio=3.0)),
            (),
        ),
    ],
)
def test_an_option_outranks_the_brief_and_the_brief_a_default(
    settings: Settings, brief: Brief, given: tuple[str, ...], wanted: Settings, from_brief: tuple[str, ...]
) -> None:
    wanted = replace(wanted, brief=brief, from_brief=from_brief)
    assert with_brief(settings, brief, given=given) == wanted


PALE, SMALL, HAIR = (next(f for f in FINDINGS if f.elements[0] == name) for name in ("L03", "L04", "L07"))
ON_SHEET = Finding(
    check="nothing-found", severity=Severity.FAIL, elements=(), places=(),
    measured=None, needed=None, unit=None, shortfall=1.0, says="Nothing.",
)  # fmt: skip
ALL = (PALE, SMALL, HAIR, ON_SHEET)
NAMES = {"day": ("L03",), "credits": ("L04", "L05", "L06"), "first credit": ("L04",)}


def waiver(check: str | None = None, line: str | None = None, **where: object) -> Waiver:
    at = Where(**where) if where else None  # type: ignore[arg-type]
    return Waiver(check=check, line=line, where=at, reason="known")


@pytest.mark.parametrize(
    ("one", "waived"),
    [
        # by check: wherever it is
        (waiver("faint-text"), (PALE, HAIR)),
        (waiver("nothing-found"), (ON_SHEET,)),
        (waiver("hue-only"), ()),
        # by line: whatever it is; every place of a finding must be of that line
        (waiver(line="day"), (PALE,)),
        (waiver(line="credits"), (SMALL,)),
        (waiver(line="first credit"), ()),
        (waiver(line="matched nothing"), ()),
        (waiver("short-reach", line="day"), ()),
        # by place
        (waiver(words="bottom right"), (HAIR,)),
        (waiver(words="bottom"), (SMALL, HAIR)),
        (waiver(words="top left"), ()),
        (waiver(box_mm=(0.0, 490.0, 200.0, 530.0)), (SMALL,)),
        (waiver(box_mm=(0.0, 490.0, 200.0, 516.0)), ()),
        (waiver(box_mm=(0.0, 250.0, 420.0, 594.0)), (PALE, SMALL, HAIR)),
        (waiver("faint-text", box_mm=(0.0, 250.0, 420.0, 594.0)), (PALE, HAIR)),
        (waiver(point_mm=(100.0, 290.0)), (PALE,)),
        (waiver(point_mm=(100.0, 503.0)), ()),
    ],
)
def test_what_a_waiver_waives(one: Waiver, waived: tuple[Finding, ...]) -> None:
    parted = split_waived(ALL, [one], names=NAMES, **SHEET)
    assert parted.waived == tuple(replace(finding, waived="known") for finding in waived)
    assert parted.live == tuple(finding for finding in ALL if finding not in waived)
    assert parted.unused == (() if waived else (0,))


def test_the_first_of_two_reasons_stands_and_both_are_used() -> None:
    waivers = [
        Waiver(check="hue-only", reason="none has it"),
        Waiver(check="faint-text", reason="first"),
        Waiver(line="day", reason="second"),
    ]
    parted = split_waived(ALL, waivers, names=NAMES, **SHEET)
    assert [finding.waived for finding in parted.waived] == ["first", "first"]
    assert parted.unused == (0,)


def test_without_waivers_all_stands() -> None:
    parted = split_waived(POSTER.findings, [], names={}, **SHEET)
    assert (parted.live, parted.waived, parted.unused) == (POSTER.findings, (), ())


def test_what_matches_nothing_is_told() -> None:
    brief = Brief(
        file="song.toml",
        lines=(
            BriefLine(where=Where(words="top left"), row=3),
            BriefLine(name="day", where=Where(box_mm=(40.0, 48.0, 380.5, 110.0)), row=7),
            BriefLine(where=Where(point_mm=(1.0, 2.0)), row=11),
        ),
        figures=(BriefFigure(name="singer", where=Where(box_mm=(1.0, 2.0, 3.0, 4.0)), row=9),),
        waivers=(
            Waiver(check="faint-text", line="day", reason="x", row=20),
            Waiver(where=Where(words="top left"), reason="x", row=1),
        ),
    )
    nothing = Matches(entry_of=(2,), unmatched=(Unmatched(entry=0, taken=False), Unmatched(entry=1, taken=True)))
    assert unmatched_in_words(
        brief,
        lines=nothing,
        figures=Matches(entry_of=(), unmatched=(Unmatched(entry=0, taken=False),)),
        unused_waivers=(0, 1),
    ) == (
        "song.toml, line 1: the waiver (top left) matches no finding: take it out",
        "song.toml, line 3: the line (top left) matches nothing: nothing found is there",
        "song.toml, line 7: the line 'day' (box 40, 48, 380.5, 110 mm) matches nothing: "
        "all that is there has another entry",
        "song.toml, line 9: the figure 'singer' (box 1, 2, 3, 4 mm) matches nothing: nothing found is there",
        "song.toml, line 20: the waiver (faint-text, line 'day') matches no finding: take it out",
    )
    assert unmatched_in_words(brief) == ()


def test_a_brief_says_who_looks_and_in_what_light() -> None:
    brief = read_brief("[viewing]\nlight = 300\nage = '60 years'\nacuity = 0.5\nviewer = 'older'\n", file="b.toml")
    settings = with_brief(Settings(age_years=40.0), brief, given=("age_years",))
    assert (settings.illuminance_lx, settings.age_years, settings.judged_for) == (300.0, 40.0, "older")
    assert settings.acuity_logmar == pytest.approx(0.30103)
    assert settings.from_brief == ("illuminance_lx", "acuity_logmar", "judged_for")
    assert settings.viewer.name == "older"
