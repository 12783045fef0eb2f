"""What is said of flat drawn shapes that are close to their ground: icons, symbols, parts of a drawing."""

from collections.abc import Sequence
from math import atan, degrees

from standback.checks.of_element import patch_finding
from standback.checks.outline import WEAK_OUTLINE
from standback.elements import DRAWN_SHAPE
from standback.findings import Finding, Severity
from standback.light import to_hex
from standback.measure.model import DetailMeasurement, Measurements
from standback.numbers import ratio
from standback.settings import Limits

REPEATED = 3
"""So many pale shapes are how the poster draws; one may be meant to stay quiet, however large (ours)."""
TINT_RATIO = 1.1
"""What stands off less than this is a tint of its ground, a row of a table or a shadow, and not drawn to be seen
(ours)."""
THIN, THIN_TIMES = 20.0, 3.0
"""A shape so many times as long as it is wide is drawn in lines, a quiet part of most drawings: it is spoken of where
it looks so many times as large as what is a warning of others (ours)."""


def is_shape(m: DetailMeasurement) -> bool:
    """Whether it is a drawn shape rather than fine detail."""
    return m.detail.kind == DRAWN_SHAPE


def pale_shapes(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    """Return a finding for each drawn shape that is paler than asked for and worth naming."""
    told = [finding.places[0].box_px for finding in WEAK_OUTLINE.run(measured, limits)]
    told += [f.figure.box_px for f in measured.figures if f.name is not None]
    shapes = [m for m in measured.details if is_shape(m) and m.detail.ratio < m.ratio_wanted and _speaks(m, limits)]
    pale = [m for m in shapes if m.name or not any(2 * m.detail.box_px.overlap(box) > box.area for box in told)]
    return tuple(_pale(m, _severity(m, pale)) for m in pale)


def seen_deg(size_mm: float, m: DetailMeasurement) -> float:
    """Return how large a length looks from far."""
    return degrees(atan(size_mm / (1000 * m.far_m)))


def _speaks(m: DetailMeasurement, limits: Limits) -> bool:
    """Whether a shape is clearly too pale: what nobody named may be meant to stay quiet."""
    if m.name is not None:
        return True
    told = TINT_RATIO <= m.detail.ratio <= limits.shape_share * m.ratio_wanted
    return told and (not _is_thin(m) or seen_deg(long_mm(m), m) >= THIN_TIMES * limits.detail_least_deg)


def _severity(m: DetailMeasurement, pale: Sequence[DetailMeasurement]) -> Severity:
    if m.name is not None:
        return Severity.FAIL
    return Severity.WARN if not _is_thin(m) and len(pale) >= REPEATED else Severity.NOTE


def long_mm(m: DetailMeasurement) -> float:
    """Return the longer side of its box."""
    x0, y0, x1, y1 = m.box_mm
    return max(x1 - x0, y1 - y0)


def _is_thin(m: DetailMeasurement) -> bool:
    return long_mm(m) >= THIN * m.detail.feature_mm


def _pale(m: DetailMeasurement, severity: Severity) -> Finding:
    what = "A drawn shape" if m.name is None else f"'{m.name}', a drawn shape"
    colours = f"{to_hex(m.detail.ink_srgb8)} on {to_hex(m.detail.ground_srgb8)}"
    return patch_finding(
        "faint-detail",
        m,
        severity,
        measured=m.detail.ratio,
        needed=m.ratio_wanted,
        unit="ratio",
        says=f"{what} is close to its ground, {colours}: {ratio(m.detail.ratio)} where its outline stands off "
        f"most, and {ratio(m.ratio_wanted)} is wanted.",
    )
