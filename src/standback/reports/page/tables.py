"""The numbers of every element, how they were judged, and how far to trust them."""

from collections.abc import Iterator

from standback.findings import PosterReport
from standback.light import to_hex
from standback.measure.model import DetailMeasurement, Element, FigureMeasurement, Measurement
from standback.numbers import distance, millimetres, ratio
from standback.reports import words
from standback.reports.page.listing import element_button, swatch
from standback.reports.page.markup import Child, Markup, foreign, join, tag
from standback.reports.page.stage import Scale, reach_m
from standback.settings import Limits, Settings

_BAR = 200.0
MOST_SAID_M = 100.0
"""Farther than this is said of nothing: no wall is that far away (ours)."""
_COLUMNS = (
    "Element",
    "What and where",
    "Contrast",
    "Read, or told apart, from",
    "Noticed from",
    "From far it",
    "Findings",
)
_STATES = {"reads": "reads", "strains": "strains the eye", "noticed": "is noticed", "lost": "is lost"}


def elements(report: PosterReport, scale: Scale) -> Markup | None:
    """Return the table of everything found."""
    if not report.found:
        return None
    ranks: dict[str, list[int]] = {}
    for finding in report.findings:
        for element in finding.elements:
            ranks.setdefault(element, []).append(finding.rank)
    head = tag("tr", *(tag("th", name, scope="col") for name in _COLUMNS))
    rows = [_row(m, report, scale, ranks.get(m.id, [])) for m in report.found]
    return tag(
        "section",
        tag("h2", "Every element", id="elements-title"),
        tag(
            "p",
            "The bar runs from arm’s length to the back of the room: as far as the element is read, or told "
            "apart; the thin line goes on as far as it is noticed; the upright stroke is where a line should "
            "be read from.",
            class_="lead-in",
        ),
        tag(
            "div",
            tag("table", tag("thead", head), tag("tbody", *rows)),
            class_="scrolls",
            role="region",
            aria_labelledby="elements-title",
            tabindex="0",
        ),
        class_="elements",
        aria_labelledby="elements-title",
    )


def judged(report: PosterReport, settings: Settings) -> Markup:
    """Return how the poster was judged: for whom, from where, in what light, by which limits."""
    stations = ", ".join(f"{s.name} {distance(s.distance_m)}" for s in report.stations)
    viewers = ", ".join(f"{words.viewer(v)} (letters {v.k:.3g} times the limit)" for v in settings.viewers)
    facts: list[tuple[str, Child]] = [
        ("Sheet", words.printed(report.artwork)),
        ("Print", words.print_line(report.artwork)),
        ("Stations", f"{stations}; {'assumed' if report.far_assumed else 'given'}"),
        ("Viewers", f"{viewers}; what {words.viewer(settings.viewer)} can read decides"),
        ("Light", f"{settings.illuminance_lx:g} lx on the paper"),
        ("Gate", f"{report.gate}: the mildest finding that fails the poster" if report.gate != "off" else "off"),
    ]
    changed = [name for name, value in settings.brief.limits if getattr(Limits(), name) != value]
    if settings.brief.file:
        facts.append(("Brief", foreign(settings.brief.file)))
    if changed:
        said = ", ".join(f"{name} = {getattr(settings.limits, name):g}" for name in changed)
        facts.append(("Limits changed", said))
    return _facts("How it was judged", "judged", facts)


def trust(report: PosterReport) -> Markup:
    """Return how far to trust the page: its doubts, what was not judged, and what it is no substitute for."""
    doubts = dict.fromkeys(
        doubt for doubts in (report.artwork.doubts, *(m.doubts for m in report.found)) for doubt in doubts
    )
    reasons = dict.fromkeys(item.why for item in report.not_judged)
    said: list[Child] = [
        tag(
            "p",
            "Every number is measured on the artwork; the blur is that of the eye that it is judged for, in "
            "this light. How far a person reads depends on their own eyes, on the light and on the wall: reach "
            "stands for about nine readers in ten.",
        ),
        _list("Doubts", (doubt.says for doubt in doubts)),
        _list("Of the brief", report.unmatched),
        _list("Of the file's live text", report.live_text),
        _list("Not judged", reasons),
        tag("p", tag("strong", words.CAUTION)),
    ]
    return tag(
        "section",
        tag("h2", "How far to trust this", id="trust-title"),
        *said,
        class_="trust",
        aria_labelledby="trust-title",
    )


