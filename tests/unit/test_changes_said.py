"""What a change says is true of the line that its finding names, and worth a designer's while."""

import re

import pytest

from standback.changes.colours import moves_enough
from standback.colour_vision import VISIONS, contrast_ratio_for
from standback.findings import Finding
from standback.light import contrast_ratio
from standback.pipeline import audit_artwork
from standback.settings import Settings
from synth import Sheet, sans
from synth.colours import Srgb8

WHITE: Srgb8 = (255, 255, 255)


def faint(ink: Srgb8, ground: Srgb8, *caps_mm: float) -> Finding:
    """The finding of lines in one ink, set in these heights."""
    sheet = Sheet(210.0, 60.0 + 50.0 * len(caps_mm), 75.0, ground)
    for number, cap_mm in enumerate(caps_mm):
        sheet.text("Doors at seven", sans(), ink, (15, 50 + 50 * number), cap_mm=cap_mm)
    report = audit_artwork(sheet.finish().artwork(), Settings(far_m=2.5))
    (finding,) = [f for f in report.findings if f.check == "faint-text"]
    return finding


def test_the_colours_named_are_enough_for_every_eye_that_the_words_name() -> None:
    finding = faint((255, 252, 240), (238, 190, 90), 22.0)
    assert finding.change is not None
    assert finding.needed is not None
    said = re.search(r"([0-9.]+):1 for every kind of colour vision, measured again", finding.change)
    assert said is not None
    (redraw,) = finding.redraws
    worst = min(
        contrast_ratio(redraw.ink, redraw.ground),
        *(contrast_ratio_for(vision, redraw.ink, redraw.ground) for vision in VISIONS),
    )
    assert finding.needed <= float(said[1]) <= worst + 1e-9


def test_larger_type_is_held_to_the_contrast_that_its_finding_names() -> None:
    """Type that must grow would be let off with 3:1 once it is large; the finding says 4.5:1."""
    finding = faint((150, 150, 150), WHITE, 8.0)
    assert finding.change is not None
    assert finding.needed == pytest.approx(4.5)
    assert "times the size" in finding.change
    (redraw,) = finding.redraws
    assert contrast_ratio(redraw.ink, redraw.ground) >= 4.5


def test_the_others_are_spoken_of_as_others() -> None:
    finding = faint((190, 190, 190), WHITE, 14.0, 14.0)
    assert len(finding.elements) == 2
    assert finding.change is not None
    assert "The other one likewise" in finding.change


@pytest.mark.parametrize(
    ("new", "enough"), [((0x9A, 0x9A, 0x9A), False), ((0x99, 0x99, 0x9F), True), ((0x80, 0x80, 0x80), True)]
)
def test_a_colour_that_hardly_moves_is_no_change(new: Srgb8, enough: bool) -> None:
    assert moves_enough((0x99, 0x99, 0x99), new) == enough
