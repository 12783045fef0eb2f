"""What would mend lines: tried in turn, measured again, and offered only if it clears every check."""

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import replace
from math import ceil

from standback.changes.colours import colour_ways
from standback.changes.fault import FORM, Fault
from standback.changes.offer import Offer
from standback.changes.words import in_words, step_mm
from standback.checks.printing import hairline_limit_mm
from standback.findings import Redraw
from standback.measure.again import Scene
from standback.measure.look import Look
from standback.measure.model import Measurement

MODEST_GROWTH, LARGEST_GROWTH = 2.0, 16.0
"""Up to the first, larger letters come before a bolder change; beyond the second none are offered (ours)."""
GROWTH_PRECISION = 1.02
"""Finer than the step of the heights, for all but the largest letters (ours)."""
LEAST_GROWTH = 1.05
"""A smaller step is hardly seen, and nobody would set it (ours)."""
WEIGHTS = (1.25, 1.5, 1.75, 2.0, 2.5, 3.0, 4.0, 5.0)
"""Stroke widths tried, as multiples of today's (ours)."""
HAIRLINE_SPARE = 1.05
"""A stroke that is to print is drawn so much wider than it must be (ours)."""
HEAVIEST_EM = 0.14
"""Strokes of a heavy cut, in ems; heavier ones close the letters (common practice: bold is 0.11 to 0.13)."""


def line_change(
    lines: Sequence[Measurement], scene: Scene, failed: Collection[tuple[str, str]], *, keeps_ground: bool = False
) -> Offer | None:
    """Return the mildest change that clears every check its lines fail, else one that clears a part.

    That part is the cause of each line, else the worst line alone; the words say what is left.

    Parameters
    ----------
    failed
        Elements and the checks that they should no longer fail.
    keeps_ground
        Whether the inks change sides before their ground moves.
    """
    whole = Fault.of(lines, failed, scene, keeps_ground=keeps_ground)
    for fault in (whole, whole.only_causes(), whole.only_worst(), whole.only_worst().only_causes()):
        look = _mildest(fault)
        if look is not None:
            return Offer(says=in_words(fault, look, whole), redraws=_redraws(fault, look))
    return None


def _redraws(fault: Fault, look: Look) -> tuple[Redraw, ...]:
    """Return what of a look is colour or weight, to draw the lines with."""
    if not look.redraws:
        return ()
    return tuple(
        Redraw(
            element=m.id,
            ink=look.ink or m.line.ink_srgb8,
            ground=look.ground or m.line.ground_srgb8,
            even=look.even,
            outline=look.outline,
            heavier=look.heavier,
            enlarged=look.enlarged if fault.grows(m, look) else 1.0,
        )
        for m in fault.lines
    )


def _mildest(fault: Fault) -> Look | None:
    """Return the first look that mends a fault: a colour, a weight, a size, and only then two or three of them."""
    ways: list[list[Look]] = []
    for way in colour_ways(fault):
        ways.append(list(way))
        look = _first_clear(ways[-1], fault.clears)
        if look is not None:
            return look
    if not FORM & fault.kinds:
        return None
    base = Look()
    of_colour = fault.but_for(lambda check: bool(FORM.intersection(check.mended_by)))
    if any(of_colour.failed.values()):
        first = next((look for way in ways if (look := _first_clear(way, of_colour.clears)) is not None), None)
        if first is None:
            return None
        base = first
    # black ink on a ground is a change that one may make; a black ground on a coloured sheet is another poster
    strongest = [way[-1] for way in ways[:2] if way and way[-1].ground is None and "colour" in fault.kinds]
    bases = [base, *strongest]
    return next(_forms(fault, bases), None)


def _forms(fault: Fault, bases: Sequence[Look]) -> Iterator[Look]:
    """Yield looks with other letters that clear: in each colour heavier, then larger, then both."""
    for most, both in ((MODEST_GROWTH, False), (MODEST_GROWTH, True), (LARGEST_GROWTH, False)):
        for base in bases:
            heavier = [replace(base, heavier=weight) for weight in _weights(fault)]
            if both:
                look = _taller(fault, heavier[-1], most) if heavier else None
            else:
                look = _first_clear(heavier, fault.clears) if most == MODEST_GROWTH else None
                look = look or _taller(fault, base, most)
            if look is not None:
                yield look


def _first_clear(looks: Sequence[Look], clears: Callable[[Look], bool]) -> Look | None:
    """Return the first look that clears, where each is bolder than the one before: few are drawn."""
    if not looks:
        return None
    if clears(looks[0]):
        return looks[0]
    if len(looks) == 1 or not clears(looks[-1]):
        return None
    low, high = 0, len(looks) - 1
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if clears(looks[middle]) else (middle, high)
    return looks[high]


def _weights(fault: Fault) -> tuple[float, ...]:
    if "weight" not in fault.kinds:
        return ()
    most = min(HEAVIEST_EM * m.em_mm / m.stroke_mm for m in fault.lines)
    printable = max(
        hairline_limit_mm(m.line.ink_srgb8, m.line.ground_srgb8, fault.scene.settings.limits) / m.stroke_mm
        for m in fault.lines
    )
    return tuple(weight for weight in sorted((*WEIGHTS, HAIRLINE_SPARE * printable)) if LEAST_GROWTH <= weight <= most)


def _taller(fault: Fault, base: Look, most: float) -> Look | None:
    """Return the look with the least letter height at which every line clears its checks, None if none does."""
    if "size" not in fault.kinds:
        return None

    def clears(enlarged: float) -> bool:
        return fault.worst_clears(replace(base, enlarged=enlarged))

    low, high = 1.0, min(2.0, most)
    while not clears(high):
        low, high = high, 2 * high
        if high > most:
            return None
    while high / low > GROWTH_PRECISION:
        middle = (low * high) ** 0.5
        low, high = (low, middle) if clears(middle) else (middle, high)
    now = fault.worst.letter_mm
    high = max(high, LEAST_GROWTH)
    step = step_mm(high * now)
    look = replace(base, enlarged=ceil(high * now / step - 1e-9) * step / now)
    return look if fault.clears(look) else None
