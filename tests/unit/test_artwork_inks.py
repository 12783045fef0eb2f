"""The number of process inks on each pixel of CMYK artwork."""

from pathlib import Path

import numpy as np
from PIL import Image

from standback.artwork import load
from standback.sheet import parse_size

PATCHES = {
    (0, 0, 0, 0): 0,
    (255, 0, 0, 0): 1,
    (255, 128, 0, 0): 2,
    (200, 200, 200, 200): 4,
    (25, 25, 25, 26): 1,
}


def test_inks_are_counted_pixel_by_pixel(tmp_path: Path) -> None:
    row = np.array(list(PATCHES), dtype=np.uint8)
    codes = np.repeat(row[None], 7, axis=0)
    file = tmp_path / "inks.tif"
    Image.frombytes("CMYK", (len(PATCHES), 7), codes.tobytes()).save(file)
    artwork = load(file, size=parse_size("50x70mm"))
    assert artwork.inks is not None
    assert artwork.inks.tolist() == [list(PATCHES.values())] * 7


def test_inks_are_turned_with_the_picture(tmp_path: Path) -> None:
    codes = np.zeros((4, 6, 4), dtype=np.uint8)
    codes[0, :, 0] = 255
    exif = Image.Exif()
    exif[0x0112] = 6  # to be shown turned by 90 degrees clockwise: EXIF 2.32
    Image.frombytes("CMYK", (6, 4), codes.tobytes()).save(tmp_path / "turned.tif", exif=exif)
    artwork = load(tmp_path / "turned.tif", size=parse_size("40x60mm"))
    assert artwork.inks is not None
    assert artwork.inks.shape == (6, 4)
    assert artwork.inks[:, -1].tolist() == [1] * 6
    assert artwork.inks[:, 0].tolist() == [0] * 6


def test_rgb_has_none(tmp_path: Path) -> None:
    Image.new("RGB", (50, 70)).save(tmp_path / "rgb.png")
    assert load(tmp_path / "rgb.png", size=parse_size("50x70mm")).inks is None
