"""The numbers measured for each element."""

from dataclasses import dataclass

from standback.doubts import Doubt
from standback.elements import Detail, Figure, Line


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
        Screen equivalent: the type's em in CSS reference pixels; None for what is no type.
    jnd
        How many times above the threshold of detection the line's own ink is.
    state
        "reads", "strains", "noticed" or "lost".
    """

    station: str
    ratio: float | None
    block_ratio: float | None
    jnd: float
    css_px: float | None
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ViewerReach:
    """How far one viewer reads a line."""

    viewer: str
    m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class VisionRatio:
    """Ratio of ink to ground for viewers who lack a kind of cone: "protan", "deutan" or "tritan"."""

    vision: str
    ratio: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measurement:
    """One line and its numbers. Lengths in mm on the sheet, distances in m, ratios unrounded.

    Attributes
    ----------
    name, role, group, wording
        What the brief says of the line, None where it is silent.
    ratio_printed
        Its ratio as printed, None where no stock is named.
    vision
        Its ratio for other colour vision.
    """

    id: str
    line: Line
    box_mm: tuple[float, float, float, float]
    ratio: float
    ratio_worst: float
    ratio_wanted: float
    tier: str
    tier_from: str
    station: str
    station_m: float
    mid_m: float
    far_m: float
    cap_mm: float | None
    x_mm: float | None
    letter_mm: float
    stroke_mm: float
    em_mm: float
    px_per_mm: float
    inks: float | None
    reach_m: float
    reach: tuple[ViewerReach, ...]
    limit_m: float
    carry_m: float
    seen: tuple[SeenAt, ...]
    doubts: tuple[Doubt, ...]
    name: str | None = None
    role: str | None = None
    group: str | None = None
    wording: str | None = None
    vision: tuple[VisionRatio, ...] = ()
    ratio_printed: float | None = None

    @property
    def ratio_met(self) -> float:
        """The ratio that the viewer meets: as printed where a stock is named, else as exported."""
        return self.ratio if self.ratio_printed is None else self.ratio_printed

    def at(self, station: str) -> SeenAt:
        """Return what is seen of the line from a station."""
        return next(seen for seen in self.seen if seen.station == station)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DetailMeasurement:
    """One patch of fine detail and its numbers.

    Attributes
    ----------
    resolve_m
        Farthest distance at which its parts are told apart; of a single stroke, at which it is noticed.
    in_main_figure
        Whether it is part of the largest figure: a drawing's own lines.
    text_colour
        Whether it stands alone in a colour that is also used for text, as a mark that says something.
    name
        What the brief calls it, or what it is part of.
    """

    id: str
    detail: Detail
    box_mm: tuple[float, float, float, float]
    ratio_wanted: float
    far_m: float
    px_per_mm: float
    carry_m: float
    resolve_m: float
    seen: tuple[SeenAt, ...]
    in_main_figure: bool
    text_colour: bool
    name: str | None
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FigureMeasurement:
    """One large figure and its numbers; `name` from the brief where it names it."""

    id: str
    figure: Figure
    box_mm: tuple[float, float, float, float]
    ratio_wanted: float
    far_m: float
    carry_m: float
    seen: tuple[SeenAt, ...]
    name: str | None
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintMeasurement:
    """What matters of the artwork itself for print; None where it can't be measured."""

    ppi: float
    near_m: float
    sharpness_ppi: float | None
    cmyk: bool


Element = Measurement | DetailMeasurement | FigureMeasurement


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measurements:
    """Everything measured on one artwork: what the checks look at."""

    lines: tuple[Measurement, ...] = ()
    details: tuple[DetailMeasurement, ...] = ()
    figures: tuple[FigureMeasurement, ...] = ()
    sheet: PrintMeasurement | None = None

    @property
    def elements(self) -> tuple[Element, ...]:
        """Every element: lines, details, figures."""
        return (*self.lines, *self.details, *self.figures)
