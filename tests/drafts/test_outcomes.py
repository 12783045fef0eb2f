"""What becomes of a fault, and what makes a redraft worse: the rule, case by case."""

from dataclasses import dataclass, replace
from typing import Any

import pytest

from drafts.made import detail, draft, text
from standback.drafts import compared
from standback.drafts.model import Comparison, Fate, Run
from standback.errors import ExitCode
from standback.findings import PosterReport, Unreadable
from standback.settings import Settings


@dataclass(frozen=True, kw_only=True)
class Case:
    """Two drafts, what becomes of the check, and whether that is worse and passes."""

    before: PosterReport
    after: PosterReport
    check: str
    fate: Fate | None
    worse: bool = False
    passes: bool = True


def line(*, gate: str = "fail", waived: tuple[str, ...] = (), **numbers: Any) -> PosterReport:
    return draft([text(**numbers)], gate=gate, waived=waived)


def hatching(**numbers: Any) -> PosterReport:
    return draft(details=[detail(**numbers)])


NOTHING = draft()
CASES = {
    "a ratio that falls, and is still enough": Case(
        before=line(ratio=9.0), after=line(ratio=5.0), check="faint-text", fate=None
    ),
    "a ratio that falls by over 5 %, under what is asked": Case(
        before=line(ratio=4.8), after=line(ratio=4.4), check="faint-text", fate=Fate.WORSE, worse=True
    ),
    "a ratio that falls by under 5 %, under what is asked": Case(
        before=line(ratio=4.6), after=line(ratio=4.4), check="faint-text", fate=Fate.NEW
    ),
    "the same where the gate is warn": Case(
        before=line(ratio=4.6),
        after=line(ratio=4.4, gate="warn"),
        check="faint-text",
        fate=Fate.WORSE,
        worse=True,
        passes=False,
    ),
    "a ratio too low before, and lower": Case(
        before=line(ratio=4.0), after=line(ratio=3.0), check="faint-text", fate=Fate.WORSE, worse=True
    ),
    "a ratio too low before, as it was": Case(
        before=line(ratio=4.0), after=line(ratio=3.9), check="faint-text", fate=Fate.STAYED
    ),
    "a ratio too low, and better": Case(
        before=line(ratio=3.0), after=line(ratio=4.0), check="faint-text", fate=Fate.EASED
    ),
    "a ratio mended": Case(before=line(ratio=3.0), after=line(ratio=4.5), check="faint-text", fate=Fate.MENDED),
    "a fall that is waived": Case(
        before=line(ratio=9.0),
        after=line(ratio=3.0, waived=("faint-text",)),
        check="faint-text",
        fate=None,
    ),
    "a worst ratio that falls under what is asked": Case(
        before=line(worst=6.0), after=line(worst=4.0), check="patchy-ground", fate=Fate.WORSE, worse=True
    ),
    "a reach that falls under its station": Case(
        before=line(reach_m=2.2), after=line(reach_m=1.5), check="short-reach", fate=Fate.WORSE, worse=True
    ),
    "a reach that falls, and is enough": Case(
        before=line(reach_m=9.0), after=line(reach_m=4.2), check="short-reach", fate=None
    ),
    "a detail told apart from less far": Case(
        before=hatching(resolve_m=6.0), after=hatching(resolve_m=3.0), check="detail-lost", fate=Fate.WORSE, worse=True
    ),
    "a number that the rule does not name": Case(
        before=line(jnd=9.0), after=line(jnd=5.0), check="fades", fate=Fate.NEW
    ),
    "the same, at the gate": Case(
        before=line(jnd=9.0), after=line(jnd=2.0), check="fades", fate=Fate.WORSE, worse=True, passes=False
    ),
    "from under the gate to it": Case(
        before=line(jnd=5.0), after=line(jnd=2.0), check="fades", fate=Fate.WORSE, worse=True, passes=False
    ),
    "at the gate before and after": Case(
        before=line(jnd=2.0), after=line(jnd=2.0), check="fades", fate=Fate.STAYED, passes=False
    ),
    "a line that is gone with its fault": Case(
        before=draft([text("L01", ratio=1.5), text("L02", y_mm=300)]),
        after=draft([text("L01", y_mm=300)]),
        check="faint-text",
        fate=Fate.GONE,
    ),
    "a new line with a fault at the gate": Case(
        before=NOTHING, after=line(ratio=1.5), check="faint-text", fate=Fate.NEW, worse=True, passes=False
    ),
    "a new line with a fault under the gate": Case(
        before=NOTHING, after=line(ratio=4.0), check="faint-text", fate=Fate.NEW
    ),
    "nothing on the sheet any more": Case(
        before=line(), after=NOTHING, check="nothing-found", fate=Fate.WORSE, worse=True, passes=False
    ),
    "the gate is off": Case(
        before=line(ratio=9.0), after=line(ratio=1.5, gate="off"), check="faint-text", fate=Fate.WORSE, worse=True
    ),
}  # fmt: skip


