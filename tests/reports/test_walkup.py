"""The walk-up picture: what hangs on its wall, how large, and how soft."""

from io import BytesIO
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image
from skimage.measure import label, regionprops

from standback.artwork import Artwork, from_srgb8
from standback.light import linear_to_srgb8
from standback.outputs import is_our_picture
from standback.reports.lettering import drawable
from standback.reports.walkup import draw_walkup
from standback.stock import STOCKS

PUPIL_MM = 4.1
WALL = 188
RED = (214, 48, 36)


def poster(
    width_mm: float = 420.0, height_mm: float = 594.0, px_per_mm: float = 1.5, file: str = "concert.png"
) -> Artwork:
    """A red sheet; over the middle third of its width and height bars of 4 mm, black and white."""
    shape = (max(1, round(height_mm * px_per_mm)), max(1, round(width_mm * px_per_mm)), 3)
    codes = np.full(shape, RED, dtype=np.uint8)
    down, across = (slice(n // 3, n - n // 3) for n in shape[:2])
    codes[down, across] = (np.arange(shape[1])[across] // round(4 * px_per_mm) % 2 * 255)[None, :, None]
    return from_srgb8(codes, size_mm=(width_mm, height_mm), file=file)


def drawn(artwork: Artwork, *distances_m: float) -> npt.NDArray[np.uint8]:
    png = draw_walkup(artwork, distances_m, pupil_mm=PUPIL_MM)
    return np.asarray(Image.open(BytesIO(png)).convert("RGB"))


def sheets(page: npt.NDArray[np.uint8]) -> list[tuple[int, int, int, int]]:
    """Boxes (x0, y0, x1, y1) of what is red on the page, from the left."""
    red = (page[..., 0] > 150) & (page[..., 1] < 120)
    boxes = [region.bbox for region in regionprops(label(red)) if region.area_bbox > 50]
    return sorted((x0, y0, x1, y1) for y0, x0, y1, x1 in boxes)


def test_it_is_a_picture_of_ours(tmp_path: Path) -> None:
    file = tmp_path / "walkup.png"
    file.write_bytes(draw_walkup(poster(), (5.0,), pupil_mm=PUPIL_MM))
    assert is_our_picture(file)
    with Image.open(file) as picture:
        assert picture.format == "PNG"
        assert picture.info["Software"].startswith("standback ")
        # a screen shows it at the size that the sharp sheets need
        assert picture.info["dpi"] == pytest.approx((96, 96), abs=0.1)


def test_the_same_artwork_gives_the_same_bytes() -> None:
    first, second = (draw_walkup(poster(), (6.0, 2.0), pupil_mm=PUPIL_MM) for _ in range(2))
    assert first == second


def test_soft_sheets_are_of_one_size_and_sharp_ones_at_their_visual_angle() -> None:
    distances_m = (10.0, 5.0, 2.0)
    boxes = sheets(drawn(poster(), *distances_m))
    soft, sharp = boxes[0::2], boxes[1::2]
    assert len(soft) == len(sharp) == 3
    # their edges are soft, by more the farther away
    assert np.ptp([x1 - x0 for x0, _, x1, _ in soft]) <= 16
    assert np.ptp([y1 - y0 for _, y0, _, y1 in soft]) <= 16
    for distance_m, (x0, y0, x1, y1) in zip(distances_m, sharp, strict=True):
        scale = 0.6 / distance_m * 96 / 25.4
        assert x1 - x0 == pytest.approx(420 * scale, abs=1)
        assert y1 - y0 == pytest.approx(594 * scale, abs=1)


def test_a_sharp_sheet_too_large_for_a_screen_is_cut_to_its_middle() -> None:
    page = drawn(poster(), 0.8)
    x0, y0, x1, y1 = sheets(page)[-1]
    assert (x1 - x0, y1 - y0) == (537, 760)
    # a third of the sheet is barred: 198 mm, drawn 0.6 / 0.8 as large
    barred = np.ptp(page[y0:y1, (x0 + x1) // 2].astype(int), axis=-1) < 10
    assert barred.sum() == pytest.approx(198 * 0.6 / 0.8 * 96 / 25.4, abs=2)
    assert abs(np.flatnonzero(barred).mean() - 380) < 2


def test_sheets_farther_away_are_softer() -> None:
    page = drawn(poster(), 20.0, 8.0, 1.0)
    depths = []
    for x0, y0, x1, y1 in sheets(page)[0::2]:
        bars = page[(y0 + y1) // 2, (x0 + x1) // 2 - 40 : (x0 + x1) // 2 + 40, 1]
        depths.append(int(bars.max()) - int(bars.min()))
    assert depths[0] < 25
    assert depths[0] < depths[1] < depths[2]
    assert depths[2] > 200


@pytest.mark.parametrize("count", [1, 2, 4, 6])
@pytest.mark.parametrize(("width_mm", "height_mm"), [(297, 420), (500, 500), (841, 594), (3000, 400), (150, 2000)])
def test_sheets_of_any_shape_hang_apart_on_a_wall(width_mm: float, height_mm: float, count: int) -> None:
    distances_m = [n * max(width_mm, height_mm) / 1000 for n in (12, 9, 7, 5, 4, 3.2)[:count]]
    page = drawn(poster(width_mm, height_mm, px_per_mm=0.5), *distances_m)
    boxes = sheets(page)
    assert len(boxes) == 2 * count
    for n, (ax0, ay0, ax1, ay1) in enumerate(boxes):
        for bx0, by0, bx1, by1 in boxes[:n]:
            assert max(bx0 - ax1, ax0 - bx1, by0 - ay1, ay0 - by1) >= 30
    rim = np.concatenate([page[:36].reshape(-1, 3), page[-36:].reshape(-1, 3), page[:, :36].reshape(-1, 3)])
    assert (rim == WALL).all()
    assert (page[:, -36:] == WALL).all()


@pytest.mark.parametrize("size_px", [(1, 1), (1, 3000), (3000, 1)])
def test_the_oddest_pictures_are_drawn(size_px: tuple[int, int]) -> None:
    width, height = size_px
    codes = np.full((height, width, 3), RED, dtype=np.uint8)
    artwork = from_srgb8(codes, size_mm=(max(20.0, width / 2), max(20.0, height / 2)))
    for distance_m in (0.1, 5.0, 1000.0):
        assert drawn(artwork, distance_m).shape[0] > 300


def test_a_flat_colour_is_shown_as_it_is() -> None:
    page = drawn(poster(), 5.0)
    for x0, y0, x1, _ in sheets(page):
        assert np.abs(page[y0 + 70, (x0 + x1) // 2].astype(int) - RED).max() <= 2


def test_a_long_name_is_broken_and_a_foreign_one_drawn_as_far_as_the_face_goes() -> None:
    short, long = (drawn(poster(file=f"{name}.png"), 5.0) for name in ("a", "the_longest_name_" * 12))
    assert long.shape[1] == short.shape[1]
    assert long.shape[0] > short.shape[0]
    assert drawable("Ångström – 音楽 \x1b[1m.png") == "Angstrom - ?? ?[1m.png"
    drawn(poster(file="音楽.png"), 5.0)


def test_no_distance_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one distance"):
        draw_walkup(poster(), (), pupil_mm=PUPIL_MM)


def test_fine_hatching_leaves_no_moire() -> None:
    """Lines of 0.37 mm pitch (2.2 px) from 1 m: 47 cycles per degree, as good as flat."""
    x = np.arange(1240)
    lines = 0.5 + 0.5 * np.cos(2 * np.pi * x / 2.2)
    codes = np.full((1754, 1240, 3), RED, dtype=np.uint8)
    codes[300:-300, 200:-200] = linear_to_srgb8(lines)[None, 200:-200, None]
    page = drawn(from_srgb8(codes, size_mm=(210.0, 297.0)), 1.0)
    soft, sharp = sheets(page)
    for (x0, y0, x1, y1), most in ((soft, 4), (sharp, 14)):
        middle = page[(y0 + y1) // 2, (x0 + x1) // 2 - 80 : (x0 + x1) // 2 + 80, 1]
        assert int(middle.max()) - int(middle.min()) <= most
        assert middle.mean() == pytest.approx(WALL, abs=2)


def test_printed_black_is_grey_and_the_wall_stays_the_wall() -> None:
    black = from_srgb8(np.zeros((120, 90, 3), np.uint8), size_mm=(90.0, 120.0))
    stock = STOCKS["newsprint"]
    plain, printed = (
        np.asarray(Image.open(BytesIO(draw_walkup(black, (1.0,), pupil_mm=4.0, stock=on)))) for on in (None, stock)
    )
    assert plain.shape == printed.shape
    assert plain[-1, -1].tolist() == printed[-1, -1].tolist() == [188, 188, 188]
    darkest = linear_to_srgb8(stock.of_paper1(0.0))
    assert plain.min() == 0
    assert (printed.reshape(-1, 3) == darkest).all(axis=1).mean() > 0.1, "the sheet itself"
    # around the sheet both are the same wall, but for what the eye spreads of the sheet
    assert np.count_nonzero((plain == 188).all(axis=2)) == pytest.approx(
        np.count_nonzero((printed == 188).all(axis=2)), rel=0.01
    )
