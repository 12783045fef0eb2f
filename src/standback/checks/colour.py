"""Checks of what a line's contrast owes to hue."""

from dataclasses import replace

from standback.checks.model import Check
from standback.checks.of_element import line_finding
from standback.colour_vision import IN_WORDS, TRITAN
from standback.findings import Finding, Severity
from standback.measure.model import Measurement, Measurements, VisionRatio
from standback.measure.tiers import hue_difference, same_colours
from standback.numbers import ratio
from standback.settings import Limits


def _hue_only(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    found = []
    for m in measured.lines:
        lost = _lost(m, limits)
        if lost:
            found.append(_lost_to_some(m, lost))
        elif m.ratio < limits.hue_ratio and hue_difference(m.line) >= limits.hue_difference:
            found.append(_apart_in_hue(m))
    return tuple(found)


def _lost(m: Measurement, limits: Limits) -> tuple[VisionRatio, ...]:
    """Return the viewers for whom a line that is plain enough to others is too faint."""
    if m.ratio < m.ratio_wanted:
        return ()
    return tuple(seen for seen in m.vision if seen.ratio < (1 - limits.hue_tolerance) * m.ratio_wanted)


def _lost_to_some(m: Measurement, lost: tuple[VisionRatio, ...]) -> Finding:
    worst = min(lost, key=lambda seen: seen.ratio)
    common = [seen for seen in lost if seen.vision != TRITAN]
    each = " and ".join(f"{ratio(seen.ratio)} to {IN_WORDS[seen.vision]} ({seen.vision}) viewers" for seen in lost)
    return line_finding(
        "hue-only",
        m,
        Severity.WARN if common else Severity.NOTE,
        measured=worst.ratio,
        needed=m.ratio_wanted,
        unit="ratio",
        says=f"Its contrast hangs on its hue: {ratio(m.ratio)} to most people, but {each}, where "
        f"{ratio(m.ratio_wanted)} is asked for.",
    )


def _apart_in_hue(m: Measurement) -> Finding:
    finding = line_finding(
        "hue-only",
        m,
        Severity.WARN,
        measured=m.ratio,
        needed=m.ratio_wanted,
        unit="ratio",
        says="Ink and ground are far apart in colour, but not in lightness: who sees fewer hues, or stands in dim "
        "light, loses it, and small letters blur for everybody.",
    )
    return replace(finding, measured=None, needed=None, unit=None, shortfall=1.0)


HUE_ONLY = Check(
    id="hue-only",
    title="Too faint for some colour vision",
    rationale=(
        "About one man in twelve sees red and green as one, and the eye resolves fine shapes by lightness "
        "rather than hue. What differs in hue alone is gone for some, and soft for all."
    ),
    source=(
        "WCAG 2.2, 1.4.1 and 1.4.3; colour vision after Machado, Oliveira & Fernandes (2009), severity 1.0. "
        "How far apart hues are, and what counts as a fall: ours. One man in twelve: common knowledge."
    ),
    asks=(
        "the contrast that the line is asked for, to within {hue_tolerance:.0%}, from eyes without long-wave, "
        "middle-wave or short-wave cones too; and lightness apart by {hue_ratio:g}:1 where hues are apart by a "
        "CIEDE2000 of {hue_difference:g}"
    ),
    severity="warn; a note where only blue-blind (tritan) viewers lose it, who are rare",
    measured_as="contrast {} for some",
    run=_hue_only,
    alike=lambda a, b: same_colours(a.line, b.line),
    mended_by=("colour",),
    spares_logos=True,
)
