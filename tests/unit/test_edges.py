"""Left edges on drawn sheets: two that nearly agree, and what is set beside an edge on purpose."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from checks.builders import set_at
from standback.artwork import from_srgb8
from standback.elements import Box, Figure, Mask
from standback.measure.edges import near_edges
from standback.measure.model import Measurement
from standback.settings import Limits

WIDTH_MM, HEIGHT_MM, PX_PER_MM = 200, 300, 4
CAP_MM = 5.0
"""Of type of 7 mm: seen from 0.9 mm on, indented from 4.2 mm on."""
STEM = np.ones((20, 60), dtype=np.bool_)
ROUND = np.hypot(*np.mgrid[-9.5:10, -9.5:10]) < 10


def line(name: str, left_mm: float, width_mm: float, top_mm: float, mask: Mask = STEM, **about: Any) -> Measurement:
    return set_at(name, left_mm, width_mm, top_mm, mask=mask, **{"cap_mm": CAP_MM, **about})


KEPT = [line(f"L0{n}", 30, 90 + 10 * n, 40 + 10 * n) for n in range(1, 4)]


def two(left_mm: float, width_mm: float = 60, **about: Any) -> list[Measurement]:
    return [line(f"L1{n}", left_mm, width_mm + 9 * n, 100 + 10 * n, **about) for n in (1, 2)]


def off(lines: Sequence[Measurement], *more: Box, figures: Sequence[Figure] = ()) -> list[tuple[Any, ...]]:
    """What is off, beside which line, and by how much; with other black bars on the sheet."""
    srgb8 = np.full((HEIGHT_MM * PX_PER_MM, WIDTH_MM * PX_PER_MM, 3), 255, dtype=np.uint8)
    for box in (*(m.line.box_px for m in lines), *more):
        srgb8[box.y0 : box.y1, box.x0 : box.x1] = 0
    sheet = from_srgb8(srgb8, size_mm=(WIDTH_MM, HEIGHT_MM), file="drawn.png")
    found = near_edges(lines, figures, sheet, Limits())
    return [((one.element, *one.along), one.of[0], pytest.approx(one.off_mm)) for one in found]


@pytest.mark.parametrize(
    ("left_mm", "by_mm"),
    [(30.0, None), (31.0, None), (31.25, 1.25), (34.0, 4.0), (34.5, None), (28.0, -2.0), (40.0, None)],
)
def test_two_lines_beside_the_edge_of_three(left_mm: float, by_mm: float | None) -> None:
    assert off([*KEPT, *two(left_mm)]) == ([] if by_mm is None else [(("L11", "L12"), "L03", by_mm)])


def test_one_line_alone_keeps_no_edge_and_two_are_no_edge_to_be_beside() -> None:
    assert off([*KEPT, *two(32)[:1]]) == []
    assert off([*KEPT[:2], *two(32)]) == []


def test_of_two_edges_kept_by_as_many_one_is_named() -> None:
    assert len(off([*KEPT, *(line(f"L2{n}", 32, 60 + 9 * n, 100 + 10 * n) for n in range(3))])) == 1


def test_what_is_set_by_its_middle_or_to_the_right_has_no_left_edge() -> None:
    middle = [line(f"L1{n}", 32, 116, 100 + 10 * n) for n in (1, 2)]
    assert off([*KEPT, *middle]) == [], "in the middle of L03"
    right = [line(f"L1{n}", 32, 118, 100 + 10 * n) for n in (1, 2)]
    assert off([*KEPT, *right]) == [], "ends with L03"


def test_what_has_a_bullet_before_it_is_a_list() -> None:
    bullets = [Box(x0=116, y0=4 * m + 8, x1=122, y1=4 * m + 14) for m in (110, 120)]
    assert off([*KEPT, *two(32)], *bullets) == []


def test_what_stands_in_a_frame_is_set_by_that() -> None:
    frame = Box(x0=120, y0=400, x1=122, y1=560)
    assert off([*KEPT, *two(32)], frame) == []
    along = Box(x0=100, y0=100, x1=102, y1=560)
    assert off([*KEPT, *two(32)], along) == [(("L11", "L12"), "L03", 2.0)], "a frame around both"


def test_large_round_letters_may_stand_off_and_stems_farther_in() -> None:
    title = [line(f"L1{n}", 31.5, 120 + 9 * n, 100 + 30 * n, cap_mm=20) for n in (1, 2)]
    assert off([*KEPT, *title]) == [], "stems of 28 mm type stand 2 mm farther in"
    rounds = [replace(m, line=replace(m.line, mask=ROUND)) for m in two(31.25)]
    assert off([*KEPT, *rounds]) == [(("L11", "L12"), "L03", 1.25)], "the ink itself is off by no more"
    assert off([*KEPT, *(replace(m, line=replace(m.line, mask=ROUND)) for m in two(29.0))]) == []


def test_what_is_hardly_text_or_a_logo_keeps_no_edge() -> None:
    assert off([*KEPT, *two(32, confidence=0.5)]) == []
    assert off([*KEPT, *(replace(m, logo=True) for m in two(32))]) == []


def test_lines_that_start_with_a_heading_of_their_own_stay_with_it() -> None:
    # larger type, whose stem stands farther in: by its type it keeps the edge of the others
    lines = [*KEPT, *two(31.25)]
    assert off(lines)[0][0] == ("L11", "L12")
    assert off([*lines, line("L09", 30.8, 90, 92, cap_mm=9)]) == []
    assert off([*lines, line("L09", 30.6, 90, 92, cap_mm=9)])[0][0] == ("L11", "L12")


def test_edges_far_above_each_other_are_not_compared() -> None:
    far = [line(f"L1{n}", 32, 60 + 9 * n, 160 + 10 * n) for n in (1, 2)]
    assert off([*KEPT, *far]) == [(("L11", "L12"), "L03", 2.0)], "100 mm, of type of 7 mm"
    assert off([*KEPT, *(line(f"L1{n}", 32, 60 + 9 * n, 170 + 10 * n) for n in (1, 2))]) == []


@pytest.mark.parametrize(("left_px", "spared"), [(128, True), (132, False)])
def test_lines_flush_with_a_picture_below_them_stay_with_it(left_px: int, spared: bool) -> None:
    """The picture is found on coarse samples, a sample off; its edge is looked for on the artwork's own pixels."""
    picture = Box(x0=left_px, y0=560, x1=400, y1=800)
    figure = Figure(
        box_px=Box(x0=120, y0=560, x1=400, y1=800),
        mask=np.ones((15, 18), dtype=np.bool_),
        mask_scale=16,
        colour_srgb8=(0, 0, 0),
        ground_srgb8=(255, 255, 255),
        ratio=21.0,
        area_share=0.1,
        picture=True,
    )
    assert bool(off([*KEPT, *two(32)], picture, figures=[figure])) is not spared


def test_a_text_set_in_steps_keeps_no_edge() -> None:
    code = [line(f"L2{n}", left_mm, 60, 120 + 7 * n) for n, left_mm in enumerate((32, 38, 44, 38, 32))]
    assert off([*KEPT, *code]) == []
    assert off([*KEPT, *code[:2], *code[3:]])[0][0] == ("L20", "L24"), "one indent is none"


def test_of_two_edges_the_one_with_more_close_by_stays() -> None:
    other = [line(f"L2{n}", 32, 60 + 9 * n, 100 + 10 * n) for n in range(3)]
    (before,) = off([*KEPT, *other])
    near = line("L30", 29.2, 85, 140)
    assert off([*KEPT, *other, near])[0][0] != before[0]
