"""Opening an artwork file without surprises, and telling its kind by what is in it.

Whatever is wrong with a file ends in an `UnreadableError` of one sentence that says what to do.
"""

import errno
import io
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from standback.artwork import psd
from standback.errors import UnreadableError

READABLE = "PDF, PNG, JPEG, TIFF, WebP or flattened PSD"
_EXPORT = f"export it as {READABLE}"

_KINDS = (
    (b"\x89PNG\r\n\x1a\n", "PNG"),
    (b"\xff\xd8\xff", "JPEG"),
    *((prefix, "TIFF") for prefix in (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")),
    (b"8BPS", "PSD"),
    (b"GIF8", "GIF"),
    (b"%PDF-", "PDF"),
)
_OTHER_KINDS = (
    (b"%!PS", "it is a PostScript file"),
    (b"\xc5\xd0\xd3\xc6", "it is a PostScript file"),
    (b"<svg", "it is an SVG drawing"),
    (b"<?xml", "it is an SVG drawing or other text"),
    (b"BM", "it is a BMP picture"),
    (b"\x06\x06\xed\xf5", "it is an InDesign document"),
    (b"PK\x03\x04", "it is an archive"),
)
_HEAD_BYTES = 32


class _HonestFile(io.BufferedReader):
    """A file that is never asked for more bytes than it has.

    What is asked for is set aside in memory first, and a damaged length in a small file may ask for gigabytes.
    """

    def __init__(self, raw: io.FileIO) -> None:
        super().__init__(raw)
        self._bytes = os.fstat(raw.fileno()).st_size

    def read(self, size: int | None = -1, /) -> bytes:
        """Read as `io.BufferedReader` does."""
        if size is None or size < 0:
            return super().read(size)
        return super().read(min(size, max(0, self._bytes - self.tell())))


@contextmanager
def opened_file(path: Path) -> Iterator[IO[bytes]]:
    """Open a regular file for reading; never wait for a pipe or a device."""
    try:
        _refuse_unless_regular(path.stat())
        # The path may have been swapped for a pipe since: don't wait for its writer.
        flags = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NONBLOCK", 0)
        file = _HonestFile(io.FileIO(os.open(path, flags)))
    except OSError as error:
        raise UnreadableError(_why_not_opened(error)) from None
    except ValueError:  # a null character in the path
        raise UnreadableError("there is no such file: check the name") from None
    with file:
        _refuse_unless_regular(os.fstat(file.fileno()))
        yield file


def kind_of(file: IO[bytes]) -> str:
    """Tell the format, by Pillow's name where it has one, by the file's first bytes, whatever its name says."""
    head = file.read(_HEAD_BYTES)
    file.seek(0)
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "WEBP"
    for prefix, kind in _KINDS:
        if head.startswith(prefix):
            if kind == "PSD":
                psd.check_header(head)
            return kind
    if head[4:8] == b"ftyp":
        raise UnreadableError(f"it is a HEIC or AVIF picture or a video: {_EXPORT}")
    for prefix, words in _OTHER_KINDS:
        if head.lstrip().startswith(prefix):
            raise UnreadableError(f"{words}: {_EXPORT}")
    raise UnreadableError(f"it is not a picture that can be read: {_EXPORT}")


def _refuse_unless_regular(status: os.stat_result) -> None:
    if stat.S_ISDIR(status.st_mode):
        raise UnreadableError("it is a folder: name the artwork file inside it")
    if not stat.S_ISREG(status.st_mode):
        raise UnreadableError("it is not a file but a pipe or a device: save the artwork as a file first")
    if status.st_size == 0:
        raise UnreadableError("the file is empty: export it again")


def _why_not_opened(error: OSError) -> str:
    if error.errno in (errno.ENOENT, errno.ENOTDIR, errno.ENAMETOOLONG):
        return "there is no such file: check the name"
    if error.errno in (errno.EACCES, errno.EPERM):
        return "it may not be read: change its permissions"
    if error.errno == errno.ELOOP:
        return "it is a link that leads back to itself: name the artwork file instead"
    reason = (error.strerror or "no reason given").lower()
    return f"it can't be opened ({reason}): copy it somewhere else and try again"
