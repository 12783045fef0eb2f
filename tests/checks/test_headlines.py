"""Who leads: two headlines, heads larger than the title above them."""

from dataclasses import replace

import pytest

from checks.builders import PX_PER_MM, measured, text_line
from standback.arrangement import Arrangement, Group
from standback.checks import check_of
from standback.findings import Finding, Severity
from standback.measure.model import Measurement, Measurements, PrintMeasurement
from standback.settings import Limits

SHEET = PrintMeasurement(ppi=100.0, near_m=0.5, sharpness_ppi=None, cmyk=False, height_mm=594.0)


def line(
    name: str, at_mm: tuple[int, int], cap_mm: float, width_mm: int, tier: str = "lead", *, tier_from: str = "guess"
) -> Measurement:
    x, y = (round(PX_PER_MM * mm) for mm in at_mm)
    cap_px, width = PX_PER_MM * cap_mm, round(PX_PER_MM * width_mm)
    type_ = replace(text_line(cap_px=cap_px, at=(x, y), size_px=(width, round(cap_px))), confidence=0.99)
    return measured(name, line=type_, tier=tier, tier_from=tier_from)


def run(*lines: Measurement, groups: tuple[Group, ...] = ()) -> tuple[Finding, ...]:
    sheet = Measurements(lines=lines, sheet=SHEET, arrangement=Arrangement(groups=groups))
    return check_of("no-lead").run(sheet, Limits())


TITLE = line("L01", (40, 40), 20, 300)
ADDRESS = line("L09", (40, 440), 19, 280)


def test_two_headlines() -> None:
    (found,) = run(TITLE, line("L02", (40, 70), 20, 200), ADDRESS)
    assert (found.severity, found.elements) == (Severity.WARN, ("L02", "L01", "L09"))
    assert found.says.startswith("L02 with 1 more and L09 are the largest on the sheet, with letters 20 mm and 19 mm")
    assert found.change == "Set L09 with letters 16 mm high or less, or L02 as much larger."


@pytest.mark.parametrize(
    "lines",
    [
        # a tenth smaller, and the title is the larger
        (TITLE, line("L09", (40, 440), 18, 280)),
        # a title in two lines
        (TITLE, line("L02", (40, 90), 20, 280)),
        # a sign or a date
        (TITLE, line("L09", (40, 440), 20, 200)),
        # a list
        (TITLE, line("L05", (40, 300), 20, 280), ADDRESS),
        # an address at the foot
        (TITLE, line("L09", (40, 540), 20, 280)),
        # what isn't surely text
        (TITLE, replace(ADDRESS, line=replace(ADDRESS.line, confidence=0.7))),
        (TITLE, replace(ADDRESS, logo=True)),
        # the brief says that both lead
        (TITLE, line("L09", (40, 540), 20, 280, tier_from="brief")),
        (TITLE, line("L09", (40, 540), 20, 280, "small")),
    ],
)
def test_one_headline(lines: tuple[Measurement, ...]) -> None:
    assert run(*lines) == ()


def test_what_is_of_one_group_is_one_headline() -> None:
    group = Group(name=None, elements=("L01", "L09"), whence="guess", box_mm=(40, 40, 340, 560))
    assert run(TITLE, ADDRESS, groups=(group,)) == ()


def turned(name: str, cap_mm: float, tier: str = "lead") -> Measurement:
    m = line(name, (20, 40), cap_mm, 20, tier)
    return replace(m, line=replace(m.line, angle_deg=90.0))


BESIDE = tuple(line(f"L0{n}", (80, 20 * n), 15, 120, "small") for n in (2, 3))


def test_a_turned_headline_beside_an_upright_one() -> None:
    (found,) = run(turned("L01", 18), *BESIDE)
    assert (found.severity, found.elements) == (Severity.WARN, ("L01", "L03", "L02"))
    assert found.change == "Set L01 upright, or L03 with letters 12 mm high or less."
    # one that stands out clearly, or alone; a word beside it; lines that don't read from far
    assert run(turned("L01", 21), *BESIDE) == run(turned("L01", 18)) == ()
    assert run(turned("L01", 18), BESIDE[0]) == ()
    assert run(turned("L01", 18), *(replace(m, reach_m=4.9) for m in BESIDE)) == ()
    # the upright one leads
    assert run(line("L01", (80, 10), 18, 100), turned("L02", 18, "support"), *BESIDE) == ()


HEADS = (line("L03", (40, 200), 19, 60), line("L04", (240, 200), 19, 90))


def test_heads_larger_than_the_title_above_them() -> None:
    (found,) = run(line("L01", (40, 60), 15, 300, "support"), line("L02", (40, 80), 15, 300, "support"), *HEADS)
    assert (found.severity, found.elements) == (Severity.WARN, ("L02", "L01", "L03", "L04"))
    assert "L03 and L04, with letters 19 mm high, are larger than L02 with 1 more above them, 15 mm" in found.says
    assert found.change == "Set L02 with letters 24 mm high, or the heads smaller than it."


@pytest.mark.parametrize(
    "lines",
    [
        # the line above is as large, or so small that it was meant for no title
        (line("L01", (40, 60), 18, 300, "support"), *HEADS),
        (line("L01", (40, 60), 12, 300, "support"), *HEADS),
        # it is below them, in the midst of the sheet, or short
        (line("L01", (40, 400), 15, 300, "support"), *HEADS),
        (line("L01", (40, 160), 15, 300, "support"), *HEADS),
        (line("L01", (40, 60), 15, 100, "support"), *HEADS),
        # one line leads, with a few words over it
        (line("L01", (40, 60), 15, 300, "support"), HEADS[0]),
    ],
)
def test_heads_under_a_title(lines: tuple[Measurement, ...]) -> None:
    assert run(*lines) == ()
