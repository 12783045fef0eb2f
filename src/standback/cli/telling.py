"""Telling on stderr what could not be audited."""

from typing import TYPE_CHECKING

from standback import console

if TYPE_CHECKING:
    from standback.findings import Unreadable


def tell(unreadable: "Unreadable", *, debug: bool) -> None:
    """Say in one line which file it is and why; a fault of ours with its traceback if that was asked for."""
    console.error(f"{unreadable.file}: {unreadable.why}")
    if debug and unreadable.trace is not None:
        console.trace(unreadable.trace)


def name_of(item: "str | Unreadable") -> str:
    """Return the path of an item of a run, as given."""
    return item if isinstance(item, str) else item.file
