"""From an open file to one decoded picture, with what the file says of it."""

import logging
import os
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import IO

from PIL import Image, ImageFile, PngImagePlugin, PsdImagePlugin, TiffImagePlugin, UnidentifiedImageError

from standback.artwork import psd, tags
from standback.artwork.opening import kind_of
from standback.errors import UnreadableError

ClearKey = int | tuple[int, ...] | None
_STDERR = 2
_ANIMATED_KINDS = ("GIF", "PNG", "WEBP")
MOST_PAGES = 1000
"""How far into a TIFF pages are looked for (ours): each is found through all before it."""
_MOST_PNG_TEXT_BYTES = 16_000_000
"""A profile or a note packed in a PNG may be this large (ours); Pillow's own 1 MB is less than some profiles have."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Decoded:
    """One picture as stored in the file.

    Attributes
    ----------
    image
        The pixels, decoded, in the file's own colour space and as stored (not yet turned).
    turn
        EXIF orientation still to be applied, 1 to 8; 1 for none.
    resolutions_ppi
        What the file says of its resolution, along x and y as displayed; the most trusted first.
    icc_profile
        The embedded colour profile, None without one.
    most_grey
        The code of white in a picture of more than 8 bits a channel.
    white_is_zero
        Whether such a picture's codes run from white to black.
    clear_key
        The one colour, in the codes of `image`, that stands for no ink; None where there is none.
    opaque
        Whether a fourth channel isn't transparency.
    """

    image: Image.Image
    turn: int
    resolutions_ppi: tuple[tuple[float, float], ...]
    icc_profile: bytes | None
    animated: bool
    most_grey: int = 65535
    white_is_zero: bool = False
    clear_key: ClearKey = None
    opaque: bool = False


@contextmanager
def quiet_pillow(max_megapixels: float) -> Iterator[None]:
    """Keep Pillow's warnings and log in, and let our pixel limit stand in for its own.

    Pillow refuses at twice its limit, before it allocates anything; between once and twice we do.
    """
    own_limit, log = Image.MAX_IMAGE_PIXELS, logging.getLogger("PIL")
    own_level, own_text_limit = log.level, PngImagePlugin.MAX_TEXT_CHUNK
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        Image.MAX_IMAGE_PIXELS = max(1, int(max_megapixels * 1e6))
        PngImagePlugin.MAX_TEXT_CHUNK = _MOST_PNG_TEXT_BYTES
        log.setLevel(logging.CRITICAL)
        try:
            yield
        finally:
            Image.MAX_IMAGE_PIXELS, PngImagePlugin.MAX_TEXT_CHUNK = own_limit, own_text_limit
            log.setLevel(own_level)


def decode(file: IO[bytes], *, page: int, max_megapixels: float) -> Decoded:
    """Read one picture from an open file, inside `quiet_pillow`.

    Parameters
    ----------
    page
        1-based page of a multi-page TIFF; other kinds have one page.

    Raises
    ------
    UnreadableError
        If there is no picture, more than `max_megapixels`, no such page, or the data are damaged.
    """
    kind = kind_of(file)
    with _plain_faults(kind, max_megapixels):
        image: ImageFile.ImageFile = Image.open(file, formats=(kind,))
    _turn_to_page(image, page, max_megapixels)
    width_px, height_px = image.size
    if min(width_px, height_px) < 1:
        raise UnreadableError("it has no pixels: export it again")
    if width_px * height_px > max_megapixels * 1e6:
        raise UnreadableError(
            f"it has {width_px} x {height_px} px, which is more than {max_megapixels:g} megapixels: "
            "export it smaller, or allow more with --max-megapixels"
        )
    if isinstance(image, PsdImagePlugin.PsdImageFile):
        psd.check_merged(image.resources)
    clear_key = _clear_key(image)
    stored_turn = tags.tiff_turn(image)
    animated = kind in _ANIMATED_KINDS and _is_animated(image)
    with _plain_faults(kind, max_megapixels), _libtiff_silenced(kind):
        image.load()
    exif = tags.exif(image)
    turn = tags.turn(exif)
    # Pillow turns TIFF pictures itself while it loads them and drops the tag; their resolution stays.
    swapped = max(stored_turn, turn) >= 5
    return Decoded(
        image=image,
        turn=turn,
        resolutions_ppi=tuple((y, x) if swapped else (x, y) for x, y in tags.resolutions_ppi(image, exif)),
        icc_profile=tags.icc_profile(image),
        animated=animated,
        most_grey=2 ** tags.bits(image) - 1,
        white_is_zero=tags.tiff_tag(image, tags.PHOTOMETRIC) == tags.WHITE_IS_ZERO,
        clear_key=clear_key,
        # Photoshop merges its layers over white already; a fourth channel may also be a saved selection.
        opaque=kind == "PSD",
    )


@contextmanager
def _plain_faults(kind: str, max_megapixels: float) -> Iterator[None]:
    """Say whatever Pillow raises in one sentence. Keep only Pillow's own calls inside.

    On damaged data its decoders raise nearly anything: OSError, SyntaxError, ValueError, KeyError,
    struct.error, zlib.error, ...
    """
    try:
        yield
    except Image.DecompressionBombError:
        raise UnreadableError(
            f"it has more than {2 * max_megapixels:g} megapixels, and {max_megapixels:g} are allowed: "
            "export it smaller, or allow more with --max-megapixels"
        ) from None
    except MemoryError:
        raise UnreadableError("it is too large for this machine's memory: export it smaller") from None
    except UnidentifiedImageError:
        raise UnreadableError(
            f"its {_named(kind)} data are damaged or of a rare kind: export it again, with 8 bits a channel"
        ) from None
    except Exception:
        raise UnreadableError(f"its {_named(kind)} data are damaged or cut short: export it again") from None


@contextmanager
def _libtiff_silenced(kind: str) -> Iterator[None]:
    """Keep libtiff from writing to the process's stderr, past Python; what went wrong is said by us."""
    own_stderr = _copy_of_stderr() if kind == "TIFF" else None
    if own_stderr is None:
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, _STDERR)
    os.close(nowhere)
    try:
        yield
    finally:
        os.dup2(own_stderr, _STDERR)
        os.close(own_stderr)


