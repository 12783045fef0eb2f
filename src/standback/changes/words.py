"""A change to lines, in words that a designer can act on."""

from collections.abc import Iterator
from dataclasses import replace

from standback.changes.fault import Fault
from standback.elements import Srgb8
from standback.light import luminance1_of, to_hex
from standback.measure.look import OUTLINE_LETTERS, Look
from standback.measure.model import Measurement
from standback.numbers import distance, millimetres, ratio

STEPS_MM = ((5.0, 0.1), (9.5, 0.5))
"""Under the first heights are offered in tenths, under the second in halves, above in whole mm (ours)."""


def in_words(fault: Fault, look: Look) -> str:
    """Return what to do, sentence by sentence, and what it was measured to come to."""
    steps = [*_colours(fault, look), *_letters(fault, look)]
    if look.heavier > 1 or look.enlarged > 1:
        steps[-1] = f"{steps[-1].removesuffix('.')}: then {_comes_to(fault, look)}."
    if fault.cause is not None and fault.cause.id == "hairline":
        steps.extend(positive_instead(fault.worst.line.ink_srgb8, fault.worst.line.ground_srgb8))
    if look.enlarged > 1:
        widest_mm = max(look.enlarged * (m.box_mm[2] - m.box_mm[0]) for m in fault.lines)
        if widest_mm > fault.scene.artwork.width_mm:
            steps.append("The line would outgrow the sheet: break it, or say less in larger letters.")
    return " ".join(steps)


def positive_instead(ink: Srgb8, ground: Srgb8) -> Iterator[str]:
    """Yield what else mends a thin stroke that is left light in a dark solid."""
    if luminance1_of(ink) > luminance1_of(ground):
        yield "Or print it dark on light, which holds strokes half as wide."


def now_mm(fault: Fault) -> float:
    """Return the height that is offered larger: that of the smallest line."""
    smallest = _smallest(fault)
    return smallest.letter_mm if smallest.cap_mm is None else smallest.cap_mm


def step_mm(height_mm: float) -> float:
    """Return the step in which a letter height is offered."""
    return next((step for under, step in STEPS_MM if height_mm < under), 1.0)


def _smallest(fault: Fault) -> Measurement:
    return min(fault.lines, key=lambda m: m.letter_mm)


def _colours(fault: Fault, look: Look) -> Iterator[str]:
    line = fault.worst.line
    says = None
    if look.ink is not None:
        says = _turned("ink", line.ink_srgb8, look.ink)
    elif look.ground is not None:
        says = _turned("ground", line.ground_srgb8, look.ground)
    elif look.even:
        says = f"Lay an even {to_hex(line.ground_srgb8)} behind it"
    elif look.outline is not None:
        width = millimetres(OUTLINE_LETTERS * fault.worst.letter_mm)
        says = f"Put an outline of {to_hex(look.outline)}, {width} wide, around the letters"
    if says is not None:
        eyes = "for every kind of colour vision, " if _for_every_eye(fault) else ""
        yield f"{says}: {ratio(_least_ratio(fault, look))}{_as_printed(fault, look)} {eyes}measured again."


def _turned(part: str, old: Srgb8, new: Srgb8) -> str:
    verb = "Darken" if luminance1_of(new) < luminance1_of(old) else "Lighten"
    return f"{verb} the {part} from {to_hex(old)} to {to_hex(new)}"


def _letters(fault: Fault, look: Look) -> Iterator[str]:
    if look.heavier > 1:
        now = fault.worst.stroke_mm
        new = look.heavier * look.enlarged * now
        yield f"Set it in a heavier weight, strokes {millimetres(new)} wide, now {millimetres(now)}."
    if look.enlarged > 1:
        now = now_mm(fault)
        what = "small letters (x-height)" if _smallest(fault).cap_mm is None else "capitals"
        yield (
            f"Set the {what} {millimetres(look.enlarged * now)} high, now {millimetres(now)} "
            f"({look.enlarged:.1f} times the size)."
        )


def _least_ratio(fault: Fault, look: Look) -> float:
    """Return the lowest ratio of the lines measured again: in their worst windows where those fell short."""
    again = [new for m in fault.proved if (new := fault.again(m, replace(look, enlarged=1.0))) is not None]
    of_windows = fault.cause is not None and fault.cause.id == "patchy-ground"
    ratios = [new.ratio_worst if of_windows else new.ratio for new in again]
    if _for_every_eye(fault):
        ratios += [seen.ratio for new in again for seen in new.vision]
    return min(ratios, default=0.0)


def _as_printed(fault: Fault, look: Look) -> str:
    """Say the lowest ratio as printed, "" where no stock is named."""
    again = [new for m in fault.proved if (new := fault.again(m, replace(look, enlarged=1.0))) is not None]
    printed = [new.ratio_printed for new in again if new.ratio_printed is not None]
    return f" ({ratio(min(printed))} as printed)," if printed else ""


def _for_every_eye(fault: Fault) -> bool:
    """Whether the worst line is lost to some for want of cones."""
    return any(check.id == "hue-only" for check in fault.failed[fault.worst.id])


def _comes_to(fault: Fault, look: Look) -> str:
    """Say what the lines come to with other letters, in the measure of their fault's cause."""
    cause, limits = fault.cause, fault.scene.settings.limits
    seen = cause is not None and cause.needs_seen
    again = [new for m in fault.proved if (new := fault.again(m, look, seen=seen)) is not None]
    match cause.id if cause is not None else None:
        case "fades" if fault.worst.at("far").jnd >= limits.stands_out_jnd:
            block = min(new.at("far").block_ratio or 1.0 for new in again)
            return f"as a block it stands off by {ratio(block)} from {distance(fault.worst.far_m)}"
        case "fades":
            jnd = min(new.at("far").jnd for new in again)
            return f"it stands off by {jnd:.1f} times what is just visible from {distance(fault.worst.far_m)}"
        case "washed-out":
            left = min(new.at(new.station).ratio or 1.0 for new in again)
            return f"{ratio(left)} is left of it as seen from {distance(fault.worst.station_m)}"
        case "hairline":
            return "it holds on the press"
    return f"it reads from {distance(min(new.reach_m for new in again))}"
