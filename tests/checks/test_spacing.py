"""Checks of spacing, as tables: what is measured in, exact findings out, the no-finding cases too."""

from dataclasses import replace
from typing import Any

import pytest

from checks.builders import PX_PER_MM, measured, text_line
from standback.checks import check_of
from standback.checks.unjudged import not_judged
from standback.elements import Box
from standback.findings import Finding, Severity
from standback.judge import causes
from standback.measure.model import Hole, Measurement, Measurements, PairGap, Spacing
from standback.settings import Limits

LIMITS = Limits()
UNIT_PX = 80.0
"""Half a pixel, in letter heights."""
BOX = Box(x0=120, y0=100, x1=128, y1=180)
BOX_MM = (30.0, 25.0, 32.0, 45.0)

Expected = tuple[Severity, float] | None


def pair(
    off: float, *, first: int = 1, figures: bool = False, repeat: float | None = None, letters: str | None = None
) -> PairGap:
    return PairGap(
        first=first,
        letters=letters,
        gap=0.2 + off,
        off=off,
        repeat_off=repeat,
        figures=figures,
        box_px=BOX,
        box_mm=BOX_MM,
    )


def spaced(
    *pairs: PairGap,
    gap: float | None = 0.2,
    word_gap: float | None = None,
    usual: float = 0.2,
    capitals: bool = False,
    slanted: bool = False,
    joined: int | None = None,
    of_letters: int | None = None,
    tier: str = "lead",
    unit_px: float = UNIT_PX,
    unmeasured: str | None = None,
    wording: str | None = None,
    under_px: float = 0.0,
) -> Measurement:
    """Return a line of letters, each `under_px` under the arm of the one before."""
    lefts = [round(100 + n * (0.7 * unit_px - under_px)) for n in range(12)]
    spacing = Spacing(
        unit_mm=unit_px / PX_PER_MM,
        unit_px=unit_px,
        letters=6,
        capitals=capitals,
        slanted=slanted,
        letter_gap=gap,
        word_gap=word_gap,
        expected_gap=usual,
        pairs=pairs,
        joined=joined,
        of_letters=of_letters,
        baseline_px=(200.0, 180.0),
        letter_boxes_px=tuple(Box(x0=x, y0=100, x1=x + round(0.7 * unit_px), y1=180) for x in lefts),
        unmeasured=unmeasured,
    )
    line = measured(line=text_line(cap_px=unit_px), tier=tier)
    return replace(line, spacing=spacing, wording=wording)


def run(check_id: str, *lines: Measurement, limits: Limits = LIMITS) -> tuple[Finding, ...]:
    return check_of(check_id).run(Measurements(lines=lines), limits)


def one(check_id: str, line: Measurement) -> Expected:
    found = run(check_id, line)
    assert len(found) <= 1
    return (found[0].severity, round(found[0].shortfall, 4)) if found else None


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (spaced(pair(0.08)), None),
        (spaced(pair(1.5 * 0.08)), (Severity.WARN, 1.5)),
        (spaced(pair(-1.5 * 0.08)), (Severity.WARN, 1.5)),
        # what the face tucks under an arm is asked for less
        (spaced(pair(-1.34 * 0.08), under_px=5), None),
        (spaced(pair(-1.36 * 0.08), under_px=5), (Severity.WARN, round(1.36 / 1.35, 4))),
        (spaced(pair(-1.2 * 0.08), under_px=1), (Severity.WARN, 1.2)),
        (spaced(pair(1.2 * 0.08), under_px=5), (Severity.WARN, 1.2)),
        # italics, support lines and figures are asked for less, small lines for nothing
        (spaced(pair(0.09), slanted=True), None),
        (spaced(pair(2 * 0.09), slanted=True), (Severity.WARN, 2.0)),
        (spaced(pair(1.24 * 0.11), tier="support"), None),
        (spaced(pair(2 * 0.11), tier="support"), (Severity.WARN, 2.0)),
        (spaced(pair(0.25, figures=True)), None),
        (spaced(pair(1.5 * 0.25, figures=True)), (Severity.WARN, 1.5)),
        (spaced(pair(0.30), tier="small"), None),
        # in a line opened to three times the usual gap, twice as much is asked
        (spaced(pair(0.15), gap=0.6), None),
        (spaced(pair(1.5 * 0.16), gap=0.6), (Severity.WARN, 1.5)),
        # the same two letters at two gaps can't come from the face
        (spaced(pair(0.04, repeat=0.05)), None),
        (spaced(pair(0.06, repeat=1.5 * 0.05)), (Severity.WARN, 1.5)),
        (spaced(pair(0.06, repeat=0.09), tier="support"), None),
        # half a pixel may come from the pixels; half a letter height is no gap between letters
        (spaced(pair(0.08 + 0.016), unit_px=20.0), None),
        (spaced(pair(0.6)), None),
        (replace(spaced(), spacing=None), None),
    ],
)
def test_uneven_pair(line: Measurement, expected: Expected) -> None:
    assert one("uneven-pair", line) == expected


