"""Lines x artwork x what is seen -> measurements."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from standback import eye
from standback.artwork import Artwork
from standback.brief.model import BriefLine, Where
from standback.colour_vision import VISIONS, contrast_ratio_for
from standback.doubts import Doubt
from standback.elements import TEXT_LAYER, Box, Line
from standback.light import SCREEN_FLARE, contrast_ratio, luminance1_of
from standback.measure.logo import logos
from standback.measure.model import Measurement, SeenAt, ViewerReach, VisionRatio
from standback.measure.notice import jnd_of
from standback.measure.of_line import OfLine, Ratios, ratios_of
from standback.measure.seen import printed_ratio
from standback.measure.tiers import em_px, guess_tiers
from standback.measure.wanted import css_px, is_bold, large_by_px, wanted_ratio, with_wanted
from standback.reading import reach_of
from standback.settings import YOUNG_EYE, Limits, Settings, Station, stations
from standback.stock import Stock
from standback.target import Target
from standback.viewing import Seen

STATION_OF_TIER = {"lead": "far", "support": "mid", "small": "near"}
TIER_OF_STATION = {station: tier for tier, station in STATION_OF_TIER.items()}
UNSAID = BriefLine(where=Where())
"""What the brief says of a line that it does not speak of."""


def state_of(distance_m: float, *, reach_m: float, limit_m: float, carry_m: float) -> str:
    """Whether a line reads, strains, is noticed or is lost at a distance."""
    farthest = {"reads": reach_m, "strains": limit_m, "noticed": carry_m}
    return next((state for state, at_m in farthest.items() if at_m >= distance_m), "lost")


def measure_lines(
    lines: Sequence[Line],
    by_pixels: Sequence[OfLine],
    artwork: Artwork,
    settings: Settings,
    far_m: float,
    said: Sequence[BriefLine | None],
) -> tuple[Measurement, ...]:
    """Measure every line, in the order given: ids L01, L02, ... follow it.

    Parameters
    ----------
    by_pixels
        What each line's own pixels tell.
    said
        What the brief says of each line, None for lines that it does not speak of. A tier or station that
        it gives outranks the guess; of the two, each follows from the other where only one is given.
    """
    entries = [entry or UNSAID for entry in said]
    wordings = wordings_of(lines, said)
    places = stations(far_m)
    measured = [
        measure_type(
            line,
            settings,
            name=f"L{index:02d}",
            box_mm=artwork.box_mm(line.box_px),
            px_per_mm=artwork.px_per_mm,
            ratio_worst=its.ratio_worst,
            ground_noise1=its.ground_noise1,
            inks=its.inks,
            tier=tier,
            tier_from=tier_from,
            station=station,
            places=places,
        )
        for index, (line, its, (tier, tier_from, station)) in enumerate(
            zip(lines, by_pixels, _tiers(lines, entries, settings.limits), strict=True), start=1
        )
    ]
    measured = with_wanted(measured, settings.limits)
    of_logos = logos(lines, [m.tier for m in measured], artwork, settings.limits)
    measured = [
        replace(
            m,
            carry_m=its.carry_m,
            name=entry.name,
            role=entry.role,
            group=entry.group,
            wording=wording,
            wording_from="brief" if entry.wording else TEXT_LAYER if m.line.wording else None,
            alone=its.alone,
            logo=of_logo and entry is UNSAID,
            spacing=its.spacing,
        )
        for m, its, entry, wording, of_logo in zip(measured, by_pixels, entries, wordings, of_logos, strict=True)
    ]
    return tuple(
        replace(
            m, seen=tuple(_seen_at(m, station, its.ratios[station.name], its.jnd[station.name]) for station in places)
        )
        for m, its in zip(measured, by_pixels, strict=True)
    )


def wordings_of(lines: Sequence[Line], said: Sequence[BriefLine | None]) -> list[str | None]:
    """Return what each line says: by the brief, else by itself."""
    return [(entry or UNSAID).wording or line.wording for entry, line in zip(said, lines, strict=True)]


def _tiers(lines: Sequence[Line], entries: Sequence[BriefLine], limits: Limits) -> Iterator[tuple[str, str, str]]:
    """Yield each line's tier, whence it is ("brief" or "guess"), and its station."""
    for entry, guessed in zip(entries, guess_tiers(lines, limits), strict=True):
        tier = entry.tier or TIER_OF_STATION.get(entry.station or "", guessed)
        tier_from = "brief" if entry.tier or entry.station else "guess"
        yield tier, tier_from, entry.station or STATION_OF_TIER[tier]


