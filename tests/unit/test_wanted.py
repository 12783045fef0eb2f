"""One contrast is asked of lines that are set alike."""

from math import radians, tan

from checks.builders import PX_PER_MM, STATIONS_M, measured, text_line
from standback.measure.model import Measurement
from standback.measure.wanted import with_wanted
from standback.settings import Limits

BORDER_MM = 1000 * STATIONS_M["mid"] * tan(radians(24 * 0.0213)) * 14 / 18
"""Em of large bold type from the middle station (WCAG 2.2, 1.4.3; 0.0213 degrees a pixel: CSS Values and Units 3)."""


def set_at(share: float, *, tier: str = "support") -> Measurement:
    """A bold line whose em is so many times the border."""
    return measured(line=text_line(cap_px=0.71 * share * BORDER_MM * PX_PER_MM), tier=tier)


def asked(*lines: Measurement) -> list[float]:
    return [m.ratio_wanted for m in with_wanted(lines, Limits())]


def test_alone_its_own_size_decides() -> None:
    assert asked(set_at(0.98)) == [4.5]
    assert asked(set_at(1.02)) == [3.0]


def test_lines_set_alike_are_asked_the_same() -> None:
    assert asked(set_at(0.98), set_at(1.02), set_at(1.03)) == [3.0] * 3
    assert asked(set_at(0.97), set_at(0.98), set_at(1.02)) == [4.5] * 3


def test_who_reads_from_elsewhere_is_asked_by_that() -> None:
    assert asked(set_at(0.98), set_at(0.98, tier="small")) == [4.5, 3.0]
