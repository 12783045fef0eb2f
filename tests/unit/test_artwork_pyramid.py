"""Area averages in linear light: levels, edges, bleed, crops."""

from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image

from standback.artwork import Artwork, HeldLevel, from_srgb8, linear_crop, load, srgb8_of
from standback.artwork.pyramid import MOST_HELD_PX, PixelLevel
from standback.elements import Box
from standback.light import linear_to_srgb8, srgb8_to_linear
from standback.sheet import parse_size


def noise(height: int, width: int) -> npt.NDArray[np.uint8]:
    return np.random.default_rng(7).integers(0, 256, (height, width, 3), dtype=np.uint8)


def at_ppi(height_px: int, width_px: int, ppi: float) -> Artwork:
    size_mm = (width_px / ppi * 25.4, height_px / ppi * 25.4)
    return from_srgb8(noise(height_px, width_px), size_mm=size_mm)


def block_mean(artwork: Artwork, x: int, y: int, scale: int) -> npt.NDArray[np.float64]:
    """The mean of one block in linear light, by its definition."""
    trim = artwork.trim_px
    block = artwork.srgb8[trim.y0 : trim.y1, trim.x0 : trim.x1][
        y * scale : (y + 1) * scale, x * scale : (x + 1) * scale
    ]
    mean: npt.NDArray[np.float64] = srgb8_to_linear(block, np.float64).mean(axis=(0, 1))
    return mean


@pytest.mark.parametrize(
    ("ppi", "scale"),
    [(72, 1), (150, 1), (180, 1), (181.9, 2), (300, 2), (300.01, 2), (360, 2), (400, 3), (600, 4), (1200, 7)],
)
def test_the_first_level_has_180_ppi_at_most(ppi: float, scale: int) -> None:
    artwork = at_ppi(70, 91, ppi)
    assert artwork.levels[0].scale == scale
    assert artwork.ppi / artwork.levels[0].scale <= 181


def test_each_level_is_half_of_the_one_before() -> None:
    artwork = at_ppi(257, 1027, 300)
    assert [level.scale for level in artwork.levels] == [2, 4, 8]
    assert [level.linear.shape for level in artwork.levels] == [(129, 514, 3), (65, 257, 3), (33, 129, 3)]
    assert all(level.linear.dtype == np.float32 and level.origin_px == (0, 0) for level in artwork.levels)


