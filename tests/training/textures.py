"""Shapes, textures, strokes and pictures that hold no text."""

import math

from PIL import Image

from training.grounds import photo_piece
from training.patch import Patch, Point


def polygons(p: Patch) -> None:
    for _ in range(p.rng.randrange(1, 6)):
        x, y, r = p.rng.uniform(0, p.width), p.rng.uniform(0, p.height), p.unit(10, 300)
        n = p.rng.randrange(3, 9)
        points = [
            (x + r * p.rng.uniform(0.3, 1) * math.cos(t), y + r * p.rng.uniform(0.3, 1) * math.sin(t))
            for t in (2 * math.pi * i / n for i in range(n))
        ]
        p.draw.polygon(points, fill=p.rng.choice((p.ink, p.second)))


def hatching(p: Patch) -> None:
    pitch = p.unit(6, 60)
    wide = max(1, round(pitch * p.rng.uniform(0.1, 0.6)))
    lean = p.rng.choice((0.0, p.rng.uniform(-2, 2) * p.height))
    x = -abs(lean)
    while x < p.width + abs(lean):
        p.draw.line((x, 0, x + lean, p.height), fill=p.ink, width=wide)
        x += pitch * (1 if p.rng.random() < 0.9 else p.rng.uniform(0.7, 1.4))


def checkers(p: Patch) -> None:
    pitch = p.unit(8, 80)
    for j in range(int(p.height / pitch)):
        for i in range(int(p.width / pitch)):
            if (i + j) % 2:
                p.draw.rectangle((i * pitch, j * pitch, (i + 1) * pitch, (j + 1) * pitch), fill=p.ink)


def rings(p: Patch) -> None:
    x, y, step = p.rng.uniform(0, p.width), p.rng.uniform(0, p.height), p.unit(8, 60)
    wide = max(1, round(step * p.rng.uniform(0.1, 0.6)))
    for i in range(1, p.rng.randrange(3, 20)):
        r = i * step
        p.draw.ellipse((x - r, y - r, x + r, y + r), outline=p.ink, width=wide)


def curve(p: Patch, start: Point, turn: float, length: float, bend: float) -> list[Point]:
    """Return the points of a wandering stroke."""
    x, y = start
    points = [start]
    for _ in range(12):
        turn += p.rng.gauss(0, bend)
        x, y = x + length / 12 * math.cos(turn), y + length / 12 * math.sin(turn)
        points.append((x, y))
    return points


def hair(p: Patch) -> None:
    """Hair, grass, brush strokes: many bent lines of about one direction."""
    base, bend, wide = p.rng.uniform(0, 2 * math.pi), p.rng.uniform(0.02, 0.5), p.unit(1.5, 14)
    for _ in range(p.rng.randrange(15, 160)):
        start = (p.rng.uniform(0, p.width), p.rng.uniform(0, p.height))
        points = curve(p, start, base + p.rng.gauss(0, 0.3), p.unit(20, 500), bend)
        fill = p.ink if p.rng.random() < 0.8 else p.second
        p.draw.line(points, fill=fill, width=max(1, round(wide * p.rng.uniform(0.5, 1.3))), joint="curve")


def scribble(p: Patch) -> None:
    """Handwriting-like loops that are no letters, maps, contour lines, cables."""
    for _ in range(p.rng.randrange(1, 12)):
        start = (p.rng.uniform(0, p.width), p.rng.uniform(0, p.height))
        points = curve(p, start, p.rng.uniform(0, 6.3), p.unit(60, 1200), p.rng.uniform(0.1, 0.9))
        p.draw.line(points, fill=p.ink, width=max(1, round(p.unit(1.5, 12))), joint="curve")


