"""Calls made by the workers of a dask.distributed scheduler, each in a process beside the worker."""

import logging
import os
import threading
import traceback
from collections.abc import Callable
from concurrent.futures import CancelledError, Future
from contextlib import suppress
from importlib.util import find_spec
from multiprocessing import current_process
from pathlib import Path
from time import monotonic
from types import TracebackType
from typing import Any, Generic, Self, TypeVar

from standback import __version__
from standback.errors import UsageError
from standback.workers import DiedError, GoneError, LostError
from standback.workers.lane import Lane

Result = TypeVar("Result")

_NOT_INSTALLED = "--cluster needs dask, which is not installed: pip install 'standback[cluster]'"
_ANSWER_S = 5.0
"""How long a scheduler is waited for, and then its first worker (ours)."""
_NO_WORKERS_S = 30.0
"""A batch is given up when there have been no workers for so long (ours): one that died takes a while to be back."""
_MORE_TRIES = 3
"""So often a call is made again whose process died (ours): another worker may have the memory that this one lacked."""

_TALKATIVE = ("distributed", "distributed.client", "tornado", "tornado.application")
"""What dask logs under: each worker that comes or goes, and traces of all that is told in one line here."""

_of_thread = threading.local()


def require_dask() -> None:
    """Refuse to go on where dask is not installed.

    Raises
    ------
    UsageError
        With the line that installs it.
    """
    if find_spec("distributed") is None:
        raise UsageError(_NOT_INSTALLED)


class ClusterPool:
    """The workers of a scheduler that runs already; those that come later are used too, those that go are missed.

    A call whose worker dies is made again on another. Files are read where the worker is, by the paths given here.

    Parameters
    ----------
    seen
        A file that every worker must see; None to ask for none.

    Raises
    ------
    UsageError
        If dask is not installed; on entering, where no scheduler answers, it has no workers, or one of them lacks this
        version or the file.
    """

    is_here = False

    def __init__(self, address: str, *, seen: str | None) -> None:
        require_dask()
        self._address = address
        self._seen = seen
        self._folder = str(Path.cwd())
        self._client: Any = None
        self._threads: Any = None
        self._staffed_s = 0.0

    def __enter__(self) -> Self:
        self._client = self._connected()
        try:
            self._check_workers()
        except BaseException:
            self._close()
            raise
        self._threads = self._client.get_executor(pure=False, retries=_MORE_TRIES)
        self._staffed_s = monotonic()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._close()

    def _close(self) -> None:
        with suppress(Exception):  # the scheduler may be gone, and is waited for in vain
            self._client.close(timeout=_ANSWER_S)

    def width(self) -> int:
        """Return the threads of all workers: what is begun there and waits would be blamed when its worker dies."""
        if self._client.status != "running":
            raise GoneError
        try:
            threads: int = sum(self._client.nthreads().values())
        except Exception:  # whatever way dask has to say that the scheduler is gone
            raise GoneError from None
        if threads:
            self._staffed_s = monotonic()
        elif monotonic() - self._staffed_s > _NO_WORKERS_S:
            raise GoneError
        return max(threads, 1)

    def submit(
        self, function: Callable[[str], Result], item: str, timeout_s: float | None
    ) -> Future[Result | LostError]:
        """Begin a call as soon as a worker is free."""
        begun: Future[Result | LostError] = self._threads.submit(
            _call_beside, function, item, timeout_s, folder=self._folder
        )
        return begun

    def outcome(self, future: Future[Result | LostError]) -> Result | LostError:
        """Return what a call that is done has come to."""
        from distributed import KilledWorker

        try:
            return future.result()
        except (KilledWorker, DiedError):
            return DiedError()
        except CancelledError:  # by dask, as it lost the scheduler
            return GoneError()
        except Exception:  # of the worker itself, as one that has come since and can't make the call
            return LostError(traceback.format_exc())

    def _connected(self) -> Any:
        from distributed import Client
        from distributed.comm.addressing import parse_address, parse_host_port
        from distributed.comm.registry import get_backend

        for name in _TALKATIVE:
            logging.getLogger(name).setLevel(logging.CRITICAL + 1)
        try:
            scheme, place = parse_address(self._address)
            get_backend(scheme)
            parse_host_port(place)  # a client refuses these too, but then takes ten seconds to end
            return Client(  # type: ignore[no-untyped-call]
                self._address, timeout=_ANSWER_S, set_as_default=False
            )
        except Exception:  # an address that is none, no answer, or one from something else
            raise UsageError(
                f"--cluster {self._address}: no scheduler answered there; see that one is running, and give the "
                "address that it tells, such as tcp://192.0.2.1:8786"
            ) from None

    def _check_workers(self) -> None:
        told: dict[str, Any] = {}
        with suppress(TimeoutError):
            self._client.wait_for_workers(1, timeout=_ANSWER_S)
            told = self._client.run(_outfit, self._folder, self._seen, on_error="return")
        if not told:
            raise UsageError(
                f"--cluster {self._address}: the scheduler has no workers; start some: dask worker {self._address}"
            )
        for worker, outfit in sorted(told.items()):
            if isinstance(outfit, Exception) or outfit[0] != __version__:
                raise UsageError(
                    f"--cluster {self._address}: the worker {worker} does not have standback {__version__}; install "
                    "the same version for every worker"
                )
            if not outfit[1]:
                raise UsageError(
                    f"--cluster {self._address}: the worker {worker} does not see {self._seen}; artworks are read by "
                    "their path, in a file system that all workers share"
                )


def _outfit(folder: str, seen: str | None) -> tuple[str, bool]:
    """Return what a worker can tell of itself: our version there, and whether it sees a file."""
    return __version__, seen is None or os.path.exists(os.path.join(folder, seen))  # noqa: PTH110, PTH118


def _call_beside(
    function: Callable[[str], Result], item: str, timeout_s: float | None, *, folder: str
) -> Result | LostError:
    """Make a call in a process beside this thread of a worker, which can be ended without the worker.

    Raises
    ------
    DiedError
        If that process dies: dask tries again what raises.
    """
    if not hasattr(_of_thread, "lane"):
        current_process().daemon = False  # else it may have no processes of its own; ours end with it all the same
        _of_thread.lane = Lane()
    lane: Lane = _of_thread.lane
    try:
        return lane.call(_From(folder, function), item, timeout_s)
    except DiedError:
        raise
    except LostError as lost:
        return lost


class _From(Generic[Result]):
    """A function called where the run was started, so that its relative paths hold."""

    def __init__(self, folder: str, function: Callable[[str], Result]) -> None:
        self._folder = folder
        self._function = function

    def __call__(self, item: str) -> Result:
        with suppress(OSError):  # a worker elsewhere that lacks the folder may still find what has a whole path
            os.chdir(self._folder)
        return self._function(item)
