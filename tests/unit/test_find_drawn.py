"""Flat drawn shapes that are close in light to what they stand on: which are found, and with what numbers."""

from collections.abc import Sequence
from io import BytesIO
from math import inf

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image

from standback.artwork import from_srgb8
from standback.changes.suggestion import suggested
from standback.elements import Box, Detail, Line, Srgb8
from standback.find.drawn import find_drawn
from standback.light import contrast_ratio, nearest_ink
from standback.pipeline import audit_artwork
from standback.settings import Settings

Pixels = npt.NDArray[np.uint8]
Where = tuple[slice, slice] | npt.NDArray[np.bool_]

CREAM, WHITE, INK = (246, 236, 208), (255, 255, 255), (30, 40, 60)
SIZE_MM = (240.0, 320.0)
HEIGHT, WIDTH = 960, 720
Y, X = np.mgrid[:HEIGHT, :WIDTH]


def sheet(ground: Srgb8 = CREAM) -> Pixels:
    return np.full((HEIGHT, WIDTH, 3), ground, dtype=np.uint8)


def disc(x: float, y: float, radius: float) -> npt.NDArray[np.bool_]:
    return np.asarray(np.hypot(X - x, Y - y) < radius)


def star(x: float, y: float, radius: float) -> npt.NDArray[np.bool_]:
    turn = np.arctan2(Y - y, X - x)
    return np.asarray(np.hypot(X - x, Y - y) < radius * (0.7 + 0.3 * np.cos(5 * turn)))


def at_ratio(wanted: float, ground: Srgb8 = CREAM) -> Srgb8:
    found = nearest_ink((240, 200, 60), ground, wanted)
    assert found is not None
    return found


def drawn(pixels: Pixels, lines: Sequence[Line] = (), below: float = 3.0) -> tuple[Detail, ...]:
    return find_drawn(from_srgb8(pixels, size_mm=SIZE_MM), lines, below)


def three_discs() -> Pixels:
    pixels = sheet()
    for x, y, wanted in ((300, 400, 1.2), (380, 400, 1.3), (340, 330, 1.9)):
        pixels[disc(x, y, 60)] = at_ratio(wanted)
    return pixels


def line(x0: int, y0: int, x1: int, y1: int) -> Line:
    mask = np.ones((y1 - y0, x1 - x0), dtype=np.bool_)
    return Line(
        box_px=Box(x0=x0, y0=y0, x1=x1, y1=y1), mask=mask, core=mask, ink_srgb8=INK, ground_srgb8=CREAM,
        cap_px=float(y1 - y0), x_px=None, letter_px=float(y1 - y0), stroke_px=4.0,
    )  # fmt: skip


def text(pixels: Pixels, x0: int, y0: int, x1: int, y1: int) -> Line:
    """Set bars in the place of letters, and return the line that they are."""
    for x in range(x0, x1, 12):
        pixels[y0:y1, x : x + 5] = INK
    return line(x0, y0, x1, y1)


@pytest.mark.parametrize("wanted", [1.1, 1.3, 2.2, 2.9])
def test_a_pale_shape_is_found_with_its_colours(wanted: float) -> None:
    pixels = sheet()
    ink = at_ratio(wanted)
    pixels[star(300, 400, 90)] = ink
    (found,) = drawn(pixels)
    assert found.kind == "shape"
    assert (found.ink_srgb8, found.ground_srgb8) == (ink, CREAM)
    assert found.ratio == pytest.approx(contrast_ratio(ink, CREAM))
    rows, columns = np.nonzero(star(300, 400, 90))
    box = (columns.min(), rows.min(), columns.max() + 1, rows.max() + 1)
    assert found.box_px.as_tuple() == pytest.approx(box, abs=2 * found.mask_scale)


@pytest.mark.parametrize("wanted", [3.2, 5.0])
def test_a_shape_with_contrast_enough_is_not(wanted: float) -> None:
    pixels = sheet()
    pixels[star(300, 400, 90)] = at_ratio(wanted)
    assert drawn(pixels) == ()
    assert len(drawn(pixels, below=inf)) == 1


@pytest.mark.parametrize("stroke", [2, 4, 9])
def test_an_outline_holds_it(stroke: int) -> None:
    pixels = sheet()
    pixels[star(300, 400, 90 + stroke)] = INK
    pixels[star(300, 400, 90)] = at_ratio(1.3)
    assert drawn(pixels) == ()


