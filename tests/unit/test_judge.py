"""One cause, one finding; and the order of findings."""

from collections.abc import Sequence
from dataclasses import replace

from checks.builders import measured, text_line
from standback.findings import Finding, Severity, ranked
from standback.judge import causes, failed
from standback.measure.model import Measurement, Measurements
from standback.settings import Limits

LIMITS = Limits()


TITLE = measured("L99", line=text_line(cap_px=200.0, at=(0, 2000)), tier="lead")


def of(lines: Sequence[Measurement]) -> Measurements:
    """A sheet with these lines and a title that lacks nothing, an empty one without lines."""
    return Measurements(lines=(*lines, TITLE) if lines else ())


def judge(lines: Sequence[Measurement], limits: Limits) -> tuple[Finding, ...]:
    return causes(failed(of(lines), limits), of(lines))


def test_the_first_cause_is_listed_and_the_later_quoted() -> None:
    (finding,) = judge([measured(ratio=4.0, reach_m=1.0, tier="lead")], LIMITS)
    assert finding.check == "faint-text"
    assert "Also too small for its distance: reads from 1 m, needed from 5 m." in finding.says


def test_what_falls_hardly_short_is_not_told_beside_what_falls_plainly_short() -> None:
    (finding,) = judge([measured(ratio=4.2, reach_m=1.0, tier="support")], LIMITS)
    assert finding.check == "short-reach"
    assert "contrast" not in finding.says
    # alone it is the cause
    (alone,) = judge([measured(ratio=4.2, reach_m=3.0, tier="support")], LIMITS)
    assert alone.check == "faint-text"


def test_the_most_severe_cause_gives_the_severity() -> None:
    # ratio 4 and a reach of 11 m warn; nothing fails ...
    (warned,) = judge([measured(ratio=4.0, reach_m=11.0, tier="lead")], LIMITS)
    assert warned.severity is Severity.WARN
    # ... until the reach does
    (failed,) = judge([measured(ratio=4.0, reach_m=2.0, tier="lead")], LIMITS)
    assert failed.severity is Severity.FAIL


def test_lines_of_one_style_share_a_finding_worst_first() -> None:
    lines = [
        measured(f"L0{n}", line=text_line(at=(100, 100 * n)), tier="small", reach_m=reach_m)
        for n, reach_m in ((1, 0.38), (2, 0.3), (3, 2.0))
    ]
    (finding,) = judge(lines, LIMITS)
    assert finding.elements == ("L02", "L01")
    assert finding.measured == 0.3
    assert len(finding.places) == 2
    assert finding.severity is Severity.FAIL


def test_lines_of_two_sizes_do_not() -> None:
    lines = [
        measured("L01", line=text_line(), tier="small", reach_m=0.3),
        measured("L02", line=text_line(cap_px=15.0), tier="small", reach_m=0.2),
    ]
    assert [f.elements for f in judge(lines, LIMITS)] == [("L02",), ("L01",)]


def test_lines_of_one_size_share_a_finding_though_one_is_measured_by_its_capitals() -> None:
    """A short line's small letters may be taken for capitals: its em comes out smaller."""
    lines = [
        measured("L01", line=text_line(cap_px=None, x_px=12.0), tier="small", reach_m=0.3),
        replace(measured("L02", line=text_line(cap_px=12.5), tier="small", reach_m=0.31), em_mm=4.4),
    ]
    lines[0] = replace(lines[0], em_mm=5.8)
    assert [f.elements for f in judge(lines, LIMITS)] == [("L01", "L02")]


def test_pale_lines_of_one_colour_share_a_finding_whatever_their_size() -> None:
    pale = (170, 170, 170)
    lines = [
        measured("L01", line=text_line(ink=pale), tier="support", reach_m=3.0),
        measured("L02", line=text_line(ink=pale, cap_px=60.0), tier="lead", reach_m=7.0),
        measured("L03", line=text_line(ink=(200, 160, 160), cap_px=60.0), tier="lead", reach_m=7.0),
    ]
    assert {(f.elements, f.tier) for f in judge(lines, LIMITS)} == {
        (("L03",), "lead"),
        (("L01", "L02"), "lead"),
    }


def waived(finding: Finding, reason: str) -> Finding:
    return replace(finding, waived=reason)


def test_what_is_waived_hides_nothing_that_is_not() -> None:
    lines = [measured(ratio=1.5, reach_m=1.0, tier="lead")]
    pale, small = failed(of(lines), LIMITS)
    accepted, live = causes([small, waived(pale, "their colour")], of(lines))
    assert (live.check, live.waived) == ("short-reach", None)
    assert "contrast" not in live.says
    assert (accepted.check, accepted.waived) == ("faint-text", "their colour")
    assert "Also" not in accepted.says


def test_what_is_waived_for_one_reason_is_one_finding() -> None:
    lines = [measured(f"L0{n}", line=text_line(at=(100, 100 * n)), ratio=3.0, reach_m=0.3) for n in range(4)]
    raw = [
        waived(f, "known") if f.elements[0] in ("L00", "L01") else f
        for f in failed(of(lines), LIMITS)
        if f.elements[0] != "L03"
    ]
    raw += [waived(f, "also known") for f in failed(of(lines[3:]), LIMITS)]
    found = {f.waived: f for f in causes(raw, of(lines))}
    assert {reason: f.elements for reason, f in found.items()} == {
        None: ("L02",),
        "known": ("L00", "L01"),
        "also known": ("L03",),
    }
    assert all("Also too small" in f.says for f in found.values())


def test_nothing_found_stands_alone() -> None:
    (finding,) = judge([], LIMITS)
    assert finding.check == "nothing-found"


def test_rank_by_severity_tier_shortfall_and_place() -> None:
    lines = [
        measured("L01", line=text_line(cap_px=30.0, at=(0, 900)), tier="small", tier_from="brief", reach_m=0.45),
        measured("L02", line=text_line(cap_px=40.0, at=(0, 500)), tier="support", reach_m=1.5),
        measured("L03", line=text_line(cap_px=60.0, at=(0, 300)), tier="lead", tier_from="brief", reach_m=4.5),
        measured("L04", line=text_line(cap_px=80.0, at=(0, 100)), tier="lead", reach_m=2.0),
        measured("L05", line=text_line(cap_px=10.0, at=(0, 700)), tier="small", reach_m=0.1),
    ]
    findings = ranked(judge(lines, LIMITS))
    assert [f.elements[0] for f in findings] == ["L04", "L05", "L03", "L02", "L01"]
    assert [f.rank for f in findings] == [1, 2, 3, 4, 5]
    assert findings == ranked(reversed(findings))
