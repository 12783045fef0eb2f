"""Single signs as large as display letters, none a letter: icons, arrows, discs, stars, blobs, logos' shapes."""

import math
from collections.abc import Callable

from training.patch import Patch, Point
from training.signs import icon

LETTERED = (range(0x2460, 0x2500), range(0x2776, 0x2794))
"""Signs that hold letters or numerals."""


def emblem(p: Patch) -> None:
    """Draw one sign that fills the patch; its ground is left as it is."""
    p.rng.choices(list(_EMBLEMS), list(_EMBLEMS.values()))[0](p)


def _pictogram(p: Patch) -> None:
    path = p.rng.choice(p.book.pictograms)
    signs = [c for c in p.book.signs[path] if not any(c in lettered for lettered in LETTERED)]
    font = p.book.at_path(path, max(8, round(p.side * 0.95)))
    p.draw.text((p.width / 2, p.height / 2), chr(p.rng.choice(signs)), font=font, fill=p.ink, anchor="mm")


def _icon(p: Patch) -> None:
    icon(p, 0, 0, p.side)


def _shape(p: Patch, points: list[Point]) -> None:
    """Fill or outline a polygon given in shares of the patch's side."""
    wide = max(1, round(p.side * p.rng.uniform(0.03, 0.14)))
    flat = [(x * p.side, y * p.side) for x, y in points]
    if p.rng.random() < 0.65:
        p.draw.polygon(flat, fill=p.ink)
    else:
        p.draw.line([*flat, flat[0]], fill=p.ink, width=wide, joint="curve")


def _turned(points: list[Point], turn: float) -> list[Point]:
    c, s = math.cos(turn), math.sin(turn)
    return [(0.5 + (x - 0.5) * c - (y - 0.5) * s, 0.5 + (x - 0.5) * s + (y - 0.5) * c) for x, y in points]


def _disc(p: Patch) -> None:
    s, kind = p.side, p.rng.random()
    wide = max(1, round(s * p.rng.uniform(0.03, 0.3)))
    box = (0, 0, s * p.rng.choice((1, 1, 1, p.rng.uniform(0.6, 1))), s)
    if kind < 0.4:
        p.draw.ellipse(box, fill=p.ink)
    elif kind < 0.75:
        p.draw.ellipse(box, outline=p.ink, width=wide)
        if p.rng.random() < 0.4:
            q = s * p.rng.uniform(0.25, 0.42)
            p.draw.ellipse((q, q, s - q, s - q), fill=p.rng.choice((p.ink, p.second)))
    elif kind < 0.9:
        p.draw.pieslice(box, p.rng.randrange(360), p.rng.randrange(360, 700), fill=p.ink)
    else:
        first = p.rng.choice((0, 90, 180, 270))
        p.draw.pieslice(box, first, first + p.rng.choice((90, 180, 180, 270)), fill=p.ink)


def _star(p: Patch) -> None:
    n, inner = p.rng.choice((4, 5, 5, 6, 8, 12, 16)), p.rng.uniform(0.15, 0.85)
    turn = p.rng.choice((0.0, p.rng.uniform(0, 1)))
    _shape(p, [
        (0.5 + 0.5 * r * math.sin(a), 0.5 - 0.5 * r * math.cos(a))
        for k in range(2 * n)
        for r, a in ((1.0 if k % 2 == 0 else inner, turn + k * math.pi / n),)
    ])  # fmt: skip


def _polygon(p: Patch) -> None:
    n, turn = p.rng.choice((3, 3, 4, 4, 5, 6, 8)), p.rng.choice((0.0, math.pi / 4, math.pi / 2, p.rng.uniform(0, 6)))
    _shape(p, [(0.5 + 0.5 * math.sin(turn + k * math.tau / n), 0.5 - 0.5 * math.cos(turn + k * math.tau / n))
               for k in range(n)])  # fmt: skip


def _arrow(p: Patch) -> None:
    turn = p.rng.choice((0.0, 1.0, 2.0, 3.0, p.rng.uniform(0, 4))) * math.pi / 2
    shaft, neck, barb = p.rng.uniform(0.06, 0.22), p.rng.uniform(0.35, 0.7), p.rng.uniform(0.25, 0.5)
    if p.rng.random() < 0.5:
        points = [(0, 0.5 - shaft), (neck, 0.5 - shaft), (neck, 0.5 - barb), (1, 0.5), (neck, 0.5 + barb),
                  (neck, 0.5 + shaft), (0, 0.5 + shaft)]  # fmt: skip
        _shape(p, _turned(points, turn))
        return
    wide = max(1, round(p.side * p.rng.uniform(0.05, 0.2)))
    head = [(1 - barb * 0.8, 0.5 - barb), (0.95, 0.5), (1 - barb * 0.8, 0.5 + barb)]
    strokes = [head] if p.rng.random() < 0.3 else [head, [(0.05, 0.5), (0.95, 0.5)]]
    for stroke in strokes:
        p.draw.line([(x * p.side, y * p.side) for x, y in _turned(stroke, turn)], fill=p.ink, width=wide, joint="curve")


def _blob(p: Patch) -> None:
    """A closed curve with soft bumps: stains, clouds, pebbles, leaves."""
    waves = [(k, p.rng.uniform(0, 0.35) / k, p.rng.uniform(0, math.tau)) for k in range(2, p.rng.randrange(4, 9))]
    squeeze, turn = p.rng.uniform(0.4, 1.0), p.rng.uniform(0, math.tau)
    outline = []
    for k in range(72):
        a = k * math.tau / 72
        r = 0.36 * (1 + sum(size * math.cos(n * a + shift) for n, size, shift in waves))
        outline.append((0.5 + r * math.cos(a), 0.5 + r * squeeze * math.sin(a)))
    _shape(p, _turned(outline, turn))


