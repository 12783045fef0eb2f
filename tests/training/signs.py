"""Signs built much as lines of letters are, but holding none: codes, pictograms, rows, charts, pages."""

import math

from PIL import Image, ImageDraw

from training.grounds import Rgb
from training.patch import Patch, Point


def stroke_rows(p: Patch) -> None:
    """Rows of short strokes as tall as letters: tallies, grass, fences, barcodes cut short."""
    tall = p.unit(16, 90)
    pitch, wide = tall * p.rng.uniform(0.15, 0.9), max(1, round(tall * p.rng.uniform(0.05, 0.22)))
    jitter = p.rng.choice((0.0, p.rng.uniform(0, 0.5)))
    y = p.rng.uniform(0, tall)
    for _ in range(p.rng.choice((1, 1, 2, 4, 9))):
        x, lean = p.rng.uniform(0, pitch), tall * p.rng.uniform(-0.5, 0.5)
        while x < p.width and y + tall < p.height:
            t = tall * (1 - jitter * p.rng.random())
            p.draw.line((x, y + tall - t, x + lean, y + tall), fill=p.ink, width=wide)
            x += pitch * (1 + jitter * p.rng.uniform(-0.5, 0.5))
        y += tall * p.rng.uniform(1.2, 2)


def dots(p: Patch) -> None:
    pitch = p.unit(8, 90)
    r, stagger, fade = pitch * p.rng.uniform(0.1, 0.45), p.rng.random() < 0.4, p.rng.random() < 0.3
    square = p.rng.random() < 0.25
    rows = p.rng.choice((1, 1, 2, 3, 99, 99))
    for j in range(min(rows, int(p.height / pitch))):
        for i in range(int(p.width / pitch)):
            s = r * (1 - i * pitch / p.width) if fade else r
            x, y = (i + 0.5 + (j % 2) * 0.5 * stagger) * pitch, (j + 0.5) * pitch
            (p.draw.rectangle if square else p.draw.ellipse)((x - s, y - s, x + s, y + s), fill=p.ink)


def code(p: Patch) -> None:
    """A two-dimensional code: modules, three finder squares, a quiet margin."""
    n = p.rng.choice((21, 25, 25, 29, 29, 33, 37, 41, 49, 57))
    side = min(p.width, p.height) * p.rng.uniform(0.5, 1)
    m = side / (n + 8)
    dark, light = ((0, 0, 0), (255, 255, 255)) if p.rng.random() < 0.7 else (p.ink, p.second)
    x0, y0 = p.rng.uniform(0, p.width - side), p.rng.uniform(0, p.height - side)
    p.draw.rectangle((x0, y0, x0 + side, y0 + side), fill=light)
    round_modules = p.rng.random() < 0.12
    finders = p.rng.random() < 0.9
    corners = ((0, 0), (n - 7, 0), (0, n - 7))

    def cell(i: float, j: float, k: float, fill: Rgb) -> None:
        box = (x0 + (i + 4) * m, y0 + (j + 4) * m, x0 + (i + 4 + k) * m, y0 + (j + 4 + k) * m)
        if round_modules and k == 1:
            p.draw.ellipse(box, fill=fill)
        else:
            p.draw.rectangle(box, fill=fill)

    for j in range(n):
        for i in range(n):
            if p.rng.random() < 0.5 and not (finders and any(a <= i < a + 8 and b <= j < b + 8 for a, b in corners)):
                cell(i, j, 1, dark)
    if finders:
        for a, b in corners:
            cell(a, b, 7, dark)
            cell(a + 1, b + 1, 5, light)
            cell(a + 2, b + 2, 3, dark)


def barcode(p: Patch) -> None:
    x, m = p.width * 0.05, p.unit(2, 9)
    p.draw.rectangle((0, 0, p.width, p.height), fill=(255, 255, 255))
    while x < p.width * 0.95:
        w = m * p.rng.randrange(1, 5)
        p.draw.rectangle((x, p.height * 0.08, x + w, p.height * 0.92), fill=(0, 0, 0))
        x += w + m * p.rng.randrange(1, 5)


