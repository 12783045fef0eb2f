"""The faults of two drafts -> what became of each."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from standback.checks import CHECKS
from standback.drafts.model import Fate, Fault, Outcome, Pair
from standback.drafts.values import JUDGED_BY, LEAST_CHANGE, measured_as_in
from standback.findings import Finding, PosterReport, Severity
from standback.measure.model import Element

_ORDER = {check.id: number for number, check in enumerate(CHECKS)}
_FATES = tuple(Fate)
Key = tuple[Pair | None, str]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Drafts:
    before: PosterReport
    after: PosterReport
    were: Mapping[str, Element]
    now: Mapping[str, Element]

    def at_gate(self, finding: Finding | None) -> bool:
        """Whether a finding stands, at or above the gate."""
        gate = self.after.gate
        stands = finding is not None and finding.waived is None
        return stands and gate != "off" and finding is not None and finding.severity >= Severity[gate.upper()]


def outcomes_of(
    before: PosterReport,
    after: PosterReport,
    pairs: Sequence[Pair],
    were: Mapping[str, Element],
    now: Mapping[str, Element],
) -> tuple[Outcome, ...]:
    """Say what became of every fault, one outcome for each fate and cause.

    Parameters
    ----------
    were, now
        The elements of the earlier and of the later draft by their ids.
    """
    drafts = _Drafts(before=before, after=after, were=were, now=now)
    was = _by_key(before.faults, {pair.before: pair for pair in pairs if pair.before is not None})
    is_now = _by_key(after.faults, {pair.after: pair for pair in pairs if pair.after is not None})
    keys = dict.fromkeys([*was, *is_now])
    faults = [fault for key in keys if (fault := _fault(key, was.get(key), is_now.get(key), drafts)) is not None]
    return _told(faults, drafts)


def _by_key(faults: Iterable[Finding], pair_of: Mapping[str, Pair]) -> dict[Key, Finding]:
    found: dict[Key, Finding] = {}
    for fault in faults:
        pair = pair_of[fault.elements[0]] if fault.elements else None
        found.setdefault((pair, fault.check), fault)
    return found


def _fault(key: Key, was: Finding | None, now: Finding | None, drafts: _Drafts) -> Fault | None:
    pair, check = key
    if all(finding is None or finding.waived is not None for finding in (was, now)):
        return None
    fault = _with_numbers(Fault(fate=Fate.STAYED, check=check, pair=pair, before=was, after=now), drafts)
    if now is None:
        return replace(fault, fate=Fate.GONE if pair is not None and pair.after is None else Fate.MENDED)
    fell = pair is not None and any(
        value.worse for name, checks in JUDGED_BY.items() if check in checks and (value := pair.value(name))
    )
    counts = now.waived is None and (fell or (drafts.at_gate(now) and not _had(was, drafts)))
    if counts and (pair is None or pair.before is not None):
        return replace(fault, fate=Fate.WORSE, counts=True)
    if was is None:
        return replace(fault, fate=Fate.NEW, counts=counts)
    eased = now.shortfall < (1 - LEAST_CHANGE) * was.shortfall
    return replace(fault, fate=Fate.EASED if eased else Fate.STAYED)


def _had(was: Finding | None, drafts: _Drafts) -> bool:
    """Whether the earlier draft had the fault at or above the gate, or waived."""
    return was is not None and (was.waived is not None or drafts.at_gate(was))


def _with_numbers(fault: Fault, drafts: _Drafts) -> Fault:
    """Add the number that falls short as it is in both drafts, be it that it no longer does or did not before."""
    was, now, pair = fault.before, fault.after, fault.pair
    before = None if was is None else (was.measured, was.needed)
    after = None if now is None else (now.measured, now.needed)
    if pair is not None and pair.before is not None and pair.after is not None:
        own = drafts.were[pair.before], drafts.now[pair.after]
        if was is not None and after is None:
            after = measured_as_in(was, own[0], own[1])
        if now is not None and before is None:
            before = measured_as_in(now, own[1], own[0])
    if was is not None and now is not None and was.unit != now.unit:
        before = None  # another number of the same check
    nothing = (None, None)
    return replace(
        fault,
        measured_before=(before or nothing)[0],
        needed_before=(before or nothing)[1],
        measured_after=(after or nothing)[0],
        needed_after=(after or nothing)[1],
    )


def _told(faults: Sequence[Fault], drafts: _Drafts) -> tuple[Outcome, ...]:
    """Leave one outcome for each cause, as the audit does: later checks on one element are told with the first."""
    of_element: dict[tuple[Pair | None, Fate, str], list[Fault]] = {}
    worse = {fault.pair for fault in faults if fault.fate is Fate.WORSE and fault.pair is not None}
    for fault in faults:
        alone = fault.check if fault.pair is None else ""
        fate = Fate.WORSE if fault.fate is Fate.NEW and fault.pair in worse else fault.fate
        of_element.setdefault((fault.pair, fate, alone), []).append(fault)
    joined: dict[tuple[Fate, str, int | None], list[list[Fault]]] = {}
    for (pair, fate, _), own in of_element.items():
        own.sort(key=lambda fault: (fault.fate is not fate, _ORDER[fault.check]))
        joined.setdefault((fate, own[0].check, _rank(pair, own[0], drafts)), []).append(own)
    outcomes = []
    for (fate, check, rank), groups in joined.items():
        groups.sort(key=lambda own: (-own[0].found.severity, -own[0].found.shortfall))
        firsts, later = tuple(own[0] for own in groups), tuple(fault for own in groups for fault in own[1:])
        outcomes.append(Outcome(fate=fate, check=check, rank=rank, faults=firsts, also=later))
    return tuple(sorted(outcomes, key=lambda o: (_FATES.index(o.fate), o.rank is None, o.rank, _ORDER[o.check])))


def _rank(pair: Pair | None, fault: Fault, drafts: _Drafts) -> int | None:
    """Return the rank of the finding that a fault is told in."""
    report, element = drafts.before, pair.before if pair is not None else None
    if fault.after is not None:
        report, element = drafts.after, pair.after if pair is not None else None
    for finding in report.findings:
        if finding.waived == fault.found.waived and (
            element in finding.elements if element is not None else finding.check == fault.check
        ):
            return finding.rank
    return None
