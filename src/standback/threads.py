"""How many threads a step may take: two where we are alone, one in a process that is one of several."""

from collections.abc import Callable, Iterable
from typing import TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")

OF_NUMPY = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")
"""What tells numpy, before it loads, how many threads a matrix product takes: ours are too small for more than one."""


def threads() -> int:
    """Return how many threads pay: more than two have little to do."""
    from multiprocessing import parent_process  # `standback --help` must stay quick

    return 2 if parent_process() is None else 1


def each(function: Callable[[Item], Result], items: Iterable[Item]) -> list[Result]:
    """Return what a function makes of each item, in their order, two at a time where that pays."""
    if threads() == 1:
        return [function(item) for item in items]
    from concurrent.futures import ThreadPoolExecutor

    with ThreadPoolExecutor(threads()) as pool:
        return list(pool.map(function, items))
