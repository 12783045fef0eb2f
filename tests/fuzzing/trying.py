"""One spoilt file after the other through the loader, in a worker that is held to a time and to memory."""

import os
import re
import sys
import tempfile
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path
from time import perf_counter
from types import TracebackType
from typing import Self

if sys.platform != "win32":
    import resource

LIMIT_S = 5.0
LIMIT_BYTES = 1 << 30
"""More address space than the worker has once it has loaded its libraries."""
MOST_MEGAPIXELS = 4.0
PAGES = {"tiff": (1, 1, 2, 3), "pdf": (1, 1, 2)}

_SHAPE = re.compile(r"its shape, (\d+) x (\d+) px")
_PLAIN = re.compile(r"[^\x00-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]+")
_EXCEPTION_WORDS = re.compile(r"Error\b|Exception|Errno|Traceback|Pillow|PIL\b")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What became of one file.

    Attributes
    ----------
    says
        Why it was refused; empty where it was taken.
    fault
        What should not have happened; None where all is well.
    peak_bytes
        The most memory that the worker has ever held.
    """

    says: str = ""
    fault: str | None = None
    took_s: float = 0.0
    peak_bytes: int = 0


class Bench:
    """A worker that loads files one at a time, replaced when it dies or takes too long."""

    def __enter__(self) -> Self:
        self._folder = tempfile.TemporaryDirectory()
        self._start()
        return self

    def __exit__(self, kind: type[BaseException] | None, value: BaseException | None, tb: TracebackType | None) -> None:
        self._stop()
        self._folder.cleanup()

    def _start(self) -> None:
        context = get_context("spawn")
        self._connection, theirs = context.Pipe()
        self._process = context.Process(target=_work, args=(theirs, self._folder.name), daemon=True)
        self._process.start()
        theirs.close()
        self._connection.recv()  # its libraries are loaded: from here on time counts

    def _stop(self) -> None:
        self._connection.close()
        self._process.kill()
        self._process.join()

    def trial(self, kind: str, data: bytes, page: int = 1) -> Tried:
        """Load one file, and tell what became of it."""
        begun_s = perf_counter()
        self._connection.send((kind, data, page))
        if not self._connection.poll(LIMIT_S):
            self._stop()
            self._start()
            return Tried(fault=f"no answer within {LIMIT_S:g} s", took_s=LIMIT_S)
        try:
            tried: Tried = self._connection.recv()
        except (EOFError, OSError):
            self._stop()
            code = self._process.exitcode
            self._start()
            return Tried(fault=f"the worker died (exit code {code})", took_s=perf_counter() - begun_s)
        return tried


def _work(connection: Connection, folder: str) -> None:
    """Load the files that come: the whole life of a worker."""
    from standback.artwork import load
    from standback.brief.load import load_brief

    assert load is not None and load_brief is not None
    heard = Path(folder) / "heard"
    with heard.open("wb") as stream:
        os.dup2(stream.fileno(), sys.stderr.fileno())
    _limit_memory()
    connection.send(None)
    while True:
        try:
            kind, data, page = connection.recv()
        except EOFError:
            return
        connection.send(_tried(kind, data, page, Path(folder), heard))


def _tried(kind: str, data: bytes, page: int, folder: Path, heard: Path) -> Tried:
    path = folder / "spoilt"
    path.write_bytes(data)
    fault, says = None, ""
    begun_s = perf_counter()
    try:
        says = _load_brief(path) if kind == "brief" else _load_artwork(path, page)
    except BaseException as error:
        import traceback

        fault = f"{type(error).__name__}: {error} {traceback.format_exception(error)[-2].strip()}"
    took_s = perf_counter() - begun_s
    if fault is None and says:
        fault = fault_of(says)
    if fault is None and heard.stat().st_size:
        fault = f"written to stderr: {heard.read_bytes()[:200]!r}"
    if heard.stat().st_size:
        os.truncate(heard, 0)
    return Tried(says=says, fault=fault, took_s=took_s, peak_bytes=_peak_bytes())


def _load_artwork(path: Path, page: int) -> str:
    """Load a picture at whatever size it has room for; return why it was refused, if it was."""
    import numpy as np

    from standback.artwork import load
    from standback.errors import UnreadableError
    from standback.sheet import SheetSize

    size = SheetSize(width_mm=480, height_mm=320, name="")
    for _ in range(2):
        try:
            artwork = load(path, size=size, page=page, max_megapixels=MOST_MEGAPIXELS)
        except UnreadableError as error:
            shape = _SHAPE.search(str(error))
            if shape is None:
                return str(error)
            # as large as it is asked for, so that its pixels are looked at too
            size = SheetSize(width_mm=float(shape[1]), height_mm=float(shape[2]), name="")
            continue
        pixels = artwork.srgb8
        assert pixels.dtype == np.uint8 and pixels.ndim == 3 and pixels.shape[2] == 3 and pixels.size
        assert pixels.size <= 3 * MOST_MEGAPIXELS * 1e6
        assert all(np.isfinite(level.linear).all() for level in artwork.levels)
        for words in (artwork.profile, *(line.wording for line in artwork.text or ())):
            assert words is None or _PLAIN.fullmatch(words), f"not fit to print: {words!r}"
        return ""
    return ""


def _load_brief(path: Path) -> str:
    from standback.brief.load import load_brief
    from standback.errors import UsageError

    try:
        load_brief(path)
    except UsageError as error:
        return str(error).replace(str(path), "FILE")
    return ""


def fault_of(says: str) -> str | None:
    """Return what is wrong with a refusal: it must be one plain sentence of ours."""
    if "\n" in says or _EXCEPTION_WORDS.search(says):
        return f"no plain sentence: {says}"
    if "memory" in says:
        return f"over the limit of memory: {says}"
    return None


def _peak_bytes() -> int:
    if sys.platform == "win32":
        return 0
    unit = 1 if sys.platform == "darwin" else 1024
    return unit * resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def _limit_memory() -> None:
    if sys.platform == "win32":
        return
    try:
        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    except OSError:  # no Linux: the pixel limit is all there is
        return
    most = pages * resource.getpagesize() + LIMIT_BYTES
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
