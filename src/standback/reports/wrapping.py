"""Breaking text into lines, by any measure of length, and making foreign text safe to print."""

import re
import unicodedata
from collections.abc import Callable

_TIED = re.compile(
    r"(?<=\d) (?=(?:mm|cm|m|ppi)\b)|(?<=\d) (?=[×x] \d)|(?<=\d [×x]) (?=\d)| (?=→ [\d#])|(?<=→) (?=[\d#])"
)
"""Spaces at which no line may end: between a number and its unit, around the signs of "420 × 594" and "4 → 5"."""
_TIE = "\N{NO-BREAK SPACE}"


def clean(text: str) -> str:
    """Return text without control, formatting or unencodable characters: one quiet line for any console.

    File names may hold escape codes, line ends and bytes that are no text; they become "?", and every
    other blank becomes a plain space.
    """
    if text.isprintable():
        return text  # at once for the long ones, such as a picture written as text
    return "".join(c if c.isprintable() else " " if c.isspace() else "?" for c in text)


def columns(text: str) -> int:
    """Return the terminal columns that text takes: two for wide East Asian characters, none for accents."""
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


def wrap(text: str, room: float, measure: Callable[[str], float]) -> list[str]:
    """Break text at its spaces into lines no longer than `room`; a word longer than that is cut.

    Parameters
    ----------
    room
        Length of a line, in the unit of `measure`. At least one character goes on a line.
    measure
        Length of a text: `columns` for a terminal, a font's own measure for a picture.
    """
    lines: list[str] = []
    line = ""
    for word in _TIED.sub(_TIE, " ".join(text.split())).split(" "):
        longer = f"{line} {word}" if line else word
        if measure(longer) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        pieces = _cut(word, room, measure)
        lines.extend(pieces[:-1])
        line = pieces[-1]
    return [done.replace(_TIE, " ") for done in [*lines, line] if done]


def _cut(word: str, room: float, measure: Callable[[str], float]) -> list[str]:
    pieces: list[str] = []
    piece = ""
    for character in word:
        if piece and measure(piece + character) > room:
            pieces.append(piece)
            piece = character
        else:
            piece += character
    return [*pieces, piece]
