"""Checks of fine detail: hairlines, dots, hatching, hair, thin outlines; and of large figures."""

from math import sqrt

from standback.checks.drawn import is_shape, long_mm, pale_shapes, seen_deg
from standback.checks.model import Check
from standback.checks.of_element import patch_finding
from standback.findings import Finding, Severity
from standback.measure.model import DetailMeasurement, FigureMeasurement, Measurements
from standback.numbers import distance, millimetres, ratio
from standback.places import place_in_words
from standback.settings import Limits

EXEMPT = frozenset({"code", "halftone", "rule"})
"""Codes are scanned from near by, halftone is meant to melt into a tone, and rules and frames to stay quiet."""
CONTOURS = frozenset({"outline", "stroke"})
"""Edges, rings and highlights in a picture, rather than what its surfaces are made of."""
PART_LEAST_DEG = 0.4
"""A patch that draws a part of the main figure, as hair or plumage, counts from so long on (ours)."""
PATTERN_LEAST_DEG, PATTERN_LEAST_MARKS = 0.75, 20
"""So does a trail of dots or hatching that is so long, of so many marks, wherever it lies (ours)."""
SURE = 0.7
"""A patch less surely fine detail than this is a note at the most (ours)."""


def _matters(m: DetailMeasurement) -> bool:
    return m.detail.confidence >= SURE and (m.in_main_figure or m.text_colour)


def _speaks(m: DetailMeasurement, limits: Limits) -> bool:
    """Whether a patch is worth naming: a drawing to be seen from far, not an icon, an accent or a quiet tone."""
    if is_shape(m):
        return False
    if m.name is not None:
        return True
    long_deg, across_deg = seen_deg(long_mm(m), m), seen_deg(sqrt(m.detail.area_mm2), m)
    texture = m.detail.kind not in CONTOURS
    part = texture and m.in_main_figure and m.detail.confidence >= SURE and long_deg >= PART_LEAST_DEG
    trail = texture and long_deg >= PATTERN_LEAST_DEG and m.detail.count >= PATTERN_LEAST_MARKS
    large = part or trail or across_deg >= limits.detail_least_deg
    return large and m.detail.kind not in EXEMPT and m.detail.ratio >= limits.detail_least_ratio


def _alike(a: DetailMeasurement | FigureMeasurement, b: DetailMeasurement | FigureMeasurement) -> bool:
    """One finding for each check and poster, but for shapes, for what matters more and for what the brief names."""
    shapes = [isinstance(m, DetailMeasurement) and is_shape(m) for m in (a, b)]
    if any(shapes) and a.name is None and b.name is None:
        return all(shapes)
    matter = [isinstance(m, DetailMeasurement) and _matters(m) for m in (a, b)]
    return type(a) is type(b) and a.name == b.name and (a.name is not None or matter[0] == matter[1])


def _severity(m: DetailMeasurement) -> Severity:
    if m.name is not None:
        return Severity.FAIL
    return Severity.WARN if _matters(m) else Severity.NOTE


def _what(m: DetailMeasurement) -> str:
    width = millimetres(m.detail.feature_mm)
    pitch = "" if m.detail.pitch_mm is None else f", {millimetres(m.detail.pitch_mm)} apart"
    named = "" if m.name is None else f" of '{m.name}'"
    return f"{m.detail.kind.capitalize()}{named}, {width} wide{pitch}"


