"""How the elements of a sheet stand to each other: groups, axes, margins, and what pulls the eye."""

from dataclasses import dataclass

BoxMm = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Elements that belong together: as a viewer takes it by their distances, or as the brief says.

    Attributes
    ----------
    name
        What the brief calls it, None for a guess.
    elements
        Ids, in reading order; two at least.
    whence
        "guess" or "brief".
    box_mm
        What the members cover together.
    """

    name: str | None
    elements: tuple[str, ...]
    whence: str
    box_mm: BoxMm


@dataclass(frozen=True, slots=True, kw_only=True)
class TornGroup:
    """A part of a brief's group that lies apart from the rest; gaps are edge to edge.

    Attributes
    ----------
    part, rest
        Ids of what should move, and of what it should move to; the first of each are those nearest to the other.
    own_mm, stranger_mm
        Gap to the rest of its group, and to the nearest line that is none of it.
    stranger
        Id of that line.
    move
        What would mend it, in words and measured again; None where no free place was found.
    whence
        "brief", or "guess" where the group is of the facts that the wording states.
    near_mm
        How near its own would have to be for it to be told from the stranger where it stands.
    """

    group: str
    part: tuple[str, ...]
    rest: tuple[str, ...]
    own_mm: float
    stranger_mm: float
    stranger: str
    move: str | None
    near_mm: float
    whence: str = "brief"


@dataclass(frozen=True, slots=True, kw_only=True)
class LooseHeading:
    """A heading about as near to the text above it as to its own.

    Attributes
    ----------
    above, below
        Ids of the lines above and below it.
    above_mm, below_mm
        White between its letters and theirs.
    """

    element: str
    above: str
    below: str
    above_mm: float
    below_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OffAxis:
    """An element nearly but not exactly on an axis.

    Attributes
    ----------
    axis
        "left", "centre" or "right": which of its sides should stand on it.
    of
        Ids of the elements that share the axis; empty for the middle of the sheet.
    at_mm
        Where the axis stands, from the left edge of the sheet.
    off_mm
        How far the element is off: above 0 where it stands too far right.
    slack_mm
        How far off passes for exact.
    along
        Ids of others that are off alike: lines of one text.
    """

    element: str
    axis: str
    of: tuple[str, ...]
    at_mm: float
    off_mm: float
    slack_mm: float
    along: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Margins:
    """The outer margins where several elements keep to them on either side, or where some go beyond the one.

    Attributes
    ----------
    left, right
        Ids of the elements that stand on each, or go beyond what is kept on the other side.
    """

    left_mm: float
    right_mm: float
    left: tuple[str, ...]
    right: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NearTrim:
    """A line close to an edge of the sheet, and not cut by it.

    Attributes
    ----------
    side
        "left", "top", "right" or "bottom".
    gap_mm
        White between the line and the trim.
    share
        The same as a share of the sheet's shorter side.
    """

    element: str
    side: str
    gap_mm: float
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """How well a figure's outline stands off from what is around it.

    Attributes
    ----------
    held
        Share of it that has the wanted contrast.
    ratio
        Its contrast: half of the outline has more, half less.
    """

    element: str
    held: float
    ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """An element's share of what draws the eye on the sheet, seen from a station; a heuristic.

    Attributes
    ----------
    share
        0 to 1; the shares of all elements add up to no more than 1.
    centre_bias
        The share that it would have if nothing but nearness to the middle of the sheet counted.
    """

    element: str
    station: str
    share: float
    centre_bias: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One of the first looks from a station: what is taken in at once.

    Attributes
    ----------
    elements
        A figure, or lines of one style that stand together; the strongest first.
    share
        Their share of the pull.
    """

    elements: tuple[str, ...]
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Looks:
    """The order of looks from one station, the first first."""

    station: str
    looks: tuple[Look, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """All that was measured of how the elements stand to each other."""

    groups: tuple[Group, ...] = ()
    torn: tuple[TornGroup, ...] = ()
    headings: tuple[LooseHeading, ...] = ()
    off_axis: tuple[OffAxis, ...] = ()
    near_trim: tuple[NearTrim, ...] = ()
    margins: Margins | None = None
    outlines: tuple[Outline, ...] = ()
    pull: tuple[Pull, ...] = ()
    looks: tuple[Looks, ...] = ()
    thin_margins: tuple[NearTrim, ...] = ()
    overrun: Margins | None = None

    def looks_from(self, station: str) -> tuple[Look, ...]:
        """Return the order of looks from a station, nothing where it was not measured."""
        return next((looks.looks for looks in self.looks if looks.station == station), ())
