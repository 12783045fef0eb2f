"""Checks of a line's contrast with its ground."""

from standback.checks.model import Check
from standback.checks.of_element import line_finding
from standback.doubts import Doubt
from standback.findings import Finding, Severity
from standback.measure.model import Measurement, Measurements
from standback.measure.tiers import same_colours
from standback.numbers import distance, ratio
from standback.settings import Limits

SURELY_TEXT = 0.8
"""What is less surely text is named for what it falls short of plainly, not by a little (ours)."""


def _faint_text(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    lines = (m for m in measured.lines if not too_thin_to_tell(m, limits) and not _hardly_text(m, limits))
    found = (_faint_printed(m) if m.ratio >= m.ratio_wanted else _faint(m, limits) for m in lines)
    return tuple(finding for finding in found if finding is not None)


def too_thin_to_tell(m: Measurement, limits: Limits) -> bool:
    """Whether a line may be as pale as it is only for want of pixels: strokes of a few hide a little of their ink."""
    hidden = m.ratio >= limits.ink_known_share * m.ratio_wanted and Doubt.LOW_RESOLUTION in m.doubts
    return limits.ratio_fail <= m.ratio < m.ratio_wanted and (hidden or m.line.stroke_px < limits.ink_least_px)


def _hardly_text(m: Measurement, limits: Limits) -> bool:
    """Whether a line that is a little pale may be no text at all."""
    return m.line.confidence < SURELY_TEXT and m.ratio >= limits.near_miss_reached_share * m.ratio_wanted


def _faint_printed(m: Measurement) -> Finding | None:
    """Name a line that is plain enough as exported, but not as printed."""
    if m.ratio_printed is None or m.ratio_printed >= m.ratio_wanted:
        return None
    return line_finding(
        "faint-text",
        m,
        Severity.WARN,
        measured=m.ratio_printed,
        needed=m.ratio_wanted,
        unit="ratio",
        says=f"Printed, its ink comes closer to its ground: {ratio(m.ratio)} as exported, but "
        f"{ratio(m.ratio_printed)} on this stock, where {ratio(m.ratio_wanted)} is asked for.",
    )


def _faint(m: Measurement, limits: Limits) -> Finding:
    short = m.reach_m < limits.reach_comfort * m.station_m
    reached = m.reach_m >= m.station_m
    share = limits.near_miss_reached_share if reached else limits.near_miss_share
    fails = (short and m.ratio < share * m.ratio_wanted) or m.ratio < limits.ratio_fail
    large = m.ratio_wanted < limits.text_ratio
    if m.station == "near":
        kind = "large text" if large else "text of this size"
    else:
        kind = f"type that looks as {'large' if large else 'small'} as this from {distance(m.station_m)}"
    reads = (
        f"from {distance(m.station_m)} it can't be read"
        if m.reach_m < m.station_m
        else f"it reads from {distance(m.reach_m)} at the most"
    )
    return line_finding(
        "faint-text",
        m,
        Severity.FAIL if fails else Severity.WARN,
        measured=m.ratio,
        needed=m.ratio_wanted,
        unit="ratio",
        says=f"The ink is close to its ground: {ratio(m.ratio)} where {kind} asks for "
        f"{ratio(m.ratio_wanted)}; {reads}.",
    )


def _alike(a: Measurement, b: Measurement) -> bool:
    """One finding for lines of the same colours that are asked for the same: its numbers hold for all."""
    return a.ratio_wanted == b.ratio_wanted and same_colours(a.line, b.line)


FAINT_TEXT = Check(
    id="faint-text",
    title="Too little contrast",
    rationale=(
        "Ink close to its ground in lightness is the first thing to go with distance, poor light or tired "
        "eyes. The ratio is measured on the artwork's own colours, before anything is blurred."
    ),
    source=(
        "WCAG 2.2, success criteria 1.4.3 (4.5:1; 3:1 for large text, judged by the angle at which the type "
        "appears from its own station) and 1.4.6 (enhanced). That a ratio under 2, or a reach under twice "
        "the station, fails: ours."
    ),
    asks=(
        "a contrast of ink to ground of at least {text_ratio:g}:1; {large_text_ratio:g}:1 for large text: "
        "type whose em is, from its own station, or from arm's length if that is nearer, {large_text_css_px:g} px on a "
        "screen at arm's length, or 14/18 of that if it is bold; strokes under {ink_least_px:g} px of the "
        "file are told only under {ratio_fail:g}:1, those under "
        "3 px only where they are short by more than their ink is known by, and what "
        "may be no text only under {near_miss_reached_share:g} times what is asked for"
    ),
    severity=(
        "fail under {ratio_fail:g}:1, or under {near_miss_share:g} times what is asked for where the reach is under "
        "{reach_comfort:g} times the station, {near_miss_reached_share:g} times where it reads from there, else warn; "
        "warn where it falls short only as printed"
    ),
    measured_as="contrast {}",
    run=_faint_text,
    alike=_alike,
    mended_by=("colour", "outline"),
    spares_logos=True,
)


LEAST_LETTER_PX = 8.0
"""Between smaller letters hardly a pixel of ground is clear of their rims: what changes may be the export (ours)."""


def _patchy_ground(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    lines = (m for m in measured.lines if m.line.letter_px >= LEAST_LETTER_PX)
    found = (_patchy(m) if m.ratio_worst < m.ratio_wanted <= m.ratio else _masked(m) for m in lines)
    return tuple(finding for finding in found if finding is not None)


def _masked(m: Measurement) -> Finding | None:
    """Name a line that would be plain enough, but for the texture of its ground."""
    if not m.masked or not m.ratio_met < m.ratio_wanted <= min(m.ratio, m.ratio_on_paper):
        return None
    return line_finding(
        "patchy-ground",
        m,
        Severity.WARN,
        measured=m.ratio_met,
        needed=m.ratio_wanted,
        unit="ratio",
        says=f"Its ground is as fine and busy as its letters: {ratio(m.ratio)} in colour, but it reads no better than "
        f"{ratio(m.ratio_met)} on an even ground would, where {ratio(m.ratio_wanted)} is asked for.",
    )


def _patchy(m: Measurement) -> Finding:
    return line_finding(
        "patchy-ground",
        m,
        Severity.WARN,
        measured=m.ratio_worst,
        needed=m.ratio_wanted,
        unit="ratio",
        says=f"The ground changes under it: {ratio(m.ratio)} on the whole, but {ratio(m.ratio_worst)} in its "
        f"worst tenth, where {ratio(m.ratio_wanted)} is asked for.",
    )


PATCHY_GROUND = Check(
    id="patchy-ground",
    title="Contrast gives way along the line",
    rationale=(
        "A line on a picture or a gradient is only as readable as its weakest letters: the eye stumbles "
        "where the ground comes close to the ink. Measured window by window, one letter height wide."
    ),
    source=(
        "WCAG 2.2, 1.4.3, for the ratio; that the worst tenth of the windows counts: ours. What a texture costs: "
        "letters in noise, after Pelli, Burns, Farell & Moore-Page (2006), from memory."
    ),
    asks=(
        "the contrast that the line is asked for, {text_ratio:g}:1 or {large_text_ratio:g}:1 for large "
        "text, all along it but for its worst tenth, and no texture behind it that costs it as much; of letters of "
        "8 px and more"
    ),
    severity="warn",
    measured_as="contrast {} at its worst",
    run=_patchy_ground,
    alike=_alike,
    mended_by=("colour", "even ground", "outline"),
    of_windows=True,
    spares_logos=True,
)
