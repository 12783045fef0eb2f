"""A piece of a training poster to draw on."""

import math
import random
from dataclasses import dataclass

from PIL import Image, ImageDraw

from training.fonts import FontBook
from training.grounds import Rgb

Point = tuple[float, float]


@dataclass(slots=True, kw_only=True)
class Patch:
    """Where to draw: a drawing over `width` x `height`, its inks and its chances."""

    image: Image.Image
    draw: ImageDraw.ImageDraw
    rng: random.Random
    book: FontBook
    width: int
    height: int
    ink: Rgb
    second: Rgb

    def unit(self, low: float, high: float) -> float:
        """Return a length between two values, evenly on a log scale, cut to the patch."""
        return min(math.exp(self.rng.uniform(math.log(low), math.log(high))), min(self.width, self.height))

    @property
    def side(self) -> float:
        """The side of the largest square that fits."""
        return float(min(self.width, self.height))
