"""The proof: what is marked, what stays clear, and that everything fits on one A4 page."""

from dataclasses import replace
from io import BytesIO

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image

from reports.fixture import ARRANGEMENT, BLANK, BRIEFED, CLEAN, FACTS, FINDINGS, LINES, POSTER, artwork, line, place
from standback import __version__
from standback.elements import Box
from standback.findings import Finding, Place, PosterReport, Severity, ranked
from standback.reports.legend import Plan, Told, plan
from standback.reports.marks import TAG_RADIUS_PX, Mark, Rect, Subject, place_marks
from standback.reports.proof import draw_proof

LIVE = FINDINGS[:3]
FRAME: Rect = (100.0, 200.0, 940.0, 1388.0)
"""Two pixels of the page a mm of the fixture's sheet."""
AREA: Rect = (84.0, 200.0, 2255.0, 1480.0)
CHANGE = "Set the capitals 22.5 mm high, now 13 mm: then it reads from 2 m."
SMALLEST_TYPE_PX = 8 / 72 * 200


def opened(png: bytes) -> Image.Image:
    picture = Image.open(BytesIO(png))
    picture.load()
    return picture


def grey(poster: PosterReport) -> npt.NDArray[np.int16]:
    return np.asarray(opened(draw_proof(artwork(), poster)).convert("L"), dtype=np.int16)


def marked(findings: tuple[Finding, ...], lines: tuple[Rect, ...] = ()) -> tuple[Mark, ...]:
    subjects = [
        Subject(
            label=str(finding.rank),
            severity=finding.severity,
            boxes_mm=tuple(place.box_mm for place in finding.places),
        )
        for finding in findings
    ]
    return place_marks(subjects, lines, FACTS, FRAME, 40.0)


def tag_rect(mark: Mark) -> Rect:
    (x, y), r = mark.tag_xy, TAG_RADIUS_PX
    return (x - r, y - r, x + r, y + r)


def overlap(a: Rect, b: Rect) -> bool:
    return min(a[2], b[2]) > max(a[0], b[0]) and min(a[3], b[3]) > max(a[1], b[1])


def on_page(box_mm: Rect) -> Rect:
    x0, y0, x1, y1 = box_mm
    return (100 + 2 * x0, 200 + 2 * y0, 100 + 2 * x1, 200 + 2 * y1)


def many(count: int, change: str = CHANGE) -> tuple[Finding, ...]:
    return ranked(
        replace(FINDINGS[0], shortfall=1 + n / 100, change=change, severity=Severity(1 + n % 3)) for n in range(count)
    )


@pytest.mark.parametrize(
    ("width_mm", "height_mm", "size"),
    [
        (420, 594, (2339, 1654)),
        (594, 594, (2339, 1654)),
        (594, 420, (1654, 2339)),
        (100, 2400, (2339, 1654)),
        (2400, 100, (1654, 2339)),
    ],
)
def test_one_a4_page_whatever_the_shape(width_mm: float, height_mm: float, size: tuple[int, int]) -> None:
    facts = replace(FACTS, width_mm=width_mm, height_mm=height_mm)
    sheet = artwork(round(width_mm), round(height_mm), width_mm=width_mm, height_mm=height_mm)
    picture = opened(draw_proof(sheet, replace(POSTER, artwork=facts)))
    assert picture.size == size
    assert picture.info["Software"] == f"standback {__version__}"
    inches = [px / ppi for px, ppi in zip(sorted(size), picture.info["dpi"], strict=True)]
    assert inches == pytest.approx([210 / 25.4, 297 / 25.4], rel=0.001)


def test_the_same_report_gives_the_same_bytes() -> None:
    assert draw_proof(artwork(), POSTER) == draw_proof(artwork(), POSTER)


@pytest.mark.parametrize("file", ["Müller – Плакат/ポスター.png", "a\x1b[31m\n\udcff.png", 400 * "wide " + ".png", ""])
def test_any_file_name_can_be_drawn(file: str) -> None:
    assert opened(draw_proof(artwork(), replace(POSTER, file=file))).size == (2339, 1654)


@pytest.mark.parametrize("poster", [BLANK, CLEAN])
def test_nothing_to_mark(poster: PosterReport) -> None:
    assert opened(draw_proof(artwork(), poster)).size == (2339, 1654)


def test_a_sheet_smaller_than_its_drawing() -> None:
    assert opened(draw_proof(artwork(1, 1), POSTER)).size == (2339, 1654)


def test_the_artwork_is_quietened_but_there() -> None:
    page = grey(CLEAN)
    band, paper = page[400, 500], page[900, 500]
    assert paper - band > 60, "the navy band still stands out"
    assert band > 95, "and leaves the darkest third to the marks"


def sheet_on(page: npt.NDArray[np.int16]) -> tuple[int, int, int, int]:
    """Find the sheet on a page without marks: what is tinted like the fixture's paper."""
    tinted = page == page[900, 500]
    columns, rows = np.flatnonzero(tinted.sum(0) > 300), np.flatnonzero(tinted.sum(1) > 100)
    return int(columns[0]), int(rows[0]), int(columns[-1]) + 1, int(rows[-1]) + 1


