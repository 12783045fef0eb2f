"""Where two wordings differ."""

import pytest

from standback.same_words import difference


@pytest.mark.parametrize(
    ("read", "wanted"),
    [
        ("CAFE", "Café"),
        ("Doors open at 7 pm", "doors open at 7pm"),
        ("FREE ENTRY!", "Free entry"),
        ("Grand opening, CAFÉ LUNA", "Café Luna"),
        ("OPEN 10-l8", "Open 10–18"),
        ("nothing wanted", "–"),
        ("LOW一TIDE", "LOW TIDE"),  # a rule between words
        ("L I B R A R Y", "Library"),  # set wide, not broken
    ],
)
def test_the_same(read: str, wanted: str) -> None:
    assert difference(read, wanted) is None


@pytest.mark.parametrize(
    ("read", "wanted", "words", "letters"),
    [
        ("CA É NOIR", "CAFÉ NOIR", (("CA É", "CAFÉ"),), True),
        ("HARB UR DAY", "HARBOUR DAY", (("HARB UR", "HARBOUR"),), True),
        ("HARBXUR DAY", "HARBOUR DAY", (("HARBXUR", "HARBOUR"),), True),
        ("HARBO UR DAY", "HARBOUR DAY", (("HARBO UR", "HARBOUR"),), False),
        ("OPEN", "OPEN DAY", (("", "DAY"),), True),
        ("DAY", "OPEN DAY", (("", "OPEN"),), True),
        ("", "OPEN", (("", "OPEN"),), True),
        ("東一", "東京", (("東一", "東京"),), True),
    ],
)
def test_words_that_differ(read: str, wanted: str, words: tuple[tuple[str, str], ...], letters: bool) -> None:
    found = difference(read, wanted)
    assert found is not None
    assert (found.words, found.letters) == (words, letters)


def test_how_much_alike() -> None:
    found = difference("HARB UR DAY", "HARBOUR DAY")
    assert found is not None and found.alike == pytest.approx(9 / 10)