def test_a_line_inside_it_does_not_hold_it() -> None:
    pixels = sheet()
    pixels[star(300, 400, 120)] = at_ratio(1.6)
    pixels[star(300, 400, 100)] = INK
    pixels[star(300, 400, 96)] = at_ratio(1.6)
    (found,) = drawn(pixels)
    assert found.ratio == pytest.approx(1.6, abs=0.02)


def test_a_pale_halo_around_a_dark_shape_is_not_named() -> None:
    pixels = sheet()
    pixels[star(300, 400, 100)] = at_ratio(1.2)
    pixels[star(300, 400, 85)] = INK
    assert drawn(pixels) == ()


def test_a_card_under_text_and_a_disc_under_an_icon_are_grounds() -> None:
    pixels = sheet()
    card, pale = at_ratio(1.2), at_ratio(1.4)
    pixels[100:300, 100:400] = card
    pixels[disc(300, 600, 120)] = pale
    pixels[star(300, 600, 70)] = INK
    assert drawn(pixels, [text(pixels, 130, 150, 370, 174), text(pixels, 130, 200, 370, 224)]) == ()


def test_an_icon_on_a_disc_is_measured_against_the_disc() -> None:
    pixels = sheet()
    pixels[disc(300, 600, 120)] = (240, 180, 40)
    pixels[star(300, 600, 80)] = WHITE
    (found,) = drawn(pixels)
    assert (found.ink_srgb8, found.ground_srgb8) == (WHITE, (240, 180, 40))


def test_a_shade_inside_a_drawing_that_holds_is_not_named() -> None:
    pixels = sheet()
    pixels[star(300, 500, 200)] = (150, 30, 40)
    pixels[disc(340, 470, 40)] = (120, 20, 30)
    assert drawn(pixels) == ()


def test_a_small_mark_on_a_drawn_disc_that_holds_is_not_named() -> None:
    pixels = sheet()
    pixels[disc(300, 500, 150)] = (150, 30, 40)
    pixels[disc(350, 450, 40)] = (180, 60, 70)
    assert drawn(pixels) == ()


def test_a_gradient_and_a_soft_edge_are_not_named() -> None:
    pixels = sheet()
    mixed = np.clip((X - 150) / 300, 0, 1)[..., None]
    fade = ((1 - mixed) * np.array((250, 210, 90)) + mixed * np.array(CREAM)).astype(np.uint8)
    there = star(300, 300, 120)
    pixels[there] = fade[there]
    soft = np.clip((200 - np.hypot(X - 300, Y - 700)) / 60, 0, 1)[..., None]
    pixels[:] = np.where(soft > 0, ((1 - soft) * pixels + soft * np.array((225, 215, 190))), pixels).astype(np.uint8)
    assert drawn(pixels) == ()


def test_a_photograph_is_not_named() -> None:
    pixels = sheet()
    noise = np.random.default_rng(5).normal(0, 12, (HEIGHT, WIDTH, 1)) + 30 * np.sin(X / 40 + Y / 70)[..., None]
    there = disc(360, 480, 200)
    pixels[there] = np.clip(np.array((200, 190, 150)) + noise, 0, 255).astype(np.uint8)[there]
    assert drawn(pixels) == ()


def test_what_the_edge_cuts_a_rule_and_a_frame_are_not_named() -> None:
    pixels = sheet()
    pale = at_ratio(1.4)
    pixels[star(0, 200, 150)] = pale
    pixels[800:806, 60:660] = pale
    pixels[400:700, 100:600] = pale
    pixels[408:692, 108:592] = CREAM
    assert drawn(pixels, [text(pixels, 200, 500, 500, 530)]) == ()


def test_a_row_of_ornaments_is_not_named_but_three_stars_are() -> None:
    def page(count: int) -> tuple[Detail, ...]:
        pixels = sheet()
        for n in range(count):
            pixels[star(80 + 90 * n, 400, 20)] = at_ratio(1.6)
        return drawn(pixels)

    assert page(7) == ()
    assert len(page(3)) == 3


def test_letters_that_no_line_was_found_for_are_not_named() -> None:
    pixels = sheet()
    for n in range(5):
        pixels[400:460, 100 + 60 * n : 140 + 60 * n] = at_ratio(1.6)
        pixels[412:448, 112 + 60 * n : 128 + 60 * n] = CREAM
    assert drawn(pixels) == ()


