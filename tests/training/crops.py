"""Cut crops with their labels from drawn posters, at the scales the finder's pyramid works at.

PYTHONPATH=tests python -m training.crops --fonts FOLDER --out FOLDER --seconds 400 --jobs 15 --seed 1
"""

import argparse
import multiprocessing
import os
import random
import time
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw

from training.display import draw_display
from training.fonts import FontBook
from training.grounds import linear1
from training.lettering import TypeLine
from training.posters import Poster, draw_poster

SIDE = 256
"""Crop side in px of its level."""
CELL = 2
"""Label cell in px."""
ANSWER = (5.5, 16.0)
"""Cap heights in px of a level that the network must answer for."""
UNSURE = (4.5, 22.0)
"""Cap heights about which nothing is asked."""
CORE_HALF = 0.32
"""Half the height of the marked core, in bodies."""
ANGLE_ANSWER_DEG = 16.0
ANGLE_UNSURE_DEG = 36.0
FACTORS = (1, 2, 3, 4, 6, 8, 12)
BESIDE_DISPLAY = 0.5
"""How much the cells of ordinary crops count where display sheets are drawn too."""
LEAST_SHEET = 18
"""Samples along the shorter side of the coarsest picture of a display sheet."""

_LINEAR = linear1(np.arange(256)).astype(np.float32)


@dataclass(frozen=True, slots=True, kw_only=True)
class Crop:
    """One training example.

    Attributes
    ----------
    srgb8
        (SIDE, SIDE, 3) uint8.
    core, weight, ink
        (SIDE/2, SIDE/2) uint8: share of the cell inside a line's core, how much the cell counts
        (255 is fully), share of the cell covered by letters.
    """

    srgb8: npt.NDArray[np.uint8]
    core: npt.NDArray[np.uint8]
    weight: npt.NDArray[np.uint8]
    ink: npt.NDArray[np.uint8]


def encoded(linear: npt.NDArray[np.float32]) -> npt.NDArray[np.uint8]:
    """Encode linear light as sRGB bytes."""
    v = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * np.maximum(linear, 1e-6) ** (1 / 2.4) - 0.055)
    return np.clip(v * 255 + 0.5, 0, 255).astype(np.uint8)


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A poster at one scale: every `factor` x `factor` pixels averaged in linear light."""

    factor: int
    srgb8: npt.NDArray[np.uint8]
    cover: npt.NDArray[np.uint8]


def level_of(poster: Poster, factor: int) -> Level:
    """Return the poster at a scale."""
    h, w = (n // factor * factor for n in poster.cover.shape)
    cover = Image.fromarray(poster.cover[:h, :w]).reduce(factor) if factor > 1 else poster.cover
    return Level(factor=factor, srgb8=shrunk(poster.srgb8, factor), cover=np.asarray(cover))


def _cut(picture: npt.NDArray[np.uint8], x: int, y: int, side: int) -> npt.NDArray[np.uint8]:
    rows = np.clip(np.arange(y, y + side), 0, picture.shape[0] - 1)
    columns = np.clip(np.arange(x, x + side), 0, picture.shape[1] - 1)
    return picture[rows][:, columns]


def shrunk(picture: npt.NDArray[np.uint8], factor: int) -> npt.NDArray[np.uint8]:
    """Average `factor` x `factor` pixels in linear light."""
    if factor == 1:
        return picture
    h, w = picture.shape[0] // factor, picture.shape[1] // factor
    if factor > 4:
        linear = _LINEAR[picture[: h * factor, : w * factor]].reshape(h, factor, w, factor, -1)
        return encoded(linear.mean(axis=(1, 3), dtype=np.float32))
    total = np.zeros((h, w, picture.shape[2]), dtype=np.float32)
    for i in range(factor):
        for j in range(factor):
            total += _LINEAR[picture[i : h * factor : factor, j : w * factor : factor]]
    total /= np.float32(factor**2)
    return encoded(total)


def _polygons(
    lines: list[TypeLine],
    top: float,
    bottom: float,
    ends: float,
    x: int,
    y: int,
    factor: int,
    fills: list[int],
    start: int,
    side_px: int,
) -> npt.NDArray[np.uint8]:
    """Rasterise strips given in bodies about the body's middle, at label cells (four samples a cell)."""
    side = side_px // CELL
    image = Image.new("L", (side * 4, side * 4), start)
    draw = ImageDraw.Draw(image)
    scale = 4 / (factor * CELL)
    for line, fill in zip(lines, fills, strict=True):
        body = line.body_bottom - line.body_top
        middle = (line.body_bottom + line.body_top) / 2
        corners = line.corners(middle + top * body, middle + bottom * body, ends * body)
        draw.polygon([((px - x) * scale - 0.5, (py - y) * scale - 0.5) for px, py in corners], fill=fill)
    return np.asarray(image.reduce(4))