def test_the_letters_of_the_marked_lines_stay_clear() -> None:
    """Inside every line's own box the proof is the same with and without the marks."""
    with_marks, without = grey(POSTER), grey(replace(POSTER, findings=()))
    x0, y0, x1, y1 = sheet_on(without)
    changed = with_marks != without
    assert changed[y0:y1, x0:x1].sum() > 1000
    per_mm = (x1 - x0) / FACTS.width_mm
    assert per_mm == pytest.approx((y1 - y0) / FACTS.height_mm, rel=0.01)
    for one in LINES:
        left, top, right, bottom = (round(per_mm * side) for side in one.box_mm)
        assert not changed[y0 + top : y0 + bottom, x0 + left : x0 + right].any()


def test_severity_survives_a_black_and_white_print() -> None:
    """A fail's tag is dark all over, a warn's a heavy ring, a note's a thin square."""
    _, y0, x1, _ = sheet_on(grey(replace(POSTER, findings=())))
    dark_px = []
    for severity in sorted(Severity, reverse=True):
        finding = replace(FINDINGS[0], severity=severity, rank=1)
        legend = grey(replace(POSTER, findings=(finding,)))[y0 - 5 : y0 + 55, x1 + 45 :] < 160
        first = int(np.flatnonzero(legend.any(0))[0])
        dark_px.append(int(legend[:, first : first + round(2 * TAG_RADIUS_PX) + 2].sum()))
    fail, warn, note = dark_px
    assert fail > 1.5 * warn
    assert warn > 1.3 * note > 0


def test_every_place_lies_inside_a_mark_of_its_finding() -> None:
    marks = marked(LIVE)
    for finding in LIVE:
        boxes = [mark.box for mark in marks if mark.box and mark.label == str(finding.rank)]
        for spot in finding.places:
            x0, y0, x1, y1 = on_page(spot.box_mm)
            assert any(b[0] <= x0 and b[1] <= y0 and b[2] >= x1 and b[3] >= y1 for b in boxes)


def test_places_that_stand_together_share_a_mark_and_others_do_not() -> None:
    assert [mark.label for mark in marked(LIVE)] == ["1", "2", "3"], "three lines of one paragraph: one mark"
    apart = replace(FINDINGS[0], places=(place("L01"), place("L03"), place("L07")))
    assert [mark.label for mark in marked((apart,))] == ["1", "1", "1"]


def test_tags_keep_clear_of_letters_and_of_each_other() -> None:
    rows = tuple(line(f"L{n:02d}", box(40, 60 + 40 * n), cap_mm=8.0) for n in range(12))
    findings = ranked(
        replace(FINDINGS[0], places=(Place(box_px=row.line.box_px, box_mm=row.box_mm),), shortfall=1 + n)
        for n, row in enumerate(rows)
    )
    marks = marked(findings, tuple(row.box_mm for row in rows))
    tags = [tag_rect(mark) for mark in marks]
    assert not any(overlap(tag, on_page(row.box_mm)) for tag in tags for row in rows)
    assert not any(overlap(a, b) for n, a in enumerate(tags) for b in tags[:n])


def box(x_mm: float, y_mm: float) -> Box:
    return Box(x0=round(4 * x_mm), y0=round(4 * y_mm), x1=round(4 * x_mm + 600), y1=round(4 * y_mm + 40))


@pytest.mark.parametrize("corner", [(0, 0), (405, 0), (0, 589), (405, 589)])
def test_tags_stay_on_the_page(corner: tuple[float, float]) -> None:
    x, y = corner
    spot = Place(box_px=Box(x0=0, y0=0, x1=60, y1=20), box_mm=(x, y, x + 15, y + 5))
    (mark,) = marked((replace(FINDINGS[0], places=(spot,)),))
    left, top, right, bottom = tag_rect(mark)
    assert (left >= FRAME[0] - 40) and (top >= FRAME[1] - 40)
    assert (right <= FRAME[2] + 40) and (bottom <= FRAME[3] + 40)


def laid_out(
    findings: tuple[Finding, ...],
    aspect: float = 420 / 594,
    *,
    waived: int = 1,
    remarks: tuple[Told, ...] = (),
) -> Plan:
    def measure(text: str, size_px: int) -> float:
        return 0.55 * size_px * len(text)

    return plan(findings, remarks, waived, aspect, AREA, measure, beside=aspect <= 1)


@pytest.mark.parametrize("aspect", [0.05, 420 / 594, 1.0, 594 / 420, 20.0])
@pytest.mark.parametrize("count", [0, 1, 3, 12])
def test_the_legend_fits_beside_or_below(aspect: float, count: int) -> None:
    layout = laid_out(many(count), aspect)
    x0, y0, x1, y1 = layout.frame
    assert (x1 - x0) / (y1 - y0) == pytest.approx(aspect)
    assert AREA[0] <= x0 < x1 <= AREA[2] and AREA[1] <= y0 < y1 <= AREA[3]
    labels = [entry.label for entry in layout.entries if entry.label is not None]
    assert labels == [str(rank) for rank in range(1, count + 1)]
    for entry in layout.entries:
        assert entry.x >= x1 if aspect <= 1 else entry.y >= y1
        assert entry.y + entry.height <= AREA[3]
        assert all(row.size_px >= SMALLEST_TYPE_PX for row in entry.rows)
        assert all(entry.x + 0.55 * row.size_px * len(row.text) <= AREA[2] for row in entry.rows)


