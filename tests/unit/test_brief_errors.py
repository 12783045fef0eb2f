"""What is told of a brief that can't be read: one line, with the place and what to do."""

import os
from pathlib import Path

import pytest

from standback.brief.load import load_brief
from standback.brief.read import read_brief
from standback.errors import ExitCode, UsageError

BOX = "four numbers in mm, left, top, right, bottom"
SUCH_AS = "such as [40, 48, 380, 110]"
PLACE = 'place wants words such as "top left", or a point such as [210, 80]: mm from the left, mm from the top'
WHERE = 'it wants to know where: box = [40, 48, 380, 110] or place = "top left"'
MEMBERS = 'a list of names in quotes, such as ["day", "hour"]'
LINE = "[[lines]]\nbox = [40, 48, 380, 110]\n"
NAMED = '[[lines]]\nname = "day"\nbox = [40, 48, 380, 110]\n'


def said_of(text: str) -> str:
    with pytest.raises(UsageError) as caught:
        read_brief(text, file="brief.toml")
    assert caught.value.exit_code == ExitCode.USAGE
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        # keys that don't exist
        (
            "# draft\n" + LINE + '  teir = "lead"',
            "line 4, column 3: there is no key 'teir' in [[lines]]; did you mean 'tier'?",
        ),
        (
            "[limits]\nText-Ratio = 7",
            "line 2, column 1: there is no key 'Text-Ratio' in [limits]; did you mean 'text_ratio'?",
        ),
        (
            '[sheet]\nfrom = "5 m"',
            "line 2, column 1: there is no key 'from' in [sheet]; it belongs in [viewing]",
        ),
        ("[sheet]\nxyz = 1", "line 2, column 1: there is no key 'xyz' in [sheet]; it can be size, bleed or stock"),
        (
            "[viewing]\nxyz = 1",
            "line 2, column 1: there is no key 'xyz' in [viewing]; it can be from, light, age, acuity or viewer",
        ),
        (
            "sheet = { xyz = 1 }",
            "line 1, column 11: there is no key 'xyz' in [sheet]; it can be size, bleed or stock",
        ),
        ("[sheet.xyz]\na = 1", "line 1, column 8: there is no key 'xyz' in [sheet]; it can be size, bleed or stock"),
        (
            '[sheet]\n"\\u001b\\nsize" = 1',
            "line 2, column 1: there is no key '??size' in [sheet]; did you mean 'size'?",
        ),
        (
            '[sheet]\nstock = "glossy"',
            "line 2, column 9: stock: there is no 'glossy'; it can be coated, uncoated or newsprint",
        ),
        ("[viewing]\nacuty = 1", "line 2, column 1: there is no key 'acuty' in [viewing]; did you mean 'acuity'?"),
        ('[viewing]\nviewer = "oldre"', "line 2, column 10: viewer: there is no 'oldre'; did you mean 'older'?"),
        (
            '[viewing]\nlight = "bright"',
            "line 2, column 9: light: 'bright' is no light in lux: write it as 150lx",
        ),
        # sections that don't exist, or are written another way
        ("[shet]\n", "line 1, column 2: there is no section 'shet' in a brief; did you mean [sheet]?"),
        ("\n[[line]]\n", "line 2, column 3: there is no section 'line' in a brief; did you mean [[lines]]?"),
        (
            "[xyz]",
            "line 1, column 2: there is no section 'xyz' in a brief; it can be [sheet], [viewing], [limits], "
            "[[lines]], [[figures]], [groups], [[waivers]] or [[remarks]]",
        ),
        (
            'size = "A2"',
            "line 1, column 1: there is no key 'size' before the sections; it belongs in [sheet]",
        ),
        (
            "viewingg = 1",
            "line 1, column 1: there is no key 'viewingg' before the sections; did you mean [viewing]?",
        ),
        (
            "[lines]\nbox = [1, 2, 3, 4]",
            "line 1, column 2: write [[lines]], the name in double brackets: there can be several",
        ),
        ("[[sheet]]", "line 1, column 3: write [sheet], the name in single brackets: there is only one"),
        (
            'sheet = "A2"',
            "line 1, column 9: sheet is a section: write [sheet], and its keys below it; this is text",
        ),
        (
            "sheet = []",
            "line 1, column 9: sheet is a section: write [sheet], and its keys below it; this is a list",
        ),
        (
            "lines = 3",
            "line 1, column 9: lines is a section: write [[lines]], and its keys below it; this is a number",
        ),
        # values of the wrong kind
        (
            "[sheet]\nsize = 2",
            'line 2, column 8: size wants text in quotes, such as "A2"; this is a number',
        ),
        (
            "[sheet]\nbleed = 3.0",
            'line 2, column 9: bleed wants text in quotes, such as "3 mm"; this is a number',
        ),
        (
            "[viewing]\nfrom = 2026-01-01",
            'line 2, column 8: from wants text in quotes, such as "5 m"; this is a date or time',
        ),
        (
            LINE + "tier = true",
            'line 3, column 8: tier wants text in quotes, such as "lead"; this is true',
        ),
        (
            LINE + "[lines.tier]\n",
            'line 3, column 8: tier wants text in quotes, such as "lead"; this is a section',
        ),
        (
            "[limits]\ntext_ratio = '7'",
            "line 2, column 14: text_ratio wants a number from 1 to 21; this is text",
        ),
        (
            "[limits]\ntext_ratio = false",
            "line 2, column 14: text_ratio wants a number from 1 to 21; this is false",
        ),
        # values out of range
        ("[limits]\ntext_ratio = 0.9", "line 2, column 14: text_ratio wants a number from 1 to 21"),
        ("[limits]\ntext_ratio = nan", "line 2, column 14: text_ratio wants a number from 1 to 21"),
        ("[limits]\ntext_ratio = -inf", "line 2, column 14: text_ratio wants a number from 1 to 21"),
        ("[limits]\ntext_ratio = 1" + 400 * "0", "line 2, column 14: text_ratio wants a number from 1 to 21"),
        (
            '[sheet]\nsize = "A9"',
            "line 2, column 8: size: 'A9' is not a sheet size: write one such as A2, 18x24in or 420x594mm",
        ),
        (
            '[sheet]\nbleed = "200 mm"',
            "line 2, column 9: bleed: '200 mm' is out of range: write a length from 0mm to 0.1m, such as 3mm",
        ),
        ('[viewing]\nfrom = "5"', "line 2, column 8: from: '5' has no unit: write 5m or 5ft"),
        (
            '[viewing]\nfrom = "-3m"',
            "line 2, column 8: from: '-3m' is out of range: write a distance from 0.1m to 1000m, such as 5m",
        ),
        # one of a few words
        (LINE + "tier = 'leed'", "line 3, column 8: tier: there is no 'leed'; did you mean 'lead'?"),
        (LINE + "tier = 'Lead'", "line 3, column 8: tier: there is no 'Lead'; did you mean 'lead'?"),
        (
            LINE + "tier = 'xyz'",
            "line 3, column 8: tier: there is no 'xyz'; it can be lead, support or small",
        ),
        (LINE + "station = 'fare'", "line 3, column 11: station: there is no 'fare'; did you mean 'far'?"),
        (LINE + "role = 'dates'", "line 3, column 8: role: there is no 'dates'; did you mean 'date'?"),
        (
            "[[waivers]]\ncheck = 'short-reech'\nreason = 'x'",
            "line 2, column 9: check: there is no 'short-reech'; did you mean 'short-reach'?",
        ),
        # boxes and places
        (
            "[[lines]]\nbox = 'top'",
            f"line 2, column 7: box wants {BOX}, {SUCH_AS}; this is text",
        ),
        (
            "[[lines]]\nbox = [1, 2, 3]",
            f"line 2, column 7: box wants {BOX}, {SUCH_AS}; this is a list of 3",
        ),
        (
            "[[lines]]\nbox = [\n  1,\n  '2', 3, 4]",
            f"line 4, column 3: box wants {BOX}, {SUCH_AS}; this is text",
        ),
        (
            "[[lines]]\nbox = [1, 2, 3, 1e9]",
            "line 2, column 17: box: this is off any sheet; mm can be from -100 to 20000",
        ),
        (
            "[[lines]]\nbox = [40, 300, 340, 60]",
            f"line 2, column 7: box wants {BOX}: the right beyond the left, "
            "the bottom below the top; if these are left, top, width, height, write [40, 300, 380, 360]",
        ),
        (
            "[[lines]]\nbox = [40, 300, 80, -60]",
            f"line 2, column 7: box wants {BOX}: the right beyond the left, the bottom below the top",
        ),
        (LINE + "place = 'top'", "line 3, column 1: [[lines]] has a box already: leave out the place"),
        (
            "[[lines]]\nplace = 'top lift'",
            "line 2, column 9: place: there is no 'top lift' on a sheet; did you mean 'top left'?",
        ),
        (
            "[[lines]]\nplace = 3",
            f"line 2, column 9: {PLACE}; this is a number",
        ),
        (
            "[[lines]]\nplace = [3]",
            f"line 2, column 9: {PLACE}; this is a list of 1",
        ),
        (
            "[[lines]]\n[[lines]]\nbox = [1, 2, 3, 4]",
            f"line 1, column 3: [[lines]]: {WHERE}",
        ),
        (
            "[[remarks]]\ntext = 'more air'",
            f"line 1, column 3: [[remarks]]: {WHERE}",
        ),
        (
            "[[figures]]\nname = 'singer'",
            f"line 1, column 3: [[figures]]: it wants a box: {BOX}, {SUCH_AS}",
        ),
        # what must be said
        (
            "[[figures]]\nbox = [1, 2, 3, 4]",
            'line 1, column 3: [[figures]]: it wants a name, such as name = "singer"',
        ),
        (
            "[[remarks]]\nplace = 'top'\ntext = ' '",
            'line 1, column 3: [[remarks]]: it wants a text, such as text = "the date is lost here"',
        ),
        (
            LINE + "[[waivers]]\ncheck = 'faint-text'",
            'line 3, column 3: [[waivers]]: it wants a reason, such as reason = "the small print is the law\'s"',
        ),
        (
            "waivers = [{reason = 'x'}]",
            "line 1, column 12: [[waivers]]: it wants to know what is waived: a check, a line, a box or a place",
        ),
        # names
        (NAMED + NAMED, "line 5, column 8: name: 'day' is taken, in line 1"),
        (
            NAMED + "[[figures]]\nname = 'day'\nbox = [1, 2, 3, 4]",
            "line 5, column 8: name: 'day' is taken, in line 1",
        ),
        (
            NAMED + "[[waivers]]\nline = 'days'\nreason = 'x'",
            "line 5, column 8: no line in this brief is named 'days'; did you mean 'day'?",
        ),
        (
            "[[waivers]]\nline = 'day'\nreason = 'x'",
            "line 2, column 8: no line in this brief is named 'day'; give what you mean that name first",
        ),
        (
            NAMED + "[[waivers]]\nline = 'day'\nplace = 'top'\nreason = 'x'",
            "line 5, column 1: [[waivers]] has a box or place already: leave out the line",
        ),
        # groups
        (
            NAMED + "[groups]\nwhen = ['day',\n  'hour']",
            "line 6, column 3: nothing in this brief is named 'hour'; give what you mean that name first",
        ),
        (
            "[groups]\nwhen = 'day'",
            f"line 2, column 8: 'when' wants {MEMBERS}; this is text",
        ),
        (
            "[groups]\nwhen = [1]",
            f"line 2, column 9: 'when' wants {MEMBERS}; this is a number",
        ),
        (
            NAMED + "[groups]\na = ['day']\nb = ['day']",
            "line 6, column 6: 'day' is in the group 'a' already: leave it in one",
        ),
        (
            NAMED + "group = 'when'\n[groups]\nb = ['day']",
            "line 6, column 6: 'day' is in the group 'when' already: leave it in one",
        ),
    ],
)
def test_what_a_brief_cannot_say(text: str, said: str) -> None:
    assert said_of(text) == f"brief.toml, {said}"