def cut_crop(poster: Poster, level: "Level", x: int, y: int, side: int = SIDE) -> Crop:
    """Cut one crop of a level; (x, y) is its corner in poster pixels, a multiple of the level's factor."""
    factor = level.factor
    srgb8 = _cut(level.srgb8, x // factor, y // factor, side)
    asked: list[TypeLine] = []
    unsure: list[TypeLine] = []
    for line, known in [*((one, True) for one in poster.lines), *((one, False) for one in poster.unsure)]:
        cap = line.cap / factor
        turn = abs(line.angle_deg)
        if not UNSURE[0] <= cap <= UNSURE[1] or turn > ANGLE_UNSURE_DEG:
            continue
        sure = known and ANSWER[0] <= cap <= ANSWER[1] and turn <= ANGLE_ANSWER_DEG
        (asked if sure else unsure).append(line)
    core = _polygons(asked, -CORE_HALF, CORE_HALF, 0.0, x, y, factor, [255] * len(asked), 0, side)
    near = _polygons(asked, -0.55, 0.55, 0.15, x, y, factor, [70] * len(asked), 255, side)
    weight = np.where(core > 100, 255, near)
    if unsure:
        weight = np.minimum(weight, _polygons(unsure, -0.9, 0.9, 0.3, x, y, factor, [0] * len(unsure), 255, side))
    weight = weight.copy()
    height, width = poster.srgb8.shape[:2]
    cells = np.arange(side // CELL) * CELL * factor
    outside_y, outside_x = (cells + y < 0) | (cells + y >= height), (cells + x < 0) | (cells + x >= width)
    weight[outside_y] = np.minimum(weight[outside_y], 120)
    weight[:, outside_x] = np.minimum(weight[:, outside_x], 120)
    ink = _cut(level.cover, x // factor, y // factor, side).astype(np.float32)
    ink[np.repeat(outside_y, CELL)] = 0
    ink[:, np.repeat(outside_x, CELL)] = 0
    ink = ink.reshape(side // CELL, CELL, side // CELL, CELL).mean(axis=(1, 3))
    # the ink is asked for only within the lines' own strips: elsewhere 255 marks "not asked"
    strip = _polygons(asked, -1.2, 1.2, 0.3, x, y, factor, [255] * len(asked), 0, side)
    return Crop(
        srgb8=srgb8, core=core, weight=weight.astype(np.uint8),
        ink=np.where(strip > 127, np.minimum(ink * 254 / 255 + 0.5, 254), 255).astype(np.uint8),
    )  # fmt: skip


def crops_of(rng: random.Random, poster: Poster, count: int) -> list[Crop]:
    """Cut crops: most about a line at a scale where it must be found, some about art, some anywhere."""
    height, width = poster.srgb8.shape[:2]
    levels: dict[int, Level] = {}
    found = []
    for _ in range(count):
        aim = rng.random()
        if poster.lines and aim < 0.58:
            line = rng.choice(poster.lines)
            fitting = [f for f in FACTORS if 5.0 <= line.cap / f <= 18]
            factor = rng.choice(fitting or [1])
            side = SIDE * factor
            t = rng.random()
            cx, cy = line.corners(line.body_top, line.body_top)[0]
            ex, ey = line.corners(line.body_top, line.body_top)[1]
            x = int(cx + t * (ex - cx) - rng.uniform(0.15, 0.85) * side)
            y = int(cy + t * (ey - cy) - rng.uniform(0.15, 0.85) * side)
        elif poster.art and aim < 0.85:
            box = rng.choice(poster.art)
            factor = rng.choice((1, 1, 2, 2, 3, 4, 6))
            side = SIDE * factor
            x = int(rng.uniform(box[0], box[2]) - rng.uniform(0.25, 0.75) * side)
            y = int(rng.uniform(box[1], box[3]) - rng.uniform(0.25, 0.75) * side)
        else:
            factor = rng.choice((1, 1, 1, 2, 2, 3, 4))
            side = SIDE * factor
            x = rng.randrange(-side // 8, max(width - side * 7 // 8, 1 - side // 8))
            y = rng.randrange(-side // 8, max(height - side * 7 // 8, 1 - side // 8))
        # the sheet's edge may lie in a crop, but most of the crop should be sheet
        x = min(max(x, -side // 6), max(width - side * 5 // 6, -side // 6))
        y = min(max(y, -side // 6), max(height - side * 5 // 6, -side // 6))
        if factor not in levels:
            levels[factor] = level_of(poster, factor)
        found.append(cut_crop(poster, levels[factor], x // factor * factor, y // factor * factor))
    return found


def display_crops(rng: random.Random, book: FontBook, count: int) -> list[Crop]:
    """Cut crops from display sheets, most laid together from 4 or 16: small pictures fill no whole one."""
    found: list[Crop] = []
    while len(found) < count:
        across = rng.choice((1, 2, 4, 4))
        parts: list[Crop] = []
        while len(parts) < across**2:
            poster = draw_display(rng, book)
            levels: dict[int, Level] = {}
            parts += [_display_crop(rng, poster, SIDE // across, levels) for _ in range(1 if across == 1 else 3)]
        rng.shuffle(parts)
        found.append(_laid_together(parts, across))
    return found


def _display_crop(rng: random.Random, poster: Poster, side: int, levels: dict[int, Level]) -> Crop:
    """Cut one crop with a large line or sign about its middle, at a scale where a line must be found."""
    height, width = poster.srgb8.shape[:2]
    aim = rng.random()
    large = [line for line in poster.lines if line.cap > 0.05 * height] or poster.lines
    if large and aim < (0.62 if poster.art else 0.92):
        line = rng.choice(large)
        tall = line.cap
        ends = line.corners((line.body_top + line.body_bottom) / 2, 0.0)[:2]
        t = rng.random()
        cx, cy = (a + t * (b - a) for a, b in zip(*ends, strict=True))
    elif poster.art and aim < 0.92:
        box = rng.choice(poster.art)
        tall, cx, cy = float(box[3] - box[1]), (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    else:
        tall, cx, cy = height * rng.uniform(0.05, 0.5), width * rng.random(), height * rng.random()
    # a sheet smaller than that is never looked at
    most = max(1, min(height, width) // LEAST_SHEET)
    fitting = [f for f in range(1, most + 1) if 5.0 <= tall / f <= 18]
    factor = rng.choice(fitting or [most if tall / most > 18 else 1])
    if factor not in levels:
        levels[factor] = level_of(poster, factor)
    stray = 0.17 * side
    x, y = (round(v / factor - side / 2 + rng.uniform(-stray, stray)) * factor for v in (cx, cy))
    return cut_crop(poster, levels[factor], x, y, side)


def _laid_together(parts: list[Crop], across: int) -> Crop:
    """Lay square crops side by side, as many down as across."""

    def laid(name: str) -> npt.NDArray[np.uint8]:
        rows = [[getattr(parts[j * across + i], name) for i in range(across)] for j in range(across)]
        return np.concatenate([np.concatenate(row, axis=1) for row in rows])

    return Crop(srgb8=laid("srgb8"), core=laid("core"), weight=laid("weight"), ink=laid("ink"))


def _lighter(crop: Crop) -> Crop:
    """Let a crop count less beside those of display sheets, whose lines are much shorter."""
    return replace(crop, weight=(crop.weight * BESIDE_DISPLAY).astype(np.uint8))


def _work(
    job: int, fonts: str, out: str, seconds: float, seed: int, per_file: int, kept: bool, each: int, display: float
) -> None:
    end = time.monotonic() + seconds
    book = FontBook(Path(fonts), kept=kept)
    number = 0
    while time.monotonic() < end:
        crops: list[Crop] = []
        serial = 0
        while len(crops) < per_file and time.monotonic() < end:
            rng = random.Random(f"{seed} {job} {number} {serial}")
            serial += 1
            if rng.random() < display:
                crops.extend(display_crops(rng, book, each))
            else:
                ordinary = crops_of(rng, draw_poster(rng, book), each)
                crops.extend(_lighter(crop) for crop in ordinary) if display else crops.extend(ordinary)
        if crops:
            name = Path(out) / f"{job:02d}-{number:04d}.npz"
            held = name.with_suffix(".part")
            with held.open("wb") as file:
                np.savez(
                    file,
                    srgb8=np.stack([c.srgb8 for c in crops]),
                    core=np.stack([c.core for c in crops]),
                    weight=np.stack([c.weight for c in crops]),
                    ink=np.stack([c.ink for c in crops]),
                )
            held.rename(name)
        number += 1


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--fonts", required=True)
    parser.add_argument("--out", required=True)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--per-file", type=int, default=512)
    parser.add_argument("--each", type=int, default=7, help="crops cut from one poster")
    parser.add_argument("--display", type=float, default=0.0, help="share of crops cut from display sheets")
    parser.add_argument("--kept", action="store_true", help="set the posters in the faces kept for validation")
    o = parser.parse_args()
    Path(o.out).mkdir(parents=True, exist_ok=True)
    jobs = [
        multiprocessing.Process(
            target=_work, args=(j, o.fonts, o.out, o.seconds, o.seed, o.per_file, o.kept, o.each, o.display)
        )
        for j in range(o.jobs)
    ]
    for job in jobs:
        job.start()
    for job in jobs:
        job.join()
