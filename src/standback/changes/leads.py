"""What would let a line lead: itself set larger where there is room, else what rivals it set smaller."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from standback.arrangement import BoxMm, Look
from standback.changes.offer import Offer
from standback.changes.words import letters_of
from standback.checks import CHECKS, check_of
from standback.checks.focus import LEAST_EXPLAINED, explained
from standback.findings import Finding
from standback.measure.again import Scene, foreseen
from standback.measure.look import Look as Wanted
from standback.measure.model import Measurement, Measurements
from standback.measure.refocus import focus_again, scaled
from standback.numbers import millimetres

LARGER, SMALLER = (1.15, 1.3, 1.5, 1.75, 2.0, 2.5), (0.85, 0.7, 0.6, 0.5)
"""Sizes tried, as multiples of today's (ours)."""
CLEAR_LETTERS = 0.3
"""What grows keeps so much clear of what stands beside it, in its letter heights (ours)."""
NEARLY_CENTRED = 0.02
"""What stands so near the middle of the sheet, in shares of its width, grows to both sides (ours)."""
SIDEWAYS = {0.0: "to the right", 0.5: "to both sides", 1.0: "to the left"}
UPWARDS = {0.0: "down", 0.5: "up and down", 1.0: "up"}


def lead_change(finding: Finding, measured: Measurements, scene: Scene) -> Offer | None:
    """Return the least change of size after which one look clearly leads, None where none was found."""
    looks = measured.arrangement.looks_from("far")
    lead = next((look for look in looks if finding.elements[0] in look.elements), None)
    rival = next((look for look in looks if finding.elements[-1] in look.elements), None)
    if lead is None or rival is None:
        return None
    duel = _Duel(lead=lead, rival=rival, measured=measured, scene=scene)
    offers = (*(duel.larger(times) for times in LARGER), *(duel.smaller(times) for times in SMALLER))
    return next((offer for offer in offers if offer is not None), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Duel:
    """What should lead, and what pulls as much."""

    lead: Look
    rival: Look
    measured: Measurements
    scene: Scene

    def larger(self, times: float) -> Offer | None:
        """Grow what should lead to wherever there is room."""
        lines = _lines(self.lead, self.measured)
        if not lines:
            return None
        whole = _around(lines)
        x0, y0, x1, y1 = whole
        width_mm = self.scene.artwork.width_mm
        centred = abs(x0 + x1 - width_mm) < 2 * NEARLY_CENTRED * width_mm
        for across, up in product((0.5, 0.0, 1.0) if centred else (0.0, 1.0, 0.5), (1.0, 0.0, 0.5)):
            corner = x0 + across * (x1 - x0), y0 + up * (y1 - y0)
            if _fits(lines, scaled(whole, times, corner), self.measured, self.scene):
                where = f"{SIDEWAYS[across]} and {UPWARDS[up]}, where there is room"
                return self._offer(lines, times, corner, f"{times:g} times as large, grown {where}")
        return None

    def smaller(self, times: float) -> Offer | None:
        """Shrink what rivals it, as far as it still reads."""
        lines = _lines(self.rival, self.measured)
        if not lines or not all(_reads(m, times, self.scene) for m in lines):
            return None
        x0, y0, _, _ = _around(lines)
        return self._offer(lines, times, (x0, y0), "smaller")

    def _offer(self, lines: Sequence[Measurement], times: float, corner: tuple[float, float], how: str) -> Offer | None:
        """Offer a size if the look that should lead does so, measured again."""
        ids, scene = [m.id for m in lines], self.scene
        again = focus_again(self.measured, scene.artwork, scene.settings, scene.places[0], ids, times, corner)
        limits = scene.settings.limits
        lead, rival = (_share(look, again) for look in (self.lead, self.rival))
        if lead < limits.lead_ratio * rival or explained(again) < LEAST_EXPLAINED:
            return None
        if check_of("no-lead").run(again, limits):
            return None
        first, others = lines[0], "" if len(lines) == 1 else f" and {len(lines) - 1} more"
        height, now = millimetres(times * first.letter_mm), millimetres(first.letter_mm)
        then = f"{self.lead.elements[0]} draws {lead / max(rival, 1e-9):.1f} times as much as {self.rival.elements[0]}"
        return Offer(
            says=f"Set {first.id}{others} {how}: its {letters_of(first)} {height} high, now {now}. Then {then}."
        )


def _share(look: Look, measured: Measurements) -> float:
    """Return what the elements of a look draw together from far."""
    return sum(p.share for p in measured.arrangement.pull if p.station == "far" and p.element in look.elements)


def _reads(m: Measurement, times: float, scene: Scene) -> bool:
    """Whether a line, set so much smaller, passes all that its size decides."""
    new = Measurements(lines=(foreseen(m, scene, Wanted(enlarged=times)),))
    return not any(check.foreseeable and check.run(new, scene.settings.limits) for check in CHECKS)


def _fits(lines: Sequence[Measurement], box: BoxMm, measured: Measurements, scene: Scene) -> bool:
    """Whether a box keeps within the margins, and clear of all that its lines were clear of."""
    now, safe = _around(lines), scene.settings.limits.safe_margin_mm
    sheet = min(safe, now[0]), min(safe, now[1])
    right, bottom = scene.artwork.width_mm, scene.artwork.height_mm
    far = max(right - safe, now[2]), max(bottom - safe, now[3])
    if box[0] < sheet[0] or box[1] < sheet[1] or box[2] > far[0] or box[3] > far[1]:
        return False
    clear_mm = CLEAR_LETTERS * max(m.letter_mm for m in lines)
    ids = {m.id for m in lines}
    others = [m.box_mm for m in measured.elements if m.id not in ids]
    return not any(_meets(box, other, clear_mm) and not _meets(now, other, 0.0) for other in others)


def _meets(a: BoxMm, b: BoxMm, clear_mm: float) -> bool:
    return a[0] - clear_mm < b[2] and b[0] < a[2] + clear_mm and a[1] - clear_mm < b[3] and b[1] < a[3] + clear_mm


def _lines(look: Look, measured: Measurements) -> Sequence[Measurement]:
    """Return the lines of a look, none where it is a figure."""
    return [m for m in measured.lines if m.id in look.elements]


def _around(lines: Sequence[Measurement]) -> BoxMm:
    x0, y0, x1, y1 = zip(*(m.box_mm for m in lines), strict=True)
    return min(x0), min(y0), max(x1), max(y1)
