"""Findings -> findings with the change that mends each, measured again before it is offered."""

from collections.abc import Collection, Sequence
from dataclasses import replace

from standback.changes.details import detail_change
from standback.changes.figures import figure_change
from standback.changes.lines import line_change
from standback.changes.offer import Offer
from standback.checks import CHECKS, check_of
from standback.findings import Finding, Severity
from standback.measure.again import Scene
from standback.measure.model import DetailMeasurement, FigureMeasurement, Measurement, Measurements

NOTHING = "No change of colour, weight or size alone was found that mends it: draw it anew."


def with_changes(
    findings: Sequence[Finding],
    measured: Measurements,
    scene: Scene,
    *,
    waived: Collection[tuple[str, str]] = (),
) -> tuple[Finding, ...]:
    """Add to each finding the change that clears it, where one does; a waived one needs none.

    Parameters
    ----------
    waived
        Elements and the checks that they may go on failing.
    """
    limits = scene.settings.limits
    # what mends the others is no other look of one element
    together = [check for check in CHECKS if not check.stands_alone]
    found = [(f, check.id) for check in together for f in check.run(measured, limits) if f.elements]
    failed = {(f.elements[0], check): f.severity for f, check in found if (f.elements[0], check) not in waived}
    by_id = {m.id: m for m in measured.elements}

    def offer(finding: Finding) -> Offer | None:
        # what is only noted does not drive the change of what fails
        least = min(finding.severity, Severity.WARN)
        asked = {fault for fault, severity in failed.items() if severity >= least}
        match [by_id[e] for e in finding.elements]:
            case [DetailMeasurement(), *_] as details:
                return detail_change([m for m in details if isinstance(m, DetailMeasurement)], scene, asked)
            case [FigureMeasurement() as figure, *_]:
                return figure_change(figure, scene, {check for element, check in asked if element == figure.id})
            case [Measurement(), *_] as lines:
                return line_change([m for m in lines if isinstance(m, Measurement)], scene, asked)
        return None

    def mended(finding: Finding) -> Finding:
        if finding.waived is not None or finding.change is not None or not finding.elements:
            return finding
        if check_of(finding.check).stands_alone:
            return finding
        found = offer(finding)
        if found is not None:
            return replace(finding, change=found.says, redraws=found.redraws)
        return replace(finding, says=f"{finding.says} {NOTHING}") if finding.severity > Severity.NOTE else finding

    return tuple(mended(f) for f in findings)


__all__ = ["with_changes"]
