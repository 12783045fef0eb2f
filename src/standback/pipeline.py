"""The whole path: artwork -> elements -> measurements -> findings -> report."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import compress

from standback.approach import walk_up
from standback.artwork import Artwork
from standback.beside import Beside, beside
from standback.brief.apply import split_waived, unmatched_in_words
from standback.brief.match import Matches, match
from standback.brief.model import BriefFigure, BriefLine
from standback.changes import with_changes
from standback.checks.unjudged import not_judged
from standback.elements import DRAWN_SHAPE, Detail, Figure, Line
from standback.find import find_text, outside_codes, with_live_text
from standback.findings import ArtworkFacts, PosterReport, ranked
from standback.judge import causes, failed
from standback.measure.again import Scene
from standback.measure.arrange import arrange
from standback.measure.details import measure_details
from standback.measure.figures import measure_figures
from standback.measure.holes import measure_holes
from standback.measure.lines import measure_lines, wordings_of
from standback.measure.model import Measurement, Measurements
from standback.measure.notice import adapting
from standback.settings import Settings, stations
from standback.sheet import default_far_m
from standback.summary import carries, live_text_in_words, summarise
from standback.wording.lines import read_text, with_readings
from standback.wording.recogniser import recogniser

MOST_SEARCHED_PX = 3700
"""A sheet is searched at most this fine: an A2 at 150 ppi, and 24 x 36 in at 75 ppi, where the small print of
so large a sheet still is 7 px high (ours). What is found is measured on the artwork's own pixels."""


def audit_artwork(artwork: Artwork, settings: Settings) -> PosterReport:
    """Audit one artwork: pure, the same report for the same artwork and settings."""
    settings = replace(settings, stock=artwork.paper or settings.stock)
    far_m = settings.far_m or default_far_m(artwork.width_mm, artwork.height_mm)
    places = stations(far_m)
    brief = settings.brief
    searched = artwork.no_finer_than(MOST_SEARCHED_PX)
    by_shape, doubtful = find_text(artwork)
    claimed = with_live_text(by_shape, artwork)
    reader = recogniser() if settings.read else None
    read = None if reader is None else read_text(claimed.lines, doubtful, artwork, reader)
    candidates = claimed.lines if read is None else read.lines
    sheet = adapting(artwork, settings.stock)

    def look(lines: Sequence[Line], details: tuple[Detail, ...] | None = None) -> tuple[_Said, Beside]:
        said = _said(brief.lines, lines, artwork)
        wordings = wordings_of(lines, said.of_lines)
        return said, beside(lines, wordings, artwork, searched, settings, places, sheet, details=details)

    said, found = look(candidates)
    outside = outside_codes(candidates, found.details)
    lines = tuple(candidates[n] for n in outside)
    if len(lines) < len(candidates):  # rows of a code were taken for text
        said, found = look(lines, found.details)
    details, figures = (*found.details, *found.shapes), found.figures
    named = _named(brief.figures, figures, details, artwork)
    measurements = measure_lines(lines, found.by_pixels, artwork, settings, far_m, said.of_lines)
    if reader is not None and read is not None:
        measurements = with_readings(measurements, [read.near[n] for n in outside], artwork, settings, places, reader)
    measured = Measurements(
        lines=measurements,
        details=measure_details(named.details, lines, figures, artwork, settings, places, sheet, named.of_details),
        figures=measure_figures(figures, artwork, settings, places, sheet, named.of_figures),
        holes=measure_holes(measurements, artwork),
        sheet=found.printed,
    )
    measured = replace(measured, arrangement=arrange(measured, artwork, settings, places))
    parted = split_waived(
        failed(measured, settings.limits),
        brief.waivers,
        names=_by_name(measurements),
        width_mm=artwork.width_mm,
        height_mm=artwork.height_mm,
    )
    faults = (*parted.live, *parted.waived)
    causes_found = causes(faults, measured)
    scene = Scene(artwork=artwork, sheet=sheet, settings=settings, places=places)
    waived = {(element, finding.check) for finding in parted.waived for element in finding.elements}
    findings = ranked(with_changes(causes_found, measured, scene, waived=waived))
    return PosterReport(
        file=artwork.file,
        artwork=_facts(artwork, settings),
        stations=places,
        far_assumed=settings.far_m is None,
        elements=measurements,
        details=measured.details,
        figures=measured.figures,
        walk_up=walk_up(measured, places, width_mm=artwork.width_mm, height_mm=artwork.height_mm),
        findings=findings,
        carries=carries(measurements, findings),
        not_judged=not_judged(measured, settings.limits),
        summary=summarise(measurements, findings, places, (artwork.width_mm, artwork.height_mm), settings.limits),
        gate=settings.gate,
        viewers=settings.viewers,
        judged_for=settings.judged_for,
        remarks=brief.remarks,
        unmatched=unmatched_in_words(brief, lines=said.matches, figures=named.matches, unused_waivers=parted.unused),
        live_text=live_text_in_words(artwork.text, measurements, [claim.wording for claim in claimed.unseen]),
        faults=faults,
        arrangement=measured.arrangement,
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Said:
    """What the brief says of each line."""

    matches: Matches
    of_lines: Sequence[BriefLine | None]


def _said(entries: Sequence[BriefLine], lines: Sequence[Line], artwork: Artwork) -> _Said:
    matches = match(
        [entry.where for entry in entries],
        [artwork.box_mm(line.box_px) for line in lines],
        width_mm=artwork.width_mm,
        height_mm=artwork.height_mm,
    )
    return _Said(matches=matches, of_lines=[None if entry is None else entries[entry] for entry in matches.entry_of])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Named:
    """What the brief calls each figure and each detail; the details without those that are judged as figures."""

    matches: Matches
    of_figures: Sequence[str | None]
    details: Sequence[Detail]
    of_details: Sequence[str | None]


def _named(
    entries: Sequence[BriefFigure], figures: Sequence[Figure], details: Sequence[Detail], artwork: Artwork
) -> _Named:
    matches = match(
        [entry.where for entry in entries],
        [artwork.box_mm(box) for box in (*(f.box_px for f in figures), *(d.box_px for d in details))],
        width_mm=artwork.width_mm,
        height_mm=artwork.height_mm,
    )
    names = [None if entry is None else entries[entry].name for entry in matches.entry_of]
    of_figures, of_details = names[: len(figures)], names[len(figures) :]
    # a named shape that is found as a figure too is judged as that
    once = [
        name is None or name not in of_figures or detail.kind != DRAWN_SHAPE
        for detail, name in zip(details, of_details, strict=True)
    ]
    return _Named(
        matches=matches,
        of_figures=of_figures,
        details=tuple(compress(details, once)),
        of_details=tuple(compress(of_details, once)),
    )


def _by_name(measurements: Sequence[Measurement]) -> dict[str, list[str]]:
    """Return the ids of the lines by the name that the brief gives them."""
    names: dict[str, list[str]] = {}
    for m in measurements:
        if m.name is not None:
            names.setdefault(m.name, []).append(m.id)
    return names


def _facts(artwork: Artwork, settings: Settings) -> ArtworkFacts:
    return ArtworkFacts(
        width_px=artwork.width_px,
        height_px=artwork.height_px,
        width_mm=artwork.width_mm,
        height_mm=artwork.height_mm,
        bleed_mm=artwork.bleed_mm,
        ppi=artwork.ppi,
        size_from=artwork.size_from,
        colour=artwork.colour,
        profile=artwork.profile,
        doubts=artwork.doubts,
        drawn=artwork.drawn,
        stock=settings.stock,
    )