def file_said(path: Path | str) -> str:
    with pytest.raises(UsageError) as caught:
        load_brief(path)
    return str(caught.value)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"\x89PNG\r\n\x1a\n\x00\x00", ", line 1, column 1: this is not UTF-8 text: save the brief as UTF-8"),
        (
            "[[lines]]\nname = 'é'; 'é'".encode() + b"\xe9",
            ", line 2, column 16: this is not UTF-8 text: save the brief as UTF-8",
        ),
        ("[sheet]".encode("utf-16"), ", line 1, column 1: this is not UTF-8 text: save the brief as UTF-8"),
        (b"\xef\xbb\xbfa\xff", ", line 1, column 2: this is not UTF-8 text: save the brief as UTF-8"),
        (b"#" * (1 << 20) + b"\n", ": it is too long for a brief: is it the right file?"),
        (b"[shet]", ", line 1, column 2: there is no section 'shet' in a brief; did you mean [sheet]?"),
    ],
)
def test_what_is_in_the_file(tmp_path: Path, data: bytes, said: str) -> None:
    file = tmp_path / "b.toml"
    file.write_bytes(data)
    assert file_said(file) == f"{file}{said}"


def test_files_that_cannot_be_opened(tmp_path: Path) -> None:
    missing = tmp_path / "none.toml"
    assert file_said(missing) == f"{missing}: there is no such file: check the name of the brief"
    assert file_said("a\0b") == "a\0b: there is no such file: check the name of the brief"
    assert file_said(tmp_path) == f"{tmp_path}: it is a folder: name the brief inside it"
    (tmp_path / "file").write_bytes(b"")
    below = tmp_path / "file" / "b.toml"
    assert file_said(below) == f"{below}: there is no such file: check the name of the brief"
    loop = tmp_path / "loop.toml"
    loop.symlink_to(loop)
    assert file_said(loop).startswith(f"{loop}: it can't be opened (")


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    assert file_said(pipe) == f"{pipe}: it is a pipe or a device: save the brief as a file first"


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "b.toml"
    file.write_bytes(b"")

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)  # permissions don't hold a test that runs as root
    assert file_said(file) == f"{file}: it may not be read: change its permissions"
