"""A sheet to draw on, in mm: what is drawn is true by construction, at any resolution.

Everything is placed in mm from the top left of the sheet, so the same poster can be drawn at 100, 150
and 300 ppi. Shapes and letters are supersampled and laid over the ground in sRGB codes, as the usual
exporters do.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw

from standback.artwork import Artwork, from_srgb8, load
from standback.light import linear_to_srgb8, luminance1, srgb8_to_linear
from standback.sheet import parse_size
from synth.colours import Srgb8, ratio
from synth.fonts import Face

MM_PER_INCH = 25.4
BoxMm = tuple[float, float, float, float]
BoxPx = tuple[float, float, float, float]
Cover = npt.NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True)
class TrueLine:
    """What was drawn. Lengths in px of the poster; `cap_px` and `x_px` None where no such letter stands.

    `box_px` holds every pixel with any ink, to a fraction of a pixel; `stroke_px` is the width of the
    stem of I or l, None where the face isn't of even stroke.
    """

    text: str
    face: Face
    box_px: tuple[float, float, float, float]
    baseline_px: float
    em_px: float
    cap_px: float | None
    x_px: float | None
    ink_srgb8: Srgb8
    ground_srgb8: Srgb8

    @property
    def letter_px(self) -> float:
        """The height that counts: x-height if at least half of the letters are lowercase."""
        letters = [c for c in self.text if c.isalnum()]
        lower = sum(c.islower() for c in letters)
        height = self.x_px if 2 * lower >= len(letters) else self.cap_px
        if height is None:
            raise ValueError(f"no letter height for {self.text!r}")
        return height

    @property
    def ratio(self) -> float:
        """WCAG ratio of ink to ground."""
        return ratio(self.ink_srgb8, self.ground_srgb8)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Poster:
    """A finished sheet with its truth.

    Attributes
    ----------
    figures
        Boxes of the figures in px.
    rich
        Numbers of the lines that print in all four inks, where everything else is of black alone; None for an
        RGB file.
    """

    srgb8: npt.NDArray[np.uint8]
    width_mm: float
    height_mm: float
    ppi: float
    lines: tuple[TrueLine, ...]
    figures: tuple[BoxPx, ...] = ()
    rich: tuple[int, ...] | None = None

    def artwork(self, file: str = "drawn.png") -> Artwork:
        """Return the poster as the loader would hand it on."""
        size_mm = (self.width_mm, self.height_mm)
        if self.rich is None:
            return from_srgb8(self.srgb8, size_mm=size_mm, file=file)
        with TemporaryDirectory() as folder:
            path = Path(folder) / "inks.tif"
            Image.frombytes("CMYK", self.srgb8.shape[1::-1], self._plates(self.rich).tobytes()).save(path)
            return load(path, size=parse_size(f"{self.width_mm:.3f}x{self.height_mm:.3f}mm"))

    def _plates(self, rich: Sequence[int]) -> npt.NDArray[np.uint8]:
        """Part the poster into inks: black as dark as the poster, the others under some lines only."""
        codes = linear_to_srgb8(luminance1(srgb8_to_linear(self.srgb8)))
        plates = np.zeros((*codes.shape, 4), dtype=np.uint8)
        plates[..., 3] = 255 - codes
        for number in rich:
            x0, y0, x1, y1 = (round(v) for v in self.lines[number].box_px)
            under = plates[y0 - 1 : y1 + 1, x0 - 1 : x1 + 1]
            under[..., :3] = (0.7 * under[..., 3:]).astype(np.uint8)
        return plates

    def enlarged(self, factor: float) -> "Poster":
        """Return the poster of so many times the pixels, blown up from what it has; its truth is left as it is."""
        height, width = self.srgb8.shape[:2]
        size = (round(factor * width), round(factor * height))
        large = np.asarray(Image.fromarray(self.srgb8).resize(size, Image.Resampling.BICUBIC))
        return replace(self, srgb8=large, ppi=factor * self.ppi)

    def as_jpeg(self, quality: int = 90) -> "Poster":
        """Return the poster after JPEG, with the usual halved colour resolution."""
        packed = BytesIO()
        Image.fromarray(self.srgb8).save(packed, "JPEG", quality=quality)
        unpacked = np.asarray(Image.open(packed).convert("RGB"))
        return Poster(srgb8=unpacked, width_mm=self.width_mm, height_mm=self.height_mm, ppi=self.ppi, lines=self.lines)

    def save(self, path: Path) -> Path:
        """Write the poster with its resolution tag; the suffix names the format."""
        Image.fromarray(self.srgb8).save(path, dpi=(self.ppi, self.ppi))
        return path


class Pen:
    """Draws shapes in mm into the cover of one region."""

    def __init__(self, draw: ImageDraw.ImageDraw, origin_px: tuple[int, int], px_per_mm: float, fine: int) -> None:
        self._draw = draw
        self._origin_px = origin_px
        self._px_per_mm = px_per_mm
        self._fine = fine

    def _at(self, points_mm: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
        ox, oy = self._origin_px
        return [
            ((x * self._px_per_mm - ox) * self._fine - 0.5, (y * self._px_per_mm - oy) * self._fine - 0.5)
            for x, y in points_mm
        ]

    def polygon(self, points_mm: Sequence[tuple[float, float]]) -> None:
        """Fill a polygon."""
        self._draw.polygon(self._at(points_mm), fill=255)

    def rectangle(self, box_mm: BoxMm) -> None:
        """Fill a rectangle; its far edges are exact."""
        (x0, y0), (x1, y1) = self._at([box_mm[:2], box_mm[2:]])
        self._draw.rectangle((round(x0 + 0.5), round(y0 + 0.5), round(x1 - 0.5), round(y1 - 0.5)), fill=255)

    def line(self, points_mm: Sequence[tuple[float, float]], width_mm: float) -> None:
        """Draw a stroke."""
        width = max(1, round(width_mm * self._px_per_mm * self._fine))
        self._draw.line(self._at(points_mm), fill=255, width=width, joint="curve")

    def disc(self, centre_mm: tuple[float, float], radius_mm: float) -> None:
        """Fill a disc."""
        x, y = centre_mm
        corners = [(x - radius_mm, y - radius_mm), (x + radius_mm, y + radius_mm)]
        (x0, y0), (x1, y1) = self._at(corners)
        self._draw.ellipse((x0, y0, x1, y1), fill=255)

    def ring(self, centre_mm: tuple[float, float], radius_mm: float, width_mm: float) -> None:
        """Draw a circle's outline, its outer edge at the radius."""
        x, y = centre_mm
        (x0, y0), (x1, y1) = self._at([(x - radius_mm, y - radius_mm), (x + radius_mm, y + radius_mm)])
        width = max(1, round(width_mm * self._px_per_mm * self._fine))
        self._draw.ellipse((x0, y0, x1, y1), outline=255, width=width)


