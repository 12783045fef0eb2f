"""Reading one table of a brief: each value of the right kind, or the error that says where it is wrong."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from difflib import get_close_matches
from typing import Any, TypeVar

from standback.brief import syntax
from standback.brief.positions import KeyPath, Positions
from standback.errors import UsageError

Value = TypeVar("Value")


def shown(text: str, most: int = 40) -> str:
    """Quote what a brief says, short and on one line."""
    plain = "".join(c if c.isprintable() else "?" for c in text)
    return f"'{plain[:most]}…'" if len(plain) > most else f"'{plain}'"


def guess(
    word: str,
    known: Sequence[str],
    *,
    otherwise: str | None = None,
    shown_as: Mapping[str, str] | None = None,
) -> str:
    """Return "did you mean 'tier'?" for the nearest of the known, else `otherwise`, else what there is.

    Parameters
    ----------
    shown_as
        How the known are written; in single quotes if it is left out.
    """
    by_lower = {one.lower(): one for one in known}
    near = get_close_matches(word.lower(), by_lower, n=1)
    if near:
        meant = by_lower[near[0]]
        return f"did you mean {shown_as[meant] if shown_as else shown(meant)}?"
    if otherwise is not None:
        return otherwise
    words = [shown_as[one] if shown_as else one for one in known]
    return f"it can be {' or '.join([', '.join(words[:-1]), words[-1]] if len(words) > 1 else words)}"


def kind_of(value: object) -> str:
    """Say what kind of value this is."""
    match value:
        case bool():
            return str(value).lower()
        case str():
            return "text"
        case int() | float():
            return "a number"
        case dict():
            return "a section"
        case list() if value and all(isinstance(one, dict) for one in value):
            return "a list of sections"
        case list():
            return "a list"
        case date() | time() | datetime():
            return "a date or time"
        case _:
            return "something else"


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table of a brief, and where it stands.

    Attributes
    ----------
    title
        How a person sees it in the file: "[sheet]", "[[lines]]".
    """

    file: str
    positions: Positions
    path: KeyPath
    title: str
    values: Mapping[str, Any]

    @property
    def row(self) -> int:
        """The line of the file in which it begins."""
        return self.positions.of_key(self.path).line

    def wrong(self, why: str) -> UsageError:
        """Return the error that finds fault with the table."""
        return syntax.at(self.file, self.positions.of_key(self.path), f"{self.title}: {why}")

    def wrong_key(self, key: str, why: str) -> UsageError:
        """Return the error that finds fault with a key."""
        return syntax.at(self.file, self.positions.of_key((*self.path, key)), why)

    def wrong_value(self, *path: str | int, why: str) -> UsageError:
        """Return the error that finds fault with the value of a key, or with a member of it."""
        return syntax.at(self.file, self.positions.of_value((*self.path, *path)), why)

    def not_of_kind(self, key: str, wanted: str) -> UsageError:
        """Return the error that a value is of another kind than `wanted`."""
        return self.wrong_value(key, why=f"{key} wants {wanted}; this is {kind_of(self.values[key])}")

    def text(self, key: str, example: str) -> str | None:
        """Return a text, or None if there is none or it is blank."""
        value = self.values.get(key)
        if value is None:
            return None
        if not isinstance(value, str):
            raise self.not_of_kind(key, f'text in quotes, such as "{example}"')
        return value.strip() or None

    def needed_text(self, key: str, example: str) -> str:
        """Return a text that must be there."""
        text = self.text(key, example)
        if text is None:
            raise self.wrong(f'it wants a {key}, such as {key} = "{example}"')
        return text

    def parsed(
        self, key: str, example: str, parse: Callable[[str], Value], *, number_too: bool = False
    ) -> Value | None:
        """Return a text as `parse` reads it, which raises `ValueError` with a sentence for people.

        Parameters
        ----------
        number_too
            Whether a number may stand there without quotes.
        """
        value = self.values.get(key)
        text = f"{value!r}" if number_too and is_number(value) else self.text(key, example)
        if text is None:
            return None
        try:
            return parse(text)
        except ValueError as error:
            raise self.wrong_value(key, why=f"{key}: {error}") from None

    def choice(self, key: str, known: Sequence[str]) -> str | None:
        """Return a text that must be one of the known."""
        text = self.text(key, known[0])
        if text is None or text in known:
            return text
        raise self.wrong_value(key, why=f"{key}: there is no {shown(text)}; {guess(text, known)}")

    def lengths_mm(self, key: str, count: int, wanted: str) -> tuple[float, ...]:
        """Return a list of so many numbers, each a place on the sheet in mm."""
        value = self.values[key]
        if not isinstance(value, list):
            raise self.not_of_kind(key, wanted)
        least_mm, most_mm = PLACE_MM
        for index, one in enumerate(value):
            if not is_number(one):
                raise self.wrong_value(key, index, why=f"{key} wants {wanted}; this is {kind_of(one)}")
            if not least_mm <= one <= most_mm:
                why = f"{key}: this is off any sheet; mm can be from {least_mm:g} to {most_mm:g}"
                raise self.wrong_value(key, index, why=why)
        if len(value) != count:
            raise self.wrong_value(key, why=f"{key} wants {wanted}; this is a list of {len(value)}")
        return tuple(float(one) for one in value)


PLACE_MM = (-100.0, 20_000.0)
"""From the widest bleed left of the trim or above it to the longest side of a sheet (ours)."""


def is_number(value: object) -> bool:
    """Whether a value is a number; true and false are none."""
    return isinstance(value, (int, float)) and not isinstance(value, bool)
