"""Artwork files written byte by byte, for what Pillow reads but doesn't write."""

import struct
import zlib
from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

Rows = npt.NDArray[np.unsignedinteger]


def png_bytes(
    rows: Sequence[bytes],
    width_px: int,
    depth: int,
    colour_type: int,
    chunks: Mapping[bytes, bytes] | None = None,
) -> bytes:
    """Return a PNG (ISO/IEC 15948) of unfiltered rows."""
    header = struct.pack(">IIBBBBB", width_px, len(rows), depth, colour_type, 0, 0, 0)
    pixels = zlib.compress(b"".join(b"\0" + row for row in rows))
    parts = {b"IHDR": header, **(chunks or {}), b"IDAT": pixels, b"IEND": b""}
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(tag, data) for tag, data in parts.items())


def _chunk(tag: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + tag + data + struct.pack(">I", zlib.crc32(tag + data))


def tiff_bytes(pixels: Rows, photometric: int) -> bytes:
    """Return an uncompressed little-endian TIFF 6.0 of one strip: (H, W) or (H, W, channels)."""
    height, width = pixels.shape[:2]
    channels = pixels.shape[2] if pixels.ndim == 3 else 1
    bits = pixels.dtype.itemsize * 8
    data = pixels.astype(pixels.dtype.newbyteorder("<")).tobytes()
    bits_at = 8 + len(data)
    short, long = 3, 4
    tags = [
        (256, long, 1, width),
        (257, long, 1, height),
        (258, short, channels, bits if channels == 1 else bits_at),
        (259, short, 1, 1),
        (262, short, 1, photometric),
        (273, long, 1, 8),
        (277, short, 1, channels),
        (278, long, 1, height),
        (279, long, 1, len(data)),
    ]
    directory = struct.pack("<H", len(tags)) + b"".join(struct.pack("<HHII", *tag) for tag in tags) + bytes(4)
    head = b"II*\0" + struct.pack("<I", bits_at + 2 * channels)
    return head + data + struct.pack("<H", bits) * channels + directory


def psd_bytes(
    planes: Sequence[Rows],
    mode: int,
    *,
    depth: int = 8,
    version: int = 1,
    resources: Mapping[int, bytes] | None = None,
    palette: bytes = b"",
) -> bytes:
    """Return a flattened Photoshop file of uncompressed planes.

    Modes: 1 grey, 2 indexed, 3 RGB, 4 CMYK, 9 Lab.
    """
    height, width = planes[0].shape
    header = b"8BPS" + struct.pack(">H6xHIIHH", version, len(planes), height, width, depth, mode)
    blocks = b"".join(
        b"8BIM" + struct.pack(">H2xI", number, len(data)) + data + bytes(len(data) % 2)
        for number, data in (resources or {}).items()
    )
    sections = b"".join(struct.pack(">I", len(part)) + part for part in (palette, blocks, b""))
    return header + sections + bytes(2) + b"".join(plane.tobytes() for plane in planes)


def resolution_info(x_ppi: float, y_ppi: float) -> bytes:
    """Return a Photoshop image resource 1005."""
    x, y = (struct.pack(">IHH", round(ppi * 65536), 1, 1) for ppi in (x_ppi, y_ppi))
    return x + y


def icc_bytes(colour_space: bytes, pcs: bytes, tags: Mapping[bytes, bytes]) -> bytes:
    """Return a version 2 colour profile (ICC.1:2001-04) of class "scnr" with these tags and a description."""
    tags = {b"cprt": b"text\0\0\0\0none\0", b"wtpt": b"XYZ \0\0\0\0" + fixed(0.9642, 1, 0.8249), **tags}
    start = 132 + 12 * len(tags)
    table, body = struct.pack(">I", len(tags)), b""
    for tag, data in tags.items():
        table += tag + struct.pack(">II", start + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    header = struct.pack(
        ">I4x4B4s4s4s6H4s28x", start + len(body), 2, 64, 0, 0, b"scnr", colour_space, pcs, 2020, 1, 1, 0, 0, 0, b"acsp"
    )
    return header + fixed(0.9642, 1, 0.8249) + bytes(48) + table + body


def described(name: bytes) -> bytes:
    """Return a textDescriptionType."""
    return b"desc\0\0\0\0" + struct.pack(">I", len(name) + 1) + name + bytes(1 + 8 + 3 + 67)


def gamma_curve(gamma: float) -> bytes:
    """Return a curveType of one gamma."""
    return b"curv\0\0\0\0" + struct.pack(">IH", 1, round(gamma * 256))


def xyz(*values: float) -> bytes:
    """Return an XYZType."""
    return b"XYZ \0\0\0\0" + fixed(*values)


def cmyk_table(lab_of_corner: npt.NDArray[np.float64]) -> bytes:
    """Return a lut16Type from CMYK to Lab with two steps an axis: (2, 2, 2, 2, 3), C slowest."""
    codes = lab_of_corner * (652.8, 256, 256) + (0, 128 * 256, 128 * 256)
    line = struct.pack(">2H", 0, 65535)
    head = b"mft2\0\0\0\0" + struct.pack(">4B", 4, 3, 2, 0) + fixed(1, 0, 0, 0, 1, 0, 0, 0, 1)
    nodes: bytes = np.rint(codes).astype(">u2").tobytes()
    return head + struct.pack(">2H", 2, 2) + line * 4 + nodes + line * 3


def fixed(*values: float) -> bytes:
    """Return s15Fixed16 numbers."""
    return struct.pack(f">{len(values)}i", *(round(v * 65536) for v in values))
