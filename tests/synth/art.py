"""Marks that hold no text: what a finder of lines must leave alone.

Each function draws into a box of the sheet in one or two inks and takes its chances from `rng`, whose
draws don't depend on the resolution.
"""

from collections.abc import Callable

import numpy as np

from synth.colours import Srgb8
from synth.sheet import BoxMm, Pen, Sheet

Art = Callable[[Sheet, BoxMm, Srgb8, np.random.Generator], None]


def hatching(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """Parallel strokes, cut to the box."""
    x0, y0, x1, y1 = box_mm
    pitch, turn = rng.uniform(1.2, 5.0), rng.uniform(-1.2, 1.2)
    width = pitch * rng.uniform(0.12, 0.5)
    lean = (y1 - y0) * np.tan(turn) / 2

    def paint(pen: Pen) -> None:
        for x in np.arange(x0 - abs(lean), x1 + abs(lean), pitch / np.cos(turn)):
            pen.line([(x - lean, y0), (x + lean, y1)], width)

    sheet.fill(box_mm, ink, paint)


def hatch_marks(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """Rows of short leaning strokes, as high as letters."""
    x0, y0, x1, y1 = box_mm
    height = rng.uniform(3, 9)
    pitch, lean = height * rng.uniform(0.25, 0.8), height * rng.uniform(-0.5, 0.5)
    width = pitch * rng.uniform(0.15, 0.4)

    def paint(pen: Pen) -> None:
        for y in np.arange(y0, y1 - height, height * 1.5):
            for x in np.arange(x0 + abs(lean), x1 - abs(lean), pitch):
                pen.line([(x, y), (x + lean, y + height)], width)

    sheet.fill(box_mm, ink, paint)


def dots(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """A screen of equal dots on a grid, straight or staggered."""
    x0, y0, x1, y1 = box_mm
    pitch = rng.uniform(1.5, 8.0)
    radius, stagger = pitch * rng.uniform(0.12, 0.38), bool(rng.integers(2))

    def paint(pen: Pen) -> None:
        for n, y in enumerate(np.arange(y0 + pitch / 2, y1 - pitch / 2, pitch)):
            for x in np.arange(x0 + pitch / 2 + (n % 2) * stagger * pitch / 2, x1 - pitch / 2, pitch):
                pen.disc((x, y), radius)

    sheet.fill(box_mm, ink, paint)


def spray(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """Dots of all sizes anywhere."""
    x0, y0, x1, y1 = box_mm
    count = int(min((x1 - x0) * (y1 - y0) / 40, 400))
    radii = rng.gamma(2.0, 0.4, count) + 0.2
    spots = np.stack([rng.uniform(x0 + 3, x1 - 3, count), rng.uniform(y0 + 3, y1 - 3, count)], axis=1)

    def paint(pen: Pen) -> None:
        for (x, y), radius in zip(spots, radii, strict=True):
            pen.disc((x, y), radius)

    sheet.fill(box_mm, ink, paint)


def hair(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """Thin flowing strokes."""
    x0, y0, x1, y1 = box_mm
    count, width = int(rng.integers(20, 80)), rng.uniform(0.2, 0.8)
    t = np.linspace(0, 1, 40)
    starts, sway = rng.uniform(x0, x1, count), rng.normal(0, (x1 - x0) * 0.08, (count, 3))

    def paint(pen: Pen) -> None:
        for x, (a, b, c) in zip(starts, sway, strict=True):
            xs = x + a * np.sin(2 * np.pi * t) + b * t + c * t**2
            pen.line(list(zip(xs, y0 + t * (y1 - y0), strict=True)), width)

    sheet.fill(box_mm, ink, paint)


def leaves(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """Scattered pointed leaves."""
    x0, y0, x1, y1 = box_mm
    count = int(rng.integers(15, 60))
    inset = min(10.0, (y1 - y0) / 3)
    t = np.linspace(0, np.pi, 20)
    blades = []
    for _ in range(count):
        length, turn = rng.uniform(4, 18), rng.uniform(0, 2 * np.pi)
        x, y = rng.uniform(x0 + inset, x1 - inset), rng.uniform(y0 + inset, y1 - inset)
        along = np.concatenate([np.cos(t), np.cos(t[::-1])]) * length / 2
        across = np.concatenate([np.sin(t) ** 1.5, -(np.sin(t[::-1]) ** 1.5)]) * length * 0.2
        blades.append(
            list(
                zip(
                    x + along * np.cos(turn) - across * np.sin(turn),
                    y + along * np.sin(turn) + across * np.cos(turn),
                    strict=True,
                )
            )
        )

    def paint(pen: Pen) -> None:
        for blade in blades:
            pen.polygon(blade)

    sheet.fill(box_mm, ink, paint)


def checkers(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """A chessboard."""
    _cells(
        sheet,
        box_mm,
        ink,
        rng.uniform(2, 12),
        lambda rows, columns: np.indices((rows, columns)).sum(0) % 2 == 0,
    )


def code(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """A square of random modules with three finder squares, as codes have."""
    x0, y0, x1, y1 = box_mm
    modules = int(rng.choice([21, 25, 29, 33]))
    side = min(x1 - x0, y1 - y0)

    def pattern(rows: int, columns: int) -> np.ndarray[tuple[int, int], np.dtype[np.bool_]]:
        cells = rng.random((rows, columns)) < 0.5
        square = np.pad(np.pad(np.ones((3, 3), bool), 1, constant_values=False), 1, constant_values=True)
        cells[:8, :8] = cells[:8, -8:] = cells[-8:, :8] = False
        cells[:7, :7] = cells[:7, -7:] = cells[-7:, :7] = square
        return cells

    _cells(sheet, (x0, y0, x0 + side, y0 + side), ink, side / modules, pattern)


def bars(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """A column chart or a bar code: upright bars of uneven width or height."""
    x0, y0, x1, y1 = box_mm
    chart, pitch = bool(rng.integers(2)), rng.uniform(1.5, 12)
    edges = np.arange(x0, x1 - pitch, pitch)
    shares = rng.uniform(0.2, 0.9, len(edges))

    def paint(pen: Pen) -> None:
        for x, share in zip(edges, shares, strict=True):
            top = y1 - share * (y1 - y0) if chart else y0
            pen.rectangle((x, top, x + pitch * (0.7 if chart else share), y1))

    sheet.fill(box_mm, ink, paint)


def icons(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """A row of small signs of one size: discs, rings, squares, triangles, crosses, houses."""
    x0, y0, x1, y1 = box_mm
    size = min(rng.uniform(6, 20), y1 - y0)
    pitch = size * rng.uniform(1.3, 2.2)
    kinds = rng.integers(0, 6, 400)

    def paint(pen: Pen) -> None:
        for n, x in enumerate(np.arange(x0, x1 - size, pitch)):
            _sign(pen, int(kinds[n]), (x, y0), size)

    sheet.fill(box_mm, ink, paint)


def squares(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """A row of equal squares or lozenges."""
    x0, y0, x1, y1 = box_mm
    size = min(rng.uniform(3, 12), y1 - y0)
    gap, lozenge = size * rng.uniform(0.2, 1.0), bool(rng.integers(2))

    def paint(pen: Pen) -> None:
        for x in np.arange(x0, x1 - size, size + gap):
            middle, half = (x + size / 2, y0 + size / 2), size / 2
            if lozenge:
                cx, cy = middle
                pen.polygon([(cx - half, cy), (cx, cy - half), (cx + half, cy), (cx, cy + half)])
            else:
                pen.rectangle((x, y0, x + size, y0 + size))

    sheet.fill(box_mm, ink, paint)


def rings(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """Circles, large and small, some inside each other."""
    x0, y0, x1, y1 = box_mm
    reach = min(x1 - x0, y1 - y0) / 2
    circles = [
        (rng.uniform(x0 + reach * 0.6, x1 - reach * 0.6), rng.uniform(y0 + reach * 0.6, y1 - reach * 0.6), s)
        for s in rng.uniform(0.1, 0.6, int(rng.integers(3, 12)))
    ]
    width = rng.uniform(0.3, 3)

    def paint(pen: Pen) -> None:
        for x, y, share in circles:
            pen.ring((x, y), reach * share, width)

    sheet.fill(box_mm, ink, paint)


def polygons(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """A few large angular shapes."""
    x0, y0, x1, y1 = box_mm
    shapes = [
        list(zip(rng.uniform(x0, x1, n), rng.uniform(y0, y1, n), strict=True))
        for n in rng.integers(3, 6, int(rng.integers(2, 6)))
    ]

    def paint(pen: Pen) -> None:
        for points in shapes:
            pen.polygon(points)

    sheet.fill(box_mm, ink, paint)


def border(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """A frame of one, two or three rules."""
    x0, y0, x1, y1 = box_mm
    width = rng.uniform(0.3, 3)
    for n in range(int(rng.integers(1, 4))):
        inset = n * width * 2.5
        sheet.frame((x0 + inset, y0 + inset, x1 - inset, y1 - inset), width, ink)


def grid(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """An empty table."""
    x0, y0, x1, y1 = box_mm
    columns, rows = int(rng.integers(3, 9)), int(rng.integers(3, 9))
    width = rng.uniform(0.2, 1.0)
    for x in np.linspace(x0, x1 - width, columns):
        sheet.panel((x, y0, x + width, y1), ink)
    for y in np.linspace(y0, y1 - width, rows):
        sheet.panel((x0, y, x1, y + width), ink)


def waves(sheet: Sheet, box_mm: BoxMm, ink: Srgb8, rng: np.random.Generator) -> None:
    """Rows of wavy or zigzag rules."""
    x0, y0, x1, y1 = box_mm
    length, height = rng.uniform(4, 25), rng.uniform(1, 6)
    width, sharp = height * rng.uniform(0.1, 0.4), bool(rng.integers(2))
    xs = np.arange(x0, x1, length / (2 if sharp else 24))
    phase = np.pi / 2 + 2 * np.pi * (xs - x0) / length

    def paint(pen: Pen) -> None:
        for y in np.arange(y0 + height, y1 - height, height * 2.5):
            pen.line(list(zip(xs, y + height / 2 * np.sin(phase), strict=True)), width)

    sheet.fill(box_mm, ink, paint)


EVERY_ART: tuple[Art, ...] = (
    hatching, hatch_marks, dots, spray, hair, leaves, checkers, code, bars, icons, squares, rings, polygons,
    border, grid, waves,
)  # fmt: skip


def _cells(
    sheet: Sheet,
    box_mm: BoxMm,
    ink: Srgb8,
    size_mm: float,
    pattern: Callable[[int, int], np.ndarray[tuple[int, int], np.dtype[np.bool_]]],
) -> None:
    x0, y0, x1, y1 = box_mm
    filled = pattern(max(1, round((y1 - y0) / size_mm)), max(1, round((x1 - x0) / size_mm)))

    def paint(pen: Pen) -> None:
        for row, column in np.argwhere(filled):
            x, y = x0 + column * size_mm, y0 + row * size_mm
            pen.rectangle((x, y, x + size_mm, y + size_mm))

    sheet.fill(box_mm, ink, paint)


def _sign(pen: Pen, kind: int, at: tuple[float, float], size: float) -> None:
    x, y = at
    half, stroke = size / 2, size / 8
    if kind == 0:
        pen.disc((x + half, y + half), half)
    elif kind == 1:
        pen.ring((x + half, y + half), half, stroke)
    elif kind == 2:
        pen.rectangle((x, y, x + size, y + size))
    elif kind == 3:
        pen.polygon([(x, y + size), (x + half, y), (x + size, y + size)])
    elif kind == 4:
        pen.rectangle((x + half - stroke, y, x + half + stroke, y + size))
        pen.rectangle((x, y + half - stroke, x + size, y + half + stroke))
    else:
        pen.polygon([(x, y + half), (x + half, y), (x + size, y + half)])
        pen.rectangle((x + stroke, y + half, x + size - stroke, y + size))
