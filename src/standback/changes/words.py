"""A change to lines, in words that a designer can act on."""

from collections.abc import Iterator
from dataclasses import replace

from standback.changes.fault import Fault
from standback.elements import Srgb8
from standback.light import is_lighter, luminance1_of, to_hex
from standback.measure.again import foreseen
from standback.measure.look import OUTLINE_LETTERS, Look
from standback.measure.model import Measurement
from standback.numbers import distance, millimetres, ratio

STEPS_MM = ((5.0, 0.1), (9.5, 0.5))
"""Under the first heights are offered in tenths, under the second in halves, above in whole mm (ours)."""


def in_words(fault: Fault, look: Look, whole: Fault) -> str:
    """Return what to do to the worst line, and what it was measured to come to; then what it leaves.

    Parameters
    ----------
    whole
        All that was to be mended, of which `fault` is what the look clears.
    """
    steps = [*_colours(fault, look), *_letters(fault, look)]
    if look.heavier > 1 or look.enlarged > 1:
        steps[-1] = f"{steps[-1].removesuffix('.')}: then {_comes_to(fault, look)}."
    steps.extend(_others(fault, look))
    steps.extend(_left(whole, fault, look))
    if fault.cause is not None and fault.cause.id == "hairline":
        steps.extend(positive_instead(fault.worst.line.ink_srgb8, fault.worst.line.ground_srgb8))
    if look.enlarged > 1:
        widest_mm = max(look.enlarged * (m.box_mm[2] - m.box_mm[0]) for m in fault.lines)
        if widest_mm > fault.scene.artwork.width_mm:
            steps.append("The line would outgrow the sheet: break it, or say less in larger letters.")
    return " ".join(steps)


def positive_instead(ink: Srgb8, ground: Srgb8) -> Iterator[str]:
    """Yield what else mends a thin stroke that is left light in a dark solid."""
    if is_lighter(ink, ground):
        yield "Or print it dark on light, which holds strokes half as wide."


def step_mm(height_mm: float) -> float:
    """Return the step in which a letter height is offered."""
    return next((step for under, step in STEPS_MM if height_mm < under), 1.0)


def letters_of(m: Measurement) -> str:
    """Name what a line's letter height is the height of."""
    if m.x_mm is not None and abs(m.letter_mm - m.x_mm) < 1e-6:
        return "small letters (x-height)"
    return "letters" if m.cap_mm is None else "capitals"


def _left(whole: Fault, fault: Fault, look: Look) -> Iterator[str]:
    """Say which faults of the worst line are left, and which lines are not mended."""
    if left := whole.left(look):
        titles = "; ".join(f"{check.title[0].lower()}{check.title[1:]}" for check in left)
        yield f"Then it still falls short: {titles}."
    rest = len(whole.lines) - len(fault.lines)
    if rest:
        yield f"That is for {fault.worst.id}: it does not mend {'the other one' if rest == 1 else f'the other {rest}'}."


def _others(fault: Fault, look: Look) -> Iterator[str]:
    """Say that what the worst line is told holds for the others, and which of them grow by how much."""
    others = fault.lines[1:]
    if not others:
        return
    who = "The other one" if len(others) == 1 else f"The other {len(others)}"
    growing = [m for m in others if fault.grows(m, look)]
    if not growing:
        yield f"{who} likewise{', as large as now' if look.enlarged > 1 else ''}."
    elif len(growing) == len(others):
        yield f"{who} likewise, {look.enlarged:.1f} times as large."
    else:
        yield f"{who} likewise, {len(growing)} of them {look.enlarged:.1f} times as large."


def _colours(fault: Fault, look: Look) -> Iterator[str]:
    line = fault.worst.line
    says = None
    if look.ink is not None:
        says = turned("the ink", line.ink_srgb8, look.ink)
    elif look.ground is not None:
        says = turned("the ground", line.ground_srgb8, look.ground)
    elif look.even:
        says = f"Lay an even {to_hex(line.ground_srgb8)} behind it"
    elif look.outline is not None:
        width = millimetres(OUTLINE_LETTERS * fault.worst.letter_mm)
        says = f"Put an outline of {to_hex(look.outline)}, {width} wide, around the letters"
    if says is not None:
        eyes = "for every kind of colour vision, " if _for_every_eye(fault) else ""
        yield f"{says}: {ratio(_least_ratio(fault, look))}{_as_printed(fault, look)} {eyes}measured again."


def turned(part: str, old: Srgb8, new: Srgb8) -> str:
    """Say that a part's colour is made darker or lighter, from which to which."""
    verb = "Darken" if luminance1_of(new) < luminance1_of(old) else "Lighten"
    return f"{verb} {part} from {to_hex(old)} to {to_hex(new)}"


def _letters(fault: Fault, look: Look) -> Iterator[str]:
    if look.heavier > 1:
        now = fault.worst.stroke_mm
        new = look.heavier * look.enlarged * now
        yield f"Set it in a heavier weight, strokes {millimetres(new)} wide, now {millimetres(now)}."
    if look.enlarged > 1:
        now = fault.worst.letter_mm
        yield (
            f"Set the {letters_of(fault.worst)} {millimetres(look.enlarged * now)} high, now {millimetres(now)} "
            f"({look.enlarged:.1f} times the size)."
        )


def _least_ratio(fault: Fault, look: Look) -> float:
    """Return the ratio of the worst line: as measured again or of the colours as named, whichever is lower.

    That is in its worst windows where those fell short, and to the eye that sees least of it where that did.
    """
    of_colours = replace(look, enlarged=1.0)
    plain = foreseen(fault.worst, fault.scene, of_colours)
    again = fault.again(fault.worst, of_colours) or plain
    of_windows = fault.cause is not None and fault.cause.id == "patchy-ground"
    ratios = [plain.ratio, again.ratio_worst if of_windows else again.ratio]
    if _for_every_eye(fault):
        ratios += [seen.ratio for m in (plain, again) for seen in m.vision]
    return min(ratios)


def _as_printed(fault: Fault, look: Look) -> str:
    """Say the ratio of the worst line as printed, "" where no stock is named."""
    again = fault.again(fault.worst, replace(look, enlarged=1.0))
    printed = None if again is None else again.ratio_printed
    return "" if printed is None else f" ({ratio(printed)} as printed),"


def _for_every_eye(fault: Fault) -> bool:
    """Whether the worst line is lost to some for want of cones."""
    return any(check.id == "hue-only" for check in fault.failed[fault.worst.id])


def _comes_to(fault: Fault, look: Look) -> str:
    """Say what the worst line comes to with other letters, in the measure of their fault's cause."""
    cause, limits = fault.cause, fault.scene.settings.limits
    seen = cause is not None and cause.needs_seen
    again = fault.again(fault.worst, look, seen=seen)
    assert again is not None, "a look is offered only if the worst line was found in it"
    match cause.id if cause is not None else None:
        case "fades" if fault.worst.at("far").jnd >= limits.stands_out_jnd:
            block = again.at("far").block_ratio or 1.0
            return f"as a block it stands off by {ratio(block)} from {distance(fault.worst.far_m)}"
        case "fades":
            jnd = again.at("far").jnd
            return f"it stands off by {jnd:.1f} times what is just visible from {distance(fault.worst.far_m)}"
        case "washed-out":
            left = again.at(again.station).ratio or 1.0
            return f"{ratio(left)} is left of it as seen from {distance(fault.worst.station_m)}"
        case "hairline":
            return "it holds on the press"
    return f"it reads from {distance(again.reach_m)}"
