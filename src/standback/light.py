"""Colour as light: sRGB codes, luminance, contrast ratios, and the nearest ink that meets a ratio.

Scales are in the names: `srgb8` are codes 0-255, `srgb1` the same codes as 0-1, `linear` is linear
sRGB light 0-1, `luminance1` is relative luminance 0-1. The last axis of a picture holds R, G, B.
"""

from functools import cache
from typing import Literal

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.floating]
Doubles = npt.NDArray[np.float64]
Srgb8 = tuple[int, int, int]

_AT_A_TIME = 1 << 16
SRGB_KNEE = 0.04045
"""IEC 61966-2-1, as WCAG 2.2 has it since 2021 (the older 0.03928 differs for no 8-bit code)."""
LUMINANCE_WEIGHTS = np.array([0.2126, 0.7152, 0.0722])
"""WCAG 2.2, definition of relative luminance."""
SCREEN_FLARE = 0.05
"""WCAG 2.2, definition of contrast ratio: stray light as a share of white."""
LIGHTNESS_STEP = 0.001
"""Step of the walk along OKLab lightness (ours): finer than one 8-bit code."""

# Ottosson (2020), "A perceptual color space for image processing", matrices M1 and M2.
_LMS_OF_LINEAR = np.array(
    [
        [0.4122214708, 0.5363325363, 0.0514459929],
        [0.2119034982, 0.6806995451, 0.1073969566],
        [0.0883024619, 0.2817188376, 0.6299787005],
    ]
)
_LAB_OF_CUBE_ROOTS = np.array(
    [
        [0.2104542553, 0.7936177850, -0.0040720468],
        [1.9779984951, -2.4285922050, 0.4505937099],
        [0.0259040371, 0.7827717662, -0.8086757660],
    ]
)
_LINEAR_OF_LMS = np.linalg.inv(_LMS_OF_LINEAR)
_CUBE_ROOTS_OF_LAB = np.linalg.inv(_LAB_OF_CUBE_ROOTS)
_GAMUT_SLACK = 1e-6
_CHROMA_HALVINGS = 20


def srgb1_to_linear(srgb1: npt.ArrayLike) -> Doubles:
    """Decode sRGB codes on the scale 0-1 to linear light (IEC 61966-2-1)."""
    code = np.asarray(srgb1, dtype=np.float64)
    return np.where(code <= SRGB_KNEE, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)


@cache
def _linear_of_code(dtype: np.dtype[np.floating]) -> Floats:
    table: Floats = srgb1_to_linear(np.arange(256) / 255).astype(dtype)
    table.setflags(write=False)
    return table


def srgb8_to_linear(srgb8: npt.ArrayLike, dtype: npt.DTypeLike = np.float32) -> Floats:
    """Decode 8-bit sRGB codes to linear light.

    Parameters
    ----------
    srgb8
        Whole numbers from 0 to 255, any shape.
    dtype
        float32 for pictures; float64 where a ratio is to be judged.

    Returns
    -------
    Array of the same shape, 0-1.
    """
    codes = np.asarray(srgb8)
    if codes.dtype != np.uint8:
        if codes.dtype.kind not in "iu" or (codes.size and (codes.min() < 0 or codes.max() > 255)):
            raise ValueError("8-bit codes are whole numbers from 0 to 255")
        codes = codes.astype(np.uint8)
    table = _linear_of_code(np.dtype(dtype))
    linear = np.empty(codes.shape, table.dtype)
    flat, out = codes.reshape(-1), linear.reshape(-1)
    # looked up by whole numbers of the machine's own width, numpy takes half as long
    for start in range(0, flat.size, _AT_A_TIME):
        part = slice(start, start + _AT_A_TIME)
        np.take(table, flat[part].astype(np.intp), out=out[part], mode="clip")
    return linear


