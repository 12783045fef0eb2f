"""A change is offered only if the line, redrawn with it, is measured and found clear."""

import re

import numpy as np
import pytest

from standback.findings import PosterReport
from standback.light import contrast_ratio, to_hex
from standback.measure.again import Scene, measured_again
from standback.measure.again import drawn as drawn_line
from standback.measure.look import Look
from standback.measure.model import Measurement
from standback.measure.notice import adapting
from standback.pipeline import audit_artwork
from standback.settings import Settings, stations
from synth import Poster, Sheet, sans, sans_bold
from synth.colours import Srgb8, from_hex

WHITE: Srgb8 = (255, 255, 255)


def poster(
    ink: Srgb8, ground: Srgb8, cap_mm: float = 10.0, title: bool = True, words: str = "Doors at seven"
) -> Poster:
    sheet = Sheet(210.0, 297.0, 100.0, ground)
    if title:
        strong: Srgb8 = (0, 0, 0) if sum(ground) > 380 else WHITE
        sheet.text("RIVER NIGHT", sans_bold(), strong, (15, 60), cap_mm=22.0)
    sheet.text(words, sans(), ink, (15, 140), cap_mm=cap_mm)
    return sheet.finish()


def audited(drawn: Poster, far_m: float = 2.5) -> PosterReport:
    return audit_artwork(drawn.artwork(), Settings(far_m=far_m))


@pytest.mark.parametrize(
    ("ink", "ground"),
    [
        ((190, 190, 190), WHITE),
        ((200, 60, 60), (32, 48, 128)),
    ],
)
def test_the_ink_offered_clears_the_check_when_the_poster_is_drawn_with_it(ink: Srgb8, ground: Srgb8) -> None:
    report = audited(poster(ink, ground))
    (finding,) = [f for f in report.findings if f.check == "faint-text"]
    assert finding.change is not None
    offered = re.search(r"to (#[0-9a-f]{6})", finding.change)
    assert offered is not None
    assert [(to_hex(r.ink), r.even) for r in finding.redraws] == [(offered[1], False)], "what it takes to draw it"
    mended = audited(poster(from_hex(offered[1]), ground))
    assert [f.check for f in mended.findings if f.check == "faint-text"] == []


def test_the_height_offered_reaches_when_the_poster_is_drawn_with_it() -> None:
    report = audited(poster((0, 0, 0), WHITE, cap_mm=5.0, title=False, words="At seven"), far_m=6.0)
    (finding,) = [f for f in report.findings if f.check == "short-reach"]
    assert finding.change is not None
    assert finding.redraws == (), "no colour changes"
    (line,) = report.elements
    offered = re.search(r"[Ss]et the small letters \(x-height\) ([0-9.]+) mm high, now ([0-9.]+) mm", finding.change)
    assert offered is not None
    assert float(offered[2]) == pytest.approx(line.letter_mm, abs=0.051), "the height that the finding names"
    cap_mm = 5.0 * float(offered[1]) / line.letter_mm
    mended = audited(poster((0, 0, 0), WHITE, cap_mm=cap_mm, title=False, words="At seven"), far_m=6.0)
    assert [f.shortfall for f in mended.findings if f.check == "short-reach" and f.shortfall > 1.05] == []


def drawn_again(drawn: Poster, look: Look) -> tuple[Measurement, Measurement]:
    """The last line of a poster, and the same measured again in another look."""
    artwork, settings = drawn.artwork(), Settings(far_m=2.5)
    m = audit_artwork(artwork, settings).elements[-1]
    scene = Scene(artwork=artwork, sheet=adapting(artwork), settings=settings, places=stations(2.5))
    redrawn = drawn_line(m, scene, look)
    assert redrawn is not None
    return m, measured_again(m, redrawn, scene, look, seen=True)


def test_redrawing_in_its_own_colours_changes_nothing() -> None:
    drawn = poster((120, 120, 160), (240, 240, 230))
    m, again = drawn_again(drawn, Look(ink=(120, 120, 160)))
    assert again.ratio == pytest.approx(m.ratio, rel=0.01)
    assert again.reach_m == pytest.approx(m.reach_m, rel=0.03)
    for b in again.seen:
        a = m.at(b.station)
        assert b.jnd == pytest.approx(a.jnd, rel=0.05)
        assert b.ratio == pytest.approx(a.ratio, rel=0.05)


