"""Files made to do harm: headers that promise too much, and words that are meant for the terminal."""

import io
import os
import re
import struct
import subprocess
import sys
import zlib
from pathlib import Path
from time import perf_counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, PngImagePlugin

from artwork_files import described, gamma_curve, icc_bytes, png_bytes, psd_bytes, tiff_bytes, xyz
from fuzzing.corpus import HEIGHT_PX, WIDTH_PX, corpus, rgb_profile, tiled_tiff
from standback.artwork import load
from standback.artwork.decode import MOST_PAGES
from standback.errors import UnreadableError
from standback.sheet import SheetSize, parse_size

SIZE = parse_size("480x320mm")
PIXELS = np.full((HEIGHT_PX, WIDTH_PX, 3), 200, np.uint8)


def refusal(tmp_path: Path, data: bytes, *, page: int = 1, size: SheetSize | None = SIZE) -> str:
    path = tmp_path / "a"
    path.write_bytes(data)
    begun_s = perf_counter()
    with pytest.raises(UnreadableError) as refused:
        load(path, size=size, page=page)
    assert perf_counter() - begun_s < 5
    return str(refused.value)


def huge_png(width_px: int, height_px: int) -> bytes:
    data = png_bytes([b"\0"], 1, 8, 0)
    head = struct.pack(">II", width_px, height_px) + data[24:29]
    return data[:16] + head + zlib.crc32(b"IHDR" + head).to_bytes(4, "big") + data[33:]


def huge_jpeg() -> bytes:
    stream = io.BytesIO()
    Image.fromarray(PIXELS).save(stream, "JPEG")
    data = bytearray(stream.getvalue())
    at = data.index(b"\xff\xc0") + 5  # T.81, B.2.2: the frame header's height and width
    data[at : at + 4] = b"\xff\xff\xff\xff"
    return bytes(data)


def huge_tiff(side_px: int) -> bytes:
    data = bytearray(tiff_bytes(PIXELS, photometric=2))
    for tag, was in ((256, WIDTH_PX), (257, HEIGHT_PX), (278, HEIGHT_PX)):
        at = data.index(struct.pack("<HHII", tag, 4, 1, was))
        struct.pack_into("<I", data, at + 8, side_px)
    return bytes(data)


def huge_psd() -> bytes:
    data = bytearray(psd_bytes([PIXELS[..., 0]] * 3, 3))
    data[14:22] = struct.pack(">II", 30_000, 30_000)
    return bytes(data)


def huge_gif() -> bytes:
    stream = io.BytesIO()
    Image.fromarray(PIXELS).save(stream, "GIF")
    data = bytearray(stream.getvalue())
    data[6:10] = b"\xff\xff\xff\xff"
    return bytes(data)


@pytest.mark.parametrize(
    "data",
    [
        huge_png(1_000_000, 1_000),
        huge_png(2**31 - 1, 2**31 - 1),
        huge_jpeg(),
        huge_tiff(100_000),
        huge_tiff(2**32 - 1),
        huge_psd(),
        huge_gif(),
    ],
    ids=["png", "widest png", "jpeg", "tiff", "widest tiff", "psd", "gif"],
)
def test_a_header_that_promises_a_billion_pixels(tmp_path: Path, data: bytes) -> None:
    says = refusal(tmp_path, data)
    assert re.search(r"more than [\d.]+ megapixels.*: export it smaller, or allow more with --max-megapixels", says)


def test_a_strip_that_is_65535_wide_and_not_there(tmp_path: Path) -> None:
    data = bytearray(tiff_bytes(PIXELS, photometric=2))
    at = data.index(struct.pack("<HHII", 256, 4, 1, WIDTH_PX))
    struct.pack_into("<I", data, at + 8, 65535)
    assert "its TIFF data are damaged" in refusal(tmp_path, bytes(data), size=parse_size("10000x10mm"))


def deep_tiff(pages: int) -> bytes:
    """Pages without end, all of the same few pixels."""
    one = tiff_bytes(PIXELS, photometric=2)
    start = struct.unpack_from("<I", one, 4)[0]
    directory = one[start:-4]
    length = len(directory) + 4
    links = [start + length * (page + 1) for page in range(pages - 1)] + [0]
    return one[:start] + b"".join(directory + struct.pack("<I", link) for link in links)


def test_ten_thousand_pages(tmp_path: Path) -> None:
    data = deep_tiff(10_000)
    assert refusal(tmp_path, data, page=10_000) == "only its first 1000 pages can be read: export page 10000 by itself"
    begun_s = perf_counter()
    for page in (1, 2, MOST_PAGES):
        assert load(tmp_path / "a", size=SIZE, page=page).width_px == WIDTH_PX
    assert perf_counter() - begun_s < 5
    assert refusal(tmp_path, deep_tiff(5), page=9) == "there is no page 9: it has 5, so give --page from 1 to 5"


def test_pages_in_a_circle(tmp_path: Path) -> None:
    data = bytearray(deep_tiff(3))
    data[-4:] = data[4:8]
    assert refusal(tmp_path, bytes(data), page=4) == "there is no page 4: it has 3, so give --page from 1 to 3"


