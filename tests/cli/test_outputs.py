"""Output files: whole or not at all, never over an input, never over what others made."""

import json
import os
import stat
from pathlib import Path

import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from standback.errors import UsageError
from standback.outputs import Output, check_outputs, is_our_picture, made_by_us, stamped, stamped_page

OURS = json.dumps({"schema": "standback.audit/1", "posters": []})


def output(path: Path, *, force: bool = False) -> Output:
    return Output(option="--json", given=str(path), force=force)


def save_png(path: Path, software: str | None) -> Path:
    info = PngInfo()
    info.add_text("Title", "x" * 10_000)
    if software is not None:
        info.add_text("Software", software)
    Image.new("L", (3, 3)).save(path, pnginfo=info)
    return path


def test_a_new_file_is_written_with_ordinary_permissions(folder: Path) -> None:
    before = os.umask(0o027)
    try:
        output(folder / "report.json").write(b"{}")
    finally:
        os.umask(before)
    assert (folder / "report.json").read_bytes() == b"{}"
    assert stat.S_IMODE((folder / "report.json").stat().st_mode) == 0o640
    assert [path.name for path in folder.iterdir()] == ["report.json"]


def test_a_replaced_file_keeps_its_permissions(folder: Path) -> None:
    path = folder / "report.json"
    path.write_text(OURS)
    path.chmod(0o604)
    output(path).write(b"new")
    assert path.read_bytes() == b"new"
    assert stat.S_IMODE(path.stat().st_mode) == 0o604


def test_a_failed_write_leaves_nothing_behind(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = folder / "report.json"
    path.write_text(OURS)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(UsageError, match=r"could not be written \(no space left on device\)"):
        output(path).write(b"new")
    assert path.read_text() == OURS
    assert list(folder.iterdir()) == [path]


def test_a_link_is_followed_and_stays_a_link(folder: Path) -> None:
    target = folder / "target.json"
    target.write_text(OURS)
    link = folder / "link.json"
    link.symlink_to(target)
    output(link).write(b"new")
    assert link.is_symlink()
    assert target.read_bytes() == b"new"


@pytest.mark.parametrize(
    ("name", "content", "ours"),
    [
        ("a.json", OURS.encode(), True),
        ("a.json", b'{"schema": "standback.letters/1"}', True),
        ("a.json", b'{"schema": "other/1"}', False),
        ("a.json", b'{"schema": "standbackish"}', False),
        ("a.json", b'["standback.audit/1"]', False),
        ("a.json", b"[" * 100_000, False),
        ("notes.txt", b"standback", False),
        ("empty", b"", False),
        ("cut.png", b"\x89PNG\r\n\x1a\n\x00\x00", False),
    ],
)
def test_only_what_we_made_is_replaced(folder: Path, name: str, content: bytes, ours: bool) -> None:
    path = folder / name
    path.write_bytes(content)
    assert made_by_us(path) is ours
    if ours:
        output(path).check()
    else:
        with pytest.raises(UsageError, match="was not made by standback"):
            output(path).check()
        output(path, force=True).check()


@pytest.mark.parametrize(("software", "ours"), [("standback 0.1.0", True), ("Some painter", False), (None, False)])
def test_pictures_are_known_by_their_metadata(folder: Path, software: str | None, ours: bool) -> None:
    path = save_png(folder / "picture.png", software)
    assert is_our_picture(path) is ours
    assert made_by_us(path) is ours


def test_never_a_folder_nor_a_special_file(folder: Path) -> None:
    with pytest.raises(UsageError, match="that is a folder"):
        output(folder, force=True).check()
    os.mkfifo(folder / "pipe")
    with pytest.raises(UsageError, match="not an ordinary file"):
        output(folder / "pipe", force=True).check()


def test_where_nothing_can_be_written(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(UsageError, match="its folder does not exist"):
        output(folder / "no" / "report.json").check()
    (folder / "file").touch()
    with pytest.raises(UsageError, match="is a file"):
        output(folder / "file" / "report.json").check()
    (folder / "loop").symlink_to(folder / "loop")
    with pytest.raises(UsageError, match="can't be written there"):
        output(folder / "loop").check()
    with pytest.raises(UsageError, match="file name too long"):
        output(folder / ("n" * 300)).check()
    # the tests may run as root, whom no permission stops
    monkeypatch.setattr(os, "access", lambda path, mode: Path(path) != folder)
    with pytest.raises(UsageError, match="folder can't be written to"):
        output(folder / "report.json").check()
    monkeypatch.setattr(os, "access", lambda path, mode: Path(path) == folder)
    (folder / "report.json").write_text(OURS)
    with pytest.raises(UsageError, match="write-protected"):
        output(folder / "report.json", force=True).check()


@pytest.mark.parametrize("how", ["same", "dotted", "symbolic link", "hard link", "folder link"])
def test_never_over_an_input(folder: Path, how: str) -> None:
    artwork = folder / "poster.png"
    artwork.write_text(OURS)
    path = {
        "same": artwork,
        "dotted": folder / "sub" / ".." / "poster.png",
        "folder link": folder / "here" / "poster.png",
    }.get(how, folder / "other.png")
    (folder / "sub").mkdir()
    (folder / "here").symlink_to(folder)
    if how == "symbolic link":
        path.symlink_to(artwork)
    if how == "hard link":
        path.hardlink_to(artwork)
    with pytest.raises(UsageError, match="the artwork itself"):
        check_outputs([output(path, force=True)], [str(artwork)])


def test_never_over_the_brief(folder: Path) -> None:
    brief = folder / "brief.toml"
    brief.write_text(stamped("# mine\n"))
    with pytest.raises(UsageError, match="that is the brief itself"):
        check_outputs([output(brief, force=True)], [str(folder / "poster.png")], brief=str(brief))


def test_a_text_of_ours_is_known_while_it_is_as_we_left_it(folder: Path) -> None:
    path = folder / "brief.toml"
    text = stamped("# Été\nsize = 'A2'\n")
    assert text.count("\n") == 3
    path.write_text(text, encoding="utf-8")
    assert made_by_us(path)
    output(path).check()
    for changed in (
        text.replace("A2", "A3"),
        text + "\n",
        text.replace("\n", "\r\n"),
        "# first\n" + text,
        text[:-2] + "\n",
        text + text,
    ):
        path.write_bytes(changed.encode())
        assert not made_by_us(path)
        with pytest.raises(UsageError, match="has been changed since standback made it"):
            output(path).check()
        output(path, force=True).check()


def test_a_page_of_ours_is_known_while_it_is_as_we_left_it(folder: Path) -> None:
    path = folder / "page.html"
    text = stamped_page("<!doctype html>\n<p># Written by standback, or not</p>\n")
    assert text.endswith(" -->\n")
    path.write_text(text, encoding="utf-8")
    assert made_by_us(path)
    for changed in (text.replace("or not", "or so"), text.replace(" -->", "  -->"), text + "<p>more</p>"):
        path.write_text(changed, encoding="utf-8")
        assert not made_by_us(path)


def test_two_outputs_need_two_names(folder: Path) -> None:
    proof = Output(option="--proof", given=str(folder / "." / "Report.json"))
    with pytest.raises(UsageError, match="--json names the same file"):
        check_outputs([output(folder / "report.json"), proof], [])
    check_outputs([output(folder / "report.json"), output(folder / "proof.png")], [])
