"""Marks: connected pieces of stroke on one level of the pyramid, with the numbers that tell letters apart."""

from dataclasses import dataclass
from typing import Self

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.find.strokes import Bytes, code_planes, spread, top_hats

Doubles = npt.NDArray[np.float64]

LEAST_CONTRAST = 11
"""Codes a stroke must stand off by: a ratio of about 1.2 in the middle greys (ours)."""
SHARE_OF_PEAK = 0.42
"""Share of the strongest contrast within a letter's height that still belongs to the stroke (ours)."""
PEAK_REACH = 15
BUSY_FACTOR = 2.0
"""How many times the mean contrast of the surroundings a stroke must have (ours)."""
BUSY_CELLS = 9
BLOCK = 8
LOWEST, HIGHEST = 5, 48
"""Heights in samples of the letters one level answers for."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Marks:
    """Many marks side by side; every field is (N,) but `colour`, (N, 3). Lengths in samples, colours in codes."""

    x0: Doubles
    y0: Doubles
    x1: Doubles
    y1: Doubles
    area: Doubles
    stroke: Doubles
    contrast: Doubles
    colour: Doubles

    def __len__(self) -> int:
        """Return how many marks there are."""
        return len(self.x0)

    @property
    def height(self) -> Doubles:
        """Height of each mark."""
        return self.y1 - self.y0

    @property
    def width(self) -> Doubles:
        """Width of each mark."""
        return self.x1 - self.x0

    @property
    def middle(self) -> Doubles:
        """Vertical middle of each mark."""
        return (self.y0 + self.y1) / 2

    def of(self, chosen: npt.NDArray[np.bool_] | npt.NDArray[np.intp]) -> Self:
        """Return some of the marks."""
        return type(self)(**{name: getattr(self, name)[chosen] for name in self.__dataclass_fields__})


def marks_of(codes: Bytes) -> list[Marks]:
    """Find the marks of a picture (H, W, 3) of codes, one set a colour plane and polarity.

    Colour differences count only where they outdo the contrast in lightness, so plain black type is
    not found three times.
    """
    lightness, red_green, yellow_blue = code_planes(codes)
    light, dark = top_hats(lightness)
    sets = [_marks(codes, hat) for hat in (light, dark)]
    rival = np.maximum(light, dark)
    for plane in (red_green, yellow_blue):
        hats = list(top_hats(plane))
        strongest = np.maximum(*hats)
        if np.count_nonzero(strongest > np.maximum(rival, LEAST_CONTRAST)) < 2 * LOWEST:
            continue
        sets.extend(_marks(codes, hat, spread(rival, 3)) for hat in hats)
    return [s for s in sets if len(s)]


def _marks(codes: Bytes, hat: Bytes, rival: Bytes | None = None) -> Marks:
    peak = spread(hat, PEAK_REACH)
    strong = hat > np.maximum((peak * np.float32(SHARE_OF_PEAK)).astype(np.uint8), LEAST_CONTRAST)
    strong &= hat > _surroundings(hat) * np.float32(BUSY_FACTOR)
    if rival is not None:
        strong &= hat > rival
    labels, count = ndimage.label(strong, structure=np.ones((3, 3), dtype=bool))
    boxes = np.array(
        [(s[1].start, s[0].start, s[1].stop, s[0].stop) for s in ndimage.find_objects(labels)], dtype=np.float64
    ).reshape(count, 4)
    x0, y0, x1, y1 = boxes.T
    height, width = y1 - y0, x1 - x0
    fits = (height >= LOWEST) & (height <= HIGHEST) & (width <= 14 * height)
    renumber = np.zeros(count + 1, dtype=np.int32)
    kept = int(np.count_nonzero(fits))
    renumber[1:][fits] = np.arange(1, kept + 1)
    at = np.flatnonzero(strong)
    owner = renumber[labels.ravel()[at]]
    at, owner = at[owner > 0], owner[owner > 0]
    area = np.bincount(owner, minlength=kept + 1)[1:].astype(np.float64)
    rim = ~_surrounded(strong).ravel()[at]
    rim_length = np.bincount(owner[rim], minlength=kept + 1)[1:].astype(np.float64)
    flat = codes.reshape(-1, 3)[at]

    def mean(values: npt.NDArray[np.uint8]) -> Doubles:
        weighted: Doubles = np.bincount(owner, weights=values, minlength=kept + 1)[1:] / np.maximum(area, 1)
        return weighted

    return Marks(
        x0=x0[fits],
        y0=y0[fits],
        x1=x1[fits],
        y1=y1[fits],
        area=area,
        stroke=2 * area / np.maximum(rim_length, 1),
        contrast=mean(hat.ravel()[at]),
        colour=np.stack([mean(flat[:, n]) for n in range(3)], axis=1),
    )


def _surrounded(strong: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    """Tell which samples have all four neighbours set."""
    padded = np.pad(strong, 1)
    inner: npt.NDArray[np.bool_] = padded[:-2, 1:-1] & padded[2:, 1:-1] & padded[1:-1, :-2] & padded[1:-1, 2:] & strong
    return inner


def _surroundings(hat: Bytes) -> npt.NDArray[np.float32]:
    """Mean contrast over about nine by nine blocks of eight samples, at every sample."""
    rows, columns = -(-hat.shape[0] // BLOCK), -(-hat.shape[1] // BLOCK)
    padded = np.pad(hat, ((0, rows * BLOCK - hat.shape[0]), (0, columns * BLOCK - hat.shape[1])), mode="symmetric")
    blocks = padded.reshape(rows, BLOCK, columns, BLOCK).mean(axis=(1, 3), dtype=np.float32)
    wide = ndimage.uniform_filter(blocks, BUSY_CELLS, mode="nearest")
    every: npt.NDArray[np.float32] = wide.repeat(BLOCK, axis=0).repeat(BLOCK, axis=1)
    return every[: hat.shape[0], : hat.shape[1]]
