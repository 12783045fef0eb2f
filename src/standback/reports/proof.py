"""The proof: the artwork, quietened, with numbered marks and a legend, composed for one A4 page."""

from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

from standback import __version__
from standback.artwork.model import Artwork, Srgb8Picture
from standback.brief.model import Remark
from standback.findings import PosterReport, Severity
from standback.light import linear_to_srgb1, luminance1
from standback.numbers import distance
from standback.reports import words
from standback.reports.legend import (
    BODY_PX,
    GUTTER,
    LEADING,
    SMALL_PX,
    TAG_INDENT,
    Entry,
    Told,
    fitted,
    plan,
)
from standback.reports.lettering import Colour, as_png, face, length, letter
from standback.reports.marks import TAG_RADIUS_PX, Mark, place_marks, subjects_of

PAGE_PPI = 200
LONG_PX, SHORT_PX = 2339, 1654
"""A4 at 200 ppi."""

_MARGIN = 84
_NAME_PX = 42
_LONGEST_NAME = 200
_TAG_SAMPLES = 4
_DASH = 7
_WHITE: Colour = (255, 255, 255)
_INK: Colour = (30, 29, 27)
_QUIET: Colour = (104, 101, 95)
_HAIR: Colour = (198, 194, 187)
_SEVERITY: dict[Severity, Colour] = {
    Severity.FAIL: (168, 36, 24),
    Severity.WARN: (148, 88, 0),
    Severity.NOTE: (42, 88, 122),
}
_REMARK: Colour = (78, 76, 72)
_VERDICT: dict[str, Colour] = {"fail": _SEVERITY[Severity.FAIL], "pass": (38, 100, 62)}

_BRACKET: Colour = (126, 122, 114)
_BRACKET_OFF, _BRACKET_TICK = 14, 6
_MOST_BRACKETS = 12
"""More groups than this would crowd the sheet: then none is drawn (ours)."""

_KEPT_CONTRAST = 0.65
"""Share of the artwork's own contrast that the proof keeps, all of it towards white (ours)."""
_KEPT_COLOUR = 0.65
"""Share of the artwork's own colour that the proof keeps (ours)."""


def draw_proof(artwork: Artwork, report: PosterReport) -> bytes:
    """Draw the proof of one artwork.

    Returns
    -------
    A PNG that prints on A4: landscape with the legend to the right for upright and square sheets,
    upright with the legend below for landscape ones.
    """
    beside = artwork.height_mm >= artwork.width_mm
    width, height = (LONG_PX, SHORT_PX) if beside else (SHORT_PX, LONG_PX)
    page = Image.new("RGB", (width, height), _WHITE)
    draw = ImageDraw.Draw(page)
    top, foot = _draw_head(draw, report, width), _draw_foot(draw, report, width, height)
    area = (float(_MARGIN), top, float(width - _MARGIN), foot)
    live = [finding for finding in report.findings if finding.waived is None]
    waived = len(report.findings) - len(live)
    aspect = artwork.width_mm / artwork.height_mm
    remarks = [_told(index, remark, report) for index, remark in enumerate(report.remarks)]
    layout = plan(live, remarks, waived, aspect, area, length, beside=beside)
    x0, y0, x1, y1 = (round(side) for side in layout.frame)
    page.paste(Image.fromarray(_quietened(artwork, max(x1 - x0, 1), max(y1 - y0, 1))), (x0, y0))
    draw.rectangle((x0 - 1, y0 - 1, x1, y1), outline=_HAIR)
    _draw_brackets(draw, report, layout.frame)
    inked = [line.box_mm for line in report.elements]
    explained = {entry.label for entry in layout.entries}
    subjects = [one for one in subjects_of(report) if one.label in explained]
    marks = place_marks(subjects, inked, report.artwork, layout.frame, GUTTER - 6)
    for mark in reversed(marks):
        _draw_box(draw, mark)
    for mark in reversed(marks):
        _draw_tag(page, mark.tag_xy, mark.label, mark.severity)
    for entry in layout.entries:
        _draw_entry(page, draw, entry)
    return as_png(page, PAGE_PPI)


