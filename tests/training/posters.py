"""Compose a training poster: a ground, art, blocks of type, then what printing and cameras do to it."""

import io
import math
import random
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw, ImageFilter

from training.art import draw_art
from training.fonts import FontBook
from training.grounds import Rgb, any_colour, ground, hue_twin, ink_for, luminance1, photo_piece
from training.lettering import Block, TypeLine, set_block
from training.words import SCRIPTS

IntBox = tuple[int, int, int, int]
LONE_PX = 30
"""A single letter set larger than this is a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Poster:
    """A drawn poster: srgb8 (H, W, 3), the letters' cover (H, W) uint8, its lines.

    `unsure` are lines that nobody could be asked to find or to leave: small single letters, and those that any
    bar or ring could be.
    """

    srgb8: npt.NDArray[np.uint8]
    cover: npt.NDArray[np.uint8]
    lines: tuple[TypeLine, ...]
    unsure: tuple[TypeLine, ...]
    art: tuple[IntBox, ...]


def overlaps(box: IntBox, others: list[IntBox], margin: int) -> bool:
    return any(
        box[0] - margin < o[2] and o[0] < box[2] + margin and box[1] - margin < o[3] and o[1] < box[3] + margin
        for o in others
    )


def free_place(
    rng: random.Random, size: tuple[int, int], wide: int, tall: int, taken: list[IntBox], margin: int
) -> IntBox | None:
    if wide >= size[0] or tall >= size[1]:
        return None
    for _ in range(14):
        x, y = rng.randrange(size[0] - wide), rng.randrange(size[1] - tall)
        box = (x, y, x + wide, y + tall)
        if not overlaps(box, taken, margin):
            return box
    return None


def _random_block(rng: random.Random, book: FontBook, width: int) -> Block | None:
    script = rng.choices(list(SCRIPTS), [s.weight for s in SCRIPTS.values()])[0]
    face = book.pick(rng, script)
    if face is None:
        return None
    role = rng.random()
    if role < 0.30:  # running text
        size, lines, words = rng.uniform(8, 34), rng.randrange(2, 9), rng.randrange(3, 9)
        case, leading = "sentence", rng.uniform(1.0, 1.7)
    elif role < 0.62:  # subheads, facts, labels
        size, lines, words = (
            math.exp(rng.uniform(math.log(9), math.log(80))),
            rng.choice((1, 1, 1, 2, 3)),
            rng.randrange(1, 6),
        )
        case, leading = rng.choice(("upper", "title", "sentence", "lower")), rng.uniform(0.95, 1.6)
    elif role < 0.9:  # headlines
        size, lines, words = (
            math.exp(rng.uniform(math.log(36), math.log(260))),
            rng.choice((1, 1, 2, 3, 4)),
            rng.choice((1, 1, 1, 2, 3)),
        )
        case, leading = rng.choice(("upper", "upper", "title", "lower")), rng.uniform(0.8, 1.25)
    else:  # one short word, a numeral
        size, lines, words = math.exp(rng.uniform(math.log(10), math.log(300))), 1, 1
        case, leading = rng.choice(("upper", "title", "lower")), 1.2
    if not SCRIPTS[script].cased:
        leading = max(leading, 1.25)
    texts = None
    if role >= 0.9 and SCRIPTS[script].cased:
        letters = SCRIPTS[script].letters
        texts = [
            rng.choice(
                (
                    str(rng.randrange(0, 100)),
                    str(rng.randrange(0, 10)),
                    str(rng.randrange(1990, 2040)),
                    rng.choice(letters).upper() + rng.choice(letters),
                    rng.choice(letters).upper() + rng.choice(letters).upper(),
                    rng.choice(letters).upper()
                    + rng.choice(letters)
                    + rng.choice(letters)
                    + rng.choice(("!", "?", "...", "…", "")),
                )
            )
        ]
    if SCRIPTS[script].spaced is False:
        words = max(1, words // 2)
    longest = max(1, int(width * 0.9 / (size * (0.55 if SCRIPTS[script].cased else 0.8) * 5.5)))
    angle = 0.0
    turn = rng.random()
    if turn < 0.16:
        angle = rng.uniform(-17, 17)
    elif turn < 0.18:
        angle = rng.choice((-1, 1)) * rng.uniform(17, 75)
    elif turn < 0.21:
        angle = rng.choice((90.0, -90.0))
    tracking = rng.choice((0.0,) * 6 + (rng.uniform(-0.04, 0.06), rng.uniform(0.05, 0.4) if case == "upper" else 0.0))
    stroke = 0
    if rng.random() < 0.05 and size > 30:
        stroke = max(1, round(size * rng.uniform(0.01, 0.06)))
    return set_block(
        rng,
        book,
        face,
        script,
        size_px=max(7, round(size)),
        lines=lines,
        words=min(words, longest),
        case=case,
        align=rng.choice(("left", "left", "centre", "centre", "right", "justified")),
        leading=leading,
        tracking_em=tracking,
        angle_deg=angle,
        stroke=stroke,
        texts=texts,
    )


def _row_of_facts(rng: random.Random, book: FontBook, width: int) -> Block | None:
    """Short lines on common baselines with gaps that make them columns."""
    face = book.pick(rng, "latin")
    if face is None:
        return None
    size = max(8, round(math.exp(rng.uniform(math.log(9), math.log(60)))))
    rows, columns = rng.choice((1, 1, 2, 4)), rng.randrange(2, 5)
    case, words, gap = rng.choice(("upper", "title", "sentence")), rng.randrange(1, 4), size * rng.uniform(1.3, 5)
    cells = []
    for _ in range(columns):
        cell = set_block(
            rng,
            book,
            face,
            "latin",
            size_px=size,
            lines=rows,
            words=words,
            case=case,
            align="left",
            leading=1.5,
            tracking_em=0.0,
        )
        if cell is None:
            return None
        cells.append(cell)
    if sum(c.cover.width for c in cells) + gap * (columns - 1) > width * 0.95:
        return None
    x, lines = 0, []
    # the first baselines are laid on one another
    base = max(c.lines[0].y for c in cells)
    tall = max(int(base - c.lines[0].y) + c.cover.height for c in cells)
    cover = Image.new("L", (int(sum(c.cover.width for c in cells) + gap * (columns - 1)) + 1, tall + 1))
    for cell in cells:
        y = int(base - cell.lines[0].y)
        cover.paste(cell.cover, (x, y))
        lines += [line.moved(x, y) for line in cell.lines]
        x += int(cell.cover.width + gap)
    return Block(cover=cover, lines=tuple(lines), size_px=size)


def _tiles(local: npt.NDArray[np.uint8], side: int) -> tuple[npt.NDArray[np.float32], npt.NDArray[np.float32]]:
    """Return mean colour (N, 3) and spread (N,) of square tiles of a piece of ground."""
    h, w = (max(1, n // side) for n in local.shape[:2])
    side_y, side_x = min(side, local.shape[0]), min(side, local.shape[1])
    step = max(1, side // 8)
    cut = local[: h * side_y, : w * side_x].reshape(h, side_y, w, side_x, 3)[:, ::step, :, ::step].astype(np.float32)
    return cut.mean(axis=(1, 3)).reshape(-1, 3), np.sqrt(cut.var(axis=(1, 3)).sum(axis=2)).ravel()


def choose_ink(rng: random.Random, local: npt.NDArray[np.uint8], size_px: int) -> Rgb | None:
    """Return an ink that can be read all over this piece of ground, None where none can."""
    means, spreads = _tiles(local, max(4, size_px))
    mean = means.mean(axis=0)
    m = (int(mean[0]), int(mean[1]), int(mean[2]))

    def readable(ink: Rgb, least: float, share: float) -> bool:
        apart = np.linalg.norm(means - np.asarray(ink, dtype=np.float32), axis=1)
        return float((apart > least + share * spreads).mean()) > 0.97

    if float(spreads.max()) < 12 and rng.random() < 0.06:
        twin = hue_twin(rng, m)
        return twin if twin is None or readable(twin, 60, 0) else None
    for _ in range(6):
        ink = ink_for(rng, m, math.exp(rng.uniform(math.log(1.25), math.log(16))))
        if ink is not None and readable(ink, 22, 2.4):
            return ink
    for ink in rng.sample([(255, 255, 255), (0, 0, 0), (255, 240, 0)], 3):
        if readable(ink, 22, 1.9):
            return ink
    return None


def panel(rng: random.Random, image: Image.Image, box: IntBox, colour: Rgb, edge: Rgb, gap: float) -> None:
    """Put a plate under a block: square, rounded, a pill, an ellipse, translucent, framed."""
    draw = ImageDraw.Draw(image)
    x0, y0, x1, y1 = box[0] - gap, box[1] - gap, box[2] + gap, box[3] + gap
    wide = max(1, round(gap * rng.uniform(0.05, 0.4))) if rng.random() < 0.3 else 0
    kind = rng.random()
    if kind < 0.5:
        draw.rectangle((x0, y0, x1, y1), fill=colour, outline=edge if wide else None, width=wide)
    elif kind < 0.9:
        radius = rng.uniform(0.2, 1.0) * min(x1 - x0, y1 - y0) / 2
        draw.rounded_rectangle((x0, y0, x1, y1), radius, fill=colour, outline=edge if wide else None, width=wide)
    else:
        grow = 0.21 * max(x1 - x0, y1 - y0)
        draw.ellipse(
            (x0 - grow, y0 - grow, x1 + grow, y1 + grow), fill=colour, outline=edge if wide else None, width=wide
        )


def paint(
    rng: random.Random, image: Image.Image, cover: Image.Image, place: tuple[int, int], ink: Rgb, size_px: int
) -> None:
    """Paint a cover in an ink: plain, shaded, outlined, shadowed, with a picture inside."""
    x, y = place
    effect = rng.random()
    if effect < 0.07 and size_px > 14:  # shadow
        d = max(1, round(size_px * rng.uniform(0.02, 0.08)))
        shadow = cover.filter(ImageFilter.GaussianBlur(rng.uniform(0, d))) if rng.random() < 0.7 else cover
        dark = (0, 0, 0) if luminance1(ink) > 0.15 else (255, 255, 255)
        image.paste(dark, (x + rng.choice((-d, d)), y + d), shadow.point(lambda v: int(v * 0.8)))
    elif effect < 0.12 and size_px > 20:  # an outline of another colour
        d = 2 * max(1, round(size_px * rng.uniform(0.01, 0.05))) + 1
        rim = (0, 0, 0) if luminance1(ink) > 0.2 else (255, 255, 255)
        image.paste(rim, (x, y), cover.filter(ImageFilter.MaxFilter(min(d, 11))))
    elif effect < 0.15 and size_px > 40:  # outline only
        d = 2 * max(1, round(size_px * rng.uniform(0.008, 0.03))) + 1
        outer = cover.filter(ImageFilter.MaxFilter(min(d, 9)))
        cover = Image.fromarray(np.asarray(outer) - np.minimum(np.asarray(outer), np.asarray(cover)))
    elif effect < 0.19 and size_px > 20:  # shaded from one colour to another
        other = any_colour(rng)
        if abs(luminance1(other) - luminance1(ink)) < 0.25:
            t = np.linspace(0, 1, cover.height)[:, None, None]
            fill = (np.asarray(ink) * (1 - t) + np.asarray(other) * t).astype(np.uint8)
            image.paste(Image.fromarray(np.repeat(fill, cover.width, axis=1)), place, cover)
            return
    elif effect < 0.21 and size_px > 60:  # worn letters
        worn = np.random.default_rng(rng.randrange(2**31)).random((cover.height // 3 + 1, cover.width // 3 + 1)) > 0.12
        mask = Image.fromarray((worn * 255).astype(np.uint8)).resize(cover.size, Image.Resampling.BILINEAR)
        cover = Image.fromarray(np.minimum(np.asarray(cover), np.asarray(mask)))
    elif effect < 0.26:  # translucent
        share = rng.uniform(0.6, 0.95)
        cover = cover.point(lambda v: int(v * share))
    image.paste(ink, place, cover)


def _trimmings(rng: random.Random, image: Image.Image, block: Block, box: IntBox, ink: Rgb, book: FontBook) -> None:
    """Rules, bars, bullets and icons that stand close to lines."""
    draw = ImageDraw.Draw(image)
    s = block.size_px
    wide = max(1, round(s * rng.uniform(0.03, 0.12)))
    colour = ink if rng.random() < 0.7 else any_colour(rng)
    if any(line.angle_deg for line in block.lines):
        return
    pick = rng.random()
    if pick < 0.06:
        for line in block.lines:
            y = box[1] + line.y + s * rng.uniform(0.1, 0.25)
            draw.rectangle((box[0] + line.x, y, box[0] + line.x + line.length, y + wide), fill=colour)
    elif pick < 0.11:
        y = box[3] + s * rng.uniform(0.1, 0.6)
        draw.rectangle((box[0] - s, y, box[2] + s, y + wide), fill=colour)
    elif pick < 0.15:
        x = box[0] - s * rng.uniform(0.3, 0.9)
        draw.rectangle((x, box[1], x + wide, box[3]), fill=colour)
    elif pick < 0.24:
        kind = rng.randrange(5)
        path = rng.choice(book.pictograms)
        sign = chr(rng.choice(book.signs[path]))
        side = s * rng.uniform(0.2, 0.5) if kind < 4 else s * rng.uniform(0.8, 2.4)
        for line in block.lines if kind < 4 else block.lines[:1]:
            x = box[0] + line.x - side - s * rng.uniform(0.25, 0.7)
            y = box[1] + line.y - line.cap / 2
            cell = (x, y - side / 2, x + side, y + side / 2)
            if kind == 0:
                draw.ellipse(cell, fill=colour)
            elif kind == 1:
                draw.rectangle(cell, fill=colour)
            elif kind == 2:
                draw.line((x, y, x + side / 2, y + side / 2, x + side, y - side / 2), fill=colour, width=wide)
            elif kind == 3:
                draw.rectangle(cell, outline=colour, width=wide)
            else:
                draw.text(
                    (x + side / 2, y), sign, font=book.at_path(path, max(8, round(side))), fill=colour, anchor="mm"
                )
        if rng.random() < 0.25:
            x, y = box[2] + s * rng.uniform(0.3, 1.0), box[1] + block.lines[-1].y - block.lines[-1].cap / 2
            draw.text((x, y), sign, font=book.at_path(path, max(8, round(s))), fill=colour, anchor="lm")


def wear(rng: random.Random, srgb8: npt.NDArray[np.uint8]) -> npt.NDArray[np.uint8]:
    """Blur, grain, uneven light, JPEG."""
    image = Image.fromarray(srgb8)
    if rng.random() < 0.1:
        image = image.filter(ImageFilter.GaussianBlur(rng.uniform(0.4, 1.6)))
    if rng.random() < 0.06:
        f = rng.uniform(1.3, 2.2)
        small = image.resize((int(image.width / f), int(image.height / f)), Image.Resampling.BILINEAR)
        image = small.resize(image.size, rng.choice((Image.Resampling.BICUBIC, Image.Resampling.BILINEAR)))
    out = np.asarray(image)
    if rng.random() < 0.16:
        g = np.random.default_rng(rng.randrange(2**31))
        shape = (*out.shape[:2], 3 if rng.random() < 0.6 else 1)
        out = np.clip(out + g.standard_normal(shape, dtype=np.float32) * rng.uniform(1, 14), 0, 255).astype(np.uint8)
    if rng.random() < 0.3:
        held = io.BytesIO()
        Image.fromarray(out).save(held, "JPEG", quality=rng.randrange(35, 95))
        out = np.asarray(Image.open(held))
    return out


def draw_poster(rng: random.Random, book: FontBook) -> Poster:
    """Draw one poster of 560 to 1500 px a side."""
    width, height = rng.randrange(560, 1500), rng.randrange(560, 1500)
    image = Image.fromarray(ground(rng, height, width).copy())
    size = (width, height)

    def some_box(low: int, high: int) -> IntBox:
        w, h = (min(int(math.exp(rng.uniform(math.log(low), math.log(high)))), s - 2) for s in size)
        x, y = rng.randrange(width - w), rng.randrange(height - h)
        return (x, y, x + w, y + h)

    drawn: list[IntBox] = []
    for _ in range(rng.choice((0, 0, 1, 1, 2, 3, 5))):  # flat shapes, pictures and art that type may lie on
        box = some_box(120, 1100)
        if rng.random() < 0.55:
            ImageDraw.Draw(image).rectangle(box, fill=any_colour(rng))
        elif rng.random() < 0.4:
            image.paste(Image.fromarray(photo_piece(rng, box[3] - box[1], box[2] - box[0])), box[:2])
        else:
            draw_art(rng, book, image, box, any_colour(rng))
            drawn.append(box)
    cover = Image.new("L", size)
    taken: list[IntBox] = []
    lines: list[TypeLine] = []
    unsure: list[TypeLine] = []
    for _ in range(0 if rng.random() < 0.08 else rng.randrange(3, 16)):
        block = _row_of_facts(rng, book, width) if rng.random() < 0.1 else _random_block(rng, book, width)
        if block is None:
            continue
        gap = max(3, int(block.size_px * rng.choice((0.25, 0.5, 0.8))))
        place = free_place(rng, size, block.cover.width, block.cover.height, taken, gap)
        if place is None:
            continue
        box = place
        local = np.asarray(image.crop(box))
        ink = choose_ink(rng, local, block.size_px)
        if ink is None or rng.random() < 0.12:
            plate = any_colour(rng)
            ratio = math.exp(rng.uniform(math.log(1.4), math.log(16)))
            ink = ink_for(rng, plate, ratio)
            if ink is None:
                continue
            pad = block.size_px * rng.uniform(0.12, 0.8)
            grown = (int(box[0] - pad), int(box[1] - pad), int(box[2] + pad), int(box[3] + pad))
            if overlaps(grown, taken, 2):
                continue
            panel(rng, image, box, plate, any_colour(rng), pad)
            taken.append(grown)
        paint(rng, image, block.cover, box[:2], ink, block.size_px)
        _trimmings(rng, image, block, box, ink, book)
        cover.paste(255, box[:2], block.cover)
        taken.append(box)
        for line in block.lines:
            moved = line.moved(box[0], box[1])
            single = line.letters == 1 and (line.bare or block.size_px <= LONE_PX)
            (unsure if single else lines).append(moved)
    for _ in range(rng.choice((0, 1, 2, 3, 4, 6, 9, 14))):  # art beside the type
        box = some_box(40, 520)
        if not overlaps(box, taken, 6):
            local = np.asarray(image.crop(box)).reshape(-1, 3).mean(axis=0)
            m = (int(local[0]), int(local[1]), int(local[2]))
            ink = ink_for(rng, m, math.exp(rng.uniform(math.log(1.3), math.log(16)))) or any_colour(rng)
            draw_art(rng, book, image, box, ink)
            taken.append(box)
            drawn.append(box)
    return Poster(
        srgb8=wear(rng, np.asarray(image)),
        cover=np.asarray(cover),
        lines=tuple(lines),
        unsure=tuple(unsure),
        art=tuple(drawn),
    )
