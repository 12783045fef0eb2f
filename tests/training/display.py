"""Sheets that show a few things large: a letter, a numeral, a short word, or signs that are none of these."""

import math
import random
from itertools import pairwise

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from training.art import draw_art
from training.emblems import emblem
from training.fonts import FontBook
from training.grounds import Rgb, any_colour, ground, ink_for, photo_piece
from training.lettering import Block, TypeLine, set_block
from training.patch import Patch
from training.posters import IntBox, Poster, choose_ink, free_place, overlaps, paint, panel, wear
from training.words import SCRIPTS, characters

SIDES_PX = (240, 700)
LARGE, LARGEST = 0.06, 0.62
"""Heights of letters and signs over the sheet's, evenly on a log scale."""
SIGNS = 0.38
"""Share of the large things that are no letters."""
_WORDS = (
    "NO", "GO", "UP", "IN", "ON", "OK", "WE", "HI", "AT", "TO", "OH", "MY", "BE", "DO", "IT", "IS", "US", "YES",
    "NOW", "NEW", "ART", "ZOO", "BAR", "JAM", "SKI", "SEA", "SUN", "TEA", "FUN", "HOT", "ICE", "EAT", "RUN",
    "TOP", "WIN", "BIG", "OFF", "OUT", "ALL", "DAY", "POP", "SALE", "FREE", "OPEN", "LIVE", "JAZZ", "PLAY",
    "LOVE", "STOP", "HELP", "FILM", "ROCK", "FEST",
)  # fmt: skip
_CAPITALS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


def draw_display(rng: random.Random, book: FontBook) -> Poster:
    """Draw one sheet."""
    width, height = (round(math.exp(rng.uniform(*(math.log(v) for v in SIDES_PX)))) for _ in range(2))
    image = Image.fromarray(ground(rng, height, width).copy())
    size = (width, height)
    for _ in range(rng.choice((0, 0, 0, 1, 1, 2))):
        _under(rng, book, image)
    cover = Image.new("L", size)
    taken: list[IntBox] = []
    lines: list[TypeLine] = []
    unsure: list[TypeLine] = []
    art: list[IntBox] = []
    for _ in range(rng.choice((1, 1, 1, 2, 2, 3, 4))):
        tall = height * math.exp(rng.uniform(math.log(LARGE), math.log(LARGEST)))
        if rng.random() < SIGNS:
            art += _signs(rng, book, image, tall, taken)
        else:
            block = _large_letters(rng, book, tall, width)
            if block is not None:
                _place(rng, book, image, cover, block, taken, lines, unsure)
    for _ in range(rng.choice((0, 1, 2, 3, 5))):
        block = _small_type(rng, book, width)
        if block is not None:
            _place(rng, book, image, cover, block, taken, lines, unsure)
    return Poster(
        srgb8=wear(rng, np.asarray(image)),
        cover=np.asarray(cover),
        lines=tuple(lines),
        unsure=tuple(unsure),
        art=tuple(art),
    )


def _under(rng: random.Random, book: FontBook, image: Image.Image) -> None:
    """Lay a panel, a picture, a disc or art under everything."""
    w, h = (max(30, int(s * rng.uniform(0.25, 1.0))) for s in image.size)
    x, y = rng.randrange(max(image.width - w, 1)), rng.randrange(max(image.height - h, 1))
    box, kind = (x, y, x + w, y + h), rng.random()
    if kind < 0.4:
        ImageDraw.Draw(image).rectangle(box, fill=any_colour(rng))
    elif kind < 0.6:
        image.paste(Image.fromarray(photo_piece(rng, h, w)), box[:2])
    elif kind < 0.8:
        ImageDraw.Draw(image).ellipse(box, fill=any_colour(rng))
    else:
        draw_art(rng, book, image, box, any_colour(rng))


