"""Checks of where things stand: axes, the trim, the outer margins."""

from standback.arrangement import Margins, NearTrim, OffAxis
from standback.checks.model import Check
from standback.checks.of_element import placed_finding, shortfall_of_minimum
from standback.findings import Finding, Severity
from standback.measure.model import Measurements
from standback.numbers import least_millimetres, millimetres
from standback.settings import Limits


def _off_centre(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    return tuple(_off(off, measured) for off in measured.arrangement.off_axis)


def _off(off: OffAxis, measured: Measurements) -> Finding:
    too_far = "right" if off.off_mm > 0 else "left"
    by = millimetres(abs(off.off_mm))
    all_off = (off.element, *off.along)
    named = ", ".join(all_off[:MOST_NAMED])
    more = f" and {len(all_off) - MOST_NAMED} more" if len(all_off) > MOST_NAMED else ""
    return placed_finding(
        "off-centre",
        [measured.element(element) for element in all_off],
        Severity.NOTE if off.along else Severity.WARN,
        measured=abs(off.off_mm),
        needed=off.slack_mm,
        unit="mm",
        shortfall=1 + abs(off.off_mm) / off.slack_mm,
        says=f"{_stands(off)} {by} too far {too_far}: too little to be meant, enough to be seen.",
        change=f"Move {named}{more} {by} {'left' if off.off_mm > 0 else 'right'}.",
    )


def _stands(off: OffAxis) -> str:
    if not off.of:
        return "It stands off the middle of the sheet, on which other lines stand:"
    more = len(off.of) - 1
    with_others = f"{off.of[0]} and {more} more" if more else off.of[0]
    if off.along:
        start = "start" if more else "starts"
        return f"{len(off.along) + 1} lines start beside the edge that {with_others} {start} from:"
    return {
        "left": f"It starts beside the edge that {with_others} start from:",
        "centre": f"It stands off the axis of {with_others}:",
        "right": f"It ends beside the edge that {with_others} end on:",
    }[off.axis]


MOST_NAMED = 4
"""Lines of one edge whose change is spelt out (ours)."""


OFF_CENTRE = Check(
    id="off-centre",
    title="Nearly on its axis",
    rationale=(
        "A clear offset is a decision, a small one a slip: the eye finds edges and middles that nearly agree, and "
        "rests on the error. Round and slanted shapes are set by eye, so of a middle both the box and the middle "
        "of the ink have to be off."
    ),
    source="ours, after common practice of the grid",
    asks=(
        "that what stands within {axis_far_share:.0%} of the sheet's width of an axis, which two lines or more keep "
        "exactly, stands on it within {axis_share:.1%}; edges of large letters are given 15 % of their height. And "
        "that lines that start together beside an edge that as many or more start from stand on it within "
        "{edge_least_mm:g} mm, or are indented by {edge_most_ems:g} em or more; straight stems are taken to stand "
        "farther in than round letters"
    ),
    severity="warn; note where several lines keep an edge of their own",
    measured_as="{} off",
    needed_as="at most {}",
    run=_off_centre,
    alike=lambda a, b: True,
    stands_alone=True,
)


USUAL_MARGIN = 0.03
"""Share of the sheet's shorter side that margins of type are seldom under (common practice: 3 to 5 %)."""
WITHIN_MM = 0.5
"""What is short of the safe margin by less is as far off as a cut may be anyway (ours)."""


def _near_trim(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    nearest = limits.safe_margin_mm - WITHIN_MM
    unsafe = [near for near in measured.arrangement.near_trim if near.gap_mm < nearest]
    if unsafe:
        return tuple(_near(near, limits, measured) for near in unsafe)
    overrun = measured.arrangement.overrun
    told = {*overrun.left, *overrun.right} if overrun is not None else set()
    return tuple(
        _thin(near, limits, measured) for near in measured.arrangement.thin_margins if near.element not in told
    )


def _thin(near: NearTrim, limits: Limits, measured: Measurements) -> Finding:
    wanted_mm = limits.thin_margin_share * near.gap_mm / near.share
    usual_mm = USUAL_MARGIN * near.gap_mm / near.share
    return placed_finding(
        "near-trim",
        [measured.element(near.element)],
        Severity.NOTE,
        measured=near.gap_mm,
        needed=wanted_mm,
        unit="mm",
        shortfall=shortfall_of_minimum(near.gap_mm, wanted_mm),
        says=f"It stands {millimetres(near.gap_mm)} from the {_EDGE[near.side]}: safe from the cut, but "
        f"{near.share:.1%} of the sheet's shorter side is a thin frame for so large a sheet.",
        change=f"Keep {near.element} {least_millimetres(wanted_mm)} from the {_EDGE[near.side]}, or more: "
        f"{millimetres(usual_mm)}, {USUAL_MARGIN:.0%} of the shorter side, is usual.",
    )


_INWARD = {"left": "right", "right": "left", "top": "down", "bottom": "up"}
_EDGE = {"left": "left edge", "right": "right edge", "top": "top", "bottom": "bottom"}


def _near(near: NearTrim, limits: Limits, measured: Measurements) -> Finding:
    short_mm = limits.safe_margin_mm - near.gap_mm
    return placed_finding(
        "near-trim",
        [measured.element(near.element)],
        Severity.WARN,
        measured=near.gap_mm,
        needed=limits.safe_margin_mm,
        unit="mm",
        shortfall=shortfall_of_minimum(near.gap_mm, limits.safe_margin_mm),
        says=f"It stands {millimetres(near.gap_mm)} from the {_EDGE[near.side]}: a cut that is a little off, or a "
        "frame, takes from it.",
        change=f"Move {near.element} {least_millimetres(short_mm)} {_INWARD[near.side]}, with what stands there.",
    )


NEAR_TRIM = Check(
    id="near-trim",
    title="Type too close to the trim",
    rationale=(
        "Sheets are cut in stacks, a millimetre or two off at worst, and frames and clips cover a rim. Type that "
        "the trim cuts through, or that runs on to it, is taken to be meant so. And a margin frames the sheet: what "
        "will do for a leaflet looks pinched on a large one."
    ),
    source=(
        "common practice: printers ask for 3 to 5 mm, and designers leave 3 to 5 % of the sheet's shorter side. That "
        "half a millimetre less will do, and under which share a margin is thin: ours."
    ),
    asks=(
        "{safe_margin_mm:g} mm or more between type and the trim, to within half a millimetre; where all type keeps "
        "that, {thin_margin_share:.1%} of the sheet's shorter side"
    ),
    severity="warn; note where it is safe from the cut but thin for the sheet",
    measured_as="{} from the trim",
    run=_near_trim,
    alike=lambda a, b: True,
    stands_alone=True,
    likewise=True,
)


def _uneven_margins(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    margins, overrun = measured.arrangement.margins, measured.arrangement.overrun
    if margins is not None and min(margins.left_mm, margins.right_mm) > 0:
        narrow, wide = sorted((margins.left_mm, margins.right_mm))
        if limits.margin_ratio * narrow < wide < 2 * limits.margin_ratio * narrow:
            says = (
                f"Lines keep to a margin of {millimetres(margins.left_mm)} on the left and of "
                f"{millimetres(margins.right_mm)} on the right: alike enough to look unmeant."
            )
            change = f"Make both {millimetres((narrow + wide) / 2)}, or one of them clearly wider."
            return (_uneven(margins, measured, says, change),)
    if overrun is None:
        return ()
    left, right = millimetres(overrun.left_mm), millimetres(overrun.right_mm)
    on_left = overrun.left_mm < overrun.right_mm
    near, kept, side, other = (left, right, "left", "right") if on_left else (right, left, "right", "left")
    beyond = overrun.left if on_left else overrun.right
    more = f" and {len(beyond) - MOST_NAMED} more" if len(beyond) > MOST_NAMED else ""
    says = (
        f"Type comes to {near} of the {side} edge, but keeps {kept} on the {other}: it looks pushed out of its frame."
    )
    change = f"Keep {', '.join(beyond[:MOST_NAMED])}{more} {kept} from the {side} edge as well."
    if overrun.left == overrun.right:
        change = f"Set {beyond[0]} with {millimetres((overrun.left_mm + overrun.right_mm) / 2)} on either side."
    return (_uneven(overrun, measured, says, change),)


def _uneven(margins: Margins, measured: Measurements, says: str, change: str) -> Finding:
    narrow, wide = sorted((margins.left_mm, margins.right_mm))
    return placed_finding(
        "uneven-margins",
        [measured.element(e) for e in (margins.left if margins.left_mm < margins.right_mm else margins.right)],
        Severity.NOTE,
        measured=narrow,
        needed=wide,
        unit="mm",
        shortfall=wide / narrow,
        says=says,
        change=change,
    )


UNEVEN_MARGINS = Check(
    id="uneven-margins",
    title="Outer margins that differ",
    rationale=(
        "Margins that several lines keep to frame the sheet. Where left and right differ a little and without a "
        "reason, the sheet looks cut wrong. Ragged lines have no margin, and a margin of more than twice the other "
        "is a layout; but type that comes close to one edge, and nearer than any to the other, looks pushed out."
    ),
    source="ours",
    asks=(
        "outer margins, where three lines or more keep to either, that differ by no more than {margin_ratio:g} to 1, "
        "or by clearly more; and no line so near to an edge that the margin kept on the other side is over "
        "{overrun_ratio:g} times as wide, unless both are wide"
    ),
    severity="note",
    measured_as="{} on one side",
    needed_as="{} on the other",
    run=_uneven_margins,
    alike=lambda a, b: True,
    stands_alone=True,
)
