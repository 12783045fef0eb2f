"""The picture of the changes: the artwork with the suggested colours in it, marked as no artwork."""

from io import BytesIO

from PIL import Image
from PIL.PngImagePlugin import PngInfo

from standback import __version__
from standback.artwork.model import Artwork, Srgb8Picture
from standback.sheet import MM_PER_INCH

TITLE = "Suggestion, not the artwork: colours and weights changed as standback offers"


def suggestion_png(picture: Srgb8Picture, artwork: Artwork) -> bytes:
    """Return a changed copy of an artwork's pixels as a PNG in sRGB, of the same printed size.

    Parameters
    ----------
    picture
        (H, W, 3) sRGB codes, bleed included.
    """
    info = PngInfo()
    info.add_text("Software", f"standback {__version__}")
    info.add_text("Title", TITLE)
    x, y = artwork.px_per_mm_xy
    stream = BytesIO()
    Image.fromarray(picture).save(stream, "PNG", pnginfo=info, dpi=(x * MM_PER_INCH, y * MM_PER_INCH))
    return stream.getvalue()
