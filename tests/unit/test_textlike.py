"""What makes a measured line text: the scorer's word, and that of its letters."""

from dataclasses import replace
from typing import Any, cast

import numpy as np
import pytest
from scipy import ndimage

from standback.find.glyphs import Glyphs
from standback.find.split import Split
from standback.find.textlike import Traits, crumbles, text_likeness

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


def pieces(mask: np.ndarray) -> Glyphs:
    """Take every piece of a mask, from left to right, for a letter; nothing here looks at where it was cut from."""
    labels, count = ndimage.label(mask, np.ones((3, 3)))
    rows, columns = zip(*ndimage.find_objects(labels), strict=True)
    order = np.argsort([found.start for found in columns])
    renumber = np.r_[0, np.argsort(order) + 1].astype(np.int32)
    bounds = {
        "x0": [columns[n].start for n in order],
        "x1": [columns[n].stop for n in order],
        "y0": [rows[n].start for n in order],
        "y1": [rows[n].stop for n in order],
        "area": np.bincount(labels.ravel())[1:][order],
    }
    return Glyphs(
        split=cast("Split", None),
        labels=renumber[labels],
        own=(slice(0, mask.shape[0]), slice(0, mask.shape[1])),
        letter=np.ones(count, dtype=bool),
        tidy=1.0,
        **{name: np.asarray(values, dtype=np.float64) for name, values in bounds.items()},
    )


def test_rims_taken_for_ink_crumble_and_letters_with_their_dots_do_not() -> None:
    mask = np.zeros((60, 300), dtype=bool)
    for x in range(10, 290, 14):
        mask[20:40, x : x + 3] = True  # a letter ...
        mask[12:15, x : x + 3] = True  # ... its dot, and what hangs from it
        mask[44:46, x : x + 3] = True
    letters = pieces(mask)
    tall = letters.y1 - letters.y0 > 10
    assert not crumbles(replace(letters, letter=tall))
    for x in range(10, 290, 14):
        mask[20:40:4, x + 6 : x + 8] = mask[21:40:4, x + 9 : x + 11] = True
    crumbs = pieces(mask)
    assert crumbles(replace(crumbs, letter=crumbs.y1 - crumbs.y0 > 10))
