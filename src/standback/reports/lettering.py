"""Type in our pictures: the face that Pillow brings, what it can draw, and the picture as a PNG of ours."""

import unicodedata
from functools import cache
from io import BytesIO

from PIL import Image, ImageDraw, ImageFont
from PIL.PngImagePlugin import PngInfo

from standback import __version__
from standback.reports.wrapping import clean

Colour = tuple[int, int, int]

# What the bundled face lacks, in what it has.
_PLAIN = str.maketrans({"×": "x", "–": "-", "—": "-", "−": "-", "→": "to", "\N{NO-BREAK SPACE}": " "})
_SAMPLE_PX = 24


@cache
def face(size_px: int) -> ImageFont.FreeTypeFont:
    """Return the face at a size in px."""
    font = ImageFont.load_default(size_px)
    assert isinstance(font, ImageFont.FreeTypeFont), "Pillow was built without FreeType"
    return font


def drawable(text: str) -> str:
    """Return text in letters that the face has: accents dropped, the rest as "?"."""
    return "".join(_drawn(character) for character in clean(text.translate(_PLAIN)))


def length(text: str, size_px: int) -> float:
    """Return the length in px that a text takes."""
    return face(size_px).getlength(drawable(text))


def letter(draw: ImageDraw.ImageDraw, x: float, y: float, text: str, size_px: int, colour: Colour) -> None:
    """Draw one line of text, its top left corner at (x, y)."""
    draw.text((round(x), round(y)), drawable(text), font=face(size_px), fill=colour, anchor="la")


def as_png(page: Image.Image, ppi: int) -> bytes:
    """Return a picture as a PNG that carries our mark; same picture, same bytes."""
    info = PngInfo()
    info.add_text("Software", f"standback {__version__}")
    stream = BytesIO()
    page.save(stream, "PNG", pnginfo=info, dpi=(ppi, ppi))
    return stream.getvalue()


@cache
def _drawn(character: str) -> str:
    if _has(character):
        return character
    bare = "".join(c for c in unicodedata.normalize("NFKD", character) if not unicodedata.combining(c))
    return bare if bare and all(_has(c) for c in bare) else "?"


@cache
def _has(character: str) -> bool:
    font = face(_SAMPLE_PX)
    return bytes(font.getmask(character)) != bytes(font.getmask("\uffff"))
