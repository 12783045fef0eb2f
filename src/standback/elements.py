"""Things found on the artwork, in original-pixel coordinates."""

from dataclasses import dataclass
from typing import Self

import numpy as np
import numpy.typing as npt

from standback.doubts import Doubt

DRAWN_SHAPE = "shape"
"""The kind of a detail that is a flat drawn shape."""

SHAPES, TEXT_LAYER, READER = "shapes", "text-layer", "reader"
"""What a line is found by: its shapes, a file's live text, something that reads letters."""

Srgb8 = tuple[int, int, int]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A half-open box of whole original pixels: x0 <= x < x1, y0 <= y < y1.

    Pixel (0, 0) covers the area from (0.0, 0.0) to (1.0, 1.0).
    """

    x0: int
    y0: int
    x1: int
    y1: int

    def __post_init__(self) -> None:
        if self.x1 <= self.x0 or self.y1 <= self.y0:
            raise ValueError(f"empty or inverted box: {self}")

    @property
    def width(self) -> int:
        """Width in px."""
        return self.x1 - self.x0

    @property
    def height(self) -> int:
        """Height in px."""
        return self.y1 - self.y0

    @property
    def area(self) -> int:
        """Area in px²."""
        return self.width * self.height

    def grown(self, margin_px: int, within: Self) -> "Box":
        """Return the box grown by `margin_px` on every side, cut to `within`."""
        return Box(
            x0=max(self.x0 - margin_px, within.x0),
            y0=max(self.y0 - margin_px, within.y0),
            x1=min(self.x1 + margin_px, within.x1),
            y1=min(self.y1 + margin_px, within.y1),
        )

    def grown_freely(self, margin_px: int) -> "Box":
        """Return the box grown by `margin_px` on every side, beyond the artwork too."""
        x0, y0, x1, y1 = self.as_tuple()
        return Box(x0=x0 - margin_px, y0=y0 - margin_px, x1=x1 + margin_px, y1=y1 + margin_px)

    def overlap(self, other: Self) -> int:
        """Shared area with another box in px²."""
        width = min(self.x1, other.x1) - max(self.x0, other.x0)
        height = min(self.y1, other.y1) - max(self.y0, other.y0)
        return max(width, 0) * max(height, 0)

    def as_tuple(self) -> tuple[int, int, int, int]:
        """Return (x0, y0, x1, y1)."""
        return (self.x0, self.y0, self.x1, self.y1)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Line:
    """One line of text.

    Attributes
    ----------
    box_px
        Tight box around the ink.
    angle_deg
        Reading direction, counter-clockwise from horizontal; 0 for upright lines.
    mask, core
        Boolean pictures over `box_px`, one sample per `mask_scale` original pixels (the last row and
        column may stand for a part of one): the ink at more than half cover, and the ink without its
        anti-aliased rim. `core` may be empty where strokes are too thin.
    ink_srgb8, ground_srgb8
        The line's own colour, and the colour it sits on.
    cap_px, x_px
        Height of the capitals (or digits) and of the lowercase, None where there are none.
    letter_px
        The height that counts for reading: `x_px` if at least half of the letters are lowercase, else
        `cap_px`; 0.75 x body height for scripts without case.
    stroke_px
        Median width of the strokes.
    found_by
        What speaks for it: "shapes", the file's live text ("text-layer"), a "reader".
    wording
        What the file's live text says it is, None where it has none.
    confidence
        0 to 1: how sure the finder is that this is text.
    """

    box_px: Box
    angle_deg: float = 0.0
    mask: Mask
    core: Mask
    mask_scale: int = 1
    ink_srgb8: Srgb8
    ground_srgb8: Srgb8
    cap_px: float | None
    x_px: float | None
    letter_px: float
    stroke_px: float
    found_by: tuple[str, ...] = (SHAPES,)
    wording: str | None = None
    confidence: float = 1.0
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Detail:
    """One patch of fine detail: strokes or dots of one ink on one ground, alike in width and near each other.

    Or a flat drawn shape that is close in light to what it stands on.

    Attributes
    ----------
    box_px
        Tight box around the ink.
    kind
        What a reviewer would call it: "stroke" (one), "strokes" (hair, curls), "hatching", "outline", "dots",
        "texture", "rule" (straight and level: dividing lines, frames, tables), "halftone", "code"; or
        "shape", which may be of several colours and pieces.
    mask
        Boolean picture over `box_px`, one sample per `mask_scale` original pixels (the last row and column
        may stand for a part of one): the ink at about half cover or more, without its rims. A patch may be
        in several pieces, with other things between them.
    ink_srgb8, ground_srgb8
        The strokes' own colour, as it would be without anti-aliasing, and the median of the ground beside them; of a
        shape both where its outline stands off most.
    ratio
        WCAG contrast ratio of the two, not rounded.
    feature_mm
        Median width of the strokes, or diameter of the dots; of a shape its area by half of its outline.
    pitch_mm
        Median distance from the middle of one to the next, None where they stand alone.
    count
        How many strokes or dots; strokes that touch count once.
    area_mm2
        Area of the patch: the ink and what lies between it, not the box.
    confidence
        0 to 1: how sure the finder is that a designer would call this fine detail.
    """

    box_px: Box
    kind: str
    mask: Mask
    mask_scale: int = 1
    ink_srgb8: Srgb8
    ground_srgb8: Srgb8
    ratio: float
    feature_mm: float
    pitch_mm: float | None
    count: int
    area_mm2: float
    confidence: float = 1.0
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Figure:
    """One large shape or picture that a viewer would name.

    Attributes
    ----------
    box_px
        Tight box around it.
    mask
        Boolean picture over `box_px`, one sample per `mask_scale` original pixels (the last row and column
        may stand for a part of one).
    colour_srgb8, ground_srgb8
        Its mean colour and the mean colour close around it, both means of light; of a picture, the mean of
        the quarter that stands off most, since a picture is seen by that and not by its mean.
    ratio
        WCAG contrast ratio of the two, not rounded.
    area_share
        Area of the mask as a share of the trimmed sheet.
    picture
        Whether it holds many colours, as photographs and drawings do, rather than one.
    """

    box_px: Box
    mask: Mask
    mask_scale: int
    colour_srgb8: Srgb8
    ground_srgb8: Srgb8
    ratio: float
    area_share: float
    picture: bool
    confidence: float = 1.0
    doubts: tuple[Doubt, ...] = ()
