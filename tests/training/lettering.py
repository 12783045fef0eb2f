"""Setting lines of type: a picture of the letters' cover, and where each line's body runs."""

import math
import random
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw, ImageFont

from training.fonts import Face, FontBook
from training.words import SCRIPTS, line_of_text, number_line

Cover = npt.NDArray[np.float32]
BARE = tuple("Il1|!iOo0.,:-–—·•*+=°")


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeLine:
    """One line as set, in poster pixels.

    Attributes
    ----------
    x, y
        Where the baseline starts.
    length
        Ink length along the baseline.
    cap
        Height of the capitals, or what stands for it.
    body_top, body_bottom, ink_top, ink_bottom
        Offsets from the baseline, downwards.
    angle_deg
        Reading direction, counter-clockwise.
    letters
        Count of characters, spaces left out.
    bare
        It is one letter that could be a bar, a ring or a dot as well.
    """

    x: float
    y: float
    length: float
    cap: float
    body_top: float
    body_bottom: float
    ink_top: float
    ink_bottom: float
    angle_deg: float
    letters: int
    bare: bool

    def corners(self, top: float, bottom: float, ends: float = 0.0) -> list[tuple[float, float]]:
        """Return the corners of the strip between two offsets, `ends` longer at both ends."""
        a = math.radians(self.angle_deg)
        ux, uy, vx, vy = math.cos(a), -math.sin(a), math.sin(a), math.cos(a)
        return [
            (self.x + u * ux + v * vx, self.y + u * uy + v * vy)
            for u, v in ((-ends, top), (self.length + ends, top), (self.length + ends, bottom), (-ends, bottom))
        ]

    def moved(self, dx: float, dy: float) -> "TypeLine":
        """Return the line shifted."""
        return replace(self, x=self.x + dx, y=self.y + dy)

    def turned(self, angle_deg: float, old: tuple[float, float], new: tuple[float, float]) -> "TypeLine":
        """Return the line turned counter-clockwise about `old`, which lands on `new`."""
        a = math.radians(angle_deg)
        dx, dy = self.x - old[0], self.y - old[1]
        return replace(
            self,
            x=new[0] + dx * math.cos(a) + dy * math.sin(a),
            y=new[1] - dx * math.sin(a) + dy * math.cos(a),
            angle_deg=self.angle_deg + angle_deg,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Lines set together: their cover (H, W) uint8, and where they run in it."""

    cover: Image.Image
    lines: tuple[TypeLine, ...]
    size_px: int


def _extent(font: ImageFont.FreeTypeFont, probe: str) -> tuple[float, float]:
    box = font.getbbox(probe, anchor="ls")
    return float(box[1]), float(box[3])


def _body(font: ImageFont.FreeTypeFont, script: str, text: str) -> tuple[float, float, float]:
    """Return cap height, body top and body bottom of a line."""
    entry = SCRIPTS[script]
    letters = [c for c in text if not c.isspace()]
    if entry.cased:
        capital = {"latin": "H", "greek": "Η", "cyrillic": "Н", "armenian": "Ա"}[script]
        cap = -_extent(font, capital)[0]
        low = sum(c.islower() for c in letters)
        if low * 2 >= len(letters):
            return cap, _extent(font, entry.body)[0], 0.0
        return cap, -cap, 0.0
    if sum(c.isdigit() for c in letters) * 2 > len(letters):
        top = _extent(font, "0")[0]
        return -top, top, 0.0
    top, bottom = _extent(font, entry.body)
    if script == "arabic":
        return -top, top * entry.body_share, -top * 0.08
    factor = 1.25 if script in {"thai", "georgian"} else 1.0
    return (bottom - top) * factor, top, bottom


def _draw_line(
    draw: ImageDraw.ImageDraw,
    x: float,
    y: float,
    text: str,
    font: ImageFont.FreeTypeFont,
    tracking: float,
    stroke: int,
    spread: float = 0.0,
) -> None:
    if spread:  # justified: wider word spaces
        for word in text.split(" "):
            draw.text((x, y), word, font=font, fill=255, anchor="ls", stroke_width=stroke)
            x += font.getlength(word + " ") + spread
        return
    if not tracking:
        draw.text((x, y), text, font=font, fill=255, anchor="ls", stroke_width=stroke)
        return
    for character in text:
        draw.text((x, y), character, font=font, fill=255, anchor="ls", stroke_width=stroke)
        x += font.getlength(character) + tracking


def set_block(
    rng: random.Random,
    book: FontBook,
    face: Face,
    script: str,
    *,
    size_px: int,
    lines: int,
    words: int,
    case: str,
    align: str,
    leading: float,
    tracking_em: float,
    angle_deg: float = 0.0,
    stroke: int = 0,
    texts: list[str] | None = None,
) -> Block | None:
    """Set a block of lines; None where the face can't draw it."""
    font = book.font(face, size_px)
    tracking = tracking_em * size_px if SCRIPTS[script].cased else 0.0
    if texts is None:
        texts = [line_of_text(rng, script, case, max(1, words + rng.choice((-1, 0, 0, 0, 1)))) for _ in range(lines)]
        if rng.random() < 0.05:
            texts[rng.randrange(len(texts))] = number_line(rng)
    lacking = str.maketrans("", "", face.lacks)
    texts = [t.translate(lacking) for t in texts]
    widths = [font.getlength(t) + tracking * len(t) for t in texts]
    spreads = [0.0] * len(texts)
    if align == "justified":
        # spaces of up to 0.9 em are one line to a reader; wider ones would be columns
        for n, text in enumerate(texts[:-1]):
            spaces = text.count(" ")
            if spaces and not tracking:
                spreads[n] = min((max(widths) - widths[n]) / spaces, 0.65 * size_px)
                widths[n] += spreads[n] * spaces
    margin = int(size_px * 0.6) + 2 + stroke
    width = int(max(widths)) + 2 * margin
    step = leading * size_px
    height = int(step * (len(texts) - 1) + size_px * 1.7) + 2 * margin
    if width * height > 6e6:
        return None
    whole = Image.new("L", (width, height))
    found: list[TypeLine] = []
    for number, (text, wide, spread) in enumerate(zip(texts, widths, spreads, strict=True)):
        y = round(margin + size_px * 1.15 + number * step)
        slack = width - 2 * margin - wide
        x = margin + {"centre": slack / 2, "right": slack}.get(align, 0.0)
        strip_top, strip_bottom = max(0, y - int(size_px * 1.7)), min(height, y + int(size_px * 0.9))
        strip = Image.new("L", (width, strip_bottom - strip_top))
        _draw_line(ImageDraw.Draw(strip), x, y - strip_top, text, font, tracking, stroke, spread)
        box = strip.point(lambda v: 255 * (v > 40)).getbbox()
        letters = sum(not c.isspace() for c in text)
        if box is None or letters == 0:
            continue
        cap, top, bottom = _body(font, script, text)
        if cap <= 1 or bottom - top <= 1:
            return None
        found.append(
            TypeLine(
                x=box[0],
                y=y,
                length=box[2] - box[0],
                cap=cap,
                body_top=top,
                body_bottom=bottom,
                ink_top=min(box[1] + strip_top - y, top),
                ink_bottom=max(box[3] + strip_top - y, bottom),
                angle_deg=0.0,
                letters=letters,
                bare=text.strip() in BARE,
            )
        )
        whole.paste(255, (0, strip_top), strip)
    if not found:
        return None
    if angle_deg:
        turned = whole.rotate(angle_deg, Image.Resampling.BICUBIC, expand=True)
        old, new = (width / 2, height / 2), (turned.width / 2, turned.height / 2)
        found = [line.turned(angle_deg, old, new) for line in found]
        whole = turned
    box = whole.getbbox()
    if box is None:
        return None
    pad = 2
    box = (box[0] - pad, box[1] - pad, box[2] + pad, box[3] + pad)
    return Block(cover=whole.crop(box), lines=tuple(line.moved(-box[0], -box[1]) for line in found), size_px=size_px)
