"""Pieces of an uneven ground that stand in line with letters: left out there, and nowhere else."""

import numpy as np
import pytest

from standback.elements import Box
from standback.find.bands import Band
from standback.find.lines import candidates_of
from synth import Sheet, sans_bold
from synth.colours import Srgb8

SAND: Srgb8 = (225, 205, 170)
NAVY: Srgb8 = (20, 30, 90)
HALFWAY: Srgb8 = (98, 96, 119)
"""Three fifths of the way from the ground to the ink: as dark as what a busy ground passes for ink."""


def found_box(*, noisy: bool) -> tuple[Box, tuple[float, float, float, float]]:
    """Measure a word with a paler I and a paler dot beside it; return the box found, and that of the word."""
    sheet = Sheet(120, 40, 150, SAND)
    if noisy:
        sheet.noise(np.random.default_rng(3), strength=9)
    line = sheet.text("MARKET", sans_bold(), NAVY, (30, 25), cap_mm=10)
    right = line.box_px[2] / sheet.px_per_mm
    sheet.panel((right + 3, 15, right + 4, 25), HALFWAY)
    sheet.panel((right + 2, 23, right + 2.6, 25), HALFWAY)
    x0, y0, x1, y1 = line.box_px
    band = Band(x0=x0, x1=x1, middle_y=(y0 + y1) / 2, body_px=y1 - y0)
    (candidate,) = candidates_of(sheet.finish().artwork(), band)
    return candidate.line.box_px, line.box_px


def test_what_is_much_paler_than_the_letters_on_a_noisy_ground_is_left_out() -> None:
    box, word = found_box(noisy=True)
    assert box.as_tuple() == pytest.approx(word, abs=3)


def test_a_paler_letter_on_an_even_ground_stays() -> None:
    box, word = found_box(noisy=False)
    assert box.x1 > word[2] + 20
