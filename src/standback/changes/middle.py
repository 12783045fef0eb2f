"""What would let the text of a sheet be read on the way: larger letters, worked out by the measure of reach."""

from math import ceil

from standback.changes.offer import Offer
from standback.changes.words import letters_of, step_mm
from standback.measure.again import Scene, foreseen
from standback.measure.look import Look
from standback.measure.model import Measurement
from standback.numbers import distance, millimetres

MOST_STEPS = 3
"""Reach goes in proportion to the height, but for the eye's optics: so many steps more are tried (ours)."""


def middle_change(m: Measurement, scene: Scene) -> Offer | None:
    """Return the height at which a line, in its own colours and weight, reads from mid; None where none was found."""
    wanted_mm = m.letter_mm * m.mid_m / m.reach_m
    step = step_mm(wanted_mm)
    for more in range(MOST_STEPS + 1):
        height_mm = (ceil(wanted_mm / step - 1e-9) + more) * step
        times = height_mm / m.letter_mm
        if foreseen(m, scene, Look(enlarged=times)).reach_m >= m.mid_m:
            return Offer(
                says=f"Set it, or the few words of it that matter most, with {letters_of(m)} {millimetres(height_mm)} "
                f"high, now {millimetres(m.letter_mm)} ({times:.1f} times the size): then it reads from "
                f"{distance(m.mid_m)}."
            )
    return None
