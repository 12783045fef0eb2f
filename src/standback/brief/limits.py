"""The limits a brief can change: every number in `settings.Limits`, read from that class itself."""

from dataclasses import fields
from math import ceil, floor

from standback.brief.tables import Table, is_number
from standback.settings import Limits

MOST_CONTRAST_RATIO = 21.0
"""White to black, WCAG 2.2."""
MOST_SHARE = 10.0
"""A reach can be wanted longer than its station, within reason (ours)."""
TIMES_DEFAULT = 100.0
"""How far any other limit may lie from its default, as a factor (ours)."""

DEFAULTS: dict[str, float] = {
    one.name: value for one in fields(Limits) if is_number(value := getattr(Limits(), one.name))
}
"""The name of each limit, and what it is if nobody says otherwise."""


def limit_range(name: str) -> tuple[float, float]:
    """Return the least and the most that a limit can sensibly be, by its name and its default (ours)."""
    default = DEFAULTS[name]
    for part, low, high in (
        ("tolerance", 0.0, 1.0),
        ("share", 0.0, MOST_SHARE),
        ("ratio", 1.0, MOST_CONTRAST_RATIO),
    ):
        if part in name.split("_") and low <= default <= high:
            return low, high
    if default == 0:
        return 0.0, TIMES_DEFAULT
    low, high = sorted((default / TIMES_DEFAULT, default * TIMES_DEFAULT))
    return (ceil(low), floor(high)) if isinstance(default, int) else (low, high)


def read_limits(table: Table) -> tuple[tuple[str, float], ...]:
    """Return the limits that a brief changes, in its order; all its keys are known to be limits."""
    limits = []
    for name, value in table.values.items():
        whole = isinstance(DEFAULTS[name], int)
        low, high = limit_range(name)
        wanted = f"a {'whole ' if whole else ''}number from {low:g} to {high:g}"
        if not is_number(value):
            raise table.not_of_kind(name, wanted)
        if not low <= value <= high or (whole and value != int(value)):
            raise table.wrong_value(name, why=f"{name} wants {wanted}")
        limits.append((name, int(value) if whole else float(value)))
    return tuple(limits)