def measure_type(
    line: Line,
    settings: Settings,
    *,
    name: str,
    box_mm: tuple[float, float, float, float],
    px_per_mm: float,
    ratio_worst: float,
    ground_noise1: float = 0.0,
    inks: float | None = None,
    tier: str,
    tier_from: str,
    station: str,
    places: Sequence[Station],
) -> Measurement:
    """Measure what follows from a line's size and colours alone; nothing seen yet, carry 0."""
    letter_mm, stroke_mm = line.letter_px / px_per_mm, line.stroke_px / px_per_mm
    em_mm = em_px(line) / px_per_mm
    ratio = contrast_ratio(line.ink_srgb8, line.ground_srgb8)
    printed = None if settings.stock is None else _as_printed(line, settings.stock)
    on_paper = printed or ratio
    ground_contrast = _contrast_of(ground_noise1, line, settings.stock)
    met = eye.ratio_on_even_ground(on_paper, ground_contrast)
    reaches = {
        v.name: reach_of(v, settings, letter_mm=letter_mm, stroke_mm=stroke_mm, ratio=met)
        for v in (*settings.viewers, YOUNG_EYE)
    }
    distance_m = {place.name: place.distance_m for place in places}
    em_css_px = large_by_px(em_mm, distance_m[station])
    low_contrast = (Doubt.LOW_CONTRAST,) if eye.is_low_contrast(on_paper) else ()
    measured = Measurement(
        id=name,
        line=line,
        box_mm=box_mm,
        ratio=ratio,
        ratio_worst=min(ratio, ratio_worst),
        ratio_printed=printed,
        ground_contrast=ground_contrast,
        ratio_masked=met if met < on_paper else None,
        ratio_wanted=wanted_ratio(em_css_px, is_bold(stroke_mm, em_mm), settings.limits),
        tier=tier,
        tier_from=tier_from,
        station=station,
        station_m=distance_m[station],
        mid_m=distance_m["mid"],
        far_m=distance_m["far"],
        cap_mm=None if line.cap_px is None else line.cap_px / px_per_mm,
        x_mm=None if line.x_px is None else line.x_px / px_per_mm,
        letter_mm=letter_mm,
        stroke_mm=stroke_mm,
        em_mm=em_mm,
        px_per_mm=px_per_mm,
        inks=inks,
        reach_m=reaches[settings.judged_for],
        reach=tuple(ViewerReach(viewer=v.name, m=reaches[v.name]) for v in settings.viewers),
        limit_m=reaches[YOUNG_EYE.name],
        carry_m=0.0,
        seen=(),
        vision=tuple(
            VisionRatio(vision=vision, ratio=contrast_ratio_for(vision, line.ink_srgb8, line.ground_srgb8))
            for vision in VISIONS
        ),
        doubts=tuple(sorted({*line.doubts, *low_contrast})),
    )
    busy = (Doubt.BUSY_GROUND,) if measured.masked else ()
    return replace(measured, doubts=tuple(sorted({*measured.doubts, *busy})))


def _contrast_of(ground_noise1: float, line: Line, stock: Stock | None) -> float:
    """Return noise in luminance as a contrast over what the letters' own is taken over: the lighter of the two."""
    lighter1 = max(luminance1_of(line.ink_srgb8), luminance1_of(line.ground_srgb8))
    if stock is None:
        return ground_noise1 / (lighter1 + SCREEN_FLARE)
    return float(ground_noise1 * (stock.white1 - stock.black1) / (stock.printed1(lighter1) + SCREEN_FLARE))


def _as_printed(line: Line, stock: Stock) -> float:
    return printed_ratio(luminance1_of(line.ink_srgb8), luminance1_of(line.ground_srgb8), stock)


def see_line(
    m: Measurement,
    view: Seen,
    target: Target,
    station: Station,
    sheet: Box,
    settings: Settings,
    *,
    enlarged: float = 1.0,
) -> SeenAt:
    """Measure what is seen of a line from a station.

    Parameters
    ----------
    view, sheet
        What is seen around the line, and how far the artwork goes on around it.
    enlarged
        How many times larger than in `view` and `target` the line is meant to be: a line twice as large
        looks as this one does from half the distance.
    """
    ratios = ratios_of(m.line, view, sheet, settings.stock)
    return _seen_at(m, station, ratios, jnd_of(target, station.distance_m / enlarged, settings))


def _seen_at(m: Measurement, station: Station, ratios: Ratios, jnd: float) -> SeenAt:
    return SeenAt(
        station=station.name,
        ratio=ratios.ratio,
        block_ratio=ratios.block_ratio,
        jnd=jnd,
        css_px=css_px(m.em_mm, station.distance_m),
        state=state_of(station.distance_m, reach_m=m.reach_m, limit_m=m.limit_m, carry_m=m.carry_m),
    )
