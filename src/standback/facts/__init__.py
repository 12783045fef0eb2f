"""What the words on a poster are for: when, where, how much, and how to get in touch."""

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

WHEN_AND_WHERE = ("date", "time", "place")
"""What a poster for something that people go to can't leave out (ours)."""
TOGETHER = ("date", "time", "place", "price")
"""Facts that are looked for together: when, where, how much (ours)."""
_LEAST_DIGITS, _MOST_DIGITS = 7, 15
"""Of a telephone number: ITU-T E.164 allows 15; shorter ones are easily something else (ours)."""


def facts_in(wording: str) -> tuple[str, ...]:
    """Return the kinds of fact that a line states, in the order of the patterns.

    The kinds are date, time, price, place, web, telephone, call (to action), and event, for words that announce
    one. Simple patterns, in `patterns.toml` beside this file: a kind that is not found may still be there.
    """
    found = [kind for kind, patterns in _patterns().items() if any(_holds(kind, p, wording) for p in patterns)]
    return tuple(found)


def _holds(kind: str, pattern: re.Pattern[str], wording: str) -> bool:
    if kind != "telephone":
        return pattern.search(wording) is not None
    dates = _patterns()["date"]
    for match in pattern.finditer(wording):
        digits = sum(letter.isdigit() for letter in match.group())
        if _LEAST_DIGITS <= digits <= _MOST_DIGITS and not any(date.search(match.group()) for date in dates):
            return True
    return False


@cache
def _patterns() -> Mapping[str, tuple[re.Pattern[str], ...]]:
    """Read the patterns of every language, by kind."""
    languages = tomllib.loads((files("standback.facts") / "patterns.toml").read_text(encoding="utf-8"))
    by_kind: dict[str, tuple[re.Pattern[str], ...]] = {}
    for tables in languages.values():
        for kind, patterns in tables["facts"].items():
            compiled = (re.compile(p.format_map(tables.get("names", {})), re.IGNORECASE) for p in patterns)
            by_kind[kind] = (*by_kind.get(kind, ()), *compiled)
    return by_kind
