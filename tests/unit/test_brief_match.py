"""What of the things found a brief speaks of."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reports.fixture import FACTS
from reports.fixture import LINES as FOUND
from standback.brief.match import Matches, Unmatched, covers, match
from standback.brief.model import Where
from standback.places import PLACES, BoxMm, lies_at, part_of_sheet, place_in_words, read_place

SHEET = {"width_mm": 420.0, "height_mm": 594.0}
TITLE: BoxMm = (40, 48, 380, 110)
SECOND: BoxMm = (40, 120, 300, 180)
"""The second line of the title."""
DATE: BoxMm = (40, 500, 190, 505)
HOUR: BoxMm = (40, 510, 188, 515)
BOXES = (TITLE, SECOND, DATE, HOUR)


def box(*edges: float) -> Where:
    return Where(box_mm=(edges[0], edges[1], edges[2], edges[3]))


def point(x: float, y: float) -> Where:
    return Where(point_mm=(x, y))


def words(text: str) -> Where:
    return Where(words=text)


def nothing_at(*entries: int) -> tuple[Unmatched, ...]:
    return tuple(Unmatched(entry=entry, taken=False) for entry in entries)


def taken(*entries: int) -> tuple[Unmatched, ...]:
    return tuple(Unmatched(entry=entry, taken=True) for entry in entries)


@pytest.mark.parametrize(
    ("wanted", "entry_of", "unmatched"),
    [
        ([], (None, None, None, None), ()),
        # each its own box, in any order
        ([box(*HOUR), box(*TITLE)], (1, None, None, 0), ()),
        # drawn roughly by hand
        ([box(35, 40, 390, 118)], (0, None, None, None), ()),
        # one box around a title of two lines
        ([box(35, 40, 390, 190)], (0, 0, None, None), ()),
        # ... of which one has a box of its own
        ([box(35, 40, 390, 190), box(*SECOND)], (0, 1, None, None), ()),
        # the line has grown since
        ([box(40, 60, 200, 100)], (0, None, None, None), ()),
        # less than half of the line: another place
        ([box(0, 502.6, 420, 508)], (None, None, None, None), nothing_at(0)),
        ([box(0, 502.4, 420, 508)], (None, None, 0, None), ()),
        ([box(200, 300, 260, 320)], (None, None, None, None), nothing_at(0)),
        # two entries for one thing: the better fit has it, and the other one is told of
        ([box(35, 40, 390, 118), box(*TITLE)], (1, None, None, None), taken(0)),
        # the same box twice is no reason to lose one of two things found at the same place
        ([box(*DATE), box(0, 495, 420, 520)], (None, None, 0, 1), ()),
        # points: on a line, near one, too far from any, and on one that is taken
        ([point(100, 80)], (0, None, None, None), ()),
        ([point(100, 507)], (None, None, 0, None), ()),
        ([point(100, 508)], (None, None, None, 0), ()),
        ([point(100, 521)], (None, None, None, None), nothing_at(0)),
        ([box(*DATE), point(100, 503)], (None, None, 0, None), taken(1)),
        ([point(100, 503), box(*DATE)], (None, None, 1, None), taken(0)),
        # places in words: all that is there and has no entry yet
        ([words("across the top")], (0, 0, None, None), ()),
        ([words("bottom left"), box(*DATE)], (None, None, 1, 0), ()),
        ([words("bottom")], (None, None, 0, 0), ()),
        ([words("left")], (None, None, 0, 0), ()),
        ([words("top right")], (None, None, None, None), nothing_at(0)),
        ([words("bottom"), words("bottom left")], (None, None, 0, 0), taken(1)),
    ],
)
def test_what_the_brief_speaks_of(
    wanted: list[Where], entry_of: tuple[int | None, ...], unmatched: tuple[Unmatched, ...]
) -> None:
    assert match(wanted, BOXES, **SHEET) == Matches(entry_of=entry_of, unmatched=unmatched)


def test_things_found_at_the_same_place_go_to_entries_of_the_same_place() -> None:
    found = match([box(*TITLE), box(*TITLE)], [TITLE, TITLE], **SHEET)
    assert found == Matches(entry_of=(0, 1), unmatched=())


def test_the_smallest_of_what_holds_a_point() -> None:
    assert match([point(50, 52)], [TITLE, (45, 50, 60, 55)], **SHEET).entry_of == (None, 0)


def test_all_that_an_entry_speaks_of() -> None:
    found = match([box(*DATE), words("top")], BOXES, **SHEET)
    assert found.of_entry(0) == (2,)
    assert found.of_entry(1) == (0, 1)


@pytest.mark.parametrize(
    ("where", "at", "is_there"),
    [
        (box(0, 400, 420, 594), DATE, True),
        (box(0, 400, 420, 502.6), DATE, True),
        (box(0, 400, 420, 502.4), DATE, False),
        # a line behind a small box is not at that place
        (box(100, 60, 120, 70), TITLE, False),
        (point(100, 503), DATE, True),
        (point(100, 700), DATE, False),
        (words("bottom left"), DATE, True),
        (words("bottom right"), DATE, False),
    ],
)
def test_what_a_place_covers(where: Where, at: BoxMm, is_there: bool) -> None:
    assert covers(where, at, **SHEET) is is_there


_SIDES = st.floats(-20, 620, allow_nan=False)


@settings(max_examples=200, deadline=None)
@given(_SIDES, _SIDES, st.floats(0.1, 500), st.floats(0.1, 700))
def test_every_box_lies_at_a_place_in_words(x0: float, y0: float, width: float, height: float) -> None:
    at = (x0, y0, x0 + width, y0 + height)
    place = place_in_words(at, FACTS.width_mm, FACTS.height_mm)
    assert read_place(place.upper()) == place
    assert lies_at(place, at, FACTS.width_mm, FACTS.height_mm)
    assert sum(lies_at(one, at, FACTS.width_mm, FACTS.height_mm) for one in ("top", "middle", "bottom")) == 1


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("Top-Left", "top left"),
        ("  down the   Center ", "down the centre"),
        ("center", "centre"),
        ("bottom", "bottom"),
        ("middle centre", None),
        ("", None),
    ],
)
def test_places_as_people_write_them(text: str, place: str | None) -> None:
    assert read_place(text) == place


def test_every_place_has_one_name() -> None:
    assert len(set(PLACES)) == len(PLACES) == 21


@pytest.mark.parametrize("place", PLACES)
def test_the_part_of_a_sheet_that_a_place_names_lies_there(place: str) -> None:
    part = part_of_sheet(place, FACTS.width_mm, FACTS.height_mm)
    assert lies_at(place, part, FACTS.width_mm, FACTS.height_mm)


def test_parts_of_a_sheet() -> None:
    assert part_of_sheet("bottom right", 300, 600) == (200, 400, 300, 600)
    assert part_of_sheet("centre", 300, 600) == (100, 200, 200, 400)
    assert part_of_sheet("top", 300, 600) == part_of_sheet("across the top", 300, 600) == (0, 0, 300, 200)
    assert part_of_sheet("down the left side", 300, 600) == (0, 0, 100, 600)
    assert part_of_sheet("over most of the sheet", 300, 600) == (0, 0, 300, 600)


def test_a_place_a_report_names_is_found_again() -> None:
    for index, line in enumerate(FOUND):
        place = place_in_words(line.box_mm, FACTS.width_mm, FACTS.height_mm)
        found = match([words(place)], [one.box_mm for one in FOUND], **SHEET)
        assert found.entry_of[index] == 0
