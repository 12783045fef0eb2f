"""Pictures in the place of a letter, on drawn words: told where one stands, and nowhere else."""

from collections.abc import Callable

import numpy as np
import pytest
from PIL import Image, ImageDraw

from standback.artwork import from_srgb8
from standback.measure.holes import measure_holes
from standback.pipeline import audit_artwork
from standback.settings import Settings
from synth.fonts import Face, sans, sans_bold, serif

PPI, SHEET_MM = 100.0, (297.0, 210.0)
INK, GROUND, GREEN = (24, 30, 60), (250, 247, 240), (40, 140, 90)
Picture = Callable[[ImageDraw.ImageDraw, tuple[float, float, float, float], tuple[int, int, int]], None]
EM_PX, BASELINE, LEFT = 150.0, 260.0, 90.0


def disc(draw: ImageDraw.ImageDraw, box: tuple[float, float, float, float], colour: tuple[int, int, int]) -> None:
    draw.ellipse(box, fill=colour)


def tree(draw: ImageDraw.ImageDraw, box: tuple[float, float, float, float], colour: tuple[int, int, int]) -> None:
    x0, y0, x1, y1 = box
    draw.polygon([((x0 + x1) / 2, y0), (x0, y1), (x1, y1)], fill=colour)


def ring(draw: ImageDraw.ImageDraw, box: tuple[float, float, float, float], colour: tuple[int, int, int]) -> None:
    draw.ellipse(box, outline=colour, width=3)


def places(
    word: str, face: Face, picture: Picture = disc, colour: tuple[int, int, int] = INK, *, green: str = ""
) -> list[tuple[int, int]]:
    """Audit a sheet with one word, its * drawn as a picture, some letters green: where pictures were told."""
    width, height = (round(side / 25.4 * PPI) for side in SHEET_MM)
    sheet = Image.new("RGB", (width, height), GROUND)
    draw, font = ImageDraw.Draw(sheet), face.at(EM_PX)
    for n, letter in enumerate(word):
        left = LEFT + font.getlength(word[:n].replace("*", "O"))
        if letter != "*":
            draw.text((left, BASELINE), letter, font=font, fill=GREEN if letter in green else INK, anchor="ls")
            continue
        side = font.getlength("O")
        box = (left + 0.06 * side, BASELINE - face.cap_em * EM_PX, left + 0.94 * side, BASELINE)
        picture(draw, box, colour)
    artwork = from_srgb8(np.asarray(sheet), size_mm=SHEET_MM)
    found = audit_artwork(artwork, Settings(far_m=5.0)).findings
    return sorted((p.box_px.x0, p.box_px.x1) for f in found if f.check == "misread" for p in f.places)


@pytest.mark.parametrize(
    ("word", "face", "picture", "colour"),
    [
        ("HARB*UR", sans(), disc, INK),
        ("HARB*UR", serif(), disc, GREEN),
        ("HARB*UR", serif(), tree, GREEN),
        ("Morni*gs", sans(), disc, INK),
        ("HARB*UR", sans_bold(), ring, INK),
    ],
)
def test_a_picture_in_a_letters_place_is_told_there(
    word: str, face: Face, picture: Picture, colour: tuple[int, int, int]
) -> None:
    ((left, right),) = places(word, face, picture, colour)
    font = face.at(EM_PX)
    middle = LEFT + font.getlength(word[: word.index("*")]) + font.getlength("O") / 2
    assert left < middle < right


@pytest.mark.parametrize(
    ("word", "face"), [("HARBOUR", sans_bold()), ("MAKING & DOING", serif()), ("Mornings", sans())]
)
def test_letters_are_no_pictures(word: str, face: Face) -> None:
    assert places(word, face) == []


def test_discs_that_part_words_are_no_letters() -> None:
    assert places("ART *  FILM", sans(), disc) == []


def test_what_stands_between_letters_of_another_ink_is_none() -> None:
    """As the parts of a logo that a line runs into."""
    assert places("HARBOM*UR", sans(), disc)
    assert places("HARBOM*UR", sans(), disc, green="MU") == []


def test_a_picture_between_letters_that_no_line_was_found_for_is_told_where_it_stands() -> None:
    width, height = (round(side / 25.4 * PPI) for side in SHEET_MM)
    sheet = Image.new("RGB", (width, height), GROUND)
    draw, font = ImageDraw.Draw(sheet), sans().at(EM_PX)
    draw.text((LEFT, BASELINE), "HARBOUR", font=font, fill=INK, anchor="ls")
    foot, side = BASELINE + 380, font.getlength("O")
    draw.text((LEFT, foot), "H", font=font, fill=INK, anchor="ls")
    disc_x = LEFT + font.getlength("H") + 0.06 * side
    disc(draw, (disc_x, foot - sans().cap_em * EM_PX, disc_x + 0.88 * side, foot), GREEN)
    draw.text((LEFT + font.getlength("H") + side, foot), "H", font=font, fill=INK, anchor="ls")
    artwork = from_srgb8(np.asarray(sheet), size_mm=SHEET_MM)
    lines = [m for m in audit_artwork(artwork, Settings(far_m=5.0)).elements if m.line.box_px.y1 < BASELINE + 50]
    (hole,) = measure_holes(lines, artwork)
    assert hole.box_px.as_tuple() == pytest.approx((disc_x, foot - 110, disc_x + 0.88 * side, foot), abs=12)
