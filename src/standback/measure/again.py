"""A line changed in colour or size, and measured again by the measures that found it short."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from math import inf
from typing import Any

from standback.artwork import Artwork
from standback.elements import Line
from standback.measure.along import ratio_worst
from standback.measure.busy import ground_noise1
from standback.measure.lines import measure_type, see_line
from standback.measure.look import Look
from standback.measure.model import Measurement
from standback.measure.notice import Adapting, target_of_ink
from standback.measure.redraw import found_again
from standback.measure.seen import with_ring
from standback.reading import pupil_mm_of
from standback.settings import Settings, Station
from standback.target import Target
from standback.viewing import seen_crop
from standback.visibility import NEAREST_M


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """Where lines are measured again."""

    artwork: Artwork
    sheet: Adapting
    settings: Settings
    places: tuple[Station, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drawn:
    """A line as it looks once redrawn: where it stands, and the line as found there.

    Attributes
    ----------
    target
        The redrawn line ready to be looked at, on its sheet; made when it is asked for.
    """

    patch: Artwork
    line: Line
    ratio_worst: float
    ground_noise1: float
    target: Callable[[], Target]


def drawn(m: Measurement, scene: Scene, look: Look, *, to_look_at: bool = True) -> Drawn | None:
    """Redraw a line and find it again; None where it is not found in its place.

    Parameters
    ----------
    to_look_at
        Whether what is seen of it is to be measured too, which takes more of what is around it.
    """
    target = cache(lambda: target_of_ink(m.line, scene.artwork, scene.sheet, look))
    if not look.redraws:
        return Drawn(
            patch=scene.artwork,
            line=m.line,
            ratio_worst=m.ratio_worst,
            ground_noise1=ground_noise1(m.line, scene.artwork),
            target=target,
        )
    again = found_again(m.line, scene.artwork, look, to_look_at=to_look_at)
    if again is None:
        return None
    line = again.line
    if look.heavier > 1:
        # a heavier cut of a face is no taller: what strokes add to the letters' height is not offered
        line = replace(line, **_heights(m.line, scene.artwork, again.patch))
    return Drawn(
        patch=again.patch,
        line=line,
        ratio_worst=ratio_worst(again.line, again.patch),
        ground_noise1=ground_noise1(again.line, again.patch),
        target=target,
    )


def measured_again(m: Measurement, again: Drawn, scene: Scene, look: Look, *, seen: bool) -> Measurement:
    """Measure a redrawn line as if drawn larger.

    A line twice as large looks as this one does from half the distance, so a larger line needs no
    redrawing.

    Parameters
    ----------
    seen
        Whether to measure what is seen from far and from its own station; without, `seen` is empty.
    """
    measured = measure_type(
        again.line,
        scene.settings,
        name=m.id,
        box_mm=m.box_mm,
        px_per_mm=again.patch.px_per_mm / look.enlarged,
        ratio_worst=again.ratio_worst,
        ground_noise1=again.ground_noise1,
        tier=m.tier,
        tier_from=m.tier_from,
        station=m.station,
        places=scene.places,
    )
    return _with_seen(measured, again, scene, look) if seen else measured


def foreseen(m: Measurement, scene: Scene, look: Look) -> Measurement:
    """Work out, without drawing, what would be measured of a line's size and colours: nothing seen, no windows."""
    line = replace(
        m.line,
        ink_srgb8=look.ink or m.line.ink_srgb8,
        ground_srgb8=look.outline or look.ground or m.line.ground_srgb8,
        stroke_px=look.heavier * m.line.stroke_px,
    )
    return measure_type(
        line,
        scene.settings,
        name=m.id,
        box_mm=m.box_mm,
        px_per_mm=m.px_per_mm / look.enlarged,
        ratio_worst=inf,
        tier=m.tier,
        tier_from=m.tier_from,
        station=m.station,
        places=scene.places,
    )


def _heights(old: Line, artwork: Artwork, patch: Artwork) -> dict[str, Any]:
    scale = patch.px_per_mm / artwork.px_per_mm
    heights = {"cap_px": old.cap_px, "x_px": old.x_px, "letter_px": old.letter_px}
    return {name: None if px is None else scale * px for name, px in heights.items()}


def _with_seen(measured: Measurement, again: Drawn, scene: Scene, look: Look) -> Measurement:
    """Add what is seen from far and from the line's own station; carry is not looked for again."""
    patch, target = again.patch, again.target()
    viewer = scene.settings.viewer
    pupil_mm = pupil_mm_of(viewer, scene.settings)
    around = with_ring(measured.line, patch.trim_px)
    views = (
        (
            station,
            seen_crop(patch, around, max(viewer.sharp_m(station.distance_m / look.enlarged), NEAREST_M), pupil_mm),
        )
        for station in scene.places
        if station.name in ("far", measured.station)
    )
    return replace(
        measured,
        seen=tuple(
            see_line(measured, view, target, station, patch.trim_px, scene.settings, enlarged=look.enlarged)
            for station, view in views
        ),
    )
