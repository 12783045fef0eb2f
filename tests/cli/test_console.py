"""What reaches a terminal, and what does not."""

import io
import sys

import pytest

from standback import console


class Terminal(io.TextIOWrapper):
    """A stream that says it is a terminal."""

    def __init__(self, encoding: str = "utf-8") -> None:
        super().__init__(io.BytesIO(), encoding=encoding, write_through=True)

    def isatty(self) -> bool:
        return True

    @property
    def text(self) -> str:
        stream = self.buffer
        assert isinstance(stream, io.BytesIO)
        return stream.getvalue().decode(self.encoding)


def use_terminal(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    """Put a terminal 60 columns wide behind both streams (in the test: pytest's own come before it)."""
    stream = Terminal()
    monkeypatch.setattr(sys, "stdout", stream)
    monkeypatch.setattr(sys, "stderr", stream)
    for name, value in (("COLUMNS", "60"), ("TERM", "xterm"), ("NO_COLOR", "")):
        monkeypatch.setenv(name, value)
    return stream


def test_colour_only_on_a_terminal_and_never_against_no_color(monkeypatch: pytest.MonkeyPatch) -> None:
    use_terminal(monkeypatch)
    assert console.colour()
    monkeypatch.setenv("NO_COLOR", "1")
    assert not console.colour()
    monkeypatch.setenv("NO_COLOR", "")
    monkeypatch.setenv("TERM", "dumb")
    assert not console.colour()
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(io.BytesIO()))
    assert not console.colour()


@pytest.mark.parametrize(("columns", "width"), [("60", 60), ("300", 100), ("5", 40)])
def test_width_is_the_terminal_s_within_bounds(monkeypatch: pytest.MonkeyPatch, columns: str, width: int) -> None:
    use_terminal(monkeypatch)
    monkeypatch.setenv("COLUMNS", columns)
    assert console.width() == width
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(io.BytesIO()))
    assert console.width() == 100


def test_progress_is_one_line_that_goes_away(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = use_terminal(monkeypatch)
    with console.Progress(3, quiet=False) as progress:
        progress.show(1, "a\x1b[2J" + "b" * 80 + ".png")
    shown = terminal.text
    assert shown.startswith("\r\x1b[Kauditing [#######.............] 2 of 3, about ")
    assert shown.endswith("\r\x1b[K")
    line = shown.removeprefix("\r\x1b[K").removesuffix("\r\x1b[K")
    assert len(line) < 60
    assert "\x1b" not in line


@pytest.mark.parametrize(
    ("left_s", "said"), [(0.2, "1 s"), (20.4, "20 s"), (89, "89 s"), (200, "3 min"), (5300, "88 min"), (7300, "2 h")]
)
def test_the_time_left_is_told_as_people_say_it(left_s: float, said: str) -> None:
    assert console.time_left(left_s) == said


def test_no_progress_when_quiet_or_piped(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = use_terminal(monkeypatch)
    with console.Progress(3, quiet=True) as progress:
        progress.show(1, "a.png")
    piped = io.TextIOWrapper(io.BytesIO())
    monkeypatch.setattr(sys, "stderr", piped)
    with console.Progress(3, quiet=False) as progress:
        progress.show(1, "a.png")
    assert terminal.text == ""
    assert piped.buffer.tell() == 0


def test_punctuation_stays_readable_where_the_encoding_is_poor(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = Terminal(encoding="ascii")
    monkeypatch.setattr(sys, "stdout", stream)
    console.out("420 × 594 mm – “A”, Ω\n")
    assert stream.text == '420 x 594 mm - "A", \\u03a9\n'
