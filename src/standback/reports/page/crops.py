"""What is shown of one finding: its worst place as exported and as seen, now and with the change drawn."""

from dataclasses import dataclass

from standback.artwork.model import Artwork
from standback.elements import Box, Detail, Line
from standback.findings import Finding, PosterReport
from standback.measure.details import representative
from standback.measure.look import Look as NewLook
from standback.measure.model import DetailMeasurement, Element, Measurement
from standback.measure.redraw import AROUND_LETTERS, redrawn_patch, surroundings
from standback.reports.page.pictures import Eye, Shown, crop, crop_seen

MARGIN_LETTERS, MARGIN_SHARE = 0.8, 0.12
"""Air around what a crop shows: in letter heights, or as a share of its longer side (ours)."""
MOST_LETTERS = (34.0, 20.0)
"""A crop of a line shows at most so many letter heights along and across: more could not be made out."""
DETAIL_FEATURES, DETAIL_MM = 60.0, (20.0, 90.0)
"""A crop of detail shows about so many widths of its strokes, within these lengths (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """The worst place of a finding in one look: as exported, and as seen from its station."""

    exported: Shown
    seen: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What is shown of one finding.

    Attributes
    ----------
    distance_m
        From where it is seen: the station that it is judged for.
    changed
        The same with the change of colour drawn, None where no colour changes.
    """

    element: str
    distance_m: float
    now: Look
    changed: Look | None


def evidence(finding: Finding, artwork: Artwork, report: PosterReport, eye: Eye) -> Evidence | None:
    """Draw the worst place of a finding, and the change with the very redraw that proved it."""
    element = next((m for m in report.found if finding.elements[:1] == (m.id,)), None)
    if element is None:
        return None
    distance_m = _judged_from_m(finding, element)
    drawn = _drawn(element, artwork)
    window = _window(drawn, artwork, next((place.box_px for place in finding.places), None))
    redraw = next((r for r in finding.redraws if r.element == element.id), None)
    changed = None
    if redraw is not None and not isinstance(drawn, Box):
        margin_px = AROUND_LETTERS * drawn.letter_px if isinstance(drawn, Line) else float(window.width)
        around = surroundings(drawn, artwork, margin_px)
        patch = redrawn_patch(drawn, artwork, NewLook.of(redraw), around)
        changed = _look(patch, _within(window, around, drawn.mask_scale, patch), distance_m, eye)
        window = _back(_within(window, around, drawn.mask_scale, patch), around, drawn.mask_scale, artwork)
    return Evidence(
        element=element.id,
        distance_m=distance_m,
        now=_look(artwork, window, distance_m, eye),
        changed=changed,
    )


def window_of(element: Element, artwork: Artwork) -> Box:
    """Return what a crop of an element shows: all of it with some air, of a long line its beginning."""
    return _window(_drawn(element, artwork), artwork, None)


def _look(artwork: Artwork, window: Box, distance_m: float, eye: Eye) -> Look:
    return Look(exported=crop(artwork, window), seen=crop_seen(artwork, window, distance_m, eye))


def _judged_from_m(finding: Finding, element: Element) -> float:
    if finding.unit == "m" and finding.needed:
        return finding.needed
    if isinstance(element, Measurement) and finding.check != "fades":
        return element.station_m
    return element.far_m


def _drawn(element: Element, artwork: Artwork) -> Line | Detail | Box:
    """Return what has ink of its own, of a large patch the part that holds most of it; of a figure its box."""
    if isinstance(element, Measurement):
        return element.line
    if isinstance(element, DetailMeasurement):
        detail = element.detail
        least_mm, most_mm = DETAIL_MM
        side_mm = min(max(DETAIL_FEATURES * detail.feature_mm, least_mm), most_mm)
        return representative(detail, max(1, round(side_mm * artwork.px_per_mm / detail.mask_scale)))
    return element.figure.box_px


def _window(drawn: Line | Detail | Box, artwork: Artwork, place: Box | None) -> Box:
    """Return what a crop shows: all of it with some air, of a long line the place in it, or its beginning."""
    trim = artwork.trim_px
    if isinstance(drawn, Line):
        box = drawn.box_px.grown(round(MARGIN_LETTERS * drawn.letter_px), trim)
        along, across = (max(1, round(share * drawn.letter_px)) for share in MOST_LETTERS)
        wide, tall = (along, across) if box.width >= box.height else (across, along)
        at = place if place is not None and place.overlap(drawn.box_px) < drawn.box_px.area else box
        x0, x1 = cut_about(box.x0, box.x1, wide, (at.x0, at.x1))
        y0, y1 = cut_about(box.y0, box.y1, tall, (at.y0, at.y1))
        return Box(x0=x0, y0=y0, x1=x1, y1=y1)
    box = drawn.box_px if isinstance(drawn, Detail) else drawn
    return box.grown(round(MARGIN_SHARE * max(box.width, box.height)), trim)


def cut_about(start: int, end: int, most: int, at: tuple[int, int]) -> tuple[int, int]:
    """Cut a stretch to a length: about the middle of what should be in it, if that is short enough, else its start."""
    if end - start <= most:
        return start, end
    middle = (at[0] + at[1]) // 2 if at[1] - at[0] < most else start
    first = min(max(middle - most // 2, start), end - most)
    return first, first + most


def _within(window: Box, around: Box, scale: int, patch: Artwork) -> Box:
    """Return the part of a redrawn patch that a window of the artwork shows, in pixels of the patch."""
    x0, y0 = max(window.x0 - around.x0, 0) // scale, max(window.y0 - around.y0, 0) // scale
    x1, y1 = -((around.x0 - window.x1) // scale), -((around.y0 - window.y1) // scale)
    x1, y1 = min(x1, patch.width_px), min(y1, patch.height_px)
    return Box(x0=min(x0, x1 - 1), y0=min(y0, y1 - 1), x1=x1, y1=y1)


def _back(part: Box, around: Box, scale: int, artwork: Artwork) -> Box:
    """Return the window of the artwork that a part of the patch stands for: before and after look alike."""
    x0, y0 = around.x0 + part.x0 * scale, around.y0 + part.y0 * scale
    x1, y1 = around.x0 + part.x1 * scale, around.y0 + part.y1 * scale
    trim = artwork.trim_px
    return Box(x0=x0, y0=y0, x1=min(x1, trim.x1), y1=min(y1, trim.y1))
