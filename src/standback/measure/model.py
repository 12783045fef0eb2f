"""The numbers measured for each element."""

from dataclasses import dataclass

from standback.doubts import Doubt
from standback.elements import Line


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenAt:
    """One element as seen from one station.

    Attributes
    ----------
    ratio
        Seen ratio of ink to the spaces between and inside the letters, None if not measurable.
    block_ratio
        Seen ratio of the whole line's box to the ring around it.
    css_px
        Screen equivalent: the type's em in CSS reference pixels.
    state
        "reads", "strains" or "lost".
    """

    station: str
    ratio: float | None
    block_ratio: float | None
    jnd: float | None
    css_px: float
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ViewerReach:
    """How far one viewer reads a line."""

    viewer: str
    m: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measurement:
    """One line and its numbers. Lengths in mm on the sheet, distances in m, ratios unrounded."""

    id: str
    line: Line
    box_mm: tuple[float, float, float, float]
    ratio: float
    ratio_wanted: float
    tier: str
    tier_from: str
    station: str
    station_m: float
    cap_mm: float | None
    x_mm: float | None
    letter_mm: float
    stroke_mm: float
    reach_m: float
    reach: tuple[ViewerReach, ...]
    limit_m: float
    seen: tuple[SeenAt, ...]
    doubts: tuple[Doubt, ...]
