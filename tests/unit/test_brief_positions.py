"""Where keys, tables and values stand in a TOML text."""

import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standback.brief.positions import KeyPath, Mark, Twice, find_positions


@pytest.mark.parametrize(
    ("text", "keys", "values"),
    [
        ("", {}, {}),
        ("# only a comment", {}, {}),
        ("a = 1", {("a",): (1, 1)}, {("a",): (1, 5)}),
        ("\n\n  a\t=  'x' # b = 2\n", {("a",): (3, 3)}, {("a",): (3, 8)}),
        # a # or = or bracket in a text is no comment, key or table
        (
            'a = "# [b]\\" = 1"\nc = \'\\\'\nd = 2',
            {("a",): (1, 1), ("c",): (2, 1), ("d",): (3, 1)},
            {("a",): (1, 5), ("c",): (2, 5), ("d",): (3, 5)},
        ),
        # texts over several lines hold what looks like keys, and up to two quotes before they end
        (
            'a = """\nb = 1\n\\"""\n"""""\nc = \'\'\'\n[d]\n\'\'\'\'\'\ne = 1',
            {("a",): (1, 1), ("c",): (5, 1), ("e",): (8, 1)},
            {("a",): (1, 5), ("c",): (5, 5), ("e",): (8, 5)},
        ),
        # empty texts
        ("a = \"\"\nb = ''\nc = \"\"\"\"\"\"\nd = 1", None, {
            ("a",): (1, 5), ("b",): (2, 5), ("c",): (3, 5), ("d",): (4, 5),
        }),
        # tables, and a dotted key with quoted parts
        (
            '[ a . "b c" ]\nx."y.z" = 1\n[d]\ne = true',
            {
                ("a",): (1, 3), ("a", "b c"): (1, 7),
                ("a", "b c", "x"): (2, 1), ("a", "b c", "x", "y.z"): (2, 3),
                ("d",): (3, 2), ("d", "e"): (4, 1),
            },
            {("a", "b c", "x", "y.z"): (2, 11), ("d", "e"): (4, 5)},
        ),
        # tables of one name are counted; a table below goes with the last
        (
            "[[a]]\n[[a]]\nb = 1\n[a.c]\nd = 2\n[[a.e]]\n[[a]]\n",
            {
                ("a",): (1, 3), ("a", 0): (1, 3), ("a", 1): (2, 3), ("a", 1, "b"): (3, 1),
                ("a", 1, "c"): (4, 4), ("a", 1, "c", "d"): (5, 1),
                ("a", 1, "e"): (6, 5), ("a", 1, "e", 0): (6, 5), ("a", 2): (7, 3),
            },
            {("a", 1, "b"): (3, 5), ("a", 1, "c", "d"): (5, 5)},
        ),
        # lists over several lines, with comments, texts and a last comma
        (
            "a = [ # ]\n  1, '],', # 2,\n  [3],\n]\nb = 4",
            {("a",): (1, 1), ("b",): (5, 1)},
            {
                ("a",): (1, 5), ("a", 0): (2, 3), ("a", 1): (2, 6), ("a", 2): (3, 3), ("a", 2, 0): (3, 4),
                ("b",): (5, 5),
            },
        ),
        # tables in braces, also in lists
        (
            "a = { b = 1, c.d = [ 2 ] }\ne = [{}, {f = '}'}]",
            {
                ("a",): (1, 1), ("a", "b"): (1, 7), ("a", "c"): (1, 14), ("a", "c", "d"): (1, 16),
                ("e",): (2, 1), ("e", 1, "f"): (2, 11),
            },
            {
                ("a",): (1, 5), ("a", "b"): (1, 11), ("a", "c", "d"): (1, 20), ("a", "c", "d", 0): (1, 22),
                ("e",): (2, 5), ("e", 0): (2, 6), ("e", 1): (2, 10), ("e", 1, "f"): (2, 15),
            },
        ),
        # a date may have a blank in it; letters are counted, not bytes
        (
            "a = 1979-05-27 07:32:00Z # now\n'ö' = 'ä' # é\n",
            {("a",): (1, 1), ("ö",): (2, 1)},
            {("a",): (1, 5), ("ö",): (2, 7)},
        ),
        ("a = 1\r\n  b = 2\r\n", {("a",): (1, 1), ("b",): (2, 3)}, {("a",): (1, 5), ("b",): (2, 7)}),
    ],
)  # fmt: skip
def test_where_things_stand(
    text: str, keys: dict[KeyPath, tuple[int, int]] | None, values: dict[KeyPath, tuple[int, int]]
) -> None:
    tomllib.loads(text)
    found = find_positions(text)
    assert found.values == {path: Mark(*at) for path, at in values.items()}
    if keys is not None:
        assert found.keys == {path: Mark(*at) for path, at in keys.items()}


@pytest.mark.parametrize(
    ("text", "path", "first", "again"),
    [
        ("a = 1\nb = 2\n  a = 3", ("a",), (1, 1), (3, 3)),
        ("[a]\n[b]\n[a]", ("a",), (1, 2), (3, 2)),
        ("a.b = 1\na = 2", ("a",), (1, 1), (2, 1)),
        ("a = {b = 1, b = 2}", ("a", "b"), (1, 6), (1, 13)),
        ("[[a]]\nb = 1\n[[a]]\nb = 1\nb = 2", ("a", 1, "b"), (4, 1), (5, 1)),
    ],
)
def test_what_is_there_twice(text: str, path: KeyPath, first: tuple[int, int], again: tuple[int, int]) -> None:
    assert find_positions(text).twice == Twice(path=path, first=Mark(*first), again=Mark(*again))


