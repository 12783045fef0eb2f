"""A function called on one file after another, several at a time, each call in a process of its own.

Where the processes are is the pool's business: on this machine (`local`) or on those of a cluster (`cluster`).
All else is done once, here and in `lane`, for either.
"""

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, wait
from types import TracebackType
from typing import Protocol, Self, TypeVar

Result = TypeVar("Result")

_MOST_BEGUN = 4
"""Results that wait for their turn and calls that are under way are together no more than so many times the calls
that may be under way (ours): one that takes long does not fill the memory with what is done after it."""
_LOOK_AGAIN_S = 2.0
"""How often a pool is asked whether it is still there (ours)."""


class LostError(Exception):
    """A call that came to no result; if it is none of those below, its text is the trace of what went wrong."""


class DiedError(LostError):
    """The process that the call was made in was ended from outside."""


class TooLongError(LostError):
    """The call took longer than was allowed, and was ended."""


class GoneError(LostError):
    """There is nothing left that could make the call."""


class Pool(Protocol):
    """Where calls are made; it is entered before the first of them and left after the last."""

    @property
    def is_here(self) -> bool:
        """Whether the calls are made on this machine."""

    def width(self) -> int:
        """Return how many calls may be under way now.

        Raises
        ------
        GoneError
            If there is nothing left that could make a call.
        """

    def submit(
        self, function: Callable[[str], Result], item: str, timeout_s: float | None
    ) -> Future[Result | LostError]:
        """Begin a call as soon as a process is free."""

    def outcome(self, future: Future[Result | LostError]) -> Result | LostError:
        """Return what a call that is done has come to."""

    def __enter__(self) -> Self: ...

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None: ...


def in_order(
    pool: Pool, function: Callable[[str], Result], items: Sequence[str], *, timeout_s: float | None
) -> Iterator[Result | LostError]:
    """Call a function on each item and yield the results in the items' order, each as soon as its turn has come.

    Parameters
    ----------
    function
        It is sent to the processes, so it must be one that `pickle` takes.
    timeout_s
        A call that takes longer is ended; None to wait as long as it takes.
    """
    waiting, begun = deque(items), deque[Future[Result | LostError]]()
    while waiting or begun:
        try:
            width = pool.width()
        except GoneError as gone:
            yield from (pool.outcome(future) if future.done() else gone for future in begun)
            yield from (gone for _ in waiting)
            return
        room = min(width - sum(not future.done() for future in begun), _MOST_BEGUN * width - len(begun))
        for _ in range(min(room, len(waiting))):
            begun.append(pool.submit(function, waiting.popleft(), timeout_s))
        if begun[0].done():
            yield pool.outcome(begun.popleft())
        else:
            wait([future for future in begun if not future.done()], _LOOK_AGAIN_S, FIRST_COMPLETED)
