"""Rows of many posters, and the table and test log made of them."""

import csv
import io
from xml.etree import ElementTree

from standback.outputs import TABLE_COLUMNS
from standback.reports.ledger import as_csv, as_junit
from standback.reports.rows import Row, unreadable_row, worst_first

PASSED = Row(file="b.png", folder="b", verdict="pass", notes=1, check="Read late", says="A line & more.")
FAILED = Row(
    file="a.png", folder="a", verdict="fail", fails=1, warns=2, check="Short reach", says='It says "<5 m>".',
    change="Set it 40 mm high.", shortfall=2.0, width_mm=420.0, height_mm=594.0, far_m=5.0,
)  # fmt: skip
WORSE = Row(file="c.png", folder="c", verdict="fail", fails=1, warns=2, shortfall=3.0)
UNREAD = unreadable_row("=cmd|' /C calc'!A0\x1b[31m.png", "it is empty: export it again")


def test_the_worst_comes_first_and_what_could_not_be_read_last() -> None:
    assert worst_first([UNREAD, PASSED, FAILED, WORSE]) == [WORSE, FAILED, PASSED, UNREAD]


def test_the_table_is_read_back_as_it_was() -> None:
    lines = list(csv.DictReader(io.StringIO(as_csv([FAILED, PASSED]))))
    assert tuple(lines[0]) == TABLE_COLUMNS
    assert [line["verdict"] for line in lines] == ["fail", "pass"]
    assert lines[0]["says"] == FAILED.says
    assert (lines[0]["width_mm"], lines[0]["fails"], lines[1]["width_mm"]) == ("420", "1", "")


def test_no_file_name_runs_as_a_formula_or_reaches_the_terminal() -> None:
    (line,) = csv.DictReader(io.StringIO(as_csv([UNREAD])))
    assert line["file"].startswith("'=cmd")
    assert "\x1b" not in line["file"]


def test_the_log_counts_failures_and_errors() -> None:
    suite = ElementTree.fromstring(as_junit([FAILED, PASSED, UNREAD]))
    assert (suite.get("tests"), suite.get("failures"), suite.get("errors")) == ("3", "1", "1")
    failed, passed, unread = suite.findall("testcase")
    failure, error = failed.find("failure"), unread.find("error")
    assert failure is not None and failure.get("message") == "Short reach"
    assert failure.text == 'It says "<5 m>". Set it 40 mm high.'
    assert len(passed) == 0
    assert error is not None and error.get("message") == UNREAD.why
    assert "\x1b" not in (unread.get("name") or "")