def _draw_brackets(draw: ImageDraw.ImageDraw, report: PosterReport, frame: tuple[float, float, float, float]) -> None:
    """Draw a thin bracket left of each group, or of the parts of a torn one.

    The brief's groups where it names any, else those that a viewer sees.
    """
    groups = [group for group in report.arrangement.groups if len(group.elements) > 1]
    groups = [group for group in groups if group.whence == "brief"] or groups
    if len(groups) > _MOST_BRACKETS:
        return
    facts = report.artwork
    per_x, per_y = (frame[2] - frame[0]) / facts.width_mm, (frame[3] - frame[1]) / facts.height_mm
    box_of = {m.id: m.box_mm for m in report.found}
    lines = {m.id for m in report.elements}
    torn = {one.group: one for one in report.arrangement.torn}
    for group in groups:
        apart = torn.get(group.name) if group.name else None
        for part in (apart.part, apart.rest) if apart else (group.elements,):
            # beside the lines; a figure may reach far beyond them
            text = [element for element in part if element in lines] or part
            left, tops, _, bottoms = zip(*(box_of[element] for element in text), strict=True)
            x = round(max(frame[0] + min(left) * per_x - _BRACKET_OFF, frame[0] + 2))
            y0, y1 = round(frame[1] + min(tops) * per_y), round(frame[1] + max(bottoms) * per_y)
            bracket = [(x + _BRACKET_TICK, y0), (x, y0), (x, y1), (x + _BRACKET_TICK, y1)]
            draw.line(bracket, fill=_BRACKET, width=2)


def _told(index: int, remark: Remark, report: PosterReport) -> Told:
    place = words.remark_place(remark, report.artwork)
    return Told(letter=words.remark_letter(index), place=place, text=remark.text)


def _draw_head(draw: ImageDraw.ImageDraw, report: PosterReport, width: int) -> float:
    """Draw file, verdict, distance, size and summary; return where they end."""
    y = float(_MARGIN)
    room = width - 2 * _MARGIN
    verdict_length = length(report.verdict, _NAME_PX)
    letter(draw, _MARGIN, y, _end_of(Path(report.file).name, room - verdict_length - 40), _NAME_PX, _INK)
    colour = _VERDICT[report.verdict]
    letter(draw, width - _MARGIN - verdict_length, y, report.verdict, _NAME_PX, colour)
    y += _NAME_PX * LEADING + 6
    how = "assumed" if report.far_assumed else "given"
    facts = (
        f"judged for a viewer {distance(report.stations[0].distance_m)} away ({how})",
        words.printed(report.artwork),
        words.tally(report.findings),
    )
    for text, colour in ((" · ".join(facts), _QUIET), (report.summary, _INK)):
        for line in fitted(text, BODY_PX, room, 2, length):
            letter(draw, _MARGIN, y, line, BODY_PX, colour)
            y += BODY_PX * LEADING
    return y


def _end_of(name: str, room: float) -> str:
    """Return a file name, or as much of its end as fits."""
    if length(name, _NAME_PX) <= room:
        return name
    end = name[-_LONGEST_NAME:]
    while end and length(f"...{end}", _NAME_PX) > room:
        end = end[1:]
    return f"...{end}"


def _draw_foot(draw: ImageDraw.ImageDraw, report: PosterReport, width: int, height: int) -> float:
    """Draw what carries, the caution and who made the proof; return where they begin."""
    room = width - 2 * _MARGIN
    maker = f"standback {__version__}"
    y = float(height - _MARGIN - SMALL_PX)
    letter(draw, width - _MARGIN - length(maker, SMALL_PX), y, maker, SMALL_PX, _QUIET)
    for line in reversed(fitted(words.CAUTION, SMALL_PX, room - length(maker, SMALL_PX) - 40, 3, length)):
        letter(draw, _MARGIN, y, line, SMALL_PX, _QUIET)
        y -= SMALL_PX * LEADING
    carries = "; ".join(words.carries(item, report) for item in report.carries)
    if carries:
        y -= 10
        for line in reversed(fitted(f"What carries: {carries}", SMALL_PX, room, 2, length)):
            letter(draw, _MARGIN, y, line, SMALL_PX, _INK)
            y -= SMALL_PX * LEADING
    return y


