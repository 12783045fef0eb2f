"""Whole audits of drawn layouts with known faults of grouping and placement, and of the same mended."""

from pathlib import Path

import pytest

from standback.artwork import load
from standback.brief.apply import with_brief
from standback.brief.read import read_brief
from standback.errors import ExitCode
from standback.findings import Finding, PosterReport, Report
from standback.pipeline import audit_artwork
from standback.settings import Settings
from synth import Sheet, sans, sans_bold

DEMO = Path(__file__).parents[2] / "demo"
ARRANGED = {
    "torn-group", "unclear-grouping", "off-centre", "near-trim", "no-lead", "uneven-margins", "weak-outline",
}  # fmt: skip
INK, PAPER = (20, 30, 50), (245, 240, 230)

GROUPED = """
[[lines]]
name = "entry"
box = [266, 20, 396, 28]

[[lines]]
name = "place"
box = [24, 446, 338, 487]

[[lines]]
name = "date"
box = [24, 498, 216, 513]

[groups]
when = ["date", "place", "entry"]
""" + "".join(
    f"""
[[waivers]]
check = "{check}"
reason = "no change has to be looked for"
"""
    for check in ("faint-text", "faint-detail", "detail-lost", "read-late")
)


def audited(path: Path, brief: str = "") -> PosterReport:
    settings = with_brief(Settings(), read_brief(brief, file="brief.toml"))
    return audit_artwork(load(path, size=None), settings)


def arranged(report: PosterReport) -> dict[str, Finding]:
    return {f.check: f for f in report.findings if f.check in ARRANGED}


def test_the_first_draft_tears_its_group_apart() -> None:
    report = audited(DEMO / "first-draft.png", GROUPED)
    entry = next(m for m in report.elements if m.name == "entry")
    place = next(m for m in report.elements if m.name == "place")
    found = arranged(report)
    assert found.keys() == {"torn-group"}
    torn = found["torn-group"]
    assert torn.elements == (entry.id,)
    assert torn.measured == pytest.approx(place.box_mm[1] - entry.box_mm[3], abs=4), "but for the tails of letters"
    assert torn.change is not None
    assert torn.change.startswith(f"Move {entry.id} ")
    assert "Set it in #fff3d9 there" in torn.change, "its dark ink would be lost on the sea"
    assert [group.name for group in report.arrangement.groups if group.whence == "brief"] == ["when"]


def test_the_second_draft_has_none_of_it_and_passes() -> None:
    report = audited(DEMO / "second-draft.png")
    assert arranged(report) == {}
    run = Report(settings=Settings(), posters=(report,), unreadable=())
    assert run.exit_code is ExitCode.GOOD
    assert report.walk_up[0].says.startswith("from 5 m: the picture, then the line across the bottom")


def programme(*, above_mm: float, off_mm: float, foot_mm: float) -> PosterReport:
    """A centred title of three lines, a text with a heading in it, and a foot.

    Parameters
    ----------
    above_mm
        White above the heading, from its capitals to the line before; there are 6 mm below.
    off_mm
        How far the second line of the title stands off the middle.
    foot_mm
        White below the foot.
    """
    sheet = Sheet(210.0, 297.0, 100.0, PAPER)
    for n, text in enumerate(("Tonight", "of river music", "on the weir")):
        width_mm = _width_mm(text)
        sheet.text(text, sans_bold(), INK, ((210 - width_mm) / 2 + off_mm * (n == 1), 40 + 18 * n), cap_mm=12.0)
    y_mm = 120.0
    for text in ("The boats leave from the landing", "at dusk and come back by lantern"):
        sheet.text(text, sans(), INK, (30, y_mm), cap_mm=4.0)
        y_mm += 8.0
    y_mm += above_mm + 6.0 - 8.0
    sheet.text("What to bring", sans_bold(), INK, (30, y_mm), cap_mm=6.0)
    y_mm += 6.0 + 3.0
    for text in ("The lanterns are lit and the coffee", "for the landing is on the last boat"):
        sheet.text(text, sans(), INK, (30, y_mm), cap_mm=4.0)
        y_mm += 8.0
    sheet.text("Old Weir", sans(), INK, (30, 297 - foot_mm), cap_mm=4.0)
    return audit_artwork(sheet.finish().artwork(), Settings())


def _width_mm(text: str) -> float:
    """Width of a line of the title, from a sheet drawn for it."""
    sheet = Sheet(210.0, 30.0, 100.0, PAPER)
    sheet.text(text, sans_bold(), INK, (20, 20), cap_mm=12.0)
    (line,) = sheet.finish().lines
    return (line.box_px[2] - line.box_px[0]) / sheet.px_per_mm


def test_a_sheet_in_order_has_none_of_it() -> None:
    assert arranged(programme(above_mm=12.0, off_mm=0.0, foot_mm=30.0)) == {}


def test_a_heading_between_two_texts_a_line_off_the_middle_a_foot_at_the_trim() -> None:
    found = arranged(programme(above_mm=6.0, off_mm=3.0, foot_mm=2.5))
    assert found.keys() == {"unclear-grouping", "off-centre", "near-trim"}
    assert found["unclear-grouping"].measured == pytest.approx(1.2, abs=0.1), "from feet to shoulders"
    assert found["off-centre"].measured == pytest.approx(3.0, abs=0.6)
    assert found["near-trim"].measured == pytest.approx(2.5, abs=0.3)
