"""Styles and guessed tiers."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from checks.builders import text_line
from standback.elements import TEXT_LAYER, Line
from standback.measure.tiers import SURE_LONG, SURE_TOGETHER, guess_tiers, styles
from standback.settings import Limits

LIMITS = Limits()


def caps(*heights_px: float) -> list[Line]:
    return [text_line(cap_px=float(h), at=(100, 100 + 50 * i)) for i, h in enumerate(heights_px)]


@pytest.mark.parametrize(
    ("heights_px", "tiers"),
    [
        # two cuts, at the two widest ratios: 100/40 and 40/10; 12/10 is no cut
        ((100, 40, 12, 10), ("lead", "support", "small", "small")),
        # one cut: lead and support
        ((100, 40), ("lead", "support")),
        ((100, 40, 36), ("lead", "support", "support")),
        # no ratio reaches 1.25: the uppermost style is lead if it stands alone
        ((40, 33), ("lead", "support")),
        ((40,), ("lead",)),
        ((40, 40), ("support", "support")),
        # three wide gaps: only the two widest cut (3 and 2.5; 1.33 does not)
        ((120, 40, 16, 12), ("lead", "support", "small", "small")),
        ((), ()),
    ],
)
def test_tiers_by_the_two_widest_ratios(heights_px: tuple[float, ...], tiers: tuple[str, ...]) -> None:
    assert guess_tiers(caps(*heights_px), LIMITS) == tiers


def test_a_style_counts_once_however_many_lines_it_has() -> None:
    lines = caps(*([10] * 20), 100, 30)
    assert guess_tiers(lines, LIMITS)[-2:] == ("lead", "support")
    assert set(guess_tiers(lines, LIMITS)[:20]) == {"small"}


def test_capitals_and_lowercase_of_one_size_are_one_tier() -> None:
    lines = [text_line(cap_px=71.0), text_line(cap_px=None, x_px=52.0), text_line(cap_px=20.0)]
    assert guess_tiers(lines, LIMITS) == ("lead", "lead", "support")


def test_style_needs_same_ink_ground_and_size() -> None:
    black = text_line()
    assert styles([black, text_line(cap_px=20.8)], LIMITS) == ((1, 0),)
    assert styles([black, text_line(cap_px=22.0)], LIMITS) == ((1,), (0,))
    assert styles([black, text_line(ink=(120, 0, 0))], LIMITS) == ((0,), (1,))
    assert styles([black, text_line(ground=(255, 255, 180))], LIMITS) == ((0,), (1,))
    assert styles([black, text_line(ink=(3, 3, 3), ground=(253, 253, 253))], LIMITS) == ((0, 1),)


def test_a_chain_of_small_steps_does_not_join_unlike_sizes() -> None:
    groups = styles(caps(100, 96, 92, 88), LIMITS)
    assert groups == ((0, 1), (2, 3))


def column(*, cap_px: float, lines: int, top: int, left: int = 100, pitch: float = 1.9) -> list[Line]:
    """Draw up lines of one style under each other, `pitch` heights of the capitals apart."""
    tall = round(cap_px)
    at = [(left, top + round(n * pitch * cap_px)) for n in range(lines)]
    return [text_line(cap_px=cap_px, at=place, size_px=(10 * tall, tall)) for place in at]


def unsure(line: Line) -> Line:
    return replace(line, confidence=SURE_LONG - 0.01)


def rather_sure(line: Line) -> Line:
    """Return a short line, as a logo is, that is surely text only beside others."""
    short = replace(line.box_px, x1=line.box_px.x0 + round(5 * line.letter_px))
    return replace(line, confidence=SURE_TOGETHER + 0.01, box_px=short)


def leads(lines: Sequence[Line]) -> list[int]:
    return [n for n, tier in enumerate(guess_tiers(lines, LIMITS)) if tier == "lead"]


# the widest ratio is that of the text to these, where the title is hardly larger
CAPTIONS = column(cap_px=12, lines=8, top=2000)


def test_text_is_not_lead_however_small_the_captions() -> None:
    text = [line for n in range(5) for line in column(cap_px=24, lines=12, top=300, left=100 + 400 * n)]
    title = column(cap_px=29, lines=2, top=50)
    tiers = guess_tiers([*title, *text, *CAPTIONS], LIMITS)
    assert tiers == ("lead",) * 2 + ("small",) * 68


def test_scattered_labels_of_the_size_of_text_are_not_lead() -> None:
    """They stand in no block: here it is their number that tells."""
    labels = [text_line(cap_px=40, at=(300 * (n % 4), 300 + 300 * (n // 4))) for n in range(20)]
    title = [text_line(cap_px=49, at=(100, 100)), text_line(cap_px=51, at=(100, 200))]
    assert leads([*title, *labels, *CAPTIONS]) == [0, 1]


def test_six_lines_may_be_lead_on_any_sheet_and_a_tenth_on_a_full_one() -> None:
    def sheet(titles: int, text: int) -> list[Line]:
        scattered = [text_line(cap_px=60, at=(300 * n, 100)) for n in range(titles)]
        return scattered + [text_line(cap_px=20, at=(100, 500 + 50 * n)) for n in range(text)]

    assert len(leads(sheet(6, 10))) == 6
    assert leads(sheet(7, 10)) == []
    assert len(leads(sheet(7, 63))) == 7


def test_text_under_a_larger_line_is_not_lead() -> None:
    title, text, captions = column(cap_px=60, lines=1, top=50), column(cap_px=54, lines=4, top=300), CAPTIONS[:2]
    assert leads([*title, *text, *captions]) == [0]
    assert leads([*title, *text[:3], *captions]) == [0, 1, 2, 3]  # three lines are no block
    uneven = [*text[:3], *column(cap_px=54, lines=1, top=800)]
    assert leads([*title, *uneven, *captions]) == [0, 1, 2, 3, 4]


def test_a_title_of_four_lines_is_lead_where_nothing_larger_stands_on_the_sheet() -> None:
    title = column(cap_px=60, lines=4, top=300)
    assert leads([text_line(cap_px=54, at=(100, 50)), *title, *CAPTIONS[:2]]) == [0, 1, 2, 3, 4]


def test_headings_and_a_subtitle_are_not_lead() -> None:
    """They are smaller than the title, if by little: nobody has to read them from across the room."""
    title, subtitle = text_line(cap_px=62, at=(100, 100)), text_line(cap_px=53, at=(100, 200))
    headings = [text_line(cap_px=52, at=(300 * n, 600)) for n in range(3)]
    tiers = guess_tiers([title, subtitle, *headings, text_line(cap_px=16, at=(100, 900))], LIMITS)
    assert tiers == ("lead", "support", "support", "support", "support", "support")


@pytest.mark.parametrize(
    ("text", "label_px", "expected"),
    [
        # a block of four lines is read by who has walked up, and so is a label of about its size
        (column(cap_px=20, lines=4, top=600), 21, ("small", "small")),
        # three lines may be the facts of an event: the middle station, as by the sizes alone
        (column(cap_px=20, lines=3, top=600), 20, ("support", "support")),
        # what is clearly larger than the text has to call for it
        (column(cap_px=20, lines=4, top=600), 24, ("small", "support")),
        # so many lines are text wherever they stand
        ([text_line(cap_px=20, at=(300 * n, 700 + 300 * (n % 3))) for n in range(10)], 20, ("small", "small")),
        ([text_line(cap_px=20, at=(300 * n, 700 + 300 * (n % 3))) for n in range(8)], 20, ("support", "support")),
    ],
)
def test_text_is_read_up_close(text: list[Line], label_px: float, expected: tuple[str, str]) -> None:
    label = text_line(cap_px=label_px, at=(2000, 1500), ink=(150, 0, 0))
    tiers = guess_tiers([text_line(cap_px=60, at=(100, 100)), *text, label], LIMITS)
    assert (tiers[1], tiers[-1]) == expected


def test_the_size_of_most_of_the_text_counts() -> None:
    title, date = text_line(cap_px=60, at=(100, 100)), text_line(cap_px=24, at=(100, 300))
    intro, text = column(cap_px=26, lines=4, top=500), column(cap_px=12, lines=8, top=900)
    tiers = guess_tiers([title, date, *intro, *text], LIMITS)
    assert tiers == ("lead", "support", *("small",) * 12)


def test_turned_text_stands_in_blocks_too() -> None:
    title = column(cap_px=60, lines=1, top=50)
    text = [text_line(cap_px=52, at=(300 + 99 * n, 200), size_px=(52, 500)) for n in range(4)]
    turned = [replace(line, angle_deg=90.0) for line in text]
    assert leads([*title, *turned, *CAPTIONS[:2]]) == [0]


def test_what_is_not_surely_text_takes_no_lead_from_the_title() -> None:
    drawing, title, text = text_line(cap_px=200), text_line(cap_px=60), text_line(cap_px=20)
    assert guess_tiers([drawing, title, text], LIMITS) == ("lead", "support", "small")
    assert guess_tiers([unsure(drawing), title, text], LIMITS) == ("support", "lead", "support")
    assert guess_tiers([unsure(title)], LIMITS) == ("support",)


def test_beside_something_far_larger_that_may_be_text_nothing_leads() -> None:
    giant, title, text = text_line(cap_px=250), text_line(cap_px=60), text_line(cap_px=20)
    assert guess_tiers([unsure(giant), title, text], LIMITS) == ("support", "support", "support")


def test_live_text_is_surely_text() -> None:
    title = replace(unsure(text_line(cap_px=60)), found_by=(TEXT_LAYER,))
    assert guess_tiers([title, text_line(cap_px=20)], LIMITS) == ("lead", "support")


def test_a_line_of_a_style_that_is_surely_text_is_of_its_tier() -> None:
    title = text_line(cap_px=60), unsure(text_line(cap_px=61, at=(100, 200)))
    assert guess_tiers([*title, text_line(cap_px=20)], LIMITS) == ("lead", "lead", "support")


def test_no_lead_where_all_lines_are_of_one_size() -> None:
    text = [line for n in range(3) for line in column(cap_px=24, lines=12, top=300, left=100 + 400 * n)]
    assert leads([*text, *CAPTIONS]) == []


def test_a_title_of_two_lines_set_alike_is_surer_than_either() -> None:
    title = [rather_sure(line) for line in column(cap_px=100, lines=2, top=100)]
    small = column(cap_px=20, lines=3, top=600)
    assert leads([*title, *small]) == [0, 1]
    assert leads([title[0], *small]) == []


def test_a_long_line_need_not_be_so_surely_text() -> None:
    """Logos are short: a title of one line that is a little unlike type leads all the same."""
    (title,) = column(cap_px=60, lines=1, top=100)
    text = [text_line(cap_px=20, at=(100, 500 + 50 * n)) for n in range(5)]
    long = replace(title, confidence=SURE_LONG + 0.01)
    assert leads([long, *text]) == [0]
    assert 0 not in leads([replace(long, box_px=rather_sure(title).box_px), *text])


def test_a_line_of_a_text_in_another_ink_is_read_with_it() -> None:
    title, text = (
        text_line(cap_px=100.0, at=(100, 0)),
        [text_line(cap_px=20.0, at=(100, 300 + 40 * n)) for n in range(5)],
    )
    first = text_line(cap_px=21.0, at=(100, 260), ink=(150, 0, 0))
    apart = text_line(cap_px=21.0, at=(100, 700), ink=(150, 0, 0))
    labels = [text_line(cap_px=9.0, at=(500, 300 + 17 * n)) for n in range(12)]
    assert guess_tiers([title, first, *text, *labels], LIMITS)[:2] == ("lead", "small")
    assert guess_tiers([title, apart, *text, *labels], LIMITS)[:2] == ("lead", "support")
