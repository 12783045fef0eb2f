"""Which files the artworks named on the command line stand for, and in what order."""

from pathlib import Path

import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from standback.batch import listed
from standback.findings import Unreadable


def touch(*paths: str) -> None:
    for path in paths:
        Path(path).parent.mkdir(parents=True, exist_ok=True)
        Path(path).touch()


def test_files_are_taken_as_given_and_in_order(folder: Path) -> None:
    touch("b.png", "notes.txt")
    assert listed(["missing.png", "b.png", "notes.txt"], deep=False) == ("missing.png", "b.png", "notes.txt")


def test_a_folder_stands_for_its_artwork_files_sorted(folder: Path) -> None:
    touch("in/b.PNG", "in/a.jpg", "in/c.jpeg", "in/d.tif", "in/e.TIFF", "in/f.webp", "in/g.psd")
    touch("in/notes.txt", "in/h.svg", "in/.hidden.png", "in/png", "in/below/z.png")
    Path("in/folder.png").mkdir()
    names = ("a.jpg", "b.PNG", "c.jpeg", "d.tif", "e.TIFF", "f.webp", "g.psd")
    assert listed(["in"], deep=False) == tuple(f"in/{name}" for name in names)


def test_deep_takes_the_folders_below_after_their_parent(folder: Path) -> None:
    touch("in/z.png", "in/a/b.png", "in/a/c/d.png", "in/.git/x.png", "in/b/a.png")
    assert listed(["in"], deep=True) == ("in/z.png", "in/a/b.png", "in/a/c/d.png", "in/b/a.png")


@pytest.mark.parametrize("deep", [False, True])
def test_a_circle_of_links_ends(folder: Path, deep: bool) -> None:
    touch("in/a.png")
    Path("in/again").symlink_to(folder / "in")
    Path("in/loop.png").symlink_to("loop.png")
    assert listed(["in"], deep=deep) == ("in/a.png", "in/loop.png")


def test_an_empty_folder_is_told(folder: Path) -> None:
    touch("in/notes.txt")
    (found,) = listed(["in"], deep=False)
    assert isinstance(found, Unreadable)
    assert found.file == "in"
    assert found.why.startswith("there was no artwork in it")


def test_a_folder_that_cannot_be_listed_is_told(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_: object) -> None:
        raise PermissionError(13, "Permission denied", "in")

    touch("in/a.png")
    monkeypatch.setattr("os.scandir", refuse)
    assert listed(["in"], deep=False) == (
        Unreadable(file="in", why="this folder could not be opened; check who may read it"),
    )


def test_our_own_pictures_in_a_folder_are_passed_over(folder: Path) -> None:
    info = PngInfo()
    info.add_text("Software", "standback 0.1.0")
    touch("in/a.png")
    Image.new("L", (3, 3)).save("in/proof.png", pnginfo=info)
    assert listed(["in"], deep=False) == ("in/a.png",)
    assert listed(["in/proof.png"], deep=False) == ("in/proof.png",), "named outright it is taken"


def test_a_file_that_comes_up_twice_counts_once(folder: Path) -> None:
    touch("in/a.png", "in/b.png")
    given = ["in/b.png", "./in", str(folder / "in" / "a.png"), "in/b.png"]
    assert listed(given, deep=False) == ("in/b.png", "in/a.png")