def _draw_box(draw: ImageDraw.ImageDraw, mark: Mark) -> None:
    """Draw what a mark encloses: a whole box for a fail, a broken one for a remark, corners for the rest."""
    if mark.box is None:
        return
    x0, y0, x1, y1 = (round(side) for side in mark.box)
    reach = min(16, (x1 - x0) // 3, (y1 - y0) // 3)
    strokes: list[tuple[int, int, int, int]]
    if mark.severity is Severity.FAIL:
        strokes = [(x0, y0, x1, y0), (x1, y0, x1, y1), (x0, y1, x1, y1), (x0, y0, x0, y1)]
    elif mark.severity is None:
        dash = _DASH if min(x1 - x0, y1 - y0) > 4 * _DASH else max(x1 - x0, y1 - y0)
        across = [(x, min(x + dash, x1)) for x in range(x0, x1, 2 * dash)]
        down = [(y, min(y + dash, y1)) for y in range(y0, y1, 2 * dash)]
        strokes = [(start, y, end, y) for y in (y0, y1) for start, end in across]
        strokes += [(x, start, x, end) for x in (x0, x1) for start, end in down]
    else:
        strokes = [
            stroke
            for x, inward_x in ((x0, reach), (x1, -reach))
            for y, inward_y in ((y0, reach), (y1, -reach))
            for stroke in ((x, y, x + inward_x, y), (x, y, x, y + inward_y))
        ]
    if mark.leader:
        xa, ya, xb, yb = (round(end) for end in mark.leader)
        strokes.append((xa, ya, xb, yb))
    weight = 3 if mark.severity in (Severity.FAIL, Severity.WARN) else 2
    for colour, line_weight in ((_WHITE, weight + 2), (_colour_of(mark.severity), weight)):
        for stroke in strokes:
            draw.line(stroke, fill=colour, width=line_weight)


def _colour_of(severity: Severity | None) -> Colour:
    return _REMARK if severity is None else _SEVERITY[severity]


def _draw_tag(page: Image.Image, centre: tuple[float, float], label: str, severity: Severity | None) -> None:
    """Draw a label: on a full disc for a fail, in a ring for a warn, in a thin square for a note.

    A remark's stands on a full square.
    """
    side = (round(2 * TAG_RADIUS_PX) + 4) * _TAG_SAMPLES
    edge = 2 * _TAG_SAMPLES
    weight = {Severity.WARN: 4, Severity.NOTE: 2}.get(severity or Severity.FAIL, 0) * _TAG_SAMPLES
    halo, shape = Image.new("L", (side, side), 0), Image.new("L", (side, side), 0)
    full = severity in (Severity.FAIL, None)
    for picture, inset, fill, line in ((halo, 0, 255, 0), (shape, edge, 255 if full else 0, weight)):
        pen = ImageDraw.Draw(picture)
        outlined = pen.rectangle if severity in (Severity.NOTE, None) else pen.ellipse
        outlined((inset, inset, side - inset, side - inset), fill=fill, outline=255, width=line)
    font = face((23 if len(label) == 1 else 21) * _TAG_SAMPLES)
    x0, y0, x1, y1 = font.getbbox(label, anchor="ls")
    at = (side / 2 - (x0 + x1) / 2, side / 2 - (y0 + y1) / 2)
    pen.text(at, label, font=font, fill=0 if full else 255, anchor="ls")
    small = side // _TAG_SAMPLES
    left, top = round(centre[0] - small / 2), round(centre[1] - small / 2)
    for picture, colour in ((halo, _WHITE), (shape, _colour_of(severity))):
        mask = picture.resize((small, small), Image.Resampling.BOX)
        page.paste(colour, (left, top, left + small, top + small), mask)


def _draw_entry(page: Image.Image, draw: ImageDraw.ImageDraw, entry: Entry) -> None:
    if entry.label is not None:
        centre = (entry.x + TAG_RADIUS_PX, entry.y + entry.rows[0].size_px * LEADING / 2)
        _draw_tag(page, centre, entry.label, entry.severity)
    y = entry.y
    for row in entry.rows:
        letter(draw, entry.x + TAG_INDENT, y, row.text, row.size_px, _QUIET if row.quiet else _INK)
        y += row.size_px * LEADING


def _quietened(artwork: Artwork, width: int, height: int) -> Srgb8Picture:
    """Return the trimmed sheet, averaged in linear light, then paler and greyer, so that marks stand out."""
    levels = [level for level in artwork.levels if level.shape[1] >= width]
    linear = (levels or artwork.levels)[-1 if levels else 0].linear
    way = Image.Resampling.BOX if levels else Image.Resampling.BICUBIC
    planes = [Image.fromarray(linear[..., n]).resize((width, height), way) for n in range(3)]
    shrunk = np.stack([np.asarray(plane) for plane in planes], axis=-1)
    grey = linear_to_srgb1(luminance1(shrunk))[..., None]
    muted = grey + _KEPT_COLOUR * (linear_to_srgb1(shrunk) - grey)
    pale = 1 - _KEPT_CONTRAST * (1 - muted)
    codes: Srgb8Picture = np.rint(np.clip(pale, 0, 1) * 255).astype(np.uint8)
    return codes
