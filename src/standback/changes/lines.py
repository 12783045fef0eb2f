"""What would mend lines: tried in turn, measured again, and offered only if it clears every check."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace
from math import ceil
from typing import Literal

from standback.changes.offer import Offer
from standback.checks import CHECKS, Check
from standback.elements import Srgb8
from standback.findings import Redraw
from standback.light import luminance1_of, nearest_ink, to_hex
from standback.measure.again import Drawn, Look, Scene, drawn, measured_again
from standback.measure.model import Measurement, Measurements
from standback.numbers import distance, millimetres, ratio

Side = Literal["darker", "lighter"]
STEP_MM = 0.5
"""Heights are offered in steps that a designer can type (ours)."""
LARGEST_GROWTH = 16.0
"""No letter height beyond this many times today's is offered (ours)."""
GROWTH_PRECISION = 1.02
"""Finer than the step of the heights, for all but the largest letters (ours)."""
RATIO_STEPS = (1.0, 1.02, 1.06, 1.15, 1.3, 1.6, 2.0, 3.0, 5.0)
"""Colour targets over the wanted ratio, tried in turn: rims, grain and uneven grounds cost some (ours)."""
MOST_RATIO = 21.0


def line_change(lines: Sequence[Measurement], scene: Scene, failed: Collection[tuple[str, str]]) -> Offer | None:
    """Return the mildest change that clears every check its lines fail, else one that clears the cause.

    Parameters
    ----------
    failed
        Elements and the checks that they should no longer fail.
    """
    asked = {m.id: tuple(c for c in CHECKS if c.mended_by and (m.id, c.id) in failed) for m in lines}
    fault = _Fault(lines=lines, failed=asked, scene=scene)
    only_the_cause: Offer | None = None
    for offers in _colours(fault):
        for offer in offers:
            if fault.clears(offer.look):
                return offer.measured(fault)
            if not fault.clears(offer.look, but_for="size"):
                continue
            taller = _taller(fault, offer.look)
            if taller is not None:
                return offer.measured(fault, taller)
            if only_the_cause is None and fault.clears(offer.look, only_cause=True):
                only_the_cause = offer.measured(fault)
            break  # more of the same would not make it smaller
    if all("size" in c.mended_by for checks in asked.values() for c in checks):
        taller = _taller(fault, Look())
        return None if taller is None else Offer(says=taller)
    return only_the_cause


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Fault:
    """Lines with one cause, the worst first, and the checks that each of them fails."""

    lines: Sequence[Measurement]
    failed: dict[str, tuple[Check, ...]]
    scene: Scene
    known: dict[tuple[str, Look], Drawn | None] = field(default_factory=dict)

    def again(self, m: Measurement, look: Look, *, seen: bool = False) -> Measurement | None:
        """Return a line measured again in another look; each colour is drawn once, whatever the size."""
        key = m.id, replace(look, enlarged=1.0)
        if key not in self.known:
            self.known[key] = drawn(m, self.scene, look)
        found = self.known[key]
        return None if found is None else measured_again(m, found, self.scene, look, seen=seen)

    def mended_by(self, kind: str) -> bool:
        """Whether a kind of change can mend a check that the worst line fails."""
        return any(kind in check.mended_by for check in self.failed[self.lines[0].id])

    def clears(self, look: Look, *, but_for: str | None = None, only_cause: bool = False) -> bool:
        """Whether no line, measured again, fails a check that it failed before; the worst goes first.

        Parameters
        ----------
        but_for
            Leave out the checks that this kind of change could still mend.
        only_cause
            Ask for the first check of each line only.
        """
        return all(self._line_clears(m, look, but_for, only_cause) for m in self.lines)

    def worst_clears(self, look: Look) -> bool:
        """Whether the worst line, measured again, fails none of its checks."""
        return self._line_clears(self.lines[0], look, None, False)

    def _line_clears(self, m: Measurement, look: Look, but_for: str | None, only_cause: bool) -> bool:
        checks = self.failed[m.id][:1] if only_cause else self.failed[m.id]
        checks = tuple(c for c in checks if but_for is None or but_for not in c.mended_by)
        if not checks:
            return True
        new = self.again(m, look, seen=any(c.needs_seen for c in checks))
        return new is not None and not any(
            c.run(Measurements(lines=(new,)), self.scene.settings.limits) for c in checks
        )

    def least_ratio(self, look: Look) -> float:
        """Return the lowest ratio of the lines measured again: in their worst windows where those fell short."""
        again = [new for m in self.lines if (new := self.again(m, look)) is not None]
        of_windows = any(check.id == "patchy-ground" for check in self.failed[self.lines[0].id])
        ratios = [new.ratio_worst if of_windows else new.ratio for new in again]
        if self.for_every_eye:
            ratios += [seen.ratio for new in again for seen in new.vision]
        return min(ratios, default=0.0)

    def as_printed(self, look: Look) -> str:
        """Say the lowest ratio as printed, "" where no stock is named."""
        again = [new for m in self.lines if (new := self.again(m, look)) is not None]
        printed = [new.ratio_printed for new in again if new.ratio_printed is not None]
        return f" ({ratio(min(printed))} as printed)," if printed else ""

    @property
    def for_every_eye(self) -> bool:
        """Whether the worst line is lost to some for want of cones."""
        return any(check.id == "hue-only" for check in self.failed[self.lines[0].id])


