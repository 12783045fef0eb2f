"""One process that calls are made in, one after another, so that one which dies costs no more than its own call."""

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from multiprocessing import get_context, resource_tracker
from multiprocessing.context import SpawnProcess
from time import monotonic
from typing import TYPE_CHECKING, TypeVar

from standback.threads import OF_NUMPY
from standback.workers import DiedError, TooLongError

if TYPE_CHECKING:  # Windows has another kind than the rest
    from multiprocessing.connection import _ConnectionBase as Connection

Result = TypeVar("Result")

_IDLE_S = 60.0
"""A process that has had nothing to do for so long ends by itself (ours)."""


class Lane:
    """A process of its own for calls; it is started with the first, and anew after it has died."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._stopped = False
        self._process: SpawnProcess | None = None
        self._connection: Connection | None = None
        self._used_s = 0.0

    def call(self, function: Callable[[str], Result], item: str, timeout_s: float | None) -> Result:
        """Call a function in the process and return what it returns.

        Raises
        ------
        DiedError
            If the process ends before it has returned anything.
        TooLongError
            If `timeout_s` is over before; the process is ended.
        """
        connection = self._started()
        try:
            connection.send((function, item))
            if not connection.poll(timeout_s):
                self._end()
                raise TooLongError
            result: Result = connection.recv()
        except (EOFError, OSError):
            self._end()
            raise DiedError from None
        self._used_s = monotonic()
        return result

    def stop(self) -> None:
        """End the process, whatever it is busy with, and start no more; from any thread."""
        self._stopped = True
        self._end()

    def _started(self) -> "Connection":
        if monotonic() - self._used_s > _IDLE_S / 2:  # it may be about to end by itself
            self._end()
        with self._lock:
            if self._stopped:
                raise DiedError
            if self._connection is None:
                context = get_context("spawn")
                self._connection, theirs = context.Pipe()
                self._process = context.Process(target=_work, args=(theirs,), daemon=True)
                with _deaf_to_ctrl_c():
                    self._process.start()
                theirs.close()  # else the end of the process would not be told
                self._used_s = monotonic()
            return self._connection

    def _end(self) -> None:
        with self._lock:
            if self._process is not None:
                self._process.terminate()
                self._process.join()
            # the connection is not closed but dropped: another thread may still be waiting on it, and sees the end
            self._process = self._connection = None


@contextmanager
def _deaf_to_ctrl_c() -> Iterator[None]:
    """Let a process that starts in here never hear Ctrl-C: a blocked signal stays blocked in it.

    The run that starts it hears it and ends it; it would end in a traceback.
    """
    if sys.platform == "win32":
        yield
        return
    resource_tracker.ensure_running()  # else it starts in here too, and lets signals through again
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _work(connection: "Connection") -> None:
    """Make the calls that come, until no more do: the whole life of a process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # where it couldn't be kept from hearing Ctrl-C
    os.environ.update(dict.fromkeys(OF_NUMPY, "1"))  # before the first call brings numpy
    with suppress(EOFError, OSError):  # whoever wanted the result is gone
        while connection.poll(_IDLE_S):
            function, item = connection.recv()
            connection.send(function(item))
