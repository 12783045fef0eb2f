"""Small valid files of every kind and make that the loader takes, to be spoilt."""

import io
import struct
from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image, PngImagePlugin

from artwork_files import (
    cmyk_table,
    described,
    gamma_curve,
    icc_bytes,
    psd_bytes,
    resolution_info,
    tiff_bytes,
    xyz,
)
from pdf_files import box, pdf_bytes, text

WIDTH_PX, HEIGHT_PX = 48, 32
PIXELS = np.random.default_rng(3).integers(0, 256, (HEIGHT_PX, WIDTH_PX, 4), dtype=np.uint8)
PIXELS[:, ::3] = 240  # runs, so that every way of packing has some

BRIEF = """\
# what the poster must do
[sheet]
size = "A2"
stock = "uncoated"
bleed = "3 mm"

[viewing]
from = "8 m"
light = "100 lx"
viewer = "older"

[limits]
text_ratio = 7

[[lines]]
name = "date"
box = [24, 261.5, 206, 290]
tier = "support"
role = "date"
wording = "Saturday 12 September"

[[lines]]
name = "place"
place = "bottom left"
station = "far"

[[figures]]
name = "heron"
box = [260, 20, 400, 400]

[groups]
when = ["date", "place"]

[[waivers]]
check = "read-late"
line = "date"
reason = "people ask at the door"

[[remarks]]
place = "top right"
text = "The corner wants more air."
"""


def corpus() -> dict[str, tuple[bytes, ...]]:
    """Return valid files by their kind; "brief" among them."""
    return {
        "png": tuple(_pngs()),
        "jpeg": tuple(_jpegs()),
        "tiff": tuple(_tiffs()),
        "webp": tuple(_webps()),
        "psd": tuple(_psds()),
        "gif": tuple(_gifs()),
        "pdf": tuple(_pdfs()),
        "brief": (BRIEF.encode(), BRIEF.replace("\n", "\r\n").encode()),
    }


def rgb_profile() -> bytes:
    """Return a profile that is not sRGB, so that the colour engine has work to do."""
    tags = {name: gamma_curve(1.8) for name in (b"rTRC", b"gTRC", b"bTRC")}
    colorants = {b"rXYZ": xyz(0.61, 0.31, 0.02), b"gXYZ": xyz(0.2, 0.63, 0.07), b"bXYZ": xyz(0.15, 0.06, 0.74)}
    return icc_bytes(b"RGB ", b"XYZ ", {b"desc": described(b"Made up"), **tags, **colorants})


def cmyk_profile() -> bytes:
    """Return a profile for four inks: a table of 16 corners."""
    corners = np.zeros((2, 2, 2, 2, 3))
    c, m, y, k = np.indices((2, 2, 2, 2))
    corners[..., 0] = 95 - 20 * (c + m) - 8 * y - 38 * k
    corners[..., 1], corners[..., 2] = 60 * m - 30 * c, 80 * y - 30 * c
    return icc_bytes(b"CMYK", b"Lab ", {b"desc": described(b"Made up"), b"A2B0": cmyk_table(corners)})


def tiled_tiff(tile_px: int = 16) -> bytes:
    """Return an uncompressed TIFF 6.0 of RGB tiles, which Pillow doesn't write."""
    down, across = HEIGHT_PX // tile_px, WIDTH_PX // tile_px
    blocks = PIXELS[..., :3].reshape(down, tile_px, across, tile_px, 3).swapaxes(1, 2)
    tiles = [block.tobytes() for block in blocks.reshape(-1, tile_px, tile_px, 3)]
    data = b"".join(tiles)
    offsets_at = 8 + len(data)
    counts_at, bits_at = offsets_at + 4 * len(tiles), offsets_at + 8 * len(tiles)
    short, long = 3, 4
    entries = [
        (256, long, 1, WIDTH_PX),
        (257, long, 1, HEIGHT_PX),
        (258, short, 3, bits_at),
        (259, short, 1, 1),
        (262, short, 1, 2),
        (277, short, 1, 3),
        (322, long, 1, tile_px),
        (323, long, 1, tile_px),
        (324, long, len(tiles), offsets_at),
        (325, long, len(tiles), counts_at),
    ]
    offsets = struct.pack(f"<{len(tiles)}I", *(8 + at * len(tiles[0]) for at in range(len(tiles))))
    counts = struct.pack(f"<{len(tiles)}I", *map(len, tiles))
    directory_at = bits_at + 6
    directory = struct.pack("<H", len(entries)) + b"".join(struct.pack("<HHII", *entry) for entry in entries)
    head = b"II*\0" + struct.pack("<I", directory_at)
    return head + data + offsets + counts + struct.pack("<3H", 8, 8, 8) + directory + bytes(4)


def _pngs() -> Iterator[bytes]:
    said = PngImagePlugin.PngInfo()
    said.add_text("Title", "<b>poster</b>")
    said.add_itxt("Comment", "\u202eretsop", zip=True)
    yield _saved("RGB", "PNG", dpi=(150, 150), pnginfo=said)
    yield _saved("RGBA", "PNG", icc_profile=rgb_profile(), exif=_exif())
    yield _saved("L", "PNG", transparency=240)
    yield _saved("1", "PNG")
    palette = Image.fromarray(PIXELS[..., :3]).quantize(16)
    yield _as_bytes(palette, "PNG", transparency=b"\0\x80\xff")
    yield _as_bytes(Image.fromarray(_deep()), "PNG")
    yield _as_bytes(_picture("RGB"), "PNG", save_all=True, append_images=[_picture("RGB").rotate(180)])