def test_an_uneven_pair_is_named_by_place_and_amount() -> None:
    (found,) = run("uneven-pair", spaced(pair(-0.09, first=2), pair(0.12, first=4, letters="AT")))
    assert found.says == (
        "The gap after letter 4, between A and T (31 mm from the left, 35 mm from the top) looks clearly wider than "
        "the line's others, by 2.4 mm. 2 pairs of the line fall out of its rhythm."
    )
    assert found.change == (
        "L01: close it after letter 4 by 2.4 mm, open it after letter 2 by 1.8 mm "
        "(120, 90 thousandths of the letter height)."
    )
    assert [place.box_mm for place in found.places] == [BOX_MM, BOX_MM]


def test_only_the_worst_pairs_are_spelt_out() -> None:
    (found,) = run("uneven-pair", spaced(*(pair(0.1 + n / 100, first=n) for n in range(1, 7))))
    assert found.change is not None
    assert found.change.count("close it") == 4
    assert found.change.endswith(", and 2 more likewise.")


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (spaced(gap=0.3), None),
        (spaced(gap=0.36), (Severity.NOTE, 1.2)),
        (spaced(gap=0.36, capitals=True), None),
        (spaced(gap=0.45, capitals=True), (Severity.NOTE, 1.25)),
        # a letter gap over six tenths of the word gap: the words fall apart
        (spaced(gap=0.25, word_gap=0.42), None),
        (spaced(gap=0.27, word_gap=0.36), (Severity.NOTE, 1.25)),
        (spaced(gap=None, unmeasured="letters under 18 px high"), None),
    ],
)
def test_loose_spacing(line: Measurement, expected: Expected) -> None:
    assert one("loose-spacing", line) == expected


def test_loose_spacing_says_how_much_to_take_out() -> None:
    (found,) = run("loose-spacing", spaced(gap=0.36))
    assert found.change == "L01: take about 3.2 mm out of each letter gap (tracking of about -114)."


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (spaced(joined=None, of_letters=None), None),
        (spaced(joined=2, of_letters=10), None),
        (spaced(joined=3, of_letters=10), (Severity.NOTE, 1.5)),
        # script is meant to join
        (spaced(joined=8, of_letters=10), None),
    ],
)
def test_tight_spacing(line: Measurement, expected: Expected) -> None:
    assert one("tight-spacing", line) == expected


def under(
    pitch_px: float, *, capitals: bool, tier: str, x: int = 100, descends_px: int = 0
) -> tuple[Measurement, Measurement]:
    """Two lines of 80 px capitals, the second's baseline `pitch_px` under the first's."""
    lines = []
    for n in (0, 1):
        y = 100 + round(n * pitch_px)
        m = spaced(capitals=capitals, tier=tier)
        assert m.spacing is not None
        line = text_line(cap_px=UNIT_PX, at=(100 if n == 0 else x, y), size_px=(400, 80 + descends_px))
        baseline = replace(m.spacing, baseline_px=(300.0, 180.0 + n * pitch_px))
        lines.append(replace(m, id=f"L0{n + 1}", line=line, em_mm=UNIT_PX / PX_PER_MM / 0.71, spacing=baseline))
    return lines[0], lines[1]


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        # ADA Standards (2010), 703.5.9: 135 % at least
        ({"pitch_px": 108.1, "capitals": False, "tier": "small"}, None),
        ({"pitch_px": 90.0, "capitals": False, "tier": "small"}, 1.2),
        ({"pitch_px": 97.0, "capitals": False, "tier": "lead"}, None),
        # a title without descenders is as tight as one of capitals may be; with them, 80 px capitals meet
        ({"pitch_px": 88.0, "capitals": False, "tier": "lead"}, None),
        ({"pitch_px": 88.0, "capitals": False, "tier": "lead", "descends_px": 20}, round(96 / 88, 3)),
        ({"pitch_px": 92.1, "capitals": True, "tier": "lead"}, None),
        ({"pitch_px": 87.619, "capitals": True, "tier": "lead"}, 1.05),
        # beside each other, not under
        ({"pitch_px": 90.0, "capitals": False, "tier": "small", "x": 450}, None),
    ],
)
def test_close_lines(about: dict[str, Any], expected: float | None) -> None:
    found = run("close-lines", *under(**about))
    assert [(f.elements, round(f.shortfall, 3)) for f in found] == (
        [] if expected is None else [(("L01", "L02"), expected)]
    )


