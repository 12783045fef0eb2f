"""What a Photoshop file says outside its pixels, and whether it holds a picture at all.

Adobe Photoshop File Formats Specification (November 2019): file header, image resources 1005 and 1057.
"""

import struct
from collections.abc import Iterable

from standback.errors import UnreadableError

_READABLE_MODES = {1: "grey", 2: "palette", 3: "RGB", 4: "CMYK", 9: "Lab"}
_LARGE_DOCUMENT = 2
_RESOLUTION_INFO = 1005
_VERSION_INFO = 1057

Resource = tuple[int, bytes, bytes]


def check_header(head: bytes) -> None:
    """Refuse a Photoshop file of a kind whose merged picture can't be read.

    Parameters
    ----------
    head
        The first 26 bytes of the file.
    """
    if len(head) < 26:
        raise UnreadableError("the Photoshop file is cut short: save it again, flattened")
    version, depth, mode = struct.unpack(">4xH16xHH", head[:26])
    if version == _LARGE_DOCUMENT:
        raise UnreadableError("it is a large-document Photoshop file (PSB): export it as TIFF or PNG")
    if depth != 8:
        raise UnreadableError(f"it has {depth} bits a channel: save it with 8, or export it as TIFF or PNG")
    if mode not in _READABLE_MODES:
        raise UnreadableError(
            "its Photoshop colour mode can't be read: convert it to RGB, CMYK or grey, and save it flattened"
        )


def check_merged(resources: Iterable[Resource]) -> None:
    """Refuse a layered file that was saved without its merged picture."""
    for number, _, data in resources:
        if number == _VERSION_INFO and len(data) > 4 and data[4] == 0:
            raise UnreadableError(
                "it was saved without a merged picture: flatten it, or save it with maximum compatibility on"
            )


def resolution_ppi(resources: Iterable[Resource]) -> tuple[float, float] | None:
    """Return the resolution along x and y; the file always keeps it per inch."""
    for number, _, data in resources:
        if number == _RESOLUTION_INFO and len(data) >= 12:
            x, y = struct.unpack(">I4xI", data[:12])
            return x / 65536, y / 65536
    return None
