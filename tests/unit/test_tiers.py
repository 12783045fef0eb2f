"""Styles and guessed tiers."""

import pytest

from checks.builders import text_line
from standback.elements import Line
from standback.measure.tiers import guess_tiers, styles
from standback.settings import Limits

LIMITS = Limits()


def caps(*heights_px: float) -> list[Line]:
    return [text_line(cap_px=float(h), at=(100, 100 + 50 * i)) for i, h in enumerate(heights_px)]


@pytest.mark.parametrize(
    ("heights_px", "tiers"),
    [
        # two cuts, at the two widest ratios: 100/40 and 40/10; 12/10 is no cut
        ((100, 40, 12, 10), ("lead", "support", "small", "small")),
        # one cut: lead and support
        ((100, 40), ("lead", "support")),
        ((100, 40, 36), ("lead", "support", "support")),
        # no ratio reaches 1.25: the uppermost style is lead if it stands alone
        ((40, 33), ("lead", "support")),
        ((40,), ("lead",)),
        ((40, 40), ("support", "support")),
        # three wide gaps: only the two widest cut (3 and 2.5; 1.33 does not)
        ((120, 40, 16, 12), ("lead", "support", "small", "small")),
        ((), ()),
    ],
)
def test_tiers_by_the_two_widest_ratios(heights_px: tuple[float, ...], tiers: tuple[str, ...]) -> None:
    assert guess_tiers(caps(*heights_px), LIMITS) == tiers


def test_a_style_counts_once_however_many_lines_it_has() -> None:
    lines = caps(*([10] * 20), 100, 30)
    assert guess_tiers(lines, LIMITS)[-2:] == ("lead", "support")
    assert set(guess_tiers(lines, LIMITS)[:20]) == {"small"}


def test_capitals_and_lowercase_of_one_size_are_one_tier() -> None:
    lines = [text_line(cap_px=71.0), text_line(cap_px=None, x_px=52.0), text_line(cap_px=20.0)]
    assert guess_tiers(lines, LIMITS) == ("lead", "lead", "support")


def test_style_needs_same_ink_ground_and_size() -> None:
    black = text_line()
    assert styles([black, text_line(cap_px=20.8)], LIMITS) == ((1, 0),)
    assert styles([black, text_line(cap_px=22.0)], LIMITS) == ((1,), (0,))
    assert styles([black, text_line(ink=(120, 0, 0))], LIMITS) == ((0,), (1,))
    assert styles([black, text_line(ground=(255, 255, 180))], LIMITS) == ((0,), (1,))
    assert styles([black, text_line(ink=(3, 3, 3), ground=(253, 253, 253))], LIMITS) == ((0, 1),)


def test_a_chain_of_small_steps_does_not_join_unlike_sizes() -> None:
    groups = styles(caps(100, 96, 92, 88), LIMITS)
    assert groups == ((0, 1), (2, 3))
