"""What a line's own pixels tell, whatever the other lines are: the larger part of the work."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from standback.artwork import Artwork
from standback.elements import Box, Line
from standback.measure.along import ratio_worst
from standback.measure.around import stands_alone
from standback.measure.busy import ground_noise1
from standback.measure.model import Spacing
from standback.measure.notice import Adapting, jnd_of, noticed_from_m, target_of_ink
from standback.measure.printing import inks_of
from standback.measure.seen import block_ratio, seen_ratio
from standback.measure.spacing_of_line import spacing_of
from standback.measure.views import around_line, seen_whole, whole_from
from standback.settings import Settings, Station
from standback.stock import Stock
from standback.viewing import Seen


@dataclass(frozen=True, slots=True, kw_only=True)
class Ratios:
    """What is left of a line's contrast at a station, as in `SeenAt`."""

    ratio: float | None
    block_ratio: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OfLine:
    """What one line's pixels tell.

    Attributes
    ----------
    ratios, jnd
        By the names of the stations; see `SeenAt`.
    """

    ratio_worst: float
    ground_noise1: float
    inks: float | None
    carry_m: float
    alone: bool
    spacing: Spacing | None
    ratios: Mapping[str, Ratios]
    jnd: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class OfSheet:
    """What is left of each line's contrast at a station from which the whole sheet is looked at."""

    station: str
    ratios: Sequence[Ratios]


Part = Callable[[], OfLine | OfSheet]


def parts_of(
    lines: Sequence[Line],
    wordings: Sequence[str | None],
    artwork: Artwork,
    settings: Settings,
    places: Sequence[Station],
    sheet: Adapting,
) -> list[Part]:
    """Return what measures each line's pixels, in parts that need none of each other, those that take long first.

    Parameters
    ----------
    wordings
        What each line says, where that is known.
    """
    whole = [station for station in places if seen_whole(artwork, lines, station, settings)]
    trim = artwork.trim_px
    cropped = [station for station in places if station not in whole]

    def of_sheet(station: Station) -> OfSheet:
        view = whole_from(artwork, station, settings)
        return OfSheet(station=station.name, ratios=[ratios_of(line, view, trim, settings.stock) for line in lines])

    def of_line(n: int) -> OfLine:
        line = lines[n]
        target = target_of_ink(line, artwork, sheet)
        return OfLine(
            ratio_worst=ratio_worst(line, artwork),
            ground_noise1=ground_noise1(line, artwork),
            inks=inks_of(line, artwork),
            carry_m=noticed_from_m(target, settings),
            alone=stands_alone(line, artwork, lines),
            spacing=spacing_of(line, artwork, settings.limits, wordings[n]),
            ratios={
                station.name: ratios_of(line, around_line(line, artwork, station, settings), trim, settings.stock)
                for station in cropped
            },
            jnd={station.name: jnd_of(target, station.distance_m, settings) for station in places},
        )

    return [*(partial(of_sheet, station) for station in whole), *(partial(of_line, n) for n in range(len(lines)))]


def joined(done: Sequence[OfLine | OfSheet]) -> list[OfLine]:
    """Return each line's own, in their order, from what the parts made."""
    found = [one for one in done if isinstance(one, OfLine)]
    for part in done:
        if isinstance(part, OfSheet):
            found = [
                replace(one, ratios={**one.ratios, part.station: its})
                for one, its in zip(found, part.ratios, strict=True)
            ]
    return found


def ratios_of(line: Line, view: Seen, sheet: Box, stock: Stock | None) -> Ratios:
    """Measure what is left of a line's contrast in what is seen of it; `sheet` is how far the artwork goes on."""
    return Ratios(ratio=seen_ratio(line, view, stock), block_ratio=block_ratio(line, view, sheet, stock))
