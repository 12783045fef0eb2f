"""From the file's own colour space to sRGB codes on paper white, strip by strip.

Order: the colour planes go to sRGB (through the embedded profile, relative colorimetric with black-point
compensation), then transparency is composed over white in those codes, as viewers and RIPs do.
"""

import io
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageCms

from standback.artwork.assumed_cmyk import assumed_cmyk_profile
from standback.artwork.decode import ClearKey, Decoded
from standback.artwork.model import Srgb8Picture
from standback.doubts import Doubt
from standback.errors import UnreadableError
from standback.stock import Stock, luminance1_of_lightness
from standback.threads import each

_COLOUR_OF_MODE = {
    "1": "1-bit",
    "L": "grey",
    "LA": "grey",
    "La": "grey",
    "I;16": "grey",
    "I;16B": "grey",
    "P": "palette",
    "PA": "palette",
    "RGB": "RGB",
    "RGBA": "RGB",
    "YCbCr": "YCbCr",
    "CMYK": "CMYK",
    "LAB": "Lab",
}
_MODE_OF_PROFILE = {"RGB": "RGB", "GRAY": "L", "CMYK": "CMYK"}
_STRIP_PX = 100_000
_LONGEST_NAME = 80
_PAPER_LIGHTNESS = (60.0, 99.0)
"""L* that papers have; a profile whose white is perfect speaks of no paper (ours)."""
_LEAST_LIGHTNESS = 8.0
"""No ink is darker than this on paper (ours): a profile that says so leaves its black out."""
_NOTICEABLE_CODES = 1
"""A profile that moves no colour by more than this (rounding in the colour engine) is sRGB."""

LEAST_INK_CODE = 26
"""An ink counts from a tenth of full cover: below, it prints as scattered dots (ours)."""

Plane = npt.NDArray[np.uint8]
ToSrgb = Callable[[Image.Image], Image.Image]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class InSrgb:
    """The picture in sRGB, (H, W, 3) uint8 as stored (not yet turned), and what was said of its colour.

    `inks` holds the number of process inks on each pixel, (H, W) uint8, None unless it came as CMYK.
    """

    srgb8: Srgb8Picture
    inks: Plane | None
    colour: str
    profile: str | None
    doubts: tuple[Doubt, ...]
    paper: Stock | None = None


