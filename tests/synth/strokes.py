"""True stroke widths, taken from the outline set very large."""

from functools import cache

import numpy as np
from PIL import Image, ImageDraw
from skimage.morphology import medial_axis

from synth.fonts import Face
from synth.sheet import TrueLine

_LARGE_PX = 400


def true_stroke_px(line: TrueLine) -> float:
    """Median stroke width of a drawn line, along the centre line of its letters."""
    letters = "".join(c for c in line.text if c != " ")
    widths = np.concatenate([_widths_em(line.face, letter) for letter in letters])
    return float(np.median(widths)) * line.em_px


def letter_stroke_em(face: Face, letters: str) -> float:
    """Median stroke width of an alphabet in em, along the centre line of its letters."""
    return float(np.median(np.concatenate([_widths_em(face, letter) for letter in letters])))


@cache
def _widths_em(face: Face, letter: str) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Widths in em along the medial axis of one letter, without the ends where it runs into corners."""
    picture = Image.new("L", (3 * _LARGE_PX, 3 * _LARGE_PX), 0)
    draw = ImageDraw.Draw(picture)
    draw.text((_LARGE_PX, 2 * _LARGE_PX), letter, font=face.at(_LARGE_PX), fill=255, anchor="ls")
    ink = np.pad(np.asarray(picture.crop(picture.getbbox())) > 127, 2)
    axis, distance = medial_axis(ink, return_distance=True, rng=0)
    widths = 2 * distance[axis] - 0.5
    inner: np.ndarray[tuple[int], np.dtype[np.float64]] = widths[widths > 0.5 * np.median(widths)] / _LARGE_PX
    return inner