def _facts(title: str, name: str, facts: list[tuple[str, Child]]) -> Markup:
    rows = [join(tag("dt", term), tag("dd", said)) for term, said in facts]
    return tag(
        "section", tag("h2", title, id=f"{name}-title"), tag("dl", *rows), class_=name, aria_labelledby=f"{name}-title"
    )


def _list(title: str, items: "Iterator[str] | dict[str, None] | tuple[str, ...]") -> Markup | None:
    said = [tag("li", foreign(item)) for item in items]
    return join(tag("h3", title), tag("ul", *said)) if said else None


def _row(m: Element, report: PosterReport, scale: Scale, ranks: list[int]) -> Markup:
    far = next((seen.state for seen in m.seen if seen.station == "far"), None)
    cells: tuple[Child, ...] = (
        _what(m, report),
        _contrast(m),
        None if isinstance(m, FigureMeasurement) else _reach(m, scale),
        _noticed(m.carry_m),
        _STATES.get(far, far) if far else None,
        ", ".join(str(rank) for rank in ranks) or None,
    )
    return tag(
        "tr", tag("th", element_button(m.id, report), scope="row"), *(tag("td", cell) for cell in cells), data_id=m.id
    )


def _noticed(carry_m: float) -> str:
    if carry_m <= 0:
        return "nowhere"
    return f"over {MOST_SAID_M:g} m" if carry_m > MOST_SAID_M else distance(carry_m)


def _what(m: Element, report: PosterReport) -> Child:
    facts = report.artwork
    if isinstance(m, Measurement):
        name = None if m.name is None else join(foreign(m.name), ": ")
        quoted = words.quoted(m)
        said = None if quoted is None else join(foreign(quoted), ", ")
        return join(name, said, words.line_place(m, facts), tag("small", f"{m.tier}, from {distance(m.station_m)}"))
    place = words.where(m.box_mm, facts)
    if isinstance(m, DetailMeasurement):
        return join(f"{m.detail.kind}, {place}", tag("small", f"{millimetres(m.detail.feature_mm)} wide"))
    name = None if m.name is None else join(foreign(m.name), ": ")
    return join(name, f"{'picture' if m.figure.picture else 'shape'}, {place}")


def _contrast(m: Element) -> Markup:
    if isinstance(m, Measurement):
        ink, ground, value = m.line.ink_srgb8, m.line.ground_srgb8, m.ratio
    elif isinstance(m, DetailMeasurement):
        ink, ground, value = m.detail.ink_srgb8, m.detail.ground_srgb8, m.detail.ratio
    else:
        ink, ground, value = m.figure.colour_srgb8, m.figure.ground_srgb8, m.figure.ratio
    short = value < m.ratio_wanted
    wanted = tag("small", f"{ratio(m.ratio_wanted)} wanted")
    said = tag("span", ratio(value), class_="short-of-it" if short else None)
    return join(swatch(to_hex(ink), to_hex(ground)), " ", said, wanted)


def _reach(m: Measurement | DetailMeasurement, scale: Scale) -> Markup:
    """Return a distance and its bar on the scale of the walk."""
    far_m = reach_m(m)
    station_m = m.station_m if isinstance(m, Measurement) else None
    short = station_m is not None and far_m < station_m
    end, thin = (_BAR * min(max(scale.share(d), 0.0), 1.0) for d in (far_m, m.carry_m))
    bar = tag(
        "svg",
        tag("path", d=f"M0 8H{thin:.1f}", class_="thin") if thin else None,
        tag("path", d=f"M0 8H{end:.1f}", class_="thick") if end else None,
        None if station_m is None else tag("path", d=f"M{_BAR * scale.share(station_m):.1f} 1V15", class_="station"),
        tag("path", d="M0 0V16", class_="now"),
        viewBox=f"-2 0 {_BAR + 4:g} 16",
        class_=f"bar{' short' if short else ''}",
        aria_hidden="true",
    )
    return join(bar, tag("span", distance(far_m) if far_m > 0 else "nowhere", class_="short-of-it" if short else None))
