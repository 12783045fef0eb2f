"""What the command line tests share: small posters, and how a run ended."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

PPI = 50
WIDTH_MM, HEIGHT_MM = 210, 297


@dataclass(frozen=True)
class Ended:
    """How a run ended, and what it wrote."""

    code: int
    out: str
    err: str

    @property
    def error_lines(self) -> list[str]:
        return self.err.splitlines()


Program = Callable[..., Ended]


def draw(path: Path, *, ink: str = "black", ppi: int | None = PPI, height_mm: float = 40) -> Path:
    """Draw an A4 poster with one word in it; `height_mm` is the size that its type is set in."""
    size = (round(WIDTH_MM / 25.4 * PPI), round(HEIGHT_MM / 25.4 * PPI))
    picture = Image.new("RGB", size, "white")
    font = ImageFont.load_default(size=height_mm / 25.4 * PPI)
    ImageDraw.Draw(picture).text((size[0] / 2, size[1] / 3), "Dahlias", fill=ink, font=font, anchor="mm")
    if ppi is None:
        picture.save(path)
    else:
        picture.save(path, dpi=(ppi, ppi))
    return path
