"""What makes a measured line text: the scorer's word, and that of its letters."""

from dataclasses import replace
from typing import Any

import pytest

from standback.find.textlike import Traits, text_likeness

TITLE = Traits(
    score=0.75, letters=12, pieces=12, tidy=1.0, level=1.0, ranked=1.0, fill=0.55, repeats=0.33, square=0.6,
    uneven=0.3, unrest=0.0, widest=0.8, nested=0.0, share=0.02,
)  # fmt: skip
"""Letters in perfect order of which the scorer was unsure."""


def test_letters_in_order_are_surely_text_whatever_the_scorer_says() -> None:
    assert text_likeness(TITLE) > 0.95
    assert text_likeness(replace(TITLE, score=0.95)) > text_likeness(TITLE)


@pytest.mark.parametrize(
    "worse", [{"pieces": 7}, {"tidy": 0.9}, {"level": 0.9}, {"ranked": 0.9}, {"repeats": 0.5}, {"unrest": 0.1}]
)
def test_what_is_out_of_order_needs_the_scorer(worse: dict[str, Any]) -> None:
    assert text_likeness(replace(TITLE, **worse)) < 0.85


def test_a_letter_alone_is_text_only_where_it_is_large() -> None:
    letter = replace(TITLE, score=0.9, letters=1, pieces=1, repeats=0.0)
    assert text_likeness(replace(letter, share=0.2)) > 0.6
    assert text_likeness(letter) < 0.1
