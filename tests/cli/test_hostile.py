"""Names and notes that are meant for a terminal, a browser or a spreadsheet, and things that are no files."""

import csv
import json
import os
import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PIL import Image

from artwork_files import described
from cli.support import Program, draw
from fuzzing.corpus import rgb_profile
from standback.keeping import Keeping

NAME = "=<img src=x onerror=alert(1)>\"&'\x1b]0;me\x07\x9b2J\n\u202e\u2066.png"
HARMFUL = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")
"""Control characters but the line end, and those that turn the direction of text."""


class Tags(HTMLParser):
    """The elements of a page with their attributes."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))


@pytest.fixture
def hostile(folder: Path) -> Path:
    """A faint poster with such a name, and with markup for the name of its profile."""
    path = draw(folder / NAME, ink="#ebebeb")
    profile = rgb_profile().replace(described(b"Made up"), described(b"<u>\x1b[1m"))
    with Image.open(path) as poster:
        poster.load()
    poster.save(path, dpi=(50, 50), icc_profile=profile)
    return path


def test_nothing_that_is_written_of_a_hostile_name_does_harm(program: Program, hostile: Path, folder: Path) -> None:
    Path("empty" + NAME).mkdir()
    ended = program("audit", hostile.name, "empty" + NAME, "--out", "kept")
    assert ended.code == 3
    (own,) = (path for path in Path("kept").iterdir() if path.is_dir())
    assert not HARMFUL.search(own.name)
    written = [ended.out, ended.err]
    for path in (Path("kept/index.html"), Path("kept/posters.csv"), Path("kept/junit.xml"), own / "page.html"):
        written.append(path.read_bytes().decode("utf-8").replace("\r\n", "\n"))
    written.append((own / "report.json").read_text(encoding="utf-8"))
    for text in written:
        assert not HARMFUL.search(text)

    for page in ("kept/index.html", own / "page.html"):
        tags = Tags(Path(page).read_text(encoding="utf-8")).found
        assert all("onerror" not in attributes and attributes.get("src") != "x" for _, attributes in tags)
        assert "u" not in {tag for tag, _ in tags}
        (policy,) = (a["content"] for _, a in tags if a.get("http-equiv") == "Content-Security-Policy")
        assert policy is not None and "default-src 'none'" in policy
        assert "unsafe" not in policy and "http" not in policy
    with Path("kept/posters.csv").open(encoding="utf-8", newline="") as table:
        assert all(not cell.startswith(("=", "+", "-", "@")) for row in csv.reader(table) for cell in row)
    cases = ElementTree.parse("kept/junit.xml").getroot().findall("testcase")
    assert [case.get("name") for case in cases] == [
        "=<img src=x onerror=alert(1)>\"&'?]0;me??2J ??.png",
        "empty=<img src=x onerror=alert(1)>\"&'?]0;me??2J ??.png",
    ]
    assert json.loads(written[-1])["posters"][0]["file"] == NAME


@pytest.mark.parametrize("command", ["audit --json -", "brief -o -", "explain", "view --from 5m -o seen.png"])
def test_nothing_that_is_printed_of_a_hostile_name_does_harm(program: Program, hostile: Path, command: str) -> None:
    name, *options = command.split()
    element = ["L01"] if name == "explain" else []
    ended = program(name, hostile.name, *element, *options)
    assert ended.code in (0, 1), ended.err
    assert not HARMFUL.search(ended.out + ended.err)


def test_nothing_that_a_hostile_brief_says_does_harm(program: Program, faint: Path, folder: Path) -> None:
    said = r"=<u>the\u001b[2Jtext\u202e\u009b2J"
    (folder / "brief.toml").write_text(
        f"""
        [[lines]]
        name = "{said}"
        box = [5, 5, 200, 290]
        wording = "{said}"
        [[figures]]
        name = "{said} too"
        box = [10, 200, 100, 290]
        [[waivers]]
        check = "faint-text"
        line = "{said}"
        reason = "{said}"
        [[remarks]]
        place = "top right"
        text = "{said}"
        """,
        encoding="utf-8",
    )
    ended = program("audit", faint.name, "--brief", "brief.toml", "--html", "page.html", "--json", "report.json")
    assert ended.code in (0, 1), ended.err
    page = (folder / "page.html").read_text(encoding="utf-8")
    for text in (ended.out, ended.err, page, (folder / "report.json").read_text(encoding="utf-8")):
        assert not HARMFUL.search(text)
    assert ended.out.count("=<u>the?[2Jtext??2J") >= 3  # the wording, the reason and the remark
    assert "u" not in {tag for tag, _ in Tags(page).found}


def test_a_pipe_among_the_drafts_is_not_waited_for(folder: Path) -> None:
    Path("in").mkdir()
    os.mkfifo("in/a.png")
    os.mkfifo("in/b.psd")
    code = "from standback.batch import listed; print(*listed(['in'], deep=False))"
    ended = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=30)
    assert ended.stdout.split() == ["in/a.png", "in/b.psd"]  # and each is refused by itself


@pytest.mark.parametrize(
    "command", ["audit ?", "view ? --from 5m -o a.png", "brief ?", "explain ? T1", "compare ? b.png", "compare b.png ?"]
)
def test_an_empty_name_does_not_stand_for_this_folder(program: Program, folder: Path, command: str) -> None:
    ended = program(*(word.replace("?", "") for word in command.split()))
    assert ended.code == 2
    (line,) = ended.error_lines
    assert "there is an empty name; see that whatever stands for it is set" in line


def test_a_link_that_leads_back_to_itself_keeps_nothing(program: Program, good: Path, folder: Path) -> None:
    Path("loop").symlink_to("loop")
    ended = program("audit", good, "--out", "loop")
    assert ended.code == 2
    assert ended.error_lines == ["standback: --out loop: that is a link that leads nowhere; give the name of a folder"]


def test_names_that_a_disk_would_not_take(folder: Path) -> None:
    files = ["con.png", "LPT1.tif.png", "é" * 120 + ".png", "b. .png", "c?.png", "c*.png", "...", "d\udcff.png"]
    names = Keeping.at("kept", files, force=False).folder_of
    assert [names[file] for file in files] == ["_con", "_LPT1.tif", "é" * 100, "b", "c_", "c_-2", "poster", "d_"]
