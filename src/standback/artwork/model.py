"""The artwork as decoded, and the geometry between its pixels and the printed sheet."""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Protocol

import numpy as np
import numpy.typing as npt

from standback.doubts import Doubt
from standback.elements import Box, Srgb8
from standback.stock import Stock

Srgb8Picture = npt.NDArray[np.uint8]
LinearPicture = npt.NDArray[np.float32]


class Level(Protocol):
    """One level of the working pyramid: the trimmed sheet, area-averaged in linear light."""

    @property
    def scale(self) -> int:
        """Original pixels per sample along each axis: a power of two times the first level's."""

    @property
    def origin_px(self) -> tuple[int, int]:
        """(x, y) of the level's top left corner in original pixels: the trim corner."""

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns of samples."""

    @property
    def linear(self) -> LinearPicture:
        """(h, w, 3) float32 in [0, 1], linear sRGB: all of it."""

    def part(self, rows: slice, columns: slice) -> LinearPicture:
        """Return a part of it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HeldLevel:
    """A level that is held as samples."""

    linear: LinearPicture
    scale: int
    origin_px: tuple[int, int]

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns of samples."""
        height, width = self.linear.shape[:2]
        return height, width

    def part(self, rows: slice, columns: slice) -> LinearPicture:
        """Return a part of it, not copied."""
        return self.linear[rows, columns]


@dataclass(frozen=True, slots=True, kw_only=True)
class TextLine:
    """A line of live text, as a file states it.

    Attributes
    ----------
    box_px
        (x0, y0, x1, y1) around the ink of its letters, in original pixels.
    em_px
        Its type size.
    fill_srgb8
        Its colour by the file's own words, before anything that lies over it; None where it has none.
    shown
        Whether it is drawn at all: text that a scanner lays under its picture isn't.
    """

    wording: str
    box_px: tuple[float, float, float, float]
    em_px: float
    angle_deg: float = 0.0
    fill_srgb8: Srgb8 | None = None
    shown: bool = True


@dataclass(frozen=True, kw_only=True, eq=False)
class Artwork:
    """An exported poster as decoded.

    Attributes
    ----------
    srgb8
        (H, W, 3) uint8, the whole file as displayed (after orientation, bleed included), in sRGB.
    levels
        The working pyramid over the trim, finest first; each level half the size of the one before.
    width_mm, height_mm
        The trim size.
    size_from
        Where the size came from: "option", "brief" or "file".
    colour
        The file's own colour space in words: "RGB", "CMYK", "grey", "palette", ...
    profile
        Name of the embedded colour profile, None without one.
    inks
        (H, W) uint8, the number of process inks on each pixel; None unless the file came as CMYK.
    paper
        The paper and black that its CMYK profile tells of, None where it has none.
    text
        Its live text; None where the file is a picture and can have none.
    """

    file: str
    srgb8: Srgb8Picture
    levels: tuple[Level, ...]
    width_mm: float
    height_mm: float
    bleed_mm: float
    size_from: str
    colour: str
    profile: str | None
    doubts: tuple[Doubt, ...]
    inks: npt.NDArray[np.uint8] | None = None
    paper: Stock | None = None
    text: tuple[TextLine, ...] | None = None

    @property
    def drawn(self) -> bool:
        """Whether its pixels were drawn by us, from a file that has none of its own."""
        return self.text is not None

    def no_finer_than(self, long_px: int) -> "Artwork":
        """Return the artwork without the levels whose long side is over `long_px`, but for the last."""
        kept = tuple(level for level in self.levels if max(level.shape) <= long_px)
        return replace(self, levels=kept or self.levels[-1:])

    @property
    def width_px(self) -> int:
        """Width of the whole file in px, bleed included."""
        return int(self.srgb8.shape[1])

    @property
    def height_px(self) -> int:
        """Height of the whole file in px, bleed included."""
        return int(self.srgb8.shape[0])

    @cached_property
    def px_per_mm_xy(self) -> tuple[float, float]:
        """Pixels per mm along x and along y (they differ where the shape differs)."""
        return (
            self.width_px / (self.width_mm + 2 * self.bleed_mm),
            self.height_px / (self.height_mm + 2 * self.bleed_mm),
        )

    @property
    def px_per_mm(self) -> float:
        """Pixels per mm, the geometric mean of both axes."""
        x, y = self.px_per_mm_xy
        return float((x * y) ** 0.5)

    @property
    def ppi(self) -> float:
        """Pixels per inch at the printed size."""
        return self.px_per_mm * 25.4

    @cached_property
    def trim_px(self) -> Box:
        """The trimmed sheet in original pixels."""
        x, y = self.px_per_mm_xy
        left, top = round(self.bleed_mm * x), round(self.bleed_mm * y)
        return Box(x0=left, y0=top, x1=self.width_px - left, y1=self.height_px - top)

    def box_mm(self, box: Box) -> tuple[float, float, float, float]:
        """Return a box in mm from the top left of the trim, x before y."""
        x, y = self.px_per_mm_xy
        bleed = self.bleed_mm
        return (box.x0 / x - bleed, box.y0 / y - bleed, box.x1 / x - bleed, box.y1 / y - bleed)
