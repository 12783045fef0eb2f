"""What pulls the eye from each station, and the order of the first looks: a heuristic."""

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

from standback.arrangement import BoxMm, Group, Look, Looks, Pull
from standback.artwork import Artwork
from standback.artwork.model import Level
from standback.measure.model import FigureMeasurement, Measurement
from standback.measure.tiers import same_style
from standback.reading import pupil_mm_of
from standback.saliency import LONG_SIDE, centre_bias, saliency, shrunk
from standback.settings import Settings, Station
from standback.sheet import px_per_deg
from standback.viewing import see

SHARE_DIGITS = 4
"""Shares alike to so many digits are alike: no order hangs on rounding (ours)."""
SEEN_SIDE = 4 * LONG_SIDE
"""The sheet is looked at this fine at least, before it is shrunk (ours)."""

Map = npt.NDArray[np.float64]


def measure_focus(
    lines: Sequence[Measurement],
    figures: Sequence[FigureMeasurement],
    groups: Sequence[Group],
    artwork: Artwork,
    settings: Settings,
    places: Sequence[Station],
) -> tuple[tuple[Pull, ...], tuple[Looks, ...]]:
    """Return each element's share of the pull at each station, and the order of looks there.

    What lies under a line counts for the line, the rest of a figure for the figure. Lines of one style
    that stand together are one look.
    """
    if not lines and not figures:
        return (), ()
    pulls: list[Pull] = []
    looks = []
    units = _units(lines, figures, groups, settings)
    covers: Mapping[str, Map] = {}
    for station in places:
        pull_map = saliency_from(artwork, settings, station)
        covers = covers or _covers(lines, figures, artwork, (pull_map.shape[0], pull_map.shape[1]))
        bias = centre_bias((pull_map.shape[0], pull_map.shape[1]))
        shares = {name: float((cover * pull_map).sum()) for name, cover in covers.items()}
        pulls += [
            Pull(element=name, station=station.name, share=share, centre_bias=float((covers[name] * bias).sum()))
            for name, share in shares.items()
        ]
        carried = (*((m.id, m.carry_m) for m in lines), *((f.id, f.carry_m) for f in figures))
        seen = {name for name, carry_m in carried if carry_m >= station.distance_m}
        looks.append(Looks(station=station.name, looks=_in_order(units, shares, seen)))
    return tuple(pulls), tuple(looks)


def saliency_from(artwork: Artwork, settings: Settings, station: Station) -> Map:
    """Return what draws the eye on the sheet as seen from a station, its sum 1."""
    level = level_looked_at(artwork)
    viewer = settings.viewer
    per_deg = px_per_deg(artwork.px_per_mm / level.scale, viewer.sharp_m(station.distance_m))
    seen = see(level.linear, per_deg, pupil_mm_of(viewer, settings), box_deg=1 / per_deg)
    small = shrunk(seen)
    angle = px_per_deg(artwork.px_per_mm / level.scale, station.distance_m)
    return saliency(small, angle * max(small.shape[:2]) / max(seen.shape[:2]))


def level_looked_at(artwork: Artwork) -> Level:
    """Return the level on which it is measured what draws the eye."""
    levels = [level for level in artwork.levels if max(level.shape) >= SEEN_SIDE]
    return (levels or artwork.levels[:1])[-1]


def _covers(
    lines: Sequence[Measurement], figures: Sequence[FigureMeasurement], artwork: Artwork, shape: tuple[int, int]
) -> dict[str, Map]:
    """Return how much of each sample of the map each element has: lines before figures, 1 in all at most."""
    left = np.ones(shape)
    covers = {}
    for m in lines:
        cover = _box_cover(m.box_mm, artwork, shape) * left
        left = left - cover
        covers[m.id] = cover
    for f in figures:
        rows, columns = f.figure.mask.shape
        filled = np.zeros(shape)
        ys, xs = np.nonzero(f.figure.mask)
        x0, y0, x1, y1 = f.box_mm
        at_y = ((y0 + (ys + 0.5) * (y1 - y0) / rows) / artwork.height_mm * shape[0]).astype(int)
        at_x = ((x0 + (xs + 0.5) * (x1 - x0) / columns) / artwork.width_mm * shape[1]).astype(int)
        inside = (at_y >= 0) & (at_y < shape[0]) & (at_x >= 0) & (at_x < shape[1])
        np.add.at(filled, (at_y[inside], at_x[inside]), 1.0)
        per_sample = artwork.height_mm / shape[0] * rows / (y1 - y0) * artwork.width_mm / shape[1] * columns / (x1 - x0)
        cover = np.minimum(filled / per_sample, 1.0) * left
        left = left - cover
        covers[f.id] = cover
    return covers


def _box_cover(box_mm: BoxMm, artwork: Artwork, shape: tuple[int, int]) -> Map:
    def along(start: float, end: float, count: int) -> Map:
        index = np.arange(count)
        covered = np.minimum(end * count, index + 1) - np.maximum(start * count, index)
        return np.asarray(np.clip(covered, 0.0, None))

    x0, y0, x1, y1 = box_mm
    down = along(y0 / artwork.height_mm, y1 / artwork.height_mm, shape[0])
    across = along(x0 / artwork.width_mm, x1 / artwork.width_mm, shape[1])
    return np.asarray(np.outer(down, across))


def _units(
    lines: Sequence[Measurement],
    figures: Sequence[FigureMeasurement],
    groups: Sequence[Group],
    settings: Settings,
) -> list[tuple[str, ...]]:
    """Return what is taken in at once: lines of one style in one group, and every figure."""
    group_of = {element: n for n, group in enumerate(groups) for element in group.elements}
    units: list[list[Measurement]] = []
    for m in lines:
        for unit in units:
            first = unit[0]
            together = m.id in group_of and group_of.get(m.id) == group_of.get(first.id)
            if together and same_style(first.line, m.line, settings.limits):
                unit.append(m)
                break
        else:
            units.append([m])
    return [*(tuple(m.id for m in unit) for unit in units), *((f.id,) for f in figures)]


def _in_order(units: Sequence[tuple[str, ...]], shares: Mapping[str, float], seen: set[str]) -> tuple[Look, ...]:
    """Order what is seen at all by its share of the pull."""
    looks = []
    for unit in units:
        visible = sorted((e for e in unit if e in seen), key=lambda e: (-round(shares[e], SHARE_DIGITS), e))
        if visible:
            looks.append(Look(elements=tuple(visible), share=sum(shares[e] for e in visible)))
    return tuple(sorted(looks, key=lambda look: (-round(look.share, SHARE_DIGITS), look.elements)))
