"""`audit --out`: a folder of drafts audited into a folder of documents, taken up again, and stopped."""

import csv
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import jsonschema
import pytest

from standback.__main__ import run
from standback.batch import Outcome, Task, audit_all
from standback.reports.as_json import audit_schema
from standback.workers import Pool
from synth import draw_poster, measuring_faces

SIZE_MM = (105.0, 148.0)


@pytest.fixture(scope="module")
def drafts(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("drafts")
    for seed in (4, 7):
        draw_poster(seed, "flat", measuring_faces(), size_mm=SIZE_MM, ppi=100.0).save(folder / f"draft-{seed}.png")
    (folder / "empty.png").touch()
    return folder


@pytest.fixture(scope="module")
def kept(drafts: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("kept") / "out"
    assert audit(drafts, out) == 3
    return out


def audit(*options: str | Path, jobs: int = 1) -> int:
    drafts, out, *more = map(str, options)
    return run(["audit", drafts, "--out", out, "--jobs", str(jobs), "--quiet", *more])


def test_each_poster_has_its_documents_and_all_have_theirs(kept: Path) -> None:
    for seed in (4, 7):
        names = {path.name for path in (kept / f"draft-{seed}").iterdir()}
        assert names == {"report.json", "page.html", "proof.png", "thumbnail.png"}
        report = json.loads((kept / f"draft-{seed}" / "report.json").read_bytes())
        jsonschema.validate(report, audit_schema())
        assert len(report["posters"]) == 1
    assert {path.name for path in kept.iterdir()} == {
        "draft-4", "draft-7", "index.html", "posters.csv", "junit.xml"
    }  # fmt: skip


def test_the_wall_leads_to_all_of_it(kept: Path) -> None:
    wall = (kept / "index.html").read_text(encoding="utf-8")
    for name in ("draft-4/page.html", "draft-7/proof.png", "draft-7/report.json"):
        assert f'href="{name}"' in wall
        assert (kept / name).is_file()
    assert wall.count("data:image/jpeg") == 2
    assert "empty" in wall


def test_the_table_and_the_log_agree_with_the_reports(kept: Path) -> None:
    with (kept / "posters.csv").open(encoding="utf-8", newline="") as stream:
        lines = list(csv.DictReader(stream))
    reports = [json.loads((kept / f"draft-{seed}" / "report.json").read_bytes())["posters"][0] for seed in (4, 7)]
    assert [line["verdict"] for line in lines] == [*(report["verdict"] for report in reports), "unreadable"]
    suite = ElementTree.parse(kept / "junit.xml").getroot()
    assert suite.get("errors") == "1"
    assert suite.get("failures") == str(sum(report["verdict"] == "fail" for report in reports))


def test_an_unchanged_draft_is_not_audited_again(kept: Path, drafts: Path) -> None:
    before = {path: path.stat().st_mtime_ns for path in kept.glob("draft-*/report.json")}
    assert audit(drafts, kept, "--resume") == 3
    assert {path: path.stat().st_mtime_ns for path in before} == before
    with (kept / "posters.csv").open(encoding="utf-8", newline="") as stream:
        assert len(list(csv.DictReader(stream))) == 3


def test_a_changed_draft_or_setting_is_audited_again(kept: Path, drafts: Path, tmp_path: Path) -> None:
    from standback import keeping
    from standback.reports import as_json
    from standback.settings import Settings

    file = str(drafts / "draft-4.png")
    folder = keeping.Keeping.at(str(kept), [file], force=False)
    block = as_json.settings_block(Settings())
    assert folder.read(file, block) is not None
    assert folder.read(file, as_json.settings_block(Settings(far_m=3.0))) is None
    changed = tmp_path / "draft-4.png"
    changed.write_bytes((drafts / "draft-4.png").read_bytes() + b"\0")
    assert keeping.sum_of(str(changed)) != keeping.sum_of(file)


def test_a_draft_saved_anew_meanwhile_is_audited_again(
    drafts: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    draft = Path(shutil.copy(drafts / "draft-4.png", tmp_path / "a.png"))

    def saved_meanwhile(files: list[str], task: Task, pool: Pool) -> Iterator[Outcome]:
        for outcome in audit_all(files, task, pool):
            draft.write_bytes(b"another draft")
            yield outcome

    monkeypatch.setattr("standback.cli.folder.audit_all", saved_meanwhile)
    assert run(["audit", str(draft), "--out", str(tmp_path / "kept"), "--quiet", "--gate", "off"]) == 0
    report = json.loads((tmp_path / "kept" / "a" / "report.json").read_bytes())
    assert report["posters"][0]["artwork"]["sha256"] is None
    monkeypatch.undo()
    assert run(["audit", str(draft), "--out", str(tmp_path / "kept"), "--quiet", "--resume"]) == 3


def test_no_file_of_somebody_else_is_replaced(drafts: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    theirs = tmp_path / "out" / "index.html"
    theirs.parent.mkdir()
    theirs.write_text("<p>mine", encoding="utf-8")
    assert audit(drafts, theirs.parent) == 2
    assert "index.html: that file exists and was not made by standback" in capsys.readouterr().err
    assert theirs.read_text(encoding="utf-8") == "<p>mine"
    assert list(theirs.parent.iterdir()) == [theirs]


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--resume"], "--resume goes with --out"),
        (["--out", "{here}/a/b"], "make that first"),
        (["--out", "{here}/file"], "that is a file"),
        (["--out", "{here}/out", "--proof", "{here}/p.png"], "leave --proof and --html out"),
    ],
)
def test_wrong_use_is_told(
    options: list[str], says: str, drafts: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").touch()
    args = [option.format(here=tmp_path) for option in options]
    assert run(["audit", str(drafts / "draft-4.png"), "--quiet", *args]) == 2
    assert says in capsys.readouterr().err


def test_two_drafts_of_one_name_have_a_folder_each(tmp_path: Path) -> None:
    from standback.keeping import Keeping

    names = Keeping.at(str(tmp_path / "out"), ["a/poster.png", "b/Poster.tif", "c/.png"], force=False).folder_of
    assert list(names.values()) == ["poster", "Poster-2", "png"]


@pytest.mark.skipif(sys.platform == "win32", reason="Ctrl-C can't be sent to one process there")
def test_ctrl_c_keeps_what_is_done(drafts: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    many = tmp_path / "many"
    many.mkdir()
    for number in range(30):
        (many / f"{number:02}.png").write_bytes((drafts / "draft-4.png").read_bytes())
    command = [sys.executable, "-m", "standback", "audit", str(many), "--out", str(out), "--jobs", "1", "--quiet"]
    process = subprocess.Popen(command, stderr=subprocess.PIPE, env={**os.environ}, text=True)
    until = time.monotonic() + 60
    while not (out / "01" / "report.json").exists() and time.monotonic() < until:
        time.sleep(0.05)
    process.send_signal(signal.SIGINT)
    _, told = process.communicate(timeout=60)
    assert process.returncode == 130
    assert "stopped after" in told and "Traceback" not in told
    with (out / "posters.csv").open(encoding="utf-8", newline="") as stream:
        done = len(list(csv.DictReader(stream)))
    assert 2 <= done < 30
    assert (out / "index.html").is_file()
