"""The learned scorer: a small convolutional network, in numpy, that marks where lines of type run.

It looks at one picture and answers for type whose capitals are 5.5 to 16 samples high; larger type is
found on coarser pictures. The weights were trained on drawn posters, see tests/training/MODEL.md.
"""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
import numpy.typing as npt
from scipy import ndimage

Floats = npt.NDArray[np.float32]

BLOCK = 4
"""The network sees the picture in blocks of 4 x 4 samples."""
CELL = 2
"""Its maps have one cell per 2 x 2 samples."""
MULTIPLE = 8
"""Both sides of a picture must be multiples of this."""
WINDOW = 9
"""Contrast is judged against the surrounding 9 x 9 blocks."""
FLOOR = 0.03
"""Added to the local deviation, so that flat colour stays calm."""
_STRIP_CELLS = 16_000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Layer:
    """One convolution: weights by tap column, (3 x out, 3 x in) or (out, in), and biases (out, 1, 1)."""

    name: str
    taps: int
    dilation: int
    weights: Floats
    bias: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Maps:
    """What the network says about a picture (H, W): each map is a probability.

    Attributes
    ----------
    core
        (H/2, W/2), the middle of a line's body, from its first letter to its last.
    ink
        (H/2, W/2), letters rather than the ground between them; tells nothing off the lines.
    upright
        (H/4, W/4), the type stands upright rather than upside down; tells nothing off the lines.
    """

    core: Floats
    ink: Floats
    upright: Floats


@cache
def network() -> tuple[Layer, ...]:
    """Load the weights that come with the package."""
    with (files("standback.find") / "weights.npz").open("rb") as file, np.load(file) as arrays:
        return tuple(
            _layer(str(name), int(dilation), arrays[f"{name}.weight"], arrays[f"{name}.bias"])
            for name, dilation in zip(arrays["order"], arrays["dilation"], strict=True)
        )


def score(srgb1: Floats) -> Maps:
    """Mark lines of type on a picture.

    Parameters
    ----------
    srgb1
        (H, W, 3) float32 sRGB in [0, 1], made from averaged linear light; sides multiples of 8.
    """
    logits = run(network(), blocks_of(srgb1))
    return Maps(core=_cells(_sigmoid(logits[:4])), ink=_cells(_sigmoid(logits[4:8])), upright=_sigmoid(logits[8]))


def blocks_of(srgb1: Floats) -> Floats:
    """Return (48, H/4, W/4) blocks, each colour less its local mean, all over one local deviation."""
    height, width = srgb1.shape[0] // BLOCK, srgb1.shape[1] // BLOCK
    blocks = np.ascontiguousarray(
        srgb1.reshape(height, BLOCK, width, BLOCK, 3).transpose(4, 1, 3, 0, 2), dtype=np.float32
    ).reshape(3, BLOCK * BLOCK, height, width)
    mean = _surround(blocks.mean(axis=1))
    variance = np.maximum(_surround(np.einsum("cphw,cphw->chw", blocks, blocks) / BLOCK**2) - mean**2, 0).sum(axis=0)
    blocks -= mean[:, None]
    blocks /= np.sqrt(variance) + np.float32(FLOOR)
    return blocks.reshape(3 * BLOCK * BLOCK, height, width)


def run(layers: tuple[Layer, ...], blocks: Floats) -> Floats:
    """Return the nine logits (9, H/4, W/4): four core cells, four ink cells (rows first), upright."""
    held, x = blocks, blocks
    for layer in layers:
        if layer.name == "down":
            held, x = x, _parted(x)
        x = _convolved(layer, x)
        if layer.name == "up":
            x = _joined(x)
            x += held
        if layer.name != "head":
            np.maximum(x, 0, out=x)
    return x


def _layer(name: str, dilation: int, weights: npt.NDArray[np.float16], bias: Floats) -> Layer:
    n_out, n_in, taps = weights.shape[:3]
    # rows: tap column, then output; columns: tap row, then input
    by_column = weights.astype(np.float32).transpose(3, 0, 2, 1).reshape(taps * n_out, taps * n_in)
    return Layer(
        name=name, taps=taps, dilation=dilation, weights=np.ascontiguousarray(by_column), bias=bias[:, None, None]
    )


def _convolved(layer: Layer, x: Floats) -> Floats:
    """Convolve (C, H, W) with zeros around it.

    Three rows are laid on each other, one matrix product serves the three tap columns, and the three
    results are added, each shifted by its column: fewer copies than one patch per position.
    """
    channels, height, width = x.shape
    if layer.taps == 1:
        flat: Floats = (layer.weights @ x.reshape(channels, -1)).reshape(-1, height, width)
        flat += layer.bias
        return flat
    d, n_out = layer.dilation, len(layer.bias)
    wide = width + 2 * d
    padded = np.zeros((channels, height + 2 * d, wide), np.float32)
    padded[:, d:-d, d:-d] = x
    lines = padded.reshape(channels, -1)
    out = np.empty((n_out, height, width), np.float32)
    rows = max(1, _STRIP_CELLS // wide)
    stack = np.empty((3, channels, min(rows, height) * wide), np.float32)
    for top in range(0, height, rows):
        n = min(rows, height - top)
        if n * wide != stack.shape[2]:
            stack = np.empty((3, channels, n * wide), np.float32)
        for tap in range(3):
            stack[tap] = lines[:, (top + tap * d) * wide : (top + tap * d + n) * wide]
        left, middle, right = (layer.weights @ stack.reshape(3 * channels, -1)).reshape(3, n_out, n, wide)
        strip = out[:, top : top + n]
        np.add(left[:, :, :width], middle[:, :, d : d + width], out=strip)
        strip += right[:, :, 2 * d :]
        strip += layer.bias
    return out


def _surround(by_block: Floats) -> Floats:
    """Mean over the window of (C, H, W), of what lies on the picture."""
    size = (1, WINDOW, WINDOW)
    total = ndimage.uniform_filter(by_block, size, mode="constant")
    share = ndimage.uniform_filter(np.ones_like(by_block[:1]), size, mode="constant")
    mean: Floats = total / share
    return mean


def _parted(x: Floats) -> Floats:
    """Lay each 2 x 2 cells of (C, H, W) on each other: (4C, H/2, W/2)."""
    c, h, w = x.shape
    return np.ascontiguousarray(x.reshape(c, h // 2, 2, w // 2, 2).transpose(0, 2, 4, 1, 3)).reshape(
        4 * c, h // 2, w // 2
    )


def _joined(x: Floats) -> Floats:
    """Undo `_parted`: (4C, H, W) to (C, 2H, 2W)."""
    c, h, w = x.shape
    doubled: Floats = np.ascontiguousarray(x.reshape(c // 4, 2, 2, h, w).transpose(0, 3, 1, 4, 2))
    return doubled.reshape(c // 4, 2 * h, 2 * w)


def _cells(four: Floats) -> Floats:
    cells: Floats = _joined(four)[0]
    return cells


def _sigmoid(x: Floats) -> Floats:
    one = np.float32(1)
    probability: Floats = one / (one + np.exp(-np.clip(x, -30, 30)))
    return probability
