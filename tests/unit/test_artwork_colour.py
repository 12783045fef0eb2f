"""Colour on its way to sRGB: embedded profiles, CMYK with and without one, Lab."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageCms

from artwork_files import cmyk_table, described, gamma_curve, icc_bytes, psd_bytes, xyz
from standback.artwork import Artwork, load
from standback.artwork.assumed_cmyk import SOLIDS_XYZ100, reflected_xyz1
from standback.doubts import Doubt
from standback.light import srgb8_to_linear
from standback.sheet import parse_size

SIZE = parse_size("120x80mm")
PX = (24, 16)
# The colorants of sRGB relative to D50: ICC sRGB profile, IEC 61966-2-1 adapted after Bradford.
SRGB_COLORANTS = {
    b"rXYZ": (0.4361, 0.2225, 0.0139),
    b"gXYZ": (0.3851, 0.7169, 0.0971),
    b"bXYZ": (0.1431, 0.0606, 0.7141),
}


def rgb_profile(name: bytes, gamma: float, order: Sequence[bytes] = (b"rXYZ", b"gXYZ", b"bXYZ")) -> bytes:
    colorants = dict(zip(order, SRGB_COLORANTS.values(), strict=True))
    tags = {tag: xyz(*values) for tag, values in colorants.items()}
    curves = {tag: gamma_curve(gamma) for tag in (b"rTRC", b"gTRC", b"bTRC")}
    return icc_bytes(b"RGB ", b"XYZ ", {b"desc": described(name), **tags, **curves})


def grey_profile(gamma: float) -> bytes:
    return icc_bytes(b"GRAY", b"XYZ ", {b"desc": described(b"Grey"), b"kTRC": gamma_curve(gamma)})


def cmyk_profile(name: bytes = b"Press one", black_lightness: float = 20.0, paper_lightness: float = 100.0) -> bytes:
    """A press without hue: each of C, M and Y takes 20 off the lightness of paper, K goes to the black's."""
    c, m, y, k = np.indices((2, 2, 2, 2))
    lab = np.zeros((2, 2, 2, 2, 3))
    lab[..., 0] = np.where(k == 1, black_lightness, 100 - 20 * (c + m + y))
    table = cmyk_table(lab)
    white = xyz(*(((paper_lightness + 16) / 116) ** 3 * part for part in (0.9642, 1, 0.8249)))
    tags = {b"desc": described(name), b"wtpt": white, b"A2B0": table, b"A2B1": table}
    return icc_bytes(b"CMYK", b"Lab ", tags)


def srgb_profile() -> bytes:
    profile: bytes = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    return profile


def saved(path: Path, mode: str, colour: tuple[int, ...] | int, profile: bytes | None = None) -> Path:
    options: dict[str, Any] = {"quality": 100, "subsampling": 0} if path.suffix == ".jpg" else {}
    Image.new(mode, PX, colour).save(path, icc_profile=profile, **options)
    return path


def pixel(artwork: Artwork) -> tuple[int, ...]:
    return tuple(int(v) for v in artwork.srgb8[0, 0])


def srgb_of_luminance(luminance1: float) -> int:
    """Invert IEC 61966-2-1 by its table."""
    return int(np.argmin(abs(srgb8_to_linear(np.arange(256), np.float64) - luminance1)))


def luminance_of_lightness(lightness: float) -> float:
    """ISO/CIE 11664-4, above its linear part."""
    return ((lightness + 16) / 116) ** 3


@pytest.mark.parametrize("name", ["a.png", "a.jpg", "a.tif", "a.webp"])
def test_an_srgb_profile_changes_no_code(tmp_path: Path, name: str) -> None:
    ramp = np.arange(256, dtype=np.uint8).repeat(3).reshape(1, 256, 3)
    picture = Image.fromarray(np.concatenate([ramp, ramp[:, ::-1]]).repeat(8, axis=0))
    options: dict[str, Any] = {"a.webp": {"lossless": True}}.get(name, {})
    picture.save(tmp_path / name, icc_profile=srgb_profile(), **options)
    with Image.open(tmp_path / name) as plain:
        expected = np.asarray(plain.convert("RGB"))
    artwork = load(tmp_path / name, size=parse_size("1600x100mm"))
    assert np.array_equal(artwork.srgb8, expected)
    assert artwork.profile == "sRGB built-in"
    assert artwork.doubts == ()


