"""Bands: what proposals share, and which are one line."""

import pytest

from standback.find.bands import Band, thinned


def band(x0: float, x1: float, middle_y: float, body_px: float, score: float = 1.0) -> Band:
    return Band(x0=x0, x1=x1, middle_y=middle_y, body_px=body_px, score=score)


def test_bands_share_area_as_a_part_of_the_smaller() -> None:
    assert band(0, 100, 10, 10).shared(band(50, 150, 10, 10)) == pytest.approx(0.5)
    assert band(0, 100, 10, 10).shared(band(0, 50, 10, 10)) == pytest.approx(1.0)
    assert band(0, 100, 10, 10).shared(band(0, 100, 30, 10)) == 0.0


def test_two_looks_at_one_line_become_one_band() -> None:
    (kept,) = thinned([band(0, 60, 10, 10, 0.9), band(30, 100, 10.5, 11, 0.8)])
    assert (kept.x0, kept.x1, kept.body_px) == (0, 100, 10)


def test_lines_above_each_other_stay_apart() -> None:
    assert len(thinned([band(0, 60, 10, 10), band(0, 60, 30, 10)])) == 2
