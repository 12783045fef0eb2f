"""How a line's numbers came about."""

from collections.abc import Iterator, Sequence

import numpy as np

from standback.artwork import Artwork
from standback.colour_vision import IN_WORDS, as_seen_by
from standback.explain.model import Given, Step, number
from standback.explain.noticing import STATE_SOURCE, carry_step, jnd_step
from standback.explain.reading import reach_steps
from standback.light import SCREEN_FLARE, luminance1, luminance1_of, srgb8_to_linear, to_hex
from standback.measure.along import WORST_QUANTILE, window_ratios
from standback.measure.model import Measurement
from standback.measure.notice import Adapting, target_of_ink
from standback.measure.seen import block_luminances1, seen_luminances1
from standback.measure.tiers import same_style
from standback.measure.views import seen_from
from standback.measure.wanted import ARM_LENGTH_M, CSS_PX_DEG, large_by_px, set_alike, size_of
from standback.numbers import distance, ratio
from standback.settings import Settings, Station
from standback.stock import Stock

_WCAG = "WCAG 2.2, contrast ratio and relative luminance."
_BOLD_SHARE = 14 / 18


def line_steps(
    m: Measurement,
    lines: tuple[Measurement, ...],
    artwork: Artwork,
    settings: Settings,
    places: tuple[Station, ...],
    sheet: Adapting,
) -> Iterator[Step]:
    """Yield a step for each number of a line: its size, contrast, reach, and what is seen of it.

    Parameters
    ----------
    lines
        All lines of the sheet, this one among them: they decide the tiers.
    """
    yield _height(m)
    yield _stroke(m)
    yield _ratio(m)
    if settings.stock is not None:
        yield _printed(m, settings.stock)
    yield from _for_other_vision(m)
    yield _worst(m, artwork)
    yield _tier(m, lines, settings)
    yield _wanted(m, lines, settings)
    yield from reach_steps(m, settings)
    target = target_of_ink(m.line, artwork, sheet)
    for place in places:
        if place.name in ("far", m.station):
            yield from _seen(m, lines, artwork, settings, place)
            yield jnd_step(target, place, m.at(place.name), settings)
    yield carry_step(target, m.carry_m, settings)
    for place in places:
        yield _state(m, place)


def _height(m: Measurement) -> Step:
    what = "lowercase letters, the x-height," if m.x_mm is not None and abs(m.letter_mm - m.x_mm) < 1e-9 else "letters"
    if m.cap_mm is not None and abs(m.letter_mm - m.cap_mm) < 1e-9:
        what = "capitals or digits"
    return Step(
        title="Letter height",
        source="The artwork's pixels at the printed size.",
        givens=(
            Given(value=number(m.line.letter_px, "px"), says=f"height of the {what} on the artwork"),
            Given(value=number(m.px_per_mm), says="pixels a millimetre at the printed size"),
        ),
        key="letter_mm",
        result=m.letter_mm,
        unit="mm",
        says=f"height of the {what}, which counts for reading",
    )


def _stroke(m: Measurement) -> Step:
    return Step(
        title="Stroke width",
        source="Median along the middle of the strokes.",
        givens=(
            Given(value=number(m.line.stroke_px, "px"), says="width of the strokes on the artwork"),
            Given(value=number(m.px_per_mm), says="pixels a millimetre at the printed size"),
            Given(value=number(m.line.stroke_px / m.line.letter_px), says="of the letter height"),
        ),
        key="stroke_mm",
        result=m.stroke_mm,
        unit="mm",
        says="width of the strokes",
    )


def _ratio(m: Measurement) -> Step:
    ink, ground = m.line.ink_srgb8, m.line.ground_srgb8
    pair = luminance1_of(ink), luminance1_of(ground)
    lighter, darker = (number(value + SCREEN_FLARE) for value in (max(pair), min(pair)))
    return Step(
        title="Contrast as exported",
        source=_WCAG,
        givens=(
            Given(value=number(pair[0]), says=f"luminance of the ink, {to_hex(ink)}, white being 1"),
            Given(value=number(pair[1]), says=f"luminance of the ground, {to_hex(ground)}"),
            Given(value=number(SCREEN_FLARE), says=f"stray light, added to both: {lighter} over {darker}"),
        ),
        key="ratio",
        result=m.ratio,
        says="lighter over darker",
    )


def _printed(m: Measurement, stock: Stock) -> Step:
    ink, ground = (number(stock.printed1(luminance1_of(c))) for c in (m.line.ink_srgb8, m.line.ground_srgb8))
    return Step(
        title=f"Contrast as printed, {stock.name}",
        source="Paper and solid black: ISO 12647-2, or the artwork's profile. " + _WCAG,
        givens=(
            Given(value=number(stock.white1), says="luminance of the bare paper"),
            Given(value=number(stock.black1), says="of solid black on it"),
            Given(value=ink, says="luminance of the ink, as far between the two as it is between black and white"),
            Given(value=ground, says="of the ground, likewise"),
        ),
        key="ratio_printed",
        result=m.ratio_printed,
        says="lighter over darker, stray light added to both",
    )


def _for_other_vision(m: Measurement) -> Iterator[Step]:
    """Yield the same ratio once the colours look as they do to other colour vision."""
    pair = srgb8_to_linear(np.array([m.line.ink_srgb8, m.line.ground_srgb8]), np.float64)
    for other in m.vision:
        ink, ground = luminance1(as_seen_by(other.vision, pair))
        yield Step(
            title=f"Contrast for {IN_WORDS[other.vision]} viewers",
            source="Machado, Oliveira & Fernandes (2009); " + _WCAG,
            givens=(
                Given(value=number(float(ink)), says="luminance of the ink as they see it"),
                Given(value=number(float(ground)), says="of the ground"),
            ),
            key=f"vision.{other.vision}.ratio",
            result=other.ratio,
            says="lighter over darker, stray light added to both",
        )


