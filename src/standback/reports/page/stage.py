"""The poster on its wall: seen from each distance, with what is lost from there and the findings marked."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import log

from standback.findings import Finding, PosterReport, Severity
from standback.measure.model import DetailMeasurement, FigureMeasurement, Measurement
from standback.numbers import distance
from standback.reports import words
from standback.reports.marks import TAG_RADIUS_PX, Mark, Rect, place_marks, subjects_of
from standback.reports.page.markup import Markup, tag
from standback.reports.page.pictures import WALL_SHARE, Frame

LONG = 1000.0
"""Long side of the sheet in the units of the marks."""
MOST_TAGS = 3
"""Tags of one finding; its other places show theirs once it is chosen (ours)."""
_PAD = 4.0
_LEAST_GAP_SHARE = 0.1
"""Names of stations on the scale nearer than this share of it would run into each other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """The scale of distances: even steps are even factors."""

    near_m: float
    back_m: float

    def share(self, distance_m: float) -> float:
        """Return where a distance lies: 0 for the nearest, 1 for the farthest, beyond them too."""
        if distance_m <= 0 or self.back_m <= self.near_m:
            return 0.0
        return log(distance_m / self.near_m) / log(self.back_m / self.near_m)


def stage(report: PosterReport, frames: Sequence[Frame], scale: Scale, *, blunt: float) -> Markup:
    """Return the poster, the slider that walks back from it, and what is said of each distance.

    Parameters
    ----------
    blunt
        How many times farther away an eye of 6/6 would see as little as the viewer's.
    """
    return tag(
        "section",
        tag("h2", "The walk back", id="walk-title", class_="unseen"),
        _hang(report, frames),
        _controls(report, scale),
        class_="stage",
        id="stage",
        aria_labelledby="walk-title",
        data_near=f"{scale.near_m:.6g}",
        data_back=f"{scale.back_m:.6g}",
        data_blunt=f"{blunt:.4g}",
        data_long_mm=f"{max(report.artwork.width_mm, report.artwork.height_mm):.6g}",
    )


def stage_css(report: PosterReport, scale: Scale) -> str:
    """Return what the style needs to know of this poster: its shape, and where its stations stand."""
    width, height = _sheet(report)
    wall = WALL_SHARE * LONG
    rules = [f":root{{--shape:{(width + 2 * wall) / (height + 2 * wall):.5f}}}"]
    for n, (_, distance_m) in enumerate(_stops(report, scale)):
        rules.append(f".stop-{n}{{left:{100 * scale.share(distance_m):.2f}%}}")
    return "\n".join(rules)


def _hang(report: PosterReport, frames: Sequence[Frame]) -> Markup:
    printed = {station.distance_m for station in report.stations} | {frames[-1].distance_m}
    figures = [
        tag(
            "figure",
            tag(
                "img",
                src=frame.picture.uri,
                width=frame.picture.width,
                height=frame.picture.height,
                alt="The poster, sharp" if n == 0 else f"The poster as seen from {distance(frame.distance_m)}",
            ),
            tag("figcaption", f"from {distance(frame.distance_m)}") if n else None,
            class_=" ".join(
                ("frame", *(("on",) if n == 0 else ()), *(("printed",) if n and frame.distance_m in printed else ()))
            ),
            data_m=f"{frame.distance_m:.6g}",
        )
        for n, frame in enumerate(frames)
    ]
    width, height = _sheet(report)
    wall = WALL_SHARE * LONG
    overlay = tag(
        "svg",
        tag("g", *_lost(report), class_="lost"),
        tag("g", *_marks(report), class_="marks"),
        tag("g", class_="spot"),
        viewBox=f"{-wall:g} {-wall:g} {width + 2 * wall:g} {height + 2 * wall:g}",
        class_="over",
        aria_hidden="true",
        focusable="false",
    )
    return tag("div", tag("div", *figures, overlay, class_="hang"), class_="wall")


def _lost(report: PosterReport) -> Iterator[Markup]:
    """Yield a box for each line and patch, drawn once the viewer is too far away to read or part it."""
    for m in report.found:
        if isinstance(m, FigureMeasurement):
            continue
        x0, y0, x1, y1 = on_stage(m.box_mm, report)
        is_line = isinstance(m, Measurement)
        yield tag(
            "rect",
            x=x0 - _PAD,
            y=y0 - _PAD,
            width=x1 - x0 + 2 * _PAD,
            height=y1 - y0 + 2 * _PAD,
            rx="3",
            data_id=m.id,
            data_kind="line" if is_line else "detail",
            data_reach=f"{reach_m(m):.4g}",
            data_carry=f"{m.carry_m:.4g}",
        )


def reach_m(m: Measurement | DetailMeasurement) -> float:
    """Return from how far a line is read, or the parts of a patch are told apart."""
    return m.reach_m if isinstance(m, Measurement) else m.resolve_m


def _marks(report: PosterReport) -> Iterator[Markup]:
    width, height = _sheet(report)
    inked = [line.box_mm for line in report.elements]
    marks = place_marks(list(subjects_of(report)), inked, report.artwork, (0.0, 0.0, width, height), WALL_SHARE * LONG)
    drawn: dict[str, int] = {}
    for mark in marks:
        drawn[mark.label] = drawn.get(mark.label, 0) + 1
        yield _mark(mark, more=drawn[mark.label] > MOST_TAGS)


