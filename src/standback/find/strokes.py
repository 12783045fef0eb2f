"""Strokes: thin marks that stand off from both sides, whatever the ground does farther away.

A top-hat (picture minus its opening) keeps only what is narrower than a square, at its full contrast
to the ground beside it; gradients, panels and their edges vanish. Reference: Serra (1982), Image Analysis
and Mathematical Morphology, ch. XII.
"""

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

Bytes = npt.NDArray[np.uint8]

WIDEST_STROKE = 21
"""Side of the opening square in samples: letters up to 48 samples high have thinner strokes."""


def code_planes(codes: Bytes) -> tuple[Bytes, Bytes, Bytes]:
    """Split a picture (H, W, 3) of sRGB-like codes into lightness and two colour differences.

    Returns
    -------
    (H, W) each: lightness, red against green, and yellow against blue, the last two around 128.
    """
    r, g, b = (codes[..., n].astype(np.int16) for n in range(3))
    lightness = (77 * r.astype(np.int32) + 151 * g + 28 * b) >> 8
    return (
        lightness.astype(np.uint8),
        (((r - g) >> 1) + 128).astype(np.uint8),
        (((r + g) >> 2) - (b >> 1) + 128).astype(np.uint8),
    )


def top_hats(plane: Bytes) -> Iterator[Bytes]:
    """Yield the contrast of light strokes, then of dark ones, in codes."""
    yield plane - _opened(plane)
    inverse = 255 - plane
    yield inverse - _opened(inverse)


def _opened(plane: Bytes) -> Bytes:
    return spread(_shrunk(plane, WIDEST_STROKE), WIDEST_STROKE)


def spread(plane: Bytes, size: int) -> Bytes:
    """Maximum over a square of odd `size` around each sample."""
    return 255 - _shrunk(255 - plane, size)


def _shrunk(plane: Bytes, size: int) -> Bytes:
    """Minimum over a square of odd `size`, edges repeated: running minima by doubling, byte by byte."""
    half = size // 2
    for axis in (0, 1):
        pad = [(0, 0), (0, 0)]
        pad[axis] = (half, half)
        plane = np.pad(plane, pad, mode="edge")
        reach = 1
        while reach < size:
            step = min(reach, size - reach)
            keep = plane.shape[axis] - step
            if axis == 0:
                plane = np.minimum(plane[:keep], plane[step:])
            else:
                plane = np.minimum(plane[:, :keep], plane[:, step:])
            reach += step
    return plane
