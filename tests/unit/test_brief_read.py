"""What a brief can say."""

import pickle
import tomllib
from dataclasses import fields, replace
from pathlib import Path

import pytest

from standback.brief.limits import DEFAULTS, limit_range, read_limits
from standback.brief.load import load_brief
from standback.brief.model import Brief, BriefFigure, BriefLine, BriefSheet, Remark, Viewing, Waiver, Where
from standback.brief.positions import find_positions
from standback.brief.read import read_brief
from standback.brief.tables import Table
from standback.errors import UsageError
from standback.settings import Limits
from standback.sheet import SheetSize

WHOLE = """\
# an evening of song
[sheet]
size = "594 x 420 mm"
bleed = "3 mm"

[viewing]
from = "26.25 ft"

[limits]
text_ratio = 7
reach_fail_share = 0.5

[[lines]]
name = "title"
box = [40, 48, 380, 110.5]
tier = "lead"
role = "title"
wording = '''
Even
song'''

[[lines]]
name = "day"
place = "Bottom-Left"
tier = "small"
station = "mid"
role = "date"

[[lines]]
place = [100, 512]
group = "when"

[[figures]]
name = "singer"
box = [60, 180, 360, 420]
group = "picture"

[groups]
when = ["day"]
picture = ["singer", "title"]

[[waivers]]
check = "short-reach"
line = "day"
reason = "the day is on every ticket too"

[[waivers]]
box = [0, 500, 420, 594]
reason = "the sponsors' own artwork"

[[waivers]]
check = "faint-text"
reason = "meant to be a whisper"

[[remarks]]
place = "across the top"
text = "more air above"
"""


def test_a_whole_brief() -> None:
    assert read_brief(WHOLE, file="song.toml") == Brief(
        sheet=BriefSheet(size=SheetSize(width_mm=594.0, height_mm=420.0, name="594 x 420 mm"), bleed_mm=3.0),
        viewing=Viewing(far_m=8.001),
        limits=(("text_ratio", 7.0), ("reach_fail_share", 0.5)),
        lines=(
            BriefLine(
                name="title",
                where=Where(box_mm=(40.0, 48.0, 380.0, 110.5)),
                tier="lead",
                role="title",
                group="picture",
                wording="Even\nsong",
            ),
            BriefLine(
                name="day",
                where=Where(words="bottom left"),
                tier="small",
                station="mid",
                role="date",
                group="when",
            ),
            BriefLine(where=Where(point_mm=(100.0, 512.0)), group="when"),
        ),
        figures=(BriefFigure(name="singer", where=Where(box_mm=(60.0, 180.0, 360.0, 420.0)), group="picture"),),
        waivers=(
            Waiver(check="short-reach", line="day", reason="the day is on every ticket too"),
            Waiver(where=Where(box_mm=(0.0, 500.0, 420.0, 594.0)), reason="the sponsors' own artwork"),
            Waiver(check="faint-text", reason="meant to be a whisper"),
        ),
        remarks=(Remark(where=Where(words="across the top"), text="more air above"),),
    )


def test_a_brief_knows_where_it_says_what() -> None:
    brief = read_brief(WHOLE, file="song.toml")
    assert brief.file == "song.toml"
    assert [one.row for one in brief.lines] == [13, 22, 29]
    assert [one.row for one in brief.figures] == [33]
    assert [one.row for one in brief.waivers] == [42, 47, 51]
    assert [one.row for one in brief.remarks] == [55]


def test_the_members_of_each_group() -> None:
    brief = read_brief(WHOLE, file="song.toml")
    assert brief.groups == {"picture": (brief.lines[0], brief.figures[0]), "when": brief.lines[1:]}


def test_a_brief_can_be_sent_to_another_process() -> None:
    brief = read_brief(WHOLE, file="song.toml")
    assert pickle.loads(pickle.dumps(brief)) == brief
    assert hash(brief) == hash(read_brief(WHOLE, file="another.toml"))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\n\n# nothing\n",
        "[sheet]\n[viewing]\n[limits]\n[groups]\n",
        "lines = []\nwaivers = []",
        # what is left blank is not said
        '[sheet]\nsize = ""\nbleed = " "\n[viewing]\nfrom = ""',
    ],
)
def test_a_brief_may_say_nothing(text: str) -> None:
    assert read_brief(text, file="b.toml") == Brief()


