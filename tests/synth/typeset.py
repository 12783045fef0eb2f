"""One line of type set letter by letter, with known shifts: ground truth for its spacing."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw, features

from synth.fonts import Face

OVERSAMPLING = 4
_RULER_PX = 1000.0
_SHAPED = bool(features.check("raqm"))
"""Whether Pillow can read every face's kerning; without, only that of older tables."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SetLine:
    """A line as set.

    Attributes
    ----------
    cover
        (H, W) float32, the share of each pixel that ink covers.
    em_px
        Size of the type.
    """

    text: str
    cover: npt.NDArray[np.float32]
    em_px: float

    @property
    def ink(self) -> npt.NDArray[np.bool_]:
        """Pixels more than half covered."""
        return self.cover > 0.5


def set_line(
    text: str,
    face: Face,
    *,
    cap_px: float,
    tracking_em: float = 0.0,
    word_space: float = 1.0,
    shifts_em: Mapping[int, float] | None = None,
    start_px: float = 0.0,
    kerned: bool = True,
) -> SetLine:
    """Set a line with the face's own spacing and kerning, no ligatures.

    Parameters
    ----------
    word_space
        Width of the spaces as a multiple of the face's own.
    shifts_em
        By the index of a letter: how far it and all that follow are moved to the right.
    start_px
        Where the first letter starts in its pixel, 0 to 1.
    """
    em_px = cap_px / face.cap_em
    font = face.at(em_px * OVERSAMPLING)
    xs = [0.0]
    for index, letter in enumerate(text[1:], start=1):
        kern_em = _kern_em(face, text[index - 1], letter) if kerned else 0.0
        own_em = _advance_em(face, text[index - 1]) * (word_space if text[index - 1] == " " else 1.0)
        step_em = own_em + kern_em + tracking_em + (shifts_em or {}).get(index, 0.0)
        xs.append(xs[-1] + step_em * em_px)
    margin = round(1.2 * em_px) + 4
    width, height = int(xs[-1] + 2 * em_px) + 2 * margin, round(1.6 * em_px) + 8
    sheet = np.zeros((height * OVERSAMPLING, width * OVERSAMPLING), dtype=np.uint8)
    for x, letter in zip(xs, text, strict=True):
        if letter == " ":
            continue
        at = (round((margin + start_px + x) * OVERSAMPLING), round(1.15 * em_px) * OVERSAMPLING)
        box = font.getbbox(letter, anchor="ls")
        left, top = int(at[0] + box[0]) - 2, int(at[1] + box[1]) - 2
        one = Image.new("L", (int(box[2] - box[0]) + 6, int(box[3] - box[1]) + 6), 0)
        ImageDraw.Draw(one).text((at[0] - left, at[1] - top), letter, font=font, fill=255, anchor="ls")
        piece = np.asarray(one)
        rows, columns = slice(top, top + piece.shape[0]), slice(left, left + piece.shape[1])
        sheet[rows, columns] = np.maximum(sheet[rows, columns], piece)
    blocks = sheet.reshape(height, OVERSAMPLING, width, OVERSAMPLING).astype(np.float32)
    return SetLine(text=text, cover=blocks.mean(axis=(1, 3)) / 255, em_px=em_px)


@cache
def _advance_em(face: Face, letter: str) -> float:
    return float(face.at(_RULER_PX).getlength(letter)) / _RULER_PX


@cache
def _kern_em(face: Face, a: str, b: str) -> float:
    font = face.at(_RULER_PX)
    if " " in (a, b):
        return 0.0
    apart = font.getlength(a) + font.getlength(b)
    # ligatures are narrower than their letters and would pass for kerning
    together = font.getlength(a + b, features=["-liga", "-clig"]) if _SHAPED else font.getlength(a + b)
    return float(together - apart) / _RULER_PX
