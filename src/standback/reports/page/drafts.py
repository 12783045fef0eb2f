"""The page of a comparison: both drafts side by side from each station, and what became of each finding."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import PurePath

from standback import __version__
from standback.artwork.model import Artwork
from standback.checks import title_of
from standback.drafts.model import Comparison, Fate, Outcome
from standback.findings import PosterReport
from standback.numbers import distance
from standback.reading import pupil_mm_of
from standback.reports import compare_words as said
from standback.reports import words
from standback.reports.page.crops import window_of
from standback.reports.page.markup import Child, Markup, foreign, join, tag
from standback.reports.page.pictures import Eye, Frame, Shown, crop, walk
from standback.reports.page.shell import asset, document
from standback.settings import Settings

MOST_CROPPED = 24
"""Outcomes that are shown with pictures: with more the page would grow too large (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftPictures:
    """What is shown of one draft: the sheet from near, mid and far, and elements by their id."""

    frames: tuple[Frame, ...]
    crops: Mapping[str, Shown]


def draft_pictures(
    artwork: Artwork, report: PosterReport, elements: Sequence[str], settings: Settings
) -> DraftPictures:
    """Draw a draft while its pixels are at hand.

    Parameters
    ----------
    report
        With the ink masks still in it.
    elements
        Ids of what is cropped.
    """
    viewer, stock = settings.viewer, report.artwork.stock
    eye = Eye(pupil_mm=pupil_mm_of(viewer, replace(settings, stock=stock)), viewer=viewer, stock=stock)
    found = {m.id: m for m in report.found}
    return DraftPictures(
        frames=walk(artwork, tuple(sorted(station.distance_m for station in report.stations)), eye),
        crops={name: crop(artwork, window_of(found[name], artwork)) for name in dict.fromkeys(elements)},
    )


def shown_elements(comparison: Comparison) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the ids of what the page crops: of the earlier draft, and of the later."""
    pairs = [outcome.faults[0].pair for outcome in comparison.outcomes[:MOST_CROPPED]]
    before = tuple(pair.before for pair in pairs if pair is not None and pair.before is not None)
    after = tuple(pair.after for pair in pairs if pair is not None and pair.after is not None)
    return before, after


def draw_drafts(comparison: Comparison, before: DraftPictures, after: DraftPictures) -> str:
    """Return the page as HTML."""
    names = [PurePath(draft.file).name for draft in (comparison.before, comparison.after)]
    verdict = "pass" if comparison.passed else "fail"
    judged = said.judged_for(comparison, assumed="assumed")
    body = tag(
        "main",
        tag(
            "header",
            tag("h1", foreign(names[0]), " → ", foreign(names[1])),
            tag("p", f"{verdict}: {said.verdict(comparison)}", class_=f"verdict {verdict}"),
            tag("p", said.summary(comparison), class_="summary"),
            tag(
                "p",
                f"B{judged[1:]}, {'; '.join(said.printed(comparison))}.",
                class_="facts",
            ),
            class_="head",
        ),
        _walk(comparison, before, after),
        *(
            _section(heading, comparison.of(*fates), comparison, before, after)
            for heading, fates in said.SECTIONS
            if fates != (Fate.GONE,) or comparison.of(*fates)
        ),
        _otherwise(comparison),
        tag("p", words.CAUTION, class_="facts"),
        class_="all",
    )
    return document(
        title=f"{names[0]} → {names[1]}: {verdict} - standback",
        body=join(body, tag("footer", tag("p", f"standback {__version__}"))),
        css=asset("drafts.css"),
    )


def _walk(comparison: Comparison, before: DraftPictures, after: DraftPictures) -> Markup:
    """Show both drafts from each station; which one is chosen by a row of buttons, without a script."""
    stations = sorted(comparison.after.stations, key=lambda station: station.distance_m)
    choices: list[Child] = []
    pairs: list[Child] = []
    for station, was, now in zip(stations, before.frames, after.frames, strict=True):
        name = f"stand-{station.name}"
        chosen = station.name == "far"
        choices.append(tag("input", type="radio", name="stand", id=name, checked=chosen))
        choices.append(tag("label", f"from {distance(station.distance_m)}", for_=name))
        figures = (
            _figure(frame.picture, f"{draft} as seen from {distance(station.distance_m)}", draft)
            for frame, draft in ((was, "Before"), (now, "After"))
        )
        pairs.append(tag("div", *figures, class_=f"pair {station.name}"))
    stands = tag("fieldset", tag("legend", "Where you stand", class_="unseen"), *choices, *pairs)
    title = tag("h2", "Both, from where you stand", id="walk-title")
    return tag("section", title, stands, class_="walk", aria_labelledby="walk-title")


def _figure(shown: Shown, alt: str, caption: str) -> Markup:
    picture = tag("img", src=shown.uri, width=shown.width, height=shown.height, alt=alt)
    return tag("figure", picture, tag("figcaption", caption, aria_hidden="true"))


def _section(
    heading: str,
    outcomes: Sequence[Outcome],
    comparison: Comparison,
    before: DraftPictures,
    after: DraftPictures,
) -> Markup:
    told: Child = tag("p", f"{said.NOTHING.capitalize()}.", class_="facts")
    if outcomes:
        told = tag("ol", *(_outcome(one, comparison, before, after) for one in outcomes), class_="outcomes")
    name = f"{heading.split(maxsplit=1)[0].lower()}-title"
    return tag("section", tag("h2", heading, id=name), told, aria_labelledby=name)


def _outcome(outcome: Outcome, comparison: Comparison, before: DraftPictures, after: DraftPictures) -> Markup:
    severity = said.severity(outcome).word
    numbers, *rest = said.told(outcome)
    text = tag(
        "div",
        tag("h3", tag("span", severity, class_="severity"), title_of(outcome.check)),
        tag("p", said.elements(outcome, comparison), class_="quiet"),
        tag("p", numbers, class_="numbers") if numbers else None,
        *(tag("p", line) for line in rest if line),
    )
    pair = outcome.faults[0].pair
    crops = (
        (
            (before.crops.get(pair.before or ""), pair.before, "before"),
            (after.crops.get(pair.after or ""), pair.after, "after"),
        )
        if pair is not None
        else ()
    )
    figures = [_figure(shown, f"{name}, {when}", f"{name}, {when}") for shown, name, when in crops if shown is not None]
    return tag("li", text, tag("div", *figures, class_="crops") if figures else None, class_=severity)


def _otherwise(comparison: Comparison) -> Markup:
    told = said.otherwise(comparison)
    lines: Child = tag("p", f"{said.NOTHING.capitalize()}.", class_="facts")
    if told:
        lines = tag("ul", *(tag("li", line) for line in told), class_="changed")
    return tag(
        "section", tag("h2", "Otherwise changed", id="otherwise-title"), lines, aria_labelledby="otherwise-title"
    )


__all__ = ["DraftPictures", "draft_pictures", "draw_drafts", "shown_elements"]
