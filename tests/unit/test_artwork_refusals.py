"""Bad input: one plain sentence each, no exception of another kind, no warning, no waiting."""

import errno
import os
import re
import struct
import sys
import warnings
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from artwork_files import png_bytes, psd_bytes, tiff_bytes
from standback.artwork import load
from standback.errors import UnreadableError
from standback.sheet import parse_size

SIZE = parse_size("120x80mm")
NOISE = np.random.default_rng(5).integers(0, 256, (160, 240, 3), dtype=np.uint8)


def refusal(path: Path, **options: Any) -> str:
    """Return why a file was refused; whatever the reason, it must be fit to print after the file's name."""
    with pytest.raises(UnreadableError) as refused:
        load(path, **{"size": SIZE, **options})
    says = str(refused.value)
    assert path.name not in says
    assert not re.search(r"Error|Exception|Errno|Traceback|\n|Pillow|PIL", says)
    assert says[0].islower() and not says.endswith(".")
    assert ":" in says or ";" in says  # what is wrong: what to do
    return says


def test_missing(tmp_path: Path) -> None:
    assert refusal(tmp_path / "none.png") == "there is no such file: check the name"
    (tmp_path / "file").write_bytes(b"x")
    assert refusal(tmp_path / "file" / "in.png") == "there is no such file: check the name"
    assert refusal(tmp_path / ("long" * 200)) == "there is no such file: check the name"
    assert refusal(tmp_path / "null\0byte") == "there is no such file: check the name"
    (tmp_path / "dangling.png").symlink_to(tmp_path / "gone.png")
    assert refusal(tmp_path / "dangling.png") == "there is no such file: check the name"


def test_folder(tmp_path: Path) -> None:
    assert refusal(tmp_path) == "it is a folder: name the artwork file inside it"


def test_empty(tmp_path: Path) -> None:
    (tmp_path / "a.png").touch()
    assert refusal(tmp_path / "a.png") == "the file is empty: export it again"


def test_link_loop(tmp_path: Path) -> None:
    (tmp_path / "a.png").symlink_to(tmp_path / "b.png")
    (tmp_path / "b.png").symlink_to(tmp_path / "a.png")
    says = "it is a link that leads back to itself: name the artwork file instead"
    assert refusal(tmp_path / "a.png") == says


def test_pipe_and_device(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.png")
    (tmp_path / "linked.png").symlink_to(tmp_path / "a.png")
    for path in (tmp_path / "a.png", tmp_path / "linked.png", Path("/dev/zero"), Path("/dev/null")):
        assert refusal(path) == "it is not a file but a pipe or a device: save the artwork as a file first"


def test_a_file_swapped_for_a_pipe_is_not_waited_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.png"
    Image.new("L", (24, 16)).save(path)
    as_file = path.stat()
    path.unlink()
    os.mkfifo(path)
    monkeypatch.setattr(Path, "stat", lambda self: as_file)
    assert "a pipe or a device" in refusal(path)


@pytest.mark.parametrize(
    ("number", "says"),
    [
        (errno.EACCES, "it may not be read: change its permissions"),
        (errno.EIO, "it can't be opened (input/output error): copy it somewhere else and try again"),
    ],
)
def test_files_that_cannot_be_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, says: str) -> None:
    # Not by permissions alone: root, as tests in a container often run, may read any file.
    def deny(*_: object) -> int:
        raise OSError(number, os.strerror(number))

    Image.new("L", (24, 16)).save(tmp_path / "a.png")
    monkeypatch.setattr(os, "open", deny)
    assert refusal(tmp_path / "a.png") == says


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"dear all, the poster is attached", "it is not a picture that can be read"),
        (b"\0" * 100, "it is not a picture that can be read"),
        (b"\x89", "it is not a picture that can be read"),
        (b"%!PS-Adobe-3.0 EPSF-3.0", "it is a PostScript file"),
        (b"\xc5\xd0\xd3\xc6\x20\0\0\0", "it is a PostScript file"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "it is an SVG drawing"),
        (b"\n <?xml version='1.0'?><svg/>", "it is an SVG drawing or other text"),
        (b"\0\0\0\x1cftypheic", "it is a HEIC or AVIF picture or a video"),
        (b"BM\0\0\0\0", "it is a BMP picture"),
        (b"PK\x03\x04", "it is an archive"),
    ],
)
def test_other_kinds_of_file(tmp_path: Path, data: bytes, says: str) -> None:
    (tmp_path / "a.png").write_bytes(data)
    assert refusal(tmp_path / "a.png") == f"{says}: export it as PDF, PNG, JPEG, TIFF, WebP or flattened PSD"


