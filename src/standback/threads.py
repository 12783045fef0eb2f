"""How many threads a step may take: two where we are alone, one in a process that is one of several."""

from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from multiprocessing import parent_process
from typing import TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")


def threads() -> int:
    """Return how many threads pay: more than two have little to do."""
    return 2 if parent_process() is None else 1


def each(function: Callable[[Item], Result], items: Iterable[Item]) -> list[Result]:
    """Return what a function makes of each item, in their order, two at a time where that pays."""
    if threads() == 1:
        return [function(item) for item in items]
    with ThreadPoolExecutor(threads()) as pool:
        return list(pool.map(function, items))
