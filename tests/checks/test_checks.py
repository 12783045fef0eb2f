"""Each check as a table: measurements in, exact findings out, the no-finding cases too."""

import math
from dataclasses import replace
from typing import Any

import pytest

from checks.builders import measured, text_line
from standback.checks import CHECKS, check_of, title_of
from standback.checks.unjudged import not_judged
from standback.doubts import Doubt
from standback.findings import Finding, Severity
from standback.measure.model import Measurement, Measurements, PrintMeasurement
from standback.settings import Limits

LIMITS = Limits()


def run(check_id: str, *measurements: Measurement) -> tuple[Finding, ...]:
    check = next(c for c in CHECKS if c.id == check_id)
    return check.run(Measurements(lines=measurements), LIMITS)


def one(check_id: str, **about: Any) -> tuple[Severity, float] | None:
    """(severity, shortfall) of the one finding, None for no finding."""
    found = run(check_id, measured(**about))
    assert len(found) <= 1
    return (found[0].severity, round(found[0].shortfall, 4)) if found else None


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        # WCAG 2.2, 1.4.3: #767676 on white (4.5422) passes, #777777 (4.4781) does not
        ({"ratio": 4.5422, "reach_m": 20}, None),
        ({"ratio": 4.5, "reach_m": 20}, None),
        ({"ratio": 4.4781, "reach_m": 20}, (Severity.WARN, round(4.5 / 4.4781, 4))),
        # never rounded up: 4.4997 fails
        ({"ratio": 4.4997, "reach_m": 20}, (Severity.WARN, 1.0001)),
        # large text asks for 3:1
        ({"ratio": 3.0, "wanted": 3.0, "reach_m": 20}, None),
        ({"ratio": 2.9953, "wanted": 3.0, "reach_m": 20}, (Severity.WARN, round(3 / 2.9953, 4))),
        # a near miss warns, however short its reach
        ({"ratio": 4.1851, "reach_m": 1.0}, (Severity.WARN, round(4.5 / 4.1851, 4))),
        ({"ratio": 4.1849, "reach_m": 1.0}, (Severity.FAIL, round(4.5 / 4.1849, 4))),
        # reach under twice the station (2 m) makes it a fail, exactly twice does not
        ({"ratio": 3.6, "reach_m": 3.99}, (Severity.FAIL, 1.25)),
        ({"ratio": 3.6, "reach_m": 4.0}, (Severity.WARN, 1.25)),
        # what reads from its station all the same is missed by less
        ({"ratio": 3.826, "reach_m": 2.0}, (Severity.WARN, round(4.5 / 3.826, 4))),
        ({"ratio": 3.826, "reach_m": 1.99}, (Severity.FAIL, round(4.5 / 3.826, 4))),
        ({"ratio": 3.824, "reach_m": 2.0}, (Severity.FAIL, round(4.5 / 3.824, 4))),
        # a ratio under 2 fails however far it reaches
        ({"ratio": 1.99, "reach_m": 50}, (Severity.FAIL, round(4.5 / 1.99, 4))),
        ({"ratio": 2.0, "reach_m": 50}, (Severity.WARN, 2.25)),
    ],
)
def test_faint_text(about: dict[str, Any], expected: tuple[Severity, float] | None) -> None:
    assert one("faint-text", **about) == expected


def test_the_ink_of_few_pixels_is_not_known_to_the_last_percent() -> None:
    for ratio, told in ((4.27, True), (4.28, False)):
        line = replace(measured(ratio=ratio), doubts=(Doubt.LOW_RESOLUTION,))
        assert bool(run("faint-text", line)) == told
        assert ("faint-text" in {item.check for item in not_judged(Measurements(lines=(line,)), LIMITS)}) != told
    assert run("faint-text", measured(ratio=4.28))


