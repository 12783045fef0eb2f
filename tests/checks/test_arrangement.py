"""Checks of grouping, placement, focus and outline as tables: measurements in, exact findings out."""

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from checks.builders import measured
from standback.arrangement import (
    Arrangement,
    Group,
    Look,
    Looks,
    LooseHeading,
    Margins,
    NearTrim,
    OffAxis,
    Outline,
    Pull,
    TornGroup,
)
from standback.checks import CHECKS
from standback.checks.unjudged import not_judged
from standback.elements import Box, Figure
from standback.findings import Finding, Severity
from standback.judge import causes, failed
from standback.measure.model import FigureMeasurement, Measurements
from standback.settings import Limits

LIMITS = Limits()
NAMES = tuple(f"L{n:02d}" for n in range(1, 7))
GREY = ((150, 150, 150), (190, 190, 190))


def figure(name: str = "F01", called: str | None = None) -> FigureMeasurement:
    colour, ground = GREY
    return FigureMeasurement(
        id=name,
        figure=Figure(
            box_px=Box(x0=0, y0=0, x1=400, y1=400),
            mask=np.ones((4, 4), dtype=np.bool_),
            mask_scale=100,
            colour_srgb8=colour,
            ground_srgb8=ground,
            ratio=1.5,
            area_share=0.1,
            picture=True,
        ),
        box_mm=(0, 0, 100, 100),
        ratio_wanted=3.0,
        far_m=5.0,
        carry_m=20.0,
        seen=(),
        name=called,
        doubts=(),
    )


def sheet(*figures: FigureMeasurement, tiers: dict[str, str] | None = None, **about: Any) -> Measurements:
    lines = tuple(measured(name, tier=(tiers or {}).get(name, "small")) for name in NAMES)
    return Measurements(lines=lines, figures=figures, arrangement=Arrangement(**about))


def run(check_id: str, measurements: Measurements) -> tuple[Finding, ...]:
    return next(c for c in CHECKS if c.id == check_id).run(measurements, LIMITS)


def told(check_id: str, measurements: Measurements) -> list[tuple[Severity, tuple[str, ...], float]]:
    return [(f.severity, f.elements, round(f.shortfall, 4)) for f in run(check_id, measurements)]


def torn(own_mm: float, stranger_mm: float, move: str | None = None) -> TornGroup:
    return TornGroup(
        group="when",
        part=("L01",),
        rest=("L02", "L03"),
        own_mm=own_mm,
        stranger_mm=stranger_mm,
        stranger="L04",
        move=move,
        near_mm=stranger_mm / LIMITS.group_clear_ratio,
    )


@pytest.mark.parametrize(
    ("own_mm", "stranger_mm", "warned", "noted"),
    [
        (40.0, 20.0, 2.5, None),
        (20.0, 19.9, round(1.25 * 20 / 19.9, 4), None),
        # as far is no nearer; a quarter farther is clear
        (20.0, 20.0, None, 1.25),
        (20.0, 24.9, None, round(1.25 * 20 / 24.9, 4)),
        (20.0, 25.0, None, None),
    ],
)
def test_torn_or_unclear(own_mm: float, stranger_mm: float, warned: float | None, noted: float | None) -> None:
    group = sheet(torn=(torn(own_mm, stranger_mm),))
    assert told("torn-group", group) == ([(Severity.WARN, ("L01",), warned)] if warned else [])
    assert told("unclear-grouping", group) == ([(Severity.NOTE, ("L01",), noted)] if noted else [])


def test_a_group_that_was_guessed_is_only_noted() -> None:
    guessed = replace(torn(40.0, 20.0), whence="guess")
    (found,) = run("torn-group", sheet(torn=(guessed,)))
    assert found.severity is Severity.NOTE
    assert run("unclear-grouping", sheet(torn=(replace(torn(20.0, 21.0), whence="guess"),))) == ()


def test_a_torn_group_says_what_to_do() -> None:
    (moved,) = run("torn-group", sheet(torn=(torn(40.0, 20.0, "Move L01 30 mm down."),)))
    assert moved.change == "Move L01 30 mm down."
    (left,) = run("torn-group", sheet(torn=(torn(40.0, 20.0),)))
    assert left.change == "Bring L01 within 16 mm of L02, or keep L04 50 mm away."
    assert "'when'" in left.says


@pytest.mark.parametrize(
    ("above_mm", "below_mm", "shortfall"),
    [
        (6.0, 6.0, 1.25),
        (7.4, 6.0, round(1.25 * 6 / 7.4, 4)),
        (5.0, 6.0, 1.5),
        # clearly nearer to its own, or to the text above, as a signature is
        (7.5, 6.0, None),
        (4.8, 6.0, None),
    ],
)
def test_unclear_headings(above_mm: float, below_mm: float, shortfall: float | None) -> None:
    heading = LooseHeading(element="L02", above="L01", below="L03", above_mm=above_mm, below_mm=below_mm)
    found = told("unclear-grouping", sheet(headings=(heading,)))
    assert found == ([(Severity.NOTE, ("L02",), shortfall)] if shortfall else [])


