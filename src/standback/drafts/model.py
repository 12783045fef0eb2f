"""What became of a poster from one draft to the next."""

from dataclasses import dataclass
from enum import StrEnum
from math import hypot

from standback.elements import Srgb8
from standback.errors import ExitCode
from standback.findings import Finding, PosterReport, Unreadable
from standback.settings import Settings


class Fate(StrEnum):
    """What became of a fault; the value is the word of every report.

    `GONE` went with its element, which is not found again; `EASED` still falls short, by less than before.
    """

    MENDED = "mended"
    GONE = "gone"
    WORSE = "worse"
    NEW = "new"
    EASED = "eased"
    STAYED = "stayed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Value:
    """A number of an element in both drafts.

    Attributes
    ----------
    name, unit
        The key that it has in the audit, and its unit: "ratio", "m" or "mm".
    before, after
        None where it can't be measured.
    worse
        It fell by more than 5 % and is now under what its check asks for.
    """

    name: str
    unit: str
    before: float | None
    after: float | None
    worse: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """One element in both drafts, or in one of them where the other has none like it.

    Attributes
    ----------
    before, after
        Its ids, None where there is no such element.
    likeness
        How alike the shapes of its ink are: 1 for the same; None where there is nothing to compare.
    moved_mm
        To the right and down; what all elements are shifted by, as in a crop, is taken out.
    inks, grounds
        Its colours before and after.
    stations
        From where it should be read, before and after; None for what is no line.
    recoloured
        Whether a viewer can tell its ink or its ground from the earlier one.
    """

    kind: str
    before: str | None
    after: str | None
    likeness: float | None = None
    moved_mm: tuple[float, float] | None = None
    inks: tuple[Srgb8, Srgb8] | None = None
    grounds: tuple[Srgb8, Srgb8] | None = None
    stations: tuple[str, str] | None = None
    recoloured: bool = False
    values: tuple[Value, ...] = ()

    @property
    def moved_by_mm(self) -> float:
        """How far it moved."""
        return hypot(*self.moved_mm) if self.moved_mm is not None else 0.0

    def value(self, name: str) -> Value | None:
        """Return one of its numbers, None where it has none of that name."""
        return next((value for value in self.values if value.name == name), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """What one check says of one element (or of the whole sheet) in both drafts.

    Attributes
    ----------
    pair
        The element, None for the sheet.
    before, after
        What the check found; at least one is there.
    measured_before, measured_after, needed_before, needed_after
        The number that falls short, or fell short, in both drafts, and what is asked of it there. None where a
        draft has no such number.
    counts
        It makes the redraft worse, by the rule for the exit code.
    """

    fate: Fate
    check: str
    pair: Pair | None
    before: Finding | None
    after: Finding | None
    measured_before: float | None = None
    measured_after: float | None = None
    needed_before: float | None = None
    needed_after: float | None = None
    counts: bool = False

    @property
    def found(self) -> Finding:
        """What the check found in the later draft, else in the earlier."""
        found = self.after or self.before
        assert found is not None
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """Faults of one fate and one cause: what a report tells as one.

    Attributes
    ----------
    rank
        Of the finding that they are part of: in the later draft if it is still there, else in the earlier.
    faults
        Those of the cause, one an element, the worst first.
    also
        Other faults of the same elements with the same fate; what is new on an element that got worse is told
        with that.
    """

    fate: Fate
    check: str
    rank: int | None
    faults: tuple[Fault, ...]
    also: tuple[Fault, ...] = ()

    @property
    def of_worst(self) -> tuple[Fault, ...]:
        """The other faults of the worst element."""
        return tuple(fault for fault in self.also if fault.pair is self.faults[0].pair)

    @property
    def counts(self) -> bool:
        """Whether any of it makes the redraft worse."""
        return any(fault.counts for fault in (*self.faults, *self.also))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Comparison:
    """Two drafts of one poster, and what became of it.

    Attributes
    ----------
    pairs
        Every element of either: those in both in the order of the earlier, then those only in the earlier,
        then those only in the later.
    outcomes
        What became of the faults, in the order mended, gone, worse, new, eased, stayed.
    """

    before: PosterReport
    after: PosterReport
    pairs: tuple[Pair, ...]
    outcomes: tuple[Outcome, ...]

    @property
    def worse(self) -> bool:
        """Whether anything got worse, by the rule for the exit code."""
        values = (value for pair in self.pairs for value in pair.values)
        return any(outcome.counts for outcome in self.outcomes) or any(value.worse for value in values)

    @property
    def passed(self) -> bool:
        """Whether nothing got worse and the later draft passes its gate; always, with the gate off."""
        return self.after.gate == "off" or (not self.worse and self.after.passed)

    def of(self, *fates: Fate) -> tuple[Outcome, ...]:
        """Return the outcomes of some fates."""
        return tuple(outcome for outcome in self.outcomes if outcome.fate in fates)

    def fate_of(self, finding: Finding) -> Fate:
        """Return what became of a finding of the earlier draft: mended or gone only if all of it is."""
        faults = (fault for outcome in self.outcomes for fault in (*outcome.faults, *outcome.also))
        fates = {
            fault.fate
            for fault in faults
            if fault.before is not None
            and (fault.pair.before in finding.elements if fault.pair is not None else fault.check == finding.check)
        }
        return next((fate for fate in _WORST_FIRST if fate in fates), Fate.STAYED)


_WORST_FIRST = (Fate.WORSE, Fate.STAYED, Fate.EASED, Fate.GONE, Fate.MENDED)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Run:
    """One run of a comparison; without one where a draft could not be read."""

    settings: Settings
    comparison: Comparison | None
    unreadable: tuple[Unreadable, ...] = ()

    @property
    def exit_code(self) -> ExitCode:
        """The exit code it earns."""
        if any(draft.trace is not None for draft in self.unreadable):
            return ExitCode.BUG
        if self.comparison is None:
            return ExitCode.UNREADABLE
        return ExitCode.GOOD if self.comparison.passed else ExitCode.FINDINGS
