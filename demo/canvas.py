"""A sheet of paper to draw on in millimetres: flat shapes, smooth strokes and set type."""

from collections.abc import Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Literal

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw, ImageFont

Colour = str
Point = tuple[float, float]
Curve = npt.NDArray[np.float64]

PPI = 180
OVERSAMPLING = 2
MM_PER_INCH = 25.4
EM_PX = 1000


def smooth(points_mm: Sequence[Point], *, closed: bool = False, steps: int = 24) -> Curve:
    """Run a smooth curve (Catmull & Rom 1974) through the points; return (N, 2) samples in mm."""
    knots = np.asarray(points_mm, dtype=float)
    if closed:
        knots = np.vstack([knots[-1], knots, knots[:2]])
    else:
        knots = np.vstack([2 * knots[0] - knots[1], knots, 2 * knots[-1] - knots[-2]])
    p0, p1, p2, p3 = (knots[k : len(knots) - 3 + k, None] for k in range(4))
    t = np.linspace(0, 1, steps, endpoint=False)[None, :, None]
    curve = p1 + t / 2 * (p2 - p0 + t * (2 * p0 - 5 * p1 + 4 * p2 - p3 + t * (3 * (p1 - p2) + p3 - p0)))
    return np.vstack([curve.reshape(-1, 2), knots[-2]])


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A typeface of an openly licensed font package."""

    package: str
    file: str

    @property
    def path(self) -> Path:
        """Where the package keeps the file; the package itself is not imported."""
        spec = find_spec(self.package)
        if spec is None or spec.origin is None:
            raise SystemExit(f"The demo is set in {self.file}: pip install {self.package.replace('_', '-')}")
        return Path(spec.origin).parent / "files" / self.file

    def at(self, size_px: float) -> ImageFont.FreeTypeFont:
        """Open the face; the basic layout is the one that every Pillow has."""
        return ImageFont.truetype(self.path, size_px, layout_engine=ImageFont.Layout.BASIC)


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How a line is set: `cap_mm` is the height of its capitals, `tracking_mm` what each letter gap adds."""

    face: Face
    cap_mm: float
    colour: Colour
    tracking_mm: float = 0.0


class Canvas:
    """A sheet of flat colour; x runs right and y down from the top left corner, in mm."""

    def __init__(self, *, width_mm: float, height_mm: float, paper: Colour) -> None:
        self._px_per_mm = PPI * OVERSAMPLING / MM_PER_INCH
        self._size_px = (round(width_mm * PPI / MM_PER_INCH), round(height_mm * PPI / MM_PER_INCH))
        large_px = (self._size_px[0] * OVERSAMPLING, self._size_px[1] * OVERSAMPLING)
        self._image = Image.new("RGB", large_px, paper)
        self._draw = ImageDraw.Draw(self._image)

    def shape(self, outline_mm: Sequence[Point] | Curve, colour: Colour) -> None:
        """Fill a polygon."""
        outline_px = np.asarray(outline_mm, dtype=float) * self._px_per_mm
        self._draw.polygon([(x, y) for x, y in outline_px.tolist()], fill=colour)

    def blob(self, outline_mm: Sequence[Point], colour: Colour) -> None:
        """Fill a smooth closed shape through the points."""
        self.shape(smooth(outline_mm, closed=True), colour)

    def disc(self, centre_mm: Point, radius_mm: float, colour: Colour) -> None:
        """Fill a circle."""
        x, y = centre_mm
        box = np.array([x - radius_mm, y - radius_mm, x + radius_mm, y + radius_mm]) * self._px_per_mm
        self._draw.ellipse(tuple(box.tolist()), fill=colour)

    def ribbon(self, points_mm: Sequence[Point], widths_mm: Sequence[float], colour: Colour) -> None:
        """Draw a smooth stroke with round ends; `widths_mm` are its widths at even steps along it."""
        line = smooth(points_mm)
        run_mm = np.append(0, np.cumsum(np.hypot(*np.diff(line, axis=0).T)))
        swell = smooth(list(zip(np.linspace(0, run_mm[-1], len(widths_mm)), widths_mm, strict=True)))
        half_mm = np.maximum(np.interp(run_mm, swell[:, 0], swell[:, 1]), min(widths_mm)) / 2
        along = np.gradient(line, axis=0)
        across = np.stack([-along[:, 1], along[:, 0]], axis=1) / np.hypot(*along.T)[:, None]
        left, right = line + across * half_mm[:, None], line - across * half_mm[:, None]
        for k in range(len(line) - 1):
            self.shape(np.stack([left[k], left[k + 1], right[k + 1], right[k]]), colour)
        for end in (0, -1):
            self.disc((float(line[end, 0]), float(line[end, 1])), float(half_mm[end]), colour)

    def text(
        self,
        words: str,
        style: Style,
        *,
        x_mm: float,
        baseline_mm: float,
        flush: Literal["left", "right"] = "left",
        nudges_mm: dict[int, float] | None = None,
    ) -> None:
        """Set one line with the ink of its first (or last) letter flush to `x_mm`.

        `nudges_mm` moves the letter at that place, and all that follow, to the right.
        """
        ruler = style.face.at(EM_PX)
        size_mm = style.cap_mm * EM_PX / _ink_px(ruler, "H")[3]
        mm = size_mm / EM_PX
        steps_mm = [
            ruler.getlength(letter) * mm + style.tracking_mm + (nudges_mm or {}).get(place, 0.0)
            for place, letter in enumerate(words, start=1)
        ]
        if flush == "left":
            x_mm -= _ink_px(ruler, words[0])[0] * mm
        else:
            x_mm -= sum(steps_mm[:-1]) + _ink_px(ruler, words[-1])[2] * mm
        font = style.face.at(size_mm * self._px_per_mm)
        for letter, step_mm in zip(words, steps_mm, strict=True):
            at_px = (x_mm * self._px_per_mm, baseline_mm * self._px_per_mm)
            self._draw.text(at_px, letter, font=font, fill=style.colour, anchor="ls")
            x_mm += step_mm

    def save(self, path: Path) -> None:
        """Write the sheet as PNG with its printed size in it."""
        sheet = self._image.resize(self._size_px, Image.Resampling.BOX)
        # a palette keeps the flat colours exact and halves the file
        sheet = sheet.quantize(256, method=Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE)
        sheet.save(path, dpi=(PPI, PPI), optimize=True)


def _ink_px(font: ImageFont.FreeTypeFont, letter: str) -> tuple[int, int, int, int]:
    """Box of a letter's ink: left, top, right, bottom."""
    box: tuple[int, int, int, int] = font.getmask(letter).getbbox()
    return box