def test_the_mark_of_a_logo_is_not_named_but_an_icon_beside_a_paragraph_is() -> None:
    def page(lines: int) -> tuple[Detail, ...]:
        pixels = sheet()
        pixels[star(120, 420, 40)] = at_ratio(1.8)
        return drawn(pixels, [text(pixels, 190, 400 + 34 * n, 330, 420 + 34 * n) for n in range(lines)])

    assert page(1) == ()
    assert len(page(4)) == 1


def test_pieces_of_one_colour_near_each_other_are_one_shape() -> None:
    pixels = sheet()
    pale = at_ratio(2.0)
    for n in range(4):
        pixels[400 + 30 * n : 418 + 30 * n, 200 : 300 - 15 * n] = pale
    pixels[star(560, 800, 50)] = pale
    found = drawn(pixels)
    assert [one.count for one in found] == [4, 1]


def test_a_drawing_of_several_pale_colours_is_one_shape_told_by_the_strongest_quarter() -> None:
    (found,) = drawn(three_discs())
    assert found.ratio == pytest.approx(1.9, abs=0.02)


def test_a_diagram_on_a_panel_of_its_own_is_not_named() -> None:
    pixels = sheet()
    pixels[300:500, 200:420] = at_ratio(1.2)
    pixels[300:500, 280:340] = at_ratio(1.8)
    assert drawn(pixels) == ()


def test_a_jpeg_changes_little() -> None:
    pixels = sheet()
    pixels[star(300, 400, 90)] = at_ratio(1.5)
    packed = BytesIO()
    Image.fromarray(pixels).save(packed, "JPEG", quality=85)
    (found,) = drawn(np.asarray(Image.open(packed)))
    assert found.ratio == pytest.approx(1.5, abs=0.03)


def test_the_ground_of_a_shape_may_be_busy_elsewhere_and_its_pixels_enlarged() -> None:
    pixels = sheet()
    pixels[star(300, 400, 90)] = at_ratio(1.5)
    large = pixels.repeat(3, axis=0).repeat(3, axis=1)
    (found,) = find_drawn(from_srgb8(large, size_mm=SIZE_MM), (), 3.0)
    assert found.mask_scale > 1
    assert found.ratio == pytest.approx(1.5, abs=0.02)


def test_the_change_of_a_shape_is_drawn_and_measured_again() -> None:
    pixels = sheet()
    pixels[star(300, 400, 90)] = at_ratio(1.5)
    artwork = from_srgb8(pixels, size_mm=SIZE_MM)
    report = audit_artwork(artwork, Settings())
    (finding,) = (f for f in report.findings if f.check == "faint-detail")
    assert finding.change is not None
    assert "measured again" in finding.change
    mended, suggestion = suggested(artwork, report)
    assert [names for _, names in suggestion.drawn] == [finding.elements]
    again = audit_artwork(from_srgb8(mended, size_mm=SIZE_MM), Settings())
    assert "faint-detail" not in [f.check for f in again.findings]


def test_the_other_colours_of_a_drawing_are_to_go_as_far() -> None:
    report = audit_artwork(from_srgb8(three_discs(), size_mm=SIZE_MM), Settings())
    (finding,) = (f for f in report.findings if f.check == "faint-detail")
    assert finding.change is not None
    assert "its other colours as far" in finding.change
    assert not finding.redraws


def test_a_light_piece_of_a_heap_is_a_tone_of_it_and_one_beside_it_is_not() -> None:
    pixels = sheet()
    for n, (x, y) in enumerate(((200, 400), (290, 400), (380, 400), (245, 325), (335, 325))):
        pixels[disc(x, y, 40)] = at_ratio(1.4) if n == 3 else INK
    assert drawn(pixels) == ()
    pixels[disc(600, 400, 40)] = at_ratio(1.4)
    assert drawn(pixels) == (), "another piece of it"
    pixels[disc(600, 400, 40)] = at_ratio(1.9)
    (found,) = drawn(pixels)
    assert found.box_px.x0 > 500


@pytest.mark.parametrize(("inside", "lost"), [((200, 80, 60), True), (INK, False)])
def test_what_stands_in_a_shape_is_not_darkened_away(inside: Srgb8, lost: bool) -> None:
    pixels = sheet()
    pixels[star(300, 400, 90)] = at_ratio(1.3)
    pixels[385:415, 275:325] = inside
    (finding,) = (
        f for f in audit_artwork(from_srgb8(pixels, size_mm=SIZE_MM), Settings()).findings if f.check == "faint-detail"
    )
    assert finding.change is not None
    assert finding.change.startswith("Darken it")
    assert ("would be lost on that" in finding.change) is lost
