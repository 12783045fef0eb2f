"""Rows as files for other programs: a table as CSV, and a test log as JUnit XML."""

import csv
import io
from collections.abc import Sequence
from xml.sax.saxutils import escape, quoteattr

from standback.outputs import TABLE_COLUMNS
from standback.reports.rows import Row
from standback.reports.wrapping import clean

_RUNS_AS_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def as_csv(rows: Sequence[Row]) -> str:
    """Return one line a poster behind a line of names (RFC 4180), in the order given.

    A text that a spreadsheet would run as a formula gets an apostrophe in front.
    """
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(TABLE_COLUMNS)
    for row in rows:
        writer.writerow(
            (
                _text(row.file), row.verdict, row.fails, row.warns, row.notes, _text(row.check), _text(row.says),
                _text(row.change), _number(row.width_mm), _number(row.height_mm), _number(row.far_m), _text(row.why),
                _text(row.folder or ""),
            )
        )  # fmt: skip
    return stream.getvalue()


def as_junit(rows: Sequence[Row]) -> str:
    """Return a test suite with a case a poster: a failure where it fails, an error where it can't be read."""
    failures, errors = (sum(row.verdict == verdict for row in rows) for verdict in ("fail", "unreadable"))
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<testsuite name="standback" tests="{len(rows)}" failures="{failures}" errors="{errors}" skipped="0">',
    ]
    for row in rows:
        case = f'  <testcase classname="standback.audit" name={_quoted(row.file)}'
        if row.verdict == "fail":
            what = escape(clean(" ".join(filter(None, (row.says, row.change)))))
            lines += [f"{case}>", f"    <failure message={_quoted(row.check)}>{what}</failure>", "  </testcase>"]
        elif row.verdict == "unreadable":
            lines += [f"{case}>", f"    <error message={_quoted(row.why)}/>", "  </testcase>"]
        else:
            lines.append(f"{case}/>")
    return "\n".join([*lines, "</testsuite>", ""])


def _text(text: str) -> str:
    said = clean(text)
    return f"'{said}" if said.startswith(_RUNS_AS_FORMULA) else said


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def _quoted(text: str) -> str:
    return quoteattr(clean(text))
