"""The drawing of the poster: a heron with a spoon, a bowl, the sun, a fish and the tide.

Everything has its place in mm on an A2 sheet, x to the right and y down. A `Pen` says how heavily the
small parts are drawn, so that both drafts are by the same hand.
"""

from dataclasses import dataclass
from math import cos, pi, radians, sin

import numpy as np

from canvas import Canvas, Colour, Curve, Point

SAFFRON = "#F6BE3B"
VERMILION = "#CB3823"
INK = "#08222B"
SEA = "#0B3540"
TEAL = "#20727C"
MIST = "#7FB0B2"
CREAM = "#FFF3D9"

WAVE_HEIGHT_MM = 5.0
WAVE_LENGTH_MM = 105.0
GOLDEN_SECTION = 0.618


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """How heavily the small parts are drawn.

    Attributes
    ----------
    line_mm
        Width of the plumes, the wisps of steam, the ripples and the shafts of the feathers.
    plumes, shafts, ripples
        How many of each.
    bubble_mm, bubbles, bubble
        Radius, number and colour of the fish's bubbles.
    """

    line_mm: float
    plumes: int
    shafts: int
    ripples: int
    bubble_mm: float
    bubbles: int
    bubble: Colour


def sun(canvas: Canvas) -> None:
    """Hang the sun behind the heron's head."""
    canvas.disc((329, 111), 67, VERMILION)


def heron(canvas: Canvas, pen: Pen) -> None:
    """Stand the heron on one leg, a spoon in its beak."""
    _legs(canvas)
    _body(canvas)
    _plumes(canvas, pen)
    _wing(canvas, pen)
    _head(canvas)
    _spoon(canvas)


def _legs(canvas: Canvas) -> None:
    canvas.ribbon([(356, 312), (352, 334), (353, 358)], (24, 10, 6), INK)
    canvas.ribbon([(353, 358), (351, 395), (354, 432)], (6, 5, 6), INK)
    canvas.disc((353, 358), 4.5, INK)
    canvas.ribbon([(340, 308), (330, 326), (316, 348)], (24, 12, 6), INK)
    canvas.ribbon([(316, 348), (325, 366), (338, 380)], (6, 5, 5), INK)
    canvas.disc((316, 348), 4.5, INK)
    canvas.ribbon([(338, 379), (329, 384), (323, 389)], (5, 3.6, 2), INK)
    canvas.ribbon([(338, 379), (335, 388), (331, 395)], (5, 3.6, 2), INK)
    canvas.ribbon([(338, 379), (342, 387), (343, 395)], (5, 3.6, 2), INK)


def _body(canvas: Canvas) -> None:
    back_to_belly = [(368, 254), (390, 286), (402, 324), (384, 338), (346, 336), (316, 318), (299, 288)]
    canvas.blob([(292, 246), (312, 228), (340, 234), *back_to_belly], INK)
    neck = [(318, 60), (337, 66), (347, 88), (344, 120), (329, 155), (314, 188), (308, 222), (316, 252)]
    canvas.ribbon([*neck, (332, 266)], (18, 19, 20, 21, 23, 27, 34, 46, 48), INK)
    for x, y in ((288, 286), (293, 300), (301, 312)):
        canvas.ribbon([(x + 14, y - 52), (x + 4, y - 24), (x, y)], (16, 12, 1.5), INK)


def _plumes(canvas: Canvas, pen: Pen) -> None:
    throat = [(336, 82), (341.5, 99), (338, 122), (323, 155), (308, 186), (302, 212), (301, 234)]
    canvas.ribbon(throat, (4, 6, 7, 8, 9, 9, 6), CREAM)
    for across in np.linspace(-1, 1, pen.plumes):
        root_x, tip_x = 301 + 2.4 * across, 305 + 10 * across
        tip_y = 264 + 26 * cos(1.2 * across + 0.2)
        plume = [(root_x, 227), (root_x + 2 * across, 246), (tip_x, tip_y)]
        canvas.ribbon(plume, (pen.line_mm, 1.3 * pen.line_mm, 0.5 * pen.line_mm), CREAM)


def _wing(canvas: Canvas, pen: Pen) -> None:
    roots = ((318, 280), (326, 268), (336, 258), (346, 250))
    for colour, width_mm, tips in (
        (MIST, 17, ((378, 356), (390, 349), (399, 338), (404, 325))),
        (CREAM, 15, ((356, 328), (370, 318), (381, 305), (386, 290))),
        (TEAL, 13, ((341, 304), (354, 294), (363, 280), (366, 264))),
    ):
        for root, tip in zip(roots, tips, strict=True):
            middle = (0.4 * root[0] + 0.6 * tip[0] + 2, 0.4 * root[1] + 0.6 * tip[1] - 3)
            feather = [root, middle, tip]
            canvas.ribbon(feather, (0.6 * width_mm + 4, width_mm + 4, width_mm + 4, 2), INK)
            canvas.ribbon(feather, (0.6 * width_mm, width_mm, width_mm, 0.4), colour)
            _shafts(canvas, pen, middle, tip, width_mm)


def _shafts(canvas: Canvas, pen: Pen, middle: Point, tip: Point, width_mm: float) -> None:
    along = np.subtract(tip, middle)
    across = np.array([-along[1], along[0]]) / np.hypot(*along) * width_mm
    for k in range(pen.shafts):
        aside = ((k + 0.5) / pen.shafts - 0.5) * 0.8 * across
        ends = [np.add(middle, aside + share * along) for share in (0.1, 0.3, 0.5)]
        canvas.ribbon([(x, y) for x, y in ends], (0.7 * pen.line_mm, 0.7 * pen.line_mm), INK)


