"""The shared wording: numbers against numbers, places and lines in plain words."""

from dataclasses import replace

import pytest

from reports.fixture import FACTS, FINDINGS, LINES, POSTER
from standback.checks.against import against
from standback.reports import words
from standback.reports.wrapping import clean, columns, wrap


@pytest.mark.parametrize(
    ("check", "measured", "needed", "unit", "said"),
    [
        ("faint-text", 2.3199, 4.5, "ratio", "contrast 2.31:1, needed 4.5:1"),
        ("faint-text", 4.4999, 4.5, "ratio", "contrast 4.49:1, needed 4.5:1"),
        ("faint-text", 2.9999999, 3.0, "ratio", "contrast 2.99:1, needed 3:1"),
        ("short-reach", 2.47, 5.0, "m", "reads from 2.4 m, needed from 5 m"),
        ("short-reach", 1.52, 1.524, "m", "reads from 1.52 m, needed from 1.524 m"),
        ("short-reach", 0.44, 0.5, "m", "reads from 44 cm, needed from 50 cm"),
        ("short-reach", 0.0, 5.0, "m", "reads from nowhere, needed from 5 m"),
        ("fades", 2.068, 3.0, "JND", "stands off by 2.06 × just visible, needed 3 × just visible"),
        ("fades", 2.9999, 3.0, "JND", "stands off by 2.99 × just visible, needed 3 × just visible"),
    ],
)
def test_number_against_number(check: str, measured: float, needed: float, unit: str, said: str) -> None:
    finding = replace(FINDINGS[0], check=check, measured=measured, needed=needed, unit=unit)
    assert against(finding) == said


def test_no_number_says_nothing() -> None:
    assert against(replace(FINDINGS[0], measured=None, needed=None, unit=None)) is None


@pytest.mark.parametrize(
    ("box_mm", "said"),
    [
        ((10, 10, 60, 20), "top left"),
        ((180, 10, 240, 20), "top centre"),
        ((180, 290, 240, 300), "centre"),
        ((10, 290, 60, 300), "middle left"),
        ((380, 580, 410, 590), "bottom right"),
        ((10, 10, 400, 60), "across the top"),
        ((10, 500, 400, 560), "across the bottom"),
        ((5, 20, 15, 560), "down the left side"),
        ((200, 20, 220, 560), "down the centre"),
        ((10, 10, 410, 580), "over most of the sheet"),
        ((-3, -3, 423, 2), "across the top"),
    ],
)
def test_where_on_the_sheet(box_mm: tuple[float, float, float, float], said: str) -> None:
    assert words.where(box_mm, FACTS) == said


def test_a_line_goes_by_the_height_that_counts() -> None:
    assert words.letter_height(LINES[0]) == "62 mm capitals"
    assert words.letter_height(LINES[3]) == "3.5 mm x-height"
    assert words.letter_height(replace(LINES[0], cap_mm=None)) == "62 mm letters"
    assert words.letter_height(replace(LINES[3], letter_mm=5.0)) == "5.0 mm capitals"


def test_a_place_without_a_line_goes_by_its_box() -> None:
    detail = replace(FINDINGS[0], elements=("D01",))
    said = "D01 (middle left): 40 mm from the left, 286 mm from the top, 120 × 15 mm"
    assert words.places(detail, POSTER) == said
    assert words.places(replace(detail, elements=(), places=()), POSTER) == ""


def test_sizes_have_their_trade_name() -> None:
    assert words.printed(FACTS) == "printed A2 (420 × 594 mm), size from the file's resolution tag"
    banner = replace(FACTS, width_mm=850.25, height_mm=2000.0, size_from="option")
    assert words.printed(banner) == "printed 850.2 × 2000 mm, size as given"


def test_print_line() -> None:
    facts = replace(FACTS, colour="CMYK", profile="Coated 39", bleed_mm=3.0, ppi=149.9)
    assert words.print_line(facts) == ("CMYK, Coated 39; 150 ppi at printed size; 3 mm bleed; trim 420 × 594 mm")


@pytest.mark.parametrize(
    ("index", "letter"), [(0, "A"), (25, "Z"), (26, "AA"), (51, "AZ"), (52, "BA"), (701, "ZZ"), (702, "AAA")]
)
def test_remarks_go_by_letters(index: int, letter: str) -> None:
    assert words.remark_letter(index) == letter


@pytest.mark.parametrize(
    ("items", "said"), [((), ""), (("a",), "a"), (("a", "b"), "a and b"), (("a", "b", "c"), "a, b and c")]
)
def test_joined(items: tuple[str, ...], said: str) -> None:
    assert words.joined(items) == said


def test_wrapping_keeps_every_letter_and_every_room() -> None:
    text = "a verylongwordthatdoesnotfit and some that do"
    lines = wrap(text, 10, columns)
    assert max(map(len, lines)) <= 10
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert wrap("", 10, columns) == []
    assert wrap("ab", 0, columns) == ["a", "b"]


def test_a_number_stays_with_its_unit() -> None:
    assert wrap("needed from 12 m", 14, columns) == ["needed from", "12 m"]
    assert wrap("trim of 420 × 594 mm", 16, columns) == ["trim of", "420 × 594 mm"]


def test_columns_of_foreign_letters() -> None:
    assert columns("ポスター") == 8
    assert columns("é") == columns("e\N{COMBINING ACUTE ACCENT}") == 1


def test_clean() -> None:
    assert clean("a\tb\nc\x1bd\x7f\ud800\N{NO-BREAK SPACE}é") == "a b c?d?? é"


def test_who_decides_is_named_unless_it_is_the_public() -> None:
    older = replace(POSTER, judged_for="older")
    assert words.judged_for(POSTER).startswith("judged for a viewer 5 m away")
    assert words.judged_for(older).startswith("judged for a viewer of 75 years 5 m away")
    assert words.other_viewers_reach(POSTER.findings[0], older) == (
        "Other eyes: the public reads from 2.4 m, low vision (6/12) from 1.2 m."
    )


def test_viewers_who_read_all_the_same_are_not_spoken_of() -> None:
    good = tuple(replace(line, reach=tuple(replace(r, m=line.reach_m) for r in line.reach)) for line in POSTER.elements)
    assert words.other_viewers(POSTER) == (
        "Other eyes: low vision (6/12) reads 2 of 7 from where it should, 75 years reads 3."
    )
    assert words.other_viewers(replace(POSTER, elements=good)) == ""
