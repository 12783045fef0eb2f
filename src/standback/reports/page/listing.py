"""The ranked findings, the reviewer's remarks, and what carries."""

import re
from collections.abc import Callable, Sequence

from standback.brief.model import Remark
from standback.checks import check_of
from standback.checks.against import numbers_of
from standback.findings import Carries, Finding, PosterReport, Severity
from standback.light import to_hex
from standback.measure.model import FigureMeasurement, Measurement
from standback.numbers import distance
from standback.reports import words
from standback.reports.page.crops import Evidence, Look
from standback.reports.page.markup import Markup, foreign, join, tag
from standback.reports.page.pictures import Shown
from standback.reports.page.stage import badge, boxes_of, on_stage, severity_class

_SENTENCE_END = re.compile(r"(?<=[a-z)])\.\s+(?=[A-Z])")
_SIGN = 15.0
MOST_DRAWN = 12
"""Findings beyond this many come without pictures (ours): nobody looks at so many, and the page stays small."""
MOST_BUTTONS = 12
"""Elements named in one place; the table names them all (ours)."""

Draw = Callable[[Finding], Evidence | None]


def findings(report: PosterReport, draw: Draw) -> Markup:
    """Return the ranked findings, each with what it takes to see it, say it and follow it up."""
    items = [
        _finding(finding, report, draw(finding) if n < MOST_DRAWN else None)
        for n, finding in enumerate(report.findings)
    ]
    return tag(
        "section",
        tag("h2", "Findings ", tag("small", words.tally(report.findings)), id="findings-title"),
        tag("ol", *items, class_="findings") if items else tag("p", "Nothing measured falls short."),
        class_="listing",
        id="findings",
        aria_labelledby="findings-title",
    )


def remarks(report: PosterReport) -> Markup | None:
    """Return the reviewer's own words, by the letters that they have on the poster."""
    if not report.remarks:
        return None
    return tag(
        "section",
        tag("h2", "The reviewer’s remarks", id="remarks-title"),
        tag("ol", *(_remark(n, remark, report) for n, remark in enumerate(report.remarks)), class_="remarks"),
        class_="reviewer",
        aria_labelledby="remarks-title",
    )


def carries(report: PosterReport) -> Markup | None:
    """Return what works."""
    if not report.elements:
        return None
    works = tag("ul", *(_carrying(item, report) for item in report.carries), class_="carries")
    return tag(
        "section",
        tag("h2", "What carries", id="carries-title"),
        works if report.carries else tag("p", "Nothing yet: no line is without a finding.", class_="facts"),
        aria_labelledby="carries-title",
    )


def first_sentence(text: str) -> str:
    """Return the first sentence of a text."""
    return _SENTENCE_END.split(text, maxsplit=1)[0].removesuffix(".") + "."


def element_button(element: str, report: PosterReport) -> Markup:
    """Return the id of an element as a button that shows where it is."""
    found = next((m for m in report.found if m.id == element), None)
    if found is None:
        return tag("span", element)
    boxes = " ".join(f"{side:.1f}" for side in on_stage(found.box_mm, report))
    label = f"{element}: show where it is"
    return tag("button", element, type="button", class_="element", data_boxes=boxes, aria_label=label)


def element_buttons(elements: Sequence[str], report: PosterReport) -> Markup:
    """Return such buttons for the first of many elements, and how many more there are."""
    named = [join(element_button(element, report), " ") for element in elements[:MOST_BUTTONS]]
    more = len(elements) - len(named)
    return join(*named, f"and {more} more" if more else None)


def _finding(finding: Finding, report: PosterReport, shown: Evidence | None) -> Markup:
    check = check_of(finding.check)
    waived = finding.waived is not None
    name = f"finding-{finding.rank}"
    severity = "waived" if waived else finding.severity.word
    numbers = numbers_of(finding)
    head = tag(
        "button",
        _sign(str(finding.rank), finding.severity),
        tag(
            "span",
            tag("span", check.title, class_="title"),
            tag("span", _short(finding), class_="short"),
            class_="names",
        ),
        tag("span", severity, class_="severity"),
        type="button",
        aria_expanded="false",
        aria_controls=name,
        data_rank=str(finding.rank),
        data_boxes=boxes_of(finding, report),
    )
    panel = tag(
        "div",
        None if numbers is None else _numbers(*numbers),
        None if shown is None else _evidence(shown),
        tag("p", tag("b", "Why it matters. "), first_sentence(check.rationale), class_="why"),
        tag("p", tag("b", "What is seen. "), finding.says),
        tag("p", others, class_="doubt") if (others := words.other_viewers_reach(finding, report)) else None,
        _change(finding, report),
        *(tag("p", tag("b", "Doubt. "), f"{doubt.says}.", class_="doubt") for doubt in finding.doubts),
        tag("p", tag("b", "Waived by the reviewer. "), foreign(finding.waived), class_="own")
        if finding.waived is not None
        else None,
        _where(finding, report),
        id=name,
        class_="panel",
    )
    classes = f"finding {severity_class(finding.severity)}{' waived' if waived else ''}"
    return tag("li", tag("h3", head), panel, class_=classes)


