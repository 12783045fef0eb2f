"""Every kind of file and pixel comes out as the sRGB codes that were meant."""

import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image

from artwork_files import png_bytes, psd_bytes, resolution_info, tiff_bytes
from standback.artwork import Artwork, load
from standback.doubts import Doubt
from standback.sheet import parse_size

Codes = npt.NDArray[np.uint8]
WIDTH_PX, HEIGHT_PX = 24, 16
SIZE = parse_size("120x80mm")


def colours() -> Codes:
    """Four fields of flat colour."""
    srgb8 = np.empty((HEIGHT_PX, WIDTH_PX, 3), np.uint8)
    srgb8[:8, :12], srgb8[:8, 12:] = (255, 255, 255), (200, 30, 60)
    srgb8[8:, :12], srgb8[8:, 12:] = (20, 120, 80), (0, 0, 0)
    return srgb8


def loaded(path: Path, **options: Any) -> Artwork:
    return load(path, **{"size": SIZE, **options})


def pixel(artwork: Artwork, x: int = 0, y: int = 0) -> tuple[int, ...]:
    return tuple(int(v) for v in artwork.srgb8[y, x])


@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("a.png", {}),
        ("a.tif", {}),
        ("a.tif", {"compression": "tiff_lzw"}),
        ("a.tif", {"compression": "tiff_adobe_deflate"}),
        ("a.webp", {"lossless": True}),
    ],
)
def test_lossless_rgb(tmp_path: Path, name: str, options: dict[str, Any]) -> None:
    Image.fromarray(colours()).save(tmp_path / name, **options)
    artwork = loaded(tmp_path / name)
    assert np.array_equal(artwork.srgb8, colours())
    assert (artwork.colour, artwork.profile, artwork.doubts) == ("RGB", None, ())
    assert artwork.file == str(tmp_path / name)


def test_jpeg(tmp_path: Path) -> None:
    Image.fromarray(colours()).save(tmp_path / "a.jpg", quality=95, subsampling=0)
    artwork = loaded(tmp_path / "a.jpg")
    assert abs(artwork.srgb8.astype(int) - colours()).max() <= 12
    assert artwork.srgb8[3, 3] == pytest.approx(255, abs=2)


def test_content_decides_not_the_name(tmp_path: Path) -> None:
    Image.fromarray(colours()).save(tmp_path / "a.png")
    misnamed = (tmp_path / "a.png").rename(tmp_path / "a.jpg")
    assert np.array_equal(loaded(misnamed).srgb8, colours())


def test_paths_may_be_text(tmp_path: Path) -> None:
    Image.fromarray(colours()).save(tmp_path / "a.png")
    assert load(str(tmp_path / "a.png"), size=SIZE).file == str(tmp_path / "a.png")


@pytest.mark.parametrize(("name", "mode"), [("a.png", "L"), ("a.tif", "L"), ("a.jpg", "L")])
def test_grey(tmp_path: Path, name: str, mode: str) -> None:
    Image.new(mode, (24, 16), 119).save(tmp_path / name)
    artwork = loaded(tmp_path / name)
    assert pixel(artwork, 5, 5) == (119, 119, 119)
    assert artwork.colour == "grey"


@pytest.mark.parametrize("name", ["a.png", "a.tif"])
def test_one_bit(tmp_path: Path, name: str) -> None:
    picture = Image.new("1", (24, 16), 1)
    picture.putpixel((3, 2), 0)
    picture.save(tmp_path / name)
    artwork = loaded(tmp_path / name)
    assert (pixel(artwork), pixel(artwork, 3, 2)) == ((255, 255, 255), (0, 0, 0))
    assert artwork.colour == "1-bit"


def test_palette(tmp_path: Path) -> None:
    Image.fromarray(colours()).quantize(8).save(tmp_path / "a.png")
    artwork = loaded(tmp_path / "a.png")
    assert np.array_equal(artwork.srgb8, colours())
    assert artwork.colour == "palette"