def linear_of(srgb8: Srgb8) -> npt.NDArray[np.float32]:
    """Decode one colour to linear light: (3,)."""
    return np.asarray(srgb8_to_linear(np.array(srgb8, dtype=np.uint8)), dtype=np.float32)


def linear_to_srgb1(linear: npt.ArrayLike) -> Floats:
    """Encode linear light as sRGB on the scale 0-1; light outside 0-1 is clipped."""
    light = np.asarray(linear)
    if light.dtype.kind != "f":
        light = light.astype(np.float64)
    light = np.clip(light, 0.0, 1.0)
    bent: Floats = 1.055 * light ** (1 / 2.4) - 0.055
    return np.where(light <= SRGB_KNEE / 12.92, 12.92 * light, bent)


def linear_to_srgb8(linear: npt.ArrayLike) -> npt.NDArray[np.uint8]:
    """Encode linear light as 8-bit sRGB codes, rounded to the nearest."""
    return np.rint(linear_to_srgb1(linear) * 255).astype(np.uint8)


def luminance1(linear: npt.ArrayLike) -> Floats:
    """Relative luminance of linear sRGB (WCAG 2.2).

    Parameters
    ----------
    linear
        (..., 3) linear light; float32 stays float32.

    Returns
    -------
    (...) relative luminance, 1 for white.
    """
    light = np.asarray(linear)
    if light.dtype.kind != "f":
        light = light.astype(np.float64)
    weighted: Floats = light @ LUMINANCE_WEIGHTS.astype(light.dtype)
    return weighted


def luminance1_of(srgb8: npt.ArrayLike, dtype: npt.DTypeLike = np.float32) -> float:
    """Relative luminance of one 8-bit colour; float64 where a ratio is to be judged."""
    return float(luminance1(srgb8_to_linear(np.asarray(srgb8, dtype=np.uint8), dtype)))


def ratio_of_luminances(luminance1_a: float, luminance1_b: float) -> float:
    """WCAG 2.x contrast ratio of two relative luminances, in either order; 1 to 21."""
    higher, lower = max(luminance1_a, luminance1_b), min(luminance1_a, luminance1_b)
    return float((higher + SCREEN_FLARE) / (lower + SCREEN_FLARE))


def ratios_of_luminances(luminances1_a: npt.ArrayLike, luminances1_b: npt.ArrayLike) -> Doubles:
    """WCAG 2.x contrast ratio of each two relative luminances, in either order; 1 to 21."""
    higher, lower = np.maximum(luminances1_a, luminances1_b), np.minimum(luminances1_a, luminances1_b)
    return np.asarray((higher + SCREEN_FLARE) / (lower + SCREEN_FLARE), dtype=np.float64)


def contrast_ratio(srgb8_a: npt.ArrayLike, srgb8_b: npt.ArrayLike) -> float:
    """WCAG 2.x contrast ratio of two 8-bit sRGB colours, in either order.

    Parameters
    ----------
    srgb8_a, srgb8_b
        (3,) whole numbers from 0 to 255.

    Returns
    -------
    1 to 21, not rounded.

    References
    ----------
    W3C, Web Content Accessibility Guidelines 2.2, "contrast ratio" and "relative luminance".
    """
    pair = srgb8_to_linear(np.array([srgb8_a, srgb8_b]), np.float64)
    if pair.shape != (2, 3):
        raise ValueError("a contrast ratio takes two colours of three codes each")
    first, second = luminance1(pair)
    return ratio_of_luminances(float(first), float(second))


def linear_to_oklab(linear: npt.ArrayLike) -> Doubles:
    """Convert (..., 3) linear sRGB to OKLab: lightness 0-1, a, b (Ottosson 2020)."""
    lms = np.asarray(linear, dtype=np.float64) @ _LMS_OF_LINEAR.T
    oklab: Doubles = np.cbrt(lms) @ _LAB_OF_CUBE_ROOTS.T
    return oklab