def test_what_does_not_fit_is_counted() -> None:
    layout = laid_out(many(60, change="Darken the ink and set it larger. " * 6))
    *shown, last = layout.entries
    assert 12 <= len(shown) < 60
    assert last.label is None
    assert " ".join(row.text for row in last.rows) == f"In the report: {60 - len(shown)} more findings."


def test_waived_findings_are_counted_not_marked() -> None:
    layout = laid_out(LIVE, waived=2)
    assert layout.entries[-1].rows[0].text == "In the report: 2 waived."


def test_few_findings_are_set_larger_than_many() -> None:
    assert laid_out(many(2)).entries[0].rows[0].size_px > laid_out(many(12)).entries[0].rows[0].size_px


REMARKS = tuple(
    Told(letter=letter, place="top left", text="Say who sings. " * (3 + n)) for n, letter in enumerate("ABC")
)


def test_remarks_stand_after_the_findings_under_their_letters() -> None:
    layout = laid_out(LIVE, remarks=REMARKS)
    assert [entry.label for entry in layout.entries] == ["1", "2", "3", "A", "B", "C", None]
    first = layout.entries[3]
    assert first.severity is None
    assert first.rows[0].quiet
    assert " ".join(row.text for row in first.rows) == "top left Say who sings. Say who sings. Say who sings."


def test_where_room_is_short_findings_give_way_before_remarks() -> None:
    change = "Darken the ink and set it larger. " * 6
    layout = laid_out(many(60, change=change), remarks=REMARKS)
    *shown, last = layout.entries
    count = len(shown) - len(REMARKS)
    assert [entry.label for entry in shown] == [*(str(n) for n in range(1, count + 1)), "A", "B", "C"]
    assert " ".join(row.text for row in last.rows) == f"In the report: {60 - count} more findings."
    crowd = tuple(Told(letter=str(n), place="top", text=change * 3) for n in range(200))
    *shown, last = laid_out(many(2), remarks=crowd).entries
    said = f"In the report: 2 more findings and {200 - len(shown)} more remarks."
    assert " ".join(row.text for row in last.rows) == said


def test_a_remark_without_a_box_is_pinned_in_its_part_of_the_sheet() -> None:
    part_mm = (0.0, 0.0, 140.0, 198.0)
    letters = tuple((5.0, y, 135.0, y + 20.0) for y in (10.0, 40.0, 90.0, 120.0, 160.0))
    pins = [Subject(label=letter, severity=None, part_mm=part_mm) for letter in "AB"]
    first, second = place_marks(pins, letters, FACTS, FRAME, 40.0)
    left, top, right, bottom = on_page(part_mm)
    for mark in (first, second):
        assert mark.box is None
        assert mark.leader is None
        x0, y0, x1, y1 = tag_rect(mark)
        assert (x0 >= left) and (y0 >= top) and (x1 <= right) and (y1 <= bottom)
        assert not any(overlap((x0, y0, x1, y1), on_page(box_mm)) for box_mm in letters)
    assert not overlap(tag_rect(first), tag_rect(second))


def test_a_pin_fits_the_smallest_part_of_a_sheet() -> None:
    pin = Subject(label="A", severity=None, part_mm=(0.0, 0.0, 1.0, 2.0))
    (mark,) = place_marks([pin], [], FACTS, FRAME, 40.0)
    assert mark.tag_xy == pytest.approx((101.0, 202.0))


def test_remarks_are_drawn_and_explained() -> None:
    with_remarks, without = grey(BRIEFED), grey(replace(BRIEFED, remarks=()))
    x0, y0, x1, y1 = sheet_on(grey(replace(POSTER, findings=())))
    changed = with_remarks != without
    assert changed[y0:y1, x0:x1].sum() > 1000, "marks on the sheet"
    assert changed[y0:y1, x1 + 45 :].sum() > 1000, "words beside it"


def test_groups_have_thin_brackets_beside_them() -> None:
    seen = replace(ARRANGEMENT, groups=ARRANGEMENT.groups[1:])
    with_brackets = grey(replace(POSTER, findings=(), arrangement=seen))
    drawn = np.argwhere(with_brackets != grey(replace(POSTER, findings=())))
    (top, left), (bottom, right) = drawn.min(axis=0), drawn.max(axis=0)
    assert right - left < 12, "a line and its ends"
    assert bottom - top > 30, "from the top of the first line to the foot of the last"


def test_many_groups_are_not_drawn() -> None:
    crowd = replace(ARRANGEMENT, groups=20 * ARRANGEMENT.groups[1:])
    assert (grey(replace(POSTER, arrangement=crowd)) == grey(POSTER)).all()
