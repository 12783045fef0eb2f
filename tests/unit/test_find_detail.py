"""Fine detail: what is found, how wide, how far apart, in which colours, and what is left alone."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest

from checks.builders import text_line
from standback.artwork import from_srgb8
from standback.elements import Box, Detail, Line, Srgb8
from standback.find.detail import find_details
from standback.find.detail_marks import outlines_of
from standback.find.detail_spread import dot_width_px, stroke_width_px
from standback.light import contrast_ratio

Doubles = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Pixels = npt.NDArray[np.uint8]

PAPER, INK = (244, 236, 214), (40, 70, 90)
SIDE_MM, PX = 80.0, 150 / 25.4
FINE = 6
SIDE = round(SIDE_MM * PX)


def places(side_mm: float = 30.0) -> tuple[Doubles, Doubles]:
    at = (np.arange(round(side_mm * PX) * FINE) + 0.5) / FINE / PX
    y, x = np.meshgrid(at, at, indexing="ij")
    return y, x


def drawn(
    inside: Flags, *, ink: Srgb8 = INK, ground: Srgb8 = PAPER, at_mm: float = 20.0, sheet: Pixels | None = None
) -> Pixels:
    """Lay ink over a sheet wherever `inside` holds on the fine grid."""
    side = len(inside) // FINE
    cover = inside.reshape(side, FINE, side, FINE).mean(axis=(1, 3))[..., None]
    pixels = np.full((SIDE, SIDE, 3), ground, dtype=float) if sheet is None else sheet.astype(float)
    first = round(at_mm * PX)
    part = pixels[first : first + side, first : first + side]
    part += cover * (np.asarray(ink) - part)
    return np.asarray(np.rint(pixels), dtype=np.uint8)


def details(pixels: Pixels, lines: Sequence[Line] = ()) -> tuple[Detail, ...]:
    return find_details(from_srgb8(pixels, size_mm=(SIDE_MM, SIDE_MM)), lines)


def hatching(width: float, pitch: float, turn: float) -> Flags:
    y, x = places()
    return np.asarray(np.abs((x * np.cos(turn) + y * np.sin(turn)) % pitch - pitch / 2) <= width / 2)


@pytest.mark.parametrize("width", [0.2, 0.35, 0.8])
def test_hatching(width: float) -> None:
    (found,) = details(drawn(hatching(width, 3 * width, 0.5)))
    assert found.kind == "hatching"
    assert found.feature_mm == pytest.approx(width, rel=0.15)
    assert found.pitch_mm == pytest.approx(3 * width, rel=0.1)
    assert found.ratio == pytest.approx(contrast_ratio(INK, PAPER), rel=0.1)
    assert np.abs(np.subtract(found.ground_srgb8, PAPER)).max() <= 1
    assert found.box_px.as_tuple() == pytest.approx((118, 118, 295, 295), abs=4)


def test_light_strokes_on_dark_keep_their_own_colours() -> None:
    (found,) = details(drawn(hatching(0.4, 1.4, 1.1), ink=PAPER, ground=INK))
    assert found.feature_mm == pytest.approx(0.4, rel=0.1)
    assert np.abs(np.subtract(found.ink_srgb8, PAPER)).max() <= 6
    assert np.abs(np.subtract(found.ground_srgb8, INK)).max() <= 1


def test_ink_that_is_darker_in_red_and_lighter_in_green() -> None:
    red, green = (200, 60, 60), (60, 150, 60)
    (found,) = details(drawn(hatching(0.5, 1.6, 0.7), ink=green, ground=red))
    assert found.ratio == pytest.approx(contrast_ratio(red, green), rel=0.1)
    assert found.feature_mm == pytest.approx(0.5, rel=0.1)


def test_dots() -> None:
    y, x = places()
    (found,) = details(drawn(np.hypot((x + 0.3) % 2 - 1, y % 2 - 1) <= 0.35))
    assert found.kind == "dots"
    assert found.count == pytest.approx(15**2, abs=20)
    assert found.feature_mm == pytest.approx(0.7, rel=0.05)
    assert found.pitch_mm == pytest.approx(2.0, rel=0.05)


def test_a_single_stroke_stands_alone() -> None:
    y, x = places()
    (found,) = details(drawn(np.abs(x - 15 - 4 * np.sin(y / 4)) / np.hypot(1, np.cos(y / 4)) <= 0.15))
    assert (found.kind, found.count, found.pitch_mm) == ("stroke", 1, None)
    assert found.feature_mm == pytest.approx(0.3, rel=0.15)


def test_an_upright_frame_is_a_rule_and_a_circle_an_outline() -> None:
    y, x = places()
    edge = np.maximum(abs(x - 15), abs(y - 15))
    assert [one.kind for one in details(drawn(abs(edge - 12) <= 0.3))] == ["rule"]
    assert [one.kind for one in details(drawn(abs(np.hypot(x - 15, y - 15) - 10) <= 0.25))] == ["outline"]


def test_a_stroke_that_turns_back_is_not_two_side_by_side() -> None:
    y, x = places()
    (circle,) = details(drawn(abs(np.hypot(x - 15, y - 15) - 10) <= 0.2))
    assert circle.pitch_mm is None
    (rings,) = details(drawn(abs(abs(np.hypot(x - 15, y - 15) - 10) - 0.6) <= 0.2))
    assert rings.pitch_mm == pytest.approx(1.2, rel=0.15)


def test_the_mask_lies_on_the_ink() -> None:
    inside = hatching(0.5, 2.0, 0.4)
    pixels = drawn(inside)
    (found,) = details(pixels)
    box = found.box_px
    ink = np.abs(pixels[box.y0 : box.y1, box.x0 : box.x1].astype(int) - INK).max(axis=2) < 60
    assert found.mask_scale == 1
    assert (found.mask & ink).sum() > 0.95 * ink.sum()


def test_shapes_tips_and_gradients_are_no_detail() -> None:
    pixels = np.empty((SIDE, SIDE, 3), dtype=np.uint8)
    pixels[:] = np.linspace(120, 230, SIDE).astype(np.uint8)[:, None, None]
    y, x = places(60.0)
    wedge = abs(x - 15) < (50 - y) / 12
    pixels = drawn(wedge | (np.hypot(x - 42, y - 30) < 12), at_mm=8.0, sheet=pixels)
    assert details(pixels) == ()


def test_strokes_wider_than_fine_are_no_detail() -> None:
    assert details(drawn(hatching(1.9, 6.0, 0.3))) == ()


def test_a_photograph_like_ground_is_no_detail() -> None:
    rng = np.random.default_rng(5)
    fy, fx = np.fft.fftfreq(SIDE)[:, None], np.fft.rfftfreq(SIDE)[None]
    gain = 1 / np.maximum(np.hypot(fx, fy), 1 / SIDE)
    soft = np.stack([np.fft.irfft2(np.fft.rfft2(rng.standard_normal((SIDE, SIDE))) * gain) for _ in range(3)], axis=2)
    pixels = np.clip(128 + 45 * soft / soft.std(), 0, 255).astype(np.uint8)
    assert [one for one in details(pixels) if one.kind != "code"] == []


def test_what_lies_in_a_line_of_text_is_no_detail() -> None:
    pixels = drawn(hatching(0.4, 1.4, 0.2))
    mask = np.ones((190, 190), dtype=np.bool_)
    line = Line(
        box_px=Box(x0=110, y0=110, x1=300, y1=300), mask=mask, core=mask, ink_srgb8=INK, ground_srgb8=PAPER,
        cap_px=60.0, x_px=None, letter_px=60.0, stroke_px=3.0,
    )  # fmt: skip
    assert len(details(pixels)) == 1
    assert details(pixels, (line,)) == ()


def test_a_square_code_is_one_code() -> None:
    rng = np.random.default_rng(3)
    cells = rng.random((25, 25)) < 0.5
    finder = np.pad(np.pad(np.ones((3, 3), bool), 1), 1, constant_values=True)
    cells[:8, :8] = cells[:8, -8:] = cells[-8:, :8] = False
    cells[:7, :7] = cells[:7, -7:] = cells[-7:, :7] = finder
    pixels = np.full((SIDE, SIDE, 3), 255, dtype=np.uint8)
    pixels[100:250, 100:250][cells.repeat(6, axis=0).repeat(6, axis=1)] = 0
    row = text_line(cap_px=50.0, at=(110, 160), size_px=(130, 50))
    for lines in ((), (replace(row, confidence=0.8),)):
        (found,) = details(pixels, lines)
        assert found.kind == "code"
        assert found.box_px.as_tuple() == pytest.approx((100, 100, 250, 250), abs=2)


def test_a_file_too_coarse_to_tell_has_none() -> None:
    pixels = drawn(hatching(0.4, 1.4, 0.2))
    assert find_details(from_srgb8(pixels, size_mm=(300.0, 300.0)), ()) == ()


@pytest.mark.parametrize("width", [0.5, 1.0, 2.0, 5.0])
def test_width_of_an_upright_stroke_from_its_spread(width: float) -> None:
    # closed form: a box of one pixel over a bar, squared and averaged over all places
    spread = (width**2 - width**3 / 3 if width <= 1 else width - 1 / 3) / width**2
    assert stroke_width_px(spread, 0.0) == pytest.approx(width, rel=0.01)


def test_width_of_dots_from_their_spread() -> None:
    rng = np.random.default_rng(1)
    at = (np.arange(128) + 0.5) / 16
    total = squares = 0.0
    for x, y in rng.uniform(3.5, 4.5, (400, 2)):
        cover = (np.hypot(at[:, None] - y, at - x) <= 0.75).reshape(8, 16, 8, 16).mean(axis=(1, 3))
        total, squares = total + cover.sum(), squares + (cover**2).sum()
    assert dot_width_px(squares * 400 / total**2) == pytest.approx(1.5, rel=0.03)


def test_outline_of_a_rectangle_by_lines_in_four_directions() -> None:
    labels = np.zeros((40, 60), dtype=np.int32)
    labels[5:15, 7:47] = 1
    found = outlines_of(labels)
    assert (found.area[0], found.by_rows[0], found.by_columns[0]) == (400, 10, 40)
    # 10 rows, 40 columns and 49 diagonals each way meet it; diagonals lie a root of one half apart
    assert found.half_outline[0] == pytest.approx(np.pi / 8 * (10 + 40 + 2 * 49 / np.sqrt(2)))


def test_a_net_around_dots_is_their_ground() -> None:
    x, y = (np.mod(at, 0.9) - 0.45 for at in places())
    (found,) = details(drawn(x**2 + y**2 < 0.25**2, ink=PAPER, ground=INK))
    assert found.kind == "dots"
    assert found.ink_srgb8 == pytest.approx(PAPER, abs=1)
    assert found.ground_srgb8 == pytest.approx(INK, abs=1)
    assert found.pitch_mm == pytest.approx(0.9, rel=0.05)