def _short_text(rng: random.Random, script: str) -> str:
    if script != "latin":
        letters = SCRIPTS[script].letters
        text = "".join(rng.choice(letters) for _ in range(rng.choice((1, 1, 2, 2, 3, 4))))
        return text.upper() if SCRIPTS[script].cased and rng.random() < 0.7 else text
    low = "abcdefghijklmnopqrstuvwxyz"
    pick = rng.random()
    if pick < 0.22:
        return rng.choice(_CAPITALS)
    if pick < 0.29:
        return rng.choice("abdefghkmnpqrstuyz&?" if rng.random() < 0.9 else "coxvwjIO")
    if pick < 0.40:
        return rng.choice("23456789" if rng.random() < 0.9 else "01")
    if pick < 0.54:
        return str(rng.randrange(10, 100))
    if pick < 0.72:
        word = rng.choice(_WORDS)
        return rng.choice((word, word, word.title(), word.lower()))
    if pick < 0.82:
        word = rng.choice(_CAPITALS) + "".join(rng.choice(low) for _ in range(rng.choice((1, 1, 2))))
        return rng.choice((word.upper(), word))
    if pick < 0.87:
        return str(rng.randrange(100, 2100))
    return rng.choice((
        f"{rng.choice(_WORDS)}{rng.choice('!?.!')}", f"{rng.choice(_CAPITALS)}{rng.choice('+!.?')}",
        f"{rng.randrange(2, 100)}%", f"€{rng.randrange(2, 90)}", f"#{rng.randrange(2, 30)}", f"{rng.randrange(2, 30)}.",
        f"{rng.choice(_CAPITALS)}&{rng.choice(_CAPITALS)}", f"{rng.randrange(2, 30)}th", f"{rng.randrange(1, 13)}pm",
        f"{rng.choice(_CAPITALS)}{rng.randrange(2, 10)}", f"No.{rng.randrange(2, 10)}",
    ))  # fmt: skip


def _large_letters(rng: random.Random, book: FontBook, tall: float, width: int) -> Block | None:
    script = "latin" if rng.random() < 0.8 else rng.choices(list(SCRIPTS), [s.weight for s in SCRIPTS.values()])[0]
    face = book.pick(rng, script)
    if face is None:
        return None
    texts = [_short_text(rng, script) for _ in range(rng.choice((1, 1, 1, 1, 1, 2)))]
    known = set(characters(script))
    texts = ["".join(c for c in text if c in known) or rng.choice(SCRIPTS[script].letters) for text in texts]
    longest = max(len(text) for text in texts)
    size = min(tall / 0.7, width * 0.95 / (longest * 0.62) / 0.9)
    if size < 24:
        return None
    tight = rng.random()
    return set_block(
        rng,
        book,
        face,
        script,
        size_px=round(size),
        lines=len(texts),
        words=1,
        case="upper",
        align=rng.choice(("left", "centre")),
        leading=rng.uniform(0.74, 1.1) if SCRIPTS[script].cased else 1.3,
        tracking_em=rng.uniform(-0.16, -0.02) if tight < 0.3 else rng.uniform(0.02, 0.2) if tight < 0.4 else 0.0,
        angle_deg=rng.uniform(-16, 16) if rng.random() < 0.12 else 0.0,
        stroke=max(1, round(size * rng.uniform(0.01, 0.05))) if rng.random() < 0.08 else 0,
        texts=texts,
    )


def _small_type(rng: random.Random, book: FontBook, width: int) -> Block | None:
    face = book.pick(rng, "latin")
    if face is None:
        return None
    size = round(math.exp(rng.uniform(math.log(9), math.log(44))))
    words = max(1, min(rng.randrange(1, 6), int(width * 0.8 / (size * 3))))
    return set_block(
        rng, book, face, "latin", size_px=size, lines=rng.choice((1, 1, 2, 4)), words=words,
        case=rng.choice(("upper", "title", "sentence")), align=rng.choice(("left", "centre")),
        leading=rng.uniform(1.0, 1.5), tracking_em=0.0,
    )  # fmt: skip


def _place(
    rng: random.Random,
    book: FontBook,
    image: Image.Image,
    cover: Image.Image,
    block: Block,
    taken: list[IntBox],
    lines: list[TypeLine],
    unsure: list[TypeLine],
) -> None:
    """Paint a block where there is room: in one ink, letter by letter, rimmed, on a plate, drawn over a little."""
    gap = max(3, int(min(block.size_px, 60) * rng.choice((0.1, 0.25, 0.5))))
    box = free_place(rng, image.size, block.cover.width, block.cover.height, taken, gap)
    if box is None:
        return
    ink = choose_ink(rng, np.asarray(image.crop(box)), block.size_px)
    if ink is None or rng.random() < 0.15:
        plate = any_colour(rng)
        ink = ink_for(rng, plate, math.exp(rng.uniform(math.log(1.5), math.log(16))))
        pad = block.size_px * rng.uniform(0.1, 0.6)
        grown = (int(box[0] - pad), int(box[1] - pad), int(box[2] + pad), int(box[3] + pad))
        if ink is None or overlaps(grown, taken, 2):
            return
        panel(rng, image, box, plate, any_colour(rng), pad)
        taken.append(grown)
    look = rng.random()
    if look < 0.12 and block.size_px > 40:
        _in_several_inks(rng, image, block, box, ink)
    elif look < 0.24 and block.size_px > 40:
        _outlined(rng, image, block, box, ink)
    else:
        paint(rng, image, block.cover, box[:2], ink, block.size_px)
    if block.size_px > 40 and rng.random() < 0.2:
        _over(rng, book, image, box, ink)
    cover.paste(255, box[:2], block.cover)
    taken.append(box)
    for line in block.lines:
        (unsure if line.letters == 1 and line.bare else lines).append(line.moved(box[0], box[1]))


