"""`standback audit` over real files: verdicts, exit codes, files written, bad files among good ones."""

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, cast

import jsonschema
import pytest
from PIL import Image

from cli.support import Program, draw
from standback import pipeline
from standback.reports.as_json import audit_schema


def read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


def test_a_good_poster_passes(program: Program, good: Path) -> None:
    ended = program("audit", good)
    assert ended.code == 0
    assert ended.err == ""
    assert "5 m" not in ended.out or "2.5 m" in ended.out
    assert "\x1b" not in ended.out


@pytest.mark.parametrize(("gate", "code"), [("fail", 1), ("warn", 1), ("off", 0)])
def test_a_faint_poster_fails_at_its_gate(program: Program, faint: Path, gate: str, code: int) -> None:
    ended = program("audit", faint, "--gate", gate)
    assert ended.code == code
    assert ended.err == ""


def test_quiet_prints_nothing(program: Program, faint: Path) -> None:
    ended = program("audit", faint, "--quiet")
    assert (ended.code, ended.out, ended.err) == (1, "", "")


def test_options_reach_the_audit(program: Program, good: Path) -> None:
    ended = program("audit", good, "--size", "A3", "--from", "10ft", "--json", "-")
    (poster,) = json.loads(ended.out)["posters"]
    assert (poster["artwork"]["width_mm"], poster["artwork"]["height_mm"]) == (297, 420)
    assert poster["artwork"]["size_from"] == "option"
    assert poster["stations"][0] == {"name": "far", "distance_m": 3.048}
    assert poster["far_assumed"] is False


def test_json_and_proof_are_written_beside_the_report(program: Program, faint: Path) -> None:
    ended = program("audit", faint, "--json", "report.json", "--proof", "proof.png")
    assert ended.code == 1
    assert ended.out, "the report is printed too"
    report = read(Path("report.json"))
    jsonschema.validate(report, audit_schema())
    assert report["exit_code"] == 1
    assert report["posters"][0]["file"] == str(faint)
    with Image.open("proof.png") as proof:
        proof.load()
        assert proof.format == "PNG"
    assert program("audit", faint, "--json", "report.json", "--proof", "proof.png").code == 1, "ours: replaced"


def test_json_to_stdout_replaces_the_report(program: Program, good: Path, faint: Path) -> None:
    ended = program("audit", good, faint, "--json", "-")
    assert ended.code == 1, "the worst of a batch decides"
    report = json.loads(ended.out)
    jsonschema.validate(report, audit_schema())
    assert [poster["file"] for poster in report["posters"]] == [str(good), str(faint)]
    assert [poster["verdict"] for poster in report["posters"]] == ["pass", "fail"]


def test_the_same_run_gives_the_same_bytes(program: Program, faint: Path, good: Path) -> None:
    first = program("audit", faint, good, "--json", "-", "--jobs", "1").out
    assert program("audit", faint, good, "--json", "-", "--jobs", "2").out == first


def test_the_page_is_written_and_replaced_as_long_as_nobody_changed_it(program: Program, faint: Path) -> None:
    page = Path("page.html")
    assert program("audit", faint, "--html", page).code == 1
    html = page.read_text(encoding="utf-8")
    assert html.startswith("<!doctype html>")
    assert "Too little contrast" in html
    assert program("audit", faint, "--html", page).code == 1, "ours: replaced"
    assert page.read_text(encoding="utf-8") == html, "the same run gives the same bytes"
    page.write_text(html.replace("Too little contrast", "Not enough contrast"), encoding="utf-8")
    ended = program("audit", faint, "--html", page)
    assert ended.code == 2
    assert "has been changed since standback made it" in ended.err


@pytest.mark.parametrize("option", ["--proof", "--html"])
def test_a_proof_and_a_page_are_for_one_artwork(program: Program, good: Path, faint: Path, option: str) -> None:
    for named in ((good, faint), (good.parent,)):
        ended = program("audit", *named, option, "out")
        assert ended.code == 2
        assert ended.error_lines == [f"standback: {option} is for one artwork, these are 2; use --out for many"]
    assert not Path("out").exists()


