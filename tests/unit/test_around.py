"""Which lines stand alone on their ground: pictures made by hand."""

import numpy as np
import pytest

from checks.builders import text_line
from standback.artwork import from_srgb8
from standback.measure.around import stands_alone

LINE = text_line(cap_px=20.0, at=(300, 200), size_px=(200, 20))
"""Its letters are 20 px high: what counts lies 12 to 70 px around it, and up to 120 px in its row."""

Box = tuple[int, int, int, int]


@pytest.mark.parametrize(
    ("other", "alone"),
    [
        (None, True),
        # an accent or a descender is its own
        ((320, 190, 328, 198), True),
        # a line, a rule, an icon, whatever their colour
        ((300, 240, 500, 260), False),
        ((100, 260, 700, 262), False),
        ((250, 190, 280, 230), False),
        # the edge of the panel that it stands on
        ((540, 0, 800, 400), False),
        # four letter heights off
        ((300, 300, 500, 320), True),
        ((580, 150, 620, 170), True),
        # but in one row with it
        ((590, 190, 610, 230), False),
        ((630, 190, 650, 230), True),
    ],
)
def test_what_stands_near_a_line(other: Box | None, alone: bool) -> None:
    codes = np.full((400, 800, 3), 255, dtype=np.uint8)
    codes[200:220, 300:500:10] = 0
    if other is not None:
        x0, y0, x1, y1 = other
        codes[y0:y1, x0:x1] = (200, 60, 0)
    assert stands_alone(LINE, from_srgb8(codes, size_mm=(200.0, 100.0))) is alone


def test_far_larger_type_is_company_only_close_by() -> None:
    codes = np.full((400, 800, 3), 255, dtype=np.uint8)
    for gap_px, alone in ((45, True), (35, False)):
        title = text_line(cap_px=40.0, at=(300, 200 - gap_px - 40), size_px=(200, 40))
        drawn = codes.copy()
        drawn[title.box_px.y0 : title.box_px.y1, 300:500] = 0
        artwork = from_srgb8(drawn, size_mm=(200.0, 100.0))
        assert stands_alone(LINE, artwork, (LINE, title)) is alone
        assert not stands_alone(LINE, artwork, (LINE, text_line(cap_px=30.0, at=(300, 100))))


def test_far_larger_type_hides_no_company_that_stands_below_it() -> None:
    codes = np.full((400, 800, 3), 255, dtype=np.uint8)
    title = text_line(cap_px=145.0, at=(300, 10), size_px=(400, 145))
    codes[10:155, 300:700] = 0
    codes[234:242, 300:500] = 0
    assert not stands_alone(LINE, from_srgb8(codes, size_mm=(200.0, 100.0)), (LINE, title))


def test_the_edge_of_the_sheet_is_near_too() -> None:
    codes = np.full((400, 800, 3), 255, dtype=np.uint8)
    at_the_top = text_line(cap_px=20.0, at=(300, 50), size_px=(200, 20))
    assert not stands_alone(at_the_top, from_srgb8(codes, size_mm=(200.0, 100.0)))
