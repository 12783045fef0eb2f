"""`standback brief` and `standback audit --brief` over real files."""

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from cli.support import Program, draw
from standback import pipeline
from standback.brief.load import load_brief
from standback.brief.model import Brief
from standback.reports.as_json import audit_schema
from standback.sheet import parse_size

BRIEF = """\
[sheet]
size = "A3"
bleed = "3 mm"

[viewing]
from = "20 ft"

[limits]
text_ratio = 7

[[lines]]
name = "flower"
place = "across the top"
tier = "support"
"""


def audit(program: Program, *args: str | Path) -> Any:
    ended = program("audit", *args, "--json", "-")
    assert ended.err == ""
    report = json.loads(ended.out)
    jsonschema.validate(report, audit_schema())
    return report


def test_a_starter_is_printed_and_can_be_read(program: Program, faint: Path) -> None:
    ended = program("brief", faint)
    assert (ended.code, ended.err) == (0, "")
    Path("brief.toml").write_text(ended.out, encoding="utf-8")
    (line,) = load_brief("brief.toml").lines
    assert line.name == "line 1"
    assert program("brief", faint, "-o", "-").out == ended.out


@pytest.mark.parametrize("options", [(), ("--size", "A3"), ("--size", "216x303mm", "--from", "9.5ft")])
def test_a_starter_changes_no_verdict(program: Program, faint: Path, options: tuple[str, ...]) -> None:
    ended = program("brief", faint, *options, "-o", "brief.toml")
    assert (ended.code, ended.out, ended.err) == (0, "brief.toml\n", "")
    plain, briefed = audit(program, faint, *options), audit(program, faint, "--brief", "brief.toml")
    (poster,), (again,) = plain["posters"], briefed["posters"]
    assert again["artwork"].pop("size_from") == ("brief" if options else "file")
    assert poster["artwork"].pop("size_from") == ("option" if options else "file")
    assert [e.pop("name") for e in (*poster["elements"], *again["elements"])] == [None, "line 1"]
    assert again == poster


def test_a_starter_with_bleed_says_so(program: Program, faint: Path) -> None:
    program("brief", faint, "--bleed", "3mm", "--size", "204x291mm", "-o", "brief.toml")
    brief = load_brief("brief.toml")
    assert brief.sheet.bleed_mm == 3.0
    assert brief.sheet.size == parse_size("204x291mm")


def test_only_a_starter_as_we_left_it_is_replaced(program: Program, good: Path, faint: Path) -> None:
    assert program("brief", good, "-o", "brief.toml").code == 0
    assert program("brief", faint, "-o", "brief.toml").code == 0, "ours: replaced"
    mine = Path("brief.toml").read_text(encoding="utf-8").replace('wording = ""', 'wording = "Dahlias"')
    Path("brief.toml").write_text(mine, encoding="utf-8")
    ended = program("brief", good, "-o", "brief.toml")
    assert (ended.code, ended.out) == (2, "")
    assert ended.error_lines == [
        "standback: --output brief.toml: that file has been changed since standback made it; give another "
        "name, or --force to replace it"
    ]
    assert Path("brief.toml").read_text(encoding="utf-8") == mine
    assert program("brief", good, "-o", "brief.toml", "--force").code == 0
    assert program("brief", good, "-o", good, "--force").code == 2, "never over the artwork"


@pytest.mark.parametrize("name", ["missing.png", "."])
def test_an_artwork_that_cannot_be_read_is_exit_3(program: Program, folder: Path, name: str) -> None:
    ended = program("brief", name, "-o", "brief.toml")
    assert (ended.code, ended.out) == (3, "")
    (line,) = ended.error_lines
    assert line.startswith(f"standback: {name}: ")
    assert not Path("brief.toml").exists()


