"""What a file says beside its pixels: orientation, resolution, colour profile."""

from collections.abc import Iterator
from math import isfinite
from typing import Any

from PIL import Image, PsdImagePlugin, TiffImagePlugin

from standback.artwork import psd

# EXIF 2.32 (and TIFF 6.0), tag numbers.
_ORIENTATION = 0x0112
_X_RESOLUTION = 0x011A
_Y_RESOLUTION = 0x011B
_RESOLUTION_UNIT = 0x0128
_INCH, _CM = 2, 3
_CM_PER_INCH = 2.54

_BITS_PER_SAMPLE = 0x0102
PHOTOMETRIC = 0x0106
_ICC_PROFILE = 0x8773
WHITE_IS_ZERO = 0


def exif(image: Image.Image) -> dict[int, Any]:
    """Return the EXIF tags that can be read; damaged ones are as good as none."""
    try:
        return dict(image.getexif())
    except Exception:
        return {}


def turn(tags: dict[int, Any]) -> int:
    """Return the EXIF orientation, 1 to 8; 1 where there is none or it makes no sense."""
    value = tags.get(_ORIENTATION)
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def tiff_tag(image: Image.Image, tag: int) -> Any:
    """Return a tag of a TIFF's page, None where there is none; never one left over from another page."""
    if not isinstance(image, TiffImagePlugin.TiffImageFile):
        return None
    try:
        return image.tag_v2.get(tag)
    except Exception:
        return None


def tiff_turn(image: Image.Image) -> int:
    """Return the orientation of a TIFF's page; 1 for other kinds."""
    return turn({_ORIENTATION: tiff_tag(image, _ORIENTATION)})


def bits(image: Image.Image) -> int:
    """Return the bits of a channel that has more than 8."""
    stated = tiff_tag(image, _BITS_PER_SAMPLE)
    return stated[0] if isinstance(stated, tuple) and stated and stated[0] in range(9, 17) else 16


def icc_profile(image: Image.Image) -> bytes | None:
    """Return the embedded colour profile, None without one."""
    if isinstance(image, TiffImagePlugin.TiffImageFile):
        profile = tiff_tag(image, _ICC_PROFILE)
    else:
        profile = image.info.get("icc_profile")
    return profile if isinstance(profile, bytes) and profile else None


def resolutions_ppi(image: Image.Image, exif: dict[int, Any]) -> Iterator[tuple[float, float]]:
    """Yield the resolutions the file states, along its stored x and y, the most trusted first."""
    if isinstance(image, TiffImagePlugin.TiffImageFile):
        exif = {tag: tiff_tag(image, tag) for tag in (_X_RESOLUTION, _Y_RESOLUTION, _RESOLUTION_UNIT)}
    elif isinstance(image, PsdImagePlugin.PsdImageFile):
        stated = psd.resolution_ppi(image.resources)
        if stated is not None:
            yield stated
    elif image.format == "PNG" and "dpi" in image.info:
        yield image.info["dpi"]
    elif image.format in ("JPEG", "MPO"):
        # Not info["dpi"]: where a JPEG states none, Pillow puts 72 there.
        per_inch = {1: 1.0, 2: _CM_PER_INCH}.get(image.info.get("jfif_unit", 0))
        if per_inch is not None:
            x, y = image.info["jfif_density"]
            yield x * per_inch, y * per_inch
    try:
        unit = exif.get(_RESOLUTION_UNIT)
        per_inch = {_INCH: 1.0, _CM: _CM_PER_INCH}[_INCH if unit is None else unit]
        x, y = (float(exif[tag]) * per_inch for tag in (_X_RESOLUTION, _Y_RESOLUTION))
    except (KeyError, TypeError, ValueError, ZeroDivisionError):
        return
    if isfinite(x) and isfinite(y):
        yield x, y
