"""Whole audits of posters drawn in code: what is measured is what was drawn."""

import json
from collections.abc import Sequence
from functools import cache

import numpy as np
import pytest

from standback.brief.apply import with_brief
from standback.brief.read import read_brief
from standback.brief.starter import starter_brief
from standback.findings import PosterReport, Report, Severity
from standback.measure.model import Measurement
from standback.pipeline import audit_artwork
from standback.reports.as_json import dumps
from standback.settings import Settings
from synth import GROUNDS, Poster, Sheet, TrueLine, draw_poster, measuring_faces, sans_bold

SEEDS = tuple(range(9000, 9005))


@cache
def audited(seed: int) -> tuple[Poster, PosterReport]:
    drawn = draw_poster(seed, GROUNDS[seed % len(GROUNDS)], measuring_faces())
    return drawn, audit_artwork(drawn.artwork(), Settings())


def overlap_share(a: Sequence[float], b: Sequence[float]) -> float:
    """Intersection over union of two boxes."""
    width = min(a[2], b[2]) - max(a[0], b[0])
    height = min(a[3], b[3]) - max(a[1], b[1])
    shared = max(width, 0.0) * max(height, 0.0)
    areas = [(x1 - x0) * (y1 - y0) for x0, y0, x1, y1 in (a, b)]
    return shared / (sum(areas) - shared)


def matched(drawn: Poster, report: PosterReport) -> list[tuple[TrueLine, Measurement]]:
    pairs = []
    for true in drawn.lines:
        best = max(
            report.elements,
            key=lambda m: overlap_share(true.box_px, m.line.box_px.as_tuple()),
            default=None,
        )
        if best and overlap_share(true.box_px, best.line.box_px.as_tuple()) >= 0.5:
            pairs.append((true, best))
    return pairs


def all_matched() -> list[tuple[Poster, TrueLine, Measurement]]:
    return [(drawn, *pair) for drawn, report in map(audited, SEEDS) for pair in matched(drawn, report)]


def test_nearly_every_drawn_line_is_found() -> None:
    drawn = sum(len(audited(seed)[0].lines) for seed in SEEDS)
    found = sum(len(audited(seed)[1].elements) for seed in SEEDS)
    hits = len(all_matched())
    assert 2 * hits / (drawn + found) >= 0.92


def test_ratios_are_those_drawn() -> None:
    errors = [abs(m.ratio / true.ratio - 1) for _, true, m in all_matched()]
    assert np.median(errors) <= 0.015
    assert np.quantile(errors, 0.9) <= 0.05


def test_capitals_are_as_high_as_drawn() -> None:
    errors = [
        abs(m.cap_mm / (true.cap_px / (drawn.ppi / 25.4)) - 1)
        for drawn, true, m in all_matched()
        if true.cap_px is not None and m.cap_mm is not None
    ]
    assert len(errors) > 30
    assert np.quantile(errors, 0.9) <= 0.06


def test_a_40_mm_letter_is_40_mm() -> None:
    sheet = Sheet(420.0, 594.0, 100.0, (250, 248, 240))
    sheet.text("HARBOUR", sans_bold(), (20, 30, 60), (40, 200), cap_mm=40.0)
    (line,) = audit_artwork(sheet.finish().artwork(), Settings()).elements
    assert line.cap_mm == pytest.approx(40.0, rel=0.01)
    assert line.letter_mm == line.cap_mm


@pytest.mark.parametrize("seed", [9001, 9004])
def test_a_starter_brief_changes_no_verdict(seed: int) -> None:
    drawn, plain = audited(seed)
    assert plain.findings
    brief = read_brief(starter_brief(plain), file="starter.toml")
    assert len(brief.lines) == len(plain.elements)
    again = audit_artwork(drawn.artwork(), with_brief(Settings(), brief))
    assert (again.verdict, again.findings, again.summary) == (plain.verdict, plain.findings, plain.summary)
    assert again.unmatched == ()


def small_poster(ppi: float) -> Poster:
    sheet = Sheet(210.0, 297.0, ppi, (24, 38, 66))
    sheet.text("RIVER NIGHT", sans_bold(), (250, 240, 220), (20, 60), cap_mm=24.0)
    # clear of the reach from which what is faint but comfortably large only warns
    sheet.text("Saturday 12 September", sans_bold(), (90, 105, 140), (20, 110), cap_mm=8.0)
    sheet.text("Bring a lantern and warm shoes", sans_bold(), (230, 220, 200), (20, 250), cap_mm=4.5)
    return sheet.finish()


def on_lines(report: PosterReport) -> list[tuple[str, Severity, tuple[str, ...]]]:
    return [(f.check, f.severity, f.elements) for f in report.findings if f.elements]


def test_resolution_and_jpeg_change_no_verdict() -> None:
    at_150 = audit_artwork(small_poster(150).artwork(), Settings())
    assert len(at_150.elements) == 3
    for other in (small_poster(100), small_poster(300), small_poster(150).as_jpeg(90)):
        report = audit_artwork(other.artwork(), Settings())
        assert report.verdict == at_150.verdict
        assert on_lines(report) == on_lines(at_150)
        for a, b in zip(at_150.elements, report.elements, strict=True):
            assert b.ratio == pytest.approx(a.ratio, rel=0.03)
            assert b.reach_m == pytest.approx(a.reach_m, rel=0.05)


def test_the_same_bytes_every_time() -> None:
    drawn = small_poster(100).artwork()
    documents = {
        dumps(Report(settings=Settings(), posters=(audit_artwork(drawn, Settings()),), unreadable=())) for _ in range(2)
    }
    assert len(documents) == 1
    assert json.loads(documents.pop())["posters"][0]["elements"]


def test_the_farther_the_viewer_the_less_is_seen() -> None:
    report = audit_artwork(small_poster(100).artwork(), Settings(far_m=4.0))
    for line in report.elements:
        far, mid, near = line.seen
        assert far.ratio is not None
        assert mid.ratio is not None
        assert near.ratio is not None
        assert far.ratio <= mid.ratio <= near.ratio <= line.ratio * 1.02
        assert (far.css_px or 0) < (mid.css_px or 0) < (near.css_px or 0)


def test_a_blank_sheet_is_nothing_found() -> None:
    report = audit_artwork(Sheet(210.0, 297.0, 50.0, (255, 255, 255)).finish().artwork(), Settings())
    assert [f.check for f in report.findings] == ["nothing-found", "coarse-artwork"]
    assert report.verdict == "fail"