def _faint_detail(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    details = (m for m in measured.details if _speaks(m, limits))
    faint = [_faint_patch(m) for m in details if m.detail.ratio < m.ratio_wanted]
    # a shape that nobody named may well be meant to stay quiet
    named = (f for f in measured.figures if f.name is not None)
    return (
        *faint,
        *pale_shapes(measured, limits),
        *(_faint_figure(f) for f in named if f.figure.ratio < f.ratio_wanted),
    )


def _faint_patch(m: DetailMeasurement) -> Finding:
    return patch_finding(
        "faint-detail",
        m,
        _severity(m),
        measured=m.detail.ratio,
        needed=m.ratio_wanted,
        unit="ratio",
        says=f"{_what(m)}: {ratio(m.detail.ratio)} to its ground, where {ratio(m.ratio_wanted)} is wanted.",
    )


def _faint_figure(m: FigureMeasurement) -> Finding:
    return patch_finding(
        "faint-detail",
        m,
        Severity.FAIL,
        measured=m.figure.ratio,
        needed=m.ratio_wanted,
        unit="ratio",
        says=f"'{m.name}' is close to its surroundings: {ratio(m.figure.ratio)} where "
        f"{ratio(m.ratio_wanted)} is asked for.",
    )


FAINT_DETAIL = Check(
    id="faint-detail",
    title="Detail close to its ground",
    rationale=(
        "Lines, dots and shapes that carry the drawing need contrast as letters do; pale ones are the first "
        "to go in dim light. An icon is as clear as its outline."
    ),
    source="WCAG 2.2, 1.4.11 (non-text contrast, 3:1). What is a note and what a warning: ours.",
    asks=(
        "a contrast of at least {detail_ratio:g}:1 of strokes, dots, flat drawn shapes and figures to what is around "
        "them; a shape that no brief names counts from {shape_share:.2g} of that down; codes, halftone, rules, "
        "frames, panels and pictures are exempt"
    ),
    severity=(
        "warn where the strokes lie in the main figure, or are isolated marks of a colour also used for "
        "text, and for pale drawn shapes that come three times; fail for what the "
        "brief names; else note"
    ),
    run=_faint_detail,
    alike=_alike,
    measured_as="contrast {}",
)


def _detail_lost(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    main = max(measured.figures, key=lambda f: f.figure.area_share, default=None)
    lost = (m for m in measured.details if _speaks(m, limits) and m.resolve_m < _wanted_from_m(m, limits))
    return tuple(_lost(m, _part_of(m, main)) for m in lost)


def _wanted_from_m(m: DetailMeasurement, limits: Limits) -> float:
    """Return from where a patch has to be told apart: nearer by where nobody said that it should be from far."""
    return m.far_m if m.name is not None else limits.reach_guess_share * m.far_m


def _part_of(m: DetailMeasurement, main: FigureMeasurement | None) -> str:
    """Say which part of the main figure it draws: " (in the figure, at its top left)"."""
    if main is None or not m.in_main_figure:
        return ""
    left, top, right, bottom = main.box_mm
    x0, y0, x1, y1 = m.box_mm
    place = place_in_words((x0 - left, y0 - top, x1 - left, y1 - top), right - left, bottom - top)
    figure = f"'{main.name}'" if main.name else "the figure"
    return f" (in {figure}, {place}{'' if place.startswith(('across', 'down', 'over')) else ' of it'})"


def _lost(m: DetailMeasurement, part: str) -> Finding:
    seen_as = "it is gone" if m.carry_m < m.far_m else "it reads as an even tone"
    return patch_finding(
        "detail-lost",
        m,
        _severity(m),
        measured=m.resolve_m,
        needed=m.far_m,
        unit="m",
        says=f"{_what(m)}{part}: told apart from {distance(m.resolve_m)} at the most; "
        f"from {distance(m.far_m)} {seen_as}.",
    )


DETAIL_LOST = Check(
    id="detail-lost",
    title="Detail lost from afar",
    rationale=(
        "Strokes and dots finer than the eye can part run together into a tone, or vanish; what they were "
        "drawn to say is said only to who walks up."
    ),
    source=(
        "Detection after Watson & Ahumada (2005), at 3 times the threshold; the classical minute of arc for "
        "two bars comes out of it (a test shows it). What is a note and what a warning: ours."
    ),
    asks=(
        "strokes and dots that can be told apart from far, at {noticed_jnd:g} times what is just visible, or from "
        "{reach_guess_share:g} times as far if the brief names none of it; codes, halftone, rules and frames are exempt"
    ),
    severity=(
        "warn where the strokes lie in the main figure, or are isolated marks of a colour also used for "
        "text; fail for figures that the brief names; else note"
    ),
    run=_detail_lost,
    alike=_alike,
    measured_as="told apart from {}",
    needed_as="needed from {}",
)
