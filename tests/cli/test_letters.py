"""`standback letters`: a table, a document, and no artwork."""

import json
import re
import resource
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from cli.support import Program
from standback.letters.rules import RULES
from standback.letters.table import Type, heights_for, reaches_of
from standback.reports.jsonable import schema_of
from standback.reports.letters import render
from standback.reports.wrapping import columns
from standback.settings import Settings

VALIDATOR = jsonschema.Draft202012Validator(schema_of("standback.letters/1"))
MOST_CPU_S = 0.4
TYPE = Type(ratio=4.5, stroke_share=0.2)


def read(program: Program, *args: str) -> dict[str, Any]:
    ended = program("letters", *args, "--json", "-")
    assert (ended.code, ended.err) == (0, "")
    document: dict[str, Any] = json.loads(ended.out)
    VALIDATOR.validate(document)
    return document


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(schema_of("standback.letters/1"))


def test_a_row_of_distances(program: Program) -> None:
    document = read(program, "--from", "8m,10ft", "--contrast", "7:1", "--stroke", "0.1")
    assert document["settings"]["ratio"] == 7
    assert document["settings"]["stroke"] == 0.1
    assert [row["distance_m"] for row in document["rows"]] == [8, 3.048]
    assert list(document["rows"][0]) == ["distance_m", "limit_mm", "public_mm", "low_vision_mm", "older_mm"]
    assert document["reaches"] == []
    assert len(document["rules"]) == 2 * len(RULES)
    smith = next(rule for rule in document["rules"] if rule["name"] == "Printed, 9 readers in 10")
    assert smith == {"name": smith["name"], "source": smith["source"], "distance_m": 8, "height_mm": 24}


def test_a_height(program: Program) -> None:
    document = read(program, "--height", "10mm")
    assert document["rows"] == []
    assert list(document["reaches"][0]) == ["height_mm", "limit_m", "public_m", "low_vision_m", "older_m"]
    assert document["reaches"][0]["height_mm"] == 10
    assert {rule["height_mm"] for rule in document["rules"]} == {10}
    assert document["rules"][-1]["distance_m"] is None, "allowed nowhere"


def test_no_height_will_do(program: Program) -> None:
    document = read(program, "--from", "5m", "--contrast", "1.01")
    assert document["rows"][0] == dict.fromkeys(document["rows"][0]) | {"distance_m": 5}
    assert document["doubts"] == ["low-contrast"]
    ended = program("letters", "--from", "5m", "--contrast", "1.01")
    assert re.search(r"nine readers in ten \(public\) +none\n", ended.out)
    assert "Doubt: this contrast" in ended.out


def test_the_table_says_what_the_document_says(program: Program) -> None:
    ended = program("letters", "--from", "8m,5m")
    assert (ended.code, ended.err) == (0, "")
    rows = read(program, "--from", "8m,5m")["rows"]
    said = re.search(r"nine readers in ten \(public\) +(\d+) mm +(\d+) mm\n", ended.out)
    assert said is not None
    for text, row in zip(said.groups(), rows, strict=True):
        assert 0 <= int(text) - row["public_mm"] < 1, "rounded up"
    for rule in RULES:
        assert re.search(rf"{re.escape(rule.name)} +{re.escape(rule.short_source)} +\d", ended.out)


def test_who_looks_and_in_what_light_count(program: Program) -> None:
    usual = read(program, "--from", "5m")["rows"][0]
    dim = read(program, "--from", "5m", "--light", "30")["rows"][0]
    aged = read(program, "--from", "5m", "--age", "75")["rows"][0]
    blurred = read(program, "--from", "5m", "--acuity", "6/12")["rows"][0]
    assert dim["public_mm"] > usual["public_mm"]
    assert aged["public_mm"] == usual["older_mm"]
    assert blurred["public_mm"] == usual["low_vision_mm"]
    assert aged["limit_mm"] == usual["limit_mm"]
    said = " ".join(
        program("letters", "--from", "5m", "--light", "30lx", "--age", "80", "--acuity", "20/60").out.split()
    )
    assert "30 lx on the sheet, a public of 80 years, an acuity of logMAR 0.48 " in said
    assert "older readers, of 80 years" in said
    assert "readers of low vision, 6/18" in said


def test_a_file(program: Program, folder: Path) -> None:
    assert program("letters", "--height", "20mm", "--json", "letters.json").code == 0
    first = Path("letters.json").read_bytes()
    VALIDATOR.validate(json.loads(first))
    ended = program("letters", "--height", "20mm", "--json", "letters.json")
    assert ended.code == 0, "a file of ours is replaced"
    assert ended.out.startswith("How far letters 20 mm tall are read\n")
    assert Path("letters.json").read_bytes() == first
    Path("notes.json").write_text("{}")
    ended = program("letters", "--height", "20mm", "--json", "notes.json")
    assert (ended.code, ended.out) == (2, "")
    assert Path("notes.json").read_text() == "{}"
    assert program("letters", "--height", "20mm", "--json", "notes.json", "--force").code == 0


@pytest.mark.parametrize(
    "args",
    [
        (),
        ("--from", "5m", "--height", "20mm"),
        ("--from", "0m"),
        ("--from", "five"),
        ("--height", "-3mm"),
        ("--from", "5m", "--contrast", "1"),
        ("--from", "5m", "--contrast", "22"),
        ("--from", "5m", "--contrast", "nan"),
        ("--from", "5m", "--stroke", "0"),
        ("--from", "5m", "--stroke", "0.6"),
        ("--from", "5m", "poster.png"),
    ],
)
def test_wrong_usage_is_one_line(program: Program, args: tuple[str, ...]) -> None:
    ended = program("letters", *args)
    assert (ended.code, ended.out) == (2, "")
    assert len(ended.error_lines) == 1


@pytest.mark.parametrize("width", [40, 66, 80, 120])
def test_no_line_is_wider_than_the_terminal(width: int) -> None:
    for letters in (
        heights_for([100.0, 8, 5, 3, 2, 1, 0.5, 0.3], TYPE, Settings()),
        reaches_of(1000.0, TYPE, Settings()),
    ):
        lines = render(letters, width=width, colour=False).splitlines()
        assert max(map(columns, lines)) <= width
        assert not any(line.endswith(" ") for line in lines)


def test_colour_adds_weight_and_no_other_word() -> None:
    letters = heights_for([8.0], TYPE, Settings())
    coloured = render(letters, width=80, colour=True)
    assert "\x1b[1m" in coloured
    assert re.sub(r"\x1b\[\d*m", "", coloured) == render(letters, width=80, colour=False)


def test_it_answers_at_once() -> None:
    """Without what only an audit needs, and within the CPU time of a command that feels immediate."""
    code = (
        "import sys; from standback.__main__ import run; run(['letters', '--from', '8m', '--stroke', '0.1']); "
        "sys.exit(str(sorted({'scipy', 'skimage', 'PIL'} & sys.modules.keys())))"
    )
    times = []
    for _ in range(3):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        ended = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        assert ended.stderr == "[]\n"
        times.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    assert min(times) < MOST_CPU_S
