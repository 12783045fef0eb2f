"""The contrast that type asks for: one and the same for lines that are set alike."""

from collections.abc import Sequence
from dataclasses import replace
from math import atan, degrees
from statistics import median

from standback.measure.model import Measurement
from standback.measure.tiers import styles
from standback.settings import Limits

CSS_PX_DEG = 0.0213
"""The CSS reference pixel as a visual angle: 1/96 in at 28 in (CSS Values and Units 3, 5.2)."""
ARM_LENGTH_M = 0.7112
"""28 in, from where that pixel is looked at (the same). What is read from nearer by is called large by its size from
there, so that WCAG's 18 points are those of the ruler (ours)."""
BOLD_STROKE_PER_EM = 0.115
"""Stems at least this heavy count as bold: 0.16 of the height of the capitals (ours)."""


def css_px(em_mm: float, distance_m: float) -> float:
    """Screen equivalent: the em's visual angle from a distance, in CSS reference pixels."""
    return degrees(atan(em_mm / (1000 * distance_m))) / CSS_PX_DEG


def large_by_px(em_mm: float, station_m: float) -> float:
    """Size by which type counts as large: its screen equivalent from its station, or from arm's length if nearer."""
    return css_px(em_mm, max(station_m, ARM_LENGTH_M))


def is_bold(stroke_mm: float, em_mm: float) -> bool:
    """Whether the strokes are heavy enough to count as bold type."""
    return stroke_mm >= BOLD_STROKE_PER_EM * em_mm


def wanted_ratio(em_css_px: float, bold: bool, limits: Limits) -> float:
    """WCAG 2.2, 1.4.3: what type of that size asks for, as it appears from its own station."""
    large_px = limits.large_text_css_px * (14 / 18 if bold else 1.0)
    return limits.large_text_ratio if em_css_px >= large_px else limits.text_ratio


def set_alike(measured: Sequence[Measurement], limits: Limits) -> tuple[tuple[int, ...], ...]:
    """Group lines of one style, read from one station: indices into `measured`."""
    return tuple(
        tuple(n for n in members if measured[n].station == station)
        for members in styles([m.line for m in measured], limits)
        for station in dict.fromkeys(measured[n].station for n in members)
    )


def size_of(alike: Sequence[Measurement]) -> tuple[float, bool]:
    """Return the em in mm of lines set alike, and whether they are bold: medians, since each is a little off."""
    em_mm = median(m.em_mm for m in alike)
    return em_mm, is_bold(median(m.stroke_mm for m in alike), em_mm)


def with_wanted(measured: Sequence[Measurement], limits: Limits) -> list[Measurement]:
    """Ask the same contrast of lines that are set alike."""
    found = list(measured)
    for members in set_alike(measured, limits):
        em_mm, bold = size_of([measured[n] for n in members])
        for n in members:
            ratio = wanted_ratio(large_by_px(em_mm, measured[n].station_m), bold, limits)
            found[n] = replace(measured[n], ratio_wanted=ratio)
    return found
