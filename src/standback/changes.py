"""What would mend a finding: tried in turn, measured again, and offered only if it clears every check."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from math import ceil
from typing import Literal

from standback.checks import CHECKS, Check
from standback.elements import Srgb8
from standback.findings import Finding
from standback.light import luminance1, nearest_ink, srgb8_to_linear, to_hex
from standback.measure.again import Drawn, Look, Scene, drawn, measured_again
from standback.measure.model import Measurement
from standback.numbers import distance, millimetres, ratio

Side = Literal["darker", "lighter"]
STEP_MM = 0.5
"""Heights are offered in steps that a designer can type (ours)."""
LARGEST_GROWTH = 50.0
"""No letter height beyond this many times today's is offered (ours)."""
GROWTH_PRECISION = 1.01
RATIO_STEPS = (1.0, 1.01, 1.03, 1.06, 1.15, 1.3, 1.6, 2.0, 3.0, 4.0)
"""Colour targets over the wanted ratio, tried in turn: rims, grain and uneven grounds cost some (ours)."""
MOST_RATIO = 21.0


def with_changes(
    findings: Sequence[Finding], measurements: Sequence[Measurement], scene: Scene
) -> tuple[Finding, ...]:
    """Add to each finding the change that clears it, where one does."""
    by_id = {m.id: m for m in measurements}
    return tuple(replace(f, change=_change([by_id[e] for e in f.elements], scene)) for f in findings)


def _change(lines: Sequence[Measurement], scene: Scene) -> str | None:
    limits = scene.settings.limits
    failed = {m.id: tuple(c for c in CHECKS if c.run([m], limits)) for m in lines}
    fault = _Fault(lines=lines, failed=failed, scene=scene)
    for offer in _colours(fault):
        if fault.clears(offer.look):
            return offer.says_measured(fault)
        if fault.clears(offer.look, but_for="size"):
            taller = _taller(fault, offer.look)
            if taller is not None:
                return f"{offer.says_measured(fault)} {taller}"
    if all("size" in c.mended_by for checks in failed.values() for c in checks):
        return _taller(fault, Look())
    return None


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

    def clears(self, look: Look, *, but_for: str | None = None) -> bool:
        """Whether no line, measured again, fails a check that it failed before.

        Parameters
        ----------
        but_for
            Leave out the checks that this kind of change could still mend.
        """
        for m in self.lines:
            checks = [c for c in self.failed[m.id] if but_for is None or but_for not in c.mended_by]
            if not checks:
                continue
            new = self.again(m, look, seen=any(c.needs_seen for c in checks))
            if new is None or any(c.run([new], self.scene.settings.limits) for c in checks):
                return False
        return True

    def least_ratio(self, look: Look) -> float:
        """Return the lowest ratio of the lines measured again."""
        again = (self.again(m, look) for m in self.lines)
        return min((new.ratio_worst for new in again if new is not None), default=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Offer:
    look: Look
    says: str

    def says_measured(self, fault: _Fault) -> str:
        return f"{self.says}: {ratio(fault.least_ratio(self.look))} measured again."


def _colours(fault: _Fault) -> Iterator[_Offer]:
    """Propose colours of the same hue, the mildest first.

    Light type stays light and dark type dark if it can: where the ink has no room left on its side of
    the ground, the ground moves, then the ground is laid evenly, and only then does the ink change sides.
    """
    worst = fault.lines[0]
    ink, ground = worst.line.ink_srgb8, worst.line.ground_srgb8
    dark_type = _y(ink) < _y(ground)
    away: Side = "darker" if dark_type else "lighter"
    towards: Side = "lighter" if dark_type else "darker"
    if fault.mended_by("colour"):
        for new in _nearest(fault, ink, ground, away):
            yield _Offer(look=Look(ink=new), says=_turned("ink", ink, new, away))
        for new in _nearest(fault, ground, ink, towards):
            yield _Offer(look=Look(ground=new), says=_turned("ground", ground, new, towards))
    if fault.mended_by("even ground"):
        yield _Offer(look=Look(even=True), says=f"Lay an even {to_hex(ground)} behind it")
    if fault.mended_by("colour"):
        for new in _nearest(fault, ink, ground, towards):
            yield _Offer(look=Look(ink=new), says=_turned("ink", ink, new, towards))


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


def _y(srgb8: Srgb8) -> float:
    return float(luminance1(srgb8_to_linear(srgb8)))


def _taller(fault: _Fault, look: Look) -> str | None:
    """Offer the letter height at which every line clears its checks, None if none does."""

    def clears(enlarged: float) -> bool:
        return fault.clears(replace(look, enlarged=enlarged))

    if not clears(LARGEST_GROWTH):
        return None
    low, high = 1.0, 2.0
    while not clears(high):
        low, high = high, 2 * high
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
    if not clears(enlarged):
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
