"""Findings, their order, and the report they end in."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from enum import IntEnum
from typing import Any

from standback.arrangement import Arrangement
from standback.brief.model import Remark
from standback.doubts import Doubt
from standback.elements import Box, Srgb8
from standback.errors import ExitCode
from standback.measure.model import DetailMeasurement, Element, FigureMeasurement, Measurement
from standback.settings import Settings, Station, Viewer
from standback.stock import Stock

MOST_SHORTFALL = 100.0


class Severity(IntEnum):
    """How bad a finding is; a larger value is worse."""

    NOTE = 1
    WARN = 2
    FAIL = 3

    @property
    def word(self) -> str:
        """The word used in every report."""
        return self.name.lower()


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where on the sheet a finding stands."""

    box_px: Box
    box_mm: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Redraw:
    """An element in the colours and the weight that a change proposes; a colour that stays is its own.

    Attributes
    ----------
    even
        The ground is laid evenly, instead of shifting the one that is there.
    outline
        Colour of a ring around the letters.
    heavier
        How many times as wide its strokes are.
    enlarged
        How many times as large it must be as well: no part of the redraw, which mends it only then.
    """

    element: str
    ink: Srgb8
    ground: Srgb8
    even: bool = False
    outline: Srgb8 | None = None
    heavier: float = 1.0
    enlarged: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One fault.

    Attributes
    ----------
    elements
        Ids of the elements concerned, the worst first.
    measured, needed, unit
        The number that fell short and the one wanted; all None for a finding without a number.
    shortfall
        At least 1, at most 100: how many times it falls short.
    says
        What it means for the viewer, one or two sentences.
    change
        What would mend it, re-measured; None where nothing offered clears the check.
    redraws
        What of the change is colour or weight, element by element, the worst first: enough to draw it.
    """

    check: str
    severity: Severity
    elements: tuple[str, ...]
    places: tuple[Place, ...]
    measured: float | None
    needed: float | None
    unit: str | None
    shortfall: float
    says: str
    change: str | None = None
    redraws: tuple[Redraw, ...] = ()
    waived: str | None = None
    doubts: tuple[Doubt, ...] = ()
    tier: str = "small"
    seen_area: float = 0.0
    rank: int = 0


TIERS = ("lead", "support", "small")
HARDLY_SHORT = 0.93
"""What has at least this share of what is asked for is not told of a line that falls short of something else by more:
it was all but met, and what mends the other changes it as well (ours)."""


def plainly_short(found: Sequence[Finding]) -> Sequence[Finding]:
    """Return the findings on one element but for those that are short by a hair; all where all are."""

    def is_plain(finding: Finding) -> bool:
        by_a_number = finding.measured is not None and finding.severity < Severity.FAIL
        return not by_a_number or finding.shortfall * HARDLY_SHORT >= 1

    return [f for f in found if is_plain(f)] or found


def ranked(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Order findings by severity, tier, shortfall, area seen from far, place and id, and number them."""

    def key(finding: Finding) -> tuple[Any, ...]:
        place = finding.places[0].box_px if finding.places else Box(x0=0, y0=0, x1=1, y1=1)
        return (
            finding.waived is not None,
            -finding.severity,
            TIERS.index(finding.tier),
            -finding.shortfall,
            -finding.seen_area,
            (place.y0, place.x0),
            finding.check,
            finding.elements,
        )

    return tuple(replace(f, rank=n) for n, f in enumerate(sorted(findings, key=key), start=1))