def test_redrawing_in_black_gives_the_ratio_of_black() -> None:
    m, again = drawn_again(poster((190, 190, 190), WHITE), Look(ink=(0, 0, 0)))
    assert again.ratio == pytest.approx(21.0, rel=0.02)
    assert again.at("far").jnd > m.at("far").jnd


def test_a_new_ground_counts_as_the_ground() -> None:
    _, again = drawn_again(poster((120, 120, 120), (200, 200, 200)), Look(ground=WHITE))
    assert again.ratio == pytest.approx(contrast_ratio((120, 120, 120), WHITE), rel=0.03)


def test_twice_as_large_is_seen_as_from_half_the_distance() -> None:
    m, again = drawn_again(poster((90, 90, 90), WHITE), Look(enlarged=2.0))
    assert again.letter_mm == pytest.approx(2 * m.letter_mm)
    assert again.reach_m == pytest.approx(2 * m.reach_m, rel=1e-6)
    assert again.at("far").jnd > m.at("far").jnd


def test_a_heavier_weight_has_wider_strokes_and_letters_as_high() -> None:
    m, again = drawn_again(poster((120, 120, 160), (240, 240, 230)), Look(heavier=1.5))
    assert again.stroke_mm == pytest.approx(1.5 * m.stroke_mm, rel=0.03)
    assert again.letter_mm == pytest.approx(m.letter_mm, rel=1e-6)
    assert again.ratio == pytest.approx(m.ratio, rel=0.01)
    assert again.at("far").jnd > 1.2 * m.at("far").jnd


def test_letters_with_an_outline_stand_on_it() -> None:
    m, again = drawn_again(poster((120, 120, 160), (240, 240, 230)), Look(outline=WHITE))
    assert again.ratio == pytest.approx(contrast_ratio((120, 120, 160), WHITE), rel=0.03)
    assert again.ratio > m.ratio


def test_redrawing_leaves_the_artwork_alone() -> None:
    drawn = poster((190, 190, 190), WHITE)
    before = drawn.srgb8.copy()
    drawn_again(drawn, Look(ink=(0, 0, 0)))
    assert np.array_equal(drawn.srgb8, before)


PROSE = (
    "Boats leave the old",
    "bridge every hour and",
    "come back by the weir;",
    "bring a lantern and a",
    "warm coat, and be early",
)


def with_prose(x_mm: float) -> Poster:
    sheet = Sheet(210.0, 297.0, 176.0, WHITE)
    sheet.text("RIVER NIGHT", sans_bold(), (0, 0, 0), (15, 60), cap_mm=22.0)
    for row, words in enumerate(PROSE):
        sheet.text(words, sans(), (0, 0, 0), (15, 120 + 4 * row * x_mm), cap_mm=x_mm / 0.72)
    return sheet.finish()


def test_a_hole_in_the_walk_up_is_closed_by_the_height_that_is_offered() -> None:
    report = audited(with_prose(1.7))
    (finding,) = report.findings
    assert finding.check == "no-middle"
    assert finding.says.startswith("Between 2.5 m and ")
    assert finding.change is not None
    offered = re.search(r"high, now ([0-9.]+) mm \(([0-9.]+) times the size\): then it reads from 1 m", finding.change)
    assert offered is not None
    mended = audited(with_prose(1.7 * (float(offered[2]) + 0.05)))
    assert [f.check for f in mended.findings] == []


def test_a_ground_stays_where_other_type_on_it_is_to_change_sides() -> None:
    ground: Srgb8 = (147, 166, 30)
    sheet = Sheet(210.0, 297.0, 100.0, ground)
    sheet.text("RIVER NIGHT", sans_bold(), (0, 0, 0), (15, 60), cap_mm=22.0)
    sheet.text("Doors at seven", sans_bold(), WHITE, (15, 120), cap_mm=12.0)
    alone = [f.change for f in audited(sheet.finish()).findings if f.check == "faint-text"]
    sheet.text("Boats and lanterns", sans_bold(), (205, 214, 140), (15, 170), cap_mm=12.0)
    both = [f.change for f in audited(sheet.finish()).findings if f.check == "faint-text"]
    assert [change is not None and change.startswith("Darken the ground") for change in alone] == [True]
    assert [change is not None and change.startswith("Darken the ink") for change in both] == [True, True]
