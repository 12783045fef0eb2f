"""Whole posters by seed: an invented event set on a flat, panelled or gradient ground, and text-free ones.

The same seed gives the same poster at any resolution.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from synth.art import EVERY_ART
from synth.colours import Srgb8, ink_for, random_colour, ratio
from synth.fonts import Face
from synth.sheet import BoxMm, Poster, Sheet

GROUNDS = ("flat", "panel", "gradient")

_TEXT = """
after all amber and at autumn ballad bring by cellar choir coast comb dance day door early entry
evening family fields first for free from garden glass guests hall harbour hill hour house in
ink island jazz jumble keeper kitchen lamp late letter light little market mill moon morning
music near night north of old on open orchard our paper people piano plum poetry quay quiet
quilt river road sail school sea seven shop singing south stage stories street summer sunday
tales tea the theatre tickets to town under valley village walk water we west wild window winter
with workshop yellow you zither
"""
_WORDS = tuple(_TEXT.split())
_PLACES = (
    "Old Mill Hall",
    "Harbour Street 12",
    "Quay Theatre",
    "The Orchard",
    "Lamp House, North Road",
    "Cellar 5",
)
_DAYS = ("Fri 14 June", "Sat 2 March", "12.09.2031", "Sunday 27 July", "3 & 4 May 2032", "MON 8 OCT")
_HOURS = ("19:30", "8 pm", "20.00", "10:00 to 18:00", "Doors 7 pm", "7.45 pm")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Look:
    """Everything a column of text needs to know."""

    rng: np.random.Generator
    head: Face
    body: Face
    least_ratio: float


def draw_poster(
    seed: int,
    kind: str,
    faces: Sequence[Face],
    *,
    size_mm: tuple[float, float] = (210.0, 297.0),
    ppi: float = 100.0,
    least_ratio: float = 1.6,
    art: bool = True,
) -> Poster:
    """Draw a poster of an invented event.

    Parameters
    ----------
    kind
        "flat", "panel" or "gradient": the ground; "photo" lays 1/f noise under everything.
    least_ratio
        Ratios of ink to ground are spread evenly on a log scale from this to 18.
    art
        Whether marks that are no text stand between the blocks.
    """
    rng = np.random.default_rng([seed, 1])
    plain = ((255, 255, 255), (18, 20, 30))[int(rng.random() < 0.4)]
    ground = random_colour(rng) if rng.random() < 0.6 else plain
    sheet = Sheet(*size_mm, ppi, ground)
    end = _near(rng, ground)
    if kind == "gradient":
        sheet.gradient(ground, end, float(rng.uniform(0, 360)))
    elif kind == "photo":
        sheet.noise(np.random.default_rng([seed, 2]), strength=float(rng.uniform(8, 40)))
    elif kind not in GROUNDS:
        raise ValueError(f"no such ground: {kind}")
    look = _Look(
        rng=rng,
        head=faces[int(rng.integers(len(faces)))],
        body=faces[int(rng.integers(len(faces)))],
        least_ratio=least_ratio,
    )
    unit = size_mm[0] / 210
    margin = float(rng.uniform(10, 22)) * unit
    box = (margin, margin, size_mm[0] - margin, size_mm[1] - margin)
    y = _headline(sheet, look, box, ground, unit)
    inks = [ink_for(ground, _any_ratio(look), random_colour(rng)) for _ in range(2)]
    if rng.random() < 0.4:
        rule = float(rng.uniform(0.3, 1.5))
        sheet.panel((box[0], y, box[2], y + rule), inks[0])
    y += 5 * unit
    panels = 1 + int(rng.integers(2)) if kind == "panel" else 0
    while y < box[3] - 12 * unit:
        left_mm = box[3] - y
        free = (box[0], y, box[2], box[3])
        choice = rng.random()
        if panels and left_mm > 45 * unit:
            y = _panel(sheet, look, free, unit)
            panels -= 1
        elif art and choice < 0.3 and left_mm > 40 * unit:
            height = float(rng.uniform(18, 50)) * unit
            strip = (box[0], y, box[2], min(y + height, box[3]))
            EVERY_ART[int(rng.integers(len(EVERY_ART)))](sheet, strip, inks[1], rng)
            y = strip[3]
        elif choice < 0.55:
            y = _row(sheet, look, free, ground, unit)
        else:
            y = _paragraph(sheet, look, free, ground, unit)
        y += float(rng.uniform(5, 14)) * unit
    return sheet.finish()


def draw_text_free(seed: int, *, size_mm: tuple[float, float] = (210.0, 297.0), ppi: float = 100.0) -> Poster:
    """Draw a poster full of marks, none of them text."""
    rng = np.random.default_rng([seed, 3])
    ground = random_colour(rng)
    sheet = Sheet(*size_mm, ppi, ground)
    if rng.random() < 0.4:
        sheet.gradient(ground, _near(rng, ground), float(rng.uniform(0, 360)))
    elif rng.random() < 0.4:
        sheet.noise(np.random.default_rng([seed, 4]), strength=float(rng.uniform(8, 40)))
    columns, rows = 2, 5
    kinds = rng.permutation(np.resize(np.arange(len(EVERY_ART)), columns * rows))
    if rng.random() < 0.5:
        kinds = rng.permutation(len(EVERY_ART))[: columns * rows]
    width, height = (size_mm[0] - 20) / columns, (size_mm[1] - 20) / rows
    for n, kind in enumerate(kinds):
        x, y = 10 + width * (n % columns), 10 + height * (n // columns)
        ink = ink_for(ground, float(np.exp(rng.uniform(np.log(1.4), np.log(15)))), random_colour(rng))
        EVERY_ART[int(kind)](sheet, (x + 3, y + 3, x + width - 3, y + height - 3), ink, rng)
    return sheet.finish()


def _headline(sheet: Sheet, look: _Look, box: BoxMm, ground: Srgb8, unit: float) -> float:
    rng = look.rng
    capitals, cap = bool(rng.integers(2)), float(rng.uniform(12, 34)) * unit
    ink = ink_for(ground, max(_any_ratio(look), 2.0), random_colour(rng))
    align = ("left", "centre")[int(rng.integers(2))]
    leading, tracking = float(rng.uniform(1.25, 1.7)), float(rng.choice([0.0, 0.0, 0.03, 0.1]))
    y = box[1]
    for _ in range(int(rng.integers(1, 4))):
        words = _words(rng, int(rng.integers(1, 3)))
        text = words.upper() if capitals else words.capitalize()
        fitting = min(cap, (box[2] - box[0]) / _width_em(look.head, text, tracking) * look.head.cap_em)
        y += max(fitting * leading, fitting + 3 * unit)
        _place(sheet, look.head, text, ink, box, y, fitting, align, tracking)
    return y + cap * 0.5


def _paragraph(sheet: Sheet, look: _Look, box: BoxMm, ground: Srgb8, unit: float) -> float:
    rng = look.rng
    cap = float(np.exp(rng.uniform(np.log(2.8), np.log(9)))) * unit
    ink = ink_for(ground, _any_ratio(look), random_colour(rng))
    align = ("left", "left", "centre", "right")[int(rng.integers(4))]
    leading = float(rng.uniform(1.75, 2.4))
    y = box[1] + cap
    for _ in range(int(rng.integers(1, 7))):
        if y > box[3]:
            break
        text = _sentence(rng, look.body, cap, (box[2] - box[0]) * float(rng.uniform(0.5, 1.0)))
        _place(sheet, look.body, text, ink, box, y, cap, align, 0.0)
        y += cap * leading
    return y - cap * leading + cap * 0.5


def _row(sheet: Sheet, look: _Look, box: BoxMm, ground: Srgb8, unit: float) -> float:
    """Set day, hour and place in one row, as far apart as columns are."""
    rng = look.rng
    cap = float(rng.uniform(3, 7)) * unit
    ink = ink_for(ground, _any_ratio(look), random_colour(rng))
    pieces = [str(rng.choice(c)) for c in (_DAYS, _HOURS, _PLACES)]
    x, y = box[0], box[1] + cap
    for piece in pieces:
        width = _width_em(look.body, piece, 0.0) * cap / look.body.cap_em
        if x + width > box[2]:
            x, y = box[0], y + cap * 2.4
        if y > box[3]:
            break
        sheet.text(piece, look.body, ink, (x, y), cap_mm=cap)
        x += width + cap * float(rng.uniform(3, 6))
    return y + cap * 0.5


def _panel(sheet: Sheet, look: _Look, box: BoxMm, unit: float) -> float:
    rng = look.rng
    height = float(rng.uniform(35, min(80 * unit, box[3] - box[1])))
    area = (box[0], box[1], box[2], box[1] + height)
    colour = random_colour(rng)
    sheet.panel(area, colour)
    if rng.random() < 0.3:
        sheet.frame(area, float(rng.uniform(0.4, 1.5)), ink_for(colour, 4, random_colour(rng)))
    inset = 7 * unit
    y = area[1] + inset
    while y < area[3] - inset - 8 * unit:
        free = (area[0] + inset, y, area[2] - inset, area[3] - inset)
        y = (_paragraph if rng.random() < 0.6 else _row)(sheet, look, free, colour, unit) + 4 * unit
    return area[3]


def _place(
    sheet: Sheet,
    face: Face,
    text: str,
    ink: Srgb8,
    box: BoxMm,
    y: float,
    cap: float,
    align: str,
    tracking: float,
) -> None:
    x = {"left": box[0], "centre": (box[0] + box[2]) / 2, "right": box[2]}[align]
    sheet.text(text, face, ink, (x, y), cap_mm=cap, align=align, tracking_em=tracking)


def _sentence(rng: np.random.Generator, face: Face, cap: float, width_mm: float) -> str:
    text = _words(rng, 2).capitalize()
    while True:
        word = str(rng.choice(_WORDS))
        word = word.capitalize() if rng.random() < 0.15 else word
        longer = f"{text} {word}" + ("," if rng.random() < 0.08 else "")
        if _width_em(face, longer, 0.0) * cap / face.cap_em > width_mm:
            return text
        text = longer


def _words(rng: np.random.Generator, count: int) -> str:
    return " ".join(str(w) for w in rng.choice(_WORDS, count))


def _width_em(face: Face, text: str, tracking: float) -> float:
    return float(face.at(200.0).getlength(text)) / 200 + tracking * len(text)


def _any_ratio(look: _Look) -> float:
    return float(np.exp(look.rng.uniform(np.log(look.least_ratio), np.log(18))))


def _near(rng: np.random.Generator, colour: Srgb8) -> Srgb8:
    """Return another end for a gradient that keeps the side of the middle grey an ink was chosen for."""
    for _ in range(200):
        other = random_colour(rng)
        if ratio(other, colour) < 1.6:
            return other
    return colour
