"""Measurements -> findings: run the checks, then leave one finding for each cause."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from standback.checks import CHECKS, Check, check_of, title_of
from standback.checks.against import against
from standback.doubts import Doubt
from standback.findings import TIERS, Finding, plainly_short
from standback.measure.model import Element, Measurements
from standback.settings import Limits


def failed(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    """Return what every check finds, each of one element, check by check; nothing of a logo's lettering."""
    logos = {m.id for m in measured.lines if m.logo}
    return tuple(
        finding
        for check in CHECKS
        for finding in check.run(measured, limits)
        if not (check.spares_logos and logos.intersection(finding.elements[:1]))
    )


def causes(raw: Sequence[Finding], measured: Measurements) -> tuple[Finding, ...]:
    """Leave one finding for each cause.

    Of several checks that one line plainly fails, the first in the order of `CHECKS` is the cause: the later
    ones are quoted in what it says, and the most severe of them gives the severity, but for checks that
    stand alone: these are causes of their own, with changes of their own. Lines that fail for
    the same cause, as the check tells, share a finding with several places, the worst first. What is
    waived hides nothing that is not, and is joined only with what is waived for the same reason.
    """
    by_element: dict[tuple[str, str | None, str | None], list[Finding]] = {}
    for finding in raw:
        if finding.elements:
            alone = finding.check if check_of(finding.check).stands_alone else None
            by_element.setdefault((finding.elements[0], finding.waived, alone), []).append(finding)
    single = [_one_cause(found) for found in by_element.values()]
    by_id = {m.id: m for m in measured.elements}
    joined = [
        _together(alike)
        for check in CHECKS
        for reason in dict.fromkeys(f.waived for f in single)
        for alike in _groups([f for f in single if (f.check, f.waived) == (check.id, reason)], check, by_id)
    ]
    return (*(f for f in raw if not f.elements), *joined)


def _groups(found: Sequence[Finding], check: Check, by_id: Mapping[str, Element]) -> Sequence[Sequence[Finding]]:
    """Group findings on single elements, worst first; one joins the first group whose worst it is like."""
    groups: list[list[Finding]] = []
    for finding in sorted(found, key=_worst_first):
        line = by_id[finding.elements[0]]
        group = next((g for g in groups if check.alike(by_id[g[0].elements[0]], line)), None)
        if group is None:
            groups.append([finding])
        else:
            group.append(finding)
    return groups


def _worst_first(finding: Finding) -> tuple[object, ...]:
    return (-finding.severity, -finding.shortfall, -finding.seen_area, finding.elements)


def _one_cause(found: Sequence[Finding]) -> Finding:
    first, *later = plainly_short(found)
    if not later:
        return first
    quoted = " ".join(_quote(f) for f in later)
    return replace(
        first,
        severity=max(f.severity for f in found),
        says=f"{first.says} {quoted}",
    )


def _quote(finding: Finding) -> str:
    title, numbers = title_of(finding.check), against(finding)
    return f"Also {title[0].lower()}{title[1:]}: {numbers}." if numbers else finding.says


def _together(found: Sequence[Finding]) -> Finding:
    """Join findings of one cause, the worst first; the numbers and words are those of the worst."""
    doubts: set[Doubt] = {doubt for f in found for doubt in f.doubts}
    return replace(
        found[0],
        elements=tuple(dict.fromkeys(e for f in found for e in f.elements)),
        places=tuple(dict.fromkeys(p for f in found for p in f.places)),
        change=_change_for_all(found),
        tier=min((f.tier for f in found), key=TIERS.index),
        seen_area=sum(f.seen_area for f in found),
        doubts=tuple(sorted(doubts)),
    )


def _change_for_all(found: Sequence[Finding]) -> str | None:
    """Return each change once, or the worst one's alone where the check says that it holds for the others."""
    changes = list(dict.fromkeys(f.change for f in found if f.change))
    others = len(found) - 1
    if others and changes and check_of(found[0].check).likewise:
        return f"{changes[0]} {'The other one' if others == 1 else f'The other {others}'} likewise."
    return " ".join(changes) or None