@dataclass(eq=False)
class Sheet:
    """A sheet being drawn."""

    width_mm: float
    height_mm: float
    ppi: float
    ground: Srgb8 = (255, 255, 255)
    lines: list[TrueLine] = field(default_factory=list)
    figures: list[BoxPx] = field(default_factory=list)
    pixels: npt.NDArray[np.uint8] = field(init=False)

    def __post_init__(self) -> None:
        height, width = round(self.height_mm * self.px_per_mm), round(self.width_mm * self.px_per_mm)
        self.pixels = np.empty((height, width, 3), dtype=np.uint8)
        self.pixels[:] = self.ground

    @property
    def px_per_mm(self) -> float:
        """Pixels per mm."""
        return self.ppi / MM_PER_INCH

    def finish(self) -> Poster:
        """Return the poster."""
        return Poster(
            srgb8=self.pixels,
            width_mm=self.width_mm,
            height_mm=self.height_mm,
            ppi=self.ppi,
            lines=tuple(self.lines),
            figures=tuple(self.figures),
        )

    def fill(self, box_mm: BoxMm, colour: Srgb8, paint: Callable[[Pen], None]) -> None:
        """Lay `colour` over the region wherever `paint` draws."""
        height, width = self.pixels.shape[:2]
        x0, y0 = (max(0, int(v * self.px_per_mm) - 1) for v in box_mm[:2])
        x1, y1 = (min(side, int(v * self.px_per_mm) + 2) for v, side in zip(box_mm[2:], (width, height), strict=True))
        if x1 <= x0 or y1 <= y0:
            return
        fine = 4 if (x1 - x0) * (y1 - y0) < 4_000_000 else 2
        mask = Image.new("L", ((x1 - x0) * fine, (y1 - y0) * fine), 0)
        paint(Pen(ImageDraw.Draw(mask), (x0, y0), self.px_per_mm, fine))
        self._lay(_cover(mask.reduce(fine)), x0, y0, colour)

    def panel(self, box_mm: BoxMm, colour: Srgb8) -> None:
        """Fill a rectangle."""
        self.fill(box_mm, colour, lambda pen: pen.rectangle(box_mm))

    def frame(self, box_mm: BoxMm, width_mm: float, colour: Srgb8) -> None:
        """Draw a rectangle's outline, inside the box."""
        x0, y0, x1, y1 = box_mm
        for side in (
            (x0, y0, x1, y0 + width_mm),
            (x0, y1 - width_mm, x1, y1),
            (x0, y0 + width_mm, x0 + width_mm, y1 - width_mm),
            (x1 - width_mm, y0 + width_mm, x1, y1 - width_mm),
        ):
            self.panel(side, colour)

    def gradient(self, start: Srgb8, end: Srgb8, angle_deg: float = 90.0, box_mm: BoxMm | None = None) -> None:
        """Fill the sheet, or a box, from one colour to another along an angle (0 to the right, 90 down)."""
        x0, y0, x1, y1 = self._px(box_mm or (0.0, 0.0, self.width_mm, self.height_mm))
        y, x = np.mgrid[y0:y1, x0:x1].astype(np.float32)
        turn = np.radians(angle_deg)
        along = x * np.float32(np.cos(turn)) + y * np.float32(np.sin(turn))
        along = (along - along.min()) / max(float(np.ptp(along)), 1e-6)
        ends = np.asarray([start, end], dtype=np.float32)
        self.pixels[y0:y1, x0:x1] = np.rint(ends[0] + along[..., None] * (ends[1] - ends[0])).astype(np.uint8)

    def noise(self, rng: np.random.Generator, strength: float = 40.0, slope: float = 1.0) -> None:
        """Add 1/f^slope noise, in codes, to the whole sheet: a ground as of a photograph."""
        height, width = self.pixels.shape[:2]
        fy, fx = np.fft.fftfreq(height)[:, None], np.fft.rfftfreq(width)[None]
        with np.errstate(divide="ignore"):
            gain = np.where(fx + np.abs(fy) > 0, np.hypot(fx, fy) ** -slope, 0.0)
        grain = rng.standard_normal((3, height, width))
        grain[1:] = 0.6 * grain[1:] + 0.8 * grain[:1]
        soft = np.fft.irfft2(np.fft.rfft2(grain) * gain, s=(height, width))
        soft *= strength / soft.std()
        self.pixels = np.clip(np.rint(self.pixels + soft.transpose(1, 2, 0)), 0, 255).astype(np.uint8)

    def text(
        self,
        text: str,
        face: Face,
        ink: Srgb8,
        at_mm: tuple[float, float],
        *,
        cap_mm: float | None = None,
        x_mm: float | None = None,
        align: str = "left",
        tracking_em: float = 0.0,
        extra_em: Sequence[float] = (),
        outline: tuple[Srgb8, float] | None = None,
    ) -> TrueLine:
        """Set a line with its baseline at `at_mm`; exactly one of cap and x-height says how large.

        Parameters
        ----------
        at_mm
            (x, baseline); x is the left, middle or right of the line as `align` says.
        tracking_em
            Space added after every letter.
        extra_em
            Space added after single letters, for uneven setting; shorter than the text is filled with 0.
        outline
            Colour and width in mm of a ring around the letters.
        """
        if (cap_mm is None) == (x_mm is None):
            raise ValueError("give either cap_mm or x_mm")
        em_mm = cap_mm / face.cap_em if cap_mm is not None else (x_mm or 0.0) / face.x_em
        em_px = em_mm * self.px_per_mm
        fine = int(2 ** np.clip(np.ceil(np.log2(800 / em_px)), 0, 4))
        cover, dx, dy = _set(text, face, em_px * fine, tracking_em, extra_em)
        x_fine = at_mm[0] * self.px_per_mm * fine
        x_fine -= {"left": 0.0, "centre": 0.5, "right": 1.0}[align] * cover.shape[1]
        left, base = round(x_fine + (dx if align == "left" else 0)), round(at_mm[1] * self.px_per_mm * fine)
        top = base + dy
        x0, y0 = left // fine, top // fine
        small = _reduced(cover, left - x0 * fine, top - y0 * fine, fine)
        if outline is not None:
            wide = replace(face, bolder_em=face.bolder_em + outline[1] / em_mm)
            ring, rdx, rdy = _set(text, wide, em_px * fine, tracking_em, extra_em)
            left_fine, top_fine = left + rdx - dx, top + rdy - dy
            rx, ry = left_fine // fine, top_fine // fine
            self._lay(_reduced(ring, left_fine - rx * fine, top_fine - ry * fine, fine), rx, ry, outline[0])
        ground = self._ground_under(small, x0, y0)
        self._lay(small, x0, y0, ink)
        line = TrueLine(
            text=text,
            face=face,
            box_px=(left / fine, top / fine, (left + cover.shape[1]) / fine, (top + cover.shape[0]) / fine),
            baseline_px=base / fine,
            em_px=em_px,
            cap_px=_cap_em(text, face, em_px),
            x_px=face.x_em * em_px if any(c.islower() for c in text) else None,
            ink_srgb8=ink,
            ground_srgb8=ground,
        )
        self.lines.append(line)
        return line

    def _px(self, box_mm: BoxMm) -> tuple[int, int, int, int]:
        x0, y0, x1, y1 = (round(v * self.px_per_mm) for v in box_mm)
        height, width = self.pixels.shape[:2]
        return max(x0, 0), max(y0, 0), min(x1, width), min(y1, height)

    def _lay(self, cover: Cover, x0: int, y0: int, colour: Srgb8) -> None:
        height, width = self.pixels.shape[:2]
        cover = cover[max(-y0, 0) : max(height - y0, 0), max(-x0, 0) : max(width - x0, 0)]
        x0, y0 = max(x0, 0), max(y0, 0)
        part = self.pixels[y0 : y0 + cover.shape[0], x0 : x0 + cover.shape[1]]
        mixed = part + cover[..., None] * (np.asarray(colour, dtype=np.float32) - part)
        part[:] = np.rint(mixed).astype(np.uint8)

    def _ground_under(self, cover: Cover, x0: int, y0: int) -> Srgb8:
        height, width = self.pixels.shape[:2]
        y, x = np.nonzero(cover > 0.5)
        inside = (x + x0 >= 0) & (x + x0 < width) & (y + y0 >= 0) & (y + y0 < height)
        under = self.pixels[y[inside] + y0, x[inside] + x0]
        r, g, b = np.median(under, axis=0) if len(under) else self.ground
        return (round(float(r)), round(float(g)), round(float(b)))