def test_a_profile_is_followed(tmp_path: Path) -> None:
    # red ink with the colorant of green
    swapped = rgb_profile(b"Swapped", 2.2, (b"gXYZ", b"rXYZ", b"bXYZ"))
    artwork = load(saved(tmp_path / "a.png", "RGB", (255, 0, 0), swapped), size=SIZE)
    assert pixel(artwork) == pytest.approx((0, 255, 0), abs=3)
    assert artwork.profile == "Swapped"


@pytest.mark.parametrize("gamma", [1.0, 1.8, 2.4])
@pytest.mark.parametrize("mode", ["RGB", "L"])
def test_the_profiles_tone_curve_is_followed(tmp_path: Path, mode: str, gamma: float) -> None:
    profile = rgb_profile(b"RGB of ours", gamma) if mode == "RGB" else grey_profile(gamma)
    colour = (128, 128, 128) if mode == "RGB" else 128
    for name in ("a.png", "a.tif"):
        artwork = load(saved(tmp_path / name, mode, colour, profile), size=SIZE)
        assert pixel(artwork) == pytest.approx((srgb_of_luminance((128 / 255) ** gamma),) * 3, abs=1)
        assert artwork.doubts == ()


def test_grey_with_an_rgb_profile(tmp_path: Path) -> None:
    artwork = load(saved(tmp_path / "a.png", "L", 128, rgb_profile(b"Linear", 1.0)), size=SIZE)
    assert pixel(artwork) == pytest.approx((188,) * 3, abs=1)
    assert (artwork.colour, artwork.profile, artwork.doubts) == ("grey", "Linear", ())


def test_transparency_is_composed_after_the_profile(tmp_path: Path) -> None:
    # 128 in linear codes is sRGB 188, and half of that over white is 221
    path = tmp_path / "a.png"
    Image.new("RGBA", PX, (128, 128, 128, 128)).save(path, icc_profile=rgb_profile(b"Linear", 1.0))
    expected = round((188 * 128 + 255 * 127) / 255)
    assert pixel(load(path, size=SIZE)) == pytest.approx((expected,) * 3, abs=1)


def test_palette_with_a_profile(tmp_path: Path) -> None:
    picture = Image.new("P", PX, 1)
    picture.putpalette([0, 0, 0, 128, 128, 128])
    picture.save(tmp_path / "a.png", icc_profile=rgb_profile(b"Linear", 1.0))
    assert pixel(load(tmp_path / "a.png", size=SIZE)) == pytest.approx((188,) * 3, abs=1)


ODD_SPACE = rgb_profile(b"Odd", 2.2).replace(b"RGB ", b"\xff\xfe\x80 ", 1)


@pytest.mark.parametrize(
    "profile",
    [b"no profile at all", srgb_profile()[:200], grey_profile(2.2), cmyk_profile(), bytes(500), ODD_SPACE],
    ids=["text", "cut short", "for grey", "for CMYK", "zeros", "of no colour space"],
)
def test_a_profile_that_cannot_be_used_is_doubted(tmp_path: Path, profile: bytes) -> None:
    artwork = load(saved(tmp_path / "a.tif", "RGB", (10, 120, 230), profile), size=SIZE)
    assert pixel(artwork) == (10, 120, 230)
    assert artwork.doubts == (Doubt.DAMAGED_PROFILE,)


def test_profile_names_are_made_safe_to_print(tmp_path: Path) -> None:
    profile = rgb_profile(b"My\x07 press\x1b[31m\r\n one" + b"!" * 200, 2.2)
    name = load(saved(tmp_path / "a.png", "RGB", (0, 0, 0), profile), size=SIZE).profile
    assert name is not None
    assert name.startswith("My press [31m one!")
    assert len(name) == 80


