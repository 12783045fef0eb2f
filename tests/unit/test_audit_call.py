"""`standback.audit`: the audit for programs, silent, with the report that the command line writes."""

import doctest
import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import standback
import standback.auditing
from standback.errors import UnreadableError, UsageError
from standback.findings import PosterReport, Report
from standback.reports import as_json
from standback.settings import Settings
from synth import draw_poster, measuring_faces

SIZE_MM = (148.0, 210.0)


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    poster = draw_poster(4, "flat", measuring_faces(), size_mm=SIZE_MM, ppi=100.0)
    return poster.save(tmp_path_factory.mktemp("call") / "poster.png")


@pytest.fixture(scope="module")
def report(file: Path) -> PosterReport:
    return standback.audit(file, far_m=9.0)


def test_its_example_holds() -> None:
    assert doctest.testmod(standback.auditing).attempted >= 5
    assert doctest.testmod(standback.auditing).failed == 0


def test_it_says_what_the_command_line_says(file: Path, report: PosterReport, tmp_path: Path) -> None:
    written = tmp_path / "report.json"
    command = [sys.executable, "-m", "standback", "audit", str(file), "--from", "9m", "--quiet", "--json", str(written)]
    code = subprocess.run(command, check=False, env={**os.environ}).returncode
    by_program = json.loads(written.read_text(encoding="utf-8"))
    by_call = as_json.document(Report(settings=Settings(far_m=9.0), posters=(report,), unreadable=()))
    assert code == by_call["exit_code"] == 1
    for key in ("verdict", "summary", "findings", "elements", "artwork", "walk_up", "carries"):
        assert by_call["posters"][0][key] == by_program["posters"][0][key]


def test_pixels_say_what_their_file_says(file: Path, report: PosterReport) -> None:
    with Image.open(file) as image:
        pixels = np.asarray(image.convert("RGB"))
    facts = report.artwork
    again = standback.audit(pixels, size_mm=(facts.width_mm, facts.height_mm), far_m=9.0)
    assert [f.says for f in again.findings] == [f.says for f in report.findings]
    assert again.artwork.size_from == "option"


def test_it_prints_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    standback.audit(np.zeros((80, 60, 3), dtype=np.uint8), size_mm=(210.0, 280.0))
    assert capfd.readouterr() == ("", "")


def test_what_is_given_outranks_the_brief(tmp_path: Path) -> None:
    brief = tmp_path / "brief.toml"
    brief.write_text('[sheet]\nsize = "A2"\n[viewing]\nfrom = "8 m"\n', encoding="utf-8")
    blank = np.zeros((594, 420, 3), dtype=np.uint8)
    assert standback.audit(blank, brief=brief).stations[0].distance_m == 8.0
    assert standback.audit(blank, brief=brief, far_m=3.0).stations[0].distance_m == 3.0
    assert standback.audit(blank, brief=brief, size_mm=(297, 420)).artwork.width_mm == 297


def test_what_can_not_be_audited_is_raised(file: Path, tmp_path: Path) -> None:
    with pytest.raises(UnreadableError):
        standback.audit(tmp_path / "nothing.png")
    with pytest.raises(UsageError):
        standback.audit(file, brief=tmp_path / "nothing.toml")
    blank = np.zeros((50, 40, 3), dtype=np.uint8)
    with pytest.raises(ValueError, match="size_mm"):
        standback.audit(blank)
    with pytest.raises(ValueError, match="far_m"):
        standback.audit(blank, size_mm=(210, 297), far_m=0.0)
    with pytest.raises(ValueError, match="8-bit"):
        standback.audit(blank[..., 0], size_mm=(210, 297))


def test_only_what_is_there_can_be_had() -> None:
    with pytest.raises(AttributeError, match="nothing"):
        _ = standback.nothing
