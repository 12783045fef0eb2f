"""What can go wrong, each kind with the exit code it ends in."""

from enum import IntEnum
from typing import ClassVar


class ExitCode(IntEnum):
    """Exit codes of every command; `STOPPED` after Ctrl-C is as shells have it: 128 + SIGINT."""

    GOOD = 0
    FINDINGS = 1
    USAGE = 2
    UNREADABLE = 3
    BUG = 70
    STOPPED = 130


class StandbackError(Exception):
    """Base of the errors we raise on purpose; the message is one plain sentence for people."""

    exit_code: ClassVar[ExitCode] = ExitCode.BUG


class UsageError(StandbackError):
    """The command line (or a value on it) is wrong, or an output can't be written."""

    exit_code = ExitCode.USAGE


class UnreadableError(StandbackError):
    """An artwork can't be read or judged: missing, damaged, no credible size."""

    exit_code = ExitCode.UNREADABLE
