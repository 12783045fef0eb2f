"""Where in a TOML text each key, table and value stands: tomllib reads them, but does not tell.

The scanner trusts that tomllib has accepted the text, at least up to its end: it looks for places, not
for faults. On any other text it still comes to an end. TOML 1.0, https://toml.io/en/v1.0.0
"""

import re
import tomllib
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass

KeyPath = tuple[str | int, ...]
"""Keys from the top of the document down; an int counts members of a list, or [[tables]] of one name."""


@dataclass(frozen=True, slots=True, order=True)
class Mark:
    """A place in a text; both count from 1, the column in characters."""

    line: int
    column: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Twice:
    """A key or table that was there before."""

    path: KeyPath
    first: Mark
    again: Mark


@dataclass(frozen=True, slots=True, kw_only=True)
class Positions:
    """Where everything stands.

    Attributes
    ----------
    keys
        Where each key begins; for a table, its name in the header that first names it.
    values
        Where each value and each member of a list begins.
    twice
        The last key or table that is there a second time. Tables may be: only tomllib knows which.
    """

    keys: Mapping[KeyPath, Mark]
    values: Mapping[KeyPath, Mark]
    twice: Twice | None

    def of_key(self, path: KeyPath) -> Mark:
        """Return where a key begins, or the nearest thing around it that stands somewhere."""
        for end in range(len(path), 0, -1):
            found = self.keys.get(path[:end]) or self.values.get(path[:end])
            if found is not None:
                return found
        return Mark(1, 1)

    def of_value(self, path: KeyPath) -> Mark:
        """Return where a value begins; a table in brackets begins at its name."""
        return self.values.get(path) or self.of_key(path)


def find_positions(text: str) -> Positions:
    """Find where every key, table and value of a TOML text stands."""
    scanner = _Scanner(text)
    scanner.document()
    return Positions(keys=scanner.keys, values=scanner.values, twice=scanner.twice)


_BLANK = re.compile(r"[ \t]*")
_BLANK_LINES = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]*")
_BARE_VALUE = re.compile(r"[^,\]}#\n]*")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"""(?:"{0,2})'
    r"|'''.*?'''(?:'{0,2})"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)


def _unquoted(key: str) -> str:
    """Return the name that a key in quotes stands for."""
    try:
        return next(iter(tomllib.loads(f"{key} = 0")))
    except tomllib.TOMLDecodeError:  # only in a text that is no TOML
        return key


class _Scanner:
    def __init__(self, text: str) -> None:
        self.keys: dict[KeyPath, Mark] = {}
        self.values: dict[KeyPath, Mark] = {}
        self.twice: Twice | None = None
        self._text = text
        self._at = 0
        self._line_starts = [0, *(found.end() for found in re.finditer("\n", text))]
        self._tables: dict[KeyPath, int] = {}

    def document(self) -> None:
        table: KeyPath = ()
        while self._skip(_BLANK_LINES):
            table = self._header() if self._here() == "[" else self._pair(table)

    def _here(self) -> str:
        return self._text[self._at : self._at + 1]

    def _mark(self, at: int) -> Mark:
        line = bisect_right(self._line_starts, at)
        return Mark(line, at - self._line_starts[line - 1] + 1)

    def _skip(self, what: re.Pattern[str]) -> bool:
        """Pass over something; return whether there is more of the text."""
        found = what.match(self._text, self._at)
        self._at = found.end() if found else self._at
        return self._at < len(self._text)

    def _took(self, sign: str) -> bool:
        if not self._text.startswith(sign, self._at):
            return False
        self._at += len(sign)
        return True

    def _record(self, path: KeyPath, mark: Mark) -> None:
        first = self.keys.setdefault(path, mark)
        if first != mark:
            self.twice = Twice(path=path, first=first, again=mark)

    def _key(self) -> list[tuple[str, Mark]]:
        """Read a key, dotted or not: its parts, and where each begins."""
        parts = []
        while True:
            self._skip(_BLANK)
            start = self._at
            quoted = self._here() in ('"', "'")
            self._skip(_STRING if quoted else _BARE_KEY)
            part = self._text[start : self._at]
            parts.append((_unquoted(part) if quoted else part, self._mark(start)))
            self._skip(_BLANK)
            if not self._took("."):
                return parts

    def _header(self) -> KeyPath:
        brackets = 2 if self._text.startswith("[[", self._at) else 1
        self._at += brackets
        *outer, (name, mark) = self._key()
        path: KeyPath = ()
        for part, part_mark in outer:
            path = (*path, part)
            self.keys.setdefault(path, part_mark)
            if path in self._tables:
                path = (*path, self._tables[path])
        path = (*path, name)
        if brackets == 2:
            self.keys.setdefault(path, mark)
            self._tables[path] = self._tables.get(path, -1) + 1
            path = (*path, self._tables[path])
        self._record(path, mark)
        self._took("]" * brackets)
        return path

    def _pair(self, table: KeyPath) -> KeyPath:
        """Read `key = value`; return the table it stands in."""
        *outer, (name, mark) = self._key()
        path = table
        for part, part_mark in outer:
            path = (*path, part)
            self.keys.setdefault(path, part_mark)
        path = (*path, name)
        self._record(path, mark)
        self._took("=")
        self._skip(_BLANK)
        self._value(path)
        return table

    def _value(self, path: KeyPath) -> None:
        start = self._at
        self.values[path] = self._mark(start)
        if self._took("["):
            self._members(path, "]")
        elif self._took("{"):
            self._members(path, "}")
        else:
            self._skip(_STRING if self._here() in ('"', "'") else _BARE_VALUE)
            if self._at == start:  # only in a text that is no TOML
                self._at += 1

    def _members(self, path: KeyPath, end: str) -> None:
        """Read the members of a list, or the pairs of a table in braces."""
        count = 0
        while self._skip(_BLANK_LINES) and not self._took(end):
            if end == "]":
                self._value((*path, count))
            else:
                self._pair(path)
            count += 1
            self._skip(_BLANK_LINES)
            self._took(",")
