"""The posters that speed is measured on, and the yardsticks on them; each to be called in a process apart."""

import statistics
from math import ceil
from pathlib import Path
from time import perf_counter

import numpy as np
from PIL import Image

from measure_finder import yardstick
from synth import GROUNDS, Sheet, draw_poster, measuring_faces
from synth.sheet import MM_PER_INCH, Poster

A2_MM, A4_MM, HUGE_MM = (420.0, 594.0), (210.0, 297.0), (609.6, 914.4)
SEED = 9500
WORKING_PX = 3700
"""The long side that large sheets are averaged to, as the audit searches them at most."""


def draw_a2(file: Path, ppi: float = 150.0) -> int:
    """Draw an A2, the same at any resolution; return how many lines there are on it."""
    return _saved(draw_poster(SEED, "panel", measuring_faces(), size_mm=A2_MM, ppi=ppi), file)


def draw_huge(file: Path) -> int:
    """Draw 24 x 36 in at 300 ppi on photographic content."""
    return _saved(draw_poster(SEED + 1, "photo", measuring_faces(), size_mm=HUGE_MM, ppi=300.0), file)


def draw_lines(file: Path, count: int) -> int:
    """Draw an A2 at 100 ppi with so many lines of one size in two columns."""
    sheet, face = Sheet(*A2_MM, 100.0, (246, 242, 232)), measuring_faces()[0]
    for n in range(count):
        row, column = divmod(n, 2)
        sheet.text(f"Harbour market {n + 10}", face, (30, 40, 80), (30.0 + 190 * column, 30.0 + 13.5 * row), cap_mm=6.0)
    return _saved(sheet.finish(), file)


def draw_many(folder: Path, count: int) -> None:
    """Draw so many A4 at 100 ppi, on every kind of ground in turn."""
    for n in range(count):
        kind = (*GROUNDS, "photo")[n % (len(GROUNDS) + 1)]
        _saved(draw_poster(SEED + 100 + n, kind, measuring_faces(), size_mm=A4_MM, ppi=100.0), folder / f"{n:02}.png")


def _saved(poster: Poster, file: Path) -> int:
    poster.save(file)
    return len(poster.lines)


def a2_ppi(megapixels: float) -> float:
    """Resolution at which an A2 has so many pixels."""
    width_in, height_in = (side / MM_PER_INCH for side in A2_MM)
    return float((megapixels * 1e6 / (width_in * height_in)) ** 0.5)


def detector_s(file: Path) -> float:
    """Seconds of a general text detector: see `measure_finder`."""
    with Image.open(file) as image:
        return yardstick([np.asarray(image.convert("RGB"))])


def decode_s(file: Path) -> float:
    """Seconds to decode a file with Pillow and to average what is larger down, median of three."""
    Image.MAX_IMAGE_PIXELS = None
    taken = []
    for _ in range(3):
        begun = perf_counter()
        with Image.open(file) as image:
            image.load()
            if max(image.size) > WORKING_PX:
                image.reduce(ceil(max(image.size) / WORKING_PX))
        taken.append(perf_counter() - begun)
    return statistics.median(taken)
