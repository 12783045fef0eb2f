"""Output files: written whole or not at all, never over an input or over somebody else's file."""

import json
import os
import secrets
import stat
import struct
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import BinaryIO

from standback.errors import UsageError

SOFTWARE = "standback"
"""How the Software entry of our pictures and the schema of our JSON begin."""

TABLE_COLUMNS = (
    "file", "verdict", "fails", "warns", "notes", "first_finding", "says", "change", "width_mm", "height_mm",
    "far_m", "why_unreadable", "folder",
)  # fmt: skip
"""The line of names that a table of ours begins with, by which it is known again."""

_PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_PNG_CRC_BYTES = 4
_MOST_JSON_BYTES = 1 << 28
_MOST_TEXT_BYTES = 1 << 12

_STAMP = "Written by standback, which replaces it only as long as nothing in it is changed: "
_TEXT_COMMENT, _PAGE_COMMENT = ("# ", "\n"), ("<!-- ", " -->\n")
"""What stands before and behind the stamp in TOML and in HTML."""
_SUM_DIGITS = 16
_MOST_STAMPED_BYTES = 1 << 26


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """A file that a run is asked to write.

    Attributes
    ----------
    option
        The option that named it, for messages.
    given
        The path as given.
    force
        Whether any ordinary file may be replaced.
    """

    option: str
    given: str
    force: bool = False

    @property
    def path(self) -> Path:
        """The file that is really written: links are followed, as everywhere on the command line."""
        return Path(os.path.realpath(self.given))

    def write(self, data: bytes) -> None:
        """Write the file whole or not at all.

        Raises
        ------
        UsageError
            If it can't be written; whatever stood there is untouched then.
        """
        self.check()
        path = self.path
        draft = path.with_name(f".{SOFTWARE}-{secrets.token_hex(6)}.part")
        try:
            with draft.open("xb") as stream:
                stream.write(data)
            if path.exists():
                draft.chmod(stat.S_IMODE(path.stat().st_mode))
            draft.replace(path)
        except OSError as error:
            raise self.refused(f"it could not be written ({_reason(error)})") from error
        finally:
            draft.unlink(missing_ok=True)

    def check(self) -> None:
        """Raise `UsageError` if the file can't be written, or may not be replaced."""
        path = self.path
        try:
            found = path.stat()
        except FileNotFoundError:
            found = None
        except NotADirectoryError:
            raise self.refused("what should be its folder is a file; name a file in a folder") from None
        except OSError as error:
            raise self.refused(f"it can't be written there ({_reason(error)})") from error
        if not path.parent.is_dir():
            raise self.refused("its folder does not exist; make the folder first")
        if not os.access(path.parent, os.W_OK | os.X_OK):
            raise self.refused("its folder can't be written to; choose another folder")
        if found is not None:
            self._check_replacement(found)

    def _check_replacement(self, found: os.stat_result) -> None:
        if stat.S_ISDIR(found.st_mode):
            raise self.refused("that is a folder; give the name of a file")
        if not stat.S_ISREG(found.st_mode):
            raise self.refused("that is not an ordinary file; give another name")
        if not os.access(self.path, os.W_OK):
            raise self.refused("that file is write-protected; give another name")
        if not self.force and not made_by_us(self.path):
            what = "has been changed since standback made it"
            if _stamp_in(self.path) is None:
                what = "exists and was not made by standback"
            raise self.refused(f"that file {what}; give another name, or --force to replace it")

    def refused(self, why: str) -> UsageError:
        """Return the error that says why this file is not written."""
        return UsageError(f"{self.option} {self.given}: {why}")


def check_outputs(outputs: Sequence[Output], artworks: Iterable[str], *, brief: str | None = None) -> None:
    """Raise `UsageError` if an output can't be written, is an input, or is named twice.

    Called before the first artwork is opened, so that no long audit is lost to a wrong path.
    """
    what_is = {_file_id(file): "the artwork" for file in artworks}
    if brief is not None:
        what_is[_file_id(brief)] = "the brief"
    what_is.pop(None, None)
    taken: dict[tuple[object, ...], Output] = {}
    for output in outputs:
        what = what_is.get(_file_id(output.given))
        if what is not None:
            raise output.refused(f"that is {what} itself; give another name")
        place = _place(output.path)
        if place in taken:
            raise output.refused(f"{taken[place].option} names the same file; give another name")
        taken[place] = output
        output.check()


