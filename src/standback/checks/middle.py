"""Check of what there is to read on the way from the title to the small print."""

from collections.abc import Sequence
from math import inf

from standback.checks.distance import farthest, judged
from standback.checks.model import Check
from standback.checks.of_element import placed_finding, shortfall_of_minimum
from standback.findings import Finding, Severity
from standback.measure.model import Measurement, Measurements
from standback.measure.tiers import SURE, styles
from standback.numbers import distance
from standback.settings import Limits

FOOT = 0.9
"""What begins lower than this share of the sheet, who made it and under what licence, is not waited for (ours)."""
MOST_OF_MID, LEAST_HOLE = 0.7, 2.5
"""Text that reads from farther than this share of mid is hardly waited for, and a hole is so many times as far at its
farther end as at its nearer one (ours)."""
SEVERAL = 3
"""So many lines of one style are a text (ours)."""


def _no_middle(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    lines = judged(measured.lines)
    if any(m.tier != "lead" and m.tier_from != "guess" for m in lines) or farthest(measured, limits) is not None:
        return ()
    come = [m for m in lines if m.reach_m >= m.mid_m]
    titles = [m for m in come if m.tier == "lead" or m.reach_m >= m.far_m or _above_a_title(m, measured)]
    foot_mm = _foot_mm(measured)
    waiting = [m for m in lines if m.reach_m < m.mid_m and m.box_mm[1] < foot_mm]
    if not titles or len(waiting) < limits.middle_least_lines:
        return ()
    text = _text(waiting, limits)
    between = [m for m in come if m not in titles and m.line.confidence >= SURE and m.box_mm[1] < foot_mm]
    # a line of the waiting text that seems to read from farther was measured by a few capitals
    between = [m for m in between if not any(_one_size(m, other) for other in waiting)]
    if not text or text[0].reach_m > MOST_OF_MID * text[0].mid_m:
        return ()
    start_m = min(text[0].far_m, *(m.reach_m for m in titles))
    end_m = max(m.reach_m for m in lines if m.reach_m < m.mid_m)
    if limits.middle_per_line * len(between) > len(waiting) or start_m < LEAST_HOLE * end_m:
        return ()
    return (_finding(text, lines, len(waiting), start_m, end_m),)


def _foot_mm(measured: Measurements) -> float:
    height_mm = measured.sheet.height_mm if measured.sheet is not None else None
    return inf if height_mm is None else FOOT * height_mm


def _one_size(a: Measurement, b: Measurement) -> bool:
    return max(a.em_mm, b.em_mm) <= 1.05 * min(a.em_mm, b.em_mm)


def _above_a_title(m: Measurement, measured: Measurements) -> bool:
    """Whether a line stands above a lead line and goes with it, as the first words of a title in smaller type do."""
    leads = {lead.id: lead for lead in measured.lines if lead.tier == "lead"}
    beside = {e for group in measured.arrangement.groups if m.id in group.elements for e in group.elements}
    return any(m.box_mm[1] < leads[e].box_mm[1] for e in beside if e in leads)


def _text(waiting: Sequence[Measurement], limits: Limits) -> list[Measurement]:
    """Return the text that the message is in, what reads from farthest first: the largest style of several lines."""
    small = [m for m in waiting if m.tier == "small" and m.line.confidence >= SURE and m.reach_m > 0]
    found = styles([m.line for m in small], limits)
    largest = next((style for style in found if len(style) >= SEVERAL), next(iter(found), ()))
    return sorted((small[index] for index in largest), key=lambda m: (-m.reach_m, m.id))


def _listed(ids: Sequence[str]) -> str:
    shown = [*ids[:2], f"{len(ids) - 2} more"] if len(ids) > 2 else list(ids)
    return " and ".join([part for part in (", ".join(shown[:-1]), shown[-1]) if part])


def _finding(
    text: Sequence[Measurement], lines: Sequence[Measurement], waiting: int, start_m: float, end_m: float
) -> Finding:
    first = text[0]
    but = [m.id for m in lines if first.mid_m <= m.reach_m < start_m]
    named = f" but {_listed(but)}" if but else ""
    which = f"The largest text of these, {len(text)} lines," if len(text) >= SEVERAL else "The largest of these"
    return placed_finding(
        "no-middle",
        text,
        Severity.NOTE,
        measured=first.reach_m,
        needed=first.mid_m,
        unit="m",
        shortfall=shortfall_of_minimum(first.reach_m, first.mid_m),
        says=f"Between {distance(start_m)} and {distance(end_m)} nothing new can be read{named}: {waiting} lines wait "
        f"for those who come nearer. {which} reads from {distance(first.reach_m)}.",
    )


NO_MIDDLE = Check(
    id="no-middle",
    title="Nothing to read on the way",
    rationale=(
        "A title makes people come nearer as long as there is something next to read. Where all the rest waits for "
        "those who stand before the sheet, many turn away before they know what it says."
    ),
    source="ours",
    asks=(
        "that one line at least for every {middle_per_line:g} that can't be read from mid, titles not counted, can; "
        "asked where {middle_least_lines:g} lines or more can't, besides those at the very foot and logos, and where "
        "no brief says what is to be read from where"
    ),
    severity="note",
    measured_as="reads from {}",
    needed_as="needed from {}",
    run=_no_middle,
    alike=lambda a, b: True,
    stands_alone=True,
    spares_logos=True,
)
