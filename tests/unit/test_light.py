"""sRGB, luminance, ratios and the walk to a nearer ink, against the standards and colour-science."""

import warnings
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from published_values import HALF_LIGHT_SRGB8, OKLAB, WCAG_LUMINANCES, WCAG_RATIOS
from standback.light import (
    Srgb8,
    contrast_ratio,
    linear_to_oklab,
    linear_to_srgb1,
    linear_to_srgb8,
    luminance1,
    nearest_ink,
    oklab_to_linear,
    ratio_of_luminances,
    srgb1_to_linear,
    srgb8_to_linear,
    srgb8_to_oklab,
    to_hex,
)
from synth.colours import from_hex

CODE = st.integers(0, 255)
COLOUR = st.tuples(CODE, CODE, CODE)
WHITE, BLACK = (255, 255, 255), (0, 0, 0)


@pytest.fixture(scope="module")
def colour() -> Any:
    """colour-science, which warns of what else could be installed."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    return colour


@pytest.mark.parametrize(("a", "b", "ratio"), WCAG_RATIOS)
def test_ratios_are_those_of_wcag(a: str, b: str, ratio: float) -> None:
    assert contrast_ratio(from_hex(a), from_hex(b)) == pytest.approx(ratio, abs=5e-5)
    assert contrast_ratio(from_hex(b), from_hex(a)) == contrast_ratio(from_hex(a), from_hex(b))


@pytest.mark.parametrize(("colour_hex", "expected"), WCAG_LUMINANCES)
def test_luminances_are_those_of_wcag(colour_hex: str, expected: float) -> None:
    linear = srgb8_to_linear(from_hex(colour_hex), np.float64)
    assert float(luminance1(linear)) == pytest.approx(expected, abs=5e-6)


def test_a_ratio_is_not_rounded_up_to_the_limit() -> None:
    assert contrast_ratio((0x77, 0x77, 0x77), WHITE) < 4.5


def test_every_code_decodes_as_colour_science_has_it(colour: Any) -> None:
    codes = np.arange(256)
    expected = colour.models.eotf_sRGB(codes / 255)
    assert np.allclose(srgb8_to_linear(codes, np.float64), expected, atol=1e-12)
    assert np.allclose(srgb8_to_linear(codes), expected, atol=1e-7)


def test_light_encodes_as_colour_science_has_it(colour: Any) -> None:
    light = np.linspace(0, 1, 1001)
    assert np.allclose(linear_to_srgb1(light), colour.models.eotf_inverse_sRGB(light), atol=1e-7)


def test_luminance_is_close_to_that_of_colour_science(colour: Any) -> None:
    # colour-science derives its weights from chromaticities; WCAG rounds them to four decimals
    codes = np.random.default_rng(1).integers(0, 256, (50, 3))
    expected = colour.sRGB_to_XYZ(codes / 255)[:, 1]
    assert np.allclose(luminance1(srgb8_to_linear(codes, np.float64)), expected, atol=2e-4)


def test_oklab_is_that_of_colour_science(colour: Any) -> None:
    codes = np.random.default_rng(2).integers(0, 256, (50, 3))
    expected = colour.XYZ_to_Oklab(colour.sRGB_to_XYZ(codes / 255))
    assert np.allclose(srgb8_to_oklab(codes), expected, atol=1e-3)


@pytest.mark.parametrize(("colour_hex", "expected"), OKLAB)
def test_oklab_of_the_corners_is_ottossons(colour_hex: str, expected: tuple[float, float, float]) -> None:
    assert np.allclose(srgb8_to_oklab(from_hex(colour_hex)), expected, atol=2e-5)


def test_codes_come_back_from_light_and_oklab() -> None:
    codes = np.stack(np.meshgrid(*[np.arange(0, 256, 17)] * 3), axis=-1).astype(np.uint8)
    for dtype in (np.float32, np.float64):
        assert np.array_equal(linear_to_srgb8(srgb8_to_linear(codes, dtype)), codes)
    assert np.array_equal(linear_to_srgb8(oklab_to_linear(srgb8_to_oklab(codes))), codes)
    assert np.allclose(srgb1_to_linear(linear_to_srgb1(np.linspace(0, 1, 999))), np.linspace(0, 1, 999))


def test_shapes_and_scales_are_kept() -> None:
    picture = np.zeros((4, 5, 3), dtype=np.uint8)
    linear = srgb8_to_linear(picture)
    assert linear.shape == (4, 5, 3)
    assert linear.dtype == np.float32
    assert luminance1(linear).shape == (4, 5)
    assert luminance1(linear).dtype == np.float32
    assert linear_to_oklab(linear).shape == (4, 5, 3)


def test_black_and_white_mix_to_half_the_light() -> None:
    mixed = srgb8_to_linear([BLACK, WHITE]).mean(axis=0)
    assert linear_to_srgb8(mixed).tolist() == [HALF_LIGHT_SRGB8] * 3


@pytest.mark.parametrize("codes", [[-1, 0, 0], [0, 256, 0], [0.5, 0.5, 0.5]])
def test_what_is_no_8_bit_code_is_refused(codes: list[float]) -> None:
    with pytest.raises(ValueError, match="0 to 255"):
        srgb8_to_linear(codes)


def test_a_ratio_of_pictures_is_refused() -> None:
    with pytest.raises(ValueError, match="two colours"):
        contrast_ratio([[0, 0, 0], [1, 1, 1]], [[2, 2, 2], [3, 3, 3]])


def test_light_beyond_the_gamut_is_clipped() -> None:
    assert linear_to_srgb8([-0.2, 0.5, 1.7]).tolist() == [0, HALF_LIGHT_SRGB8, 255]


@settings(deadline=None)
@given(COLOUR, COLOUR)
def test_a_ratio_lies_between_1_and_21_in_either_order(a: Srgb8, b: Srgb8) -> None:
    assert 1.0 <= contrast_ratio(a, b) <= 21.0 + 1e-9
    assert contrast_ratio(a, b) == contrast_ratio(b, a)


def test_a_ratio_of_luminances_is_that_of_the_colours() -> None:
    grey = float(luminance1(srgb8_to_linear((0x76, 0x76, 0x76), np.float64)))
    assert ratio_of_luminances(1.0, grey) == pytest.approx(contrast_ratio((0x76, 0x76, 0x76), WHITE))


# Our own output, pinned: found once by a separate program that walks in the same way.
NEAREST_INKS = (
    ("#ff8800", "#ffffff", 4.5, "#b65f00"),
    ("#00a0ff", "#ffffff", 4.5, "#007bc6"),
    ("#ff0000", "#ffffff", 4.5, "#ee0000"),
    ("#999999", "#ffffff", 4.5, "#767676"),
    ("#ffcc00", "#ffffff", 3.0, "#b59000"),
    ("#2050c0", "#101030", 4.5, "#4378eb"),
    ("#c03030", "#203080", 4.5, "#ff776e"),
)


@pytest.mark.parametrize(("ink", "ground", "wanted", "expected"), NEAREST_INKS)
def test_nearest_inks_are_as_pinned(ink: str, ground: str, wanted: float, expected: str) -> None:
    nearest = nearest_ink(from_hex(ink), from_hex(ground), wanted)
    assert nearest is not None
    assert to_hex(nearest) == expected


@settings(deadline=None)
@given(COLOUR, COLOUR, st.sampled_from([3.0, 4.5, 7.0]))
def test_a_nearest_ink_meets_the_ratio_and_keeps_its_hue(ink: Srgb8, ground: Srgb8, wanted: float) -> None:
    nearest = nearest_ink(ink, ground, wanted)
    if nearest is None:
        # black or white have the highest ratio there is, and are of every hue
        assert max(contrast_ratio(BLACK, ground), contrast_ratio(WHITE, ground)) < wanted
        return
    assert contrast_ratio(nearest, ground) >= wanted
    before, after = srgb8_to_oklab(ink), srgb8_to_oklab(nearest)
    if np.hypot(*before[1:]) > 0.04 and np.hypot(*after[1:]) > 0.04:
        turned = np.angle(complex(*after[1:]) / complex(*before[1:]), deg=True)
        # a code of 8 bits is a step of several degrees in dark colours
        assert abs(turned) < 8


def test_an_ink_that_meets_the_ratio_stays_as_it_is() -> None:
    assert nearest_ink((20, 40, 60), WHITE, 4.5) == (20, 40, 60)


def test_no_ink_meets_a_ratio_out_of_reach() -> None:
    assert nearest_ink((128, 128, 128), (119, 119, 119), 7.0) is None


def test_a_side_can_be_kept() -> None:
    ground = (119, 119, 119)
    darker = nearest_ink((110, 110, 110), ground, 3.0, side="darker")
    lighter = nearest_ink((110, 110, 110), ground, 3.0, side="lighter")
    assert darker is not None
    assert lighter is not None
    assert darker[0] < 119 < lighter[0]
    assert nearest_ink((250, 250, 250), (200, 200, 200), 3.0, side="lighter") is None


def test_hex_goes_both_ways() -> None:
    assert to_hex((26, 43, 60)) == "#1a2b3c"
    assert from_hex("#1A2B3c") == (26, 43, 60)
    assert from_hex("#fa0") == (255, 170, 0)
    with pytest.raises(ValueError, match="not a colour"):
        from_hex("#12345g")