def test_palette_with_cover_for_each_entry(tmp_path: Path) -> None:
    picture = Image.new("P", (24, 16), 0)
    picture.putpalette([0, 0, 0, 200, 0, 0, 0, 0, 255])
    for x, entry in enumerate((0, 1, 2)):
        picture.putpixel((x, 0), entry)
    picture.save(tmp_path / "a.png", transparency=bytes([255, 127, 0]))
    artwork = loaded(tmp_path / "a.png")
    # half-covered (200, 0, 0): 200 * 127/255 + 255 * 128/255 = 227.6, and 128
    assert [pixel(artwork, x) for x in range(3)] == [(0, 0, 0), (228, 128, 128), (255, 255, 255)]


def test_palette_with_one_clear_entry(tmp_path: Path) -> None:
    picture = Image.new("P", (24, 16), 1)
    picture.putpalette([9, 9, 9, 50, 60, 70])
    picture.putpixel((1, 0), 0)
    picture.save(tmp_path / "a.gif", transparency=0)
    artwork = loaded(tmp_path / "a.gif")
    assert (pixel(artwork), pixel(artwork, 1)) == ((50, 60, 70), (255, 255, 255))


@pytest.mark.parametrize(("alpha", "expected"), [(255, 0), (127, 128), (64, 191), (0, 255)])
@pytest.mark.parametrize("mode", ["RGBA", "LA"])
@pytest.mark.parametrize("name", ["a.png", "a.tif", "a.webp"])
def test_transparency_is_composed_over_white_in_the_files_own_codes(
    tmp_path: Path, name: str, mode: str, alpha: int, expected: int
) -> None:
    black = (0, 0, 0, alpha) if mode == "RGBA" else (0, alpha)
    options: dict[str, Any] = {"lossless": True, "exact": True} if name == "a.webp" else {}
    Image.new(mode, (24, 16), black).save(tmp_path / name, **options)
    assert pixel(loaded(tmp_path / name)) == (expected,) * 3


def test_16_bit_grey_is_scaled_not_clipped(tmp_path: Path) -> None:
    codes = np.zeros((16, 24), np.uint16)
    codes[0, :5] = (0, 257, 30583, 32896, 65535)
    for name in ("a.png", "a.tif"):
        Image.fromarray(codes).save(tmp_path / name)
        artwork = loaded(tmp_path / name)
        # 257 codes of 16 bits are one of 8
        assert artwork.srgb8[0, :5, 0].tolist() == [0, 1, 119, 128, 255]
        assert artwork.colour == "grey"


def test_16_bit_grey_whose_zero_is_white(tmp_path: Path) -> None:
    codes = np.zeros((16, 24), np.uint16)
    codes[0, 1] = 65535
    (tmp_path / "a.tif").write_bytes(tiff_bytes(codes, photometric=0))
    artwork = loaded(tmp_path / "a.tif")
    assert (pixel(artwork), pixel(artwork, 1)) == ((255, 255, 255), (0, 0, 0))


def test_12_bit_grey(tmp_path: Path) -> None:
    # two pixels in three bytes: 0xfff (white) and 0x800
    rows = np.array([[0xFF, 0xF8, 0x00] * 12] * 16, np.uint8)
    data = bytearray(tiff_bytes(rows, photometric=1))
    data = data.replace(struct.pack("<HHII", 256, 4, 1, 36), struct.pack("<HHII", 256, 4, 1, 24))
    data = data.replace(struct.pack("<HHII", 258, 3, 1, 8), struct.pack("<HHII", 258, 3, 1, 12))
    (tmp_path / "a.tif").write_bytes(data)
    artwork = loaded(tmp_path / "a.tif")
    assert (pixel(artwork), pixel(artwork, 1)) == ((255,) * 3, (128,) * 3)


def test_16_bit_rgb(tmp_path: Path) -> None:
    codes = np.zeros((16, 24, 3), np.uint16)
    codes[...] = (65535, 0x8080, 0)
    rows = [row.astype(">u2").tobytes() for row in codes]
    (tmp_path / "a.png").write_bytes(png_bytes(rows, 24, 16, 2))
    (tmp_path / "a.tif").write_bytes(tiff_bytes(codes, photometric=2))
    for name in ("a.png", "a.tif"):
        assert pixel(loaded(tmp_path / name)) == (255, 128, 0)