@pytest.mark.parametrize(("ratio", "stroke_px", "told"), [(2.0, 1.24, False), (2.0, 1.31, True), (1.9, 0.7, True)])
def test_strokes_too_thin_for_a_pixel_are_told_only_where_hardly_there(
    ratio: float, stroke_px: float, told: bool
) -> None:
    line = measured(ratio=ratio)
    line = replace(line, line=replace(line.line, stroke_px=stroke_px))
    assert bool(run("faint-text", line)) == told
    assert ("faint-text" in {item.check for item in not_judged(Measurements(lines=(line,)), LIMITS)}) != told


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        ({"tier": "lead", "reach_m": 5.0}, None),
        ({"tier": "lead", "tier_from": "brief", "reach_m": 4.99}, (Severity.WARN, round(5 / 4.99, 4))),
        ({"tier": "lead", "tier_from": "brief", "reach_m": 4.0}, (Severity.WARN, 1.25)),
        # one line on the sheet has to be read from far, whichever it is
        ({"tier": "lead", "reach_m": 4.0}, (Severity.WARN, 1.25)),
        ({"tier": "lead", "reach_m": 3.99}, (Severity.FAIL, round(5 / 3.99, 4))),
        # a support line's tier is a guess: it can only warn, and a little short of it is no fault ...
        ({"tier": "support", "reach_m": 1.6}, None),
        ({"tier": "support", "reach_m": 1.0}, (Severity.WARN, 2.0)),
        # ... unless the brief names it, or it can't even be read up close
        ({"tier": "support", "tier_from": "brief", "reach_m": 1.0}, (Severity.FAIL, 2.0)),
        ({"tier": "support", "reach_m": 0.39}, (Severity.FAIL, round(2 / 0.39, 4))),
        ({"tier": "small", "reach_m": 0.5}, None),
        ({"tier": "small", "reach_m": 0.45}, None),
        ({"tier": "small", "tier_from": "brief", "reach_m": 0.45}, (Severity.WARN, round(0.5 / 0.45, 4))),
        # what is held like print may be stepped up to
        ({"tier": "small", "reach_m": 0.39}, (Severity.WARN, round(0.5 / 0.39, 4))),
        ({"tier": "small", "reach_m": 0.35}, (Severity.WARN, round(0.5 / 0.35, 4))),
        ({"tier": "small", "reach_m": 0.349}, (Severity.FAIL, round(0.5 / 0.349, 4))),
        ({"tier": "small", "tier_from": "brief", "reach_m": 0.39}, (Severity.FAIL, round(0.5 / 0.39, 4))),
        # not readable from anywhere: the shortfall is capped
        ({"tier": "lead", "reach_m": 0.0}, (Severity.FAIL, 100.0)),
    ],
)
def test_short_reach(about: dict[str, Any], expected: tuple[Severity, float] | None) -> None:
    assert one("short-reach", **about) == expected


def test_a_signature_that_is_all_that_was_found_is_not_asked_to_lead() -> None:
    sheet = PrintMeasurement(ppi=100.0, near_m=0.5, sharpness_ppi=None, cmyk=False, height_mm=400.0)
    alone = measured(tier="lead", reach_m=2.0)
    for y_mm, others, told in ((319.0, 0, True), (321.0, 0, False), (321.0, 1, False), (321.0, 2, True)):
        lines = [replace(alone, box_mm=(50.0, y_mm, 150.0, y_mm + 10))]
        lines += [measured(f"L1{n}", tier="small", reach_m=2.0) for n in range(others)]
        found = check_of("short-reach").run(Measurements(lines=tuple(lines), sheet=sheet), LIMITS)
        assert bool(found) == told


def test_a_short_reach_tells_what_its_busy_ground_costs() -> None:
    (found,) = run("short-reach", measured(ratio=6.0, worst=6.0, masked=4.0, reach_m=2.0, tier="lead"))
    assert found.says.endswith("Its busy ground makes 6:1 worth no more than 4:1 on an even one.")


def test_lines_set_alike_fall_short_together() -> None:
    def small(n: int, reach_m: float, **about: Any) -> Measurement:
        return measured(f"L0{n}", line=text_line(at=(100, 100 * n), **about), tier="small", reach_m=reach_m)

    lines = [small(1, 0.39), small(2, 0.42), small(3, 0.5), small(4, 0.42, ink=(120, 0, 0))]
    assert [f.elements for f in run("short-reach", *lines)] == [("L01",), ("L02",)]


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        ({"ratio": 6.0, "worst": 4.5}, None),
        ({"ratio": 6.0, "worst": 4.4}, (Severity.WARN, round(4.5 / 4.4, 4))),
        # a texture masks letters that would be plain on an even ground ...
        ({"ratio": 6.0, "worst": 6.0, "masked": 4.0}, (Severity.WARN, 1.125)),
        # ... unless it costs less than a tenth, or leaves enough
        ({"ratio": 4.6, "worst": 4.6, "masked": 4.4}, None),
        ({"ratio": 6.0, "worst": 6.0, "masked": 4.6}, None),
        # a line that is too faint as a whole is faint-text's
        ({"ratio": 4.4, "worst": 4.4, "masked": 2.0}, None),
        ({"ratio": 4.4, "worst": 2.0}, None),
        # between letters of a few pixels there is no clear ground
        ({"ratio": 6.0, "worst": 4.4, "line": text_line(cap_px=7.9)}, None),
    ],
)
def test_patchy_ground(about: dict[str, Any], expected: tuple[Severity, float] | None) -> None:
    assert one("patchy-ground", **about) == expected


