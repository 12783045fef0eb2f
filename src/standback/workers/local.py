"""Calls made in processes of this machine."""

import os
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from queue import LifoQueue
from types import TracebackType
from typing import Self, TypeVar

from standback.workers import LostError
from standback.workers.lane import Lane

Result = TypeVar("Result")


def cores() -> int:
    """Processor cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class LocalPool:
    """As many processes as calls may be under way at once, each minded by a thread."""

    is_here = True

    def __init__(self, workers: int) -> None:
        self._workers = workers
        self._lanes = [Lane() for _ in range(workers)]
        self._free: LifoQueue[Lane] = LifoQueue()
        self._threads = ThreadPoolExecutor(workers)
        for lane in self._lanes:
            self._free.put(lane)

    def width(self) -> int:
        """Return twice the workers, so that none waits while a result is written."""
        return 2 * self._workers

    def submit(
        self, function: Callable[[str], Result], item: str, timeout_s: float | None
    ) -> Future[Result | LostError]:
        """Begin a call as soon as a process is free."""
        return self._threads.submit(self._call, function, item, timeout_s)

    def _call(self, function: Callable[[str], Result], item: str, timeout_s: float | None) -> Result | LostError:
        lane = self._free.get()
        try:
            return lane.call(function, item, timeout_s)
        except LostError as lost:
            return lost
        finally:
            self._free.put(lane)

    def outcome(self, future: Future[Result | LostError]) -> Result | LostError:
        """Return what a call that is done has come to."""
        return future.result()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._threads.shutdown(wait=False, cancel_futures=True)
        for lane in self._lanes:
            lane.stop()
        self._threads.shutdown()