def _copy_of_stderr() -> int | None:
    try:
        return os.dup(_STDERR)
    except OSError:  # closed
        return None


def _named(kind: str) -> str:
    return {"PSD": "Photoshop", "WEBP": "WebP"}.get(kind, kind)


def _turn_to_page(image: Image.Image, page: int, max_megapixels: float) -> None:
    if page == 1:
        return
    pages = 1
    if isinstance(image, TiffImagePlugin.TiffImageFile):
        if page > MOST_PAGES:
            raise UnreadableError(f"only its first {MOST_PAGES} pages can be read: export page {page} by itself")
        with _plain_faults("TIFF", max_megapixels):
            pages = _pages_up_to(image, page if page >= 1 else MOST_PAGES)
            if pages == page:
                return
    if pages > 1:
        raise UnreadableError(f"there is no page {page}: it has {pages}, so give --page from 1 to {pages}")
    raise UnreadableError(f"there is no page {page}: it has only one, so leave --page out")


def _pages_up_to(image: Image.Image, page: int) -> int:
    """Turn to a page, or to the last one before it, and return which that is.

    Page by page: Pillow's own count goes on to the last, the longer a page takes the more lie before it, and it
    miscounts once it has been sent beyond the end.
    """
    for at in range(1, page):
        try:
            image.seek(at)
        except EOFError:
            return at
    return page


def _clear_key(image: ImageFile.ImageFile) -> ClearKey:
    """Return the transparent colour of a picture that has no palette, before it is loaded.

    A PNG states it in the file's own codes, and Pillow hands it on as it is.
    """
    key = image.info.get("transparency")
    if key is None or image.mode not in ("1", "L", "I;16", "RGB"):
        return None
    layout = str(image.tile[0][3]) if image.tile else ""
    if layout == "RGB;16B" and isinstance(key, tuple):
        return tuple(code >> 8 for code in key)
    if isinstance(key, int):
        return key * {"L;2": 85, "L;4": 17}.get(layout, 1)
    return key if isinstance(key, tuple) else None


def _is_animated(image: Image.Image) -> bool:
    try:
        return bool(getattr(image, "is_animated", False))
    except Exception:  # a GIF looks for its second frame in data that may be damaged
        return False