def test_what_has_no_place_of_its_own_stands_where_it_belongs() -> None:
    found = find_positions("\n[sheet]\nsize = 1")
    assert found.of_key(("sheet", "bleed")) == Mark(2, 2)
    assert found.of_value(("sheet",)) == Mark(2, 2)
    assert found.of_value(("sheet", "size", 0)) == Mark(3, 1)
    assert found.of_key(("lines", 0)) == Mark(1, 1)


def _leaves(value: Any, path: KeyPath = ()) -> set[KeyPath]:
    if isinstance(value, dict):
        return set().union(*(_leaves(below, (*path, key)) for key, below in value.items()))
    if isinstance(value, list):
        return set().union(*(_leaves(below, (*path, index)) for index, below in enumerate(value)))
    return {path}


class _Writer:
    """Writes a document in a way of its own, and notes where it wrote each key and value."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.text = ""
        self.keys: dict[KeyPath, Mark] = {}
        self.values: dict[KeyPath, Mark] = {}

    def mark(self) -> Mark:
        return Mark(self.text.count("\n") + 1, len(self.text) - (self.text.rfind("\n") + 1) + 1)

    def blank(self) -> None:
        self.text += self.draw(st.sampled_from(["", " ", "\t", "  "]))

    def break_line(self) -> None:
        self.text += self.draw(
            st.sampled_from(["\n", " \n", " # a = 1\n", "#[[x]]\n", "\n\n\t# \"'''\n", "\n# é = {[\n"])
        )

    def key(self, name: str) -> None:
        plain = name.replace("_", "").isalnum() and name.isascii()
        ways = [f"'{name}'", f'"{name}"', f'"\\u{ord(name[0]):04x}{name[1:]}"']
        ways += [name] * 3 if plain else []
        self.text += self.draw(st.sampled_from(ways))

    def pair(self, path: KeyPath, value: Any) -> None:
        self.keys[path] = self.mark()
        self.key(str(path[-1]))
        while isinstance(value, dict) and len(value) == 1 and self.draw(st.booleans()):
            self.blank()
            self.text += "."
            self.blank()
            ((name, value),) = value.items()
            path = (*path, name)
            self.keys[path] = self.mark()
            self.key(name)
        self.blank()
        self.text += "="
        self.blank()
        self.value(path, value)

    def value(self, path: KeyPath, value: Any) -> None:
        self.values[path] = self.mark()
        if isinstance(value, dict):
            self.text += "{"
            for index, (name, below) in enumerate(value.items()):
                self.text += "," if index else ""
                self.blank()
                self.pair((*path, name), below)
                self.blank()
            self.text += "}"
        elif isinstance(value, list):
            self.text += "["
            for index, below in enumerate(value):
                self.text += "," if index else ""
                self.draw(st.sampled_from([self.blank, self.break_line]))()
                self.value((*path, index), below)
                self.draw(st.sampled_from([self.blank, self.break_line]))()
            self.text += "]"
        else:
            self.text += value

    def document(self, document: dict[str, Any]) -> None:
        tables = {}
        for name, value in document.items():
            if isinstance(value, dict) and self.draw(st.booleans()):
                tables[name] = value
            else:
                self.pair((name,), value)
                self.break_line()
        for name, value in tables.items():
            count = self.draw(st.integers(0, 2))  # 0: a table of its own, else one of several
            for index in range(max(count, 1)):
                self.text += "[[" if count else "["
                self.blank()
                path: KeyPath = (name, index) if count else (name,)
                self.keys.setdefault((name,), self.mark())
                self.keys[path] = self.mark()
                self.key(name)
                self.blank()
                self.text += "]]" if count else "]"
                self.break_line()
                for key, below in value.items():
                    self.blank()
                    self.pair((*path, key), below)
                    self.break_line()


_NAMES = st.sampled_from(["a", "b_1", "c d", "é.", "#", "1", "[x]", "=", "true"])
_PLAIN = st.sampled_from([
    "1", "-2.5", "true", "1979-05-27 07:32:00Z", "'#'", '"\\""', '""', "''",
    "'''\na = 1\n'''''", '"""\\"""["""""',
])  # fmt: skip
_VALUES = st.recursive(
    _PLAIN,
    lambda below: st.lists(below, max_size=3) | st.dictionaries(_NAMES, below, max_size=3),
    max_leaves=6,
)


@settings(max_examples=100, deadline=None)
@given(document=st.dictionaries(_NAMES, _VALUES, max_size=4), data=st.data())
def test_however_it_is_written_all_is_found(document: dict[str, Any], data: st.DataObject) -> None:
    writer = _Writer(data.draw)  # type: ignore[arg-type]
    writer.document(document)
    read = tomllib.loads(writer.text)
    found = find_positions(writer.text)
    assert found.keys == writer.keys
    assert found.values == writer.values
    assert _leaves(read) <= found.values.keys()
    assert found.twice is None


@settings(max_examples=200, deadline=None)
@given(st.text(alphabet="a.=\"'[]{},#\\\n \r1", max_size=30))
def test_it_comes_to_an_end_on_any_text(text: str) -> None:
    find_positions(text)