@pytest.mark.parametrize(
    ("depth", "colour_type", "row", "key", "expected"),
    [
        (1, 0, bytes([0b01000000, 0, 0]), b"\0\1", [0, 255, 0]),
        (2, 0, bytes([0b10_01_11_00] + [0] * 5), b"\0\1", [170, 255, 255]),
        (4, 0, bytes([0x34, 0xF0] + [0] * 10), b"\0\4", [51, 255, 255]),
        (8, 0, bytes([7, 8, 9] + [0] * 21), b"\0\x08", [7, 255, 9]),
        (16, 0, bytes([0, 7, 5, 6, 0, 9] + [0] * 42), b"\5\6", [0, 255, 0]),
        (8, 2, bytes([7, 7, 7, 8, 8, 8, 8, 8, 9] + [0] * 63), b"\0\x08\0\x08\0\x08", [7, 255, 8]),
        (16, 2, bytes([7, 1] * 3 + [8, 1] * 3 + [9, 1] * 3 + [0] * 126), b"\x08\1" * 3, [7, 255, 9]),
    ],
)
def test_one_clear_colour(
    tmp_path: Path, depth: int, colour_type: int, row: bytes, key: bytes, expected: list[int]
) -> None:
    data = png_bytes([row] * 16, 24, depth, colour_type, {b"tRNS": key})
    (tmp_path / "a.png").write_bytes(data)
    assert loaded(tmp_path / "a.png").srgb8[0, :3, 0].tolist() == expected


def test_pages_of_a_tiff(tmp_path: Path) -> None:
    first, second = Image.new("RGB", (24, 16), (1, 2, 3)), Image.new("L", (48, 32), 77)
    first.save(tmp_path / "a.tif", save_all=True, append_images=[second])
    assert pixel(loaded(tmp_path / "a.tif")) == (1, 2, 3)
    other = loaded(tmp_path / "a.tif", page=2)
    assert (pixel(other), other.width_px, other.colour, other.doubts) == ((77,) * 3, 48, "grey", ())


@pytest.mark.parametrize("name", ["a.gif", "a.png", "a.webp"])
def test_animations_show_their_first_frame(tmp_path: Path, name: str) -> None:
    frames = [Image.new("RGB", (24, 16), colour) for colour in ((255, 0, 0), (0, 0, 255))]
    options: dict[str, Any] = {"lossless": True} if name == "a.webp" else {}
    frames[0].save(tmp_path / name, save_all=True, append_images=frames[1:], **options)
    artwork = loaded(tmp_path / name)
    assert pixel(artwork) == (255, 0, 0)
    assert artwork.doubts == (Doubt.ANIMATED,)


def test_a_still_gif_is_no_animation(tmp_path: Path) -> None:
    Image.new("RGB", (24, 16), (255, 0, 0)).save(tmp_path / "a.gif")
    assert loaded(tmp_path / "a.gif").doubts == ()


PLANE = np.full((16, 24), 50, np.uint8)


@pytest.mark.parametrize(
    ("planes", "mode", "colour"),
    [
        ([PLANE, PLANE + 50, PLANE + 100], 3, "RGB"),
        ([PLANE], 1, "grey"),
    ],
)
def test_photoshop(tmp_path: Path, planes: list[Codes], mode: int, colour: str) -> None:
    (tmp_path / "a.psd").write_bytes(psd_bytes(planes, mode))
    artwork = loaded(tmp_path / "a.psd")
    assert pixel(artwork) == ((50, 100, 150) if mode == 3 else (50, 50, 50))
    assert artwork.colour == colour


def test_photoshop_palette(tmp_path: Path) -> None:
    palette = bytes([0] * 50 + [9] + [0] * 205 + [0] * 50 + [8] + [0] * 205 + [0] * 50 + [7] + [0] * 205)
    (tmp_path / "a.psd").write_bytes(psd_bytes([PLANE], 2, palette=palette))
    artwork = loaded(tmp_path / "a.psd")
    assert (pixel(artwork), artwork.colour) == ((9, 8, 7), "palette")


def test_photoshop_fourth_channel_is_no_transparency(tmp_path: Path) -> None:
    saved_selection = np.zeros((16, 24), np.uint8)
    (tmp_path / "a.psd").write_bytes(psd_bytes([PLANE, PLANE, PLANE, saved_selection], 3))
    assert pixel(loaded(tmp_path / "a.psd")) == (50, 50, 50)


