"""Checks of what the press and the artwork's resolution can hold."""

from collections.abc import Iterator
from dataclasses import replace
from math import ceil

from standback.checks.model import Check
from standback.checks.of_element import line_finding, patch_finding, shortfall_of_minimum
from standback.elements import DRAWN_SHAPE, Srgb8
from standback.findings import Finding, Severity
from standback.light import is_lighter
from standback.measure.model import Measurement, Measurements
from standback.settings import Limits

PT_MM = 25.4 / 72


def hairline_limit_mm(ink: Srgb8, ground: Srgb8, limits: Limits) -> float:
    """Return the thinnest stroke that prints: wider where it is left white in a solid."""
    return limits.reversed_hairline_mm if is_lighter(ink, ground) else limits.hairline_mm


def _hairline(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    return tuple(_hairlines(measured, limits))


def _hairlines(measured: Measurements, limits: Limits) -> Iterator[Finding]:
    says = "A stroke this thin breaks up or fills in on the press."
    for line in measured.lines:
        needed = hairline_limit_mm(line.line.ink_srgb8, line.line.ground_srgb8, limits)
        if line.stroke_mm < needed and needed * line.px_per_mm >= limits.hairline_least_px:
            yield line_finding(
                "hairline",
                line,
                Severity.WARN,
                measured=line.stroke_mm,
                needed=needed,
                unit="mm",
                says=says,
            )
    for patch in (m for m in measured.details if m.detail.kind != DRAWN_SHAPE):
        needed = hairline_limit_mm(patch.detail.ink_srgb8, patch.detail.ground_srgb8, limits)
        if patch.detail.feature_mm < needed and needed * patch.px_per_mm >= limits.hairline_least_px:
            yield patch_finding(
                "hairline",
                patch,
                Severity.WARN,
                measured=patch.detail.feature_mm,
                needed=needed,
                unit="mm",
                says=says,
            )


HAIRLINE = Check(
    id="hairline",
    title="Strokes too thin to print",
    rationale=(
        "A press can't hold a stroke under about a quarter of a point, and a white one in a solid fills with "
        "ink at twice that. Judged only where the artwork has two pixels for it."
    ),
    source=(
        "0.25 pt (0.09 mm) positive: printers' guidance; 0.007 in (0.18 mm) reversed: SWOP, 11th edition, "
        "2007. Two pixels: ours."
    ),
    asks=(
        "strokes of at least {hairline_mm:g} mm, or {reversed_hairline_mm:g} mm where they are left light "
        "in a dark solid; judged where that covers {hairline_least_px:g} px"
    ),
    severity="warn",
    run=_hairline,
    alike=lambda a, b: type(a) is type(b),
    measured_as="{} wide",
    mended_by=("weight", "size"),
)


def _many_inks(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    findings = []
    for m in measured.lines:
        small = m.em_mm < limits.ink_type_pt * PT_MM or m.stroke_mm < limits.ink_stroke_mm
        if m.inks is not None and m.inks > limits.most_inks and small:
            says, change = _of_inks(m, limits)
            finding = line_finding(
                "many-inks", m, Severity.WARN, measured=m.inks, needed=limits.most_inks, unit="inks", says=says
            )
            findings.append(replace(finding, shortfall=m.inks / limits.most_inks, change=change))
    return tuple(findings)


def _of_inks(m: Measurement, limits: Limits) -> tuple[str, str]:
    out_of_register = "where they print a few tenths of a millimetre out of register, it"
    if is_lighter(m.line.ink_srgb8, m.line.ground_srgb8):
        return (
            f"Fine type left light in a solid of {m.inks:g} inks: {out_of_register} fills in.",
            f"Let it stand on black alone, or on {limits.most_inks:g} inks at the most.",
        )
    return (
        f"Fine type of {m.inks:g} inks: {out_of_register} gets coloured rims and softens.",
        f"Set it in black, or in {limits.most_inks:g} inks at the most.",
    )


MANY_INKS = Check(
    id="many-inks",
    title="Fine type of many inks",
    rationale=(
        "Each ink is printed on its own and lands a little off the others, which shows on letters under 8 pt "
        "or strokes under 0.7 mm (2 pt)."
    ),
    source=(
        "Printers' guidance: no more than two inks on lines under 2 pt; register within 0.1 to 0.3 mm. That "
        "an ink counts from a tenth of full cover: ours."
    ),
    asks=(
        "no more than {most_inks:g} inks in CMYK type under {ink_type_pt:g} pt or with strokes under "
        "{ink_stroke_mm:g} mm, or in the solid that such type is left light in"
    ),
    severity="warn",
    run=_many_inks,
    alike=lambda a, b: True,
    measured_as="{}",
    needed_as="at the most {}",
)


def _coarse_artwork(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    of_print = measured.sheet
    if of_print is None or of_print.drawn:
        return ()
    needed_ppi = limits.arcmin_ppi_m / of_print.near_m
    if of_print.ppi < limits.coarse_share * needed_ppi:
        says = f"At {of_print.ppi:.0f} pixels per inch a pixel shows to who walks up to read."
        return (_coarse(of_print.ppi, needed_ppi, says, _exported("Export it", needed_ppi)),)
    sharp_ppi = of_print.sharpness_ppi
    if sharp_ppi is not None and sharp_ppi < limits.sharpness_share * of_print.ppi:
        says = (
            f"The picture in it was enlarged or is soft: it holds detail as fine as {sharp_ppi:.0f} pixels per inch "
            f"would, in a file of {of_print.ppi:.0f}."
        )
        share_ppi = limits.sharpness_share * of_print.ppi
        change = _exported("Place a sharper original, and export it", max(share_ppi, needed_ppi))
        return (_coarse(sharp_ppi, share_ppi, says, change),)
    return ()


def _coarse(measured_ppi: float, needed_ppi: float, says: str, change: str) -> Finding:
    return Finding(
        check="coarse-artwork",
        severity=Severity.WARN,
        elements=(),
        places=(),
        measured=measured_ppi,
        needed=needed_ppi,
        unit="ppi",
        shortfall=shortfall_of_minimum(measured_ppi, needed_ppi),
        says=says,
        change=change,
    )


def _exported(do: str, ppi: float) -> str:
    return f"{do} at {ceil(ppi)} pixels per inch or more at its printed size."


COARSE_ARTWORK = Check(
    id="coarse-artwork",
    title="Too few pixels for its size",
    rationale=(
        "From where small print is read, a pixel should be no larger than the finest thing the eye parts, "
        "one minute of arc; and a small picture blown up stays as soft as it was, whatever its tag says."
    ),
    source=(
        "One minute of arc, the classical acuity of 6/6: 87.3 / distance in m. That a few hundredths less still "
        "do, and sharpness under half of the "
        "file's resolution: ours."
    ),
    asks=(
        "{coarse_share:g} times {arcmin_ppi_m:g} pixels per inch or more, divided by the metres to the near "
        "station; and a sharpness of its own of at least {sharpness_share:g} times the file's pixels per inch"
    ),
    severity="warn",
    run=_coarse_artwork,
    alike=lambda a, b: True,
    measured_as="{}",
)