def _cap_em(text: str, face: Face, em_px: float) -> float | None:
    if any(c.isupper() for c in text):
        return face.cap_em * em_px
    if any(c.isdigit() for c in text):
        return face.digit_em * em_px
    return None


def _set(text: str, face: Face, em_px: float, tracking_em: float, extra_em: Sequence[float]) -> tuple[Cover, int, int]:
    """Cover of the text at `em_px`, cut to the ink, and the ink's offset from the pen: (cover, dx, dy)."""
    font = face.at(em_px)
    spread = any(extra_em) or tracking_em != 0.0
    gaps = [tracking_em + (extra_em[n] if n < len(extra_em) else 0.0) for n in range(len(text))]
    pens = [font.getlength(text[:n]) + em_px * sum(gaps[:n]) for n in range(len(text))] if spread else [0.0]
    pad = int(em_px) + 2
    width = int(font.getlength(text) + em_px * max(sum(gaps), 0.0)) + 2 * pad
    picture = Image.new("L", (width, 3 * pad), 0)
    draw, stroke = ImageDraw.Draw(picture), round(face.bolder_em * em_px)
    for pen, piece in zip(pens, text if spread else [text], strict=True):
        draw.text((pad + pen, 2 * pad), piece, font=font, fill=255, anchor="ls", stroke_width=stroke)
    bounds = picture.getbbox()
    if bounds is None:
        raise ValueError(f"nothing to draw in {text!r}")
    return _cover(picture.crop(bounds)), bounds[0] - pad, bounds[1] - 2 * pad


def _cover(mask: Image.Image) -> Cover:
    return np.asarray(mask, dtype=np.float32) / np.float32(255)


def _reduced(cover: Cover, left: int, top: int, fine: int) -> Cover:
    """Area-average a fine cover that starts `left`, `top` fine pixels inside its first pixel."""
    height, width = cover.shape
    padded: Cover = np.pad(cover, ((top, -(top + height) % fine), (left, -(left + width) % fine)))
    rows, columns = padded.shape[0] // fine, padded.shape[1] // fine
    reduced: Cover = padded.reshape(rows, fine, columns, fine).mean(axis=(1, 3), dtype=np.float32)
    return reduced