def bomb(name: bytes, begins: bytes, most_bytes: int) -> bytes:
    """Return a PNG in which one chunk of a few thousand bytes unpacks to very many."""
    return png_bytes(
        [b"\x80" * WIDTH_PX] * HEIGHT_PX, WIDTH_PX, 8, 0, {name: begins + zlib.compress(bytes(most_bytes), 9)}
    )


@pytest.mark.parametrize(
    ("name", "begins"),
    [(b"iCCP", b"a\0\0"), (b"zTXt", b"a\0\0"), (b"iTXt", b"a\0\1\0\0\0")],
)
def test_notes_that_unpack_to_far_more(tmp_path: Path, name: bytes, begins: bytes) -> None:
    says = refusal(tmp_path, bomb(name, begins, 200_000_000))
    assert says == "its PNG data are damaged or cut short: export it again"


def test_a_large_profile_is_no_bomb(tmp_path: Path) -> None:
    curves = {tag: gamma_curve(1.8) for tag in (b"rTRC", b"gTRC", b"bTRC")}
    colorants = {b"rXYZ": xyz(0.61, 0.31, 0.02), b"gXYZ": xyz(0.2, 0.63, 0.07), b"bXYZ": xyz(0.15, 0.06, 0.74)}
    note = b"text\0\0\0\0" + b"\x41" * 3_000_000 + b"\0"
    profile = icc_bytes(b"RGB ", b"XYZ ", {b"desc": described(b"A large one"), **curves, **colorants, b"targ": note})
    Image.fromarray(PIXELS).save(tmp_path / "a.png", icc_profile=profile)
    assert load(tmp_path / "a.png", size=SIZE).profile == "A large one"
    assert PngImagePlugin.MAX_TEXT_CHUNK < 16_000_000  # Pillow's own limit is put back


def test_a_length_far_beyond_the_end_of_the_file_is_set_aside_by_nobody(tmp_path: Path) -> None:
    # what this asks for, 4 GB, would be more than the address space that the process is given
    data = bytearray(psd_bytes([PIXELS[..., 0]] * 3, 3))
    data[26:30] = b"\xff\xff\xff\xf0"
    (tmp_path / "a").write_bytes(data)
    code = (
        "import resource, sys\n"
        "from standback.artwork import load\n"
        "from standback.errors import UnreadableError\n"
        "from standback.sheet import parse_size\n"
        "resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30))\n"
        "try:\n"
        "    load(sys.argv[1], size=parse_size('480x320mm'))\n"
        "except UnreadableError as error:\n"
        "    print(error)\n"
    )
    ended = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "a")],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "OMP_NUM_THREADS": "1"},
    )
    assert ended.stdout.startswith("its Photoshop data are damaged")


def test_the_files_that_are_spoilt_are_good_to_begin_with(tmp_path: Path) -> None:
    for kind, files in corpus().items():
        for data in files if kind not in ("brief", "pdf") else ():
            (tmp_path / "a").write_bytes(data)
            picture = load(tmp_path / "a", size=SIZE)
            assert {picture.width_px, picture.height_px} == {WIDTH_PX, HEIGHT_PX}


ENTRIES = st.tuples(
    st.sampled_from([254, 256, 257, 258, 259, 262, 273, 274, 277, 278, 279, 282, 284, 317, 320, 322, 323, 324, 325,
                     338, 339, 34675, 34665, 700, 530, 532, 347]),
    st.integers(0, 14),
    st.one_of(st.integers(0, 5), st.integers(0, 2**32 - 1)),
    st.one_of(st.integers(0, 70), st.integers(0, 2**32 - 1)),
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(changed=st.lists(ENTRIES, max_size=4), tiled=st.booleans())
def test_any_directory_of_a_tiff_is_taken_or_refused(
    tmp_path_factory: pytest.TempPathFactory, changed: list[tuple[int, int, int, int]], tiled: bool
) -> None:
    good = tiled_tiff() if tiled else tiff_bytes(PIXELS, photometric=2)
    start = struct.unpack_from("<I", good, 4)[0]
    entries = [struct.unpack_from("<HHII", good, start + 2 + 12 * at) for at in range((len(good) - start - 6) // 12)]
    by_tag = {**{entry[0]: entry for entry in entries}, **{entry[0]: entry for entry in changed}}
    body = b"".join(struct.pack("<HHII", *by_tag[tag]) for tag in sorted(by_tag))
    path = tmp_path_factory.getbasetemp() / "directory.tif"
    path.write_bytes(good[:start] + struct.pack("<H", len(by_tag)) + body + bytes(4))
    try:
        picture = load(path, size=SIZE, max_megapixels=4)
    except UnreadableError as refused:
        assert "\n" not in str(refused) and "Error" not in str(refused)
    else:
        assert picture.srgb8.size > 0


def test_a_profile_s_name_is_shown_harmlessly(tmp_path: Path) -> None:
    bad = "\x1b[2J<script>alert(1)</script>\u202e\r\n=cmd".encode()
    profile = rgb_profile().replace(described(b"Made up"), described(bad[: len(b"Made up")]))
    assert profile != rgb_profile()
    Image.fromarray(PIXELS).save(tmp_path / "a.png", icc_profile=profile)
    name = load(tmp_path / "a.png", size=SIZE).profile
    assert name == "[2J<sc"