@pytest.mark.parametrize(
    ("option", "path", "says"),
    [
        ("--json", "good.png", "that is the artwork itself"),
        ("--proof", "./good.png", "that is the artwork itself"),
        ("--json", "notes.txt", "was not made by standback"),
        ("--json", "no/report.json", "its folder does not exist"),
        ("--json", ".", "that is a folder"),
        ("--json", "", "that is a folder"),
    ],
)
def test_wrong_outputs_are_refused_before_the_audit(
    program: Program, good: Path, monkeypatch: pytest.MonkeyPatch, option: str, path: str, says: str
) -> None:
    Path("notes.txt").write_text("mine")
    before = good.read_bytes()
    monkeypatch.setattr(pipeline, "audit_artwork", lambda *_: pytest.fail("the audit ran"))
    ended = program("audit", good, option, path)
    assert ended.code == 2
    (line,) = ended.error_lines
    assert line.startswith(f"standback: {option} {path}: ")
    assert says in line
    assert good.read_bytes() == before
    assert Path("notes.txt").read_text() == "mine"


def test_force_replaces_a_foreign_file_but_never_the_artwork(program: Program, good: Path) -> None:
    Path("notes.txt").write_text("mine")
    assert program("audit", good, "--json", "notes.txt", "--force").code == 0
    assert read(Path("notes.txt"))["schema"] == "standback.audit/1"
    assert program("audit", good, "--json", good, "--force").code == 2


def test_json_and_proof_need_two_names(program: Program, good: Path) -> None:
    ended = program("audit", good, "--json", "out", "--proof", "out")
    assert ended.code == 2
    assert "names the same file" in ended.err


def empty(path: Path) -> None:
    path.touch()


def text(path: Path) -> None:
    path.write_text("not a picture")


def truncated(path: Path) -> None:
    draw(path)
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def sizeless(path: Path) -> None:
    draw(path, ppi=None)


def folder_named_like_a_file(path: Path) -> None:
    path.mkdir()


def missing(_: Path) -> None:
    pass


def loop(path: Path) -> None:
    path.symlink_to(path)


def pipe(path: Path) -> None:
    os.mkfifo(path)


BAD = [empty, text, truncated, sizeless, folder_named_like_a_file, missing, loop, pipe]


@pytest.mark.parametrize("make", BAD)
def test_a_bad_file_is_told_in_one_line(program: Program, folder: Path, make: Callable[[Path], None]) -> None:
    bad = folder / "bad.png"
    make(bad)
    ended = program("audit", bad, "--json", "-")
    assert ended.code == 3
    (line,) = ended.error_lines
    assert line.startswith(f"standback: {bad}: ")
    assert "Error" not in line
    report = json.loads(ended.out)
    jsonschema.validate(report, audit_schema())
    assert report["posters"] == []
    assert report["exit_code"] == 3
    assert line == f"standback: {bad}: {report['unreadable'][0]['why']}"


def test_bad_files_never_end_the_batch(program: Program, faint: Path) -> None:
    bad = [faint.with_name(f"{make.__name__}.png") for make in BAD]
    for make, path in zip(BAD, bad, strict=True):
        make(path)
    ended = program("audit", *bad, faint, "--json", "-", "--jobs", "2")
    assert ended.code == 3, "what can't be read outranks findings"
    report = json.loads(ended.out)
    assert [poster["file"] for poster in report["posters"]] == [str(faint)]
    assert [told["file"] for told in report["unreadable"]] == [str(path) for path in bad]
    assert len(ended.error_lines) == len(bad)


def test_no_size_names_the_trade_sizes_that_fit(program: Program, folder: Path) -> None:
    ended = program("audit", draw(folder / "poster.png", ppi=None))
    assert ended.code == 3
    assert "A0 to A6" in ended.err
    assert "--size" in ended.err


def test_an_empty_folder_is_exit_3(program: Program, folder: Path) -> None:
    (folder / "empty").mkdir()
    ended = program("audit", "empty")
    assert ended.code == 3
    assert ended.error_lines[0].startswith("standback: empty: there was no artwork in it")


def test_the_pixel_limit(program: Program, good: Path) -> None:
    ended = program("audit", good, "--max-megapixels", "0.1")
    assert ended.code == 3
    assert "--max-megapixels" in ended.err


def test_a_blank_sheet_is_audited(program: Program, folder: Path) -> None:
    Image.new("RGB", (300, 420), "white").save(folder / "blank.png")
    ended = program("audit", "blank.png", "--size", "A4", "--json", "-")
    assert ended.code == 1
    (poster,) = json.loads(ended.out)["posters"]
    assert [finding["check"] for finding in poster["findings"]] == ["nothing-found", "coarse-artwork"]


