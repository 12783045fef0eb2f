"""Good posters of invented events: everything reads from where it should, and stands off from its ground.

A poster's far station is seven sheet diagonals away, at most 5 m. From there its title reads with some
room, the date and the place do from the middle station, the small print from half a metre.
"""

from collections.abc import Sequence
from colorsys import hsv_to_rgb
from dataclasses import dataclass, replace

import numpy as np

from synth.colours import Srgb8, ink_for, luminance1, ratio, shade
from synth.fonts import Face, measuring_faces
from synth.plans import Block, Plan, Setting

PPI = 200.0
"""As fine as the eye at half a metre: one pixel fills less than a minute of arc."""
A4_MM, A3_MM = (210.0, 297.0), (297.0, 420.0)
LAYOUTS = ("column", "centred", "banner", "footed", "right")
PALETTES = ("dark on light", "light on dark", "coloured")

_TITLES = (
    "River Night", "Glass Garden", "Harbour Tales", "Lamp Jazz", "Quiet Mill", "Winter Choir",
    "Seven Windows", "Amber Songs", "Island Letters", "Cellar Stories", "North Quay", "Paper Moon",
)  # fmt: skip
_DATES = ("Saturday 14 June, 19:30", "Fri 2 March, 8 pm", "Sunday 27 July, 11:00", "12.09.2031, 20:00")
_PLACES = ("Old Mill Hall", "Quay Theatre, Harbour Street", "The Orchard, North Road", "Lamp House, Cellar 5")
_SMALL = (
    "Tickets at the door and in the book shop by the mill",
    "Doors open one hour before, the bar stays open late",
    "Free entry for children, please bring a warm coat",
    "Take the ferry from the old harbour, it runs all night",
    "With songs from the valley and stories from the coast",
    "No parking near the hall, the last train goes at midnight",
)
_HEADS = (
    "Caladea-Bold", "FjallaOne-Regular", "FredokaOne-Regular", "HankenGrotesk-Bold", "Lato-Black",
    "Manrope-ExtraBold", "Roboto-Bold", "SourceSansPro-Black", "SourceSerifPro-Bold",
)  # fmt: skip
_BODIES = (
    "Caladea-Regular", "HankenGrotesk-Medium", "Lato-Regular", "Manrope-Medium", "Roboto-Regular",
    "SourceSansPro-Semibold", "SourceSerifPro-Regular",
)  # fmt: skip
_FIGURES = ("disc", "arch", "peaks")


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """Colours of a poster: inks are well off their grounds."""

    ground: Srgb8
    ink: Srgb8
    second_ink: Srgb8
    band: Srgb8
    band_ink: Srgb8
    figure: Srgb8


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """Heights in mm on an A4 sheet; larger sheets have them larger in proportion."""

    title_cap_mm: float = 15.0
    support_x_mm: float | None = 5.0
    support_cap_mm: float | None = None
    small_x_mm: float = 2.4


def palette(rng: np.random.Generator, kind: str) -> Palette:
    """Draw colours of one kind; every ratio of an ink to its ground is 7 or more."""
    hue, other = _vivid(rng), _vivid(rng)
    white, black = (255, 255, 255), (10, 10, 14)
    if kind == "dark on light":
        ground = shade(hue, white, float(rng.uniform(0.0, 0.12)))
    elif kind == "light on dark":
        ground = shade(hue, black, float(rng.uniform(0.0, 0.15)))
    else:
        ground = hue
        # a middle tone takes neither black nor white at 7:1
        while max(ratio(ground, white), ratio(ground, black)) < 9.0:
            ground = shade(white if luminance1(ground) > 0.18 else black, ground, 0.1)
    ink = ink_for(ground, float(rng.uniform(9, 15)), hue if kind != "coloured" else other)
    second = ink_for(ground, float(rng.uniform(7, 9)), other)
    return Palette(
        ground=ground,
        ink=ink,
        second_ink=second,
        band=ink,
        band_ink=ground,
        figure=ink_for(ground, float(rng.uniform(3.5, 6)), other),
    )


