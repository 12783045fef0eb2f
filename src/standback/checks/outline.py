"""Check of the main figure's silhouette."""

from standback.arrangement import Outline
from standback.checks.model import Check
from standback.checks.of_element import placed_finding, shortfall_of_minimum
from standback.findings import Finding, Severity
from standback.measure.model import FigureMeasurement, Measurements
from standback.numbers import distance, ratio
from standback.settings import Limits


def _weak_outline(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    figures = {f.id: f for f in measured.figures}
    return tuple(
        _weak(outline, figures[outline.element], limits)
        for outline in measured.arrangement.outlines
        if outline.held < limits.outline_share and outline.ratio < limits.detail_ratio
    )


def _weak(outline: Outline, f: FigureMeasurement, limits: Limits) -> Finding:
    what = "The main figure" if f.name is None else f"'{f.name}'"
    return placed_finding(
        "weak-outline",
        [f],
        Severity.WARN,
        measured=outline.ratio,
        needed=limits.detail_ratio,
        unit="ratio",
        shortfall=shortfall_of_minimum(outline.ratio, limits.detail_ratio),
        says=f"{what} hardly stands off from what is around it: {ratio(outline.ratio)} along half of its outline or "
        f"more. From {distance(f.far_m)}, in dim light or without colour, its shape is lost.",
    )


WEAK_OUTLINE = Check(
    id="weak-outline",
    title="The figure's outline is weak",
    rationale=(
        "From afar a drawing is its silhouette. Where most of the outline is close to its ground in lightness, the "
        "shape holds by colour alone, and goes with the light."
    ),
    source=(
        "WCAG 2.2, 1.4.11 (non-text contrast, 3:1), along the outline. Which figure is the main one, and that half "
        "of the outline has to hold: ours."
    ),
    asks=(
        "a contrast of at least {detail_ratio:g}:1 along {outline_share:.0%} or more of the outline of the figures "
        "that the brief names, else of the main one; discs, panels and framed pictures have no shape to tell"
    ),
    severity="warn",
    measured_as="contrast {} along the outline",
    run=_weak_outline,
    alike=lambda a, b: False,
    stands_alone=True,
)