def icon(p: Patch, x: float, y: float, s: float) -> None:
    """One pictogram built from a few strokes and shapes inside a square of side `s`."""
    wide = max(1, round(s * p.rng.uniform(0.04, 0.14)))
    solid = p.rng.random() < 0.4
    shape = p.rng.randrange(5)
    if shape == 0:
        p.draw.ellipse((x, y, x + s, y + s), outline=p.ink, width=wide, fill=p.ink if solid else None)
    elif shape == 1:
        p.draw.rounded_rectangle(
            (x, y, x + s, y + s), s * 0.2, outline=p.ink, width=wide, fill=p.ink if solid else None
        )
    colour = p.second if solid and shape < 2 else p.ink
    for _ in range(p.rng.randrange(1, 6)):
        a, b = x + s * p.rng.uniform(0.15, 0.6), y + s * p.rng.uniform(0.15, 0.6)
        u, v = s * p.rng.uniform(0.12, 0.4), s * p.rng.uniform(0.12, 0.4)
        kind = p.rng.randrange(5)
        if kind == 0:
            p.draw.line((a, b, a + p.rng.choice((0, u)), b + p.rng.choice((0, v)) + 1), fill=colour, width=wide)
        elif kind == 1:
            p.draw.ellipse((a, b, a + u, b + u), outline=colour, width=wide)
        elif kind == 2:
            p.draw.rectangle((a, b, a + u, b + v), outline=colour, width=wide)
        elif kind == 3:
            p.draw.polygon((a, b, a + u, b, a + u / 2, b + v), fill=colour)
        else:
            p.draw.arc((a, b, a + u, b + v), p.rng.randrange(360), p.rng.randrange(360), fill=colour, width=wide)


def icons(p: Patch) -> None:
    """A row, a column, a grid or a scatter of pictograms, drawn here or from symbol fonts."""
    s = p.unit(14, 260)
    gap = s * p.rng.uniform(0.15, 1.2)
    font_path = p.rng.choice(p.book.pictograms) if p.rng.random() < 0.65 else None
    rows = p.rng.choice((1, 1, 1, 2, 4))
    same = p.rng.random() < 0.2
    sign = chr(p.rng.choice(p.book.signs[font_path])) if font_path else ""
    for j in range(rows):
        for i in range(p.rng.choice((1, 2, 3, 4, 6, 10))):
            x, y = i * (s + gap), j * (s + gap)
            if x + s > p.width or y + s > p.height:
                break
            if font_path:
                if not same:
                    sign = chr(p.rng.choice(p.book.signs[font_path]))
                font = p.book.at_path(font_path, max(8, round(s)))
                p.draw.text((x + s / 2, y + s / 2), sign, font=font, fill=p.ink, anchor="mm")
            else:
                icon(p, x, y, s)


def shapes_row(p: Patch) -> None:
    """Equal or nearly equal shapes in a row: bullets, ratings, colour chips, steps, stars."""
    s = p.unit(8, 120)
    gap, kind, n = s * p.rng.uniform(0.1, 1.5), p.rng.randrange(6), p.rng.randrange(2, 24)
    empty, wide = p.rng.random() < 0.4, max(1, round(s * p.rng.uniform(0.06, 0.2)))
    for i in range(n):
        x, y = i * (s + gap), p.rng.uniform(0, 0.04) * s
        fill = None if empty and p.rng.random() < 0.8 else p.rng.choice((p.ink, p.ink, p.second))
        box = (x, y, x + s, y + s)
        if x + s > p.width:
            break
        if kind == 0:
            p.draw.rectangle(box, fill=fill, outline=p.ink, width=wide)
        elif kind == 1:
            p.draw.ellipse(box, fill=fill, outline=p.ink, width=wide)
        elif kind == 2:
            p.draw.regular_polygon((x + s / 2, y + s / 2, s / 2), 3, fill=p.ink, rotation=p.rng.choice((0, 30, 90)))
        elif kind == 3:
            r = s / 2
            points = []
            for k in range(10):
                out, turn = r * (1 if k % 2 else 0.4), k * math.pi / 5
                points.append((x + r + out * math.sin(turn), y + r - out * math.cos(turn)))
            p.draw.polygon(points, fill=p.ink)
        elif kind == 4:
            p.draw.line((x, y, x + s / 2, y + s / 2, x, y + s), fill=p.ink, width=wide)
        else:
            p.draw.rounded_rectangle((x, y, x + s * p.rng.uniform(0.3, 1), y + s), s * 0.2, fill=p.ink)


