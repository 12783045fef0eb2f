"""What is told of a brief that is not written as TOML wants it."""

import pytest

from standback.brief.read import read_brief
from standback.errors import UsageError

LINE = "[[lines]]\nbox = [40, 48, 380, 110]\n"


def said_of(text: str) -> str:
    with pytest.raises(UsageError) as caught:
        read_brief(text, file="brief.toml")
    return str(caught.value)


QUOTES = 'text wants double quotes, such as "5 m"'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[sheet]\nsize = A2", f"line 2, column 8: there is no value here that can be read: {QUOTES}"),
        ("[sheet]\nsize = “A2”", f"line 2, column 8: there is no value here that can be read: {QUOTES}"),
        ("[sheet]\nsize =\n\n", f"line 2, column 7: there is no value here that can be read: {QUOTES}"),
        (
            "[viewing]\nfrom = 5 m",
            f"line 2, column 10: there is more after the value: {QUOTES}, and one key goes on a line",
        ),
        (
            "[limits]\r\ntext_ratio = 4,5",
            f"line 2, column 15: there is more after the value: {QUOTES}, and one key goes on a line",
        ),
        (
            "[sheet]\nsize: 'A2'",
            'line 2, column 5: a key is followed by = and its value, such as size = "A2"',
        ),
        ("= 3", "line 1, column 1: this is neither a key, a section in brackets nor a comment after #"),
        ("[]", "line 1, column 2: a key is missing: it is made of letters, digits, _ and -"),
        (
            "[sheet\n",
            "line 1, column 7: the brackets of a section are not closed, as in [sheet] or [[lines]]",
        ),
        (
            "[[lines]\n",
            "line 1, column 8: the brackets of a section are not closed, as in [sheet] or [[lines]]",
        ),
        (
            "[sheet]\nsize = \"A2\nbleed = '3 mm'",
            "line 2, column 11: the line ends inside a text: close it with the quotes it began with",
        ),
        (
            "[sheet]\nsize = 'A2\nbleed = '3 mm'",
            "line 2, column 11: the line ends inside a text: close it with the quotes it began with",
        ),
        (
            'a = """x\ny\n',
            "line 2, column 2: the brief ends inside a text: close it with the quotes it began with",
        ),
        (
            "a = '''x\ny\n",
            "line 2, column 2: the brief ends inside a text: close it with the quotes it began with",
        ),
        (
            "[[lines]]\nbox = [40 48]",
            "line 2, column 11: a list is not closed: part what is in it with commas and end it with ]",
        ),
        (
            "a = {b = 1; c = 2}",
            "line 1, column 11: braces are not closed: part what is in them with commas and end them with }",
        ),
        (
            '[[lines]]\nwording = "50 \\% off"',
            "line 2, column 17: a backslash means something else in double quotes: put this text in single ones",
        ),
        (
            'a = "x\x00"',
            "line 1, column 7: there is a character here that can't be in a brief: write the line anew",
        ),
        # twice
        (
            "[sheet]\n  size = 'A2'\n  bleed = '3 mm'\n  size = 'A3'",
            "line 4, column 3: 'size' is there twice, first in line 2: leave one of them",
        ),
        (
            "[sheet]\n[viewing]\n[sheet]\nsize = 'A2'",
            "line 3, column 2: 'sheet' is there twice, first in line 1: leave one of them",
        ),
        (
            "lines = [{box = [1, 2, 3, 4], box = [1, 2, 3, 4]}]",
            "line 1, column 31: 'box' is there twice, first in line 1: leave one of them",
        ),
        (
            LINE + "[lines]\n",
            "line 3, column 2: 'lines' is there twice, first in line 1: leave one of them",
        ),
        (
            # the second header of a table that may be there twice is not to blame
            LINE + LINE + "tier = 'lead'\ntier = 'small'\n" + LINE + "]",
            "line 6, column 1: 'tier' is there twice, first in line 5: leave one of them",
        ),
    ],
)
def test_what_is_not_written_as_toml_wants_it(text: str, said: str) -> None:
    assert said_of(text) == f"brief.toml, {said}"


def test_nested_too_deep() -> None:
    assert said_of("a = " + 5000 * "[") == "brief.toml: lists are nested too deep in it"


def test_a_number_that_python_refuses_to_read() -> None:
    assert said_of("a = " + 5000 * "9") == "brief.toml: there is a number in it that is too large"
