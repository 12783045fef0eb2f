"""What a change is, once it is found: a sentence, and the colours to draw it with."""

from dataclasses import dataclass

from standback.findings import Redraw


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A change that was measured again and found to mend.

    Attributes
    ----------
    redraws
        What of it is colour or weight, element by element, the worst first; empty where none is.
    """

    says: str
    redraws: tuple[Redraw, ...] = ()
