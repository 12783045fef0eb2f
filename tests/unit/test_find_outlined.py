"""Letters with an outline stand on it, whatever lies behind; what has none is no letter of their line."""

from math import cos, pi, sin

import numpy as np
import pytest

from standback.doubts import Doubt
from standback.elements import Box, Line
from standback.find import find_lines
from standback.measure.along import ratio_worst
from standback.measure.busy import ground_noise1
from synth import Sheet, sans_bold
from synth.colours import Srgb8
from synth.sheet import Pen, TrueLine

ROSE: Srgb8 = (200, 130, 180)
PLUM: Srgb8 = (40, 10, 50)
BLACK: Srgb8 = (0, 0, 0)
WHITE: Srgb8 = (255, 255, 255)


def on_a_burst(ink: Srgb8, outline: tuple[Srgb8, float] | None) -> tuple[Sheet, TrueLine]:
    """A title before the rays of a burst, dark as its letters."""
    sheet = Sheet(200, 100, 100, ROSE)
    centre = (100.0, 50.0)
    rays = []
    for n in range(9):
        turn = 2 * pi * (n + 0.3) / 9
        foot = [(centre[0] + 16 * cos(turn + by), centre[1] + 10 * sin(turn + by)) for by in (-0.35, 0.35)]
        rays.append([(centre[0] + 90 * cos(turn), centre[1] + 45 * sin(turn)), *foot])

    def paint(pen: Pen) -> None:
        for ray in rays:
            pen.polygon(ray)

    sheet.fill((0, 0, 200, 100), PLUM, paint)
    return sheet, sheet.text("SPARKS", sans_bold(), ink, (100, 57), cap_mm=14, align="centre", outline=outline)


def title_of(sheet: Sheet, true: TrueLine) -> Line:
    lines = find_lines(sheet.finish().artwork())
    x0, y0, x1, y1 = map(round, true.box_px)
    return max(lines, key=lambda line: line.box_px.overlap(Box(x0=x0, y0=y0, x1=x1, y1=y1)))


def test_the_outline_is_the_ground_and_the_rays_are_no_letters() -> None:
    sheet, true = on_a_burst(BLACK, (WHITE, 1.6))
    line = title_of(sheet, true)
    assert line.box_px.as_tuple() == pytest.approx(true.box_px, abs=2)
    assert (line.ink_srgb8, line.ground_srgb8) == (BLACK, WHITE)
    assert Doubt.OUTLINED in line.doubts
    assert ground_noise1(line, sheet.finish().artwork()) == 0
    assert ratio_worst(line, sheet.finish().artwork()) > 20


def test_without_one_nothing_is_taken_for_it() -> None:
    sheet = Sheet(200, 60, 100, ROSE)
    sheet.noise(np.random.default_rng(4), 30)
    true = sheet.text("SPARKS", sans_bold(), BLACK, (30, 40), cap_mm=14)
    line = title_of(sheet, true)
    assert line.ink_srgb8 == BLACK
    assert Doubt.OUTLINED not in line.doubts


def test_an_outline_that_says_less_than_what_lies_behind_is_no_ground() -> None:
    # grey letters with a light rim, on a dark sheet: the rim tells less of them than what lies behind
    sheet = Sheet(200, 60, 100, BLACK)
    true = sheet.text("Harbour", sans_bold(), (170, 170, 170), (30, 40), cap_mm=14, outline=(WHITE, 1.6))
    assert Doubt.OUTLINED not in title_of(sheet, true).doubts


def test_a_panel_is_no_outline() -> None:
    sheet = Sheet(200, 60, 100, ROSE)
    sheet.panel((30, 15, 170, 45), WHITE)
    true = sheet.text("Harbour lights", sans_bold(), BLACK, (40, 34), cap_mm=9)
    line = title_of(sheet, true)
    assert line.ground_srgb8 == WHITE
    assert line.doubts == ()
