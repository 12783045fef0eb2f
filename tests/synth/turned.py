"""Sheets of turned lines by seed: on end both ways, or leaning by up to 30 degrees."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

import numpy as np
from PIL import Image, ImageDraw

from standback.artwork import Artwork, from_srgb8
from synth.colours import ink_for, random_colour, ratio
from synth.fonts import Face

_FINE = 4
_GAP_PX = 20
_WORDS = ("harbour", "lights", "music", "tales", "piano", "orchard", "summer", "stories", "north", "window")


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedLine:
    """What was drawn: the tight box in px, the ratio, the height of the capitals in px where there are any."""

    box_px: tuple[int, int, int, int]
    ratio: float
    cap_px: float | None


def draw_turned(
    seed: int, faces: Sequence[Face], size_mm: tuple[float, float] = (297.0, 420.0)
) -> tuple[float, Artwork, tuple[TurnedLine, ...]]:
    """Draw up to a dozen lines, capitals 5 to 14 mm high, all turned by one angle (degrees, returned first)."""
    rng = np.random.default_rng([seed, 6])
    ppi = (100.0, 150.0)[seed % 2]
    angle_deg = (90.0, -90.0, float(rng.uniform(5, 30)), -float(rng.uniform(5, 30)))[seed % 4]
    ground = random_colour(rng)
    sheet = Image.new("RGB", (round(size_mm[0] * ppi / 25.4), round(size_mm[1] * ppi / 25.4)), ground)
    lines: list[TurnedLine] = []
    for _ in range(12):
        face, cap_mm = faces[int(rng.integers(len(faces)))], float(rng.uniform(5, 14))
        words = " ".join(str(word) for word in rng.choice(_WORDS, int(rng.integers(1, 4))))
        text = words.upper() if rng.random() < 0.3 else words.capitalize()
        ink = ink_for(ground, float(np.exp(rng.uniform(log(1.8), log(15)))), random_colour(rng))
        cap_px = cap_mm * ppi / 25.4
        cover = _cover(text, face, cap_px / face.cap_em, angle_deg)
        inked = np.asarray(cover) > 0
        rows, columns = np.flatnonzero(inked.any(axis=1)), np.flatnonzero(inked.any(axis=0))
        if cover.width > sheet.width - _GAP_PX or cover.height > sheet.height - _GAP_PX:
            continue
        for _ in range(60):
            x = int(rng.integers(5, sheet.width - cover.width))
            y = int(rng.integers(5, sheet.height - cover.height))
            box = (x + int(columns[0]), y + int(rows[0]), x + int(columns[-1]) + 1, y + int(rows[-1]) + 1)
            if all(_apart(box, line.box_px) for line in lines):
                sheet.paste(Image.new("RGB", cover.size, ink), (x, y), cover)
                lines.append(TurnedLine(box_px=box, ratio=ratio(ink, ground), cap_px=cap_px))
                break
    return angle_deg, from_srgb8(np.asarray(sheet), size_mm=size_mm), tuple(lines)


def _cover(text: str, face: Face, em_px: float, angle_deg: float) -> Image.Image:
    font = face.at(em_px * _FINE)
    x0, y0, x1, y1 = (round(v) for v in font.getbbox(text, anchor="ls"))
    pad = 8 * _FINE
    level = Image.new("L", (x1 - x0 + 2 * pad, y1 - y0 + 2 * pad))
    ImageDraw.Draw(level).text((pad - x0, pad - y0), text, font=font, fill=255, anchor="ls")
    turned = level.rotate(angle_deg, Image.Resampling.BICUBIC, expand=True)
    return turned.resize((max(1, turned.width // _FINE), max(1, turned.height // _FINE)), Image.Resampling.BOX)


def _apart(a: tuple[int, int, int, int], b: tuple[int, int, int, int]) -> bool:
    return a[2] + _GAP_PX < b[0] or b[2] + _GAP_PX < a[0] or a[3] + _GAP_PX < b[1] or b[3] + _GAP_PX < a[1]
