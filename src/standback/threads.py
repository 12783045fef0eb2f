"""How many threads a step may take: two where we are alone, one in a process that is one of several."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from typing import TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")

OF_NUMPY = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")
"""What tells numpy, before it loads, how many threads a matrix product takes: ours are too small for more than one."""

_shared = False


def alone() -> bool:
    """Whether this process is not one of several that share the work."""
    from multiprocessing import parent_process  # `standback --help` must stay quick

    return not _shared and parent_process() is None


@contextmanager
def one_thread() -> Iterator[None]:
    """Take one thread in here, since another process does the rest."""
    global _shared
    before, _shared = _shared, True
    try:
        yield
    finally:
        _shared = before


def threads() -> int:
    """Return how many threads pay: more than two have little to do."""
    return 2 if alone() else 1


@contextmanager
def loading(module: str) -> Iterator[None]:
    """Load a module in a thread while something is done in here that leaves Python free, such as decoding a picture."""
    from importlib import import_module
    from threading import Thread

    def load() -> None:
        with suppress(Exception):  # who imports it next is told what is wrong
            import_module(module)

    thread = Thread(target=load)
    thread.start()
    try:
        yield
    finally:
        thread.join()


def each(function: Callable[[Item], Result], items: Iterable[Item]) -> list[Result]:
    """Return what a function makes of each item, in their order, two at a time where that pays."""
    if threads() == 1:
        return [function(item) for item in items]
    from concurrent.futures import ThreadPoolExecutor

    with ThreadPoolExecutor(threads()) as pool:
        return list(pool.map(function, items))