@pytest.mark.parametrize("name", ["a.tif", "a.jpg"])
@pytest.mark.parametrize(
    ("cmyk", "lightness"),
    [
        ((0, 0, 0, 0), 100),
        ((255, 0, 0, 0), 80),
        ((255, 255, 0, 0), 60),
        ((51, 0, 0, 0), 96),
        ((0, 0, 0, 255), 20),
    ],
)
def test_cmyk_goes_through_its_profile(tmp_path: Path, name: str, cmyk: tuple[int, ...], lightness: float) -> None:
    artwork = load(saved(tmp_path / name, "CMYK", cmyk, cmyk_profile()), size=SIZE)
    # Black-point compensation moves the press's black (here its solid black) to 0, in linear light.
    black = luminance_of_lightness(20)
    expected = srgb_of_luminance((luminance_of_lightness(lightness) - black) / (1 - black))
    assert pixel(artwork) == pytest.approx((expected,) * 3, abs=2)
    assert (artwork.colour, artwork.profile, artwork.doubts) == ("CMYK", "Press one", ())


def test_cmyk_from_photoshop_goes_through_its_profile(tmp_path: Path) -> None:
    # In the file 255 is no ink: half a tint of cyan here.
    cyan, none = np.full(PX[::-1], 128, np.uint8), np.full(PX[::-1], 255, np.uint8)
    (tmp_path / "a.psd").write_bytes(psd_bytes([cyan, none, none, none], 4, resources={1039: cmyk_profile()}))
    artwork = load(tmp_path / "a.psd", size=SIZE)
    black = luminance_of_lightness(20)
    expected = srgb_of_luminance((luminance_of_lightness(100 - 20 * 127 / 255) - black) / (1 - black))
    assert pixel(artwork) == pytest.approx((expected,) * 3, abs=2)
    assert (artwork.colour, artwork.profile) == ("CMYK", "Press one")


def test_cmyk_jpeg_keeps_its_inks_upside_down_and_still_comes_out_right(tmp_path: Path) -> None:
    path = saved(tmp_path / "a.jpg", "CMYK", (0, 0, 0, 255))
    assert b"Adobe" in path.read_bytes()
    with Image.open(path) as stored:
        tile = stored.tile[0]
        stored.tile = [tile._replace(args=("CMYK", ""))]
        samples = stored.getpixel((0, 0))
    assert samples == pytest.approx((255, 255, 255, 0), abs=1)  # as stored: 255 is no ink
    assert max(pixel(load(path, size=SIZE))) < 40


def test_cmyk_without_a_profile_is_doubted(tmp_path: Path) -> None:
    artwork = load(saved(tmp_path / "a.tif", "CMYK", (0, 0, 0, 0)), size=SIZE)
    assert pixel(artwork) == (255, 255, 255)
    assert (artwork.colour, artwork.profile, artwork.doubts) == ("CMYK", None, (Doubt.NO_PROFILE,))


def test_cmyk_with_a_profile_for_rgb_has_no_profile(tmp_path: Path) -> None:
    artwork = load(saved(tmp_path / "a.tif", "CMYK", (0, 0, 0, 0), srgb_profile()), size=SIZE)
    assert artwork.doubts == (Doubt.DAMAGED_PROFILE, Doubt.NO_PROFILE)


# Fogra, characterisation data FOGRA39L (December 2006): tone values in % and measured Y (paper: 87.62).
# None of these mixes is among the solids the model is made of.
FOGRA39_Y100 = {
    (40, 0, 0, 0): 56.18,
    (0, 40, 0, 0): 50.57,
    (0, 0, 40, 0): 81.13,
    (0, 0, 0, 40): 39.73,
    (70, 0, 0, 0): 36.45,
    (0, 70, 0, 0): 29.06,
    (0, 0, 0, 70): 14.92,
    (40, 40, 0, 0): 32.42,
    (40, 40, 40, 0): 29.86,
    (70, 70, 70, 0): 10.39,
    (100, 40, 0, 0): 13.38,
    (0, 100, 40, 0): 16.59,
    (20, 20, 20, 20): 38.52,
    (40, 0, 0, 40): 26.21,
    (0, 0, 0, 20): 61.77,
    (0, 0, 0, 80): 9.33,
}
FOGRA39_PAPER_Y100 = 87.62
FOGRA39_BLACK_Y100 = 0.97
"""All four inks solid: what black-point compensation takes as black."""


