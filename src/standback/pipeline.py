"""The whole path: artwork -> elements -> measurements -> findings -> report."""

from standback.artwork import Artwork
from standback.changes import with_changes
from standback.checks.unjudged import UNJUDGED
from standback.find import find_lines
from standback.findings import ArtworkFacts, PosterReport, ranked
from standback.judge import judge
from standback.measure.again import Scene
from standback.measure.lines import measure_lines
from standback.measure.notice import adapting
from standback.settings import Settings, stations
from standback.sheet import default_far_m
from standback.summary import carries, summarise, walk_up


def audit_artwork(artwork: Artwork, settings: Settings) -> PosterReport:
    """Audit one artwork: pure, the same report for the same artwork and settings."""
    far_m = settings.far_m or default_far_m(artwork.width_mm, artwork.height_mm)
    places = stations(far_m)
    lines = find_lines(artwork)
    measurements = measure_lines(lines, artwork, settings, far_m)
    scene = Scene(artwork=artwork, sheet=adapting(artwork), settings=settings, places=places)
    causes = judge(measurements, settings.limits)
    findings = ranked(with_changes(causes, measurements, scene))
    return PosterReport(
        file=artwork.file,
        artwork=_facts(artwork),
        stations=places,
        far_assumed=settings.far_m is None,
        elements=measurements,
        walk_up=walk_up(measurements, places),
        findings=findings,
        carries=carries(measurements, findings),
        not_judged=UNJUDGED,
        summary=summarise(measurements, findings, places),
        gate=settings.gate,
    )


def _facts(artwork: Artwork) -> ArtworkFacts:
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
    )
