"""Every number written in our own code that decides a verdict, by module and name, for the JSON report.

Read off the modules themselves, so that none can be forgotten: whatever has a name in capitals and is a
number, or a table of numbers, in a module that the verdict passes through.
"""

import pkgutil
from collections.abc import Iterator, Mapping
from hashlib import sha256
from importlib import import_module
from importlib.resources import files
from types import ModuleType
from typing import Any

import numpy as np

import standback

UNDECIDING = frozenset(
    {
        "__main__", "approach", "auditing", "batch", "cli", "console", "constants", "documents", "errors", "explain",
        "forking", "keeping", "letters", "numbers", "outputs", "reports", "sight", "summary",
    }
)  # fmt: skip
"""Rooms that read, write or tell, but decide nothing."""


def constants() -> dict[str, dict[str, Any]]:
    """Return the numbers by module ("find.lines") and lower-case name; empty modules are left out."""
    found = {module.__name__.removeprefix("standback."): _numbers_of(module) for module in _deciding()}
    weights = files("standback.find").joinpath("weights.npz").read_bytes()
    found["find.scorer"]["weights_sha256"] = sha256(weights).hexdigest()
    return {name: numbers for name, numbers in sorted(found.items()) if numbers}


def _deciding() -> Iterator[ModuleType]:
    for found in pkgutil.walk_packages(standback.__path__, "standback."):
        room = found.name.removeprefix("standback.").partition(".")[0]
        if room not in UNDECIDING:
            yield import_module(found.name)


def _numbers_of(module: ModuleType) -> dict[str, Any]:
    """Return what is written in capitals, with one underscore before it or none."""
    named = ((name, _numbers(value)) for name, value in vars(module).items() if name.isupper())
    return {name.removeprefix("_").lower(): value for name, value in named if value is not None}


def _numbers(value: Any) -> Any:
    """Return a number or a table of numbers in plain values; None of anything else."""
    match value:
        case bool() | int() | float():
            return value
        case np.ndarray() if value.dtype.kind in "fiu":
            return value.tolist()
        case tuple() | list():
            items = [_numbers(item) for item in value]
            return items if items and None not in items else None
        case Mapping():
            table = {str(key): _numbers(item) for key, item in value.items()}
            return table if table and None not in table.values() else None
    return None
