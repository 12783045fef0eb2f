"""How the numbers of fine detail and of figures came about."""

from collections.abc import Iterator

from standback.artwork import Artwork
from standback.elements import DRAWN_SHAPE, Srgb8
from standback.explain.model import Given, Step, number
from standback.explain.noticing import STATE_SOURCE, carry_step, jnd_step
from standback.light import SCREEN_FLARE, luminance1_of, to_hex
from standback.measure.details import representative
from standback.measure.figures import figure_target
from standback.measure.model import DetailMeasurement, FigureMeasurement
from standback.measure.notice import Adapting, target_of_ink
from standback.numbers import distance
from standback.settings import Settings, Station


def detail_steps(
    m: DetailMeasurement, artwork: Artwork, settings: Settings, places: tuple[Station, ...], sheet: Adapting
) -> Iterator[Step]:
    """Yield a step for each number of a patch of fine detail."""
    detail = m.detail
    yield _ratio(detail.ink_srgb8, detail.ground_srgb8, detail.ratio, "ink")
    width = "Area by half of the outline" if detail.kind == DRAWN_SHAPE else "Stroke width, or diameter of the dots"
    yield _size(width, detail.feature_mm, m.px_per_mm, "feature_mm")
    if detail.pitch_mm is not None:
        yield _size("From the middle of one to the next", detail.pitch_mm, m.px_per_mm, "pitch_mm")
    sample = representative(detail)
    whole = target_of_ink(sample, artwork, sheet)
    pitched = detail.pitch_mm is not None
    parts = target_of_ink(sample, artwork, sheet, pitch_mm=detail.pitch_mm) if pitched else whole
    what = "it stands out" if parts is whole else "its parts stand apart"
    yield carry_step(whole, m.carry_m, settings)
    for place in places:
        yield jnd_step(parts, place, m.seen[places.index(place)], settings, what=what)
    yield carry_step(parts, m.resolve_m, settings, key="resolve_m", nearest=m.carry_m)
    for place in places:
        yield _state(place, m.seen[places.index(place)].state, resolve_m=m.resolve_m, carry_m=m.carry_m)


def figure_steps(
    m: FigureMeasurement, artwork: Artwork, settings: Settings, places: tuple[Station, ...], sheet: Adapting
) -> Iterator[Step]:
    """Yield a step for each number of a figure."""
    figure = m.figure
    yield _ratio(figure.colour_srgb8, figure.ground_srgb8, figure.ratio, "figure, a mean of light")
    target = figure_target(figure, artwork, sheet)
    for place in places:
        yield jnd_step(target, place, m.seen[places.index(place)], settings)
    yield carry_step(target, m.carry_m, settings)
    for place in places:
        yield _state(place, m.seen[places.index(place)].state, resolve_m=None, carry_m=m.carry_m)


def _ratio(ink: Srgb8, ground: Srgb8, ratio: float, what: str) -> Step:
    pair = luminance1_of(ink), luminance1_of(ground)
    lighter, darker = (number(value + SCREEN_FLARE) for value in (max(pair), min(pair)))
    return Step(
        title="Contrast as exported",
        source="WCAG 2.2, contrast ratio and relative luminance.",
        givens=(
            Given(value=number(pair[0]), says=f"luminance of the {what}: {to_hex(ink)}, white being 1"),
            Given(value=number(pair[1]), says=f"luminance of what is around it: {to_hex(ground)}"),
            Given(value=number(SCREEN_FLARE), says=f"stray light, added to both: about {lighter} over {darker}"),
        ),
        key="ratio",
        result=ratio,
        says="lighter over darker, of the colours before they are rounded",
    )


def _size(title: str, size_mm: float, px_per_mm: float, key: str) -> Step:
    return Step(
        title=title,
        source="The median on the artwork's own pixels.",
        givens=(
            Given(value=number(size_mm * px_per_mm, "px"), says="on the artwork"),
            Given(value=number(px_per_mm), says="pixels a millimetre at the printed size"),
        ),
        key=key,
        result=size_mm,
        unit="mm",
        says="at the printed size",
    )


def _state(place: Station, state: str, *, resolve_m: float | None, carry_m: float) -> Step:
    givens = [Given(value=number(carry_m, "m"), says="carry: noticed; beyond: lost")]
    if resolve_m is not None:
        givens.insert(0, Given(value=number(resolve_m, "m"), says="told apart to here: reads"))
    return Step(
        title=f"From {place.name}, {distance(place.distance_m)}",
        source=STATE_SOURCE,
        givens=tuple(givens),
        key=f"seen.{place.name}.state",
        result=state,
        says="how it is seen",
    )
