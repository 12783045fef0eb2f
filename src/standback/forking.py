"""A function called on many items in two processes, where that is safe and pays: else one after another.

For what is spread over many small calls: threads can't share these, as they wait for each other. The second process is
a fork, which has all that is in memory without being told, and ends when nothing is left to do.
"""

import gc
import os
import pickle
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import BinaryIO, NoReturn, TypeVar, cast

from standback.threads import alone, each, one_thread

Item = TypeVar("Item")
Result = TypeVar("Result")

LEAST_ITEMS, MOST_ITEMS = 6, 2000
"""Fewer are done before a second process has begun (ours); the numbers of more might not fit into a pipe."""
_BYTES = 2
_LOOKS, _LOOK_S = 20, 0.0005


def in_two_processes(
    function: Callable[[Item], Result], items: Sequence[Item], *, at_least: int = LEAST_ITEMS
) -> list[Result]:
    """Return what a function makes of each item, in their order: the same as one after another, but sooner.

    One process does it all where the system is not Linux, where we are one of several workers or have but one core,
    where there are few items, and where another thread is alive: a fork copies the locks that it holds, and not the
    thread.

    Parameters
    ----------
    function
        Pure: what it changes in the second process is lost, and a file that both read on in is read in pieces. Its
        results are pickled, so they should be small. What it raises there, it has to raise again here.
    items
        Best with those that take long first: whoever is free takes the next.
    """
    found: dict[int, Result] = {}
    if at_least <= len(items) <= MOST_ITEMS and may_fork():
        with one_thread(), _numbers(len(items)) as order, _second(function, items, order) as results:
            found |= {n: function(items[n]) for n in _taken(order)}
            found |= results()
    return [found[n] if n in found else function(item) for n, item in enumerate(items)]


def by_two(function: Callable[[Item], Result], items: Sequence[Item]) -> list[Result]:
    """Return what a function makes of each item, in their order: by two processes, else threads, where these pay.

    For few items that take long; see `in_two_processes`.
    """
    return in_two_processes(function, items, at_least=2) if may_fork() else each(function, items)


def may_fork() -> bool:
    """Whether we are the only thread of the only process, on more than one core."""
    if sys.platform != "linux" or not alone():
        return False
    return len(os.sched_getaffinity(0)) > 1 and _is_only_thread()


def _is_only_thread() -> bool:
    """Whether the system knows of no other thread; one that Python has done with may take a moment to end."""
    for _ in range(_LOOKS):
        if len(list(Path("/proc/self/task").iterdir())) == 1:
            return True
        if threading.active_count() > 1:
            return False
        time.sleep(_LOOK_S)
    return False


@contextmanager
def _numbers(count: int) -> Iterator[BinaryIO]:
    """Lay out the numbers of the items, to be taken one by one from either process."""
    with ExitStack() as to_close:
        order, laid = _pipe(to_close)
        laid.write(b"".join(n.to_bytes(_BYTES, "big") for n in range(count)))
        laid.close()
        yield order


def _taken(order: BinaryIO) -> Iterator[int]:
    """Take numbers until none is left; no two processes get the same."""
    while number := order.read(_BYTES):
        yield int.from_bytes(number, "big")


@contextmanager
def _second(
    function: Callable[[Item], Result], items: Sequence[Item], order: BinaryIO
) -> Iterator[Callable[[], dict[int, Result]]]:
    """Have a second process; what is yielded waits for all that it did: nothing where it failed, died or never was."""
    if sys.platform == "win32":
        yield dict
        return
    with ExitStack() as to_close:
        results, sent = _pipe(to_close)
        first = os.getpid()
        try:
            process = os.fork()
        except OSError:  # no memory for it, or not allowed
            yield dict
            return
        if process == 0:
            results.close()  # so that sending fails where the first process is gone
            _work(function, items, order, sent, first)
        sent.close()
        try:
            yield lambda: _loaded(results.read())
        finally:
            with suppress(ProcessLookupError, ChildProcessError):  # where whoever called us has children forgotten
                os.kill(process, signal.SIGKILL)  # it has sent all, or is no longer wanted
                os.waitpid(process, 0)


def _work(
    function: Callable[[Item], Result], items: Sequence[Item], order: BinaryIO, sent: BinaryIO, first: int
) -> NoReturn:
    """Do items until none is left, send what came of them and end: the whole life of the second process.

    It ends without a word and without what a process does at its end: output that waits to be written, and temporary
    files, are the first one's.
    """
    try:
        signal.signal(signal.SIGINT, signal.SIG_DFL)  # the first hears Ctrl-C too, and tells of it
        gc.disable()  # it writes to every object, so that all would be copied
        done = {}
        for n in _taken(order):
            if os.getppid() != first:  # nobody is left to send to
                break
            done[n] = function(items[n])
        with os.fdopen(sent.fileno(), "wb") as whole:
            pickle.dump(done, whole, pickle.HIGHEST_PROTOCOL)
    finally:  # what was raised is raised where the item is done again
        os._exit(0)


def _loaded(pickled: bytes) -> dict[int, Result]:
    """Return what was sent; nothing where it was not sent to its end."""
    try:
        done: dict[int, Result] = pickle.loads(pickled)
    except (EOFError, pickle.UnpicklingError):
        return {}
    return done


def _pipe(to_close: ExitStack) -> tuple[BinaryIO, BinaryIO]:
    """Return both ends of a pipe, to read from and to write to."""
    read, write = os.pipe()
    return (
        cast(BinaryIO, to_close.enter_context(os.fdopen(read, "rb", buffering=0))),
        cast(BinaryIO, to_close.enter_context(os.fdopen(write, "wb", buffering=0))),
    )
