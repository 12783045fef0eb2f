"""What a run writes to the terminal: results on stdout, errors and progress on stderr."""

import os
import shutil
import sys
from contextlib import suppress
from time import monotonic
from types import TracebackType
from typing import Self, TextIO

from standback.errors import UsageError
from standback.reports.wrapping import clean, columns

PIPED_WIDTH = 100
WIDEST = 100
NARROWEST = 40
BAR_CELLS = 20

_PLAIN = str.maketrans(
    {
        "‘": "'", "’": "'", "“": '"', "”": '"', "–": "-", "─": "-", "—": "-", "…": "...",
        "×": "x", "·": ".", "•": "*", "→": "->", "≥": ">=", "≤": "<=", "\N{NO-BREAK SPACE}": " ",
    }
)  # fmt: skip


def prepare_streams() -> None:
    """Let stdout and stderr write what their encoding can't hold as escapes instead of failing."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")


def out(text: str) -> None:
    """Write a result to stdout, with plain punctuation where the encoding has no other."""
    if sys.stdout is not None:
        _write(sys.stdout, _fit(text, sys.stdout).encode(sys.stdout.encoding, "backslashreplace"))


def out_utf8(text: str) -> None:
    """Write what other programs read to stdout, JSON or TOML: always as UTF-8."""
    if sys.stdout is not None:
        _write(sys.stdout, text.encode("utf-8"))


def _write(stream: TextIO, data: bytes) -> None:
    """Write and flush; a reader that has gone away is no error, a full disk is.

    Raises
    ------
    UsageError
        If the results can't be written where stdout leads.
    """
    try:
        stream.flush()
        stream.buffer.write(data)
        stream.buffer.flush()
    except BrokenPipeError:
        _silence(stream)
    except OSError as error:
        _silence(stream)
        reason = (error.strerror or "no reason given").lower()
        raise UsageError(f"the results could not be written ({reason}); send them elsewhere") from error


def _silence(stream: TextIO) -> None:
    """Lead a stream that can't be written to nowhere, so that Python's last flush does not fail again."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, stream.fileno())
    os.close(nowhere)


def error(text: str) -> None:
    """Write one line to stderr: `standback: ...`."""
    _tell(f"standback: {clean(text)}\n")


def trace(text: str) -> None:
    """Write a traceback to stderr (only `--debug` asks for one)."""
    _tell(text.rstrip("\n") + "\n")


def _tell(text: str) -> None:
    """Write to stderr; where nobody can be told, the run goes on."""
    if sys.stderr is not None:
        with suppress(OSError):
            sys.stderr.write(_fit(text, sys.stderr))
            sys.stderr.flush()


def width() -> int:
    """Columns to wrap at: the terminal's, within bounds; a fixed width when piped."""
    if not _is_terminal(sys.stdout):
        return PIPED_WIDTH
    return max(NARROWEST, min(shutil.get_terminal_size((PIPED_WIDTH, 24)).columns, WIDEST))


def colour() -> bool:
    """Whether to colour stdout: only on a terminal, and never against NO_COLOR (any value but empty)."""
    return _is_terminal(sys.stdout) and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


class Progress:
    """One line on stderr that tells how far a run has come, and how long it may still take.

    Silent unless stderr is a terminal.
    """

    def __init__(self, total: int, *, quiet: bool) -> None:
        self._total = total
        self._start_s = monotonic()
        self._shown = not quiet and _is_terminal(sys.stderr) and os.environ.get("TERM") != "dumb"

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, value: BaseException | None, tb: TracebackType | None) -> None:
        self.clear()

    def show(self, done: int, file: str) -> None:
        """Tell which file is being audited."""
        if not self._shown:
            return
        room = shutil.get_terminal_size((80, 24)).columns - 1
        line = f"auditing {self._so_far(done)}{clean(file)}"
        while columns(line) > room:
            line = line[:-1]
        _tell(f"\r\x1b[K{line}")

    def _so_far(self, done: int) -> str:
        """Say how much is done of several posters, and about how long the others will take at that pace."""
        if self._total < 2:
            return ""
        filled = round(BAR_CELLS * done / self._total)
        bar = f"[{'#' * filled}{'.' * (BAR_CELLS - filled)}] {done + 1} of {self._total}"
        if not done:
            return f"{bar}: "
        left_s = (monotonic() - self._start_s) / done * (self._total - done)
        return f"{bar}, about {time_left(left_s)} left: "

    def clear(self) -> None:
        """Take the line away again."""
        if self._shown:
            _tell("\r\x1b[K")


def time_left(left_s: float) -> str:
    """Return a time as people say it while they wait: "20 s", "4 min", "2 h"."""
    for unit_s, unit in ((3600, "h"), (60, "min")):
        if left_s >= 1.5 * unit_s:
            return f"{left_s / unit_s:.0f} {unit}"
    return f"{max(1, round(left_s))} s"


def _is_terminal(stream: TextIO | None) -> bool:
    return stream is not None and not stream.closed and stream.isatty()


def _fit(text: str, stream: TextIO) -> str:
    encoding = stream.encoding or "ascii"
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        plain = text.translate(_PLAIN)
        return plain.encode(encoding, "backslashreplace").decode(encoding)
    return text
