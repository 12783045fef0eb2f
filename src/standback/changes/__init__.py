"""Findings -> findings with the change that mends each, measured again before it is offered."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import product

from standback.changes.details import detail_change
from standback.changes.figures import figure_change
from standback.changes.leads import lead_change
from standback.changes.lines import line_change
from standback.changes.middle import middle_change
from standback.changes.offer import Offer
from standback.changes.outlines import outline_change
from standback.checks import CHECKS, check_of
from standback.checks.distance import farthest
from standback.elements import Srgb8
from standback.findings import Finding, Severity, plainly_short
from standback.forking import in_two_processes
from standback.light import luminance1_of
from standback.measure.again import Scene
from standback.measure.model import DetailMeasurement, Element, FigureMeasurement, Measurement, Measurements
from standback.measure.tiers import near_colours
from standback.settings import Limits

IN_WORDS = {
    "colour": "other inks and grounds",
    "even ground": "an even ground",
    "outline": "an outline",
    "weight": "heavier weights",
    "size": "larger sizes",
}
"""What was tried on a line, by the kinds of change that can mend a check."""
LEAST_FINDINGS = 4
"""For fewer a second process is not worth starting (ours)."""


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
    of_element: dict[str, list[Finding]] = {}
    for finding in (f for check in together for f in check.run(measured, limits) if f.elements):
        if (finding.elements[0], finding.check) not in waived:
            of_element.setdefault(finding.elements[0], []).append(finding)
    failed = {(name, f.check): f.severity for name, found in of_element.items() for f in plainly_short(found)}
    by_id = {m.id: m for m in measured.elements}

    def offer(finding: Finding, *, keeps_ground: bool = False) -> Offer | None:
        # what is only noted does not drive the change of what fails
        least = min(finding.severity, Severity.WARN)
        asked = {fault for fault, severity in failed.items() if severity >= least}
        match [by_id[e] for e in finding.elements]:
            case [DetailMeasurement(), *_] as details:
                return detail_change([m for m in details if isinstance(m, DetailMeasurement)], scene, asked)
            case [FigureMeasurement() as figure, *_]:
                return figure_change(figure, scene, {check for element, check in asked if element == figure.id})
            case [Measurement(), *_] as lines:
                return line_change(
                    [m for m in lines if isinstance(m, Measurement)], scene, asked, keeps_ground=keeps_ground
                )
        return None

    def mended(finding: Finding, *, keeps_ground: bool = False) -> Finding:
        if finding.waived is not None or finding.change is not None or not finding.elements:
            return finding
        if check_of(finding.check).stands_alone:
            found = _alone(finding, measured, scene)
            return finding if found is None else replace(finding, change=found.says)
        found = offer(finding, keeps_ground=keeps_ground)
        if found is not None:
            return replace(finding, change=_for_any_lead(found.says, finding, measured, limits), redraws=found.redraws)
        if finding.severity <= Severity.NOTE:
            return finding
        return replace(finding, says=f"{finding.says} {_tried(by_id[finding.elements[0]], failed)}")

    done = in_two_processes(mended, findings, at_least=LEAST_FINDINGS)
    kept = [ground for f in done for ground in _kept_grounds(f, by_id)]
    return tuple(
        mended(before, keeps_ground=True) if _conflict(_moved_grounds(f, by_id), kept) else f
        for before, f in zip(findings, done, strict=True)
    )


def _conflict(moved: Iterable[Srgb8], kept: Collection[Srgb8]) -> bool:
    """Whether a ground would get another colour on which other lines change theirs because it stays."""
    return any(near_colours(a, b) for a, b in product(moved, kept))


def _kept_grounds(finding: Finding, by_id: Mapping[str, Element]) -> Iterator[Srgb8]:
    """Yield the grounds on which light type is to become dark, or dark type light."""
    for redraw in finding.redraws:
        match by_id[redraw.element]:
            case Measurement(line=line) if redraw.ground == line.ground_srgb8 and not redraw.even:
                before, after, under = (luminance1_of(c) for c in (line.ink_srgb8, redraw.ink, line.ground_srgb8))
                if (before - under) * (after - under) < 0:
                    yield line.ground_srgb8


def _moved_grounds(finding: Finding, by_id: Mapping[str, Element]) -> Iterator[Srgb8]:
    """Yield the grounds that are to get another colour."""
    for redraw in finding.redraws:
        match by_id[redraw.element]:
            case Measurement(line=line) if redraw.ground != line.ground_srgb8:
                yield line.ground_srgb8


def _alone(finding: Finding, measured: Measurements, scene: Scene) -> Offer | None:
    """Return what would mend a fault that is a cause of its own and that brings no change with it."""
    match finding.check, measured.element(finding.elements[0]):
        case "weak-outline", FigureMeasurement() as figure:
            return outline_change(figure, scene)
        case "no-lead", _:
            return lead_change(finding, measured, scene)
        case "no-middle", Measurement() as text:
            return middle_change(text, scene)
    return None


def _for_any_lead(says: str, finding: Finding, measured: Measurements, limits: Limits) -> str:
    """Leave open which line is to lead where none is set anywhere near as a headline."""
    best = farthest(measured, limits)
    if best is None or best.id not in finding.elements or best.reach_m >= limits.reach_fail_share * best.far_m:
        return says
    return f"Let one line lead, this or another: {says[0].lower()}{says[1:]}"


def _tried(element: Element, asked: Collection[tuple[str, str]]) -> str:
    """Say what was tried in vain, and what that means."""
    match element:
        case DetailMeasurement():
            tried = ["other inks", "wider strokes", "wider spaces"]
        case FigureMeasurement():
            tried = ["other colours", "larger sizes"]
        case _:
            kinds = {kind for check in CHECKS if (element.id, check.id) in asked for kind in check.mended_by}
            tried = [words for kind, words in IN_WORDS.items() if kind in kinds]
    return f"Tried in vain: {', '.join(tried)}. None mends it as it is drawn, so it will look as measured here."


__all__ = ["with_changes"]