def fates(comparison: Comparison, check: str) -> list[Fate]:
    faults = (fault for outcome in comparison.outcomes for fault in (*outcome.faults, *outcome.also))
    return [fault.fate for fault in faults if fault.check == check]


@pytest.mark.parametrize("name", CASES)
def test_the_rule(name: str) -> None:
    case = CASES[name]
    comparison = compared(case.before, case.after)
    assert fates(comparison, case.check) == ([] if case.fate is None else [case.fate])
    assert comparison.worse is case.worse
    passes = case.passes and (not case.worse or case.after.gate == "off")
    assert comparison.passed is passes
    code = Run(settings=Settings(), comparison=comparison).exit_code
    assert code == (ExitCode.GOOD if passes else ExitCode.FINDINGS)


def test_a_draft_that_can_not_be_read() -> None:
    torn = Unreadable(file="a.png", why="it is torn")
    assert Run(settings=Settings(), comparison=None, unreadable=(torn,)).exit_code == ExitCode.UNREADABLE
    ours = replace(torn, trace="Traceback")
    assert Run(settings=Settings(), comparison=None, unreadable=(torn, ours)).exit_code == ExitCode.BUG


def test_numbers_before_and_after() -> None:
    outcome, *_ = compared(line(ratio=3.0, reach_m=1.0), line(ratio=6.0, reach_m=3.0)).outcomes
    assert (outcome.fate, outcome.check, outcome.rank) == (Fate.MENDED, "faint-text", 1)
    told = [(f.check, f.measured_before, f.measured_after, f.needed_after) for f in (*outcome.faults, *outcome.also)]
    assert told == [("faint-text", 3.0, 6.0, 4.5), ("short-reach", 1.0, 3.0, 2.0)]


def test_what_is_asked_may_change_with_the_station() -> None:
    """A line that the later draft takes for small print is asked for less: both numbers are told."""
    outcome = compared(line(reach_m=1.0), line(reach_m=1.0, tier="small")).outcomes[0]
    (fault,) = outcome.faults
    assert (fault.fate, fault.check, fault.needed_before, fault.needed_after) == (Fate.MENDED, "short-reach", 2.0, 0.5)
    assert fault.pair is not None
    assert fault.pair.stations == ("mid", "near")


def test_what_was_no_fault_before_has_its_number_too() -> None:
    (outcome,) = compared(line(reach_m=6.0), line(reach_m=1.5)).outcomes
    (fault,) = outcome.faults
    assert (fault.before, fault.measured_before, fault.measured_after) == (None, 6.0, 1.5)


def test_one_cause_one_outcome() -> None:
    """Two lines of one finding, of which one is mended; what else the worst one fails is told with it."""
    before = draft([text("L01", ratio=2.5, y_mm=100), text("L02", ratio=2.5, y_mm=200, reach_m=1.5)])
    assert len(before.findings) == 1
    after = draft([text("L01", ratio=9.0, y_mm=100), text("L02", ratio=2.5, y_mm=200, reach_m=1.5)])
    comparison = compared(before, after)
    assert [(o.fate, o.check, len(o.faults), len(o.also)) for o in comparison.outcomes] == [
        (Fate.MENDED, "faint-text", 1, 0),
        (Fate.STAYED, "faint-text", 1, 1),
    ]
    assert comparison.fate_of(before.findings[0]) is Fate.STAYED, "mended only if all of it is"


def test_what_is_new_on_a_line_that_got_worse_is_told_with_it() -> None:
    comparison = compared(line(ratio=9.0, jnd=40.0), line(ratio=3.0, jnd=5.0))
    (outcome,) = comparison.outcomes
    assert (outcome.fate, outcome.check) == (Fate.WORSE, "faint-text")
    assert [(fault.check, fault.fate) for fault in outcome.also] == [("fades", Fate.NEW)]


def test_a_draft_against_itself() -> None:
    one = draft([text("L01", ratio=3.0), text("L02", y_mm=300)], [detail(resolve_m=3.0)])
    comparison = compared(one, one)
    assert {outcome.fate for outcome in comparison.outcomes} == {Fate.STAYED}
    assert not comparison.worse
    assert all(pair.before == pair.after and pair.moved_by_mm == 0 and not pair.recoloured for pair in comparison.pairs)
