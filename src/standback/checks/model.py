"""What a check is."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from standback.findings import Finding
from standback.measure.model import Measurements
from standback.settings import Limits

Run = Callable[[Measurements, Limits], tuple[Finding, ...]]
Alike = Callable[[Any, Any], bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One check: its id never changes meaning; `run` is a pure function, one finding an element.

    Attributes
    ----------
    title
        The fault in a few words, as a person reads it in a report.
    rationale
        Why it matters to someone looking at a poster.
    source
        Where the limit comes from, or "ours".
    alike
        Whether two elements that fall short do so for the same cause and are mended by the same change,
        so that one finding names both.
    asks, severity
        What it asks for, and how bad it is to fall short of that, the limits as fields: "{text_ratio:g}:1".
    mended_by
        What kinds of change to a line can mend it, the mildest first: "colour", "even ground",
        "outline", "weight", "size".
    measured_as, needed_as
        How its two numbers stand against each other in a report.
    stands_alone
        Whether it is a cause of its own, and never quoted in what another check finds on the same element.
    spares_logos
        Whether it asks for other lettering, which nobody gives a logo.
    likewise
        Whether the change that it brings for the worst place holds for the others of one finding too.
    needs_seen
        Whether it looks at what is seen from a station, which costs more to measure again.
    of_windows
        Whether it looks at a line window by window.
    """

    id: str
    title: str
    rationale: str
    source: str
    asks: str
    severity: str
    run: Run
    alike: Alike
    mended_by: tuple[str, ...] = ()
    stands_alone: bool = False
    spares_logos: bool = False
    likewise: bool = False
    needs_seen: bool = False
    of_windows: bool = False
    measured_as: str = "measured {}"
    needed_as: str = "needed {}"

    @property
    def foreseeable(self) -> bool:
        """Whether size and colours alone decide it, so that a change that fails it need not be drawn."""
        return not (self.needs_seen or self.of_windows)
