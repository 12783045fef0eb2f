"""The review page: one file in which a poster is walked back from, and what was found is followed up."""

import re
from dataclasses import replace
from pathlib import Path

from standback import __version__
from standback.artwork.model import Artwork
from standback.findings import PosterReport
from standback.numbers import distance
from standback.reading import pupil_mm_of
from standback.reports import words
from standback.reports.page import listing, tables
from standback.reports.page.crops import evidence
from standback.reports.page.markup import Child, Markup, join, tag
from standback.reports.page.pictures import Eye, walk, walk_distances_m
from standback.reports.page.shell import asset, document
from standback.reports.page.stage import Scale, stage, stage_css
from standback.settings import Settings

_BREAKS = re.compile(r"(?<=[-_. ])(?=.)")
_LONG_NAME = 22


def draw_page(artwork: Artwork, report: PosterReport, settings: Settings) -> str:
    """Return the review page of one artwork as HTML.

    Parameters
    ----------
    report
        With the ink masks still in it: the changes of colour are drawn from them.
    """
    viewer = settings.viewer
    stock = report.artwork.stock
    eye = Eye(pupil_mm=pupil_mm_of(viewer, replace(settings, stock=stock)), viewer=viewer, stock=stock)
    frames = walk(artwork, walk_distances_m(report.stations), eye)
    scale = Scale(near_m=frames[0].distance_m, back_m=frames[-1].distance_m)
    body = join(
        tag("a", "To the findings", href="#findings", class_="skip"),
        tag(
            "main",
            tag("header", *_head(report), class_="head"),
            stage(report, frames, scale, blunt=viewer.sharp_m(1.0)),
            tag(
                "div",
                listing.findings(report, lambda finding: evidence(finding, artwork, report, eye)),
                listing.remarks(report),
                class_="beside",
            ),
            tag("div", _walk_up(report), listing.carries(report), class_="works"),
            class_="review",
        ),
        tag(
            "div",
            tables.elements(report, scale),
            tag("div", tables.judged(report, settings), tables.trust(report), class_="ends"),
            class_="after",
        ),
        tag("footer", tag("p", f"standback {__version__}")),
    )
    return document(
        title=f"{Path(report.file).name}: {report.verdict} - standback",
        body=body,
        css=f"{asset('page.css')}{stage_css(report, scale)}",
        script=asset("page.js"),
    )


def _head(report: PosterReport) -> tuple[Markup, ...]:
    return (
        _name(Path(report.file).name),
        tag("p", report.verdict, class_=f"verdict {report.verdict}"),
        tag("p", report.summary, class_="summary"),
        tag(
            "p",
            f"J{words.judged_for(report, assumed='assumed')[1:]}, {words.printed(report.artwork)}.",
            class_="facts",
        ),
    )


def _name(file: str) -> Markup:
    """Return a file name as a title that may break behind its own marks, a long one set smaller."""
    parts = _BREAKS.split(file)
    said = join(*(join(Markup("<wbr>") if n else None, part) for n, part in enumerate(parts)))
    return tag("h1", tag("bdi", said), class_="long" if len(file) > _LONG_NAME else None)


def _walk_up(report: PosterReport) -> Markup | None:
    """Say in words what is read from each station, far to near."""
    if not report.elements:
        return None
    read: set[str] = set()
    rows = []
    for step in report.walk_up:
        new = [m for m in report.elements if m.id in step.reads and m.id not in read]
        nothing = "nothing more" if read else "nothing"
        read.update(m.id for m in new)
        tallest = sorted(new, key=lambda m: -m.letter_mm)
        said: Child = listing.element_buttons([m.id for m in tallest], report) if new else nothing
        rows.append(join(tag("dt", f"from {distance(step.distance_m)}"), tag("dd", said)))
    return tag(
        "section",
        tag("h2", "What reads from where", id="reads-title"),
        tag("dl", *rows, class_="reads"),
        _told(words.other_viewers(report)),
        aria_labelledby="reads-title",
    )


def _told(text: str) -> Markup | None:
    return tag("p", text, class_="facts") if text else None


__all__ = ["draw_page"]
