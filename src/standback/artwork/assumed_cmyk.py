"""CMYK that brings no profile: an ordinary coated offset sheet is assumed.

(1 - C)(1 - K) and the like, what picture libraries do, makes solid cyan about as light as a pale tint.
Here the colours of the sixteen solid overprints, as published for coated offset, are mixed by the area
each covers (Neugebauer 1937) with light spreading in the paper (Yule & Nielsen 1951, n = 2). The result is
written as a colour profile, so that such a file takes the same way to sRGB as one with its own.
"""

import struct
from functools import cache
from itertools import product

import numpy as np
import numpy.typing as npt

Doubles = npt.NDArray[np.float64]

YULE_NIELSEN_N = 2.0
"""Light that spreads fully in the paper between dot and paper; nothing here is fitted."""
_STEPS = 9
_D50_XYZ = np.array([0.9642, 1.0, 0.8249])
"""ICC.1:2001-04, the profile connection space's white."""

# CIE XYZ (D50, 2 degrees, white backing; perfect diffuser 100) of the solids, in the order of
# product((0, 1), repeat=4) over C, M, Y, K. Source: Fogra, characterisation data FOGRA39L, December 2006
# (offset on coated art paper, ISO 12647-2:2004/Amd 1).
SOLIDS_XYZ100 = np.array(
    [
        [84.48, 87.62, 74.57],
        [2.02, 2.10, 1.73],
        [69.17, 74.16, 7.04],
        [1.84, 2.04, 0.82],
        [33.03, 16.79, 15.01],
        [1.61, 1.18, 0.89],
        [30.20, 16.02, 2.30],
        [1.56, 1.31, 0.65],
        [15.02, 22.93, 52.85],
        [0.91, 1.18, 1.79],
        [8.16, 18.42, 6.74],
        [0.89, 1.31, 0.85],
        [5.67, 4.10, 15.67],
        [0.99, 0.87, 1.08],
        [3.66, 3.80, 3.13],
        [0.93, 0.97, 0.69],
    ]
)


def reflected_xyz1(cmyk1: npt.ArrayLike) -> Doubles:
    """Return CIE XYZ of printed tints, as shares of the paper's.

    Parameters
    ----------
    cmyk1
        (..., 4) tone values, 0-1.

    Returns
    -------
    (..., 3), 1 for bare paper.

    Notes
    -----
    Over the 1 617 patches of FOGRA39L the lightness L* relative to paper is off by 1.2 on average and by 3.9
    at most; (1 - C)(1 - K) is off by 7.5 and 35.

    References
    ----------
    Yule & Nielsen (1951), "The penetration of light into paper and its effect on halftone reproduction",
    Proc. TAGA 3:65. Neugebauer (1937), Z. wiss. Photogr. 36:73.
    """
    tones = np.asarray(cmyk1, dtype=np.float64)
    roots = (SOLIDS_XYZ100 / SOLIDS_XYZ100[0]) ** (1 / YULE_NIELSEN_N)
    mixed = np.zeros((*tones.shape[:-1], 3))
    for solid, root in zip(product((0, 1), repeat=4), roots, strict=True):
        cover = np.where(np.array(solid) == 1, tones, 1 - tones).prod(axis=-1)
        mixed += cover[..., None] * root
    return mixed**YULE_NIELSEN_N


@cache
def assumed_cmyk_profile() -> bytes:
    """Return the assumed press as an ICC profile (version 2, a 16-bit table from CMYK to Lab)."""
    tones = np.linspace(0, 1, _STEPS)
    grid = np.stack(np.meshgrid(tones, tones, tones, tones, indexing="ij"), axis=-1)
    return _icc_profile(_lab(reflected_xyz1(grid)))


def _lab(xyz1: Doubles) -> Doubles:
    """Convert XYZ relative to white to CIE Lab (ISO/CIE 11664-4)."""
    f = np.where(xyz1 > (6 / 29) ** 3, np.cbrt(xyz1), xyz1 / (3 * (6 / 29) ** 2) + 4 / 29)
    x, y, z = np.moveaxis(f, -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def _icc_profile(lab: Doubles) -> bytes:
    """Write a table of Lab over an even CMYK grid (C slowest) as a profile: ICC.1:2001-04, 6.1 and 6.5.7."""
    # Class "scnr": black-point compensation then takes the darkest mix as black; for class "prtr" it would
    # look for the table from Lab to CMYK, which isn't needed here. It also wants a table for the very intent
    # (A2B1, colorimetric); A2B0 is the one every reader asks for, and both names may share their data.
    name = b"Coated offset (assumed)\0"
    parts = (
        ((b"desc",), b"desc\0\0\0\0" + struct.pack(">I", len(name)) + name + bytes(8 + 3 + 67)),
        ((b"cprt",), b"text\0\0\0\0" + b"No copyright\0"),
        ((b"wtpt",), b"XYZ \0\0\0\0" + _fixed(SOLIDS_XYZ100[0] / 100)),
        ((b"A2B0", b"A2B1"), _table(lab)),
    )
    count = sum(len(tags) for tags, _ in parts)
    start = 128 + 4 + 12 * count
    index, body = struct.pack(">I", count), b""
    for tags, data in parts:
        for tag in tags:
            index += tag + struct.pack(">II", start + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    header = bytearray(128)
    header[:4] = struct.pack(">I", start + len(body))
    header[8:24] = b"\x02\x40\0\0scnrCMYKLab "
    header[24:36] = struct.pack(">6H", 2006, 12, 1, 0, 0, 0)
    header[36:40] = b"acsp"
    header[68:80] = _fixed(_D50_XYZ)
    return bytes(header) + index + body


def _table(lab: Doubles) -> bytes:
    steps = lab.shape[0]
    codes = np.stack([lab[..., 0] * 652.8, (lab[..., 1] + 128) * 256, (lab[..., 2] + 128) * 256], axis=-1)
    identity = struct.pack(">2H", 0, 65535)
    head = b"mft2\0\0\0\0" + struct.pack(">4B", 4, 3, steps, 0) + _fixed(np.eye(3)) + struct.pack(">2H", 2, 2)
    nodes: bytes = np.rint(codes).clip(0, 65535).astype(">u2").tobytes()
    return head + identity * 4 + nodes + identity * 3


def _fixed(values: npt.ArrayLike) -> bytes:
    """Write numbers as s15Fixed16."""
    fixed: bytes = np.rint(np.asarray(values).ravel() * 65536).astype(">i4").tobytes()
    return fixed