DARK, LIGHT = text_line(), text_line(ink=(255, 255, 255), ground=(0, 0, 0))


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        ({"line": DARK, "seen_ratio": 1.26}, None),
        ({"line": DARK, "seen_ratio": 1.2}, (Severity.WARN, 1.05)),
        ({"line": LIGHT, "seen_ratio": 1.63}, None),
        ({"line": LIGHT, "seen_ratio": 1.5}, (Severity.WARN, round(1.63 / 1.5, 4))),
    ],
)
def test_washed_out(about: dict[str, Any], expected: tuple[Severity, float] | None) -> None:
    assert one("washed-out", **about) == expected


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        ({"jnd": 6.0}, None),
        ({"jnd": 5.0}, (Severity.WARN, 1.2)),
        ({"jnd": 3.0}, (Severity.WARN, 2.0)),
        ({"jnd": 2.0}, (Severity.FAIL, 1.5)),
        ({"jnd": 2.0, "tier": "lead"}, (Severity.FAIL, 1.5)),
        ({"jnd": 6.0, "block_ratio": 1.1, "ratio": 4.4}, None),
        ({"jnd": 6.0, "block_ratio": 1.0, "ratio": 4.4}, (Severity.WARN, 1.1)),
        # strong letters are seen as letters
        ({"jnd": 6.0, "block_ratio": 1.0, "ratio": 4.5}, None),
        ({"jnd": 6.0, "block_ratio": None}, None),
        # small lines are met up close
        ({"jnd": 0.5, "tier": "small"}, None),
    ],
)
def test_fades(about: dict[str, Any], expected: tuple[Severity, float] | None) -> None:
    assert one("fades", **about) == expected


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        ({"tier": "small", "reach_m": 1.6, "alone": True}, None),
        ({"tier": "small", "reach_m": 1.0, "alone": True}, (Severity.NOTE, 2.0)),
        ({"tier": "small", "reach_m": 1.0}, None),
        # lines with a farther station are short-reach's
        ({"tier": "support", "reach_m": 1.0, "alone": True}, None),
    ],
)
def test_read_late(about: dict[str, Any], expected: tuple[Severity, float] | None) -> None:
    assert one("read-late", **about) == expected


def test_an_imprint_is_meant_to_be_read_late() -> None:
    sheet = PrintMeasurement(ppi=100.0, near_m=0.5, sharpness_ppi=None, cmyk=False, height_mm=400.0)
    alone = measured(tier="small", reach_m=1.0, alone=True)
    low, lower = (replace(alone, box_mm=(50.0, y_mm, 150.0, y_mm + 5)) for y_mm in (371.0, 373.0))
    assert [bool(check_of("read-late").run(Measurements(lines=(m,), sheet=sheet), LIMITS)) for m in (low, lower)] == [
        True,
        False,
    ]


def test_nothing_found_only_without_elements() -> None:
    (finding,) = run("nothing-found")
    assert finding.severity is Severity.FAIL
    assert (finding.measured, finding.needed, finding.unit, finding.shortfall) == (None, None, None, 1.0)
    assert run("nothing-found", measured()) == ()


def test_findings_name_their_line_and_number() -> None:
    (finding,) = run("short-reach", measured("L07", tier="lead", reach_m=2.5))
    assert finding.elements == ("L07",)
    assert (finding.measured, finding.needed, finding.unit) == (2.5, 5.0, "m")
    assert finding.places[0].box_mm == (25.0, 25.0, 75.0, 30.0)


def test_every_check_is_explained() -> None:
    ids = [check.id for check in CHECKS]
    assert len(set(ids)) == len(ids)
    for check in CHECKS:
        assert check.title
        assert check.rationale
        assert check.source
        assert title_of(check.id) == check.title


def test_shortfall_is_never_under_one() -> None:
    for ratio in (4.4999999, 1.0):
        (finding,) = run("faint-text", measured(ratio=ratio))
        assert 1.0 <= finding.shortfall <= 100.0
        assert math.isfinite(finding.shortfall)