def test_blanks_in_a_line_are_not_said() -> None:
    text = '[[lines]]\nbox = [0, 0, 9, 9]\nplace = ""\nname = ""\ntier = ""\ngroup = ""\nwording = "  "'
    assert read_brief(text, file="b.toml").lines == (BriefLine(where=Where(box_mm=(0.0, 0.0, 9.0, 9.0))),)


def test_other_ways_to_write_the_same() -> None:
    plain = '[sheet]\nsize = "A2"\n[[lines]]\nbox = [1, 2, 3, 4]\ntier = "lead"\n[[lines]]\nplace = "top"'
    other = 'sheet.size = "a2"\r\nlines = [\r\n{box = [1.0, 2.0, 3.0, 4.0], tier = "lead"}, # and\r\n{place = \'top\'}]'
    assert read_brief(other, file="b.toml") == read_brief(plain, file="b.toml")


def test_a_brief_from_a_file(tmp_path: Path) -> None:
    file = tmp_path / "song.toml"
    for before in (b"", b"\xef\xbb\xbf"):  # some editors put a mark of their own first
        file.write_bytes(before + WHOLE.encode())
        assert load_brief(file) == load_brief(str(file)) == read_brief(WHOLE, file="song.toml")
    assert load_brief(file).file == str(file)
    file.write_bytes(b"")
    assert load_brief(file) == Brief()


def test_every_limit_can_be_set_to_what_it_is() -> None:
    assert {one.name: getattr(Limits(), one.name) for one in fields(Limits)} == DEFAULTS
    text = "[limits]\n" + "\n".join(f"{name} = {value!r}" for name, value in DEFAULTS.items())
    brief = read_brief(text, file="b.toml")
    assert replace(Limits(), **dict(brief.limits)) == Limits()


@pytest.mark.parametrize("name", DEFAULTS)
def test_a_limit_can_be_more_and_less_than_its_default(name: str) -> None:
    low, high = limit_range(name)
    assert low <= DEFAULTS[name] <= high
    assert low < high
    for value in (low, high):
        brief = read_brief(f"[limits]\n{name} = {value!r}", file="b.toml")
        assert brief.limits == ((name, value),)


@pytest.mark.parametrize(
    ("name", "limits"),
    [("text_ratio", (1.0, 21.0)), ("reach_fail_share", (0.0, 10.0)), ("style_tolerance", (0.0, 1.0)),
     ("large_text_css_px", (0.24, 2400.0))],
)  # fmt: skip
def test_how_far_a_limit_can_go(name: str, limits: tuple[float, float]) -> None:
    assert limit_range(name) == limits


@pytest.mark.parametrize(
    ("default", "limits", "value", "read"),
    [
        (12, (1, 1200), "24", 24),
        (12, (1, 1200), "24.0", 24),
        (12, (1, 1200), "24.5", None),
        (12, (1, 1200), "0", None),
        (-20.0, (-2000.0, -0.2), "-26", -26.0),
        (0.0, (0.0, 100.0), "1", 1.0),
    ],
)
def test_limits_of_other_kinds(
    monkeypatch: pytest.MonkeyPatch,
    default: float,
    limits: tuple[float, float],
    value: str,
    read: float | None,
) -> None:
    monkeypatch.setitem(DEFAULTS, "new", default)
    assert limit_range("new") == limits
    text = f"new = {value}"
    table = Table(file="b", positions=find_positions(text), path=(), title="", values=tomllib.loads(text))
    if read is None:
        with pytest.raises(UsageError, match=r"^b, line 1, column 7: new wants a whole number from 1 to 1200$"):
            read_limits(table)
    else:
        assert read_limits(table) == (("new", read),)
        assert type(read_limits(table)[0][1]) is type(default)


def test_the_readme_shows_a_brief_that_can_be_read() -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    _, _, rest = readme.partition("```toml\n")
    brief = read_brief(rest.partition("```")[0], file="brief.toml")
    assert brief.groups.keys() == {"when"}
    assert all((brief.sheet.size, brief.viewing.far_m, brief.limits, brief.figures, brief.waivers, brief.remarks))
