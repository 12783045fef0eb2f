"""Functions to be called in other processes, which need a module of their own to find them by."""

import os
import signal
import time
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # numpy is loaded only where there is something to audit
    from standback.batch import Outcome, Task


def shout(text: str) -> str:
    return text.upper()


def shout_late(text: str) -> str:
    """The later in the alphabet, the sooner."""
    time.sleep((ord("z") - ord(text)) / 100)
    return text.upper()


def shout_or_die(text: str) -> str:
    if text == "die":
        os._exit(1)
    return text.upper()


def sleep_on_s(text: str) -> str:
    if text == "s":
        time.sleep(60)
    return text.upper()


def process_number(_: str) -> str:
    return str(os.getpid())


def die_the_first_time(path: str) -> str:
    """Die beside a file that isn't there yet; the next time it is."""
    if not Path(path).exists():
        Path(path).touch()
        os._exit(1)
    return "alive"


def die_on_1(file: str, task: "Task") -> "Outcome":
    """Audit a file; die of one whose name is 1."""
    if Path(file).stem == "1":
        os._exit(1)
    from standback.batch import audit_file

    return audit_file(file, task)


def shout_or_kill_worker(text: str) -> str:
    """Take the worker of a cluster down that this process stands beside."""
    if text == "die":
        os.kill(os.getppid(), signal.SIGKILL)
        time.sleep(60)
    return text.upper()


def shout_slowly(text: str) -> str:
    time.sleep(0.5)
    return text.upper()


def audit_when_told(file: str, task: "Task") -> "Outcome":
    """Audit a file; with all but the one whose name is 0 wait until there is a file "go"."""
    from standback.batch import audit_file

    while not (Path(file).stem == "0" or Path("go").exists()):
        time.sleep(0.01)
    return audit_file(file, task)
