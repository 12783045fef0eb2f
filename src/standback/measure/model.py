"""The numbers measured for each element."""

from dataclasses import dataclass, field

from standback.arrangement import Arrangement
from standback.doubts import Doubt
from standback.elements import Box, Detail, Figure, Line

MASKED_SHARE = 0.9
"""A busy ground matters where it costs more than a tenth of the ratio (ours)."""

IMPRINT = 0.93
"""An imprint stands lower on the sheet than this (ours)."""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class PairGap:
    """Two neighbouring letters of one word; lengths in letter heights.

    Attributes
    ----------
    first
        Which letter of the line the left one is, counted from 1.
    letters
        The two, where the wording is known: "AT".
    gap, off
        Their optical gap, and how far it is from the line's own: more than 0 where they stand too far apart.
    repeat_off
        How far it is from the gap of the same two letters elsewhere in the line, None where they come once.
    figures
        Whether one of them is, or may be, a figure.
    """

    first: int
    letters: str | None
    gap: float
    off: float
    repeat_off: float | None
    figures: bool
    box_px: Box
    box_mm: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacing:
    """The rhythm of one line. Gaps are optical and in letter heights: those of its tall letters.

    Attributes
    ----------
    unit_mm, unit_px
        Height of its tall letters: capitals, figures or ascenders.
    letters
        How many letters were told apart, signs such as full stops among them.
    capitals, slanted
        Whether it is set in capitals or figures only; whether it is italic.
    letter_gap, word_gap
        Median gap within words and between them; None where it can't be measured, or there is none.
    expected_gap
        The letter gap that faces of such strokes and counters are usually set with.
    pairs
        Neighbouring letters within words, from left to right.
    joined, of_letters
        How many of the letters that the wording says touch their neighbour; both None where it is not known.
    baseline_px
        Where its letters stand, at its middle, x before y.
    letter_boxes_px
        Boxes of the letters, from left to right.
    unmeasured
        Why there is no letter gap, None where there is one.
    """

    unit_mm: float
    unit_px: float
    letters: int
    capitals: bool
    slanted: bool
    letter_gap: float | None
    word_gap: float | None
    expected_gap: float
    pairs: tuple[PairGap, ...]
    joined: int | None
    of_letters: int | None
    baseline_px: tuple[float, float]
    letter_boxes_px: tuple[Box, ...]
    unmeasured: str | None
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A place in a word where something that is no letter stands in for one.

    Attributes
    ----------
    element
        Id of the line that it stands in, None where the letters beside it are too few to be found as one.
    at_end
        Whether it follows the last letter, rather than standing between two.
    """

    element: str | None
    at_end: bool
    tier: str
    box_px: Box
    box_mm: tuple[float, float, float, float]


LEAST_READ = 0.8
"""A reading at least so confident is taken for what a line says (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadAt:
    """What a reader makes of a line, as it is seen from a station; `confidence` is 0 where it reads nothing."""

    station: str
    wording: str
    confidence: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measurement:
    """One line and its numbers. Lengths in mm on the sheet, distances in m, ratios unrounded.

    Attributes
    ----------
    name, role, group, wording
        What the brief says of the line, None where it is silent; the wording also from the file's live text.
    wording_from
        "brief" or "text-layer", None where the wording is not known.
    ratio_printed
        Its ratio as printed, None where no stock is named.
    ground_contrast, ratio_masked
        RMS contrast of its ground in the fineness of its letters; and the ratio at which they would read as
        well on an even ground, None where the ground is as good as even.
    vision
        Its ratio for other colour vision.
    spacing
        None where no letters could be told apart at all.
    read
        What a reader makes of it, near and from its station; empty where none was asked.
    alone
        Whether there is nothing but its ground far around it.
    logo
        Whether it is taken for the lettering of a logo; never so if the brief speaks of it.
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
    wording_from: str | None = None
    vision: tuple[VisionRatio, ...] = ()
    ratio_printed: float | None = None
    spacing: Spacing | None = None
    ground_contrast: float = 0.0
    ratio_masked: float | None = None
    read: tuple[ReadAt, ...] = ()
    alone: bool = False
    logo: bool = False

    @property
    def read_near(self) -> ReadAt | None:
        """What is read of it close up, None where nothing was asked to read."""
        return next((reading for reading in self.read if reading.station == "near"), None)

    @property
    def said(self) -> str | None:
        """What it says, by the brief, the file's live text or else a confident reader."""
        near = self.read_near
        read = near.wording if near is not None and near.confidence >= LEAST_READ else None
        return self.wording or read

    @property
    def ratio_on_paper(self) -> float:
        """The ratio as printed where a stock is named, else as exported."""
        return self.ratio if self.ratio_printed is None else self.ratio_printed

    @property
    def ratio_met(self) -> float:
        """The ratio that counts for reading: on paper, and less where the ground is busy."""
        return self.ratio_on_paper if self.ratio_masked is None else self.ratio_masked

    @property
    def masked(self) -> bool:
        """Whether a busy ground costs the line a share of its contrast that matters."""
        return self.ratio_masked is not None and self.ratio_masked < MASKED_SHARE * self.ratio_on_paper

    def at(self, station: str) -> SeenAt:
        """Return what is seen of the line from a station."""
        return next(seen for seen in self.seen if seen.station == station)


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeMeasurement:
    """What a scanner meets in a code.

    Attributes
    ----------
    bars
        Whether it is a bar code rather than a square one.
    width_mm
        Of its longer side, without the margin.
    module_mm
        Width of its finest mark.
    quiet_modules
        Plain ground beside it where that is narrowest, in modules; no more than is looked at.
    symbol_contrast
        Luminance of its light part less that of its dark part, as a share of white's.
    """

    bars: bool
    width_mm: float
    module_mm: float
    quiet_modules: float
    light_on_dark: bool
    symbol_contrast: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DetailMeasurement:
    """One patch of fine detail and its numbers.

    Attributes
    ----------
    resolve_m
        Farthest distance at which its parts are told apart; of a single stroke, at which it is noticed.
    in_main_figure
        Whether it is part of the largest figure, if that is large: a drawing's own lines.
    text_colour
        Whether it stands alone in a colour that is also used for text, as a mark that says something.
    name
        What the brief calls it, or what it is part of.
    code
        What a scanner meets in it, None unless it is a code.
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
    code: CodeMeasurement | None = None


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
    """What matters of the artwork itself, above all for print; None where it can't be measured.

    Attributes
    ----------
    height_mm
        Of the trimmed sheet.
    drawn
        Its pixels were drawn by us, so that their size says nothing of the artwork.
    """

    ppi: float
    near_m: float
    sharpness_ppi: float | None
    cmyk: bool
    drawn: bool = False
    height_mm: float | None = None


Element = Measurement | DetailMeasurement | FigureMeasurement


def is_imprint(m: Measurement, height_mm: float | None) -> bool:
    """Whether a line stands alone and small at the foot of a sheet so high: a credit, meant to be found, not met."""
    low = height_mm is not None and m.box_mm[1] > IMPRINT * height_mm
    return low and m.alone and m.tier == "small" and m.tier_from == "guess"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measurements:
    """Everything measured on one artwork: what the checks look at."""

    lines: tuple[Measurement, ...] = ()
    details: tuple[DetailMeasurement, ...] = ()
    figures: tuple[FigureMeasurement, ...] = ()
    holes: tuple[Hole, ...] = ()
    sheet: PrintMeasurement | None = None
    arrangement: Arrangement = field(default_factory=Arrangement)

    @property
    def elements(self) -> tuple[Element, ...]:
        """Every element: lines, details, figures."""
        return (*self.lines, *self.details, *self.figures)

    def element(self, element_id: str) -> Element:
        """Return an element by its id."""
        return next(m for m in self.elements if m.id == element_id)