@dataclass(frozen=True, slots=True, kw_only=True)
class _Proposal:
    look: Look
    says: str

    def measured(self, fault: _Fault, and_taller: str | None = None) -> Offer:
        """Return what is offered: every line of the fault in these colours, and perhaps taller."""
        look = self.look
        eyes = "for every kind of colour vision, " if fault.for_every_eye else ""
        says = f"{self.says}: {ratio(fault.least_ratio(look))}{fault.as_printed(look)} {eyes}measured again."
        return Offer(
            says=says if and_taller is None else f"{says} {and_taller}",
            redraws=tuple(
                Redraw(
                    element=m.id,
                    ink=look.ink or m.line.ink_srgb8,
                    ground=look.ground or m.line.ground_srgb8,
                    even=look.even,
                )
                for m in fault.lines
            ),
        )


def _colours(fault: _Fault) -> Iterator[Iterator[_Proposal]]:
    """Propose colours of the same hue, kind by kind, each the mildest first.

    Light type stays light and dark type dark if it can: where the ink has no room left on its side of
    the ground, the ground moves, then the ground is laid evenly, and only then does the ink change sides.
    """
    worst = fault.lines[0]
    ink, ground = worst.line.ink_srgb8, worst.line.ground_srgb8
    dark_type = luminance1_of(ink) < luminance1_of(ground)
    away: Side = "darker" if dark_type else "lighter"
    towards: Side = "lighter" if dark_type else "darker"
    if fault.mended_by("colour"):
        nearest = _nearest(fault, ink, ground, away)
        yield (_Proposal(look=Look(ink=new), says=_turned("ink", ink, new, away)) for new in nearest)
        nearest = _nearest(fault, ground, ink, towards)
        yield (_Proposal(look=Look(ground=new), says=_turned("ground", ground, new, towards)) for new in nearest)
    if fault.mended_by("even ground"):
        yield iter([_Proposal(look=Look(even=True), says=f"Lay an even {to_hex(ground)} behind it")])
    if fault.mended_by("colour"):
        nearest = _nearest(fault, ink, ground, towards)
        yield (_Proposal(look=Look(ink=new), says=_turned("ink", ink, new, towards)) for new in nearest)


def _nearest(fault: _Fault, old: Srgb8, other: Srgb8, side: Side) -> Iterator[Srgb8]:
    """Walk away from the colour as it is, up to the ratio wanted and beyond it."""
    base = max(max(m.ratio, m.ratio_wanted) for m in fault.lines)
    tried = set[Srgb8]()
    for step in RATIO_STEPS:
        new = nearest_ink(old, other, min(step * base, MOST_RATIO), side=side)
        if new is None:
            return
        if new != old and new not in tried:
            tried.add(new)
            yield new


def _turned(part: str, old: Srgb8, new: Srgb8, side: Side) -> str:
    return f"{side.removesuffix('er').capitalize()}en the {part} from {to_hex(old)} to {to_hex(new)}"


def _taller(fault: _Fault, look: Look) -> str | None:
    """Offer the letter height at which every line clears its checks, None if none does."""

    def clears(enlarged: float) -> bool:
        return fault.worst_clears(replace(look, enlarged=enlarged))

    low, high = 1.0, 2.0
    while not clears(high):
        low, high = high, 2 * high
        if high > LARGEST_GROWTH:
            return None
    while high / low > GROWTH_PRECISION:
        middle = (low * high) ** 0.5
        low, high = (low, middle) if clears(middle) else (middle, high)
    smallest = min(fault.lines, key=lambda m: m.letter_mm)
    what, now_mm = (
        ("capitals", smallest.cap_mm)
        if smallest.cap_mm is not None
        else ("small letters (x-height)", smallest.letter_mm)
    )
    height_mm = ceil(high * now_mm / STEP_MM) * STEP_MM
    enlarged = height_mm / now_mm
    if not fault.clears(replace(look, enlarged=enlarged)):
        return None
    again = [fault.again(m, replace(look, enlarged=enlarged)) for m in fault.lines]
    from_m = min(new.reach_m for new in again if new is not None)
    says = (
        f"Set the {what} {millimetres(height_mm)} high, now {millimetres(now_mm)} "
        f"({enlarged:.1f} times the size): then it reads from {distance(from_m)}."
    )
    widest_mm = max(enlarged * (m.box_mm[2] - m.box_mm[0]) for m in fault.lines)
    if widest_mm > fault.scene.artwork.width_mm:
        says += " The line would outgrow the sheet: break it, or say less in larger letters."
    return says