def oklab_to_linear(oklab: npt.ArrayLike) -> Doubles:
    """Convert (..., 3) OKLab to linear sRGB; colours outside the gamut leave 0-1."""
    roots = np.asarray(oklab, dtype=np.float64) @ _CUBE_ROOTS_OF_LAB.T
    linear: Doubles = roots**3 @ _LINEAR_OF_LMS.T
    return linear


def srgb8_to_oklab(srgb8: npt.ArrayLike) -> Doubles:
    """Convert (..., 3) 8-bit sRGB codes to OKLab."""
    return linear_to_oklab(srgb8_to_linear(srgb8, np.float64))


def _into_gamut(oklab: Doubles) -> Doubles:
    """Reduce the chroma of (n, 3) OKLab colours, lightness and hue kept, until sRGB can show them."""
    low, high = np.zeros(len(oklab)), np.ones(len(oklab))

    def shown(share: Doubles) -> npt.NDArray[np.bool_]:
        linear = oklab_to_linear(oklab * np.stack([np.ones_like(share), share, share], axis=1))
        return np.asarray(np.all((linear >= -_GAMUT_SLACK) & (linear <= 1 + _GAMUT_SLACK), axis=1))

    low[shown(high)] = 1.0
    for _ in range(_CHROMA_HALVINGS):
        middle = (low + high) / 2
        inside = shown(middle)
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    return oklab * np.stack([np.ones_like(low), low, low], axis=1)


def nearest_ink(
    srgb8: Srgb8,
    ground_srgb8: Srgb8,
    wanted_ratio: float,
    *,
    side: Literal["darker", "lighter"] | None = None,
) -> Srgb8 | None:
    """Find the nearest colour of the same hue that meets a contrast ratio on its ground.

    Walks along OKLab lightness, hue kept and chroma reduced where sRGB needs it, in both directions
    and takes the shorter way. The ratio is tested on the rounded 8-bit colour.

    Parameters
    ----------
    srgb8, ground_srgb8
        The ink as it is, and what it sits on.
    wanted_ratio
        WCAG contrast ratio to meet.
    side
        "darker" or "lighter" to walk in that direction only.

    Returns
    -------
    The colour; the ink itself where it meets the ratio; None where no lightness of that hue does.
    """
    lightness, *hue = srgb8_to_oklab(srgb8)
    ground = luminance1_of(ground_srgb8, np.float64) + SCREEN_FLARE
    best: tuple[float, Srgb8] | None = None
    for name, end in (("darker", 0.0), ("lighter", 1.0)):
        if side not in (None, name):
            continue
        steps = int(np.ceil(abs(end - lightness) / LIGHTNESS_STEP)) + 1
        walk = lightness + np.sign(end - lightness) * LIGHTNESS_STEP * np.arange(steps)
        walk = np.clip(walk, 0.0, 1.0)
        oklab = np.stack([walk, *(np.full(steps, chroma) for chroma in hue)], axis=1)
        codes = linear_to_srgb8(oklab_to_linear(_into_gamut(oklab)))
        codes[0] = srgb8
        above = luminance1(srgb8_to_linear(codes, np.float64)) + SCREEN_FLARE
        ratios = np.maximum(above, ground) / np.minimum(above, ground)
        enough = np.flatnonzero(ratios >= wanted_ratio)
        if len(enough):
            moved = abs(float(walk[enough[0]]) - float(lightness))
            if best is None or moved < best[0]:
                r, g, b = (int(code) for code in codes[enough[0]])
                best = moved, (r, g, b)
    return None if best is None else best[1]


def is_lighter(ink: Srgb8, ground: Srgb8) -> bool:
    """Whether an ink is lighter than its ground, as type that is reversed out of a solid."""
    return luminance1_of(ink) > luminance1_of(ground)


def to_hex(srgb8: Srgb8) -> str:
    """Write an 8-bit colour as "#rrggbb"."""
    return "#" + "".join(f"{code:02x}" for code in srgb8)
