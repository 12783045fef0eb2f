"""What hangs on no more than which lines there are, found and measured side by side where that pays."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from standback.artwork import Artwork
from standback.elements import Detail, Figure, Line
from standback.find import find_details, find_drawn, find_figures
from standback.forking import in_two_processes
from standback.measure.model import PrintMeasurement
from standback.measure.notice import Adapting
from standback.measure.of_line import OfLine, joined, parts_of
from standback.measure.printing import measure_print
from standback.settings import Settings, Station

_Part = Callable[[], Any]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Beside:
    """What is found beside lines, and what the lines' own pixels tell."""

    details: tuple[Detail, ...]
    shapes: tuple[Detail, ...]
    figures: tuple[Figure, ...]
    by_pixels: Sequence[OfLine]
    printed: PrintMeasurement


def beside(
    lines: Sequence[Line],
    wordings: Sequence[str | None],
    artwork: Artwork,
    searched: Artwork,
    settings: Settings,
    places: Sequence[Station],
    sheet: Adapting,
    *,
    details: tuple[Detail, ...] | None = None,
) -> Beside:
    """Find what is beside the lines, and measure their pixels.

    Parameters
    ----------
    wordings
        What each line says, where that is known.
    searched
        The artwork without its finest levels, where fine detail and shapes are looked for.
    details
        The fine detail, where it is known.
    """
    parts: list[_Part] = [
        partial(find_details, searched, lines) if details is None else partial(tuple, details),
        partial(find_drawn, searched, lines, settings.limits.detail_ratio),
        partial(find_figures, searched, lines),
        partial(measure_print, artwork, places),
        *parts_of(lines, wordings, artwork, settings, places, sheet),
    ]
    fine, shapes, figures, printed, *of_lines = in_two_processes(_called, parts)
    return Beside(details=fine, shapes=shapes, figures=figures, printed=printed, by_pixels=joined(of_lines))


def _called(part: _Part) -> Any:
    return part()
