"""The picture of the changes: what it shows is gone when it is audited, and the rest is as it was."""

from dataclasses import replace

import numpy as np
import pytest

from standback.artwork import from_srgb8
from standback.changes.suggestion import LARGER_TOO, NO_COLOUR, NO_ROOM, NOT_CLEAN, is_clean, suggested
from standback.elements import Line
from standback.findings import PosterReport, Redraw
from standback.measure.model import Measurement
from standback.pipeline import audit_artwork
from standback.settings import Settings
from synth import Poster, Sheet, sans, sans_bold
from synth.colours import Srgb8
from synth.faults import case, found_at

WHITE: Srgb8 = (255, 255, 255)
GREY: Srgb8 = (150, 150, 150)
SETTINGS = Settings(far_m=2.0)


def poster(
    ink: Srgb8, ground: Srgb8, *, page: Srgb8 | None = None, below_mm: float | None = None, ppi: float = 100.0
) -> Poster:
    """A strong title and one line in a given ink, perhaps on a band of a page; perhaps a strong line so far below."""
    sheet = Sheet(148.0, 150.0, ppi, page or ground)
    if page is not None:
        sheet.panel((0.0, 71.0, 148.0, 91.0 + (below_mm or 0.0)), ground)
    sheet.text("RIVER NIGHT", sans_bold(), (0, 0, 0), (10, 35), cap_mm=13.0)
    sheet.text("Doors at seven", sans(), ink, (10, 85), cap_mm=8.0)
    if below_mm is not None:
        sheet.text("By the old harbour", sans(), (0, 0, 0), (10, 85 + below_mm), cap_mm=8.0)
    return sheet.finish()


def audited(drawn: Poster) -> PosterReport:
    return audit_artwork(drawn.artwork(), SETTINGS)


def again(drawn: Poster, picture: np.ndarray[tuple[int, ...], np.dtype[np.uint8]], far_m: float) -> PosterReport:
    return audit_artwork(from_srgb8(picture, size_mm=(drawn.width_mm, drawn.height_mm)), Settings(far_m=far_m))


def test_a_planted_fault_is_gone_from_the_picture() -> None:
    """Hair-thin letters: here the strokes grow heavier."""
    planted = case("washed-out", 4)
    drawn = replace(planted.planted, ppi=100.0).drawn()
    report = audit_artwork(drawn.artwork(), Settings())
    finding = next(f for f in found_at(report, drawn, planted.lines) if f.redraws)
    assert all(redraw.heavier > 1 for redraw in finding.redraws)
    picture, suggestion = suggested(drawn.artwork(), report)
    assert (finding.rank, finding.elements) in [(rank, tuple(names)) for rank, names in suggestion.drawn]
    after = again(drawn, picture, report.stations[0].distance_m)
    assert [f for f in found_at(after, drawn, planted.lines) if f.check == finding.check] == []


@pytest.mark.parametrize("ppi", [100.0, 300.0])
def test_what_no_change_touches_keeps_its_codes(ppi: float) -> None:
    """At 300 ppi the mask has a sample for several pixels; the rims are redrawn all the same."""
    drawn = poster((190, 190, 190), WHITE, ppi=ppi)
    report = audited(drawn)
    faint = next(f for f in report.findings if f.check == "faint-text")
    picture, suggestion = suggested(drawn.artwork(), report)
    assert suggestion.drawn == ((faint.rank, faint.elements),)
    x0, y0, x1, y1 = (round(v) for v in drawn.lines[1].box_px)
    slack = 2
    outside = np.ones(picture.shape[:2], dtype=bool)
    outside[y0 - slack : y1 + slack, x0 - slack : x1 + slack] = False
    assert np.array_equal(picture[outside], drawn.srgb8[outside])
    inked = (drawn.srgb8[y0:y1, x0:x1] == (190, 190, 190)).all(axis=2)
    new = np.array(faint.redraws[0].ink)
    assert np.abs(picture[y0:y1, x0:x1][inked].astype(int) - new).max() <= 2
    assert picture[y0:y1, x0:x1][~inked].min() >= new.min() - 2, "no rim is darker than the ink"


def test_a_new_ground_is_laid_as_a_panel() -> None:
    """White letters have no room left on their side, so that the band behind them moves."""
    drawn = poster(WHITE, GREY, page=WHITE)
    report = audited(drawn)
    finding = next(f for f in report.findings if f.check == "faint-text")
    assert finding.redraws[0].ground != GREY
    picture, suggestion = suggested(drawn.artwork(), report)
    assert finding.rank in [rank for rank, _ in suggestion.drawn]
    changed = (picture != drawn.srgb8).any(axis=2)
    assert not changed[: round(drawn.lines[0].box_px[3])].any(), "the title's ground is as it was"
    x0, y0, _, _ = (round(v) for v in drawn.lines[1].box_px)
    assert tuple(picture[y0 - 3, x0 - 3]) == finding.redraws[0].ground
    assert [f for f in again(drawn, picture, 2.0).findings if f.check == "faint-text"] == []