def mixed_row(p: Patch) -> None:
    """Houses, discs, arrows, triangles, squares in a row, as high as letters would be."""
    s = p.unit(12, 160)
    gap, x = s * p.rng.uniform(0.05, 0.8), 0.0
    solid, wide = p.rng.random() < 0.7, max(1, round(s * p.rng.uniform(0.05, 0.15)))
    kinds = p.rng.sample(range(6), p.rng.randrange(2, 5))
    for _ in range(p.rng.choice((1, 1, 2, 3))):
        y = p.rng.uniform(0, max(p.height - s, 1))
        x = 0.0
        while x + s < p.width:
            kind = p.rng.choice(kinds)
            w = s * p.rng.uniform(0.5, 1.1)
            fill, line = (p.ink, None) if solid else (None, p.ink)
            if kind == 0:
                p.draw.polygon(
                    (x, y + s, x, y + s / 2, x + w / 2, y, x + w, y + s / 2, x + w, y + s),
                    fill=fill,
                    outline=line,
                    width=wide,
                )
            elif kind == 1:
                p.draw.ellipse((x, y, x + s, y + s), fill=fill, outline=line, width=wide)
            elif kind == 2:
                p.draw.polygon((x, y + s, x + w / 2, y, x + w, y + s), fill=fill, outline=line, width=wide)
            elif kind == 3:
                p.draw.rectangle((x, y, x + w, y + s), fill=fill, outline=line, width=wide)
            elif kind == 4:
                p.draw.line((x, y + s / 2, x + w, y + s / 2), fill=p.ink, width=wide)
                p.draw.line(
                    (x + w * 0.6, y + s * 0.2, x + w, y + s / 2, x + w * 0.6, y + s * 0.8), fill=p.ink, width=wide
                )
            else:
                p.draw.line((x + w / 2, y, x + w / 2, y + s), fill=p.ink, width=wide * 2)
                p.draw.line((x, y + s / 2, x + w, y + s / 2), fill=p.ink, width=wide * 2)
            x += max(w, s * 0.6) + gap


def chart(p: Patch) -> None:
    """Axes with ticks, bars, a line, a grid."""
    w, h, wide = p.width, p.height, max(1, round(p.unit(1.5, 8)))
    p.draw.line((w * 0.1, h * 0.05, w * 0.1, h * 0.9, w * 0.95, h * 0.9), fill=p.ink, width=wide)
    n = p.rng.randrange(4, 30)
    step = w * 0.85 / n
    kind = p.rng.randrange(3)
    y, points = h * 0.5, []
    for i in range(n):
        x = w * 0.1 + (i + 0.5) * step
        y = min(max(y + p.rng.gauss(0, h * 0.1), h * 0.1), h * 0.88)
        points.append((x, y))
        p.draw.line((x, h * 0.9, x, h * (0.9 + p.rng.choice((0.02, 0.04)))), fill=p.ink, width=wide)
        p.draw.line((w * 0.1, h * 0.9 * i / n, w * 0.08, h * 0.9 * i / n), fill=p.ink, width=wide)
        if kind == 0:
            p.draw.rectangle((x - step * 0.35, y, x + step * 0.35, h * 0.9), fill=p.second)
        elif kind == 1:
            r = max(2.0, step * 0.15)
            p.draw.ellipse((x - r, y - r, x + r, y + r), fill=p.second)
    if kind == 2:
        p.draw.line(points, fill=p.second, width=wide * 2)


def lattice(p: Patch) -> None:
    """Tables without words, windows of a house, fences, bricks, keyboards."""
    a, b = p.unit(14, 160), p.unit(10, 160)
    wide, kind, bond = max(1, round(p.unit(1.5, 10))), p.rng.randrange(3), p.rng.choice((0, 0, 0.5))
    margin = p.rng.uniform(0.05, 0.3)
    for j in range(int(p.height / b)):
        for i in range(int(p.width / a)):
            x, y = (i + bond * (j % 2)) * a, j * b
            box = (
                (x, y, x + a, y + b)
                if kind == 0
                else (x + a * margin, y + b * margin, x + a * (1 - margin), y + b * (1 - margin))
            )
            if kind == 2:
                p.draw.rectangle(box, fill=p.ink if p.rng.random() < 0.85 else p.second)
                if p.rng.random() < 0.5 and a > 30:
                    p.draw.line((x + a / 2, box[1], x + a / 2, box[3]), fill=p.second, width=wide)
            else:
                p.draw.rectangle(box, outline=p.ink, width=wide)


