"""Printed black and paper white: ratios as printed, and what they cost."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from standback.checks import check_of
from standback.findings import Severity
from standback.light import ratio_of_luminances
from standback.measure.model import Measurement, Measurements
from standback.measure.seen import printed_ratio
from standback.pipeline import audit_artwork
from standback.settings import Limits, Settings
from standback.stock import STOCKS
from synth import Sheet, sans_bold

WORST_LAST = (None, STOCKS["coated"], STOCKS["uncoated"], STOCKS["newsprint"])

# ISO 12647-2:2004, table 1, L* of paper and of solid black (the black from memory; newsprint assumed), as
# luminance, plain ratio, and WCAG ratio with its flare.
PRINTED = {
    "coated": (0.8762, 0.0210, 41.7, 13.05),
    "uncoated": (0.8762, 0.0665, 13.2, 7.95),
    "newsprint": (0.6030, 0.0901, 6.7, 4.66),
}


@pytest.mark.parametrize("name", PRINTED)
def test_black_on_white_as_the_standard_has_it(name: str) -> None:
    stock = STOCKS[name]
    white1, black1, plain, ratio = PRINTED[name]
    assert [stock.white1, stock.black1] == pytest.approx([white1, black1], abs=5e-5)
    assert stock.white1 / stock.black1 == pytest.approx(plain, abs=0.05)
    assert printed_ratio(0.0, 1.0, stock) == pytest.approx(ratio, abs=0.005)


@given(st.floats(0, 1), st.floats(0, 1))
def test_no_stock_adds_contrast(a: float, b: float) -> None:
    ratios = [printed_ratio(a, b, stock) for stock in WORST_LAST]
    assert all(worse <= better * (1 + 1e-12) for better, worse in pairwise(ratios))
    assert ratios[0] == ratio_of_luminances(a, b)


def test_half_light_prints_between_paper_and_black() -> None:
    for stock in STOCKS.values():
        printed = stock.printed1(np.array([0.0, 0.5, 1.0]))
        assert printed == pytest.approx([stock.black1, (stock.black1 + stock.white1) / 2, stock.white1])
        assert stock.of_paper1(1.0) == 1.0


def lines(ink: tuple[int, int, int], ground: tuple[int, int, int]) -> list[Measurement]:
    sheet = Sheet(105.0, 148.0, 75.0, ground)
    sheet.text("Doors at seven", sans_bold(), ink, (8, 50), cap_mm=9.0)
    artwork = sheet.finish().artwork()
    return [audit_artwork(artwork, Settings(far_m=2.5, stock=stock)).elements[0] for stock in WORST_LAST]


@pytest.mark.parametrize(("ink", "ground"), [((0, 0, 0), (255, 255, 255)), ((255, 255, 255), (30, 40, 60))])
def test_every_distance_is_as_printed(ink: tuple[int, int, int], ground: tuple[int, int, int]) -> None:
    measured = lines(ink, ground)
    assert measured[0].ratio_printed is None
    assert len({m.ratio for m in measured}) == 1, "as exported, whatever the stock"
    for better, worse in pairwise(measured):
        assert (worse.ratio_printed or 0) < (better.ratio_printed or better.ratio)
        assert worse.reach_m < better.reach_m
        assert worse.at("mid").jnd < better.at("mid").jnd
        assert (worse.at("mid").ratio or 0) < (better.at("mid").ratio or 0)
        assert (worse.at("mid").block_ratio or 0) < (better.at("mid").block_ratio or 0)


def test_what_falls_short_only_as_printed_is_a_warn() -> None:
    *_, newsprint = lines((40, 40, 40), (255, 255, 255))
    assert newsprint.ratio > 7 > 4.5 > (newsprint.ratio_printed or 9)
    (finding,) = check_of("faint-text").run(Measurements(lines=(replace(newsprint, ratio_wanted=4.5),)), Limits())
    assert (finding.severity, finding.measured) == (Severity.WARN, newsprint.ratio_printed)
    assert "as exported" in finding.says