def test_off_centre() -> None:
    assert told("off-centre", sheet()) == []
    off = OffAxis(element="L03", axis="centre", of=(), at_mm=210.0, off_mm=-5.0, slack_mm=2.0)
    (found,) = run("off-centre", sheet(off_axis=(off,)))
    assert (found.severity, found.measured, found.needed, found.shortfall) == (Severity.WARN, 5.0, 2.0, 3.5)
    assert found.change == "Move L03 5.0 mm right."


def test_lines_that_keep_an_edge_of_their_own_are_told_together() -> None:
    of, along = ("L01",), ("L03", "L04", "L05", "L06")
    off = OffAxis(element="L02", axis="left", of=of, at_mm=30.0, off_mm=1.8, slack_mm=0.9, along=along)
    (found,) = run("off-centre", sheet(off_axis=(off,)))
    assert (found.severity, found.measured, found.needed, found.shortfall) == (Severity.NOTE, 1.8, 0.9, 3.0)
    assert found.elements == ("L02", *along)
    assert found.says.startswith("5 lines start beside the edge that L01 starts from: 1.8 mm too far right")
    assert found.change == "Move L02, L03, L04, L05 and 1 more 1.8 mm left."


def test_near_trim() -> None:
    assert told("near-trim", sheet()) == []
    near = NearTrim(element="L06", side="bottom", gap_mm=2.0, share=0.01)
    (found,) = run("near-trim", sheet(near_trim=(near,)))
    assert (found.severity, found.measured, found.needed, found.shortfall) == (Severity.WARN, 2.0, 5.0, 2.5)
    assert found.change == "Move L06 3 mm up, with what stands there."
    assert told("near-trim", sheet(near_trim=(replace(near, gap_mm=4.5),))) == []


def test_a_thin_margin_is_told_where_nothing_is_nearer() -> None:
    thin = NearTrim(element="L06", side="bottom", gap_mm=6.0, share=0.01)
    (found,) = run("near-trim", sheet(thin_margins=(thin,)))
    assert (found.severity, found.measured, found.needed, found.shortfall) == (Severity.NOTE, 6.0, 9.0, 1.5)
    assert found.change == "Keep L06 9 mm from the bottom, or more: 18 mm, 3% of the shorter side, is usual."
    near = replace(thin, element="L05", gap_mm=2.0)
    assert told("near-trim", sheet(near_trim=(near,), thin_margins=(thin,))) == [(Severity.WARN, ("L05",), 2.5)]


def test_type_beyond_the_margin() -> None:
    beyond = Margins(left_mm=20.0, right_mm=8.0, left=("L01", "L02"), right=("L03", "L04"))
    (found,) = run("uneven-margins", sheet(overrun=beyond))
    assert (found.severity, found.elements, found.shortfall) == (Severity.NOTE, ("L03", "L04"), 2.5)
    assert found.change == "Keep L03, L04 20 mm from the right edge as well."
    thin = NearTrim(element="L03", side="right", gap_mm=8.0, share=0.01)
    assert told("near-trim", sheet(overrun=beyond, thin_margins=(thin,))) == [], "it is told once"
    across = replace(beyond, left=("L01",), right=("L01",))
    (found,) = run("uneven-margins", sheet(overrun=across))
    assert found.change == "Set L01 with 14 mm on either side."


@pytest.mark.parametrize(
    ("left_mm", "right_mm", "shortfall"),
    [
        (20.0, 20.0, None),
        (20.0, 25.0, None),
        (20.0, 25.1, 1.255),
        (30.0, 20.0, 1.5),
        # two and a half times as wide is a layout
        (20.0, 50.0, None),
        (0.0, 20.0, None),
    ],
)
def test_uneven_margins(left_mm: float, right_mm: float, shortfall: float | None) -> None:
    margins = Margins(left_mm=left_mm, right_mm=right_mm, left=("L01", "L02"), right=("L03", "L04"))
    narrow = ("L01", "L02") if left_mm < right_mm else ("L03", "L04")
    found = told("uneven-margins", sheet(margins=margins))
    assert found == ([(Severity.NOTE, narrow, shortfall)] if shortfall else [])


def looking(*looks: tuple[tuple[str, ...], float]) -> dict[str, Any]:
    """The looks from far, and as much pull on each."""
    order = tuple(Look(elements=elements, share=share) for elements, share in looks)
    pull = tuple(Pull(element=look.elements[0], station="far", share=look.share, centre_bias=0.1) for look in order)
    return {"looks": (Looks(station="far", looks=order),), "pull": pull}


LEAD = {"L01": "lead", "L02": "lead"}


