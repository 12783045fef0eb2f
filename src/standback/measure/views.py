"""What is seen around each line from a station: one sheet for all, or a crop each."""

from collections.abc import Iterator, Sequence
from math import radians, tan

from standback.artwork import Artwork
from standback.elements import Line
from standback.measure.seen import with_ring
from standback.reading import pupil_mm_of
from standback.settings import Settings, Station
from standback.viewing import Seen, seen_crop, seen_sheet


def seen_from(
    artwork: Artwork, lines: Sequence[Line], station: Station, settings: Settings, *, only: int | None = None
) -> Iterator[Seen]:
    """Yield what is seen around each line: one sheet for all, or a crop each where that is less work.

    With `only`, just what is seen around the line of that index, as it is among the others.
    """
    wanted = lines if only is None else lines[only : only + 1]
    if seen_whole(artwork, lines, station, settings):
        whole = whole_from(artwork, station, settings)
        yield from (whole for _ in wanted)
    else:
        yield from (around_line(line, artwork, station, settings) for line in wanted)


def whole_from(artwork: Artwork, station: Station, settings: Settings) -> Seen:
    """Return what is seen of the whole sheet from a station."""
    return seen_sheet(artwork, settings.viewer.sharp_m(station.distance_m), pupil_mm_of(settings.viewer, settings))


def around_line(line: Line, artwork: Artwork, station: Station, settings: Settings) -> Seen:
    """Return what is seen of a line and the ring around it from a station."""
    viewer, around = settings.viewer, with_ring(line, artwork.trim_px)
    return seen_crop(artwork, around, viewer.sharp_m(station.distance_m), pupil_mm_of(viewer, settings))


def seen_whole(artwork: Artwork, lines: Sequence[Line], station: Station, settings: Settings) -> bool:
    """Whether the whole sheet is looked at from a station: never from near, where that is work for nothing."""
    sheet = artwork.trim_px
    distance_m = settings.viewer.sharp_m(station.distance_m)
    margin_px = round(artwork.px_per_mm * 1000 * distance_m * tan(radians(1.0)))
    crops_area = sum(with_ring(line, sheet).grown(margin_px, sheet).area for line in lines)
    return station.name != "near" and crops_area > sheet.area
