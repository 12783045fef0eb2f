"""`standback compare` on real small files: exit codes, where it is judged from, what is written."""

import json
from pathlib import Path

import pytest

from cli.support import Program, draw


def test_a_faint_word_mended(program: Program, good: Path, faint: Path) -> None:
    ended = program("compare", faint, good, "--json", "compare.json")
    assert (ended.code, ended.err) == (0, "")
    assert "pass  nothing got worse, and the redraft passes\n" in ended.out
    assert "Too little contrast" in ended.out
    document = json.loads(Path("compare.json").read_text())
    assert next((f["fate"], f["check"]) for f in document["findings"]) == ("mended", "faint-text")
    assert [(e["before"], e["after"]) for e in document["elements"] if e["kind"] == "line"] == [("L01", "L01")]
    again = program("compare", faint, good, "--json", "compare.json")
    assert again.code == 0, "a file of ours is replaced"


def test_a_page(program: Program, good: Path, faint: Path) -> None:
    ended = program("compare", faint, good, "--html", "compare.html")
    assert (ended.code, ended.err) == (0, "")
    first = Path("compare.html").read_bytes()
    assert first.startswith(b"<!doctype html>")
    assert b"L01, before" in first
    assert program("compare", faint, good, "--html", "compare.html").code == 0, "a page of ours is replaced"
    assert Path("compare.html").read_bytes() == first
    ended = program("compare", faint, good, "--html", "one.html", "--json", "one.html")
    assert (ended.code, len(ended.error_lines)) == (2, 1)


def test_the_other_way_round_is_worse(program: Program, good: Path, faint: Path) -> None:
    ended = program("compare", good, faint)
    assert (ended.code, ended.err) == (1, "")
    assert "got worse, and the redraft fails\n" in ended.out
    assert program("compare", good, faint, "--gate", "off").code == 0


def test_both_are_judged_from_where_the_later_is_met(program: Program, good: Path, folder: Path) -> None:
    larger = draw(folder / "larger.png", ppi=25)
    document = json.loads(program("compare", larger, good, "--json", "-").out)
    assert {document[draft]["stations"][0]["distance_m"] for draft in ("before", "after")} == {2.5}
    assert document["after"]["far_assumed"]
    given = json.loads(program("compare", larger, good, "--from", "4m", "--json", "-").out)
    assert {given[draft]["stations"][0]["distance_m"] for draft in ("before", "after")} == {4.0}
    assert given["settings"]["far_m"] == 4.0


def test_a_draft_that_can_not_be_read(program: Program, good: Path, folder: Path) -> None:
    (folder / "torn.png").write_bytes(b"\x89PNG\r\n\x1a\n")
    ended = program("compare", "torn.png", good)
    assert (ended.code, ended.out) == (3, "")
    assert len(ended.error_lines) == 1
    assert "torn.png: " in ended.error_lines[0]
    both = program("compare", "torn.png", "missing.png", "--json", "-")
    assert (both.code, len(both.error_lines)) == (3, 2)
    assert [draft["file"] for draft in json.loads(both.out)["unreadable"]] == ["torn.png", "missing.png"]


def test_never_over_a_draft(program: Program, good: Path, faint: Path) -> None:
    for draft in (good, faint):
        ended = program("compare", faint, good, "--json", draft, "--force")
        assert (ended.code, len(ended.error_lines)) == (2, 1)
        assert "the artwork itself" in ended.err


@pytest.mark.parametrize("args", [(), ("one.png",), ("one.png", "two.png", "three.png"), ("a.png", "b.png", "--html")])
def test_wrong_usage_is_one_line(program: Program, folder: Path, args: tuple[str, ...]) -> None:
    ended = program("compare", *args)
    assert (ended.code, ended.out) == (2, "")
    assert len(ended.error_lines) == 1