@pytest.mark.parametrize("shape", [(256, 384), (255, 383), (257, 385), (241, 321)])
@pytest.mark.parametrize("ppi", [100, 300, 500])
def test_every_sample_of_every_level_is_the_mean_of_its_pixels(shape: tuple[int, int], ppi: float) -> None:
    artwork = at_ppi(*shape, ppi)
    for level in artwork.levels:
        rows, columns = level.linear.shape[:2]
        assert (rows, columns) == (-(-shape[0] // level.scale), -(-shape[1] // level.scale))
        for y in (0, rows // 2, rows - 2, rows - 1):
            for x in (0, columns // 2, columns - 2, columns - 1):
                expected = block_mean(artwork, x, y, level.scale)
                assert level.linear[y, x] == pytest.approx(expected, abs=2e-6)


def test_a_checkerboard_averages_to_half_the_light() -> None:
    # 188 is the sRGB code of luminance 0.5; averaging the codes instead would give 128.
    board = (np.indices((256, 256)).sum(axis=0) % 2 * 255).astype(np.uint8)
    for ppi in (300, 150):
        size_mm = (256 / ppi * 25.4,) * 2
        artwork = from_srgb8(np.repeat(board[..., None], 3, axis=-1), size_mm=size_mm)
        level = artwork.levels[0] if ppi == 300 else artwork.levels[1]
        assert level.scale == 2
        assert np.all(level.linear == 0.5)
        codes = srgb8_to_linear(np.arange(256))
        assert np.argmin(abs(codes - level.linear[5, 5, 0])) == 188


def test_mean_light_is_kept_by_every_level() -> None:
    artwork = at_ppi(512, 512, 300)
    mean = srgb8_to_linear(artwork.srgb8, np.float64).mean()
    for level in artwork.levels:
        assert level.linear.mean(dtype=np.float64) == pytest.approx(mean, rel=1e-6)


@pytest.mark.parametrize("shape", [(1, 1), (1, 2000), (2000, 1), (2, 3), (31, 400)])
def test_tiny_and_thin_pictures(shape: tuple[int, int]) -> None:
    artwork = at_ppi(*shape, 300)
    assert len(artwork.levels) == 1
    assert artwork.levels[0].linear[-1, -1] == pytest.approx(
        block_mean(artwork, (shape[1] - 1) // 2, (shape[0] - 1) // 2, 2), abs=1e-6
    )


def test_levels_cover_the_trim_alone() -> None:
    # 100 x 80 mm and 5 mm bleed at 10 px/mm: white sheet, black bleed
    srgb8 = np.zeros((900, 1100, 3), np.uint8)
    srgb8[50:850, 50:1050] = 255
    artwork = from_srgb8(srgb8, size_mm=(100, 80), bleed_mm=5)
    assert artwork.trim_px == Box(x0=50, y0=50, x1=1050, y1=850)
    assert artwork.srgb8.shape == (900, 1100, 3)
    assert artwork.levels[0].scale == 2
    for level in artwork.levels:
        assert level.origin_px == (50, 50)
        assert np.allclose(level.linear, 1, atol=1e-6)
    assert artwork.levels[0].linear.shape == (400, 500, 3)


def test_bleed_of_a_file(tmp_path: Path) -> None:
    Image.new("L", (1400, 1200), 255).save(tmp_path / "a.png", dpi=(254, 254))
    for size in (None, parse_size("110x130mm")):
        artwork = load(tmp_path / "a.png", size=size, bleed_mm=5)
        assert (artwork.width_mm, artwork.height_mm) == pytest.approx((130, 110), rel=1e-4)
        assert artwork.bleed_mm == 5
        assert artwork.trim_px == Box(x0=50, y0=50, x1=1350, y1=1150)
        assert artwork.box_mm(artwork.trim_px) == pytest.approx((0, 0, 130, 110), abs=0.01)


@pytest.mark.parametrize("ppi", [150, 300, 500])
def test_levels_too_large_to_hold_are_averaged_where_they_are_looked_at(ppi: float) -> None:
    artwork = at_ppi(401, 3 * (2 * MOST_HELD_PX + 101), ppi)
    held = [level for level in artwork.levels if isinstance(level, HeldLevel)]
    made = [level for level in artwork.levels if isinstance(level, PixelLevel)]
    assert made and all(max(level.shape) > MOST_HELD_PX for level in made)
    assert held and all(max(level.shape) <= MOST_HELD_PX for level in held)
    for level in made:
        whole = level.linear
        assert whole.shape == (*level.shape, 3)
        end = level.shape[1]
        for rows, columns in (
            (slice(0, 7), slice(end - 90, end)),
            (slice(3, None), slice(11, 500)),
            (slice(5, 5), slice(9)),
        ):
            assert np.array_equal(level.part(rows, columns), whole[rows, columns])
        for y, x in ((0, 0), (level.shape[0] - 1, end - 1), (0, end // 2)):
            assert whole[y, x] == pytest.approx(block_mean(artwork, x, y, level.scale), abs=2e-6)


def test_codes_of_a_level() -> None:
    artwork = at_ppi(120, 90, 300)
    level = artwork.levels[0]
    assert np.array_equal(srgb8_of(level), linear_to_srgb8(level.linear))


def test_a_crop_at_full_resolution_is_exact() -> None:
    artwork = at_ppi(120, 90, 300)
    box = Box(x0=11, y0=7, x1=50, y1=40)
    assert np.array_equal(linear_crop(artwork, box, 1), srgb8_to_linear(artwork.srgb8[7:40, 11:50]))


@pytest.mark.parametrize("scale", [2, 3, 5, 64])
def test_a_crop_averages_from_its_own_corner(scale: int) -> None:
    artwork = at_ppi(120, 90, 300)
    box = Box(x0=11, y0=7, x1=50, y1=40)
    crop = linear_crop(artwork, box, scale)
    assert crop.shape == (-(-33 // scale), -(-39 // scale), 3)
    assert crop.dtype == np.float32
    for y in range(crop.shape[0]):
        for x in range(crop.shape[1]):
            block = artwork.srgb8[7:40, 11:50][y * scale : (y + 1) * scale, x * scale : (x + 1) * scale]
            expected = srgb8_to_linear(block, np.float64).mean(axis=(0, 1))
            assert crop[y, x] == pytest.approx(expected, abs=1e-6)


def test_a_crop_of_many_strips() -> None:
    # wide enough for a strip of the loader to hold a few rows only
    srgb8 = noise(60, 40_000)
    artwork = from_srgb8(srgb8, size_mm=(4000, 6))
    whole = linear_crop(artwork, artwork.trim_px, 2)
    by_definition = srgb8_to_linear(srgb8, np.float64).reshape(30, 2, 20_000, 2, 3).mean(axis=(1, 3))
    assert np.allclose(whole, by_definition, atol=1e-6)


def test_a_crop_stays_inside_the_file() -> None:
    artwork = at_ppi(20, 30, 100)
    for box in (Box(x0=0, y0=0, x1=31, y1=20), Box(x0=-1, y0=0, x1=3, y1=3), Box(x0=0, y0=0, x1=3, y1=21)):
        with pytest.raises(ValueError, match="reaches beyond the artwork"):
            linear_crop(artwork, box, 1)
    with pytest.raises(ValueError, match="scale"):
        linear_crop(artwork, artwork.trim_px, 0)


def test_arrays_as_artwork() -> None:
    srgb8 = noise(40, 50)
    before = srgb8.copy()
    artwork = from_srgb8(srgb8, size_mm=(50, 40))
    assert artwork.srgb8 is srgb8
    assert np.array_equal(srgb8, before)
    assert (artwork.file, artwork.colour, artwork.size_from) == ("<array>", "RGB", "option")
    assert artwork.doubts == ()
    four = np.dstack([srgb8, srgb8[..., :1]])
    wrong: tuple[npt.NDArray[Any], ...] = (srgb8[..., 0], srgb8.astype(float), srgb8[:0], four)
    for array in wrong:
        with pytest.raises(ValueError, match="8-bit codes"):
            from_srgb8(array, size_mm=(50, 40))
    for size_mm, bleed_mm in (((0, 40), 0), ((50, float("nan")), 0), ((50, 40), -1)):
        with pytest.raises(ValueError, match="0 mm"):
            from_srgb8(srgb8, size_mm=size_mm, bleed_mm=bleed_mm)
