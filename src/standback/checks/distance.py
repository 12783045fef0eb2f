"""Checks of how far a line can be read."""

from collections.abc import Sequence

from standback.checks.model import Check
from standback.checks.of_element import line_finding
from standback.findings import Finding, Severity
from standback.measure.model import Measurement, Measurements, is_imprint
from standback.measure.tiers import same_style
from standback.numbers import distance, ratio
from standback.settings import NEAR_M, Limits

SAME_SIZE_RATIO = 1.25
"""Sizes of type nearer to each other than this are mended together (ours: the smallest step of a tier)."""

FOOT, SIGNATURE_LINES = 0.8, 2
"""What is all on a sheet, of so many lines, and begins lower than this share of it is a signature (ours)."""


def reaches(m: Measurement) -> bool:
    """Whether a line can be read from its station."""
    return m.reach_m >= m.station_m


def nearly_reaches(m: Measurement, limits: Limits) -> bool:
    """Whether a line is so little short of a station that is but a guess that nothing is said of it."""
    return not reaches(m) and m.reach_m >= _asked(m, limits) * m.station_m


def judged(lines: Sequence[Measurement]) -> tuple[Measurement, ...]:
    """Return the lines of which a reach is asked: all but the lettering of logos."""
    return tuple(m for m in lines if not m.logo)


def nearly_from_far(m: Measurement, limits: Limits) -> bool:
    """Whether a line reads from so little nearer than far that nobody would call it unread from there."""
    return m.reach_m >= limits.reach_far_share * m.far_m


def farthest(measured: Measurements, limits: Limits) -> Measurement | None:
    """Return the guessed lead line that reads from farthest where no line at all can be read from far.

    None where one can, where nothing is guessed to lead, and where a brief says what is read from far.
    """
    lines = judged(measured.lines)
    if any(nearly_from_far(m, limits) or (m.station == "far" and m.tier_from != "guess") for m in lines):
        return None
    leads = (m for m in lines if m.station == "far")
    return max(leads, key=lambda m: m.reach_m, default=None)


