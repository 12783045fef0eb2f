"""Colours and grounds: flat, panels, gradients, noise, paper, pieces of free photographs.

The photographs are those that scikit-image and scikit-learn bundle under free terms; MODEL.md lists them.
"""

import random
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import numpy.typing as npt
from PIL import Image

Rgb = tuple[int, int, int]
Picture = npt.NDArray[np.uint8]
Field = npt.NDArray[np.float32]

PHOTOGRAPHS = {
    "skimage": (
        "data",
        "astronaut.png brick.png camera.png cell.png chelsea.png clock_motion.png coffee.png coins.png grass.png "
        "gravel.png horse.png hubble_deep_field.jpg ihc.png microaneurysms.png retina.jpg rocket.jpg",
    ),
    "sklearn": ("datasets/images", "china.jpg flower.jpg"),
}


def linear1(srgb8: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """Decode sRGB bytes to linear light in [0, 1] (IEC 61966-2-1)."""
    v = np.asarray(srgb8, dtype=float) / 255
    linear: npt.NDArray[np.float64] = np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)
    return linear


def srgb8_of(linear: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """Encode linear light as sRGB in 0 to 255, not rounded."""
    v = np.clip(np.asarray(linear, dtype=float), 0, 1)
    codes: npt.NDArray[np.float64] = 255 * np.where(v <= 0.0031308, 12.92 * v, 1.055 * v ** (1 / 2.4) - 0.055)
    return codes


def luminance1(srgb8: npt.ArrayLike) -> float:
    """Relative luminance of a colour."""
    return float(linear1(srgb8) @ np.array([0.2126, 0.7152, 0.0722]))


def any_colour(rng: random.Random) -> Rgb:
    """Return a colour as designers choose them: often white, black or grey, else any."""
    pick = rng.random()
    if pick < 0.16:
        return (255, 255, 255)
    if pick < 0.22:
        v = rng.randrange(0, 30)
        return (v, v, v)
    if pick < 0.34:
        v = rng.randrange(225, 256)
        return (v, min(255, v + rng.randrange(-6, 4)), max(0, v - rng.randrange(0, 20)))
    if pick < 0.40:
        v = rng.randrange(256)
        return (v, v, v)
    return (rng.randrange(256), rng.randrange(256), rng.randrange(256))


def with_luminance(base: Rgb, luminance: float) -> Rgb:
    """Return the colour scaled towards black or mixed with white until it has this luminance."""
    linear = linear1(base)
    have = float(linear @ np.array([0.2126, 0.7152, 0.0722]))
    if have >= luminance:
        linear = linear * (luminance / max(have, 1e-6))
    else:
        linear = linear + (1 - linear) * ((luminance - have) / max(1 - have, 1e-6))
    r, g, b = (round(v) for v in srgb8_of(linear))
    return (r, g, b)


def ink_for(rng: random.Random, ground: Rgb, ratio: float) -> Rgb | None:
    """Return an ink with about this WCAG ratio to the ground, None if none was hit upon."""
    have = luminance1(ground)
    light, dark = (have + 0.05) * ratio - 0.05, (have + 0.05) / ratio - 0.05
    for _ in range(8):
        target = rng.choice((light, dark))
        if 0 <= target <= 1:
            ink = with_luminance(any_colour(rng), target)
            if sum(abs(a - b) for a, b in zip(ink, ground, strict=True)) > 30:
                return ink
    return None


def hue_twin(rng: random.Random, ground: Rgb) -> Rgb | None:
    """Return an ink of the ground's luminance and quite another hue."""
    for _ in range(12):
        base = (rng.randrange(256), rng.randrange(256), rng.randrange(256))
        ink = with_luminance(base, luminance1(ground) * rng.uniform(0.9, 1.1))
        if np.linalg.norm(np.subtract(ink, ground)) > 90:
            return ink
    return None


@cache
def photographs() -> tuple[Picture, ...]:
    """Load the bundled photographs."""
    found = []
    for package, (folder, names) in PHOTOGRAPHS.items():
        spec = find_spec(package)
        if spec is None or spec.origin is None:
            raise LookupError(f"{package} is needed for its photographs")
        for name in names.split():
            with Image.open(Path(spec.origin).parent / folder / name) as image:
                found.append(np.asarray(image.convert("RGB")))
    return tuple(found)


def noise_field(rng: np.random.Generator, height: int, width: int, exponent: float) -> Field:
    """Return 1/f^exponent noise with mean 0 and deviation 1, (height, width)."""
    fy = np.fft.fftfreq(height)[:, None]
    fx = np.fft.rfftfreq(width)[None, :]
    amplitude = (fx**2 + fy**2 + 1e-6) ** (-exponent / 2)
    amplitude[0, 0] = 0
    phase = rng.standard_normal(amplitude.shape) + 1j * rng.standard_normal(amplitude.shape)
    field = np.fft.irfft2(amplitude * phase, s=(height, width))
    return (field / max(float(field.std()), 1e-9)).astype(np.float32)


def photo_piece(rng: random.Random, height: int, width: int) -> Picture:
    """Return a random piece of a photograph, turned, mirrored, recoloured."""
    photo = rng.choice(photographs())
    scale = rng.uniform(0.35, 1.0)
    aspect = width / height
    h = min(photo.shape[0], photo.shape[1] / aspect) * scale
    w = h * aspect
    top, left = rng.uniform(0, photo.shape[0] - h), rng.uniform(0, photo.shape[1] - w)
    piece = Image.fromarray(photo).resize((width, height), Image.Resampling.BICUBIC, (left, top, left + w, top + h))
    out = np.asarray(piece)
    if rng.random() < 0.5:
        out = out[:, ::-1]
    if rng.random() < 0.25:
        out = out[::-1]
    if rng.random() < 0.5:
        out = out[:, :, rng.sample(range(3), 3)]
    if rng.random() < 0.3:
        low, high = rng.uniform(0, 120), rng.uniform(130, 255)
        out = np.clip(low + out.astype(np.float32) * (high - low) / 255, 0, 255).astype(np.uint8)
    if rng.random() < 0.25:
        tint = np.asarray(any_colour(rng), dtype=np.float32)
        share = rng.uniform(0.2, 0.7)
        out = (out * (1 - share) + tint * share).astype(np.uint8)
    if rng.random() < 0.15:
        grey = out.mean(axis=2, keepdims=True) / 255
        a, b = np.asarray(any_colour(rng), dtype=float), np.asarray(any_colour(rng), dtype=float)
        out = (a + (b - a) * grey).astype(np.uint8)
    return np.ascontiguousarray(out)


def _gradient(rng: random.Random, height: int, width: int, a: Rgb, b: Rgb) -> Picture:
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    if rng.random() < 0.3:
        t = np.hypot(x - rng.uniform(0, width), y - rng.uniform(0, height)) / np.hypot(height, width)
    else:
        turn = rng.uniform(0, 2 * np.pi)
        t = x * np.cos(turn) + y * np.sin(turn)
        t = (t - t.min()) / max(float(np.ptp(t)), 1e-6)
    t = np.clip(t, 0, 1)[..., None]
    out: Picture = (np.asarray(a) * (1 - t) + np.asarray(b) * t).astype(np.uint8)
    return out


def _noise(rng: random.Random, height: int, width: int) -> Picture:
    g = np.random.default_rng(rng.randrange(2**31))
    exponent = rng.uniform(0.5, 2.0)
    small = rng.choice((1, 1, 2))
    h, w = -(-height // small), -(-width // small)
    if rng.random() < 0.6:
        field = np.stack([noise_field(g, h, w, exponent) for _ in range(3)], axis=2)
        if rng.random() < 0.5:
            field = field * rng.uniform(0.3, 1) + field.mean(axis=2, keepdims=True)
    else:
        field = np.repeat(noise_field(g, h, w, exponent)[..., None], 3, axis=2)
    out = np.clip(np.asarray(any_colour(rng)) + field * rng.uniform(4, 55), 0, 255).astype(np.uint8)
    return np.asarray(Image.fromarray(out).resize((width, height), Image.Resampling.BICUBIC)) if small > 1 else out


def ground(rng: random.Random, height: int, width: int) -> Picture:
    """Return a poster's ground (height, width, 3)."""
    pick = rng.random()
    base = any_colour(rng)
    if pick < 0.42:
        return np.full((height, width, 3), base, dtype=np.uint8)
    if pick < 0.55:
        near = tuple(int(np.clip(v + rng.gauss(0, 60), 0, 255)) for v in base)
        return _gradient(rng, height, width, base, (near[0], near[1], near[2]))
    if pick < 0.74:
        return _noise(rng, height, width)
    if pick < 0.93:
        return photo_piece(rng, height, width)
    g = np.random.default_rng(rng.randrange(2**31))
    paper = noise_field(g, height, width, rng.uniform(0.1, 0.8))[..., None] * rng.uniform(1, 8)
    out: Picture = np.clip(np.asarray(base) + paper, 0, 255).astype(np.uint8)
    return out
