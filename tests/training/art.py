"""Drawings that hold no text: what the network must learn to leave alone."""

import random
from collections.abc import Callable

from PIL import Image, ImageDraw

from training.fonts import FontBook
from training.grounds import Rgb, any_colour
from training.patch import Patch
from training.signs import (
    barcode,
    border,
    chart,
    code,
    crowd,
    dots,
    graph,
    icons,
    lattice,
    lone_letters,
    mixed_row,
    page,
    shapes_row,
    stroke_rows,
)  # fmt: skip
from training.textures import (
    checkers,
    hair,
    hatching,
    leaves,
    photo,
    polygons,
    rings,
    rules,
    scribble,
    splatter,
    tangle,
    waves,
)  # fmt: skip

ART: dict[Callable[[Patch], None], float] = {
    polygons: 1, hatching: 1, stroke_rows: 1.2, dots: 1.2, checkers: 0.5, code: 1.6, barcode: 0.5, rings: 0.7,
    hair: 1, scribble: 1, leaves: 1, icons: 3, shapes_row: 1.8, chart: 1.2, lattice: 1.3, border: 1, page: 1.2,
    graph: 0.8, waves: 1.2, splatter: 1.2, tangle: 1.2, mixed_row: 1.4,
    photo: 1.6, crowd: 0.8, rules: 0.4, lone_letters: 0.5,
}  # fmt: skip


def draw_art(rng: random.Random, book: FontBook, poster: Image.Image, box: tuple[int, int, int, int], ink: Rgb) -> None:
    """Draw one random piece of art into a box of the poster, smoothed from twice the scale."""
    x0, y0, x1, y1 = box
    patch_image = poster.crop(box).resize((2 * (x1 - x0), 2 * (y1 - y0)), Image.Resampling.NEAREST)
    patch = Patch(
        image=patch_image, draw=ImageDraw.Draw(patch_image), rng=rng, book=book, width=patch_image.width,
        height=patch_image.height, ink=ink, second=any_colour(rng),
    )  # fmt: skip
    rng.choices(list(ART), list(ART.values()))[0](patch)
    poster.paste(patch_image.reduce(2), (x0, y0))
