"""Checks of what belongs together, by how far apart it stands."""

from standback.arrangement import LooseHeading, TornGroup
from standback.checks.model import Check
from standback.checks.of_element import placed_finding, shortfall_of_minimum
from standback.findings import Finding, Severity
from standback.measure.model import Measurements
from standback.numbers import least_millimetres, millimetres
from standback.settings import Limits

_LAW = (
    "Pure distance law of grouping by proximity: Kubovy, Holcombe & Wagemans (1998), Cognitive Psychology "
    "35:71. At a ratio of 1.25 a viewer still groups the wrong way in about one case of five (the law's slope "
    "from memory)."
)


def _torn_group(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    torn = (t for t in measured.arrangement.torn if t.stranger_mm < t.own_mm)
    return tuple(_torn(t, measured, limits) for t in torn)


def _torn(torn: TornGroup, measured: Measurements, limits: Limits) -> Finding:
    part = ", ".join(torn.part)
    stands, its = ("stands", "its") if len(torn.part) == 1 else ("stand", "their")
    return placed_finding(
        "torn-group",
        [measured.element(element) for element in torn.part],
        Severity.NOTE if torn.whence == "guess" else Severity.WARN,
        measured=torn.own_mm,
        needed=torn.near_mm,
        unit="mm",
        shortfall=torn.own_mm / max(torn.near_mm, 1e-6),
        says=f"{part} {stands} nearer to {torn.stranger}, {millimetres(torn.stranger_mm)} away, than to "
        f"{torn.rest[0]}, {millimetres(torn.own_mm)} away, which is of {its} own group ('{torn.group}').",
        change=torn.move or _where_it_stands(torn, limits),
    )


def _where_it_stands(torn: TornGroup, limits: Limits) -> str:
    clear = least_millimetres(limits.group_clear_ratio * torn.own_mm)
    return (
        f"Bring {torn.part[0]} within {millimetres(torn.near_mm)} of {torn.rest[0]}, or keep {torn.stranger} "
        f"{clear} away."
    )


TORN_GROUP = Check(
    id="torn-group",
    title="A group torn apart",
    rationale=(
        "What stands together is taken to belong together. A line that lies nearer to others than to its own "
        "is read with the others, or not looked for at all."
    ),
    source=_LAW,
    asks=(
        "that each part of a group that the brief names lies nearer to the rest of it than to any other line, edge "
        "to edge; where it names none and the wording is known, of the lines that say when, where and how much"
    ),
    severity="warn; note where the brief names no group",
    measured_as="its own {} away",
    needed_as="needed within {}",
    run=_torn_group,
    alike=lambda a, b: False,
    stands_alone=True,
)


def _unclear_grouping(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    clear = limits.group_clear_ratio
    headings = (h for h in measured.arrangement.headings if 1 / clear < h.above_mm / h.below_mm < clear)
    torn = (t for t in measured.arrangement.torn if t.whence == "brief")
    members = (t for t in torn if t.own_mm <= t.stranger_mm < clear * t.own_mm)
    return (
        *(_between_two(h, measured, limits) for h in headings),
        *(_hardly_nearer(t, measured, limits) for t in members),
    )


def _between_two(heading: LooseHeading, measured: Measurements, limits: Limits) -> Finding:
    ratio = heading.above_mm / heading.below_mm
    wanted_mm = limits.group_clear_ratio * heading.below_mm
    return placed_finding(
        "unclear-grouping",
        [measured.element(heading.element)],
        Severity.NOTE,
        measured=ratio,
        needed=limits.group_clear_ratio,
        unit="times",
        shortfall=shortfall_of_minimum(ratio, limits.group_clear_ratio),
        says=f"This heading stands between two texts: {millimetres(heading.above_mm)} of white above it, "
        f"{millimetres(heading.below_mm)} below, so it is not told which it heads.",
        change=f"Leave {least_millimetres(wanted_mm)} or more of white above {heading.element}, or less below it.",
    )


def _hardly_nearer(torn: TornGroup, measured: Measurements, limits: Limits) -> Finding:
    ratio = torn.stranger_mm / torn.own_mm
    return placed_finding(
        "unclear-grouping",
        [measured.element(element) for element in torn.part],
        Severity.NOTE,
        measured=ratio,
        needed=limits.group_clear_ratio,
        unit="times",
        shortfall=shortfall_of_minimum(ratio, limits.group_clear_ratio),
        says=f"{torn.stranger} is hardly farther away ({millimetres(torn.stranger_mm)}) than {torn.rest[0]}, which "
        f"is of its own group ('{torn.group}', {millimetres(torn.own_mm)}).",
        change=torn.move or _where_it_stands(torn, limits),
    )


UNCLEAR_GROUPING = Check(
    id="unclear-grouping",
    title="Not told what belongs together",
    rationale=(
        "A heading as near to the text above as to its own, or a line as near to strangers as to its group, "
        "belongs to neither. Only the ratio of the two gaps counts, not their size."
    ),
    source=_LAW + " What counts as a heading: ours.",
    asks=(
        "that a heading between two stretches of text has {group_clear_ratio:g} times as much white above as "
        "below, and that strangers stand that many times as far from a member of the brief's groups as its own"
    ),
    severity="note",
    measured_as="white above {} that below",
    run=_unclear_grouping,
    alike=lambda a, b: True,
    stands_alone=True,
)