def leaves(p: Patch) -> None:
    size = p.unit(10, 140)
    for _ in range(p.rng.randrange(5, 90)):
        x, y, t, s = (
            p.rng.uniform(0, p.width),
            p.rng.uniform(0, p.height),
            p.rng.uniform(0, 6.3),
            size * p.rng.uniform(0.5, 1.2),
        )
        points = []
        for k in range(13):
            a = math.pi * k / 12
            u, v = s * (k / 6 - 1), s * 0.35 * math.sin(a)
            points.append((u, v))
        points += [(u, -v) for u, v in reversed(points)]
        turned = [(x + u * math.cos(t) - v * math.sin(t), y + u * math.sin(t) + v * math.cos(t)) for u, v in points]
        p.draw.polygon(turned, fill=p.ink if p.rng.random() < 0.6 else p.second)
        if p.rng.random() < 0.5:
            p.draw.line((turned[0], turned[12]), fill=p.second, width=2)


def splatter(p: Patch) -> None:
    """Drops, confetti, stars, gravel: many small shapes of many sizes."""
    size, kind = p.unit(4, 50), p.rng.randrange(4)
    for _ in range(p.rng.randrange(10, 250)):
        x, y, r = p.rng.uniform(0, p.width), p.rng.uniform(0, p.height), size * math.exp(p.rng.gauss(0, 0.6))
        fill = p.ink if p.rng.random() < 0.8 else p.second
        if kind == 0:
            p.draw.ellipse((x - r, y - r, x + r, y + r), fill=fill)
        elif kind == 1:
            p.draw.rectangle((x, y, x + r, y + r * p.rng.uniform(0.3, 1)), fill=fill)
        else:
            n, t = p.rng.randrange(3, 8), p.rng.uniform(0, 6.3)
            points = [
                (
                    x + r * p.rng.uniform(0.6, 1) * math.cos(t + 6.283 * i / n),
                    y + r * p.rng.uniform(0.6, 1) * math.sin(t + 6.283 * i / n),
                )
                for i in range(n)
            ]
            p.draw.polygon(points, fill=fill)


def tangle(p: Patch) -> None:
    """A dense mesh of thin lines in a strip or a field: wire, net, sketching, crackle."""
    wide = max(1, round(p.unit(1.5, 7)))
    tall = min(p.height, p.unit(30, 400))
    y0, bend = p.rng.uniform(0, p.height - tall), p.rng.choice((0.0, 0.1, 0.5))
    for _ in range(int(p.width * tall / p.unit(600, 6000)) % 400 + 10):
        start = (p.rng.uniform(0, p.width), y0 + p.rng.uniform(0, tall))
        points = curve(p, start, p.rng.uniform(0, 6.3), p.unit(20, 300), bend)
        p.draw.line([(x, min(max(y, y0), y0 + tall)) for x, y in points], fill=p.ink, width=wide)


def waves(p: Patch) -> None:
    long, tall, wide = p.unit(14, 200), p.unit(4, 60), max(1, round(p.unit(2, 14)))
    y = tall
    sharp = p.rng.random() < 0.4
    for _ in range(p.rng.choice((1, 1, 2, 5, 12))):
        points = []
        for x in range(0, p.width, max(2, int(long / 8))):
            t = (x / long) % 1
            points.append((x, y + tall * (abs(2 * t - 1) * 2 - 1 if sharp else math.sin(2 * math.pi * t))))
        if len(points) > 1:
            p.draw.line(points, fill=p.ink, width=wide, joint="curve")
        y += tall * p.rng.uniform(1.5, 4)


def photo(p: Patch) -> None:
    w, h = max(8, int(p.width * p.rng.uniform(0.4, 1))), max(8, int(p.height * p.rng.uniform(0.4, 1)))
    p.image.paste(Image.fromarray(photo_piece(p.rng, max(4, h // 2), max(4, w // 2))).resize((w, h)), (0, 0))


def rules(p: Patch) -> None:
    y = p.rng.uniform(0, 20)
    while y < p.height:
        p.draw.rectangle((0, y, p.width * p.rng.uniform(0.3, 1), y + p.unit(2, 14)), fill=p.ink)
        y += p.unit(10, 200)
