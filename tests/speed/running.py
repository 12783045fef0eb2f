"""Runs of the program as processes, their time and memory their own.

A process starts with what its parent holds counted as its peak, so whoever starts the runs must hold little:
posters are drawn, and yardsticks taken, in processes apart. Only for Linux.
"""

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import ParamSpec, TypeVar

_RUN = ("-c", "import sys; from standback.__main__ import main; main(sys.argv[1:])")
_LOOK_S = 0.02
_MIB = 1 << 20

Given = ParamSpec("Given")
Result = TypeVar("Result")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """How a run went.

    Attributes
    ----------
    cpu_s
        Time of all processors together, its workers' included.
    peak_mib
        The most that one of its processes held.
    together_mib
        The most that all of them held at once; what they share is counted for each.
    """

    wall_s: float
    cpu_s: float
    peak_mib: float
    together_mib: float


def ran(*args: str | Path, watched: bool = True) -> Ran:
    """Run `standback`; unless `watched`, look at nothing before its end, so that short times are right.

    Raises
    ------
    RuntimeError
        If it ends in anything but 0 or 1.
    """
    return _ran([*_RUN, *map(str, args)], watched=watched)


def bare_python() -> Ran:
    """Run Python on nothing."""
    return _ran(["-c", ""], watched=False)


def median_s(run: Callable[[], Ran], times: int) -> float:
    """Return the median time of several runs, after one that is not counted."""
    return statistics.median([run().wall_s for _ in range(times + 1)][1:])


def apart(function: Callable[Given, Result], *args: Given.args, **kwargs: Given.kwargs) -> Result:
    """Call a function in a process of its own, which is gone afterwards."""
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        return pool.submit(function, *args, **kwargs).result()


_compiled = TemporaryDirectory(prefix="standback-")
"""Compiled files are kept while this runs, as they are where the program is installed."""


def _ran(args: list[str], *, watched: bool) -> Ran:
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": _compiled.name, "PYTHONDONTWRITEBYTECODE": ""}
    begun_s, together = time.perf_counter(), 0
    process = subprocess.Popen([sys.executable, *args], stdout=subprocess.DEVNULL, env=environment)
    ended = 0
    while not ended:
        ended, status, used = os.wait4(process.pid, os.WNOHANG if watched else 0)
        if not ended:
            together = max(together, _resident(process.pid))
            time.sleep(_LOOK_S)
    wall_s = time.perf_counter() - begun_s
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in (0, 1):
        raise RuntimeError(f"{args}: exit code {process.returncode}")
    return Ran(
        wall_s=wall_s,
        cpu_s=used.ru_utime + used.ru_stime,
        peak_mib=used.ru_maxrss * 1024 / _MIB,
        together_mib=together / _MIB,
    )


def _resident(process: int) -> int:
    """Bytes that a process and all that it has started hold in memory."""
    total = 0
    with suppress(OSError, IndexError):  # it has ended since
        total = int(Path(f"/proc/{process}/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE")
        for threads in Path(f"/proc/{process}/task").glob("*/children"):
            total += sum(_resident(int(child)) for child in threads.read_text().split())
    return total