def _worst(m: Measurement, artwork: Artwork) -> Step:
    ratios = window_ratios(m.line, artwork)
    found = [Given(value=str(len(ratios)), says="windows along the line, each a letter height wide")]
    if len(ratios):
        tenth = float(np.quantile(ratios, WORST_QUANTILE))
        found += [
            Given(value=number(float(np.median(ratios))), says="ratio in the middle one of them"),
            Given(value=number(float(ratios.min())), says="in the worst"),
            Given(value=number(tenth), says=f"that {WORST_QUANTILE:.0%} of them fall short of"),
        ]
    return Step(
        title="Contrast where the ground is worst",
        source="Windows and the worst tenth: ours.",
        givens=tuple(found),
        key="ratio_worst",
        result=m.ratio_worst,
        says="that, or the ratio of the whole line where it is lower",
    )


def _tier(m: Measurement, lines: tuple[Measurement, ...], settings: Settings) -> Step:
    source = "The brief says so." if m.tier_from == "brief" else "Guessed from the sizes of type on the sheet (ours)."
    sizes: list[Measurement] = []
    for other in sorted(lines, key=lambda one: -one.em_mm):
        if not any(same_style(one.line, other.line, settings.limits) for one in sizes):
            sizes.append(other)
    larger = sum(other.em_mm > m.em_mm for other in sizes)
    return Step(
        title="Where it should be read from",
        source=source,
        givens=(
            Given(value=number(m.em_mm, "mm"), says="size of the type, as an em"),
            Given(value=str(larger), says=f"of the {len(sizes)} styles on the sheet are larger"),
            Given(
                value=m.tier, says=f"tier; sizes are parted where one is {settings.limits.tier_gap:g} times the next"
            ),
            Given(value=number(m.station_m, "m"), says="away from the sheet"),
        ),
        key="station",
        result=m.station,
        says="where it should be read from",
    )


def _wanted(m: Measurement, lines: Sequence[Measurement], settings: Settings) -> Step:
    limits = settings.limits
    alike = next([lines[n] for n in group] for group in set_alike(lines, limits) if m in [lines[n] for n in group])
    em_mm, bold = size_of(alike)
    of_style = f" (the median of the {len(alike)} lines set alike)" if len(alike) > 1 else ""
    large_px = limits.large_text_css_px * (_BOLD_SHARE if bold else 1.0)
    from_m = max(m.station_m, ARM_LENGTH_M)
    arm = "; nearer by it counts as from arm's length" if from_m > m.station_m else ""
    return Step(
        title="Contrast wanted",
        source="WCAG 2.2, 1.4.3; its pixel as an angle, 0.0213°: CSS Values and Units.",
        givens=(
            Given(value=number(em_mm, "mm"), says=f"size of the type, as an em{of_style}"),
            Given(
                value=number(large_by_px(em_mm, m.station_m), "px"),
                says=f"screen type that looks as large from {number(from_m)} m, a pixel being {CSS_PX_DEG}°{arm}",
            ),
            Given(
                value=number(large_px, "px"), says=f"and more is large type, this being {'' if bold else 'not '}bold"
            ),
        ),
        key="ratio_wanted",
        result=m.ratio_wanted,
        says="large type" if m.ratio_wanted == limits.large_text_ratio else "ordinary type",
    )


def _seen(
    m: Measurement, lines: tuple[Measurement, ...], artwork: Artwork, settings: Settings, place: Station
) -> Iterator[Step]:
    only = next(index for index, line in enumerate(lines) if line.id == m.id)
    view = next(iter(seen_from(artwork, [line.line for line in lines], place, settings, only=only)))
    optics = "The eye's optics: Watson (2013); its pupil: Watson & Yellott (2012). "
    from_there = f"from {place.name}, {distance(place.distance_m)}"
    pair = _on(settings.stock, seen_luminances1(m.line, view))
    yield Step(
        title=f"Letters as seen {from_there}",
        source=optics + _WCAG,
        givens=()
        if pair is None
        else (
            Given(value=number(pair[0]), says="luminance of the strokes' cores once through the eye's optics"),
            Given(value=number(pair[1]), says="of the spaces between and inside the letters"),
        ),
        key=f"seen.{place.name}.ratio",
        result=m.at(place.name).ratio,
        says=f"seen ratio, of {ratio(m.ratio)} as exported",
    )
    block = _on(settings.stock, block_luminances1(m.line, view, artwork.trim_px))
    yield Step(
        title=f"The line as a block {from_there}",
        source=optics + _WCAG,
        givens=()
        if block is None
        else (
            Given(value=number(block[0]), says="mean luminance of the line's box as seen"),
            Given(value=number(block[1]), says="of what is around it, a letter height wide"),
        ),
        key=f"seen.{place.name}.block_ratio",
        result=m.at(place.name).block_ratio,
        says="block ratio",
    )


def _on(stock: Stock | None, pair: tuple[float, float] | None) -> tuple[float, float] | None:
    """Return two luminances as printed."""
    return pair if stock is None or pair is None else (stock.printed1(pair[0]), stock.printed1(pair[1]))


def _state(m: Measurement, place: Station) -> Step:
    seen = m.at(place.name)
    return Step(
        title=f"From {place.name}, {distance(place.distance_m)}",
        source=STATE_SOURCE,
        givens=(
            Given(value=number(m.reach_m, "m"), says="reach: reads"),
            Given(value=number(m.limit_m, "m"), says="limit: strains"),
            Given(value=number(m.carry_m, "m"), says="carry: noticed; beyond: lost"),
        ),
        key=f"seen.{place.name}.state",
        result=seen.state,
        says="how it is seen",
    )