def _in_several_inks(rng: random.Random, image: Image.Image, block: Block, box: IntBox, ink: Rgb) -> None:
    """Paint a block in another ink of the same lightness every so far along it."""
    parts = rng.randrange(2, 5)
    edges = [round(block.cover.width * n / parts) for n in range(parts + 1)]
    for left, right in pairwise(edges):
        piece = block.cover.crop((left, 0, right, block.cover.height))
        image.paste(ink, (box[0] + left, box[1]), piece)
        there = tuple(int(v) for v in np.asarray(image.crop(box)).reshape(-1, 3).mean(axis=0))
        ink = ink_for(rng, (there[0], there[1], there[2]), rng.uniform(2, 12)) or ink


def _outlined(rng: random.Random, image: Image.Image, block: Block, box: IntBox, ink: Rgb) -> None:
    """Draw only the letters' outlines, from hairline to heavy."""
    wide = 2 * max(1, round(block.size_px * rng.uniform(0.008, 0.04))) + 1
    outer, inner = (block.cover.filter(f(min(wide, 11))) for f in (ImageFilter.MaxFilter, ImageFilter.MinFilter))
    image.paste(ink, box[:2], Image.fromarray(np.asarray(outer) - np.asarray(inner)))


def _over(rng: random.Random, book: FontBook, image: Image.Image, box: IntBox, ink: Rgb) -> None:
    """Draw something over a small part of large letters."""
    w, h, draw = box[2] - box[0], box[3] - box[1], ImageDraw.Draw(image)
    colour = any_colour(rng)
    if sum(abs(a - b) for a, b in zip(colour, ink, strict=True)) < 90:
        colour = (255 - ink[0], 255 - ink[1], 255 - ink[2])
    kind = rng.randrange(4)
    if kind == 0:
        y, thick = box[1] + h * rng.uniform(0.2, 0.8), h * rng.uniform(0.03, 0.12)
        draw.rectangle((box[0] - h * 0.2, y, box[2] + h * 0.2, y + thick), fill=colour)
    elif kind == 1:
        r, x, y = h * rng.uniform(0.08, 0.22), rng.choice((box[0], box[2])), rng.uniform(box[1], box[3])
        draw.ellipse((x - r, y - r, x + r, y + r), fill=colour)
    elif kind == 2:
        ends = (box[0], rng.uniform(box[1], box[3]), box[2], rng.uniform(box[1], box[3]))
        draw.line(ends, fill=colour, width=max(1, round(h * rng.uniform(0.02, 0.1))))
    else:
        side = max(8, int(min(w, h) * rng.uniform(0.15, 0.4)))
        x, y = rng.randrange(box[0], max(box[2] - side, box[0] + 1)), rng.choice((box[1], box[3] - side))
        draw_art(rng, book, image, (x, y, x + side, y + side), colour)


def _signs(rng: random.Random, book: FontBook, image: Image.Image, tall: float, taken: list[IntBox]) -> list[IntBox]:
    """Draw one to three emblems in a row, as large as letters would be."""
    side, count = max(12, round(tall)), rng.choice((1, 1, 1, 1, 2, 3))
    gap = round(side * rng.uniform(0.05, 0.4))
    while count > 1 and count * (side + gap) > image.width * 0.95:
        count -= 1
    row = free_place(rng, image.size, count * side + (count - 1) * gap, side, taken, max(3, side // 12))
    if row is None:
        return []
    ink = choose_ink(rng, np.asarray(image.crop(row)), side)
    if ink is None:
        return []
    found: list[IntBox] = []
    for n in range(count):
        x = row[0] + n * (side + gap)
        box = (x, row[1], x + side, row[1] + side)
        large = image.crop(box).resize((2 * side, 2 * side), Image.Resampling.NEAREST)
        emblem(Patch(image=large, draw=ImageDraw.Draw(large), rng=rng, book=book, width=2 * side, height=2 * side,
                     ink=ink, second=any_colour(rng)))  # fmt: skip
        image.paste(large.reduce(2), box[:2])
        found.append(box)
    taken.append(row)
    return found
