"""How an element is meant to look: what a designer can change about it."""

from dataclasses import dataclass
from typing import Self

from standback.elements import Srgb8
from standback.findings import Redraw

OUTLINE_LETTERS = 0.25
"""Width of an outline in letter heights: enough to fill the spaces between letters, so that it is what they
stand on (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How an element is meant to look: None leaves a colour as it is.

    Attributes
    ----------
    even
        Lay the ground evenly under it.
    outline
        Colour of a ring around its letters.
    heavier
        How many times as wide its strokes are, letters and gaps kept.
    enlarged
        How many times as large it is.
    """

    ink: Srgb8 | None = None
    ground: Srgb8 | None = None
    even: bool = False
    outline: Srgb8 | None = None
    heavier: float = 1.0
    enlarged: float = 1.0

    @classmethod
    def of(cls, redraw: Redraw) -> Self:
        """Return the look that a change proposes, its size left out."""
        return cls(
            ink=redraw.ink,
            ground=redraw.ground,
            even=redraw.even,
            outline=redraw.outline,
            heavier=redraw.heavier,
        )

    @property
    def redraws(self) -> bool:
        """Whether the artwork itself changes; a larger element is the same one looked at from nearer by."""
        return self != Look(enlarged=self.enlarged)
