"""Small posters and a way to run the program in this process."""

from pathlib import Path

import pytest

from cli.support import Ended, Program, draw
from standback.__main__ import run


@pytest.fixture
def program(capsys: pytest.CaptureFixture[str]) -> Program:
    """The program, run in this process on the arguments given."""

    def call(*args: str | Path) -> Ended:
        code = run([str(arg) for arg in args])
        captured = capsys.readouterr()
        return Ended(code, captured.out, captured.err)

    return call


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder that the program runs in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def good(folder: Path) -> Path:
    """A poster that nothing is wrong with: one large black word."""
    return draw(folder / "good.png")


@pytest.fixture
def faint(folder: Path) -> Path:
    """A poster whose only word is too pale: 1.2:1."""
    return draw(folder / "faint.png", ink="#ebebeb")
