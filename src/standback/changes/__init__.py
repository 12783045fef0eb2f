"""Findings -> findings with the change that mends each, measured again before it is offered."""

from collections.abc import Collection, Sequence
from dataclasses import replace

from standback.changes.details import detail_change
from standback.changes.lines import line_change
from standback.changes.offer import Offer
from standback.checks import CHECKS
from standback.findings import Finding
from standback.measure.again import Scene
from standback.measure.model import Measurements


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
    failed = {(f.elements[0], check.id) for check in CHECKS for f in check.run(measured, limits) if f.elements}
    asked = failed.difference(waived)
    lines = {m.id: m for m in measured.lines}
    details = {m.id: m for m in measured.details}

    def offer(finding: Finding) -> Offer | None:
        if finding.waived is not None or finding.change is not None or not finding.elements:
            return None
        if finding.elements[0] in details:
            return detail_change([details[e] for e in finding.elements if e in details], scene)
        if finding.elements[0] in lines:
            return line_change([lines[e] for e in finding.elements if e in lines], scene, asked)
        return None

    offers = [offer(f) for f in findings]
    return tuple(
        f if found is None else replace(f, change=found.says, redraws=found.redraws)
        for f, found in zip(findings, offers, strict=True)
    )


__all__ = ["with_changes"]
