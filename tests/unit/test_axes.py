"""Axes and margins on drawn sheets: what is on, nearly on, and elsewhere on purpose."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from checks.builders import set_at as line
from standback.artwork import Artwork, from_srgb8
from standback.elements import Box
from standback.measure.axes import off_axis
from standback.measure.margins import near_trim, outer_margins, overrun, thin_margins
from standback.measure.model import Measurement
from standback.settings import Limits

LIMITS = Limits()
WIDTH_MM, HEIGHT_MM, PX_PER_MM = 400, 600, 4
"""Exactly on: within 1.6 mm; elsewhere: from 12 mm on."""


def middle(name: str, width_mm: float, top_mm: float, *, off_mm: float = 0.0, **about: Any) -> Measurement:
    return line(name, (WIDTH_MM - width_mm) / 2 + off_mm, width_mm, top_mm, **about)


def sheet(lines: Sequence[Measurement] = (), *, more: Sequence[Box] = ()) -> Artwork:
    """White, with the lines as black bars, and other black bars."""
    srgb8 = np.full((HEIGHT_MM * PX_PER_MM, WIDTH_MM * PX_PER_MM, 3), 255, dtype=np.uint8)
    for box in (*(m.line.box_px for m in lines), *more):
        srgb8[max(box.y0, 0) : box.y1, max(box.x0, 0) : box.x1] = 0
    return from_srgb8(srgb8, size_mm=(WIDTH_MM, HEIGHT_MM), file="drawn.png")


def off(lines: Sequence[Measurement], **about: Any) -> list[tuple[str, str, float]]:
    return [(one.element, one.axis, round(one.off_mm, 2)) for one in off_axis(lines, (), sheet(lines, **about), LIMITS)]


CENTRED = [middle("L01", 300, 60, cap_mm=30), middle("L02", 200, 110), middle("L03", 120, 130)]
FLUSH = [line("L01", 40, 300, 60), line("L02", 40, 200, 72), line("L03", 40, 250, 84)]


@pytest.mark.parametrize(
    ("off_mm", "expected"),
    [
        (0.0, []),
        (1.5, []),
        (-4.0, [("L04", "centre", -4.0)]),
        (11.75, [("L04", "centre", 11.75)]),
        (12.0, []),
        (60.0, []),
    ],
)
def test_off_the_middle_of_the_sheet(off_mm: float, expected: list[tuple[str, str, float]]) -> None:
    assert off([*CENTRED, middle("L04", 160, 300, off_mm=off_mm)]) == expected


@pytest.mark.parametrize(
    ("left_mm", "expected"),
    [
        (40.0, []),
        # within 1.6 mm and 15 % of the letters' height
        (37.75, []),
        (36.0, [("L04", "left", -4.0)]),
        # further in it is indented, further out elsewhere on purpose
        (44.0, []),
        (28.0, []),
    ],
)
def test_off_an_edge_that_the_lines_above_keep(left_mm: float, expected: list[tuple[str, str, float]]) -> None:
    assert off([*FLUSH, line("L04", left_mm, 170, 96)]) == expected


def test_large_letters_may_stand_off_their_edge() -> None:
    title = line("L00", 36, 340, 10, cap_mm=40)
    assert off([title, *FLUSH]) == []
    assert off([line("L00", 36, 340, 45, cap_mm=8), *FLUSH]) == [("L00", "left", -4.0)]


def test_a_middle_needs_lines_that_are_set_by_it() -> None:
    """Lines flush left whose middles happen to agree make no axis."""
    flush = [line("L01", 100, 200, 60), line("L02", 100, 201, 72), line("L03", 100, 200, 84)]
    assert off([*flush, line("L04", 120, 168, 300)]) == []


def test_what_has_a_neighbour_in_its_row_is_placed_by_that() -> None:
    row = [middle("L04", 160, 300, off_mm=-4), line("L05", 300, 40, 300)]
    assert off([*CENTRED, *row]) == []


def test_what_was_not_found_whole_is_not_judged() -> None:
    short = middle("L04", 160, 300, off_mm=-4)
    box = short.line.box_px
    rest = Box(x0=box.x1 + 4, y0=box.y0, x1=box.x1 + 30, y1=box.y1)
    assert off([*CENTRED, short], more=[rest]) == []


def test_box_and_ink_have_both_to_be_off() -> None:
    """A slanted shape is set by eye: its ink is in the middle though its box is not."""
    lopsided = middle("L04", 160, 300, off_mm=-4)
    mask = np.zeros((4, 160), dtype=np.bool_)
    mask[:, 24:] = True  # its middle lies 12 mm right of the box's
    assert off([*CENTRED, lopsided]) == [("L04", "centre", -4.0)]
    assert off([*CENTRED, replace(lopsided, line=replace(lopsided.line, mask=mask))]) == []


@pytest.mark.parametrize(
    ("top_mm", "expected"),
    [(5.0, []), (4.75, [("L01", "top", 4.75)]), (0.75, [("L01", "top", 0.75)]), (0.5, []), (0.0, [])],
)
def test_near_the_trim(top_mm: float, expected: list[tuple[str, str, float]]) -> None:
    lines = [line("L01", 100, 150, top_mm)]
    assert [(n.element, n.side, n.gap_mm) for n in near_trim(lines, sheet(lines), LIMITS)] == expected


def test_type_that_runs_on_to_the_trim_is_cut_on_purpose() -> None:
    lines = [line("L01", 3, 150, 100, cap_mm=40)]
    cut = Box(x0=0, y0=400, x1=10, y1=560)
    assert [n.side for n in near_trim(lines, sheet(lines), LIMITS)] == ["left"]
    assert near_trim(lines, sheet(lines, more=[cut]), LIMITS) == ()


def test_the_margins_that_lines_keep() -> None:
    full = [line(f"L{n:02d}", 30, 346, 60 + 12 * n) for n in range(3)]
    margins = outer_margins(full, sheet(), LIMITS)
    assert margins is not None
    assert (margins.left_mm, margins.right_mm) == (30, 24)
    ragged = [line(f"L{n:02d}", 30, 346 - 30 * n, 60 + 12 * n) for n in range(3)]
    assert outer_margins(ragged, sheet(), LIMITS) is None
    assert outer_margins([], sheet(), LIMITS) is None


@pytest.mark.parametrize(
    ("top_mm", "expected"),
    # 1.5 % of 400 mm; what is nearer than 5 mm is for the cutter
    [(6.0, []), (5.75, [("L01", "top", 5.75, 5.75 / 400)]), (5.0, [("L01", "top", 5.0, 5.0 / 400)]), (4.75, [])],
)
def test_a_margin_that_is_thin_for_the_sheet(top_mm: float, expected: list[tuple[str, str, float, float]]) -> None:
    lines = [line("L01", 100, 150, top_mm)]
    found = thin_margins(lines, sheet(lines), LIMITS)
    assert [(n.element, n.side, n.gap_mm, n.share) for n in found] == expected
    logo = [replace(m, logo=True) for m in lines]
    assert thin_margins(logo, sheet(logo), LIMITS) == ()


KEPT = [line("L01", 15, 250, 60), line("L02", 15.5, 200, 72)]


@pytest.mark.parametrize(
    ("right_mm", "beyond"),
    # a margin of 15 mm, and what comes nearer than two thirds of it; cut, or a quarter of it, is meant
    [(10.0, ()), (9.75, ("L03",)), (4.0, ("L03",)), (3.5, ()), (0.0, ())],
)
def test_type_beyond_the_margin_of_the_other_side(right_mm: float, beyond: tuple[str, ...]) -> None:
    long = line("L03", 100, WIDTH_MM - 100 - right_mm, 84)
    found = overrun([*KEPT, long], sheet([*KEPT, long]), LIMITS)
    assert (() if found is None else found.right) == beyond
    if found is not None:
        assert (found.left_mm, found.right_mm, found.left) == (15.0, right_mm, ("L01", "L02"))


def test_a_margin_is_not_kept_where_signs_stand_before_the_lines() -> None:
    lines = [*KEPT, line("L03", 100, WIDTH_MM - 106, 84)]
    signs = [
        replace(m.line.box_px, x0=m.line.box_px.x0 - 12, x1=m.line.box_px.x0 - 6, y1=m.line.box_px.y0 + 8) for m in KEPT
    ]
    assert overrun(lines, sheet(lines), LIMITS) is not None
    assert overrun(lines, sheet(lines, more=signs), LIMITS) is None


def test_an_imprint_at_the_foot_overruns_no_margin() -> None:
    low = replace(line("L03", 100, WIDTH_MM - 106, 570), tier="small", alone=True)
    assert overrun([*KEPT, low], sheet([*KEPT, low]), LIMITS) is None
    together = replace(low, alone=False)
    assert overrun([*KEPT, together], sheet([*KEPT, together]), LIMITS) is not None


def test_wide_margins_and_a_line_alone_are_the_layout() -> None:
    wide = [line("L01", 60, 250, 60), line("L02", 60, 200, 72), line("L03", 100, 270, 84)]
    assert overrun(wide, sheet(wide), LIMITS) is None
    alone = [KEPT[0], line("L03", 100, 295, 84)]
    assert overrun(alone, sheet(alone), LIMITS) is None, "one line keeps no margin for another"
    across = [line("L01", 15, 379, 60)]
    found = overrun(across, sheet(across), LIMITS)
    assert found is not None, "but for itself"
    assert (found.left_mm, found.right_mm, found.left, found.right) == (15.0, 6.0, ("L01",), ("L01",))