def test_nobody_repaints_a_sheet_for_a_line() -> None:
    """White letters on the sheet's own pale grey turn dark; where a little less of grey will do, that is less still."""
    pale: Srgb8 = (215, 215, 215)
    finding = next(f for f in audited(poster(WHITE, pale)).findings if f.check == "faint-text")
    assert finding.redraws[0].ground == pale
    assert max(finding.redraws[0].ink) < min(pale)
    finding = next(f for f in audited(poster(WHITE, GREY)).findings if f.check == "faint-text")
    assert finding.redraws[0].ink == WHITE


def test_a_new_ground_needs_room() -> None:
    drawn = poster(WHITE, GREY, page=WHITE, below_mm=11.0)
    report = audited(drawn)
    finding = next(f for f in report.findings if f.redraws)
    picture, suggestion = suggested(drawn.artwork(), report)
    assert NO_ROOM in [one.why for one in suggestion.not_drawn if one.rank == finding.rank]
    assert np.array_equal(picture, drawn.srgb8)


def test_what_is_no_colour_is_not_drawn() -> None:
    drawn = poster((0, 0, 0), WHITE)
    report = audit_artwork(drawn.artwork(), Settings(far_m=12.0))
    short = next(f for f in report.findings if f.check == "short-reach")
    picture, suggestion = suggested(drawn.artwork(), report)
    assert suggestion.drawn == ()
    assert (short.rank, NO_COLOUR) in [(one.rank, one.why) for one in suggestion.not_drawn]
    assert np.array_equal(picture, drawn.srgb8)


def test_what_must_be_larger_as_well_is_told() -> None:
    drawn = poster((190, 190, 190), WHITE)
    report = audited(drawn)
    faint = next(f for f in report.findings if f.check == "faint-text")
    redraw: Redraw = replace(faint.redraws[0], enlarged=1.5)
    report = replace(report, findings=(replace(faint, redraws=(redraw,)),))
    _, suggestion = suggested(drawn.artwork(), report)
    assert suggestion.drawn == ((faint.rank, faint.elements),)
    assert [(one.rank, one.elements, one.why) for one in suggestion.not_drawn] == [
        (faint.rank, faint.elements, LARGER_TOO)
    ]


def test_waived_findings_are_left_alone() -> None:
    drawn = poster((190, 190, 190), WHITE)
    report = audited(drawn)
    report = replace(report, findings=tuple(replace(f, waived="agreed") for f in report.findings))
    picture, suggestion = suggested(drawn.artwork(), report)
    assert (suggestion.drawn, suggestion.not_drawn) == ((), ())
    assert np.array_equal(picture, drawn.srgb8)


def line_of(report: PosterReport) -> tuple[Measurement, Line]:
    m = report.elements[-1]
    return m, m.line


def test_an_ink_that_a_mix_does_not_explain_is_not_drawn() -> None:
    """The letters are printed with noise as strong as the ink, and then a part of the mask is lost."""
    drawn = poster((190, 190, 190), WHITE)
    report = audited(drawn)
    m, line = line_of(report)
    assert is_clean(line, drawn.artwork())
    noisy = drawn.srgb8.astype(int) + np.random.default_rng(1).integers(-40, 41, drawn.srgb8.shape)
    artwork = from_srgb8(np.clip(noisy, 0, 255).astype(np.uint8), size_mm=(drawn.width_mm, drawn.height_mm))
    assert not is_clean(line, artwork)
    mask = line.mask.copy()
    mask[:, mask.shape[1] // 2 :] = False
    lost = replace(line, mask=mask)
    assert not is_clean(lost, drawn.artwork()), "half of the letters would stay in the old colour"
    elements = tuple(replace(one, line=lost) if one.id == m.id else one for one in report.elements)
    picture, suggestion = suggested(drawn.artwork(), replace(report, elements=elements))
    assert NOT_CLEAN in [one.why for one in suggestion.not_drawn]
    assert np.array_equal(picture, drawn.srgb8)


def test_a_large_patch_is_drawn_in_strips_as_in_one(monkeypatch: pytest.MonkeyPatch) -> None:
    drawn = poster((190, 190, 190), WHITE)
    report = audited(drawn)
    whole, _ = suggested(drawn.artwork(), report)
    monkeypatch.setattr("standback.changes.suggestion.MOST_SAMPLES", 2_000)
    strips, suggestion = suggested(drawn.artwork(), report)
    assert suggestion.drawn
    assert np.array_equal(strips, whole)
