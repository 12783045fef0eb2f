"""What a brief says, as data. Boxes and points are in mm from the top left of the trim."""

from dataclasses import dataclass, field

from standback.places import BoxMm
from standback.sheet import SheetSize
from standback.stock import Stock

PointMm = tuple[float, float]

TIERS = ("lead", "support", "small")
STATIONS = ("far", "mid", "near")
ROLES = (
    "title", "subtitle", "date", "time", "place", "organiser", "contact", "price", "credits", "text", "other",
)  # fmt: skip
"""What a line can be on a poster (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Where:
    """A part of the sheet: exactly one of a box, a point, or a place in words."""

    box_mm: BoxMm | None = None
    point_mm: PointMm | None = None
    words: str | None = None

    @property
    def in_words(self) -> str:
        """Where it is, for people."""
        if self.box_mm is not None:
            return f"box {', '.join(f'{side:g}' for side in self.box_mm)} mm"
        if self.point_mm is not None:
            return f"point {', '.join(f'{side:g}' for side in self.point_mm)} mm"
        return self.words or ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BriefSheet:
    """The printed piece; None where the brief is silent."""

    size: SheetSize | None = None
    bleed_mm: float | None = None
    stock: Stock | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Viewing:
    """Where the viewer stands, in what light, who it is, and whose reach decides; None where the brief is silent."""

    far_m: float | None = None
    illuminance_lx: float | None = None
    age_years: float | None = None
    acuity_logmar: float | None = None
    judged_for: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BriefLine:
    """What one line of text must do. `row` is where the brief says it, for messages."""

    where: Where
    name: str | None = None
    tier: str | None = None
    station: str | None = None
    role: str | None = None
    group: str | None = None
    wording: str | None = None
    row: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class BriefFigure:
    """A drawing or a part of a picture that must be seen from far."""

    where: Where
    name: str
    group: str | None = None
    row: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiver:
    """Findings that count no more: of a check, at a place or on a named line, or both."""

    reason: str
    check: str | None = None
    where: Where | None = None
    line: str | None = None
    row: int = field(default=0, compare=False)

    @property
    def in_words(self) -> str:
        """What is waived, for people."""
        at = self.where.in_words if self.where is not None else f"line '{self.line}'" if self.line else None
        return ", ".join(part for part in (self.check, at) if part is not None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """A reviewer's own words about a place."""

    where: Where
    text: str
    row: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Brief:
    """A whole brief. The brief without a word is `Brief()`.

    Attributes
    ----------
    file
        The file it was read from, as given.
    limits
        The limits that it changes: names of fields of `settings.Limits`, and their values.
    """

    file: str = field(default="", compare=False)
    sheet: BriefSheet = BriefSheet()
    viewing: Viewing = Viewing()
    limits: tuple[tuple[str, float], ...] = ()
    lines: tuple[BriefLine, ...] = ()
    figures: tuple[BriefFigure, ...] = ()
    waivers: tuple[Waiver, ...] = ()
    remarks: tuple[Remark, ...] = ()

    @property
    def groups(self) -> dict[str, tuple[BriefLine | BriefFigure, ...]]:
        """The members of each group, lines before figures, in the order of the brief."""
        members: dict[str, tuple[BriefLine | BriefFigure, ...]] = {}
        entries: tuple[BriefLine | BriefFigure, ...] = (*self.lines, *self.figures)
        for one in entries:
            if one.group is not None:
                members[one.group] = (*members.get(one.group, ()), one)
        return members