def _short_reach(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    best = farthest(measured, limits)
    short = [m for m in measured.lines if m.reach_m < _asked(m, limits) * m.station_m]
    # what is set alike is measured a little apart, and is mended together
    short = [m for m in measured.lines if any(m is one or _falls_short_with(m, one, limits) for one in short)]
    if best is None:
        return tuple(_short(m, limits) for m in short)
    # one line has to be read from far, whichever it is: what else was taken for lead is not asked to grow
    lead = [m for m in measured.lines if m.station == "far" and _of_one_title(best, m, measured, limits)]
    if _is_signature(best, measured):
        lead = []
    rest = (m for m in short if m.station != "far")
    return (*(_none_from_far(m, best, limits) for m in lead), *(_short(m, limits) for m in rest))


def _is_signature(best: Measurement, measured: Measurements) -> bool:
    """Whether all that was found is a line or two at the foot: an address, and what leads is drawn or not found."""
    height_mm = None if measured.sheet is None else measured.sheet.height_mm
    return height_mm is not None and best.box_mm[1] > FOOT * height_mm and len(measured.lines) <= SIGNATURE_LINES


def _falls_short_with(m: Measurement, one: Measurement, limits: Limits) -> bool:
    return not reaches(m) and m.station == one.station and same_style(m.line, one.line, limits)


def _of_one_title(best: Measurement, m: Measurement, measured: Measurements, limits: Limits) -> bool:
    """Whether a line is the one that reads from farthest, or goes with it: of its style, or of its group."""
    together = any({best.id, m.id} <= set(group.elements) for group in measured.arrangement.groups)
    return m is best or together or same_style(best.line, m.line, limits)


def _asked(m: Measurement, limits: Limits) -> float:
    """Return the share of its station that a line has to reach: less where the station is but a guess."""
    return limits.reach_guess_share if m.tier_from == "guess" else limits.reach_warn_share


def _none_from_far(m: Measurement, best: Measurement, limits: Limits) -> Finding:
    """Say that nothing reads from far, of the line that comes nearest to it, or of one that goes with that."""
    far, reach = distance(m.far_m), distance(m.reach_m)
    if m.reach_m <= 0:
        which = "this line can't be told from its ground at all"
    elif m is best:
        which = f"this line reads from farthest, from {reach} at the most"
    elif reach == distance(best.reach_m):
        which = f"this line reads from {reach} at the most, and none from farther"
    else:
        which = f"this line reads from {reach} at the most, and none from farther than {distance(best.reach_m)}"
    return _finding(
        m,
        Severity.FAIL if m.reach_m < limits.reach_fail_share * m.far_m else Severity.WARN,
        f"Nothing on the sheet can be read from {far}: {which}",
    )


def _short(m: Measurement, limits: Limits) -> Finding:
    # Where the tier is a guess, a line between lead and small may be meant for either: warn only.
    guess = m.tier_from == "guess"
    share = limits.reach_fail_near_share if guess and m.station == "near" else limits.reach_fail_share
    sure = not guess or m.station != "mid" or m.reach_m < limits.reach_fail_share * NEAR_M
    fails = sure and m.reach_m < share * m.station_m
    says = (
        f"It should be read from {distance(m.station_m)}, but can be from {distance(m.reach_m)} at the most"
        if m.reach_m > 0
        else f"It should be read from {distance(m.station_m)}, but can't be told from its ground at all"
    )
    return _finding(m, Severity.FAIL if fails else Severity.WARN, says)


def _finding(m: Measurement, severity: Severity, says: str) -> Finding:
    young = f"; a sharp young eye can just make it out from {distance(m.limit_m)}" if m.limit_m > 0 else ""
    return line_finding(
        "short-reach",
        m,
        severity,
        measured=m.reach_m,
        needed=m.station_m,
        unit="m",
        says=f"{says}{young}.{_of_its_ground(m)}",
    )


def _of_its_ground(m: Measurement) -> str:
    if not m.masked:
        return ""
    return f" Its busy ground makes {ratio(m.ratio_on_paper)} worth no more than {ratio(m.ratio_met)} on an even one."


def _one_size(a: Measurement, b: Measurement) -> bool:
    # by either height: a short line's small letters may be taken for capitals, and its em for a smaller one
    ratios = (
        max(a.em_mm, b.em_mm) / min(a.em_mm, b.em_mm),
        max(a.letter_mm, b.letter_mm) / min(a.letter_mm, b.letter_mm),
    )
    return a.station == b.station and min(ratios) < SAME_SIZE_RATIO


SHORT_REACH = Check(
    id="short-reach",
    title="Too small for its distance",
    rationale=(
        "A headline is read from across the room, the next lines on the way nearer, the small print up "
        "close. Reach is the farthest distance at which about nine readers in ten still read the line, from "
        "the height and weight of its letters, its contrast and the light."
    ),
    source=(
        "Smith (1979), Human Factors 21:661, for twice the limit of a young corrected eye; Fujita et al. "
        "(2008) for the cost of contrast; the eye's optics after Watson (2013). Under 0.8 of the station "
        "fails, under 1.0 warns, and nothing over 0.8 is said of a station that is but a guess: ours; and that one "
        "line at least has to be read from far."
    ),
    asks=(
        "a reach of at least {reach_warn_share:g} times the distance of its station; {reach_guess_share:g} times where "
        "the station is guessed from the sizes on the sheet, and not given by a brief; but of one line on every sheet, "
        "whichever it is, {reach_far_share:g} times the distance of far"
    ),
    severity=(
        "fail under {reach_fail_share:g} times, else warn; where the tier is only guessed, a support line "
        "fails only if it is too small for near as well, and a small one under {reach_fail_near_share:g} times"
    ),
    measured_as="reads from {}",
    needed_as="needed from {}",
    run=_short_reach,
    alike=_one_size,
    mended_by=("weight", "size"),
    spares_logos=True,
)


def _read_late(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    # a line with a farther station of its own is judged by that
    share = limits.reach_guess_share
    height_mm = None if measured.sheet is None else measured.sheet.height_mm
    return tuple(
        _late(m)
        for m in measured.lines
        if m.alone and m.station == "near" and m.reach_m < share * m.mid_m
        if not is_imprint(m, height_mm)
    )


def _late(m: Measurement) -> Finding:
    return line_finding(
        "read-late",
        m,
        Severity.NOTE,
        measured=m.reach_m,
        needed=m.mid_m,
        unit="m",
        says=f"It stands alone, and reads only from {distance(m.reach_m)}: from {distance(m.mid_m)} nothing "
        "tells that it is there to be read.",
    )


READ_LATE = Check(
    id="read-late",
    title="Small line, easily missed",
    rationale=(
        "A line that stands alone has to draw its own reader, and does so only from where it can be read; one "
        "within a block, or beside anything else, is found with it."
    ),
    source="ours",
    asks=(
        "a line with nothing but its ground within three and a half letter heights, and six along its row, that is to "
        "be read from near, reads from {reach_guess_share:g} times the distance of mid as well"
    ),
    severity="note",
    measured_as="reads from {}",
    needed_as="needed from {}",
    run=_read_late,
    alike=_one_size,
    mended_by=("size",),
    spares_logos=True,
)
