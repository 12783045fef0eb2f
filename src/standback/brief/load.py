"""A brief's file -> what it says."""

import stat
from codecs import BOM_UTF8
from pathlib import Path

from standback.brief import syntax
from standback.brief.model import Brief
from standback.brief.positions import Mark
from standback.brief.read import read_brief
from standback.errors import UsageError

MOST_BYTES = 1 << 20
"""A longer file is no brief (ours)."""


def load_brief(path: str | Path) -> Brief:
    """Read a brief from a file of UTF-8 text.

    Raises
    ------
    UsageError
        If it can't be read, or says what a brief can't say: one line that names the file.
    """
    file = str(path)
    data = _contents(Path(path), file)
    if len(data) > MOST_BYTES:
        raise UsageError(f"{file}: it is too long for a brief: is it the right file?")
    data = data.removeprefix(BOM_UTF8)  # some editors put it first
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        in_line = before[before.rfind(b"\n") + 1 :].decode("utf-8")
        mark = Mark(before.count(b"\n") + 1, len(in_line) + 1)
        raise syntax.at(file, mark, "this is not UTF-8 text: save the brief as UTF-8") from None
    return read_brief(text, file=file)


def _contents(path: Path, file: str) -> bytes:
    try:
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise UsageError(f"{file}: it is a folder: name the brief inside it")
        if not stat.S_ISREG(mode):  # a pipe could keep us waiting for ever
            raise UsageError(f"{file}: it is a pipe or a device: save the brief as a file first")
        with path.open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except (FileNotFoundError, NotADirectoryError, ValueError):  # ValueError: a null character in the path
        raise UsageError(f"{file}: there is no such file: check the name of the brief") from None
    except PermissionError:
        raise UsageError(f"{file}: it may not be read: change its permissions") from None
    except OSError as error:
        reason = (error.strerror or "no reason given").lower()
        raise UsageError(f"{file}: it can't be opened ({reason})") from None