def _sign(label: str, severity: Severity | None) -> Markup:
    side = 2 * _SIGN + 4
    view = f"{-side / 2:g} {-side / 2:g} {side:g} {side:g}"
    picture = badge(label, severity, 0.0, 0.0, _SIGN)
    classes = f"mark {severity_class(severity)}"
    return tag("svg", tag("g", picture, class_=classes), viewBox=view, class_="badge", aria_hidden="true")


def _short(finding: Finding) -> str:
    first, *others = finding.elements or ("",)
    who = f"{first} and {len(others)} more" if others else first
    numbers = numbers_of(finding)
    return " · ".join(part for part in (who, numbers[0] if numbers else "") if part)


def _numbers(measured: str, needed: str) -> Markup:
    return tag("p", tag("b", measured), " ", tag("span", needed), class_="numbers")


def _evidence(shown: Evidence) -> Markup:
    """Show the worst place as exported and as seen; with a change of colour, both once more below."""
    far = distance(shown.distance_m)
    rows = [_look(shown.now, shown.element, ("as exported", f"as seen from {far}"), "Now" if shown.changed else "")]
    if shown.changed is not None:
        rows.append(_look(shown.changed, shown.element, ("close up", f"as seen from {far}"), "Changed"))
    wide = shown.now.exported.width > 3 * shown.now.exported.height
    stand = tag(
        "button", f"Stand {far} away", type="button", class_="quiet-button stand", data_m=f"{shown.distance_m:.6g}"
    )
    return join(tag("div", *rows, class_=f"evidence{' wide' if wide else ''}"), stand)


def _look(look: Look, element: str, views: tuple[str, str], when: str) -> Markup:
    """Show one look close up and as seen, each with what it shows: "Now, as seen from 2 m"."""
    pictures = zip((look.exported, look.seen), views, strict=True)
    return join(*(_picture(shown, element, f"{when}, {view}" if when else view) for shown, view in pictures))


def _picture(shown: Shown, element: str, caption: str) -> Markup:
    return tag(
        "figure",
        tag("img", src=shown.uri, width=shown.width, height=shown.height, alt=f"{element}: {caption}"),
        tag("figcaption", f"{caption[0].upper()}{caption[1:]}", aria_hidden="true"),
    )


def _change(finding: Finding, report: PosterReport) -> Markup | None:
    if finding.change is None:
        return None
    return tag("p", tag("b", "Change. "), finding.change, _swatches(finding, report), class_="change")


def _swatches(finding: Finding, report: PosterReport) -> Markup | None:
    """Show ink on ground, now and as proposed."""
    redraw = next(iter(finding.redraws), None)
    if redraw is None:
        return None
    m = next((m for m in report.found if m.id == redraw.element), None)
    if m is None or isinstance(m, FigureMeasurement):
        return None
    old = m.line if isinstance(m, Measurement) else m.detail
    return tag(
        "span",
        swatch(to_hex(old.ink_srgb8), to_hex(old.ground_srgb8)),
        tag("span", " becomes ", class_="unseen"),
        tag("span", "→", aria_hidden="true"),
        swatch(to_hex(redraw.ink), to_hex(redraw.ground)),
        class_="swatches",
    )


def swatch(ink: str, ground: str) -> Markup:
    """Return a small sample of an ink on its ground."""
    return tag(
        "svg",
        tag("rect", x="0.5", y="0.5", width="35", height="19", fill=ground, class_="swatch-ground"),
        tag("path", d="M7 10H29", stroke=ink, stroke_width="6"),
        viewBox="0 0 36 20",
        class_="swatch",
        role="img",
        aria_label=f"{ink} on {ground}",
    )


def _where(finding: Finding, report: PosterReport) -> Markup | None:
    if not finding.elements:
        return None
    named = element_buttons(finding.elements, report)
    return tag("p", tag("b", "Where. "), f"{words.places(finding, report)}. ", named, class_="where")


def _remark(index: int, remark: Remark, report: PosterReport) -> Markup:
    letter = words.remark_letter(index)
    head = tag(
        "button",
        _sign(letter, None),
        tag("span", words.remark_place(remark, report.artwork), class_="names"),
        type="button",
        aria_pressed="false",
        data_rank=letter,
        aria_label=f"Remark {letter}, {words.remark_place(remark, report.artwork)}: show where it is",
    )
    return tag("li", tag("h3", head), tag("p", foreign(remark.text)))


def _carrying(item: Carries, report: PosterReport) -> Markup:
    line = next((m for m in report.elements if m.id == item.element), None)
    quoted = None if line is None else words.quoted(line)
    name = None if quoted is None else join(" ", foreign(quoted), ",")
    place = join(name, f" {words.where(line.box_mm, report.artwork)}") if line else None
    return tag("li", tag("h3", element_button(item.element, report), place), tag("p", f"{item.why}."))
