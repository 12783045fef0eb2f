"""Check of what is looked at first: a heuristic."""

from collections.abc import Mapping

from standback.arrangement import Look
from standback.checks.distance import judged, nearly_from_far
from standback.checks.headlines import rivals
from standback.checks.model import Check
from standback.checks.of_element import placed_finding, shortfall_of_minimum
from standback.findings import Finding, Severity
from standback.measure.model import FigureMeasurement, Measurement, Measurements
from standback.numbers import distance, least_millimetres, millimetres
from standback.settings import Limits

LEAST_EXPLAINED = 0.4
"""Of what draws the eye at least this share lies on lines and figures that were found, or nothing is said (ours).
Not more: what is salient spills over its edges, and two black bars alone on a white sheet hold 0.42."""


def explained(measured: Measurements) -> float:
    """Return the share of what draws the eye from far that lies on elements."""
    return sum(pull.share for pull in measured.arrangement.pull if pull.station == "far")


def _no_lead(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    return _unread(measured, limits) or rivals(measured, limits) or _not_first(measured, limits)


def _unread(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    """Say that nothing reads from far where nothing is larger than the rest, so that no line was taken for lead."""
    lines = judged(measured.lines)
    if any(nearly_from_far(m, limits) or m.station == "far" or m.tier_from != "guess" for m in lines):
        return ()
    best = max(lines, key=lambda m: m.reach_m, default=None)
    if best is None or best.reach_m <= 0:
        return ()
    far, reach = distance(best.far_m), distance(best.reach_m)
    height = least_millimetres(best.letter_mm * best.far_m / best.reach_m)
    now = millimetres(best.letter_mm)
    finding = placed_finding(
        "no-lead",
        [best],
        Severity.WARN,
        measured=None,
        needed=None,
        unit=None,
        shortfall=1.0,
        says=f"Nothing on the sheet can be read from {far}, and no line is larger than the rest: this one reads from "
        f"farthest, from {reach} at the most.",
        change=f"Let one line lead: set it with letters {height} high, where {best.id} has {now}.",
    )
    return (finding,)


def _not_first(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    looks = measured.arrangement.looks_from("far")
    if not looks or explained(measured) < LEAST_EXPLAINED:
        return ()
    first, rest = looks[0], looks[1:]
    wanted = [look for look in looks if _may_lead(look, measured)]
    if not wanted:
        return ()
    if first not in wanted:
        best = wanted[0]
        if first.share < limits.lead_ratio * best.share or _only_a_guess(first, best, measured):
            return ()
        says = f"Seen from {_far(measured)}, {_named(first)} draws more than {_named(best)}, which should lead"
        return (_finding(best, first, says, measured, limits),)
    rival = next((look for look in rest if not _together(first, look, measured)), None)
    if rival is None or first.share >= limits.lead_ratio * rival.share or _has_figure(first, rival):
        return ()
    says = f"Seen from {_far(measured)}, {_named(first)} and {_named(rival)} draw alike: neither clearly comes first"
    return (_finding(first, rival, says, measured, limits),)


def _finding(lead: Look, rival: Look, says: str, measured: Measurements, limits: Limits) -> Finding:
    ratio = lead.share / max(rival.share, 1e-9)
    return placed_finding(
        "no-lead",
        [measured.element(element) for element in (*lead.elements, *rival.elements)],
        Severity.WARN,
        measured=ratio,
        needed=limits.lead_ratio,
        unit="times",
        shortfall=shortfall_of_minimum(ratio, limits.lead_ratio),
        says=f"{says} (estimated shares of the pull: {lead.share:.0%} and {rival.share:.0%}; a rule of thumb).",
    )


def _may_lead(look: Look, measured: Measurements) -> bool:
    """Whether it is right that this is looked at first: a lead line, or a figure that the brief does not overrule."""
    named = any(figure.name is not None for figure in measured.figures)
    for element in look.elements:
        match measured.element(element):
            case FigureMeasurement(name=name):
                return name is not None or not named
            case Measurement(tier="lead"):
                return True
    return False


def _only_a_guess(first: Look, best: Look, measured: Measurements) -> bool:
    """Whether a text of larger letters than the lead lines is the first: then these were guessed wrong."""
    lines = {m.id: m for m in measured.lines}
    firsts, leads = ([lines[e] for e in look.elements if e in lines] for look in (first, best))
    if not firsts or not leads or any(m.tier_from != "guess" for m in leads):
        return False
    return max(m.letter_mm for m in firsts) > max(m.letter_mm for m in leads)


def _together(first: Look, other: Look, measured: Measurements) -> bool:
    """Whether two looks are of one group, as the lines of one title in two colours are."""
    group_of: Mapping[str, int] = {
        element: n for n, group in enumerate(measured.arrangement.groups) for element in group.elements
    }
    groups = [{group_of[e] for e in look.elements if e in group_of} for look in (first, other)]
    return bool(groups[0] & groups[1])


def _has_figure(*looks: Look) -> bool:
    return any(element.startswith("F") for look in looks for element in look.elements)


def _named(look: Look) -> str:
    return look.elements[0] if len(look.elements) == 1 else f"{look.elements[0]} with {len(look.elements) - 1} more"


def _far(measured: Measurements) -> str:
    elements = measured.lines or measured.figures
    return distance(elements[0].far_m)


NO_LEAD = Check(
    id="no-lead",
    title="Nothing clearly comes first",
    rationale=(
        "From across a room one thing has to pull the viewer in. Two that pull alike hold each other back, and a "
        "stamp that pulls more than the title takes its place. What draws the eye is estimated from the picture "
        "alone: a rule of thumb, not a measurement of viewers."
    ),
    source=(
        "Spectral residual, Hou & Zhang (CVPR 2007), and centre-surround differences of lightness and colour after "
        "Itti, Koch & Niebur (1998), on the sheet as seen from far. The ratio, and that both maps count alike: ours."
    ),
    asks=(
        "that a lead line, or a figure (one that the brief names, if it names any), draws at least "
        "{lead_ratio:g} times as much as any other text; judged only where two fifths of what draws lie on what was "
        "found, and not where larger text draws more than lead lines that are only guessed. By sizes alone: that one "
        "line reads from far, where none is taken for lead by its size; that no second text stands apart in letters as "
        "large as the title's, above the foot, or upright in nearly as large beside a turned one; that no heads are "
        "larger than the title above them"
    ),
    severity="warn",
    measured_as="draws {} as much",
    run=_no_lead,
    alike=lambda a, b: False,
    stands_alone=True,
)
