"""A folder that a run keeps its documents in: one folder a poster, a wall of all, a table and a test log.

What is done is on disk as soon as its turn has come, so that a run that is stopped keeps it, and a later one
can take it up.
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from standback import __version__
from standback.errors import UsageError
from standback.outputs import Output

REPORT, PAGE, PROOF, THUMBNAIL = "report.json", "page.html", "proof.png", "thumbnail.png"
WALL, TABLE, LOG = "index.html", "posters.csv", "junit.xml"

_OPTION = "--out"
_SUM_CHUNK_BYTES = 1 << 20
_DEVICES = frozenset({"con", "prn", "aux", "nul", *(f"{name}{n}" for name in ("com", "lpt") for n in range(1, 10))})
"""Names that Windows keeps for itself, with any ending."""
_LONGEST_NAME_BYTES = 200
"""A folder's name may be 255 bytes long on most disks; a number may follow."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeping:
    """Where the documents of a run go.

    Attributes
    ----------
    root
        The folder as given.
    folder_of
        The name of each artwork's own folder, by the artwork's path as given.
    """

    root: Path
    folder_of: Mapping[str, str]
    force: bool

    @classmethod
    def at(cls, given: str, files: Sequence[str], *, force: bool) -> "Keeping":
        """Choose a folder for each artwork, named after it, and see that all can be written.

        Raises
        ------
        UsageError
            If a folder can't be made or written to, or holds a file of that name that isn't ours.
        """
        keeping = cls(root=Path(given), folder_of=_named(files), force=force)
        for folder in (keeping.root, *(keeping.root / name for name in keeping.folder_of.values())):
            if folder.exists() and not folder.is_dir():
                raise UsageError(f"{_OPTION} {folder}: that is a file; give the name of a folder")
            if folder.is_symlink() and not folder.exists():
                raise UsageError(f"{_OPTION} {folder}: that is a link that leads nowhere; give the name of a folder")
        if not keeping.root.exists() and not keeping.root.absolute().parent.is_dir():
            raise UsageError(f"{_OPTION} {given}: the folder it is to be in does not exist; make that first")
        for output in keeping._outputs():
            if output.path.parent.is_dir():
                output.check()
        return keeping

    def read(self, file: str, settings: Mapping[str, Any]) -> dict[str, Any] | None:
        """Return the document kept of an artwork whose content, settings and version are unchanged."""
        folder = self.root / self.folder_of[file]
        try:
            document = json.loads((folder / REPORT).read_bytes())
            same = document["version"] == __version__ and document["settings"] == settings
            (poster,) = document["posters"]
            same = same and poster["file"] == file and poster["artwork"]["sha256"] == sum_of(file)
        except (OSError, ValueError, KeyError, TypeError, RecursionError):
            return None
        whole = all((folder / name).is_file() for name in (PAGE, PROOF, THUMBNAIL))
        return document if same and whole else None

    def write(self, file: str, documents: Mapping[str, bytes]) -> None:
        """Write an artwork's documents, by name, into its folder; the report last, since it vouches for the rest."""
        folder = self.root / self.folder_of[file]
        for name in sorted(documents, key=lambda name: name == REPORT):
            self._write(folder / name, documents[name])

    def write_summary(self, name: str, text: str) -> None:
        """Write one of the documents on all posters."""
        self._write(self.root / name, text.encode("utf-8"))

    def thumbnail(self, file: str) -> bytes | None:
        """Return the small picture kept of an artwork, None where there is none."""
        try:
            return (self.root / self.folder_of[file] / THUMBNAIL).read_bytes()
        except OSError:
            return None

    def _write(self, path: Path, data: bytes) -> None:
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            reason = (error.strerror or "no reason given").lower()
            raise UsageError(f"{_OPTION} {path.parent}: this folder could not be made ({reason})") from error
        self._output(path).write(data)

    def _output(self, path: Path) -> Output:
        return Output(option=_OPTION, given=str(path), force=self.force)

    def _outputs(self) -> Iterable[Output]:
        for name in (WALL, TABLE, LOG):
            yield self._output(self.root / name)
        for folder in self.folder_of.values():
            for name in (REPORT, PAGE, PROOF, THUMBNAIL):
                yield self._output(self.root / folder / name)


def saved_ns(file: str) -> int | None:
    """Return when a file was last written, None if it isn't there."""
    try:
        return Path(file).stat().st_mtime_ns
    except (OSError, ValueError):  # ValueError: a null character in the path
        return None


def sum_of(file: str) -> str:
    """Return the SHA-256 of a file's content, in hexadecimal digits.

    Raises
    ------
    OSError
        If it can't be read.
    """
    digest = sha256()
    if not Path(file).is_file():  # gone since, or a pipe, which would keep us waiting for ever
        raise FileNotFoundError(file)
    with Path(file).open("rb") as stream:
        while chunk := stream.read(_SUM_CHUNK_BYTES):
            digest.update(chunk)
    return digest.hexdigest()


def _named(files: Iterable[str]) -> dict[str, str]:
    """Name a folder after each file; of two with one name the later gets a number."""
    taken: set[str] = set()
    names: dict[str, str] = {}
    for file in files:
        stem = "".join(c if c.isprintable() and c not in '\\/:*?"<>|' else "_" for c in Path(file).stem).strip(" .")
        stem = stem.encode()[:_LONGEST_NAME_BYTES].decode(errors="ignore").strip(" .") or "poster"
        if stem.split(".")[0].strip().casefold() in _DEVICES:
            stem = f"_{stem}"
        name, number = stem, 1
        while name.casefold() in taken:
            number += 1
            name = f"{stem}-{number}"
        taken.add(name.casefold())
        names[file] = name
    return names