FORMATS: dict[str, dict[str, Any]] = {
    "a.png": {},
    "a.jpg": {},
    "a.tif": {},
    "lzw.tif": {"compression": "tiff_lzw"},
    "a.webp": {"lossless": True},
    "lossy.webp": {},
    "a.gif": {},
}


@pytest.mark.parametrize("share", [0.02, 0.5, 0.97])
@pytest.mark.parametrize("name", FORMATS)
def test_files_cut_short(tmp_path: Path, name: str, share: float) -> None:
    Image.fromarray(NOISE).save(tmp_path / name, **FORMATS[name])
    data = (tmp_path / name).read_bytes()
    (tmp_path / name).write_bytes(data[: int(len(data) * share)])
    says = refusal(tmp_path / name)
    assert "damaged" in says
    assert "export it again" in says


def test_a_photoshop_file_cut_short(tmp_path: Path) -> None:
    data = psd_bytes([NOISE[..., 0]] * 3, 3)
    for length, says in ((20, "cut short"), (34, "damaged"), (40, "damaged"), (9000, "damaged")):
        (tmp_path / "a.psd").write_bytes(data[:length])
        assert says in refusal(tmp_path / "a.psd")


@pytest.mark.parametrize("name", FORMATS)
def test_files_with_wrong_bytes_never_raise_anything_else(tmp_path: Path, name: str) -> None:
    Image.fromarray(NOISE[:32, :48]).save(tmp_path / name, **FORMATS[name])
    good = (tmp_path / name).read_bytes()
    rng = np.random.default_rng(11)
    for _ in range(40):
        data = bytearray(good)
        for at in rng.integers(0, len(data) if rng.random() < 0.5 else 120, 4):
            data[at % len(data)] = rng.integers(0, 256)
        (tmp_path / name).write_bytes(data)
        try:
            artwork = load(tmp_path / name, size=SIZE, max_megapixels=1)
        except UnreadableError:
            continue
        assert artwork.srgb8.size > 0


def test_nothing_is_written_past_us(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "a.tif"
    Image.fromarray(NOISE).save(path, compression="tiff_lzw")
    spoilt_pixels = bytearray(path.read_bytes())
    spoilt_pixels[20_000:20_400] = bytes(400)
    too_many_channels = bytearray(tiff_bytes(NOISE, photometric=2))
    at = too_many_channels.index(struct.pack("<HHII", 277, 3, 1, 3))
    too_many_channels[at : at + 12] = struct.pack("<HHII", 277, 3, 1, 2048)
    for data in (spoilt_pixels, too_many_channels):
        path.write_bytes(data)
        assert "its TIFF data are damaged" in refusal(path)
    assert capfd.readouterr() == ("", "")
    print("heard again", file=sys.stderr)
    os.write(2, b"and by the system")
    assert capfd.readouterr().err == "heard again\nand by the system"


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"version": 2}, "it is a large-document Photoshop file (PSB): export it as TIFF or PNG"),
        ({"depth": 16}, "it has 16 bits a channel: save it with 8, or export it as TIFF or PNG"),
        (
            {"mode": 8},
            "its Photoshop colour mode can't be read: convert it to RGB, CMYK or grey, and save it flattened",
        ),
        (
            {"resources": {1057: b"\0\0\0\1\0"}},
            "it was saved without a merged picture: flatten it, or save it with maximum compatibility on",
        ),
    ],
)
def test_photoshop_files_that_cannot_be_read(tmp_path: Path, options: dict[str, Any], says: str) -> None:
    mode = options.pop("mode", 3)
    (tmp_path / "a.psd").write_bytes(psd_bytes([NOISE[..., 0]] * 3, mode, **options))
    assert refusal(tmp_path / "a.psd") == says


def test_a_merged_picture_is_read(tmp_path: Path) -> None:
    (tmp_path / "a.psd").write_bytes(psd_bytes([NOISE[..., 0]] * 3, 3, resources={1057: b"\0\0\0\1\1"}))
    assert load(tmp_path / "a.psd", size=SIZE).width_px == 240


@pytest.mark.parametrize("mode", ["F", "I"])
def test_numbers_that_are_no_codes(tmp_path: Path, mode: str) -> None:
    Image.new(mode, (24, 16)).save(tmp_path / "a.tif")
    assert refusal(tmp_path / "a.tif") == (
        "its pixels are kept as 32-bit or floating-point numbers: export it with 8 or 16 bits a channel"
    )


