"""A line changed in colour or size, and measured again by the measures that found it short."""

from dataclasses import dataclass, replace

from standback.artwork import Artwork
from standback.elements import Line, Srgb8
from standback.measure.along import ratio_worst
from standback.measure.lines import measure_type, see_line
from standback.measure.model import Measurement
from standback.measure.notice import Adapting, target_of_ink
from standback.measure.redraw import found_again
from standback.measure.seen import with_ring
from standback.reading import pupil_mm_of
from standback.settings import Settings, Station
from standback.viewing import seen_crop
from standback.visibility import NEAREST_M


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How a line is meant to look: None leaves a colour as it is.

    Attributes
    ----------
    even
        Lay the ground evenly under the line.
    """

    ink: Srgb8 | None = None
    ground: Srgb8 | None = None
    even: bool = False
    enlarged: float = 1.0

    @property
    def redraws(self) -> bool:
        """Whether the artwork itself changes; a larger line is the same one looked at from nearer by."""
        return self.ink is not None or self.ground is not None or self.even


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """Where lines are measured again."""

    artwork: Artwork
    sheet: Adapting
    settings: Settings
    places: tuple[Station, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drawn:
    """A line as it looks in other colours: where it stands, and the line as found there."""

    patch: Artwork
    line: Line
    ratio_worst: float


def drawn(m: Measurement, scene: Scene, look: Look) -> Drawn | None:
    """Redraw a line and find it again; None where it is not found in its place."""
    if not look.redraws:
        return Drawn(patch=scene.artwork, line=m.line, ratio_worst=m.ratio_worst)
    ink, ground = look.ink or m.line.ink_srgb8, look.ground or m.line.ground_srgb8
    again = found_again(m.line, scene.artwork, ink=ink, ground=ground, even=look.even)
    if again is None:
        return None
    return Drawn(patch=again.patch, line=again.line, ratio_worst=ratio_worst(again.line, again.patch))


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
        tier=m.tier,
        tier_from=m.tier_from,
        station=m.station,
        places=scene.places,
    )
    return _with_seen(measured, m.line, again.patch, scene, look) if seen else measured


def _with_seen(measured: Measurement, old: Line, patch: Artwork, scene: Scene, look: Look) -> Measurement:
    """Add what is seen from far and from the line's own station; carry is not looked for again."""
    target = target_of_ink(old, scene.artwork, scene.sheet, ink=look.ink, ground=look.ground)
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