def test_close_lines_names_the_distance_that_would_do() -> None:
    (found,) = run("close-lines", *under(90.0, capitals=False, tier="small"))
    assert found.change == "L01, L02: set the baselines 27 mm apart or more."


def text(*pitches_px: float, x_px: float | None = 20.0, unit_px: float = 12.0) -> list[Measurement]:
    """Lines of small letters 20 px high, each the next distance under the one before."""
    lines, y = [], 100.0
    for n, pitch_px in enumerate((0.0, *pitches_px), start=1):
        y += pitch_px
        m = spaced(tier="small", unit_px=unit_px, gap=None)
        assert m.spacing is not None
        line = text_line(cap_px=28.0, x_px=x_px, at=(100, round(y) - 28), size_px=(400, 34))
        about = measured(f"L0{n}", line=line, tier="small")
        lines.append(
            replace(
                about,
                em_mm=40 / PX_PER_MM,
                x_mm=None if x_px is None else x_px / PX_PER_MM,
                spacing=replace(m.spacing, baseline_px=(300.0, y)),
            )
        )
    return lines


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (text(39.5, 39.5), [(("L01", "L02", "L03"), round(43 / 39.5, 3))]),
        (text(39.6, 39.6), []),
        # two lines are no text, nor are capitals, nor lines at other distances
        (text(39), []),
        (text(39, 39, x_px=None), []),
        (text(39, 60), []),
        # titles are set tight on purpose
        ([replace(m, tier="support") for m in text(39, 39)], []),
        # a text ends where its distance changes
        (text(39, 40, 39, 60), [(("L01", "L02", "L03", "L04"), round(43 / (118 / 3), 3))]),
    ],
)
def test_texts_set_solid(lines: list[Measurement], expected: list[tuple[tuple[str, ...], float]]) -> None:
    """Their letters are too small for a single distance to count, which of many does."""
    assert [(f.elements, round(f.shortfall, 3)) for f in run("close-lines", *lines)] == expected


def test_a_text_set_solid_is_told_once_with_the_usual_distance() -> None:
    (found,) = run("close-lines", *text(27.5, 27.5, unit_px=40.0))
    assert found.severity is Severity.NOTE
    assert (found.measured, found.needed) == (27.5 / PX_PER_MM, 43 / PX_PER_MM)
    assert (
        found.change == "L01 to L03: set the baselines 12 mm apart or more, 2.3 times the height of the small letters."
    )


@pytest.mark.parametrize(("element", "elements"), [("L01", ("L01",)), (None, ())])
def test_misread(element: str | None, elements: tuple[str, ...]) -> None:
    hole = Hole(element=element, at_end=False, tier="lead", box_px=BOX, box_mm=BOX_MM)
    (found,) = check_of("misread").run(Measurements(holes=(hole,)), LIMITS)
    assert (found.severity, found.elements, found.measured) == (Severity.NOTE, elements, None)


def test_many_support_lines_with_uneven_pairs_are_set_so_by_their_face() -> None:
    lines = [replace(spaced(pair(0.16), tier="support"), id=f"L0{n}") for n in range(1, 4)]
    assert len(run("uneven-pair", *lines[:2])) == 2
    assert run("uneven-pair", *lines) == ()
    title = replace(spaced(pair(0.16)), id="L09")
    assert [f.elements for f in run("uneven-pair", *lines, title)] == [("L09",)]


def test_spacing_stands_beside_other_causes_and_lines_share_a_finding() -> None:
    faint = replace(spaced(pair(0.12)), ratio=2.5)
    other = replace(spaced(pair(0.16)), id="L02")
    lines = Measurements(lines=(faint, other))
    raw = [f for check in ("faint-text", "uneven-pair") for f in check_of(check).run(lines, LIMITS)]
    found = {f.check: f for f in causes(raw, lines)}
    assert found["faint-text"].elements == ("L01",)
    assert "rhythm" not in found["faint-text"].says
    assert found["uneven-pair"].elements == ("L02", "L01")
    assert found["uneven-pair"].change == (
        "L02: close it after letter 1 by 3.2 mm (160 thousandths of the letter height). "
        "L01: close it after letter 1 by 2.4 mm (120 thousandths of the letter height)."
    )


def test_what_could_not_be_measured_is_named() -> None:
    lines = (spaced(unmeasured="under 4 pairs of letters"), spaced(unmeasured="under 4 pairs of letters"), spaced())
    named = {n.check: n.why for n in not_judged(Measurements(lines=lines), LIMITS)}
    why = "letter spacing is not measured of 2 lines with under 4 pairs of letters"
    assert (named["loose-spacing"], named["uneven-pair"]) == (why, why)
    assert "tight-spacing" in named
    known = Measurements(lines=(spaced(wording="HARBOUR"),))
    assert not {"tight-spacing", "uneven-pair"} & {n.check for n in not_judged(known, LIMITS)}
