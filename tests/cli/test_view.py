"""`standback view` over real files: where the walk-up picture goes, and what is refused."""

from pathlib import Path

import pytest
from PIL import Image

from cli.support import Program, draw
from standback.outputs import is_our_picture


def test_the_picture_goes_where_it_is_told(program: Program, good: Path) -> None:
    ended = program("view", good, "--from", "10m,5m,2m", "-o", "walkup.png")
    assert (ended.code, ended.out, ended.err) == (0, "walkup.png\n", "")
    assert is_our_picture(Path("walkup.png"))
    with Image.open("walkup.png") as picture:
        picture.load()
        assert picture.format == "PNG"
    assert program("view", good, "--from", "5m", "-o", "walkup.png").code == 0, "ours: replaced"


def test_without_a_name_it_is_named_after_the_artwork(program: Program, folder: Path) -> None:
    (folder / "drafts").mkdir()
    draw(folder / "drafts" / "poster.png")
    ended = program("view", "drafts/poster.png", "--from", "3m")
    assert (ended.code, ended.out) == (0, "poster-walkup.png\n")
    assert is_our_picture(folder / "poster-walkup.png")


def test_never_over_the_artwork_nor_over_a_foreign_file(program: Program, good: Path, faint: Path) -> None:
    before = good.read_bytes(), faint.read_bytes()
    ended = program("view", good, "--from", "3m", "-o", "good.png", "--force")
    assert ended.code == 2
    assert ended.error_lines == ["standback: --output good.png: that is the artwork itself; give another name"]
    assert program("view", good, "--from", "3m", "-o", "faint.png").code == 2
    assert (good.read_bytes(), faint.read_bytes()) == before


@pytest.mark.parametrize("name", ["missing.png", "."])
def test_an_artwork_that_cannot_be_read_is_exit_3(program: Program, folder: Path, name: str) -> None:
    ended = program("view", name, "--from", "3m", "-o", "walkup.png")
    assert ended.code == 3
    assert len(ended.error_lines) == 1
    assert ended.err.startswith(f"standback: {name}: ")
    assert not Path("walkup.png").exists()


def test_a_dull_eye_sees_another_picture(program: Program, good: Path) -> None:
    sights: tuple[list[str], ...] = ([], ["--acuity", "6/24"], ["--age", "80", "--light", "1000"])
    pictures = set()
    for sight in sights:
        assert program("view", good, "--from", "3m", "-o", "walkup.png", "--force", *sight).code == 0
        pictures.add(Path("walkup.png").read_bytes())
    assert len(pictures) == len(sights)
    ended = program("view", good, "--from", "3m", "--acuity", "good")
    assert ended.code == 2
    assert "write it as 6/12, 20/40, 0.5 or logMAR 0.3" in ended.err


def test_the_poster_as_other_eyes_see_its_colours(program: Program, folder: Path) -> None:
    Image.new("RGB", (420, 594), (200, 30, 30)).save("red.png")
    middles = []
    for vision in ([], ["--as", "protan"], ["--as", "tritan"]):
        assert program("view", "red.png", "--size", "A2", "--from", "3m", "-o", "w.png", "--force", *vision).code == 0
        with Image.open("w.png") as picture:
            pixels = picture.convert("RGB")
            middles.append(pixels.getpixel((pixels.width // 3, pixels.height // 2)))
    assert middles[0] == (200, 30, 30)
    assert len({*middles}) == 3
    assert program("view", "red.png", "--size", "A2", "--from", "3m", "--as", "dog").code == 2
