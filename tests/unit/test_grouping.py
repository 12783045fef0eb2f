"""Groups by relative distance, headings between two texts, torn groups: layouts with known gaps."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from checks.builders import measured, text_line
from standback.arrangement import TornGroup
from standback.measure.apart import Item, body_mm, gaps_mm
from standback.measure.grouping import guess_groups, loose_headings
from standback.measure.model import Measurement
from standback.measure.torn import Sheet, torn_groups
from standback.settings import Limits

SHEET = Sheet(width_mm=420, height_mm=594, margin_mm=5, clear_ratio=Limits().group_clear_ratio)


def item(name: str, top_mm: float, *, left_mm: float = 20, height_mm: float = 5, width_mm: float = 100) -> Item:
    box = (left_mm, top_mm, left_mm + width_mm, top_mm + height_mm)
    return Item(id=name, box_mm=box, body_mm=box, letter_mm=height_mm)


def column(gaps: Sequence[float]) -> list[Item]:
    """Lines of 5 mm below each other, with these gaps between."""
    tops = [20.0]
    for gap in gaps:
        tops.append(tops[-1] + 5 + gap)
    return [item(f"L{n:02d}", top) for n, top in enumerate(tops, start=1)]


def groups(items: Sequence[Item]) -> list[tuple[str, ...]]:
    return [group.elements for group in guess_groups(items)]


@pytest.mark.parametrize(
    ("gaps", "expected"),
    [
        ([3, 3, 3], [("L01", "L02", "L03", "L04")]),
        # twice the gap parts, whatever the scale
        ([3, 6, 3], [("L01", "L02"), ("L03", "L04")]),
        ([10, 20, 10], [("L01", "L02"), ("L03", "L04")]),
        # up to 1.5 times belongs, more does not
        ([4, 6, 4], [("L01", "L02", "L03", "L04")]),
        ([4, 6.1, 4], [("L01", "L02"), ("L03", "L04")]),
        # one that stands far off is alone
        ([3, 3, 20], [("L01", "L02", "L03")]),
        # nor is what stands four letter heights away of one group, with nothing nearer
        ([20], [("L01", "L02")]),
        ([20.1], []),
        ([], []),
    ],
)
def test_groups_by_the_ratio_of_the_gaps_alone(gaps: list[float], expected: list[tuple[str, ...]]) -> None:
    assert groups(column(gaps)) == expected


def test_two_columns_are_two_groups() -> None:
    left = [item(f"L{n}", 20 + 8 * n) for n in range(4)]
    right = [item(f"R{n}", 20 + 8 * n, left_mm=130) for n in range(4)]
    assert groups([*left, *right]) == [("L0", "L1", "L2", "L3"), ("R0", "R1", "R2", "R3")]


def test_a_line_on_a_figure_is_not_near_to_it() -> None:
    figure = Item(id="F01", box_mm=(0, 0, 200, 80), body_mm=(0, 0, 200, 80))
    on_it, below = item("L01", 40), item("L02", 90)
    assert groups([on_it, below, figure]) == [("L02", "F01")]


def test_gaps_are_edge_to_edge() -> None:
    a, b = item("A", 20), item("B", 29, left_mm=123)
    assert gaps_mm([a, b]).tolist() == [[np.inf, 5.0], [5.0, np.inf]]


def test_ascenders_and_descenders_move_no_edge() -> None:
    ink = np.zeros((20, 100), dtype=np.bool_)
    ink[5:15] = True  # the small letters
    ink[:5, 10:14] = True  # a b
    ink[15:, 60:64] = True  # a p
    line = text_line()
    assert body_mm(line, (0.0, 0.0, 50.0, 10.0)) == (0.0, 0.0, 50.0, 10.0)
    assert body_mm(replace(line, mask=ink), (0.0, 0.0, 50.0, 10.0)) == (0.0, 2.5, 50.0, 7.5)


def text(
    name: str, top_mm: float, *, cap_mm: float = 5.0, ground: tuple[int, int, int] = (255, 255, 255)
) -> Measurement:
    line = text_line(cap_px=4 * cap_mm, at=(80, round(4 * top_mm)), size_px=(400, round(4 * cap_mm)), ground=ground)
    return measured(name, line=line)


def two_texts(above_mm: float, below_mm: float, *, cap_mm: float = 8.0) -> list[Measurement]:
    """Two lines of text, a heading, two lines of text; with this white above and below the heading."""
    heading_mm = 20 + 5 + 3 + 5 + above_mm
    after_mm = heading_mm + cap_mm + below_mm
    return [
        text("L01", 20),
        text("L02", 28),
        text("L03", heading_mm, cap_mm=cap_mm),
        text("L04", after_mm),
        text("L05", after_mm + 8),
    ]


def headings(lines: Sequence[Measurement]) -> list[tuple[str, float, float]]:
    items = [Item(id=m.id, box_mm=m.box_mm, body_mm=m.box_mm, letter_mm=m.letter_mm) for m in lines]
    return [(h.element, h.above_mm, h.below_mm) for h in loose_headings(lines, items, ())]


@pytest.mark.parametrize(("above_mm", "below_mm"), [(6, 6), (12, 6), (6, 12)])
def test_white_above_and_below_a_heading(above_mm: float, below_mm: float) -> None:
    assert headings(two_texts(above_mm, below_mm)) == [("L03", above_mm, below_mm)]


def test_what_is_no_heading() -> None:
    assert headings(two_texts(6, 6, cap_mm=5.5)) == [], "no larger than the text"
    assert headings(two_texts(40, 40)) == [], "far from either"
    assert headings(two_texts(3.8, 3.8)) == [], "as near to both as their lines are to each other: bold words in a text"
    assert headings(two_texts(6, 6)[:4]) == [], "a single line below is no text"
    panel = two_texts(6, 6)
    panel[2] = text("L03", 39, cap_mm=8, ground=(40, 60, 90))
    assert headings(panel) == [], "on a panel of its own"


def torn(members: Sequence[Item], others: Sequence[Item]) -> TornGroup | None:
    lines = [*members, *others]
    found = torn_groups({"when": members}, lines, (), {m.id: measured(m.id) for m in lines}, SHEET)
    return found[0] if found else None


def test_a_part_far_from_its_own_is_torn_and_moved_there() -> None:
    entry, title = item("entry", 20, left_mm=280), item("title", 60, height_mm=60)
    date, place = item("date", 400), item("place", 411)
    found = torn([entry, date, place], [title])
    assert found is not None
    assert (found.part, found.rest[0], found.stranger) == (("entry",), "date", "title")
    assert found.own_mm == pytest.approx(np.hypot(160, 375))
    assert found.stranger_mm == pytest.approx(np.hypot(160, 35))
    assert found.move is not None
    # 6 mm below the place, flush with it: the gap that the two others have
    assert found.move.startswith("Move entry 402 mm down and 260 mm left, to 20 mm from the left and 422 mm from the")
    assert "its own is 6.0 mm away" in found.move


def test_a_taken_place_is_not_offered() -> None:
    entry, title = item("entry", 20, left_mm=280), item("title", 60, height_mm=60)
    date, place = item("date", 400), item("place", 411)
    found = torn([entry, date, place], [title, item("small", 421, width_mm=350)])
    assert found is not None
    assert found.move is not None
    assert "389 mm from the top" in found.move, "above, where it is free"


def test_the_parts_of_a_group_that_stands_together() -> None:
    date, place = item("date", 400), item("place", 411)
    assert torn([date, place], [item("title", 60)]) is None
    assert torn([date], [item("title", 60)]) is None
    assert torn([date, place], []) is None


@pytest.mark.parametrize(
    ("stranger_mm", "told"),
    [(7.5, False), (7.4, True), (6.0, True)],  # the own gap is 6 mm: 1.25 times as far is clear
)
def test_strangers_stand_clearly_farther_away(stranger_mm: float, told: bool) -> None:
    date, place = item("date", 400), item("place", 411)
    found = torn([date, place], [item("small", 416 + stranger_mm), item("above", 400 - 5 - stranger_mm)])
    assert (found is not None) is told