@dataclass(frozen=True, slots=True, kw_only=True)
class ArtworkFacts:
    """What a report says of the artwork itself.

    Attributes
    ----------
    drawn
        Its pixels were drawn by us, from a file that has none of its own: "PDF".
    sha256
        Of the file's content, where a later run may want to know whether it has changed.
    """

    width_px: int
    height_px: int
    width_mm: float
    height_mm: float
    bleed_mm: float
    ppi: float
    size_from: str
    colour: str
    profile: str | None
    doubts: tuple[Doubt, ...]
    stock: Stock | None = None
    drawn: bool = False
    sha256: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkUpStep:
    """What can be read when the viewer has come this near.

    Attributes
    ----------
    looks
        What is looked at here and was not before, the first look first: a figure, or lines of one style.
    says
        The same in words: "from 5 m: the picture, then TITLE".
    """

    distance_m: float
    reads: tuple[str, ...]
    looks: tuple[tuple[str, ...], ...] = ()
    says: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Carries:
    """An element that works, and why."""

    element: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NotJudged:
    """A check that was not applied, and why."""

    check: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NotDrawn:
    """What of a finding a suggestion picture does not show, and why."""

    rank: int
    elements: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestion:
    """Which changes a suggestion picture shows.

    Attributes
    ----------
    drawn
        Rank of the finding, and the elements that are redrawn for it.
    """

    drawn: tuple[tuple[int, tuple[str, ...]], ...]
    not_drawn: tuple[NotDrawn, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PosterReport:
    """The audit of one artwork.

    Attributes
    ----------
    far_assumed
        Nobody said how far the viewer stands.
    viewers, judged_for
        Who looks, and the name of the one whose reach decides.
    remarks
        The reviewer's own words, from the brief.
    unmatched
        What in the brief found nothing on the sheet to hold for, a sentence each.
    live_text
        What only the file's live text has, or only the sheet, a sentence each.
    suggestion
        What the picture of the changes shows, None where none was drawn.
    faults
        What each check finds on each element, before one finding is left for each cause.
    arrangement
        How the elements stand to each other: groups, axes, margins, looks.
    """

    file: str
    artwork: ArtworkFacts
    stations: tuple[Station, ...]
    far_assumed: bool
    elements: tuple[Measurement, ...]
    details: tuple[DetailMeasurement, ...] = ()
    figures: tuple[FigureMeasurement, ...] = ()
    walk_up: tuple[WalkUpStep, ...]
    findings: tuple[Finding, ...]
    carries: tuple[Carries, ...]
    not_judged: tuple[NotJudged, ...]
    summary: str
    gate: str
    viewers: tuple[Viewer, ...] = Settings().viewers
    judged_for: str = Settings().judged_for
    remarks: tuple[Remark, ...] = ()
    unmatched: tuple[str, ...] = ()
    live_text: tuple[str, ...] = ()
    faults: tuple[Finding, ...] = ()
    suggestion: Suggestion | None = None
    arrangement: Arrangement = field(default_factory=Arrangement)

    @property
    def found(self) -> tuple[Element, ...]:
        """Everything found: lines, details, figures."""
        return (*self.elements, *self.details, *self.figures)

    @property
    def worst(self) -> Severity | None:
        """The worst unwaived severity, None without findings."""
        return max((f.severity for f in self.findings if f.waived is None), default=None)

    @property
    def passed(self) -> bool:
        """Whether no unwaived finding is at or above the gate."""
        if self.gate == "off" or self.worst is None:
            return True
        return self.worst < Severity[self.gate.upper()]

    @property
    def verdict(self) -> str:
        """Return "pass" or "fail"."""
        return "pass" if self.passed else "fail"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unreadable:
    """A file that could not be audited.

    Attributes
    ----------
    why
        One plain sentence: what is wrong, and what to do.
    trace
        The traceback where our own code failed on it, else None; no report shows it.
    """

    file: str
    why: str
    trace: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Report:
    """One run over one or many artworks."""

    settings: Settings
    posters: tuple[PosterReport, ...]
    unreadable: tuple[Unreadable, ...]

    @property
    def exit_code(self) -> ExitCode:
        """The exit code the run earns; an unreadable file outranks findings, a fault of ours everything."""
        if any(u.trace is not None for u in self.unreadable):
            return ExitCode.BUG
        if self.unreadable or not self.posters:
            return ExitCode.UNREADABLE
        if all(p.passed for p in self.posters):
            return ExitCode.GOOD
        return ExitCode.FINDINGS
