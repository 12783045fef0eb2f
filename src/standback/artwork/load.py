"""The loader's door: a path, or an array, to an `Artwork`."""

from collections.abc import Collection
from dataclasses import replace
from math import isfinite
from pathlib import Path
from typing import IO

import numpy as np
import numpy.typing as npt

from standback.artwork.colour import to_srgb8
from standback.artwork.decode import decode, quiet_pillow
from standback.artwork.model import Artwork, Srgb8Picture
from standback.artwork.opening import kind_of, opened_file
from standback.artwork.pyramid import with_levels
from standback.artwork.size import printed_size
from standback.doubts import Doubt
from standback.sheet import SheetSize


def load(
    path: str | Path,
    *,
    size: SheetSize | None,
    bleed_mm: float = 0.0,
    page: int = 1,
    max_megapixels: float = 400.0,
    from_brief: Collection[str] = (),
) -> Artwork:
    """Read an exported poster.

    Parameters
    ----------
    size
        The trim size asked for; None to take it from the file's own resolution.
    bleed_mm
        The file is the trim and this much on every side; at 0 the boxes of a PDF may tell of a bleed.
    page
        1-based page of a PDF or a multi-page TIFF.
    from_brief
        Which of "size" and "bleed_mm" a brief gave; an option gave the others.

    Raises
    ------
    UnreadableError
        With one plain sentence that says what to do and does not name the file.

    Notes
    -----
    Pixels are held at most twice: as decoded and as sRGB codes, and then as sRGB codes and in the pyramid.
    """
    if not (isfinite(bleed_mm) and bleed_mm >= 0):
        raise ValueError("the bleed is 0 mm or more")
    with opened_file(Path(path)) as file:
        read = _draw if kind_of(file) == "PDF" else _read
        artwork = read(file, size, bleed_mm, page, max_megapixels, from_brief)
    return with_levels(replace(artwork, file=str(path)))


def from_srgb8(
    srgb8: Srgb8Picture,
    *,
    size_mm: tuple[float, float],
    file: str = "<array>",
    bleed_mm: float = 0.0,
) -> Artwork:
    """Make an artwork of sRGB codes in memory.

    Parameters
    ----------
    srgb8
        (H, W, 3) uint8, bleed included; kept as it is, not copied.
    size_mm
        (width, height) of the trim.
    """
    if srgb8.ndim != 3 or srgb8.shape[2] != 3 or srgb8.dtype != np.uint8 or srgb8.size == 0:
        raise ValueError("an artwork is an array (H, W, 3) of 8-bit codes")
    if not all(isfinite(v) and v > 0 for v in size_mm) or not (isfinite(bleed_mm) and bleed_mm >= 0):
        raise ValueError("the sizes of a sheet are above 0 mm, its bleed 0 mm or more")
    artwork = Artwork(
        file=file,
        srgb8=srgb8,
        levels=(),
        width_mm=size_mm[0],
        height_mm=size_mm[1],
        bleed_mm=bleed_mm,
        size_from="option",
        colour="RGB",
        profile=None,
        doubts=(),
    )
    return with_levels(artwork)


def _draw(
    file: IO[bytes],
    size: SheetSize | None,
    bleed_mm: float,
    page: int,
    max_megapixels: float,
    from_brief: Collection[str],
) -> Artwork:
    """Draw a page of a PDF."""
    from standback.artwork.pdf import draw_page  # no picture needs it

    drawn = draw_page(
        file, page=page, max_megapixels=max_megapixels, size=size, bleed_mm=bleed_mm, from_brief=from_brief
    )
    return Artwork(
        file="",
        srgb8=drawn.srgb8,
        levels=(),
        width_mm=drawn.printed.width_mm,
        height_mm=drawn.printed.height_mm,
        bleed_mm=drawn.bleed_mm,
        size_from=drawn.printed.size_from,
        colour="PDF",
        profile=None,
        doubts=(*drawn.printed.doubts, *drawn.doubts),
        text=drawn.text,
    )


def _read(
    file: IO[bytes],
    size: SheetSize | None,
    bleed_mm: float,
    page: int,
    max_megapixels: float,
    from_brief: Collection[str],
) -> Artwork:
    """Decode and convert a picture; the decoder's own copy of the pixels ends with this call."""
    with quiet_pillow(max_megapixels):
        decoded = decode(file, page=page, max_megapixels=max_megapixels)
        width_px, height_px = decoded.image.size if decoded.turn < 5 else decoded.image.size[::-1]
        printed = printed_size(
            width_px,
            height_px,
            resolutions_ppi=decoded.resolutions_ppi,
            size=size,
            bleed_mm=bleed_mm,
            from_brief=from_brief,
        )
        in_srgb = to_srgb8(decoded)
    return Artwork(
        file="",
        srgb8=_turned(in_srgb.srgb8, decoded.turn),
        inks=None if in_srgb.inks is None else _turned(in_srgb.inks, decoded.turn),
        levels=(),
        width_mm=printed.width_mm,
        height_mm=printed.height_mm,
        bleed_mm=bleed_mm,
        size_from=printed.size_from,
        colour=in_srgb.colour,
        profile=in_srgb.profile,
        paper=in_srgb.paper,
        doubts=(*printed.doubts, *in_srgb.doubts, *((Doubt.ANIMATED,) if decoded.animated else ())),
    )


def _turned(picture: npt.NDArray[np.uint8], turn: int) -> npt.NDArray[np.uint8]:
    """Turn a picture as stored to the way it is displayed: EXIF 2.32, orientation 1 to 8."""
    if turn >= 5:
        picture = picture.swapaxes(0, 1)
    if turn in (3, 4, 7, 8):
        picture = picture[::-1]
    if turn in (2, 3, 6, 7):
        picture = picture[:, ::-1]
    return np.ascontiguousarray(picture)
