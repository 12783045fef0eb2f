"""Many posters in a terminal: a line or two of each, the worst first, and where their documents are."""

from collections.abc import Iterator, Sequence

from standback.reports import words
from standback.reports.rows import Row, worst_first
from standback.reports.terminal import BOLD, FAINT, VERDICT_COLOURS, Page, within

_VERDICT_WIDTH = 14


def render_roll(rows: Sequence[Row], *, kept: str, taken: int, width: int, colour: bool) -> str:
    """Return the roll as text.

    Parameters
    ----------
    kept
        The page that leads to every poster's documents.
    taken
        How many posters were not audited again.
    """
    page = Page(width=within(width), colour=colour)
    lines = [line for row in worst_first(rows) for line in _row(page, row)] if len(rows) > 1 else []
    if len(rows) > 1:
        lines += [*page.text(_tally(rows), style=BOLD)]
    if taken:
        has = "poster has" if taken == 1 else "posters have"
        lines += page.text(f"{taken} {has} not changed since the last run and came from there.")
    lines += page.text(f"Kept in {kept}")
    return "\n".join([*lines, *page.text(words.CAUTION, style=FAINT), ""])


def _row(page: Page, row: Row) -> Iterator[str]:
    said = row.why if row.verdict == "unreadable" else f"{row.check}: {row.says}" if row.check else "no findings"
    style = VERDICT_COLOURS.get(row.verdict, BOLD)
    yield from page.hung(row.verdict, row.file, at=_VERDICT_WIDTH, indent=0, label_style=style)
    yield from page.text(said, indent=_VERDICT_WIDTH, style=FAINT)


def _tally(rows: Sequence[Row]) -> str:
    count = {verdict: sum(row.verdict == verdict for row in rows) for verdict in ("pass", "fail", "unreadable")}
    parts = [f"{count['pass']} pass", f"{count['fail']} fail"]
    if count["unreadable"]:
        parts.append(f"{count['unreadable']} could not be read")
    return f"{len(rows)} posters: {', '.join(parts)}."
