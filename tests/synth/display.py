"""Sheets by seed that show one thing very large: a letter, a numeral, a short word; or a sign that is none."""

from collections.abc import Sequence
from math import cos, log, pi, sin

import numpy as np

from synth.colours import Srgb8, ink_for, random_colour
from synth.fonts import Face
from synth.sheet import Pen, Poster, Sheet

SHARES = (0.08, 0.33)
"""Heights of the large letters over the sheet's, evenly on a log scale."""
SIZE_MM = (297.0, 420.0)
_TEXTS = (*"ABCDEFGHJKMNPQRSTUVXYZ", *"23456789", *"aekr", "NO", "24", "GO!", "Up", "ON", "1968", "50%", "No", "3D",
          "YES", "art", "Q&A", "MAY", "12", "7th")  # fmt: skip
_SMALL = ("Saturday 24 May, 7 pm", "Town Hall, Mill Lane", "Doors open at 6.30", "Free entry")
_MARGIN_MM = 20.0


def draw_display(seed: int, faces: Sequence[Face], *, ppi: float = 100.0) -> Poster:
    """Draw a sheet whose first line is the large one; in every other, a large sign stands beside smaller lines."""
    rng = np.random.default_rng([seed, 7])
    sheet, ground = _ground(rng, seed, ppi)
    width, height = SIZE_MM
    text, face = str(rng.choice(_TEXTS)), faces[int(rng.integers(len(faces)))]
    wide_em = float(face.at(200.0).getlength(text)) / 200
    share = float(np.exp(rng.uniform(log(SHARES[0]), log(SHARES[1]))))
    cap = min(share * height, (width - 2 * _MARGIN_MM) / wide_em * face.cap_em)
    spare = width - 2 * _MARGIN_MM - wide_em * cap / face.cap_em
    base = float(rng.uniform(_MARGIN_MM + 1.1 * cap, max(_MARGIN_MM + 1.2 * cap, 0.5 * height)))
    ink = ink_for(ground, float(np.exp(rng.uniform(log(1.8), log(15)))), random_colour(rng))
    sheet.text(text, face, ink, (_MARGIN_MM + spare * float(rng.random()), base), cap_mm=cap)
    y = base + 0.4 * cap + 14
    ink = ink_for(ground, 6.0, random_colour(rng))
    for words in rng.permutation(_SMALL)[: int(rng.integers(1, 4))]:
        sheet.text(str(words), faces[int(rng.integers(len(faces)))], ink, (_MARGIN_MM, y), cap_mm=7.0)
        y += 16
    if seed % 2:
        side = float(rng.uniform(50, 100))
        _emblem(sheet, rng, (width - _MARGIN_MM - side, min(y, height - side - 5)), side, ink)
    return sheet.finish()


def draw_emblems(seed: int, *, ppi: float = 100.0) -> Poster:
    """Draw a sheet of one to three large signs and no text."""
    rng = np.random.default_rng([seed, 8])
    sheet, ground = _ground(rng, seed, ppi)
    y = _MARGIN_MM
    for _ in range(int(rng.integers(1, 4))):
        side = float(rng.uniform(45, 125))
        ink = ink_for(ground, float(np.exp(rng.uniform(log(1.8), log(15)))), random_colour(rng))
        _emblem(sheet, rng, (float(rng.uniform(_MARGIN_MM, SIZE_MM[0] - _MARGIN_MM - side)), y), side, ink)
        y += side + 8
    return sheet.finish()


def _ground(rng: np.random.Generator, seed: int, ppi: float) -> tuple[Sheet, Srgb8]:
    ground = random_colour(rng)
    sheet = Sheet(*SIZE_MM, ppi, ground)
    if rng.random() < 0.25:
        sheet.noise(np.random.default_rng([seed, 9]), strength=float(rng.uniform(4, 20)))
    return sheet, ground


def _emblem(sheet: Sheet, rng: np.random.Generator, at_mm: tuple[float, float], side: float, ink: Srgb8) -> None:
    """Draw a disc, ring, star, arrow, triangle, cross, drop, tick, bolt or two quarter shapes into a square."""
    x, y = at_mm
    middle, half = (x + side / 2, y + side / 2), side / 2
    kind, thick = int(rng.integers(10)), float(rng.uniform(0.06, 0.2))

    def around(radii: Sequence[float], turn: float = 0.0) -> list[tuple[float, float]]:
        step = 2 * pi / len(radii)
        return [
            (middle[0] + half * r * sin(turn + n * step), middle[1] - half * r * cos(turn + n * step))
            for n, r in enumerate(radii)
        ]

    def inside(*points: tuple[float, float]) -> list[tuple[float, float]]:
        return [(x + u * side, y + v * side) for u, v in points]

    def paint(pen: Pen) -> None:
        if kind == 0:
            pen.disc(middle, half)
        elif kind == 1:
            pen.ring(middle, half, thick * side)
        elif kind == 2:
            pen.polygon(around([1.0, float(0.3 + 2 * thick)] * int(rng.integers(5, 13))))
        elif kind == 3:
            pen.line(inside((0.05, 0.5), (0.95, 0.5)), thick * side)
            pen.line(inside((0.6, 0.15), (0.95, 0.5), (0.6, 0.85)), thick * side)
        elif kind == 4:
            pen.polygon(around([1.0] * int(rng.integers(3, 7)), float(rng.choice([0.0, pi / 3]))))
        elif kind == 5:
            pen.line(inside((0.5, 0.0), (0.5, 1.0)), thick * side)
            pen.line(inside((0.0, 0.5), (1.0, 0.5)), thick * side)
        elif kind == 6:
            pen.disc((middle[0], y + 0.68 * side), 0.32 * side)
            pen.polygon(inside((0.2, 0.6), (0.5, 0.0), (0.8, 0.6)))
        elif kind == 7:
            pen.line(inside((0.05, 0.55), (0.38, 0.9), (0.95, 0.1)), thick * side)
        elif kind == 8:
            pen.polygon(inside((0.6, 0.0), (0.15, 0.58), (0.47, 0.58), (0.35, 1.0), (0.85, 0.4), (0.53, 0.4)))
        else:
            pen.polygon(inside((0.0, 0.0), (0.5, 0.0), (0.5, 0.5)))
            pen.disc((x + 0.75 * side, y + 0.75 * side), 0.25 * side)
            pen.rectangle((x, y + 0.55 * side, x + 0.45 * side, y + side))

    sheet.fill((x, y, x + side, y + side), ink, paint)