@pytest.mark.parametrize(("tones", "published_y100"), FOGRA39_Y100.items())
def test_assumed_press_against_published_measurements(
    tmp_path: Path, tones: tuple[int, ...], published_y100: float
) -> None:
    cmyk8 = tuple(round(tone * 2.55) for tone in tones)
    artwork = load(saved(tmp_path / "a.tif", "CMYK", cmyk8), size=SIZE)
    luminance1 = float(srgb8_to_linear(artwork.srgb8[0, 0], np.float64) @ (0.2126, 0.7152, 0.0722))
    paper, black = FOGRA39_PAPER_Y100, FOGRA39_BLACK_Y100
    published1 = (published_y100 - black) / (paper - black)
    # 5 units of lightness; out-of-gamut cyan is the farthest
    assert lightness_of(luminance1) == pytest.approx(lightness_of(published1), abs=5)


def lightness_of(luminance1: float) -> float:
    """ISO/CIE 11664-4."""
    return 116 * luminance1 ** (1 / 3) - 16 if luminance1 > (6 / 29) ** 3 else luminance1 * (29 / 3) ** 3


def test_assumed_press_gives_back_its_solids() -> None:
    corners = np.stack(np.meshgrid(*[(0, 1)] * 4, indexing="ij"), axis=-1).reshape(16, 4)
    assert np.allclose(reflected_xyz1(corners), SOLIDS_XYZ100 / SOLIDS_XYZ100[0])


@pytest.mark.parametrize(
    ("lab", "expected"),
    [
        # L* 50 is Y 0.1842, sRGB 118.9
        ((128, 128, 128), 119),
        ((255, 128, 128), 255),
        ((0, 128, 128), 0),
    ],
)
def test_lab_greys(tmp_path: Path, lab: tuple[int, ...], expected: int) -> None:
    artwork = load(saved(tmp_path / "a.tif", "LAB", lab), size=SIZE)
    assert pixel(artwork) == pytest.approx((expected,) * 3, abs=1)
    assert (artwork.colour, artwork.doubts) == ("Lab", ())


def test_lab_red_from_photoshop(tmp_path: Path) -> None:
    # sRGB red is Lab (D50) 54.29, 80.80, 69.89: https://www.color.org sRGB profile, Bradford-adapted
    planes = [np.full(PX[::-1], v, np.uint8) for v in (round(54.29 * 2.55), 128 + 81, 128 + 70)]
    (tmp_path / "a.psd").write_bytes(psd_bytes(planes, 9))
    assert pixel(load(tmp_path / "a.psd", size=SIZE)) == pytest.approx((255, 0, 0), abs=8)


def test_ycbcr_tiff(tmp_path: Path) -> None:
    picture = Image.new("RGB", PX, (200, 30, 60)).convert("YCbCr")
    picture.save(tmp_path / "a.tif")
    assert pixel(load(tmp_path / "a.tif", size=SIZE)) == pytest.approx((200, 30, 60), abs=2)


def test_a_cmyk_profile_tells_of_its_paper_and_black(tmp_path: Path) -> None:
    profile = cmyk_profile(black_lightness=20.0, paper_lightness=90.0)
    paper = load(saved(tmp_path / "a.tif", "CMYK", (0, 0, 0, 0), profile), size=SIZE).paper
    assert paper is not None
    # solid black lies on that paper: its light is a share of the paper's
    share, white1 = ((20 + 16) / 116) ** 3, ((90 + 16) / 116) ** 3
    assert paper.name == "Press one"
    assert paper.white1 == pytest.approx(white1, rel=0.02)
    assert paper.black1 == pytest.approx(white1 * share, rel=0.06)


def test_no_paper_is_made_up(tmp_path: Path) -> None:
    perfect = cmyk_profile(paper_lightness=100.0)
    assert load(saved(tmp_path / "a.tif", "CMYK", (0, 0, 0, 0), perfect), size=SIZE).paper is None
    assert load(saved(tmp_path / "b.tif", "CMYK", (0, 0, 0, 0)), size=SIZE).paper is None
    assert load(saved(tmp_path / "c.png", "RGB", (9, 9, 9), srgb_profile()), size=SIZE).paper is None
