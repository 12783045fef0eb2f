"""Whether a PDF speaks of inks at all: its own words, looked up in its data without drawing anything."""

import re
import zlib
from collections.abc import Iterator

_STREAM = re.compile(rb"stream\r?\n")
_SPACES = re.compile(rb"/(?:DeviceCMYK|Separation|DeviceN)\b")
_FOUR_CHANNELS = re.compile(rb"/N\s+4\b")
"""A colour profile's count of channels; bundles of objects count themselves by the same letter."""
_OPERATORS = re.compile(rb"(?<![0-9.])(?:[0-9.]++\s++){4}[kK]\s")
_HEAD_BYTES = 600
_MOST_STREAMS = 5000
"""No more are looked into, so that a file made to be slow is not."""
_MOST_IN_ALL = 60_000_000
_MOST_BYTES = 4_000_000
"""Of one stream: what is longer is a picture, whose colour space stands in its own head."""


def uses_process_inks(data: bytes) -> bool:
    """Tell whether a PDF holds CMYK or spot colours, as far as its data can be unpacked.

    Parameters
    ----------
    data
        The whole file. Streams packed otherwise than by Flate, and encrypted ones, are passed over.

    References
    ----------
    ISO 32000-1:2008, 8.6 (colour spaces) and table 74 (colour operators).
    """
    if _SPACES.search(data):
        return True
    return any(_is_cmyk_profile(head) or _inked(body) for head, body in _streams(data))


def _inked(body: bytes) -> bool:
    return _OPERATORS.search(body) is not None or _SPACES.search(body) is not None


def _is_cmyk_profile(head: bytes) -> bool:
    return b"/ObjStm" not in head and _FOUR_CHANNELS.search(head) is not None


def _streams(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Yield the head of every stream, and what is in it where that can be unpacked."""
    at, looked_through = 0, 0
    for _ in range(_MOST_STREAMS):
        start = _STREAM.search(data, at)
        end = -1 if start is None else data.find(b"endstream", start.end())
        if start is None or end < 0 or looked_through > _MOST_IN_ALL:
            return
        at = end
        head = data[max(0, start.start() - _HEAD_BYTES) : start.start()].rpartition(b"obj")[2]
        if b"/Image" in head or b"/FontFile" in head or b"/Length1" in head:
            continue
        packed = data[start.end() : min(end, start.end() + _MOST_BYTES)]
        try:
            body = zlib.decompressobj().decompress(packed, _MOST_BYTES) if b"/FlateDecode" in head else packed
        except zlib.error:
            body = b""
        looked_through += len(body)
        yield head, body