def made_by_us(path: Path) -> bool:
    """Whether a file is one of our pictures or tables, carries our JSON schema, or is a text of ours as we left it."""
    return is_our_picture(path) or _is_our_json(path) or _is_our_table(path) or _is_our_text(path)


def stamped(text: str) -> str:
    """Add to a text in TOML a last line by which we know it again, as long as nobody has changed it."""
    return _stamped(text, _TEXT_COMMENT)


def stamped_page(html: str) -> str:
    """Add the same to a page, as a comment."""
    return _stamped(html, _PAGE_COMMENT)


def _stamped(text: str, comment: tuple[str, str]) -> str:
    opening, closing = comment
    return f"{text}{opening}{_STAMP}{_sum_of(text.encode('utf-8'))}{closing}"


def is_our_picture(path: Path) -> bool:
    """Whether a file is a PNG that carries our picture metadata; only its first chunks are read."""
    try:
        if not path.is_file():  # a pipe would keep us waiting for ever
            return False
        with path.open("rb") as stream:
            is_png = stream.read(len(_PNG_SIGNATURE)) == _PNG_SIGNATURE
            return is_png and _png_software(stream).startswith(SOFTWARE)
    except OSError:
        return False


def _is_our_json(path: Path) -> bool:
    try:
        if path.stat().st_size > _MOST_JSON_BYTES:
            return False
        document = json.loads(path.read_bytes())
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(document, dict) and str(document.get("schema", "")).startswith(f"{SOFTWARE}.")


def _is_our_table(path: Path) -> bool:
    names = ",".join(TABLE_COLUMNS).encode()
    try:
        with path.open("rb") as stream:
            return stream.read(len(names)) == names
    except OSError:
        return False


def _is_our_text(path: Path) -> bool:
    """Whether a file bears our stamp, and the stamp is that of the text above it."""
    found = _stamp_in(path)
    return found is not None and found[1] == _sum_of(found[0]).encode()


def _stamp_in(path: Path) -> tuple[bytes, bytes] | None:
    """Return the text above our stamp and the sum that the stamp says, None of a file without one."""
    try:
        if path.stat().st_size > _MOST_STAMPED_BYTES:
            return None
        data = path.read_bytes()
    except OSError:
        return None
    above, stamp, said = data.rpartition(_STAMP.encode("utf-8"))
    for opening, closing in (_TEXT_COMMENT, _PAGE_COMMENT):
        if stamp and above.endswith(opening.encode()):
            text = above.removesuffix(opening.encode())
            return text, said.removesuffix(closing.encode()) if said.endswith(closing.encode()) else b""
    return None


def _sum_of(data: bytes) -> str:
    return sha256(data).hexdigest()[:_SUM_DIGITS]


def _png_software(stream: BinaryIO) -> str:
    """Return the Software entry among the text chunks that follow, empty if there is none.

    PNG specification (W3C, third edition), 5.3 and 11.3.3: length, type, data, CRC; a tEXt chunk
    holds the keyword, a zero byte and the text. Ours stands before the pixels, so the walk ends there.
    """
    while len(head := stream.read(8)) == 8:
        length, kind = struct.unpack(">I4s", head)
        if kind in (b"IDAT", b"IEND"):
            break
        if kind == b"tEXt" and length <= _MOST_TEXT_BYTES:
            keyword, _, text = stream.read(length).partition(b"\0")
            if keyword == b"Software":
                return text.decode("latin-1")
            length = 0
        stream.seek(length + _PNG_CRC_BYTES, os.SEEK_CUR)
    return ""


def _file_id(file: str) -> tuple[int, int] | None:
    """Return what tells an existing file apart, through links, hard links and other spellings."""
    try:
        found = Path(file).stat()
    except OSError:
        return None
    return (found.st_dev, found.st_ino)


def _place(path: Path) -> tuple[object, ...]:
    """Return what tells the place of a file apart that may not exist yet, whatever its case."""
    return (_file_id(str(path.parent)) or str(path.parent), path.name.casefold())


def _reason(error: OSError) -> str:
    return (error.strerror or "no reason given").lower()
