"""`standback audit --mend`: the name rule, the file, and that the finding is gone from it."""

import json
from pathlib import Path

import pytest
from PIL import Image

from cli.support import PPI, Program, draw
from standback.outputs import is_our_picture


def test_the_picture_is_marked_and_audits_clean(program: Program, faint: Path) -> None:
    before = faint.read_bytes()
    ended = program("audit", faint, "--mend", "faint-mended.png", "--json", "report.json")
    assert (ended.code, ended.err) == (1, "")
    assert "Suggestion picture\n  drawn      1 (L01)\n" in ended.out
    suggestion = json.loads(Path("report.json").read_text())["posters"][0]["suggestion"]
    assert suggestion["drawn"] == [{"rank": 1, "elements": ["L01"]}]
    mended = Path("faint-mended.png")
    assert is_our_picture(mended)
    with Image.open(mended) as image, Image.open(faint) as artwork:
        assert image.size == artwork.size
        assert image.info["dpi"] == pytest.approx((PPI, PPI), rel=0.005)
        assert image.info["Title"].startswith("Suggestion, not the artwork")
    assert faint.read_bytes() == before
    assert "Too little contrast" not in program("audit", mended).out
    compared = program("compare", faint, mended)
    assert compared.code == 0
    assert "Mended\n  fail  Too little contrast\n" in compared.out
    assert program("audit", faint, "--mend", mended).code == 1, "a picture of ours is replaced"


def test_no_picture_no_word_of_it(program: Program, faint: Path) -> None:
    ended = program("audit", faint, "--json", "-")
    assert json.loads(ended.out)["posters"][0]["suggestion"] is None
    assert "Suggestion picture" not in program("audit", faint).out


@pytest.mark.parametrize("name", ["faint2.png", "faint-mended.jpg", "mended/faint.png", "faint-mended"])
def test_the_name_must_tell(program: Program, faint: Path, name: str) -> None:
    ended = program("audit", faint, "--mend", name)
    assert (ended.code, ended.out, len(ended.error_lines)) == (2, "", 1)
    assert "write 'mended' in it" in ended.err


def test_never_over_the_artwork(program: Program, folder: Path) -> None:
    artwork = draw(folder / "mended.png", ink="#ebebeb")
    ended = program("audit", artwork, "--mend", artwork, "--force")
    assert (ended.code, len(ended.error_lines)) == (2, 1)
    assert "the artwork itself" in ended.err


def test_for_one_artwork_only(program: Program, good: Path, faint: Path) -> None:
    ended = program("audit", good, faint, "--mend", "mended.png")
    assert (ended.code, ended.out, len(ended.error_lines)) == (2, "", 1)
    assert "--mend is for one artwork, these are 2" in ended.err
    ended = program("audit", good, "--mend", "mended.png", "--out", "kept")
    assert (ended.code, len(ended.error_lines)) == (2, 1)
    assert not Path("kept").exists()