@pytest.mark.parametrize(
    ("looks", "expected"),
    [
        # the title leads
        ([(("L01",), 0.4), (("L03",), 0.3)], []),
        ([(("L01",), 0.345), (("L03",), 0.3)], []),
        ([(("L01",), 0.34), (("L03",), 0.3)], [("L01", "L03")]),
        # a stamp takes the title's place, if clearly
        ([(("L03",), 0.34), (("L01",), 0.3)], []),
        ([(("L03",), 0.4), (("L01",), 0.3)], [("L01", "L03")]),
        # a picture may lead, and may pull as the title does
        ([(("F01",), 0.5), (("L01",), 0.1)], []),
        ([(("F01",), 0.3), (("L01",), 0.3)], []),
        # too little of what draws was found
        ([(("L01",), 0.2), (("L03",), 0.19)], []),
        ([], []),
    ],
)
def test_no_lead(looks: list[tuple[tuple[str, ...], float]], expected: list[tuple[str, ...]]) -> None:
    found = run("no-lead", sheet(figure(), tiers=LEAD, **looking(*looks)))
    assert [f.elements for f in found] == expected
    assert all(f.severity is Severity.WARN and "rule of thumb" in f.says for f in found)


def test_two_lines_of_one_title_do_not_compete() -> None:
    looks = looking((("L01",), 0.34), (("L02",), 0.3))
    assert run("no-lead", sheet(tiers=LEAD, **looks))
    title = Group(name=None, elements=("L01", "L02"), whence="guess", box_mm=(0, 0, 1, 1))
    assert not run("no-lead", sheet(tiers=LEAD, groups=(title,), **looks))


def test_a_figure_that_the_brief_does_not_name_must_not_lead() -> None:
    looks = looking((("F01",), 0.5), (("F02",), 0.2), (("L01",), 0.1))
    assert not run("no-lead", sheet(figure("F01", "heron"), figure("F02"), tiers=LEAD, **looks))
    (found,) = run("no-lead", sheet(figure("F01"), figure("F02", "heron"), tiers=LEAD, **looks))
    assert (found.elements, round(found.shortfall, 3)) == (("F02", "F01"), round(1.15 / 0.4, 3))


@pytest.mark.parametrize(
    ("tier_from", "letter_mm", "judged"), [("guess", 99.0, 0), ("guess", 1.0, 1), ("brief", 99.0, 1)]
)
def test_larger_letters_that_lead_show_a_guess_to_be_wrong(tier_from: str, letter_mm: float, judged: int) -> None:
    seen = sheet(tiers=LEAD, **looking((("L03",), 0.4), (("L01",), 0.3)))
    lines = tuple(replace(m, tier_from=tier_from, letter_mm=letter_mm if m.id == "L03" else 5.0) for m in seen.lines)
    assert len(run("no-lead", replace(seen, lines=lines))) == judged


@pytest.mark.parametrize(
    ("held", "ratio", "shortfall"),
    [
        (0.3, 1.5, 2.0),
        (0.49, 2.99, round(3 / 2.99, 4)),
        (0.5, 2.9, None),
        (0.4, 3.0, None),
        (1.0, 8.0, None),
    ],
)
def test_weak_outline(held: float, ratio: float, shortfall: float | None) -> None:
    outline = Outline(element="F01", held=held, ratio=ratio)
    found = run("weak-outline", sheet(figure(), outlines=(outline,)))
    assert [(f.severity, round(f.shortfall, 4)) for f in found] == ([(Severity.WARN, shortfall)] if shortfall else [])


def test_they_are_causes_of_their_own_and_repeats_are_one_finding() -> None:
    near = tuple(
        NearTrim(element=name, side="bottom", gap_mm=gap, share=0.01) for name, gap in (("L05", 3.0), ("L06", 1.0))
    )
    off = OffAxis(element="L06", axis="centre", of=(), at_mm=210.0, off_mm=-5.0, slack_mm=2.0)
    all_of_it = sheet(near_trim=near, off_axis=(off,))
    found = causes(failed(all_of_it, LIMITS), all_of_it)
    assert {f.check: f.elements for f in found} == {"off-centre": ("L06",), "near-trim": ("L06", "L05")}
    trim = next(f for f in found if f.check == "near-trim")
    assert trim.change == "Move L06 4 mm up, with what stands there. The other one likewise."
    assert math.isclose(trim.shortfall, 5.0)


def test_what_gives_no_hold_is_owned_up_to() -> None:
    blind = sheet(tiers=LEAD, **looking((("L01",), 0.3)))
    assert {item.check for item in not_judged(blind, LIMITS)} >= {"no-lead", "torn-group"}
    group = Group(name="when", elements=("L01", "L02"), whence="brief", box_mm=(0, 0, 1, 1))
    clear = sheet(tiers=LEAD, groups=(group,), **looking((("L01",), 0.6)))
    assert not {item.check for item in not_judged(clear, LIMITS)} & {"no-lead", "torn-group", "off-centre"}