def test_pages_that_do_not_exist(tmp_path: Path) -> None:
    page = Image.new("L", (24, 16))
    page.save(tmp_path / "two.tif", save_all=True, append_images=[page])
    page.save(tmp_path / "one.png")
    assert refusal(tmp_path / "two.tif", page=3) == "there is no page 3: it has 2, so give --page from 1 to 2"
    assert refusal(tmp_path / "two.tif", page=0) == "there is no page 0: it has 2, so give --page from 1 to 2"
    assert refusal(tmp_path / "one.png", page=2) == "there is no page 2: it has only one, so leave --page out"


def test_more_pixels_than_allowed(tmp_path: Path) -> None:
    Image.fromarray(NOISE).save(tmp_path / "a.png")
    assert refusal(tmp_path / "a.png", max_megapixels=0.03) == (
        "it has 240 x 160 px, which is more than 0.03 megapixels: "
        "export it smaller, or allow more with --max-megapixels"
    )
    assert refusal(tmp_path / "a.png", max_megapixels=0.01) == (
        "it has more than 0.02 megapixels, and 0.01 are allowed: export it smaller, or allow more with --max-megapixels"
    )
    assert load(tmp_path / "a.png", size=SIZE, max_megapixels=0.0384).width_px == 240


@pytest.mark.parametrize("side_px", [20_001, 100_000])
def test_the_limit_is_checked_before_the_pixels_are_read(tmp_path: Path, side_px: int) -> None:
    # a header that promises a huge picture, and no pixels
    data = png_bytes([b"\0"], side_px, 8, 0)
    head = data[16:29].replace(b"\0\0\0\1", side_px.to_bytes(4, "big"), 1)
    data = data[:16] + head + zlib.crc32(b"IHDR" + head).to_bytes(4, "big") + data[33:]
    (tmp_path / "a.png").write_bytes(data)
    assert "megapixels" in refusal(tmp_path / "a.png")


@pytest.mark.parametrize("own_limit", [1000, 30_000, None])
def test_pillows_own_pixel_limit_neither_warns_nor_refuses(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, own_limit: int | None
) -> None:
    Image.fromarray(NOISE).save(tmp_path / "a.png")
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", own_limit)
    with warnings.catch_warnings(record=True) as heard:
        warnings.simplefilter("always")
        load(tmp_path / "a.png", size=SIZE)
        refusal(tmp_path / "a.png", size=None)
    assert heard == []
    assert own_limit == Image.MAX_IMAGE_PIXELS


@pytest.mark.parametrize("name", ["a.jpg", "a.png", "a.webp", "a.tif"])
def test_damaged_exif_is_as_good_as_none(tmp_path: Path, name: str) -> None:
    for tail in (b"II*\0\xff\xff\xff\xff", b"MM\0*\0\0\0\x08\xff\xff\1\x12", b"rubbish"):
        exif = b"Exif\0\0" + tail
        picture = Image.fromarray(NOISE)
        if name == "a.tif":
            picture.save(tmp_path / name)
            data = (tmp_path / name).read_bytes()
            (tmp_path / name).write_bytes(data + exif)
        else:
            picture.save(tmp_path / name, exif=exif)
        artwork = load(tmp_path / name, size=SIZE)
        assert artwork.srgb8.shape == (160, 240, 3)


@pytest.mark.parametrize("orientation", [0, 9, 65535])
def test_an_orientation_that_makes_no_sense_turns_nothing(tmp_path: Path, orientation: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    for name in ("a.png", "a.tif"):
        Image.fromarray(NOISE).save(tmp_path / name, exif=exif)
        assert np.array_equal(load(tmp_path / name, size=SIZE).srgb8, NOISE)


@pytest.mark.parametrize("shape", [(1, 1), (1, 20000), (20000, 1)])
def test_extreme_shapes(tmp_path: Path, shape: tuple[int, int]) -> None:
    Image.new("RGB", shape, (255, 0, 0)).save(tmp_path / "a.png", dpi=(300, 300))
    assert "give the printed size with --size" in refusal(tmp_path / "a.png", size=None)
    fitting = parse_size("10x10mm" if shape == (1, 1) else "10x20000mm")
    if shape == (1, 1):
        assert load(tmp_path / "a.png", size=fitting).levels[0].linear.shape == (1, 1, 3)
    else:
        assert "its shape, " in refusal(tmp_path / "a.png", size=fitting)


def test_a_bleed_below_nothing_is_our_own_mistake(tmp_path: Path) -> None:
    Image.fromarray(NOISE).save(tmp_path / "a.png")
    for bleed_mm in (-1.0, float("nan")):
        with pytest.raises(ValueError, match="bleed"):
            load(tmp_path / "a.png", size=SIZE, bleed_mm=bleed_mm)
