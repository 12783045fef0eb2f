"""Checks of lines set one under the other."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from statistics import median

from standback.checks.following import neighbours, texts
from standback.checks.model import Check
from standback.checks.of_element import line_finding
from standback.findings import Finding, Place, Severity
from standback.measure.model import Measurement, Measurements
from standback.numbers import millimetres
from standback.reading import CAP_PER_EM
from standback.settings import Limits

USUAL_RUNNING = 2.3
"""Distance of baselines over height of the small letters in texts that read well: 1.2 ems (common practice)."""
HARDLY_LESS = 0.92
"""A distance as near to what is asked of running text as this is not named: small letters are from 0.5 to 0.55 ems
high, and the white between lines of faces with high ones is as wide (ours)."""
SURELY_LESS = 0.97
"""The distance of two lines is known to 1.3 % (measured), their capitals to about as much."""
LEAST_PITCH = 0.8
"""Baselines nearer than so many heights of capitals are none of one text (ours)."""
CLEAR_OF = 0.05
"""Level lines of a title in lower case whose ink stays so far apart, in heights of capitals, have no descender above
an ascender: they are set tight on purpose, as capitals are (ours)."""


def _close_lines(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    solid = tuple(_solid(measured.lines, limits))
    told = {element for finding in solid for element in finding.elements}
    return (*solid, *(f for f in _close(measured.lines, limits) if not told.issuperset(f.elements)))


def _close(lines: Sequence[Measurement], limits: Limits) -> Iterator[Finding]:
    for upper, lower, pitch_px in neighbours(lines, limits):
        assert upper.spacing is not None
        cap_px = CAP_PER_EM * upper.em_mm * upper.px_per_mm
        pitch, needed = pitch_px / cap_px, _least_pitch(upper, lower, limits)
        if not LEAST_PITCH < pitch < SURELY_LESS * needed or _tight_on_purpose(upper, lower, cap_px):
            continue
        mm = cap_px / upper.px_per_mm
        finding = line_finding(
            "close-lines",
            upper,
            Severity.NOTE,
            measured=pitch * mm,
            needed=needed * mm,
            unit="mm",
            says=f"{lower.id} follows {upper.id} at {millimetres(pitch * mm)} from baseline to baseline: the white "
            "between the lines is hardly wider than that between words, and the eye slips from one to the other.",
        )
        yield replace(
            finding,
            elements=(upper.id, lower.id),
            places=tuple(Place(box_px=m.line.box_px, box_mm=m.box_mm) for m in (upper, lower)),
            change=f"{upper.id}, {lower.id}: set the baselines {millimetres(needed * mm)} apart or more.",
        )


def _tight_on_purpose(upper: Measurement, lower: Measurement, cap_px: float) -> bool:
    capitals = all(m.spacing is not None and m.spacing.capitals for m in (upper, lower))
    if capitals or upper.tier != "lead" or upper.line.angle_deg:
        return False
    return lower.line.box_px.y0 - upper.line.box_px.y1 > CLEAR_OF * cap_px


def _least_pitch(upper: Measurement, lower: Measurement, limits: Limits) -> float:
    if all(m.spacing is not None and m.spacing.capitals for m in (upper, lower)):
        return limits.close_capitals
    return limits.close_titles if upper.tier == "lead" else limits.close_text


def _solid(lines: Sequence[Measurement], limits: Limits) -> Iterator[Finding]:
    """Yield texts whose baselines are too close for the height of their small letters; titles are often set so."""
    for text in texts([m for m in lines if not m.logo], limits):
        if any(m.tier != "small" for m in text.lines):
            continue
        heights_mm = [m.x_mm for m in text.lines if m.x_mm is not None]
        if 2 * len(heights_mm) < len(text.lines):
            continue
        x_mm, pitch_mm = median(heights_mm), text.pitch_px / text.lines[0].px_per_mm
        needed_mm = limits.close_running * x_mm
        if pitch_mm >= HARDLY_LESS * needed_mm:
            continue
        first, last = text.lines[0].id, text.lines[-1].id
        finding = line_finding(
            "close-lines",
            text.lines[0],
            Severity.NOTE,
            measured=pitch_mm,
            needed=needed_mm,
            unit="mm",
            says=f"{len(text.lines)} lines of text, {first} to {last}, stand {millimetres(pitch_mm)} from baseline to "
            f"baseline, {pitch_mm / x_mm:.1f} times the height of their small letters: what hangs below one line comes "
            "near what rises from the next, and the eye slips on its way back.",
        )
        yield replace(
            finding,
            elements=tuple(m.id for m in text.lines),
            places=tuple(Place(box_px=m.line.box_px, box_mm=m.box_mm) for m in text.lines),
            change=f"{first} to {last}: set the baselines {millimetres(USUAL_RUNNING * x_mm)} apart or more, "
            f"{USUAL_RUNNING:g} times the height of the small letters.",
        )


CLOSE_LINES = Check(
    id="close-lines",
    title="Lines too close to each other",
    rationale=(
        "When the white between two lines is no wider than that between two words, the eye slips into the "
        "line below. Titles in capitals, which have no descenders, are often set tight on purpose."
    ),
    source=(
        "ADA Standards (2010), 703.5.9: 135 to 170 % of the height of the capitals, on signs. What is asked "
        "of titles and of capitals: ours. Of running text: ours, a little under the 1.2 ems of common practice."
    ),
    asks=(
        "baselines at least {close_text:g} times the height of the capitals apart; {close_titles:g} times in "
        "a title in lower case where descenders come down to the line below, {close_capitals:g} times in capitals. In "
        "texts of three small lines or more at least {close_running:g} times the height of the small letters apart"
        f"; what is within {1 - SURELY_LESS:.0%} of that, in such texts {1 - HARDLY_LESS:.0%}, is let pass"
    ),
    severity="note",
    run=_close_lines,
    alike=lambda a, b: True,
    stands_alone=True,
    likewise=True,
    measured_as="baselines {} apart",
    needed_as="at least {}",
    spares_logos=True,
)
