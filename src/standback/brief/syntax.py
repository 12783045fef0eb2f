"""What tomllib holds against a text, in words of a designer, with line and column."""

import re
import tomllib
from typing import Any

from standback.brief.positions import Mark, Positions, Twice, find_positions
from standback.errors import UsageError

_QUOTES = 'text wants double quotes, such as "5 m"'
_CLOSE = "close it with the quotes it began with"
_BACKSLASH = "a backslash means something else in double quotes: put this text in single ones"
_SECTION = "the brackets of a section are not closed, as in [sheet] or [[lines]]"

_WORDS = (
    ("Invalid value", f"there is no value here that can be read: {_QUOTES}"),
    ("Expected newline", f"there is more after the value: {_QUOTES}, and one key goes on a line"),
    ("Expected '=' after a key", 'a key is followed by = and its value, such as size = "A2"'),
    ("Invalid statement", "this is neither a key, a section in brackets nor a comment after #"),
    ("Invalid initial character for a key", "a key is missing: it is made of letters, digits, _ and -"),
    ("Unterminated string", f"the brief ends inside a text: {_CLOSE}"),
    (r"Illegal character '\n'", f"the line ends inside a text: {_CLOSE}"),
    (r"Found invalid character '\n'", f"the line ends inside a text: {_CLOSE}"),
    ("Expected \"'", f"the brief ends inside a text: {_CLOSE}"),
    ("Illegal character", "there is a character here that can't be in a brief: write the line anew"),
    ("Found invalid character", "there is a character here that can't be in a brief: write the line anew"),
    ("Expected ']", _SECTION),
    ("Unclosed array", "a list is not closed: part what is in it with commas and end it with ]"),
    ("Unclosed inline table", "braces are not closed: part what is in them with commas and end them with }"),
    ("Unescaped", _BACKSLASH),
    ("Invalid hex value", _BACKSLASH),
    ("Escaped character", _BACKSLASH),
    ("Invalid date", f"there is no such date: {_QUOTES}"),
)
"""How what tomllib says begins, and what we say. Anything else: `_OTHER`."""
_OTHER = "this is not written as TOML wants it"
_TWICE = ("Cannot ", "Duplicate ")
_ELSEWHERE = re.compile(r" \(at line (\d+), column (\d+)\)$")


def parsed(text: str, *, file: str) -> tuple[dict[str, Any], Positions]:
    """Read a TOML text; return what it says, and where it says it.

    Raises
    ------
    UsageError
        In one line: file, line, column, what is wrong.
    """
    text = text.replace("\r\n", "\n")
    try:
        return tomllib.loads(text), find_positions(text)
    except tomllib.TOMLDecodeError as error:
        raise _refused(str(error), text, file) from None
    except RecursionError:
        raise UsageError(f"{file}: lists are nested too deep in it") from None
    except ValueError:  # a whole number of thousands of digits
        raise UsageError(f"{file}: there is a number in it that is too large") from None


def at(file: str, mark: Mark, why: str) -> UsageError:
    """Return the error that says what is wrong, and where."""
    return UsageError(f"{file}, line {mark.line}, column {mark.column}: {why}")


def _refused(said: str, text: str, file: str) -> UsageError:
    """Return the error for what tomllib said, such as "Unclosed array (at line 3, column 7)"."""
    found = _ELSEWHERE.search(said)
    if found is not None:
        mark = Mark(int(found[1]), int(found[2]))
        end = sum(len(line) + 1 for line in text.split("\n")[: mark.line - 1]) + mark.column - 1
    else:  # "(at end of document)"
        end = len(text.rstrip())
        mark = Mark(text.count("\n", 0, end) + 1, end - (text.rfind("\n", 0, end) + 1) + 1)
    if said.startswith(_TWICE):
        twice = find_positions(text[:end]).twice
        if twice is not None:
            return at(file, twice.again, _there_before(twice))
    why = next((words for begins, words in _WORDS if said.startswith(begins)), _OTHER)
    return at(file, mark, why)


def _there_before(twice: Twice) -> str:
    name = next(part for part in reversed(twice.path) if isinstance(part, str))
    shown = "".join(c if c.isprintable() else "?" for c in name)
    return f"'{shown}' is there twice, first in line {twice.first.line}: leave one of them"
