"""The viewing-distance simulator against closed forms: what a picture of light must do in an eye.

`see` is the function that the measures and the walk-up picture call; sheets go through `seen_sheet` and
`seen_crop` besides, from codes or from averaged levels.
"""

from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest

from published_values import HALF_LIGHT_SRGB8, WATSON_MTF
from standback.artwork.model import Artwork, HeldLevel
from standback.elements import Box
from standback.eye import eye_mtf, pupil_diameter_mm
from standback.light import linear_to_srgb8, luminance1, srgb8_to_linear
from standback.sheet import px_per_deg
from standback.viewing import (
    WALL_LUMINANCE1,
    Seen,
    see,
    seen_crop,
    seen_on_wall,
    seen_sheet,
    unblurred_sheet,
)

Picture = npt.NDArray[np.float32]
PUPIL_MM = 3.0
ROOM_PUPIL_MM = pupil_diameter_mm(150 * 0.85 / np.pi)
MTF: dict[float, float] = dict(WATSON_MTF[PUPIL_MM])
PPI = 150.0


def grating(
    shape: tuple[int, int], cycles_per_px: float, angle_deg: float, phase: float = 0.37, depth: float = 0.5
) -> Picture:
    """A sine grating of mean 0.5, point-sampled at pixel centres; `angle_deg` 0 has upright bars."""
    y, x = np.mgrid[: shape[0], : shape[1]] + 0.5
    along = x * np.cos(np.radians(angle_deg)) + y * np.sin(np.radians(angle_deg))
    return np.asarray(0.5 + depth * np.cos(2 * np.pi * (cycles_per_px * along + phase)), dtype=np.float32)


def depth_of(picture: Picture, cycles_per_px: float, angle_deg: float, margin: int) -> float:
    """Amplitude of that grating in the middle of a picture, by least squares with a mean beside it."""
    y, x = np.mgrid[: picture.shape[0], : picture.shape[1]][:, margin:-margin, margin:-margin] + 0.5
    along = x * np.cos(np.radians(angle_deg)) + y * np.sin(np.radians(angle_deg))
    turn = 2 * np.pi * cycles_per_px * along.ravel()
    parts = np.stack([np.cos(turn), np.sin(turn), np.ones_like(turn)], axis=1)
    cosine, sine, _ = np.linalg.lstsq(parts, picture[margin:-margin, margin:-margin].ravel(), rcond=None)[0]
    return float(np.hypot(cosine, sine))


def artwork_of(srgb8: npt.NDArray[np.uint8], ppi: float = PPI, levels: bool = True) -> Artwork:
    """A sheet whose printed size follows from its resolution, with a pyramid of exact halvings."""
    height, width = srgb8.shape[:2]
    pyramid: list[HeldLevel] = []
    linear, scale = srgb8_to_linear(srgb8), 1
    while levels and min(linear.shape[:2]) >= 16:
        pyramid.append(HeldLevel(linear=linear, scale=scale, origin_px=(0, 0)))
        rows, columns = linear.shape[0] // 2, linear.shape[1] // 2
        halves = linear[: rows * 2, : columns * 2].reshape(rows, 2, columns, 2, 3)
        linear, scale = halves.mean(axis=(1, 3), dtype=np.float32), scale * 2
    return Artwork(
        file="drawn.png",
        srgb8=srgb8,
        levels=tuple(pyramid),
        width_mm=width / ppi * 25.4,
        height_mm=height / ppi * 25.4,
        bleed_mm=0.0,
        size_from="option",
        colour="RGB",
        profile=None,
        doubts=(),
    )


def grey_codes(linear: Picture) -> npt.NDArray[np.uint8]:
    return np.repeat(linear_to_srgb8(linear)[..., None], 3, axis=2)