def _head(canvas: Canvas) -> None:
    for bend, tip in (((352, 48), (388, 76)), ((350, 58), (374, 94))):
        canvas.ribbon([(322, 55), bend, tip], (9, 8, 6, 1.5), INK)
    canvas.blob([(292, 63), (302, 51), (318, 46), (333, 50), (340, 63), (330, 75), (310, 77), (298, 74)], INK)
    canvas.shape([(303, 54), (228, 85), (303, 75)], INK)
    canvas.ribbon([(298, 68.5), (276, 73.5), (252, 79)], (2.4, 3.4, 1), CREAM)
    canvas.blob([(298, 64), (306, 57), (320, 54.5), (333, 61), (322, 69), (306, 71)], CREAM)
    canvas.disc((312, 62.5), 6.2, INK)
    canvas.disc((312, 62.5), 4.6, SAFFRON)
    canvas.disc((309.8, 62.5), 2.4, INK)
    canvas.ribbon([(297, 59.5), (308, 54.5), (322, 53), (336, 58)], (2, 4, 4, 2), INK)


def _spoon(canvas: Canvas) -> None:
    handle = [(247, 106), (241, 82), (232, 57)]
    canvas.ribbon(handle, (8, 6.5, 6.5), INK)
    canvas.blob([(233, 60), (219, 49), (214, 35), (219, 28), (228, 28), (237, 39), (239, 53)], INK)
    canvas.ribbon(handle, (4, 2.6, 2.6), CREAM)
    canvas.blob([(231, 54), (222, 46), (218, 36), (221, 32), (227, 32), (233, 40), (235, 50)], CREAM)


def bowl(canvas: Canvas, pen: Pen, *, rim_mm: Point, radius_mm: float, tilt_deg: float = 0.0) -> None:
    """Set down a steaming bowl with the middle of its rim at `rim_mm`."""
    right, down = radius_mm * cos(radians(tilt_deg)), radius_mm * sin(radians(tilt_deg))

    def at(x: float, y: float) -> Point:
        return (rim_mm[0] + x * right - y * down, rim_mm[1] + x * down + y * right)

    canvas.shape([at(cos(a), 0.86 * sin(a)) for a in np.linspace(0, pi, 49)], VERMILION)
    canvas.shape([at(-0.42, 0.72), at(0.42, 0.72), at(0.5, 1.02), at(-0.5, 1.02)], INK)
    canvas.ribbon([at(-1, 0), at(1, 0)], (0.18 * radius_mm, 0.18 * radius_mm), INK)
    for x in (-0.66, -0.33, 0, 0.33, 0.66):
        canvas.disc(at(x, 0.36), 0.11 * radius_mm, CREAM)
    for x, rise in ((-0.5, 0.95), (0, 1.25), (0.5, 0.95)):
        curl = ((0, 0), (-0.17, 0.27), (0.12, 0.63), (0, 1))
        wisp = [at(x + sway, -0.3 - share * rise) for sway, share in curl]
        canvas.ribbon(wisp, [share * pen.line_mm for share in (0.8, 1.8, 1.5, 0.6)], INK)


def sea(canvas: Canvas, pen: Pen) -> None:
    """Let the tide in, over the heron's foot."""
    far, near = _crest(level_mm=403, phase_mm=10), _crest(level_mm=417, phase_mm=60)
    _tide(canvas, far, TEAL)
    for k in range(pen.ripples):
        share = (k + 0.85) / pen.ripples
        canvas.ribbon([(x, y) for x, y in (1 - share) * far + share * near], (pen.line_mm, pen.line_mm), MIST)
    _tide(canvas, near, SEA)


def _crest(*, level_mm: float, phase_mm: float) -> Curve:
    x = np.arange(-4.0, 428.0, 2.0)
    return np.stack([x, level_mm + WAVE_HEIGHT_MM * np.sin(2 * pi * (x + phase_mm) / WAVE_LENGTH_MM)], axis=1)


def _tide(canvas: Canvas, crest: Curve, colour: Colour) -> None:
    canvas.shape(np.vstack([crest, [(430, 600), (-10, 600)]]), colour)


def fish(canvas: Canvas, pen: Pen) -> None:
    """Let a fish look up at the date, bubbling."""
    canvas.blob([(336, 551), (350, 538), (368, 539), (382, 551), (368, 562), (350, 564)], MIST)
    canvas.shape([(376, 551), (396, 536), (391, 551), (396, 566)], MIST)
    for x in (358, 366, 374):
        canvas.ribbon([(x, 542), (x + 3, 551), (x, 560)], (2, 3, 2), SEA)
    canvas.disc((348, 548), 4.2, CREAM)
    canvas.disc((347, 548), 2.3, INK)
    for k in range(pen.bubbles):
        rise = (k + 0.5) / pen.bubbles
        sway = sin(2 * pi * GOLDEN_SECTION * k)
        centre_mm = (343 + 32 * rise + (4 + 6 * rise) * sway, 534 - 85 * rise)
        canvas.disc(centre_mm, pen.bubble_mm * (0.7 + 0.6 * rise), pen.bubble)
