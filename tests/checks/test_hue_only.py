"""Lines whose contrast is one of hue: which are named, for whom, and what mends them."""

import re

import pytest

from checks.builders import measured, text_line
from standback.checks import check_of
from standback.colour_vision import VISIONS, contrast_ratio_for
from standback.findings import Finding, Severity
from standback.light import contrast_ratio
from standback.measure.model import Measurements
from standback.pipeline import audit_artwork
from standback.settings import Limits, Settings
from synth import Sheet, sans, sans_bold
from synth.colours import from_hex

RED, BLACK, WHITE = (255, 0, 0), (0, 0, 0), (255, 255, 255)


def found(ink: str, ground: str, wanted: float = 4.5) -> Finding | None:
    line = measured(line=text_line(ink=from_hex(ink), ground=from_hex(ground)), wanted=wanted)
    findings = check_of("hue-only").run(Measurements(lines=(line,)), Limits())
    assert len(findings) <= 1
    return findings[0] if findings else None


@pytest.mark.parametrize(
    ("ink", "ground", "wanted"),
    [
        ("#000000", "#ffffff", 4.5),
        ("#767676", "#ffffff", 4.5),
        # far apart in lightness to every eye
        ("#ffff00", "#000000", 4.5),
        ("#0000ff", "#ffffff", 4.5),
        # faint, and so faint-text's; but apart in lightness rather than hue
        ("#bbbbbb", "#ffffff", 4.5),
        ("#ccccaa", "#ffffff", 4.5),
        # fallen by less than what models of colour vision differ by
        ("#d50000", "#ffffff", 4.5),
        # just met, and fallen by 7 % for red-blind viewers, as almost any hue falls for some
        ("#e60000", "#000000", 3.0),
    ],
)
def test_who_stands_off_in_lightness_is_not_named(ink: str, ground: str, wanted: float) -> None:
    assert found(ink, ground, wanted) is None


@pytest.mark.parametrize(
    ("ink", "ground", "wanted", "lost"),
    [
        ("#ff0000", "#000000", 4.5, {"protan"}),
        ("#c80000", "#000000", 3.0, {"protan"}),
    ],
)
def test_a_line_lost_to_some_names_them_and_their_ratio(ink: str, ground: str, wanted: float, lost: set[str]) -> None:
    finding = found(ink, ground, wanted)
    assert finding is not None
    assert finding.severity is Severity.WARN
    assert {vision for vision in VISIONS if vision in finding.says} == lost
    ratio = contrast_ratio_for("protan", from_hex(ink), from_hex(ground))
    assert finding.measured == pytest.approx(ratio)
    assert finding.needed == wanted
    assert finding.shortfall == pytest.approx(wanted / ratio)


@pytest.mark.parametrize(("ink", "ground"), [("#e02020", "#208020"), ("#ff6000", "#00a060"), ("#7050c0", "#c03050")])
def test_hues_apart_and_lightness_not(ink: str, ground: str) -> None:
    finding = found(ink, ground)
    assert finding is not None
    assert (finding.measured, finding.shortfall) == (None, 1.0)
    assert contrast_ratio(from_hex(ink), from_hex(ground)) < 2


def test_an_ink_lost_to_red_blind_viewers_is_mended_for_every_eye() -> None:
    sheet = Sheet(210.0, 297.0, 100.0, BLACK)
    sheet.text("RIVER NIGHT", sans_bold(), WHITE, (15, 60), cap_mm=22.0)
    sheet.text("Doors at seven", sans(), RED, (15, 140), cap_mm=4.8)
    report = audit_artwork(sheet.finish().artwork(), Settings(far_m=2.5))
    (finding,) = [f for f in report.findings if f.check == "hue-only"]
    assert finding.elements == ("L02",)
    assert finding.change is not None
    assert "for every kind of colour vision, measured again" in finding.change
    offered = re.search(r"to (#[0-9a-f]{6})", finding.change)
    assert offered is not None
    line = report.elements[1]
    assert [seen.vision for seen in line.vision] == list(VISIONS)
    for vision in VISIONS:
        assert contrast_ratio_for(vision, from_hex(offered[1]), BLACK) >= 0.95 * line.ratio_wanted
