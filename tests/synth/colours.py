"""Colours for drawn posters, with a WCAG ratio of our own so that truth stands on its own."""

import numpy as np

Srgb8 = tuple[int, int, int]


def luminance1(srgb8: Srgb8) -> float:
    """Relative luminance of an sRGB colour (WCAG 2.2, with IEC 61966-2-1's 0.04045)."""
    v = np.asarray(srgb8, dtype=float) / 255
    linear = np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)
    return float(linear @ (0.2126, 0.7152, 0.0722))


def ratio(a: Srgb8, b: Srgb8) -> float:
    """WCAG contrast ratio of two sRGB colours."""
    low, high = sorted((luminance1(a), luminance1(b)))
    return (high + 0.05) / (low + 0.05)


def shade(towards: Srgb8, start: Srgb8, share: float) -> Srgb8:
    """Mix `share` of `towards` into `start`, in sRGB codes."""
    mixed = [round(s + share * (t - s)) for s, t in zip(start, towards, strict=True)]
    return (mixed[0], mixed[1], mixed[2])


def ink_for(ground: Srgb8, wanted_ratio: float, hue: Srgb8) -> Srgb8:
    """Return an ink of about `wanted_ratio` on `ground`: `hue` made lighter or darker until it fits.

    Where `hue` can't reach it either way, black or white is returned, whichever stands off more.
    """
    light, dark = (255, 255, 255), (0, 0, 0)
    steps = [shade(dark, hue, k / 64) for k in range(64, 0, -1)] + [shade(light, hue, k / 64) for k in range(65)]
    upward = luminance1(ground) < 0.18
    side = [s for s in steps if (luminance1(s) > luminance1(ground)) == upward]
    best = min(side, key=lambda s: abs(ratio(s, ground) - wanted_ratio), default=light)
    if ratio(best, ground) < 0.9 * wanted_ratio:
        return max((light, dark), key=lambda s: ratio(s, ground))
    return best


def random_colour(rng: np.random.Generator) -> Srgb8:
    """Return any colour, evenly over the sRGB cube."""
    r, g, b = rng.integers(0, 256, 3)
    return (int(r), int(g), int(b))


def from_hex(text: str) -> Srgb8:
    """Read "#rrggbb" or "#rgb"."""
    digits = text.removeprefix("#")
    if len(digits) == 3:
        digits = "".join(digit * 2 for digit in digits)
    if len(digits) != 6 or not set(digits.lower()) <= set("0123456789abcdef"):
        raise ValueError(f"not a colour like #1a2b3c: {text}")
    return (int(digits[0:2], 16), int(digits[2:4], 16), int(digits[4:6], 16))
