"""Letter heights for a row of distances, or distances for a letter height: ours, and what the rules say."""

from collections.abc import Sequence
from dataclasses import dataclass

from standback import eye
from standback.doubts import Doubt
from standback.letters.rules import RULES
from standback.reading import letter_mm_for, reach_of
from standback.settings import YOUNG_EYE, Settings, Viewer


@dataclass(frozen=True, slots=True, kw_only=True)
class Type:
    """How letters are drawn.

    Attributes
    ----------
    ratio
        WCAG contrast ratio of ink to ground.
    stroke_share
        Width of the strokes as a share of the letter height.
    """

    ratio: float
    stroke_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One distance or one height, with the other for each viewer: None where no height, no distance will do.

    Attributes
    ----------
    given
        Distance in m, or letter height in mm.
    limit
        The same for a young corrected eye that can just make it out.
    by_viewer
        One number for each of the settings' viewers, in their order.
    """

    given: float
    limit: float | None
    by_viewer: tuple[float | None, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleRow:
    """What one rule says: distance and letter height, of which one was asked for."""

    name: str
    source: str
    short_source: str
    distance_m: float | None
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Letters:
    """The whole answer.

    Attributes
    ----------
    rows
        Heights in mm for distances in m; empty where a height was given.
    reaches
        Distances in m for a height in mm; empty where distances were given.
    """

    settings: Settings
    type: Type
    rows: tuple[Row, ...]
    reaches: tuple[Row, ...]
    rules: tuple[RuleRow, ...]

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """Reasons to trust the numbers less."""
        return (Doubt.LOW_CONTRAST,) if eye.is_low_contrast(self.type.ratio) else ()


def heights_for(distances_m: Sequence[float], type_: Type, settings: Settings) -> Letters:
    """Return how tall letters must be to be read from each distance."""

    def height_mm(viewer: Viewer, distance_m: float) -> float | None:
        return letter_mm_for(
            viewer, settings, distance_m=distance_m, stroke_share=type_.stroke_share, ratio=type_.ratio
        )

    return Letters(
        settings=settings,
        type=type_,
        rows=tuple(
            Row(
                given=distance_m,
                limit=height_mm(YOUNG_EYE, distance_m),
                by_viewer=tuple(height_mm(viewer, distance_m) for viewer in settings.viewers),
            )
            for distance_m in distances_m
        ),
        reaches=(),
        rules=tuple(
            RuleRow(
                name=rule.name,
                source=rule.source,
                short_source=rule.short_source,
                distance_m=distance_m,
                height_mm=rule.height_mm(distance_m),
            )
            for rule in RULES
            for distance_m in distances_m
        ),
    )


def reaches_of(letter_mm: float, type_: Type, settings: Settings) -> Letters:
    """Return from how far letters of a height are read."""

    def reach_m(viewer: Viewer) -> float | None:
        stroke_mm = type_.stroke_share * letter_mm
        return reach_of(viewer, settings, letter_mm=letter_mm, stroke_mm=stroke_mm, ratio=type_.ratio) or None

    row = Row(given=letter_mm, limit=reach_m(YOUNG_EYE), by_viewer=tuple(map(reach_m, settings.viewers)))
    return Letters(
        settings=settings,
        type=type_,
        rows=(),
        reaches=(row,),
        rules=tuple(
            RuleRow(
                name=rule.name,
                source=rule.source,
                short_source=rule.short_source,
                distance_m=rule.distance_m(letter_mm),
                height_mm=letter_mm,
            )
            for rule in RULES
        ),
    )
