"""Lines with one fault, and whether a look mends it: measured again by the measures that found it."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field, replace
from typing import Self

from standback.checks import CHECKS, Check
from standback.measure.again import Drawn, Scene, drawn, foreseen, measured_again
from standback.measure.look import Look
from standback.measure.model import Measurement, Measurements
from standback.settings import Limits

SPARE = 1.04
"""What is seen is asked for with so much to spare, since a poster drawn anew never measures quite the same (ours)."""
MOST_PROVED = 4
"""So many lines of one cause are drawn and measured again; the rest fall less short (ours)."""
FORM = frozenset({"weight", "size"})
"""Kinds of change to the letters rather than to colours."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fault:
    """Lines with one cause, the worst first, and the checks that each of them should no longer fail.

    Every colour and weight is drawn once a line, whatever the size.

    Attributes
    ----------
    keeps_ground
        Whether the inks change sides before their ground moves.
    """

    lines: Sequence[Measurement]
    failed: dict[str, tuple[Check, ...]]
    scene: Scene
    keeps_ground: bool = False
    known: dict[tuple[str, Look, bool], Drawn | None] = field(default_factory=dict)

    @classmethod
    def of(
        cls, lines: Sequence[Measurement], failed: Collection[tuple[str, str]], scene: Scene, *, keeps_ground: bool
    ) -> Self:
        """Ask for the checks that a change of a line can mend, out of (element, check) that failed."""
        asked = {m.id: tuple(c for c in CHECKS if c.mended_by and (m.id, c.id) in failed) for m in lines}
        return cls(lines=lines, failed=asked, scene=scene, keeps_ground=keeps_ground)

    @property
    def worst(self) -> Measurement:
        """The line that falls short most."""
        return self.lines[0]

    @property
    def proved(self) -> Sequence[Measurement]:
        """The lines that are measured again: the worst few, whose style and cause the others share."""
        return self.lines[:MOST_PROVED]

    @property
    def cause(self) -> Check | None:
        """The first check that the worst line fails."""
        return next(iter(self.failed[self.worst.id]), None)

    @property
    def kinds(self) -> frozenset[str]:
        """The kinds of change that can mend what is asked for."""
        return frozenset(kind for checks in self.failed.values() for check in checks for kind in check.mended_by)

    def but_for(self, spared: Callable[[Check], bool]) -> "Fault":
        """Return the fault without some checks."""
        return replace(self, failed={m: tuple(c for c in checks if not spared(c)) for m, checks in self.failed.items()})

    def only_causes(self) -> "Fault":
        """Return the fault with the first check of each line alone."""
        return replace(self, failed={m: checks[:1] for m, checks in self.failed.items()})

    def only_worst(self) -> "Fault":
        """Return the fault of the worst line alone."""
        return replace(self, lines=self.lines[:1], failed={self.worst.id: self.failed[self.worst.id]})

    def grows(self, m: Measurement, look: Look) -> bool:
        """Whether a line is set larger by a look: the worst, and those that a check of their form asks it of."""
        asked = any(FORM.intersection(check.mended_by) for check in self.failed[m.id])
        return look.enlarged > 1 and (asked or m is self.worst)

    def again(self, m: Measurement, look: Look, *, seen: bool = False) -> Measurement | None:
        """Return a line measured again in another look, None where it is not found again."""
        key = m.id, replace(look, enlarged=1.0), seen
        if key not in self.known:
            self.known[key] = drawn(m, self.scene, look, to_look_at=seen)
        found = self.known[key]
        return None if found is None else measured_again(m, found, self.scene, look, seen=seen)

    def clears(self, look: Look) -> bool:
        """Whether no line, measured again, fails a check that it failed before; the worst goes first.

        Of the lines that are not drawn, what size and colours decide is worked out.
        """
        rest = self.lines[MOST_PROVED:]
        return all(self._line_clears(m, look) for m in self.proved) and all(self._foreseen(m, look) for m in rest)

    def worst_clears(self, look: Look) -> bool:
        """Whether the worst line, measured again, fails none of its checks."""
        return self._line_clears(self.worst, look)

    def _line_clears(self, m: Measurement, look: Look) -> bool:
        checks = self.failed[m.id]
        if not checks:
            return True
        if not self._foreseen(m, look):
            return False  # not worth drawing
        new = self.again(m, look, seen=any(c.needs_seen for c in checks))
        return new is not None and not self._fails(m, new, checks)

    def _foreseen(self, m: Measurement, look: Look) -> bool:
        """Whether a line's new size and colours clear what they alone decide."""
        plain = tuple(c for c in self.failed[m.id] if c.foreseeable)
        return not plain or not self._fails(m, foreseen(m, self.scene, look), plain)

    def left(self, look: Look) -> tuple[Check, ...]:
        """Return the checks that the worst line, measured again, goes on failing."""
        new = self.again(self.worst, look, seen=any(c.needs_seen for c in self.failed[self.worst.id]))
        return tuple(c for c in self.failed[self.worst.id] if new is None or self._fails(self.worst, new, (c,)))

    def _fails(self, m: Measurement, new: Measurement, checks: Collection[Check]) -> bool:
        """Whether a line fails a check in its new look, asked for the contrast that it is asked for today.

        What larger or bolder type would be let off with is not what its finding says.
        """
        held = replace(new, ratio_wanted=m.ratio_wanted, alone=m.alone)
        limits = self.scene.settings.limits
        # a change goes all the way, where a finding lets something pass
        plain = replace(
            limits,
            hue_tolerance=0.0,
            reach_guess_share=limits.reach_warn_share,
            reach_far_share=1.0,
            ink_least_px=0.0,
            ink_known_share=1.0,
        )
        spared = stricter(plain)
        found = (c.run(Measurements(lines=(held,)), spared if c.needs_seen else plain) for c in checks)
        return any(found)


def stricter(limits: Limits) -> Limits:
    """Return limits of what is seen, with something to spare; ratios by their distance from 1:1."""
    ratios = ("washed_out_dark_ratio", "washed_out_light_ratio", "block_ratio")
    changed = {name: 1 + SPARE * (getattr(limits, name) - 1) for name in ratios}
    changed |= {name: SPARE * getattr(limits, name) for name in ("noticed_jnd", "stands_out_jnd")}
    return replace(limits, **changed)