def _cross(p: Patch) -> None:
    w = p.rng.uniform(0.05, 0.2)
    a, b = 0.5 - w, 0.5 + w
    points = [(a, 0), (b, 0), (b, a), (1, a), (1, b), (b, b), (b, 1), (a, 1), (a, b), (0, b), (0, a), (a, a)]
    _shape(p, points)


def _heart(p: Patch) -> None:
    outline = []
    for k in range(60):
        t = k * math.tau / 60
        x = 16 * math.sin(t) ** 3
        y = 13 * math.cos(t) - 5 * math.cos(2 * t) - 2 * math.cos(3 * t) - math.cos(4 * t)
        outline.append((0.5 + x / 34, 0.47 - y / 34))
    _shape(p, outline)


def _drop(p: Patch) -> None:
    """A drop, a pin, a leaf."""
    round_part = [(0.5 + 0.32 * math.cos(a), 0.66 + 0.32 * math.sin(a)) for a in
                  (-0.5 + k * (math.pi + 1) / 40 for k in range(41))]  # fmt: skip
    _shape(p, _turned([*round_part, (0.5, 0.02)], p.rng.choice((0.0, math.pi, p.rng.uniform(0, 6)))))


def _bubble(p: Patch) -> None:
    """A speech bubble, a card, a house, a flag: a box with something at it."""
    s, kind = p.side, p.rng.randrange(4)
    if kind == 0:
        p.draw.rounded_rectangle((0, 0, s, s * 0.72), s * p.rng.uniform(0.05, 0.35), fill=p.ink)
        p.draw.polygon((s * 0.2, s * 0.7, s * 0.5, s * 0.7, s * 0.2, s), fill=p.ink)
    elif kind == 1:
        p.draw.rounded_rectangle((0, 0, s, s), s * p.rng.uniform(0.05, 0.3), fill=p.ink)
        q = s * p.rng.uniform(0.2, 0.35)
        (p.draw.ellipse if p.rng.random() < 0.5 else p.draw.rectangle)((q, q, s - q, s - q), fill=p.second)
    elif kind == 2:
        p.draw.polygon((0, s / 2, s / 2, 0, s, s / 2), fill=p.ink)
        p.draw.rectangle((s * 0.14, s / 2, s * 0.86, s), fill=p.ink)
        if p.rng.random() < 0.7:
            p.draw.rectangle((s * 0.4, s * 0.65, s * 0.6, s), fill=p.second)
    else:
        p.draw.rectangle((s * 0.1, 0, s * 0.18, s), fill=p.ink)
        p.draw.polygon((s * 0.18, 0, s * 0.95, s * 0.22, s * 0.18, s * 0.5), fill=p.ink)


def _logo(p: Patch) -> None:
    """A few halves, quarters, bars and triangles on a grid of two or three cells a side."""
    n = p.rng.choice((2, 2, 3))
    c = p.side / n
    inks = (p.ink, p.ink, p.second) if p.rng.random() < 0.4 else (p.ink,)
    for j in range(n):
        for i in range(n):
            if p.rng.random() < 0.3:
                continue
            x, y, kind, ink = i * c, j * c, p.rng.randrange(5), p.rng.choice(inks)
            if kind == 0:
                p.draw.rectangle((x, y, x + c, y + c), fill=ink)
            elif kind == 1:
                first = p.rng.randrange(4) * 90
                u, v = (x - c if first in (90, 180) else x), (y - c if first in (180, 270) else y)
                p.draw.pieslice((u - 0, v - 0, u + 2 * c, v + 2 * c), first + 180, first + 270, fill=ink)
            elif kind == 2:
                p.draw.ellipse((x, y, x + c, y + c), fill=ink)
            elif kind == 3:
                corners = [(x, y), (x + c, y), (x + c, y + c), (x, y + c)]
                del corners[p.rng.randrange(4)]
                p.draw.polygon(corners, fill=ink)
            else:
                p.draw.ellipse((x, y, x + c, y + c), outline=ink, width=max(1, round(c * p.rng.uniform(0.1, 0.3))))


def _strokes(p: Patch) -> None:
    """Two to six straight or bent strokes that meet at no letter's places: ticks, gears' arms, twigs."""
    s, wide = p.side, max(1, round(p.side * p.rng.uniform(0.04, 0.16)))
    kind = p.rng.randrange(3)
    if kind == 0:
        p.draw.line((s * 0.05, s * 0.55, s * 0.38, s * 0.9, s * 0.95, s * 0.1), fill=p.ink, width=wide, joint="curve")
    elif kind == 1:
        n = p.rng.choice((3, 5, 6, 8))
        for k in range(n):
            a, r = k * math.tau / n + 0.3, p.rng.choice((0.0, 0.2)) * s
            x, y = math.cos(a), math.sin(a)
            p.draw.line((s / 2 + r * x, s / 2 + r * y, s / 2 + s * x / 2, s / 2 + s * y / 2), fill=p.ink, width=wide)
    else:
        for _ in range(p.rng.randrange(2, 5)):
            a, b = p.rng.uniform(0, s * 0.5), p.rng.uniform(0, s * 0.5)
            p.draw.arc((a, b, a + s * 0.5, b + s * 0.5), p.rng.randrange(360), p.rng.randrange(360, 720),
                       fill=p.ink, width=wide)  # fmt: skip


_EMBLEMS: dict[Callable[[Patch], None], float] = {
    _pictogram: 4, _icon: 1.5, _disc: 2, _star: 1.5, _polygon: 1.5, _arrow: 2, _blob: 2, _cross: 0.7, _heart: 0.7,
    _drop: 0.7, _bubble: 1.5, _logo: 2.5, _strokes: 1.2,
}  # fmt: skip
