"""Codes for machines: can a phone scan them from where people stand."""

from dataclasses import replace

from standback.checks.model import Check
from standback.checks.of_element import patch_finding
from standback.findings import Finding, Severity
from standback.measure.model import CodeMeasurement, DetailMeasurement, Measurements
from standback.numbers import distance, least_millimetres
from standback.settings import NEAR_M, Limits


def code_reach_m(code: CodeMeasurement, limits: Limits) -> float:
    """Return the farthest distance that a code of this width is scanned from."""
    return limits.code_distance_widths * code.width_mm / 1000


def _codes(measured: Measurements) -> list[tuple[DetailMeasurement, CodeMeasurement]]:
    return [(m, m.code) for m in measured.details if m.code is not None]


def _code_reach(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    findings = []
    for m, code in _codes(measured):
        needed_m = max(min(NEAR_M, m.far_m) - limits.code_arm_m, 0.1)
        reach_m = code_reach_m(code, limits)
        if code.symbol_contrast < limits.code_contrast:
            finding = patch_finding(
                "code-reach",
                m,
                Severity.WARN,
                measured=code.symbol_contrast,
                needed=limits.code_contrast,
                unit="of full contrast",
                says="A code this pale is read late, or not at all, by many phones.",
            )
            findings.append(replace(finding, change="Set it in black, or a colour as dark, on white or a pale ground."))
        elif reach_m < needed_m:
            wide = least_millimetres(1000 * needed_m / limits.code_distance_widths)
            finding = patch_finding(
                "code-reach",
                m,
                Severity.WARN,
                measured=reach_m,
                needed=needed_m,
                unit="m",
                says=f"A phone scans a code from about {limits.code_distance_widths:g} times its width: this one from "
                f"{distance(reach_m)}, nearer than people hold theirs.",
            )
            findings.append(replace(finding, change=f"Set it {wide} wide."))
    return tuple(findings)


CODE_REACH = Check(
    id="code-reach",
    title="A code too small or too pale to scan",
    rationale=(
        "A code that does not scan at the first try is given up. Whoever has walked up holds the phone an arm's length "
        "ahead, and no nearer."
    ),
    source=(
        "Scanning distance about ten times the width of the code: common practice. Symbol contrast of at least 40 % "
        "(grade C): ISO/IEC 15415, from memory. The phone's 20 cm ahead of the eye: ours."
    ),
    asks=(
        "a width that is scanned from {code_distance_widths:g} times as far, from where people walk up to less "
        "{code_arm_m:g} m; and luminances of dark and light at least {code_contrast:g} of white's apart"
    ),
    severity="warn",
    run=_code_reach,
    alike=lambda a, b: True,
    stands_alone=True,
    likewise=True,
)


def _quiet_zone(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    findings = []
    for m, code in _codes(measured):
        needed = limits.bars_quiet_modules if code.bars else limits.code_quiet_modules
        margin = f"{least_millimetres(needed * code.module_mm)} of plain ground around it"
        if code.quiet_modules < needed - 0.5:  # less than that is within what pixels tell
            sides = "beside its bars" if code.bars else "around it"
            turned = " It is also light on dark, which not every scanner takes." if code.light_on_dark else ""
            finding = patch_finding(
                "quiet-zone",
                m,
                Severity.WARN,
                measured=code.quiet_modules,
                needed=needed,
                unit="modules",
                says=f"The plain ground {sides} is too narrow for scanners to tell where the code begins.{turned}",
            )
            findings.append(replace(finding, change=f"Leave {margin}."))
        elif code.light_on_dark:
            finding = patch_finding(
                "quiet-zone",
                m,
                Severity.WARN,
                measured=1.0,
                needed=1.0,
                unit="",
                says="The code is light on dark: scanners look for dark on light, and not every one takes the reverse.",
            )
            change = f"Set it dark on a light panel, with {margin}."
            findings.append(replace(finding, measured=None, needed=None, unit=None, change=change))
    return tuple(findings)


QUIET_ZONE = Check(
    id="quiet-zone",
    title="A code without its margin, or reversed",
    rationale=(
        "Scanners find a code by the plain ground around it and by dark marks on light. Where something else touches "
        "it, or it is reversed, some never find it."
    ),
    source=(
        "A margin of 4 modules: ISO/IEC 18004; 10 beside bars: EAN and Code 128, from memory. That half a module less "
        "counts as enough: ours."
    ),
    asks=(
        "plain ground of {code_quiet_modules:g} modules around square codes and {bars_quiet_modules:g} beside bars; "
        "dark on light"
    ),
    severity="warn",
    run=_quiet_zone,
    alike=lambda a, b: True,
    stands_alone=True,
    likewise=True,
)
