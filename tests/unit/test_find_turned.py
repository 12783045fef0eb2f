"""Lines on end and leaning lines: found, measured in their own frame, and their ink laid back where it is."""

import numpy as np
import pytest
from PIL import Image

from standback.artwork import Artwork, from_srgb8
from standback.elements import Line, Mask
from standback.find import find_lines
from standback.find.bands import Band
from standback.find.lines import candidates_of
from standback.light import contrast_ratio
from standback.measure.along import ratio_worst
from standback.measure.level import own_strip
from synth import Sheet, ratio, sans_bold
from synth.colours import Srgb8

NAVY: Srgb8 = (20, 30, 90)
CREAM: Srgb8 = (250, 240, 220)
CAP_PX = 32.0


def turned_sheet(angle_deg: float) -> tuple[Artwork, Mask]:
    """A square sheet with a line through its middle, turned counter-clockwise, and where the ink is."""
    sheet = Sheet(200, 200, 101.6, CREAM)
    sheet.text("Harbour lights", sans_bold(), NAVY, (100, 104), cap_mm=8, align="centre")
    level = Image.fromarray(sheet.pixels).resize((3200, 3200), Image.Resampling.BICUBIC)
    turned = level.rotate(angle_deg, Image.Resampling.BICUBIC, fillcolor=CREAM).resize((800, 800), Image.Resampling.BOX)
    srgb8 = np.asarray(turned)
    ink = np.abs(srgb8.astype(int) - NAVY).sum(axis=2) < np.abs(srgb8.astype(int) - CREAM).sum(axis=2)
    return from_srgb8(srgb8, size_mm=(200.0, 200.0)), ink


def only_line(artwork: Artwork) -> Line:
    (line,) = find_lines(artwork)
    return line


@pytest.mark.parametrize("angle_deg", [90.0, -90.0, 24.0, -13.0])
def test_a_turned_line_is_measured_in_its_own_frame(angle_deg: float) -> None:
    artwork, ink = turned_sheet(angle_deg)
    line = only_line(artwork)
    assert line.angle_deg == pytest.approx(angle_deg, abs=1.5)
    assert line.cap_px == pytest.approx(CAP_PX, rel=0.04)
    assert contrast_ratio(line.ink_srgb8, line.ground_srgb8) == pytest.approx(ratio(NAVY, CREAM), rel=0.02)
    rows, columns = np.flatnonzero(ink.any(axis=1)), np.flatnonzero(ink.any(axis=0))
    assert line.box_px.as_tuple() == pytest.approx((columns[0], rows[0], columns[-1] + 1, rows[-1] + 1), abs=2)
    box = line.box_px
    assert line.mask.shape == (box.height, box.width)
    assert (line.mask == ink[box.y0 : box.y1, box.x0 : box.x1]).mean() > 0.98


@pytest.mark.parametrize("angle_deg", [90.0, 24.0])
def test_contrast_along_a_turned_line_is_that_of_its_letters(angle_deg: float) -> None:
    artwork, _ = turned_sheet(angle_deg)
    assert ratio_worst(only_line(artwork), artwork) == pytest.approx(ratio(NAVY, CREAM), rel=0.1)


def test_the_strip_of_a_leaning_line_leaves_out_the_corners_of_its_box() -> None:
    line = only_line(turned_sheet(24.0)[0])
    strip = own_strip(line)
    assert (strip | ~line.mask).all()
    assert not strip[0, 0] and not strip[-1, -1]
    assert strip.mean() < 0.6


def test_a_small_lean_is_read_from_the_feet() -> None:
    artwork, _ = turned_sheet(4.0)
    band = Band(x0=180, x1=620, middle_y=400, body_px=24)
    (found,) = candidates_of(artwork, band)
    assert found.line.angle_deg == pytest.approx(4.0, abs=0.7)
