"""One row a poster: what a wall of posters, a table and a print script's log say of each."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from standback.checks import title_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What is said of one poster among many.

    Attributes
    ----------
    folder
        Name of the folder that its own documents are in, None where there are none.
    verdict
        "pass", "fail", or "unreadable".
    fails, warns, notes
        Unwaived findings by severity.
    check, says, change
        The finding that comes first: its title, its sentence, and what would mend it.
    shortfall
        Of that finding; 0 without one.
    why
        Why it could not be read.
    """

    file: str
    folder: str | None
    verdict: str
    fails: int = 0
    warns: int = 0
    notes: int = 0
    check: str = ""
    says: str = ""
    change: str = ""
    shortfall: float = 0.0
    summary: str = ""
    width_mm: float | None = None
    height_mm: float | None = None
    far_m: float | None = None
    why: str = ""


def row_of(poster: Mapping[str, Any], folder: str | None) -> Row:
    """Return the row of one entry of `posters` in a document `standback.audit/1`."""
    live = [finding for finding in poster["findings"] if finding["waived"] is None]
    severities = [finding["severity"] for finding in live]
    first: Mapping[str, Any] = live[0] if live else {}
    return Row(
        file=poster["file"],
        folder=folder,
        verdict=poster["verdict"],
        fails=severities.count("fail"),
        warns=severities.count("warn"),
        notes=severities.count("note"),
        check=title_of(first["check"]) if first else "",
        says=first.get("says") or "",
        change=first.get("change") or "",
        shortfall=first.get("shortfall", 0.0),
        summary=poster["summary"],
        width_mm=poster["artwork"]["width_mm"],
        height_mm=poster["artwork"]["height_mm"],
        far_m=poster["stations"][0]["distance_m"],
    )


def unreadable_row(file: str, why: str) -> Row:
    """Return the row of a file that could not be read or judged."""
    return Row(file=file, folder=None, verdict="unreadable", why=why)


def worst_first(rows: Iterable[Row]) -> list[Row]:
    """Order rows: what fails most and falls shortest first, what could not be read last."""
    return sorted(
        rows,
        key=lambda row: (
            ("fail", "pass", "unreadable").index(row.verdict),
            -row.fails,
            -row.warns,
            -row.shortfall,
            -row.notes,
            row.file,
        ),
    )
