"""The learned scorer: a small convolutional network, in numpy, that marks where lines of type run.

It looks at one picture and answers for type whose capitals are 5.5 to 16 samples high; larger type is
found on coarser pictures. The weights were trained on drawn posters, see tests/training/MODEL.md.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import ceil, prod

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.find.stirred import BLOCK, Area, Flags, Floats, areas_near, stirred_in

CELL = 2
"""Its maps have one cell per 2 x 2 samples."""
MULTIPLE = 8
"""Both sides of a picture must be multiples of this."""
WINDOW = 9
"""Contrast is judged against the surrounding 9 x 9 blocks."""
FLOOR = 0.03
"""Added to the local deviation, so that flat colour stays calm."""
_ENDLESS = 64
"""Blocks from whose middle the network sees no edge."""
_STRIP_CELLS = 4_000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Layer:
    """One convolution: weights by tap column, (3 x out, 3 x in) or (out, in), and biases (out, 1, 1)."""

    name: str
    taps: int
    dilation: int
    weights: Floats
    bias: Floats

    @property
    def n_out(self) -> int:
        """Channels that come out."""
        return len(self.bias)


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


def score(srgb1: Floats, wanted: Flags | None = None) -> Maps:
    """Mark lines of type on a picture.

    Parameters
    ----------
    srgb1
        (H, W, 3) float32 sRGB in [0, 1], made from averaged linear light; sides multiples of 8.
    wanted
        (H/4, W/4) blocks near which to look; left out: those that are not flat.
    """
    blocks = blocks_of(srgb1)
    logits = run(network(), blocks, areas_near(stirred_in(blocks) if wanted is None else wanted))
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


def run(layers: tuple[Layer, ...], blocks: Floats, areas: Sequence[Area] | None = None) -> Floats:
    """Return the nine logits (9, H/4, W/4): four core cells, four ink cells (rows first), upright.

    Only the `areas` are computed, if given; everywhere else it is as on an endless flat colour.
    """
    *_, logits = _outputs(layers, blocks, areas)
    return logits


def _outputs(layers: tuple[Layer, ...], blocks: Floats, areas: Sequence[Area] | None) -> Iterator[Floats]:
    """Yield what each layer makes of the blocks, to be written over by the next but one."""
    height, width = blocks.shape[1:]
    everything = ((0, height, 0, width),)
    partly = areas is not None and tuple(areas) != everything
    # memory that is new costs more than what is done with it
    rooms = [np.empty(layers[0].n_out * height * width, np.float32) for _ in range(3)]
    held, x, side = blocks, blocks, 1
    used: list[Floats] = []
    for n, layer in enumerate(layers):
        if layer.name == "down":
            held, side, used = x, 2, []
        joins = layer.name == "up"
        grow = 2 if joins else 1
        shape = (layer.n_out // grow**2, height // side * grow, width // side * grow)
        room = rooms.pop()
        out = room[: prod(shape)].reshape(shape)
        if partly:
            _fill(out, resting()[n])
        for strip in _strips(areas if partly and areas is not None else everything, side):
            _fill_in(layer, x, held, out, strip)
        if joins:
            side = 1
        rooms += used
        x, used = out, [room]
        yield x


def _strips(areas: Sequence[Area], side: int) -> Iterator[Area]:
    """Cut areas, in blocks, into strips, in cells of so many blocks a side, that stay in fast memory."""
    for area in areas:
        top, bottom, left, right = (edge // side for edge in area)
        rows = max(1, _STRIP_CELLS // (right - left))
        for start in range(top, bottom, rows):
            yield start, min(start + rows, bottom), left, right


def _fill_in(layer: Layer, x: Floats, held: Floats, out: Floats, strip: Area) -> None:
    """Put what a layer makes of a strip into its output."""
    top, bottom, left, right = strip
    at = (slice(None), slice(top, bottom), slice(left, right))
    if layer.name == "down":
        own = _parted(x[:, top * 2 : bottom * 2, left * 2 : right * 2])
        part = _convolved(layer, own, 0, bottom - top, 0, right - left)
    else:
        part = _convolved(layer, x, top, bottom, left, right)
    if layer.name == "up":
        at = (slice(None), slice(top * 2, bottom * 2), slice(left * 2, right * 2))
        part = _joined(part)
        part += held[at]
    if layer.name != "head":
        np.maximum(part, 0, out=part)
    out[at] = part


@cache
def resting() -> tuple[Floats, ...]:
    """Return what each layer makes of an endless flat colour: (C, 2, 2), which repeats."""
    flat = np.zeros((3 * BLOCK * BLOCK, _ENDLESS, _ENDLESS), np.float32)
    middles = []
    for out in _outputs(network(), flat, None):
        middle = out.shape[1] // 2
        middles.append(out[:, middle : middle + 2, middle : middle + 2].copy())
    return tuple(middles)


def _layer(name: str, dilation: int, weights: npt.NDArray[np.float16], bias: Floats) -> Layer:
    n_out, n_in, taps = weights.shape[:3]
    # rows: tap column, then output; columns: tap row, then input
    by_column = weights.astype(np.float32).transpose(3, 0, 2, 1).reshape(taps * n_out, taps * n_in)
    return Layer(
        name=name, taps=taps, dilation=dilation, weights=np.ascontiguousarray(by_column), bias=bias[:, None, None]
    )


def _convolved(layer: Layer, x: Floats, top: int, bottom: int, left: int, right: int) -> Floats:
    """Convolve an area of (C, H, W), with zeros around the whole.

    Three rows are laid on each other, one matrix product serves the three tap columns, and the three
    results are added, each shifted by its column: fewer copies than one patch per position.
    """
    channels, n, width, n_out = x.shape[0], bottom - top, right - left, layer.n_out
    if layer.taps == 1:
        flat: Floats = (layer.weights @ x[:, top:bottom, left:right].reshape(channels, -1)).reshape(n_out, n, width)
        flat += layer.bias
        return flat
    d = layer.dilation
    stack = np.zeros((3, channels, n, width + 2 * d), np.float32)
    x0, x1 = max(left - d, 0), min(right + d, x.shape[2])
    for tap in range(3):
        y = top + (tap - 1) * d
        y0, y1 = max(y, 0), min(y + n, x.shape[1])
        if y0 < y1:
            stack[tap, :, y0 - y : y1 - y, x0 - left + d : x1 - left + d] = x[:, y0:y1, x0:x1]
    by_column = (layer.weights @ stack.reshape(3 * channels, -1)).reshape(3, n_out, n, width + 2 * d)
    out: Floats = by_column[0, :, :, :width] + by_column[1, :, :, d : d + width]
    out += by_column[2, :, :, 2 * d :]
    out += layer.bias
    return out


def _fill(out: Floats, pattern: Floats) -> None:
    """Repeat a pattern (C, 2, 2) all over (C, H, W)."""
    width = out.shape[2]
    for row in range(2):
        out[:, row::2] = np.tile(pattern[:, row], ceil(width / 2))[:, None, :width]


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
