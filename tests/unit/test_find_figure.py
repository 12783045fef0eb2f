"""Large figures: what a viewer would name, where it lies, and how it stands off."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
import pytest

from standback.artwork import from_srgb8
from standback.elements import Box, Figure, Line, Srgb8
from standback.find.figure import find_figures
from standback.light import contrast_ratio

Pixels = npt.NDArray[np.uint8]

SAND, INK, WHITE, RED = (240, 226, 190), (30, 40, 60), (255, 255, 255), (190, 30, 40)
SIZE_MM = (200.0, 280.0)
HEIGHT, WIDTH = 1120, 800


def sheet(ground: Srgb8 = SAND) -> Pixels:
    pixels = np.empty((HEIGHT, WIDTH, 3), dtype=np.uint8)
    pixels[:] = ground
    return pixels


def disc(pixels: Pixels, x: float, y: float, radius: float, colour: Srgb8) -> None:
    rows, columns = np.mgrid[: pixels.shape[0], : pixels.shape[1]]
    pixels[np.hypot(rows - y, columns - x) < radius] = colour


def figures(pixels: Pixels, lines: Sequence[Line] = ()) -> tuple[Figure, ...]:
    return find_figures(from_srgb8(pixels, size_mm=SIZE_MM), lines)


def line(x0: int, y0: int, x1: int, y1: int) -> Line:
    mask = np.ones((y1 - y0, x1 - x0), dtype=np.bool_)
    return Line(
        box_px=Box(x0=x0, y0=y0, x1=x1, y1=y1), mask=mask, core=mask, ink_srgb8=INK, ground_srgb8=SAND,
        cap_px=float(y1 - y0), x_px=None, letter_px=float(y1 - y0), stroke_px=10.0,
    )  # fmt: skip


def test_a_disc_is_one_figure_with_its_colours() -> None:
    pixels = sheet()
    disc(pixels, 400, 500, 180, RED)
    (found,) = figures(pixels)
    assert found.box_px.as_tuple() == pytest.approx((220, 320, 580, 680), abs=2 * found.mask_scale)
    assert found.area_share == pytest.approx(np.pi * 180**2 / (HEIGHT * WIDTH), rel=0.05)
    assert np.abs(np.subtract(found.colour_srgb8, RED)).max() <= 1
    assert np.abs(np.subtract(found.ground_srgb8, SAND)).max() <= 1
    assert found.ratio == pytest.approx(contrast_ratio(RED, SAND), rel=0.02)
    assert not found.picture


def test_the_largest_comes_first_and_at_most_six_are_named() -> None:
    pixels = sheet()
    for n in range(8):
        disc(pixels, 150 + 500 * (n % 2), 120 + 250 * (n // 2) + 9 * n, 48 + 6 * n, INK)
    found = figures(pixels)
    assert len(found) == 6
    assert [one.area_share for one in found] == sorted((one.area_share for one in found), reverse=True)


def test_an_empty_sheet_and_a_gradient_hold_none() -> None:
    assert figures(sheet()) == ()
    pixels = sheet()
    pixels[:] = np.linspace(80, 220, HEIGHT).astype(np.uint8)[:, None, None]
    assert figures(pixels) == ()


def test_bands_and_frames_are_grounds() -> None:
    pixels = sheet()
    pixels[800:] = INK
    pixels[20:30, 20:-20] = pixels[700:710, 20:-20] = RED
    pixels[20:710, 20:30] = pixels[20:710, -30:-20] = RED
    assert figures(pixels) == ()


def test_a_panel_of_text_is_no_figure_and_without_text_is_one() -> None:
    pixels = sheet()
    pixels[300:600, 150:650] = WHITE
    pixels[330:390, 180:620] = pixels[430:490, 180:620] = INK
    lines = (line(180, 330, 620, 390), line(180, 430, 620, 490))
    assert figures(pixels, lines) == ()
    pixels[300:600, 150:650] = INK
    assert len(figures(pixels)) == 1


def test_letters_that_no_line_was_found_for_are_no_figures() -> None:
    pixels = sheet()
    for n in range(4):
        pixels[300:520, 80 + 170 * n : 180 + 170 * n] = INK
    assert figures(pixels) == ()


def test_a_picture_is_judged_by_what_stands_off_not_by_its_mean() -> None:
    pixels = sheet((128, 128, 128))
    pixels[300:700, 200:600:80] = 0
    for n in range(5):
        pixels[300:700, 200 + 80 * n : 240 + 80 * n] = 0
        pixels[300:700, 240 + 80 * n : 280 + 80 * n] = 255
    (found,) = figures(pixels)
    assert found.picture
    assert found.ratio > 3.0


def test_what_an_outline_encloses_is_not_the_figure() -> None:
    pixels = sheet(WHITE)
    disc(pixels, 400, 500, 150, INK)
    disc(pixels, 400, 500, 138, (245, 245, 245))
    assert all(one.ratio > 5 for one in figures(pixels))