@pytest.mark.parametrize("name", ["\x1b[2J.png", "a\nb.png", "\u202egnp.exe.png", "bad\udcffname.png"])
def test_odd_file_names_are_shown_harmlessly(program: Program, folder: Path, name: str) -> None:
    draw(folder / name)
    shown = program("audit", name)
    told = program("audit", "missing" + name)
    assert (shown.code, told.code) == (0, 3)
    assert len(told.error_lines) == 1
    for char in "\x1b\u202e\udcff":
        assert char not in shown.out + told.out + told.err
    assert program("audit", name, "--json", "report.json", "--quiet").code == 0
    assert read(folder / "report.json")["posters"][0]["file"] == name


def test_a_fault_of_ours_costs_its_own_file(
    program: Program, good: Path, faint: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    audit = pipeline.audit_artwork

    def fail_on_faint(artwork: Any, settings: Any) -> Any:
        if artwork.file == str(faint):
            raise ZeroDivisionError("private detail")
        return audit(artwork, settings)

    monkeypatch.setattr(pipeline, "audit_artwork", fail_on_faint)
    # workers are processes of their own that the fault above does not reach
    monkeypatch.setattr("standback.batch._audited_elsewhere", lambda files, task, _: _one_by_one(files, task))
    ended = program("audit", faint, good, "--json", "-")
    assert ended.code == 70
    (line,) = ended.error_lines
    assert line.startswith(f"standback: {faint}: standback failed on it")
    report = json.loads(ended.out)
    jsonschema.validate(report, audit_schema())
    assert report["exit_code"] == 70
    assert [poster["file"] for poster in report["posters"]] == [str(good)]
    assert "private detail" not in ended.out

    for args in (("--debug", "audit", faint), ("audit", faint, "--debug")):
        ended = program(*args)
        assert ended.code == 70
        assert "ZeroDivisionError: private detail" in ended.err


def _one_by_one(files: Any, task: Any) -> Any:
    from standback.batch import audit_file

    return (audit_file(file, task) for file in files)


@pytest.mark.parametrize("debug", [False, True])
def test_any_other_fault_of_ours_is_exit_70(
    program: Program, good: Path, monkeypatch: pytest.MonkeyPatch, debug: bool
) -> None:
    def break_down(*_: object, **__: object) -> None:
        raise RuntimeError("private detail")

    monkeypatch.setattr("standback.batch.listed", break_down)
    ended = program("audit", good, *(["--debug"] if debug else []))
    assert ended.code == 70
    assert ended.error_lines[0].startswith("standback: a fault of standback's own stopped it")
    assert ("RuntimeError: private detail" in ended.err) is debug


def test_want_of_memory_is_no_fault_of_ours(program: Program, good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def starve(*_: object) -> None:
        raise MemoryError

    monkeypatch.setattr(pipeline, "audit_artwork", starve)
    ended = program("audit", good)
    assert ended.code == 3
    assert "not enough memory" in ended.err


def test_ctrl_c_ends_with_a_line(program: Program, good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(pipeline, "audit_artwork", interrupt)
    ended = program("audit", good, "--json", "report.json")
    assert ended.code == 130
    assert ended.err.strip() == "standback: stopped; nothing more is written"
    assert not Path("report.json").exists()


def test_a_report_is_still_printed_if_a_file_fails_at_the_end(
    program: Program, good: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    ended = program("audit", good, "--json", "report.json")
    assert ended.code == 2
    assert ended.out
    assert ended.error_lines == ["standback: --json report.json: it could not be written (no space left on device)"]


def test_who_looks_and_in_what_light_decides(program: Program, good: Path) -> None:
    def read(*sight: str) -> dict[str, Any]:
        ended = program("audit", good, "--json", "-", *sight)
        return cast(dict[str, Any], json.loads(ended.out)["posters"][0])

    plain, dim, older = read(), read("--light", "20"), read("--age", "75", "--acuity", "20/40")
    reach_m = [
        [line["reach_m"] for line in poster["elements"] if line["kind"] == "line"] for poster in (plain, dim, older)
    ]
    assert all(a > b for a, b in zip(reach_m[0], reach_m[1], strict=True))
    assert all(a > b for a, b in zip(reach_m[0], reach_m[2], strict=True))
    assert older["viewers"][0]["k"] == pytest.approx(4 * 10**0.14, rel=1e-4)
    Path("brief.toml").write_text("[viewing]\nviewer = 'low-vision'\n")
    low = read("--brief", "brief.toml")
    assert low["judged_for"] == "low-vision"
    for line in (e for e in low["elements"] if e["kind"] == "line"):
        assert line["reach_m"] == next(r["m"] for r in line["reach"] if r["viewer"] == "low-vision")