def test_a_fault_of_ours_is_exit_70(program: Program, good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError("private detail")

    monkeypatch.setattr(pipeline, "audit_artwork", fail)
    ended = program("brief", good)
    assert (ended.code, ended.out, len(ended.error_lines)) == (70, "", 1)
    assert "ZeroDivisionError: private detail" in program("brief", good, "--debug").err


def test_a_starter_of_a_blank_sheet_has_no_lines(program: Program, folder: Path) -> None:
    blank = draw(folder / "blank.png", ink="white")
    assert program("brief", blank, "-o", "brief.toml").code == 0
    assert load_brief("brief.toml") == Brief()
    assert program("audit", blank, "--brief", "brief.toml").code == 1


def test_an_option_outranks_the_brief_and_the_brief_a_default(program: Program, good: Path) -> None:
    Path("brief.toml").write_text(BRIEF)
    report = audit(program, good, "--brief", "brief.toml")
    (poster,) = report["posters"]
    assert report["settings"]["from_brief"] == ["size", "bleed_mm", "far_m", "limits"]
    assert report["settings"]["limits"]["text_ratio"] == 7
    assert report["settings"]["brief"]["file"] == "brief.toml"
    assert poster["artwork"]["size_from"] == "brief"
    assert (poster["artwork"]["width_mm"], poster["artwork"]["bleed_mm"]) == (297, 3)
    assert poster["stations"][0]["distance_m"] == 6.096
    assert poster["far_assumed"] is False
    (element,) = poster["elements"]
    assert (element["tier"], element["tier_from"], element["name"]) == ("support", "brief", "flower")

    options = ("--size", "A4", "--bleed", "0mm", "--from", "3m")
    report = audit(program, good, "--brief", "brief.toml", *options)
    (poster,) = report["posters"]
    assert report["settings"]["from_brief"] == ["limits"]
    assert poster["artwork"]["size_from"] == "option"
    assert (poster["artwork"]["width_mm"], poster["artwork"]["bleed_mm"]) == (210, 0)
    assert poster["stations"][0]["distance_m"] == 3


def test_a_brief_holds_for_every_poster_of_a_batch(program: Program, good: Path, faint: Path) -> None:
    Path("brief.toml").write_text(
        '[[waivers]]\ncheck = "faint-text"\nreason = "only a sketch"\n[[remarks]]\nplace = "bottom"\ntext = "a vase"\n'
    )
    report = audit(program, good, faint, "--brief", "brief.toml", "--jobs", "2")
    unused, used = report["posters"]
    assert unused["unmatched"] == ["brief.toml, line 1: the waiver (faint-text) matches no finding: take it out"]
    assert used["unmatched"] == []
    assert [f["waived"] for f in used["findings"] if f["check"] == "faint-text"] == ["only a sketch"]
    assert [[r["text"] for r in poster["remarks"]] for poster in report["posters"]] == [["a vase"]] * 2


@pytest.mark.parametrize(
    ("brief", "says"),
    [
        ("[sheet]\nsise = 'A2'", "line 2, column 1: there is no key 'sise' in [sheet]; did you mean 'size'?"),
        ("[sheet]\nsize = 3", "line 2, column 8: "),
        ("[viewing]\nfrom = '5'", "line 2, column 8: from: '5' has no unit"),
        ("[[lines]\n", "line 1, column "),
    ],
)
def test_a_wrong_brief_is_exit_2_with_line_and_column(
    program: Program, good: Path, monkeypatch: pytest.MonkeyPatch, brief: str, says: str
) -> None:
    Path("brief.toml").write_text(brief)
    monkeypatch.setattr(pipeline, "audit_artwork", lambda *_: pytest.fail("the audit ran"))
    ended = program("audit", good, "--brief", "brief.toml", "--json", "report.json")
    assert (ended.code, ended.out) == (2, "")
    (line,) = ended.error_lines
    assert line.startswith(f"standback: brief.toml, {says}")
    assert not Path("report.json").exists()


def test_no_output_goes_over_the_brief(program: Program, good: Path) -> None:
    Path("brief.toml").write_text("")
    for option in ("--json", "--proof"):
        ended = program("audit", good, "--brief", "brief.toml", option, "brief.toml", "--force")
        assert ended.code == 2
        assert "that is the brief itself" in ended.err
    assert Path("brief.toml").read_text() == ""


def test_a_size_of_another_shape_sends_people_to_the_brief(program: Program, good: Path) -> None:
    Path("brief.toml").write_text('[sheet]\nsize = "500x500mm"')
    ended = program("audit", good, "--brief", "brief.toml")
    assert ended.code == 3
    assert "check the size in the brief and --bleed" in ended.err