def to_srgb8(decoded: Decoded) -> InSrgb:
    """Convert a decoded picture to sRGB, a strip of rows at a time."""
    image = decoded.image
    colour = _COLOUR_OF_MODE.get(image.mode)
    if colour is None:
        raise UnreadableError(
            "its pixels are kept as 32-bit or floating-point numbers: export it with 8 or 16 bits a channel"
        )
    convert, profile, doubts = _conversion(_colour_mode(image.mode), decoded.icc_profile)
    width, height = image.size
    srgb8 = np.empty((height, width, 3), np.uint8)
    inks = np.empty((height, width), np.uint8) if image.mode == "CMYK" else None
    rows = max(1, _STRIP_PX // width)

    def fill(top: int) -> None:
        strip = image.crop((0, top, width, min(top + rows, height)))
        planes, alpha = _planes(strip, decoded)
        if inks is not None:
            inks[top : top + rows] = (np.asarray(planes) >= LEAST_INK_CODE).sum(axis=2, dtype=np.uint8)
        codes = np.asarray(convert(planes))
        srgb8[top : top + rows] = codes if alpha is None else _over_white(codes, alpha)

    each(fill, range(0, height, rows))
    paper = None if image.mode != "CMYK" or doubts else _paper_of(decoded.icc_profile, profile)
    return InSrgb(srgb8=srgb8, inks=inks, colour=colour, profile=profile, doubts=doubts, paper=paper)


def _colour_mode(mode: str) -> str:
    """Return the mode of the colour planes alone: what `_planes` hands on."""
    if mode in ("CMYK", "LAB"):
        return mode
    return "L" if _COLOUR_OF_MODE[mode] in ("1-bit", "grey") else "RGB"


def _planes(strip: Image.Image, decoded: Decoded) -> tuple[Image.Image, Plane | None]:
    """Split a strip into colour planes (L, RGB, CMYK or LAB, 8 bits) and cover, None where all is opaque."""
    mode = strip.mode
    if mode in ("CMYK", "LAB"):
        return strip, None
    if mode.startswith("I;16"):
        codes = np.asarray(strip)
        planes = Image.fromarray(_eight_bits(codes, decoded.most_grey, decoded.white_is_zero))
        return planes, _cover_by_key(codes, decoded.clear_key)
    if mode in ("1", "L", "RGB"):
        planes = strip.convert("L") if mode == "1" else strip
        return planes, _cover_by_key(np.asarray(planes), decoded.clear_key)
    if decoded.opaque or not strip.has_transparency_data:
        return strip.convert("RGB"), None
    # Only LA goes straight to its grey plane; RGBA drops its cover, a palette is looked up first.
    strip = strip.convert("LA" if mode in ("LA", "La") else "RGBA")
    return strip.convert("L" if strip.mode == "LA" else "RGB"), np.asarray(strip.getchannel("A"))


def _cover_by_key(codes: npt.NDArray[np.unsignedinteger], key: ClearKey) -> Plane | None:
    """Return no cover where a pixel has the one colour that stands for nothing."""
    if key is None:
        return None
    clear = codes == np.asarray(key)
    return np.where(clear.all(axis=-1) if clear.ndim == 3 else clear, 0, 255).astype(np.uint8)


def _eight_bits(codes: npt.NDArray[np.uint16], most: int, white_is_zero: bool) -> Plane:
    """Scale grey codes 0 to `most` to 0 to 255, rounded, and turn them where 0 is white."""
    scaled = (np.minimum(codes, most).astype(np.uint32) * 255 + most // 2) // most
    return (255 - scaled if white_is_zero else scaled).astype(np.uint8)


def _over_white(codes: Srgb8Picture, alpha: Plane) -> Srgb8Picture:
    """Compose sRGB codes over white paper, in these codes, rounded to the nearest."""
    if alpha.min() == 255:
        return codes
    cover = alpha[..., None].astype(np.uint16)
    return ((codes * cover + 255 * (255 - cover) + 127) // 255).astype(np.uint8)


def _conversion(mode: str, icc_profile: bytes | None) -> tuple[ToSrgb, str | None, tuple[Doubt, ...]]:
    """Choose the way from the colour planes to sRGB; also the profile's name and the doubts."""
    doubts: tuple[Doubt, ...] = ()
    name = None
    if icc_profile is not None:
        embedded = _opened(icc_profile)
        name = None if embedded is None else _name(embedded)
        convert = None if embedded is None or mode == "LAB" else _through(embedded, mode)
        if convert is not None:
            return convert, name, doubts
        doubts = () if mode == "LAB" else (Doubt.DAMAGED_PROFILE,)
    if mode == "LAB":  # needs no profile: Lab says what it means
        return _through_lab, name, doubts
    if mode == "CMYK":
        return _through_assumed_cmyk, name, (*doubts, Doubt.NO_PROFILE)
    return _as_rgb, name, doubts


def _paper_of(icc_profile: bytes | None, name: str | None) -> Stock | None:
    """Return the paper and the solid black of a CMYK profile, None where it tells of no credible paper."""
    profile = None if icc_profile is None else _opened(icc_profile)
    if profile is None or name is None:
        return None
    lab = ImageCms.createProfile("LAB")
    try:
        absolute = ImageCms.buildTransform(profile, lab, "CMYK", "LAB", ImageCms.Intent.ABSOLUTE_COLORIMETRIC)
    except ImageCms.PyCMSError:
        return None
    probe = Image.fromarray(np.array([[[0, 0, 0, 0], [0, 0, 0, 255]]], dtype=np.uint8), mode="CMYK")
    paper, black = (float(code) / 255 * 100 for code in np.asarray(_applied(absolute, probe))[0, :, 0])
    least, most = _PAPER_LIGHTNESS
    if not (least <= paper <= most and _LEAST_LIGHTNESS <= black < paper):
        return None
    return Stock(name=name, white1=luminance1_of_lightness(paper), black1=luminance1_of_lightness(black))


def _opened(icc_profile: bytes) -> ImageCms.ImageCmsProfile | None:
    try:
        return ImageCms.ImageCmsProfile(io.BytesIO(icc_profile))
    except (OSError, TypeError, ValueError):
        return None


def _name(profile: ImageCms.ImageCmsProfile) -> str:
    """Return the profile's description on one line, without characters that could upset a terminal."""
    try:
        described = profile.profile.profile_description or ""
    except (AttributeError, OSError, TypeError, ValueError):
        described = ""
    # category C: control, format (such as right-to-left marks), surrogates, unassigned
    plain = "".join(" " if unicodedata.category(c)[0] == "C" else c for c in described)
    return " ".join(plain.split())[:_LONGEST_NAME] or "unnamed profile"


def _through(profile: ImageCms.ImageCmsProfile, mode: str) -> ToSrgb | None:
    """Return the conversion through an embedded profile, None if it isn't one for such pixels."""
    try:
        profile_mode = _MODE_OF_PROFILE.get(profile.profile.xcolor_space.strip())
    except ValueError:  # a colour space whose name isn't text
        return None
    # Programs do save grey pictures with an RGB profile; the same grey in all three channels is meant.
    if profile_mode is None or (profile_mode != mode and (mode, profile_mode) != ("L", "RGB")):
        return None
    transform = _transform(profile, profile_mode)
    if transform is None:
        return None
    if profile_mode != "CMYK" and _changes_nothing(transform, profile_mode):
        return _as_rgb

    def convert(planes: Image.Image) -> Image.Image:
        return _applied(transform, planes if planes.mode == profile_mode else planes.convert(profile_mode))

    return convert


def _transform(profile: ImageCms.ImageCmsProfile, mode: str) -> ImageCms.ImageCmsTransform | None:
    try:
        return ImageCms.buildTransform(
            profile,
            ImageCms.createProfile("sRGB"),
            mode,
            "RGB",
            ImageCms.Intent.RELATIVE_COLORIMETRIC,
            ImageCms.Flags.BLACKPOINTCOMPENSATION,
        )
    except ImageCms.PyCMSError:
        return None


def _applied(transform: ImageCms.ImageCmsTransform, planes: Image.Image) -> Image.Image:
    converted = ImageCms.applyTransform(planes, transform)
    assert converted is not None  # only where it is applied in place
    return converted


def _changes_nothing(transform: ImageCms.ImageCmsTransform, mode: str) -> bool:
    """Tell whether a profile means sRGB: then the codes are kept as they are, without rounding."""
    greys = np.arange(256, dtype=np.uint8)
    steps = np.linspace(0, 255, 18).round().astype(np.uint8)
    mixes = np.stack(np.meshgrid(steps, steps, steps), axis=-1).reshape(-1, 3)
    codes = greys[None] if mode == "L" else np.concatenate([np.stack([greys] * 3, -1), mixes])[None]
    probe = Image.fromarray(codes)
    before, after = (np.asarray(p).astype(int) for p in (_as_rgb(probe), _applied(transform, probe)))
    return bool(abs(after - before).max() <= _NOTICEABLE_CODES)


def _as_rgb(planes: Image.Image) -> Image.Image:
    return planes if planes.mode == "RGB" else planes.convert("RGB")


def _through_lab(planes: Image.Image) -> Image.Image:
    return _applied(_lab_transform(), planes)


def _through_assumed_cmyk(planes: Image.Image) -> Image.Image:
    return _applied(_assumed_cmyk_transform(), planes)


@cache
def _lab_transform() -> ImageCms.ImageCmsTransform:
    transform = _transform(ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")), "LAB")
    assert transform is not None
    return transform


@cache
def _assumed_cmyk_transform() -> ImageCms.ImageCmsTransform:
    transform = _transform(ImageCms.ImageCmsProfile(io.BytesIO(assumed_cmyk_profile())), "CMYK")
    assert transform is not None
    return transform
