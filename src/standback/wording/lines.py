"""Reading the lines of an artwork: close up, and as each is seen from its station."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from standback.artwork import Artwork
from standback.elements import READER, Line
from standback.measure.model import LEAST_READ, Measurement, ReadAt
from standback.measure.views import seen_from
from standback.same_words import difference
from standback.settings import Settings, Station
from standback.viewing import Seen
from standback.wording.crops import near_crop, seen_line
from standback.wording.reader import Crop, Reader, Reading

SURE = 0.97
STRETCHED = 1.35
"""A reading less sure than that is tried again on a crop so much wider; the surer of the two counts (ours)."""
LEAST_ADDED, LEAST_LETTERS = 0.9, 2
"""What shapes alone don't make a line becomes one if so many letters are read so surely (ours)."""
UNREAD = 0.5
SHAPES_SURE, LOSS = 0.9, 0.7
"""A line less sure by its shapes loses so much of its confidence where nothing is read with more than that (ours)."""
MOST_AGAIN = 12
"""So many unsure lines are tried again, those of the largest letters: small print would take too long (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ReadText:
    """The lines that shapes and reader together make out, and what each says close up."""

    lines: tuple[Line, ...]
    near: tuple[Reading, ...]


def read_text(lines: Sequence[Line], doubtful: Sequence[Line], artwork: Artwork, reader: Reader) -> ReadText:
    """Read lines as they stand on the artwork, which is what is seen from near.

    Parameters
    ----------
    doubtful
        What is not like text by its shapes alone; it becomes a line where letters are read in it.
    """
    every = [*lines, *doubtful]
    readings = _read(reader, every, lambda n, stretched: near_crop(every[n], artwork, stretched=stretched))
    kept = [_weighed(line, r) for line, r in zip(lines, readings, strict=False)]
    added = [_added(line, r) for line, r in zip(doubtful, readings[len(lines) :], strict=True)]
    found = [(line, r) for line, r in zip([*kept, *added], readings, strict=True) if line is not None]
    found.sort(key=lambda one: (one[0].box_px.y0, one[0].box_px.x0))
    return ReadText(lines=tuple(line for line, _ in found), near=tuple(r for _, r in found))


def with_readings(
    measurements: Sequence[Measurement],
    near: Sequence[Reading],
    artwork: Artwork,
    settings: Settings,
    places: Sequence[Station],
    reader: Reader,
) -> tuple[Measurement, ...]:
    """Add what is read of each line near, and as it is seen from its station where it should be readable there."""
    read = [
        replace(m, read=(ReadAt(station="near", wording=r.wording, confidence=r.confidence),))
        for m, r in zip(measurements, near, strict=True)
    ]
    for place in places:
        own = [n for n, m in enumerate(read) if m.station == place.name != "near" and _worth_reading(m)]
        if not own:
            continue
        lines = [read[n].line for n in own]
        views = list(seen_from(artwork, lines, place, settings))

        def crop(n: int, stretched: float, lines: Sequence[Line] = lines, views: Sequence[Seen] = views) -> Crop:
            return seen_line(lines[n], views[n], stretched=stretched)

        wanted = [read[n].wording or read[n].read[0].wording for n in own]
        for n, reading in zip(own, _read(reader, lines, crop, wanted), strict=True):
            at = ReadAt(station=place.name, wording=reading.wording, confidence=reading.confidence)
            read[n] = replace(read[n], read=(*read[n].read, at))
    return tuple(read)


def _read(
    reader: Reader, lines: Sequence[Line], crop: Callable[[int, float], Crop], wanted: Sequence[str] | None = None
) -> list[Reading]:
    """Read crops; what is unsure, or other than wanted, a second time on wider ones."""
    readings = list(reader([crop(n, 1.0) for n in range(len(lines))]))
    again = [
        n
        for n, r in enumerate(readings)
        if (0 < r.confidence < SURE if wanted is None else difference(r.wording, wanted[n]) is not None)
    ]
    again = sorted(again, key=lambda n: (-lines[n].letter_px, n))[:MOST_AGAIN]
    for n, second in zip(again, reader([crop(n, STRETCHED) for n in again]), strict=True):
        agrees = wanted is not None and difference(second.wording, wanted[n]) is None
        if agrees or second.confidence > readings[n].confidence:
            readings[n] = second
    return readings


def _weighed(line: Line, reading: Reading) -> Line:
    """Return a line with the reader's support, or less sure without it; it may be of a script that isn't read."""
    if reading.confidence >= LEAST_READ and any(letter.isalnum() for letter in reading.wording):
        return replace(line, found_by=(*line.found_by, READER))
    if reading.confidence >= UNREAD or line.confidence >= SHAPES_SURE or len(line.found_by) > 1:
        return line
    return replace(line, confidence=line.confidence * LOSS)


def _added(line: Line, reading: Reading) -> Line | None:
    letters = sum(letter.isalnum() for letter in reading.wording)
    if reading.confidence < LEAST_ADDED or letters < LEAST_LETTERS:
        return None
    return replace(line, found_by=(READER,), confidence=reading.confidence * LEAST_ADDED)


def _worth_reading(m: Measurement) -> bool:
    """Whether it matters what is read of a line from its station: it can be read there, and close up it was."""
    near = m.read_near
    return near is not None and near.confidence >= LEAST_READ and m.reach_m >= m.station_m