def good_plan(
    rng: np.random.Generator,
    *,
    layout: str,
    colours: str,
    size_mm: tuple[float, float] = A4_MM,
    ppi: float = PPI,
    sizes: Sizes | None = None,
) -> Plan:
    """Set a good poster.

    Parameters
    ----------
    layout, colours
        One of `LAYOUTS`, one of `PALETTES`.
    sizes
        Heights of the type; drawn where None.
    """
    unit = size_mm[0] / A4_MM[0]
    sizes = sizes or _sizes(rng)
    look = palette(rng, colours)
    head, body = _face(rng, _HEADS), _face(rng, _BODIES)
    margin_mm = float(rng.uniform(14, 22)) * unit
    align = {"centred": "centre", "right": "right"}.get(layout, "left")
    title = _title(rng, head, look.ink, sizes.title_cap_mm * unit, size_mm[0] - 2 * margin_mm)
    support = [
        Setting(
            role=role,
            text=str(rng.choice(texts)),
            face=body,
            ink=look.second_ink,
            cap_mm=None if sizes.support_cap_mm is None else sizes.support_cap_mm * unit,
            x_mm=None if sizes.support_cap_mm is not None else (sizes.support_x_mm or 0.0) * unit,
        )
        for role, texts in (("date", _DATES), ("place", _PLACES))
    ]
    if sizes.support_cap_mm is not None:
        support = [_capitals(line) for line in support]
    small = [
        Setting(role="small", text=str(text), face=body, ink=look.ink, x_mm=sizes.small_x_mm * unit)
        for text in rng.choice(_SMALL, int(rng.integers(3, 5)), replace=False)
    ]
    headline = Block(lines=title, gap_mm=14 * unit, leading=1.15, align=align)
    facts = Block(lines=tuple(support), gap_mm=11 * unit, leading=1.45, align=align)
    print_ = Block(lines=tuple(small), gap_mm=12 * unit, leading=1.45, align=align)
    figure = Block(figure=str(rng.choice(_FIGURES)), ground=look.figure, gap_mm=14 * unit)
    match layout:
        case "column":
            blocks = (headline, facts, figure, print_)
        case "centred":
            blocks = (figure, headline, facts, print_)
        case "banner":
            blocks = (_on_band(headline, look), facts, figure, print_)
        case "footed":
            blocks = (headline, figure, facts, _on_band(print_, look))
        case "right":
            blocks = (facts, headline, figure, print_)
        case _:
            raise ValueError(f"no such layout: {layout}")
    return Plan(size_mm=size_mm, ppi=ppi, ground=look.ground, blocks=blocks, margin_mm=margin_mm)


def _sizes(rng: np.random.Generator) -> Sizes:
    return Sizes(
        title_cap_mm=float(rng.uniform(15, 19)),
        support_x_mm=float(rng.uniform(4.6, 5.4)),
        small_x_mm=float(rng.uniform(2.3, 2.5)),
    )


def _title(rng: np.random.Generator, face: Face, ink: Srgb8, cap_mm: float, width_mm: float) -> tuple[Setting, ...]:
    """Set a title on one line where it fits, else each word on its own."""
    words = str(rng.choice(_TITLES))
    whole = Setting(role="title", text=words.upper(), face=face, ink=ink, cap_mm=cap_mm)
    if rng.random() < 0.4:
        whole = Setting(role="title", text=words, face=face, ink=ink, x_mm=0.8 * cap_mm)
    if whole.width_mm <= width_mm:
        return (whole,)
    lines = [replace(whole, text=word) for word in whole.text.split()]
    widest = max(line.width_mm for line in lines)
    return tuple(line.scaled(min(1.0, width_mm / widest)) for line in lines)


def _capitals(line: Setting) -> Setting:
    return replace(line, text=line.text.upper())


def _on_band(block: Block, look: Palette) -> Block:
    return replace(block, ground=look.band, lines=tuple(replace(line, ink=look.band_ink) for line in block.lines))


def _vivid(rng: np.random.Generator) -> Srgb8:
    r, g, b = (round(255 * v) for v in hsv_to_rgb(float(rng.random()), float(rng.uniform(0.5, 1.0)), 0.8))
    return (r, g, b)


def _face(rng: np.random.Generator, names: Sequence[str]) -> Face:
    name = str(rng.choice(names))
    return next(face for face in measuring_faces() if face.path.stem == name)
