"""Gaps that part words, told from pairs that are opened."""

import numpy as np
import pytest

from standback.measure.word_gaps import word_gaps

LETTERS = (0.19, 0.21, 0.20, 0.22, 0.18)


@pytest.mark.parametrize(
    ("others", "words"),
    [
        ((), 0),
        ((0.56,), 1),
        ((0.56, 0.58), 2),
        # as in justified text set narrow: no one of them is a word gap for sure, but they are alike
        ((0.41, 0.42, 0.40), 3),
        # a pair opened by a tenth of an em, alone and beside words
        ((0.34,), 0),
        ((0.34, 0.56), 1),
        # one opened by more is as wide as narrow word spaces are, and unlike those that stand here
        ((0.40, 0.57, 0.58), 2),
        # closed pairs are none
        ((0.02, 0.56), 1),
    ],
)
def test_gaps_that_part_words(others: tuple[float, ...], words: int) -> None:
    gaps = np.array([*LETTERS, *others, *LETTERS])
    found = word_gaps(gaps)
    assert np.count_nonzero(found) == words
    assert sorted(gaps[found]) == sorted(others)[len(others) - words :]


def test_words_of_letters_set_apart_are_farther_apart() -> None:
    opened = np.array(LETTERS) + 0.25
    assert word_gaps(np.array([*LETTERS, 0.40, *LETTERS])).any()
    assert not word_gaps(np.array([*opened, 0.65, *opened])).any()
    assert np.flatnonzero(word_gaps(np.array([*opened, 1.0, *opened]))).tolist() == [5]


def test_no_gaps_part_nothing() -> None:
    assert word_gaps(np.zeros(0)).tolist() == []