def test_photoshop_resolution(tmp_path: Path) -> None:
    tall = np.zeros((300, 200), np.uint8)
    (tmp_path / "a.psd").write_bytes(psd_bytes([tall], 1, resources={1005: resolution_info(40, 50)}))
    artwork = load(tmp_path / "a.psd", size=None)
    assert artwork.width_mm == pytest.approx(127)
    assert artwork.height_mm == pytest.approx(152.4)


def test_multi_picture_jpeg_is_a_plain_jpeg(tmp_path: Path) -> None:
    frames = [Image.new("RGB", (24, 16), colour) for colour in ((250, 250, 250), (0, 0, 0))]
    frames[0].save(tmp_path / "a.jpg", format="MPO", save_all=True, append_images=frames[1:])
    artwork = loaded(tmp_path / "a.jpg")
    assert pixel(artwork) == (250, 250, 250)
    assert artwork.doubts == ()


def displayed() -> Codes:
    """A picture without any symmetry, 6 x 4 fields of 25 px; every field has its own grey."""
    fields = np.arange(24, dtype=np.uint8).reshape(4, 6) * 10
    return np.repeat(np.kron(fields, np.ones((25, 25), np.uint8))[..., None], 3, axis=-1)


# EXIF 2.32, tag 0x0112: where the stored picture's first row and first column are seen.
# Seen y and x of the stored sample (row r, column c), with h and w the seen height and width.
ORIENTATIONS: dict[int, Callable[..., Any]] = {
    1: lambda r, c, h, w: (r, c),
    2: lambda r, c, h, w: (r, w - 1 - c),
    3: lambda r, c, h, w: (h - 1 - r, w - 1 - c),
    4: lambda r, c, h, w: (h - 1 - r, c),
    5: lambda r, c, h, w: (c, r),
    6: lambda r, c, h, w: (c, w - 1 - r),
    7: lambda r, c, h, w: (h - 1 - c, w - 1 - r),
    8: lambda r, c, h, w: (h - 1 - c, r),
}


@pytest.mark.parametrize("name", ["a.png", "a.tif", "a.webp", "a.jpg", "lzw.tif"])
@pytest.mark.parametrize("orientation", ORIENTATIONS)
def test_orientation_turns_picture_and_resolution(tmp_path: Path, name: str, orientation: int) -> None:
    seen = displayed()
    h, w = seen.shape[:2]
    stored_shape = (h, w) if orientation <= 4 else (w, h)
    stored = seen[ORIENTATIONS[orientation](*np.indices(stored_shape), h, w)]
    # 30 px an inch along seen x, 25 along seen y
    dpi = (30, 25) if orientation <= 4 else (25, 30)
    exif = Image.Exif()
    exif[0x0112] = orientation
    options: dict[str, Any] = {"exif": exif, "dpi": dpi, "quality": 100}
    if name == "a.webp":
        exif[0x011A], exif[0x011B], exif[0x0128] = *dpi, 2
        options["lossless"] = True
    if name == "lzw.tif":
        options.pop("quality")
        options["compression"] = "tiff_lzw"
    Image.fromarray(stored).save(tmp_path / name, **options)
    artwork = load(tmp_path / name, size=None)
    assert artwork.srgb8.shape == seen.shape
    assert abs(artwork.srgb8.astype(int) - seen).max() <= (3 if name == "a.jpg" else 0)
    assert artwork.width_mm == pytest.approx(150 / 30 * 25.4, rel=1e-3)
    assert artwork.height_mm == pytest.approx(100 / 25 * 25.4, rel=1e-3)


def test_each_page_has_its_own_resolution(tmp_path: Path) -> None:
    first, second = Image.new("L", (200, 300)), Image.new("L", (200, 300))
    second.encoderinfo = {"dpi": (20, 20)}
    first.save(tmp_path / "a.tif", save_all=True, append_images=[second], dpi=(40, 40))
    assert load(tmp_path / "a.tif", size=None).width_mm == pytest.approx(127)
    assert load(tmp_path / "a.tif", size=None, page=2).width_mm == pytest.approx(254)