def _jpegs() -> Iterator[bytes]:
    yield _saved("RGB", "JPEG", quality=85, dpi=(150, 150), exif=_exif())
    yield _saved("RGB", "JPEG", quality=60, progressive=True, icc_profile=rgb_profile(), comment=b"\x1b[31mred")
    yield _saved("L", "JPEG", quality=90, optimize=True)
    yield _saved("CMYK", "JPEG", quality=85, icc_profile=cmyk_profile())
    yield _saved("RGB", "JPEG", quality=85, subsampling=2, restart_marker_blocks=1)


def _tiffs() -> Iterator[bytes]:
    for packing in ("raw", "tiff_lzw", "tiff_adobe_deflate", "packbits", "jpeg"):
        yield _saved("RGB", "TIFF", compression=packing, dpi=(150, 150))
    yield _saved("RGB", "TIFF", compression="tiff_lzw", tiffinfo={317: 2, 274: 6, 270: "<b>poster</b>"})
    yield _saved("CMYK", "TIFF", compression="tiff_lzw", icc_profile=cmyk_profile())
    yield _saved("RGBA", "TIFF", compression="tiff_adobe_deflate")
    yield _saved("1", "TIFF", compression="group4")
    yield _saved("LAB", "TIFF")
    yield _as_bytes(Image.fromarray(_deep()), "TIFF", compression="tiff_lzw")
    pages = [_picture("RGB").rotate(180), _picture("L")]
    yield _as_bytes(_picture("RGB"), "TIFF", save_all=True, append_images=pages, compression="tiff_lzw")
    yield tiled_tiff()
    yield tiff_bytes(PIXELS[..., :3].astype(np.uint16) * 257, photometric=2)
    yield tiff_bytes(_deep(), photometric=0)


def _webps() -> Iterator[bytes]:
    yield _saved("RGB", "WEBP", lossless=True, exif=_exif())
    yield _saved("RGB", "WEBP", quality=70, icc_profile=rgb_profile())
    yield _saved("RGBA", "WEBP", quality=70)
    yield _as_bytes(_picture("RGB"), "WEBP", save_all=True, append_images=[_picture("RGB").rotate(180)])


def _psds() -> Iterator[bytes]:
    resources = {1005: resolution_info(150, 150), 1057: b"\0\0\0\1\1"}
    planes = [PIXELS[..., channel] for channel in range(4)]
    yield psd_bytes(planes[:3], 3, resources=resources)
    yield psd_bytes(planes, 4, resources={**resources, 1039: cmyk_profile()})
    yield psd_bytes(planes[:1], 1)
    yield psd_bytes(planes[:3], 9)
    yield psd_bytes(planes[:1], 2, palette=bytes(range(256)) * 3)
    yield _packed_psd(planes[:3])


def _packed_psd(planes: list[npt.NDArray[np.uint8]]) -> bytes:
    """Return a Photoshop file whose rows are packed (PackBits), as the program itself writes them."""
    plain = psd_bytes(planes, 3)
    head = plain[: len(plain) - sum(plane.size for plane in planes) - 2]
    rows = [b"".join(b"\0" + bytes([code]) for code in row.tobytes()) for plane in planes for row in plane]
    return head + struct.pack(">H", 1) + struct.pack(f">{len(rows)}H", *map(len, rows)) + b"".join(rows)


def _gifs() -> Iterator[bytes]:
    yield _saved("L", "GIF")
    yield _as_bytes(_picture("L"), "GIF", save_all=True, append_images=[_picture("L").rotate(180)], transparency=0)


def _pdfs() -> Iterator[bytes]:
    words = text("Open quarry day", x=40, y=600, size=60) + box(0, 0, 200, 100, "1 0 0 rg")
    yield pdf_bytes(words, media_pt=(0, 0, 300, 420))
    yield pdf_bytes(words, words, media_pt=(0, 0, 320, 440), boxes={"TrimBox": (10, 10, 310, 430)}, turned_deg=90)


def _exif() -> Image.Exif:
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x011A], exif[0x011B], exif[0x0128] = 150.0, 150.0, 2
    exif[0x010E] = "<script>poster</script>"
    return exif


def _deep() -> npt.NDArray[np.uint16]:
    return PIXELS[..., 0].astype(np.uint16) * 257


def _picture(mode: str) -> Image.Image:
    if mode in ("CMYK", "RGBA"):
        return Image.frombytes(mode, (WIDTH_PX, HEIGHT_PX), PIXELS.tobytes())
    if mode == "LAB":
        return Image.frombytes(mode, (WIDTH_PX, HEIGHT_PX), PIXELS[..., :3].tobytes())
    return Image.fromarray(PIXELS[..., :3]).convert(mode)


def _saved(mode: str, kind: str, **options: Any) -> bytes:
    return _as_bytes(_picture(mode), kind, **options)


def _as_bytes(picture: Image.Image, kind: str, **options: Any) -> bytes:
    stream = io.BytesIO()
    picture.save(stream, kind, **options)
    return stream.getvalue()