def blocks(shape: tuple[int, int], side_px: int, seed: int = 3) -> npt.NDArray[np.uint8]:
    """Squares of random colour: detail at every size from their side up."""
    rows, columns = -(-shape[0] // side_px), -(-shape[1] // side_px)
    cells = np.random.default_rng(seed).integers(0, 256, (rows, columns, 3), dtype=np.uint8)
    return np.repeat(np.repeat(cells, side_px, 0), side_px, 1)[: shape[0], : shape[1]]


# ---- see: gratings ------------------------------------------------------------------------------


@pytest.mark.parametrize("angle_deg", [0.0, 90.0, 33.0])
@pytest.mark.parametrize("per_deg", [96.0, 240.0, 411.7])
@pytest.mark.parametrize("frequency_cpd", [2.0, 10.0, 30.0])
def test_a_grating_loses_the_mtf(frequency_cpd: float, per_deg: float, angle_deg: float) -> None:
    expected = MTF.get(frequency_cpd, float(eye_mtf(frequency_cpd, PUPIL_MM)))
    size, margin = round(2.6 * per_deg), round(0.8 * per_deg)
    printed = grating((size, size + 7), frequency_cpd / per_deg, angle_deg)
    seen = see(printed, per_deg, PUPIL_MM)
    kept = depth_of(seen, frequency_cpd / per_deg, angle_deg, margin) / 0.5
    assert kept == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize("distance_m", [1.0, 3.0, 9.0])
def test_one_printed_grating_loses_more_from_farther_away(distance_m: float) -> None:
    """2 mm bars: 4.4, 13.1 and 39.3 cycles per degree."""
    per_deg = px_per_deg(8.0, distance_m)
    cycles_per_px = 1 / (4.0 * 8.0)
    seen = see(grating((400, 900), cycles_per_px, 90.0, 0.11), per_deg, ROOM_PUPIL_MM)
    kept = depth_of(seen, cycles_per_px, 90.0, 130) / 0.5
    assert kept == pytest.approx(float(eye_mtf(cycles_per_px * per_deg, ROOM_PUPIL_MM)), rel=0.01)


@pytest.mark.parametrize("frequency_cpd", [10.0, 30.0, 60.0])
def test_an_averaged_grating_loses_the_mtf_alone(frequency_cpd: float) -> None:
    """Averaging over boxes as wide as the pitch costs sinc(f x box), which `box_deg` gives back."""
    per_deg = 240.0
    cost = float(np.sinc(frequency_cpd / per_deg))
    averaged = grating((500, 500), frequency_cpd / per_deg, 0.0, depth=0.5 * cost)
    seen = see(averaged, per_deg, PUPIL_MM, box_deg=1 / per_deg)
    kept = depth_of(seen, frequency_cpd / per_deg, 0.0, 130) / 0.5
    assert kept == pytest.approx(float(eye_mtf(frequency_cpd, PUPIL_MM)), rel=0.01)


def test_giving_back_a_wide_box_stays_bounded() -> None:
    noise = np.random.default_rng(5).random((200, 200), dtype=np.float32)
    seen = see(noise, 60.0, PUPIL_MM, box_deg=4 / 60.0)
    assert np.all(np.isfinite(seen))
    assert np.abs(seen - 0.5).max() < 5.0


def test_a_grating_finer_than_the_pupil_lets_through_is_flat() -> None:
    seen = see(grating((480, 480), 100 / 240, 20.0), 240.0, PUPIL_MM)
    assert np.ptp(seen[60:-60, 60:-60]) < 1e-3


# ---- see: light ---------------------------------------------------------------------------------


@pytest.mark.parametrize("shape", [(1, 1), (1, 20_000), (97, 211), (521, 1031), (40, 30, 3)])
def test_a_flat_field_stays_flat(shape: tuple[int, ...]) -> None:
    seen = see(np.full(shape, 0.3), 240.0, PUPIL_MM)
    assert seen.shape == shape
    assert seen.dtype == np.float32
    assert np.allclose(seen, 0.3, atol=2e-6)


@pytest.mark.parametrize("shape", [(320, 243), (521, 1031)])
def test_the_mean_luminance_is_kept(shape: tuple[int, int]) -> None:
    picture = np.random.default_rng(8).random(shape) ** 4
    picture[: shape[0] // 3] = 0.0
    assert see(picture, 240.0, ROOM_PUPIL_MM).mean() == pytest.approx(picture.mean(), rel=2e-3)


def test_a_length_that_transforms_quickly_keeps_the_mean_exactly() -> None:
    picture = np.random.default_rng(9).random((300, 240))
    assert see(picture, 120.0, 4.0).mean() == pytest.approx(picture.mean(), rel=1e-5)


def test_lengths_that_transform_slowly_are_seen_alike() -> None:
    """521 and 1031 are prime: there the mirror is drawn out; what is seen must not change."""
    picture = np.random.default_rng(10).random((540, 1080))
    whole, part = see(picture, 60.0, 4.0), see(picture[:521, :1031], 60.0, 4.0)
    assert np.abs(whole[:440, :950] - part[:440, :950]).max() < 1e-3


def test_no_frame_bleeds_in_at_the_edges() -> None:
    """A picture that is bright at its edge keeps that brightness there: it is mirrored, not framed."""
    ramp = np.broadcast_to(np.linspace(0, 1, 600, dtype=np.float32), (200, 600))
    seen = see(ramp, 240.0, PUPIL_MM)
    assert np.abs(seen - ramp).max() < 0.01


def test_light_spreads_alike_to_all_sides_and_stays_in_place() -> None:
    dot = np.zeros((301, 301), dtype=np.float32)
    dot[170, 140] = 1.0
    seen = see(dot, 60.0, PUPIL_MM)
    assert divmod(int(np.argmax(seen)), 301) == (170, 140)
    around = [seen[175, 140], seen[165, 140], seen[170, 145], seen[170, 135]]
    assert np.allclose(around, around[0], rtol=1e-3)
    assert np.allclose(see(np.rot90(dot), 60.0, PUPIL_MM), np.rot90(seen), atol=1e-6)


def test_the_input_is_untouched() -> None:
    picture = np.random.default_rng(11).random((64, 64), dtype=np.float32)
    before = picture.copy()
    see(picture, 240.0, PUPIL_MM)
    assert np.array_equal(picture, before)


def test_channels_are_seen_each_for_itself() -> None:
    picture = np.random.default_rng(12).random((60, 80, 3), dtype=np.float32)
    seen = see(picture, 100.0, PUPIL_MM)
    for channel in range(3):
        assert np.allclose(seen[..., channel], see(picture[..., channel], 100.0, PUPIL_MM), atol=1e-6)


@pytest.mark.parametrize(("picture", "per_deg"), [(np.zeros(5), 240.0), (np.zeros((0, 4)), 240.0)])
def test_what_is_no_picture_is_refused(picture: npt.NDArray[np.float64], per_deg: float) -> None:
    with pytest.raises(ValueError, match="not empty"):
        see(picture, per_deg, PUPIL_MM)


def test_a_scale_must_be_above_0() -> None:
    with pytest.raises(ValueError, match="above 0"):
        see(np.zeros((4, 4)), 0.0, PUPIL_MM)


# ---- sheets -------------------------------------------------------------------------------------


def contrast(picture: npt.NDArray[np.floating], margin: int = 0) -> float:
    middle = picture[margin : picture.shape[0] - margin, margin : picture.shape[1] - margin]
    return float((middle.max() - middle.min()) / (middle.max() + middle.min()))


@pytest.mark.parametrize("levels", [True, False])
@pytest.mark.parametrize("distance_m", [4.0, 11.0, 30.0])
@pytest.mark.parametrize("frequency_cpd", [10.0, 30.0])
def test_a_sheets_grating_loses_the_mtf_at_any_scale_of_averaging(
    frequency_cpd: float, distance_m: float, levels: bool
) -> None:
    per_deg = px_per_deg(PPI / 25.4, distance_m)
    printed = grating((1100, 1100), frequency_cpd / per_deg, 90.0, 0.2, depth=0.45)
    artwork = artwork_of(grey_codes(printed), levels=levels)
    seen = seen_sheet(artwork, distance_m, PUPIL_MM)
    assert seen.px_per_deg >= min(200.0, per_deg)
    kept = depth_of(seen.linear, frequency_cpd / seen.px_per_deg, 90.0, seen.linear.shape[0] // 4) / 0.45
    assert kept == pytest.approx(float(eye_mtf(frequency_cpd, PUPIL_MM)), rel=0.01)


@pytest.mark.parametrize("angle_deg", [0.0, 30.0, 45.0])
@pytest.mark.parametrize("period_px", [2.05, 2.2, 3.1, 4.2])
@pytest.mark.parametrize("distance_m", [5.0, 10.0, 20.0])
def test_hatching_near_the_sampling_limit_makes_no_moire(distance_m: float, period_px: float, angle_deg: float) -> None:
    """All beyond what the pupil lets through from there, so nothing of it may be seen."""
    assert px_per_deg(PPI / 25.4, distance_m) / period_px > 110
    artwork = artwork_of(grey_codes(grating((800, 800), 1 / period_px, angle_deg)))
    seen = seen_sheet(artwork, distance_m, ROOM_PUPIL_MM).linear
    assert contrast(seen, margin=seen.shape[0] // 4) < 0.013


def test_a_checkerboard_of_single_pixels_is_seen_as_half_the_light() -> None:
    squares = np.indices((600, 600)).sum(axis=0) % 2 * 255
    artwork = artwork_of(np.repeat(squares[..., None], 3, axis=2).astype(np.uint8))
    seen = seen_sheet(artwork, 10.0, ROOM_PUPIL_MM, colour=True)
    assert np.all(linear_to_srgb8(seen.linear) == HALF_LIGHT_SRGB8)


def test_twice_the_distance_is_half_the_size() -> None:
    codes = blocks((640, 480), 7)
    large_far = seen_sheet(artwork_of(codes, ppi=75.0), 10.0, ROOM_PUPIL_MM)
    small_near = seen_sheet(artwork_of(codes, ppi=150.0), 5.0, ROOM_PUPIL_MM)
    assert large_far.scale_px == small_near.scale_px
    assert np.abs(large_far.linear - small_near.linear).max() < 1e-5


def test_contrast_never_rises_with_distance() -> None:
    artwork = artwork_of(grey_codes(grating((900, 900), 1 / 24, 12.0)))
    left = [
        contrast(seen.linear, margin=seen.linear.shape[0] // 4)
        for seen in (seen_sheet(artwork, d, ROOM_PUPIL_MM) for d in (0.5, 1, 2, 3, 5, 8, 12, 20, 40))
    ]
    assert np.all(np.diff(left) < 1e-4)
    assert left[0] > 0.9
    assert left[-1] < 0.01


@pytest.mark.parametrize("distance_m", [0.5, 2.0, 6.0, 15.0])
@pytest.mark.parametrize(
    "box",
    [
        Box(x0=211, y0=333, x1=298, y1=377),
        Box(x0=0, y0=0, x1=60, y1=45),
        Box(x0=455, y0=601, x1=517, y1=643),
    ],
)
def test_a_crop_shows_what_the_sheet_shows(distance_m: float, box: Box) -> None:
    artwork = artwork_of(blocks((643, 517), 6))
    crop = seen_crop(artwork, box, distance_m, ROOM_PUPIL_MM)
    sheet = seen_sheet(artwork, distance_m, ROOM_PUPIL_MM)
    y, x = np.mgrid[box.y0 : box.y1, box.x0 : box.x1] + 0.5
    assert np.abs(crop.at(x, y) - sheet.at(x, y)).max() < 0.005
    assert crop.mean(box) == pytest.approx(sheet.mean(box), abs=0.002)


def test_a_sheet_in_colour_has_the_luminance_of_the_plain_one() -> None:
    artwork = artwork_of(blocks((300, 200), 5))
    colour = seen_sheet(artwork, 6.0, ROOM_PUPIL_MM, colour=True)
    plain = seen_sheet(artwork, 6.0, ROOM_PUPIL_MM)
    assert np.allclose(luminance1(colour.linear), plain.linear, atol=1e-5)
    whole = artwork.trim_px
    assert colour.mean(whole) == pytest.approx(plain.mean(whole), abs=1e-5)


def test_the_bleed_is_not_looked_at() -> None:
    """The trim is white, the bleed black: the sheet ends in a mirror, so all of it is seen white."""
    bleed_px = round(3 * PPI / 25.4)
    codes = np.zeros((400 + 2 * bleed_px, 300 + 2 * bleed_px, 3), dtype=np.uint8)
    codes[bleed_px:-bleed_px, bleed_px:-bleed_px] = 255
    drawn = artwork_of(codes, levels=False)
    bleed_mm = bleed_px / PPI * 25.4
    artwork = replace(
        drawn,
        bleed_mm=bleed_mm,
        width_mm=drawn.width_mm - 2 * bleed_mm,
        height_mm=drawn.height_mm - 2 * bleed_mm,
    )
    seen = seen_sheet(artwork, 5.0, ROOM_PUPIL_MM)
    assert seen.origin_px == (bleed_px, bleed_px)
    assert np.allclose(seen.linear, 1.0, atol=1e-5)


def test_a_sheet_on_a_wall_blends_into_it() -> None:
    artwork = artwork_of(np.full((300, 200, 3), 255, dtype=np.uint8))
    seen = seen_on_wall(artwork, 4.0, ROOM_PUPIL_MM, shown_px=300)
    assert seen.origin_px[0] < 0
    assert seen.origin_px[1] < 0
    assert np.allclose(seen.at(seen.origin_px[0], seen.origin_px[1]), WALL_LUMINANCE1, atol=0.005)
    assert np.allclose(seen.at(100, 150), 1.0, atol=0.01)
    # along a straight edge the light of both sides is halved
    assert np.allclose(seen.at(0, 150), (1.0 + WALL_LUMINANCE1) / 2, atol=0.01)


def test_a_sharp_sheet_comes_three_times_finer_than_shown() -> None:
    artwork = artwork_of(blocks((1000, 700), 9))
    shown = unblurred_sheet(artwork, shown_px=120)
    assert 3 * 120 <= shown.shape[0] < 6 * 120
    assert shown.mean() == pytest.approx(srgb8_to_linear(artwork.srgb8).mean(), rel=0.01)
    assert unblurred_sheet(artwork, shown_px=5000).shape == (1000, 700, 3)


# ---- places -------------------------------------------------------------------------------------


def seen_of(linear: npt.ArrayLike) -> Seen:
    return Seen(linear=np.asarray(linear, dtype=np.float32), scale_px=4, origin_px=(10, 20), px_per_deg=240.0)


def test_places_are_in_original_pixels() -> None:
    seen = seen_of([[0.0, 1.0], [2.0, 3.0]])
    # sample centres lie at 12 and 16 across, 22 and 26 down
    assert seen.at([12, 16, 12, 16], [22, 22, 26, 26]).tolist() == [0.0, 1.0, 2.0, 3.0]
    assert float(seen.at(14, 24)) == 1.5
    assert float(seen.at(13, 22)) == 0.25
    assert float(seen.at(-100, 500)) == 2.0
    assert seen_of(np.zeros((2, 2, 3))).at([[12, 13]], [[22, 23]]).shape == (1, 2, 3)


def test_a_mean_counts_samples_by_their_part() -> None:
    seen = seen_of([[0.0, 1.0], [2.0, 3.0]])
    assert seen.mean(Box(x0=10, y0=20, x1=18, y1=28)) == 1.5
    assert seen.mean(Box(x0=10, y0=20, x1=14, y1=24)) == 0.0
    assert seen.mean(Box(x0=12, y0=20, x1=18, y1=24)) == pytest.approx(2 / 3)
    with pytest.raises(ValueError, match="beyond"):
        seen.mean(Box(x0=9, y0=20, x1=18, y1=28))
