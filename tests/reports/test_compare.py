"""What became of a poster, as text and as JSON."""

import json
import re
from dataclasses import replace
from typing import Any

import jsonschema
import pytest

from drafts.made import detail, draft, text
from standback.drafts import compared
from standback.drafts.model import Comparison, Run
from standback.findings import Unreadable
from standback.measure.model import Measurement
from standback.reports import compare_json, compare_words
from standback.reports.compare_text import render
from standback.reports.jsonable import schema_of
from standback.reports.wrapping import columns
from standback.settings import Settings

VALIDATOR = jsonschema.Draft202012Validator(schema_of("standback.compare/1"))

BEFORE = draft(
    [
        text("L01", y_mm=50, cap_mm=60, tier="lead", reach_m=18),
        text("L02", y_mm=200, ratio=2.5, reach_m=1.5),
        text("L03", y_mm=300, ratio=9.0),
        text("L04", y_mm=400, jnd=5.0),
    ],
    [detail("D01", resolve_m=2.0)],
    file="first.png",
)
AFTER = draft(
    [
        text("L01", y_mm=90, cap_mm=60, tier="lead", reach_m=18),
        text("L02", y_mm=200, ratio=7.25, reach_m=2.75),
        text("L03", y_mm=300, ratio=3.5),
        text("L04", y_mm=400, jnd=5.0),
        text("L05", y_mm=500, jnd=2.0),
    ],
    file="second.png",
)
COMPARISON = compared(BEFORE, AFTER)

SAID = """\
first.png → second.png
fail  2 things got worse, and the redraft fails
      both judged for a viewer 5 m away (given)
      printed A2 (420 × 594 mm), size as given

Of 3 findings 1 is mended, 1 went with what it was on and 1 stays; 1 is new. Before, 3 of 4 lines
could be read from where they should be; now 5 of 5 can.

Mended
  fail  Too little contrast
        L02 (centre, 20 mm capitals)
        contrast 2.5:1 → 7.25:1, needed 4.5:1
        Also reads from 1.5 m → 2.7 m, needed from 2 m.

Gone with its line or patch
  note  Detail lost from afar
        D01 (middle right)
        told apart from 2 m, needed from 5 m

Got worse
  warn  Too little contrast
        L03 (centre, 20 mm capitals)
        contrast 9:1 → 3.5:1, needed 4.5:1
        The ink is close to its ground: 3.5:1 where type that looks as small as this from 2 m asks
        for 4.5:1; it reads from 8 m at the most.

New
  fail  Not noticed from across the room
        L05 (bottom centre, 20 mm capitals)
        stands off by 2 × just visible, needed 3 × just visible
        From 5 m it is not noticed at all; it is noticed from 32 m.

Stayed
  warn  Not noticed from across the room
        L04 (bottom centre, 20 mm capitals)
        stands off by 5 × just visible, needed 6 × just visible

Otherwise changed
  L01 (top centre, 60 mm capitals): moved 40 mm down
  Not found in the redraft: 1 patch of fine detail.
  Only in the redraft: L05 (bottom centre, 20 mm capitals).

standback is no substitute for the codes and licensed practice that govern safety and accessibility
signs.
"""


def read(run: Run) -> dict[str, Any]:
    """Return the document as another program reads it, valid against the shipped schema."""
    document: dict[str, Any] = json.loads(compare_json.dumps(run))
    VALIDATOR.validate(document)
    return document


def run(comparison: Comparison) -> Run:
    return Run(settings=Settings(), comparison=comparison)


def test_the_whole_text() -> None:
    assert render(COMPARISON, width=100, colour=False) == SAID


def test_nothing_changed() -> None:
    one = draft([text()], file="one.png")
    said = render(compared(one, one), width=100, colour=False)
    assert "pass  nothing got worse, and the redraft passes\n" in said
    assert re.findall(r"^(\w[\w ]+)  nothing$", said, re.M) == [
        "Mended",
        "Got worse",
        "New",
        "Stayed",
        "Otherwise changed",
    ]


@pytest.mark.parametrize(
    ("before", "after", "verdict"),
    [
        (text(ratio=3.0), text(ratio=9.0), "nothing got worse, and the redraft passes"),
        (text(ratio=9.0), text(ratio=3.0), "1 thing got worse, though the redraft passes"),
        (text(jnd=2.0), text(jnd=2.0), "nothing got worse, but the redraft fails"),
    ],
)
def test_the_verdict(before: Measurement, after: Measurement, verdict: str) -> None:
    assert compare_words.verdict(compared(draft([before]), draft([after]))) == verdict


def test_the_verdict_without_a_gate() -> None:
    off = draft([text(jnd=2.0)], gate="off")
    assert compare_words.verdict(compared(off, off)) == "nothing got worse; the gate is off"


@pytest.mark.parametrize("width", [40, 66, 80, 120])
def test_no_line_is_wider_than_the_terminal(width: int) -> None:
    lines = render(COMPARISON, width=width, colour=False).splitlines()
    assert max(map(columns, lines)) <= width
    assert not any(line.endswith(" ") for line in lines)


def test_colour_adds_weight_and_no_other_word() -> None:
    coloured = render(COMPARISON, width=100, colour=True)
    assert "\x1b[1m" in coloured
    assert re.sub(r"\x1b\[[\d;]*m", "", coloured) == SAID


def test_what_a_terminal_must_not_see() -> None:
    said = render(replace(COMPARISON, before=replace(BEFORE, file="a\x1b[2J\n.png")), width=100, colour=False)
    assert "\x1b" not in said


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(schema_of("standback.compare/1"))


def test_the_document() -> None:
    document = read(run(COMPARISON))
    assert (document["schema"], document["verdict"], document["worse"], document["exit_code"]) == (
        "standback.compare/1",
        "fail",
        True,
        1,
    )
    assert [(o["fate"], o["check"], o["counts"]) for o in document["findings"]] == [
        ("mended", "faint-text", False),
        ("gone", "detail-lost", False),
        ("worse", "faint-text", True),
        ("new", "fades", True),
        ("stayed", "fades", False),
    ]
    mended = document["findings"][0]["faults"][0]
    assert (mended["element_before"], mended["element_after"], mended["after"]) == ("L02", "L02", None)
    assert (mended["measured_before"], mended["measured_after"], mended["needed_after"]) == (2.5, 7.25, 4.5)
    assert mended["before"]["severity"] == "fail"
    both = [(e["before"], e["after"]) for e in document["elements"]]
    assert both == [(f"L0{n}", f"L0{n}") for n in range(1, 5)] + [("D01", None), (None, "L05")]
    moved = document["elements"][0]
    assert moved["moved_mm"] == [0, 40]
    assert moved["ink"] == {"before": "#182642", "after": "#182642"}
    fallen = {v["name"]: v for v in document["elements"][2]["values"]}
    assert fallen["ratio"] == {"name": "ratio", "unit": "ratio", "before": 9, "after": 3.5, "worse": True}
    assert not fallen["reach_m"]["worse"]
    assert document["elements"][-1]["values"] == []


def test_the_document_of_what_can_not_be_read() -> None:
    torn = Unreadable(file="torn.png", why="the file ends before the picture does", trace=None)
    document = read(Run(settings=Settings(), comparison=None, unreadable=(torn,)))
    assert (document["exit_code"], document["verdict"], document["before"]) == (3, None, None)
    assert document["unreadable"] == [{"file": "torn.png", "why": "the file ends before the picture does"}]


def test_the_same_run_gives_the_same_bytes() -> None:
    assert compare_json.dumps(run(COMPARISON)) == compare_json.dumps(run(compared(BEFORE, AFTER)))
