"""Checks of what is left of a line after the way to the viewer's eye."""

from standback.checks.model import Check
from standback.checks.of_element import line_finding, patch_finding
from standback.findings import Finding, Severity
from standback.light import luminance1_of
from standback.measure.model import FigureMeasurement, Measurement, Measurements
from standback.measure.tiers import same_colours
from standback.numbers import distance, ratio
from standback.settings import Limits


def _washed_out(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    findings = []
    for m in measured.lines:
        seen = m.at(m.station).ratio if m.seen else None
        needed = limits.washed_out_dark_ratio if _dark_type(m) else limits.washed_out_light_ratio
        if seen is not None and seen < needed:
            findings.append(_washed(m, seen, needed))
    return tuple(findings)


def _dark_type(m: Measurement) -> bool:
    return luminance1_of(m.line.ink_srgb8) < luminance1_of(m.line.ground_srgb8)


def _washed(m: Measurement, seen: float, needed: float) -> Finding:
    return line_finding(
        "washed-out",
        m,
        Severity.WARN,
        measured=seen,
        needed=needed,
        unit="ratio",
        says=f"From {distance(m.station_m)} its strokes run into the spaces between them: {ratio(m.ratio)} "
        f"as exported, {ratio(seen)} as seen.",
    )


WASHED_OUT = Check(
    id="washed-out",
    title="Strokes melt into their ground",
    rationale=(
        "The eye spreads every stroke over its surroundings, so that thin or tight letters may be tall enough "
        "and dark enough and still arrive as a grey tone."
    ),
    source=(
        "The eye's optics after Watson (2013); the limits are the seen ratio that 4.5:1 type with strokes of "
        "a twelfth of its height has at its own reach, computed for both polarities (ours)."
    ),
    asks=(
        "a seen contrast from its own station of at least {washed_out_dark_ratio:g}:1 for dark type and "
        "{washed_out_light_ratio:g}:1 for light"
    ),
    severity="warn",
    measured_as="seen contrast {}",
    run=_washed_out,
    alike=lambda a, b: same_colours(a.line, b.line),
    mended_by=("colour", "weight", "size"),
    needs_seen=True,
    spares_logos=True,
)


def _fades(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    lines = (_faded(m, limits) for m in measured.lines if m.seen and m.tier != "small")
    figures = (_unnoticed(m, limits) for m in measured.figures if m.name is not None)
    return tuple(finding for finding in (*lines, *figures) if finding is not None)


def _unnoticed(m: FigureMeasurement, limits: Limits) -> Finding | None:
    """Judge a figure that the brief names."""
    jnd = next(seen.jnd for seen in m.seen if seen.station == "far")
    if jnd >= limits.stands_out_jnd:
        return None
    fails = jnd < limits.noticed_jnd
    return patch_finding(
        "fades",
        m,
        Severity.FAIL if fails else Severity.WARN,
        measured=jnd,
        needed=limits.noticed_jnd if fails else limits.stands_out_jnd,
        unit="JND",
        says=f"From {distance(m.far_m)} '{m.name}' is {'not noticed at all' if fails else 'barely noticed'}.",
    )


def _faded(m: Measurement, limits: Limits) -> Finding | None:
    far = m.at("far")
    from_far = distance(m.far_m)
    if far.jnd < limits.stands_out_jnd:
        fails = far.jnd < limits.noticed_jnd
        noticed = f"; it is noticed from {distance(m.carry_m)}" if m.carry_m else ""
        return line_finding(
            "fades",
            m,
            Severity.FAIL if fails else Severity.WARN,
            measured=far.jnd,
            needed=limits.noticed_jnd if fails else limits.stands_out_jnd,
            unit="JND",
            says=f"From {from_far} it is {'not noticed at all' if fails else 'barely noticed'}{noticed}.",
        )
    # strong ink, in an outline or on rays, is seen however even its block is with what is around it
    if far.block_ratio is not None and far.block_ratio < limits.block_ratio and m.ratio < limits.text_ratio:
        return line_finding(
            "fades",
            m,
            Severity.WARN,
            measured=far.block_ratio,
            needed=limits.block_ratio,
            unit="ratio",
            says=f"From {from_far} it doesn't stand off from what is around it: as a block, {ratio(far.block_ratio)}.",
        )
    return None


def _one_colour(a: Measurement | FigureMeasurement, b: Measurement | FigureMeasurement) -> bool:
    return isinstance(a, Measurement) and isinstance(b, Measurement) and same_colours(a.line, b.line)


FADES = Check(
    id="fades",
    title="Not noticed from across the room",
    rationale=(
        "Nobody walks up to read what they don't see is there. A lead or support line has to be noticed from "
        "afar, though it need not be readable from there."
    ),
    source=(
        "Detection after Watson & Ahumada (2005), corrected for the light after castleCSF (2024). Noticed at "
        "3 times the threshold, standing out at 6, a block ratio of 1.10: ours."
    ),
    asks=(
        "of lead and support lines, and of figures that the brief names, from far: to stand off by at least "
        "{stands_out_jnd:g} times what is just visible, and as a block by at least {block_ratio:g}:1 if its contrast "
        "is under {text_ratio:g}:1"
    ),
    severity="fail under {noticed_jnd:g} times what is just visible, else warn",
    measured_as="stands off by {}",
    run=_fades,
    alike=_one_colour,
    mended_by=("colour", "weight", "size"),
    needs_seen=True,
    spares_logos=True,
)
