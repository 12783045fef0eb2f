"""The walk-up: what is looked at and read from each station, far to near, as data and in words."""

from collections.abc import Iterator, Sequence

from standback.arrangement import BoxMm, Look
from standback.findings import WalkUpStep
from standback.measure.model import Measurements
from standback.numbers import distance
from standback.places import place_in_words
from standback.settings import Station

MOST_LOOKS = 4
"""Looks named at one step; the rest are counted (ours)."""
LEAST_SHARE = 0.02
"""A picture that draws less than this is not looked at for itself (ours)."""
LONGEST = 40
"""Of a longer wording the beginning is given (ours)."""


def walk_up(
    measured: Measurements, places: Sequence[Station], *, width_mm: float, height_mm: float
) -> tuple[WalkUpStep, ...]:
    """Return what reads from each station, far to near, and what is looked at there, the first look first.

    A line counts from its reach inwards, a figure from where it is noticed. A look names what was not
    named at a station before; it may be of several lines of one style.
    """
    told: set[str] = set()
    steps = []
    for station in places:
        reads = {m.id for m in measured.lines if m.reach_m >= station.distance_m}
        looks = list(_new_looks(measured, station, reads, told))
        more = bool(told)
        told.update(element for look in looks for element in look)
        steps.append(
            WalkUpStep(
                distance_m=station.distance_m,
                reads=tuple(m.id for m in measured.lines if m.id in reads),
                looks=tuple(looks),
                says=_step_in_words(looks, measured, station, more, (width_mm, height_mm)),
            )
        )
    return tuple(steps)


def _new_looks(measured: Measurements, station: Station, reads: set[str], told: set[str]) -> Iterator[tuple[str, ...]]:
    """Yield the looks from a station that hold something new: figures that draw, and lines that read."""
    figures = {f.id for f in measured.figures}
    for look in measured.arrangement.looks_from(station.name):
        new = tuple(sorted(e for e in look.elements if e not in told and _counts(e, look, reads, figures)))
        if new:
            yield new


def _counts(element: str, look: Look, reads: set[str], figures: set[str]) -> bool:
    return element in reads or (element in figures and look.share >= LEAST_SHARE)


def _step_in_words(
    looks: Sequence[tuple[str, ...]],
    measured: Measurements,
    station: Station,
    more: bool,
    sheet_mm: tuple[float, float],
) -> str:
    """Say it: "from 5 m: the picture, then TITLE", "from 2 m: + date"."""
    named = [_in_words(look, measured, sheet_mm) for look in looks[:MOST_LOOKS]]
    rest = sum(len(look) for look in looks[MOST_LOOKS:])
    if rest:
        named.append(f"{rest} more {'line' if rest == 1 else 'lines'}")
    said = (", " if more else ", then ").join(named)
    if more:
        said = f"+ {said}" if said else "nothing more"
    return f"from {distance(station.distance_m)}: {said or 'nothing'}"


def _in_words(look: Sequence[str], measured: Measurements, sheet_mm: tuple[float, float]) -> str:
    """Name a look: by the wording or the figure's name where the brief gives it, else by its kind and place."""
    lines = [m for m in measured.lines if m.id in look]
    figure = next((f for f in measured.figures if f.id in look), None)
    wordings = [m.wording for m in lines if m.wording]
    if lines and len(wordings) == len(lines):
        return _short(" ".join(dict.fromkeys(wordings)))
    boxes_mm = [*(m.box_mm for m in lines), *([] if figure is None else [figure.box_mm])]
    place = place_in_words(_around(boxes_mm), *sheet_mm)
    if figure is not None:
        kind = "picture" if figure.figure.picture else "shape"
        alone = len([f for f in measured.figures if f.figure.picture == figure.figure.picture]) == 1
        if figure.name:
            return _short(figure.name)
        return f"the {kind}" if alone else f"the {kind} {_at(place)} ({figure.id})"
    kind = "line" if len(lines) == 1 else f"{len(lines)} lines"
    return f"the {kind} {_at(place)} ({lines[0].id}{' …' if len(lines) > 1 else ''})"


def _at(place: str) -> str:
    return place if place.startswith(("across", "down", "over")) else f"at the {place}"


def _short(text: str) -> str:
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 1].rstrip()}…"


def _around(boxes: Sequence[BoxMm]) -> BoxMm:
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return min(x0), min(y0), max(x1), max(y1)