def border(p: Patch) -> None:
    """A frame: plain, double, dashed, dotted, zigzag."""
    wide, inset, kind = max(1, round(p.unit(2, 16))), p.unit(3, 40), p.rng.randrange(5)
    box = (inset, inset, p.width - inset, p.height - inset)
    if box[2] <= box[0] + 4 * inset or box[3] <= box[1] + 4 * inset:
        return
    if kind < 2:
        p.draw.rectangle(box, outline=p.ink, width=wide)
        if kind == 1:
            p.draw.rectangle(
                (box[0] + inset, box[1] + inset, box[2] - inset, box[3] - inset), outline=p.ink, width=max(1, wide // 2)
            )
        return
    step = p.unit(8, 60)
    for horizontal in (True, False):
        length = p.width if horizontal else p.height
        for side in (inset, (p.height if horizontal else p.width) - inset):
            t = inset
            while t < length - step:
                e = side + (step * 0.5 if kind == 4 else 0)
                run: tuple[Point, ...] = (
                    ((t, side), (t + step * 0.55, e)) if kind != 3 else ((t, side), (t + wide, side + wide))
                )
                if kind == 4:
                    run = (*run, (t + step, side))
                flat = [q if horizontal else (q[1], q[0]) for q in run]
                p.draw.line(flat, fill=p.ink, width=wide)
                t += step


def page(p: Patch) -> None:
    """A small picture of a page or a screen: bars for lines of words, a picture block."""
    w = min(p.width, p.height) * p.rng.uniform(0.5, 1)
    h = w * p.rng.uniform(0.6, 1.4)
    paper = p.rng.choice(((255, 255, 255), p.second))
    p.draw.rectangle((0, 0, w, h), fill=paper, outline=p.ink, width=2)
    y, bar = h * 0.08, p.unit(3, 26)
    broken = p.rng.random() < 0.6
    while y < min(h * 0.92, p.height):
        x, end = w * 0.08, w * p.rng.uniform(0.55, 0.92)
        while x < end:
            run = p.rng.uniform(1, 7) * bar if broken else end - x
            p.draw.rectangle((x, y, min(x + run, end), y + bar * p.rng.uniform(0.5, 1)), fill=p.ink)
            x += run + bar * p.rng.uniform(0.4, 1)
        y += bar * p.rng.uniform(1.6, 2.4)


def graph(p: Patch) -> None:
    """Nodes and arrows: networks, flow charts, trees, circuits."""
    n = p.rng.randrange(4, 14)
    nodes = [(p.rng.uniform(0.05, 0.9) * p.width, p.rng.uniform(0.05, 0.9) * p.height) for _ in range(n)]
    wide, r = max(1, round(p.unit(1.5, 8))), p.unit(6, 50)
    for _ in range(2 * n):
        a, b = p.rng.sample(nodes, 2)
        bent = (a, (b[0], a[1]), b) if p.rng.random() < 0.4 else (a, b)
        p.draw.line(bent, fill=p.ink, width=wide)
    for x, y in nodes:
        (p.draw.ellipse if p.rng.random() < 0.6 else p.draw.rectangle)(
            (x - r, y - r, x + r, y + r), fill=p.second, outline=p.ink, width=wide
        )


def crowd(p: Patch) -> None:
    """Figures, bottles, trees, houses in a row: silhouettes on a common base."""
    base, x, s = p.height * p.rng.uniform(0.5, 0.95), 0.0, p.unit(14, 200)
    kind = p.rng.randrange(3)
    while x < p.width:
        t, w = s * p.rng.uniform(0.6, 1.3), s * p.rng.uniform(0.25, 0.7)
        top = base - t
        if kind == 0:
            p.draw.ellipse((x + w * 0.25, top, x + w * 0.75, top + w * 0.5), fill=p.ink)
            p.draw.rounded_rectangle((x, top + w * 0.55, x + w, base), w * 0.3, fill=p.ink)
        elif kind == 1:
            p.draw.polygon((x, base, x + w / 2, top, x + w, base), fill=p.ink)
            p.draw.line((x + w / 2, base, x + w / 2, base + t * 0.15), fill=p.ink, width=max(1, int(w * 0.15)))
        else:
            p.draw.rectangle((x, top, x + w, base), fill=p.ink)
            p.draw.rectangle((x + w * 0.2, top + t * 0.2, x + w * 0.4, top + t * 0.4), fill=p.second)
        x += w + s * p.rng.uniform(0.02, 0.5)


def lone_letters(p: Patch) -> None:
    """Bits of letter shapes: halves, mirrored signs, heaps of turned letters."""
    face = p.book.pick(p.rng, "latin")
    if face is None:
        return
    for _ in range(p.rng.randrange(1, 8)):
        s = max(10, round(p.unit(16, 240)))
        tile = Image.new("L", (2 * s, 2 * s))
        text = p.rng.choice("ABCDEFGHJKLMPQRSTUYabdefghkmrty&@?!%")
        ImageDraw.Draw(tile).text((s, s), text, font=p.book.font(face, s), fill=255, anchor="mm")
        tile = tile.rotate(p.rng.choice((90, 270)) + p.rng.uniform(-45, 45), Image.Resampling.BICUBIC)
        p.image.paste(p.ink, (p.rng.randrange(p.width), p.rng.randrange(p.height)), tile)