def _mark(mark: Mark, *, more: bool) -> Markup:
    x, y = mark.tag_xy
    leader = mark.leader
    box = mark.box
    return tag(
        "g",
        None if leader is None else tag("path", d="M{:.1f} {:.1f}L{:.1f} {:.1f}".format(*leader), class_="leader"),
        None
        if box is None
        else tag("rect", x=box[0], y=box[1], width=box[2] - box[0], height=box[3] - box[1], rx="3", class_="box"),
        badge(mark.label, mark.severity, x, y),
        class_=f"mark {severity_class(mark.severity)}{' more' if more else ''}",
        data_for=mark.label,
    )


def badge(label: str, severity: Severity | None, x: float, y: float, radius: float = TAG_RADIUS_PX) -> Markup:
    """Return a label on its sign: a disc for a fail, a ring for a warn, a square for a note or a remark."""
    if severity in (Severity.NOTE, None):
        side = 2 * radius - 2
        sign = tag("rect", x=x - side / 2, y=y - side / 2, width=side, height=side, rx="2", class_="sign")
    else:
        sign = tag("circle", cx=x, cy=y, r=radius, class_="sign")
    size = radius * (1.25 if len(label) == 1 else 1.05)
    number = tag("text", label, x=x, y=y + 0.36 * size, font_size=size, text_anchor="middle")
    return tag("g", sign, number, class_="tag")


def severity_class(severity: Severity | None) -> str:
    """Return the class that colours a mark."""
    return "remark" if severity is None else severity.word


def boxes_of(finding: Finding, report: PosterReport) -> str:
    """Return the places of a finding on the stage, as text that the page's script reads."""
    return ";".join(" ".join(f"{side:.1f}" for side in on_stage(p.box_mm, report)) for p in finding.places)


def on_stage(box_mm: Rect, report: PosterReport) -> Rect:
    """Return a box on the sheet in the units of the marks."""
    per_mm = LONG / max(report.artwork.width_mm, report.artwork.height_mm)
    x0, y0, x1, y1 = (side * per_mm for side in box_mm)
    return x0, y0, x1, y1


def _sheet(report: PosterReport) -> tuple[float, float]:
    facts = report.artwork
    per_mm = LONG / max(facts.width_mm, facts.height_mm)
    return facts.width_mm * per_mm, facts.height_mm * per_mm


def _stops(report: PosterReport, scale: Scale) -> tuple[tuple[str, float], ...]:
    """Return what is named on the scale: the stations and the back of the room, those with room."""
    names = [(station.name, station.distance_m) for station in reversed(report.stations)]
    kept: list[tuple[str, float]] = []
    for name, distance_m in (*names, ("back", scale.back_m)):
        if not kept or scale.share(distance_m) - scale.share(kept[-1][1]) > _LEAST_GAP_SHARE:
            kept.append((name, distance_m))
    return tuple(kept)


def _controls(report: PosterReport, scale: Scale) -> Markup:
    stops = [
        tag(
            "button",
            tag("span", name),
            tag("span", distance(distance_m)),
            type="button",
            class_=f"stop stop-{n}",
            data_m=f"{distance_m:.6g}",
            aria_label=f"{name}: stand {distance(distance_m)} away",
        )
        for n, (name, distance_m) in enumerate(_stops(report, scale))
    ]
    ticks = [
        tag("path", d=f"M{1000 * share:.1f} 0V10", vector_effect="non-scaling-stroke", class_=f"tick {m.tier}")
        for m in report.elements
        if 0 <= (share := scale.share(m.reach_m)) <= 1
    ]
    shown = distance(scale.near_m)
    return tag(
        "div",
        tag(
            "div",
            tag("button", "Walk back", type="button", id="play", class_="quiet-button"),
            tag("p", "from ", tag("b", shown, id="distance"), class_="distance", aria_hidden="true"),
            class_="at",
        ),
        tag(
            "div",
            tag("svg", *ticks, viewBox="0 0 1000 10", preserveAspectRatio="none", class_="ticks", aria_hidden="true"),
            tag("label", "How far away you stand", for_="slider", class_="unseen"),
            tag(
                "input",
                type="range",
                id="slider",
                min="0",
                max="200",
                step="1",
                value="0",
                aria_valuetext=shown,
                aria_describedby="how",
            ),
            tag("div", *stops, class_="stops"),
            class_="scale",
        ),
        tag("p", _first_sentence(report, scale), id="told", class_="told", aria_hidden="true"),
        tag("p", _first_sentence(report, scale), id="said", class_="unseen", role="status", aria_live="polite"),
        tag(
            "fieldset",
            tag("legend", "What is shown", class_="unseen"),
            _choice("show-lost", "Mark what is lost", checked=True),
            _choice("show-marks", "Number the findings", checked=True),
            _choice("show-true", "Sharp, as large as it looks", checked=False),
            class_="choices",
        ),
        tag(
            "p",
            "Each tick is a line of text that can be read up to there. ",
            tag("span", class_="key gone"),
            "Dashed: no longer read, or told apart. ",
            tag("span", class_="key unseen-key"),
            "Dotted: no longer noticed. The arrow keys walk too.",
            id="how",
            class_="how",
        ),
        class_="controls",
    )


def _first_sentence(report: PosterReport, scale: Scale) -> str:
    """Return what the script says of the first stand, for who runs no scripts."""
    reads = sum(m.reach_m >= scale.near_m for m in report.elements)
    said = (
        f"{reads} of {words.plural(len(report.elements), 'line')} can be read" if report.elements else "nothing to read"
    )
    return f"From {distance(scale.near_m)}: {said}."


def _choice(name: str, says: str, *, checked: bool) -> Markup:
    return tag("label", tag("input", type="checkbox", id=name, checked=checked), f" {says}")
