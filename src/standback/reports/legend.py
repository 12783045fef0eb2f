"""The legend of a proof: what is said of findings and remarks, and where it goes beside the sheet."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from standback.checks import title_of
from standback.checks.against import against
from standback.findings import Finding, Severity
from standback.reports import words
from standback.reports.marks import TAG_RADIUS_PX, Rect
from standback.reports.wrapping import wrap

TITLE_PX, BODY_PX, SMALL_PX = 30, 25, 23
"""Smallest sizes of type: at 200 ppi 8.3 pt and more."""
LEADING = 1.3
"""Distance of baselines over size of type."""
TAG_INDENT = round(2 * TAG_RADIUS_PX) + 18
GUTTER = 48.0
"""Room around the sheet for tags."""

_COLUMN_GAP = 52.0
_NARROWEST, _WIDEST = 440.0, 640.0
"""Widths of a column of the legend, at the smallest type."""
_ENTRY_GAP = 28.0
_WIDEST_SHARE = 0.55
_HEIGHT_SHARES = tuple(n / 20 for n in range(2, 21))
_LONGEST_ASPECT = 50.0
_ANY_LINES = 9
_TRIES = (
    *((1.0, type_scale, _ANY_LINES) for type_scale in (1.25, 1.12, 1.0)),
    *((share, 1.0, _ANY_LINES) for share in (0.9, 0.8)),
    *((0.8, 1.0, lines) for lines in (4, 3, 2)),
)
"""Size of the sheet, size of type and most lines of a change, tried in turn until the legend fits."""

Measure = Callable[[str, int], float]
"""Length in px of a text at a size in px."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of type; a quiet one is greyed."""

    text: str
    size_px: int
    quiet: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What the legend says of one finding or remark; without a label, of the rest.

    Attributes
    ----------
    severity
        None for a remark.
    x, y
        Its top left corner.
    """

    label: str | None
    severity: Severity | None
    rows: tuple[Row, ...]
    x: float = 0.0
    y: float = 0.0

    @property
    def height(self) -> float:
        """Height in px."""
        return sum(row.size_px * LEADING for row in self.rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Where the sheet and the entries of the legend lie on the page."""

    frame: Rect
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A remark of the reviewer's own: the letter it goes by, where it belongs, and what it says."""

    letter: str
    place: str
    text: str


def plan(
    findings: Sequence[Finding],
    remarks: Sequence[Told],
    waived: int,
    aspect: float,
    area: Rect,
    measure: Measure,
    *,
    beside: bool,
) -> Plan:
    """Fit the sheet and the legend into an area of the page.

    Type and sheet are drawn as large as goes; then changes are cut short; what still does not fit is
    counted in the last entry, the last findings before any remark.

    Parameters
    ----------
    waived
        How many findings are not shown because they are waived.
    aspect
        Width over height of the sheet.
    beside
        The legend goes to the right of the sheet, else below it.
    """
    for share, type_scale, change_lines in _TRIES:
        frame, room = _divided(area, aspect, share, beside=beside)
        for columns in _columns(room, type_scale, beside=beside):
            width = columns[0][2] - columns[0][0] - TAG_INDENT
            setting = _Setting(room=width, scale=type_scale, most=change_lines, measure=measure)
            found = [_entry(finding, setting) for finding in findings]
            told = [_remark(remark, setting) for remark in remarks]
            nothing = [] if findings else [_note("Nothing measured falls short.", setting)]
            hidden = [_note(f"In the report: {waived} waived.", setting)] if waived else []
            entries = [*found, *nothing, *told, *hidden]
            flowed = _flowed(entries, columns)
            if len(flowed) == len(entries):
                return Plan(frame=frame, entries=flowed)
    while len(flowed) < len(entries) and (found or told):
        (found or told).pop()
        entries = [*found, *told, _note(_rest(len(findings) - len(found), len(remarks) - len(told)), setting)]
        flowed = _flowed(entries, columns)
    return Plan(frame=frame, entries=flowed)


def _rest(findings: int, remarks: int) -> str:
    counts = (words.plural(findings, "more finding"), words.plural(remarks, "more remark"))
    return f"In the report: {words.joined([c for c in counts if not c.startswith('0 ')])}."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Setting:
    """How the entries are set: width of the text, size of type, most lines of a change."""

    room: float
    scale: float
    most: int
    measure: Measure

    def rows(self, text: str, size_px: int, *, most: int = 99, quiet: bool = False) -> Iterator[Row]:
        size_px = round(size_px * self.scale)
        for line in fitted(text, size_px, self.room, most, self.measure):
            yield Row(text=line, size_px=size_px, quiet=quiet)


def _divided(area: Rect, aspect: float, share: float, *, beside: bool) -> tuple[Rect, Rect]:
    """Divide an area into the frame of the sheet and the room for the legend."""
    x0, y0, x1, y1 = area
    aspect = min(max(aspect, 1 / _LONGEST_ASPECT), _LONGEST_ASPECT)
    widest = (x1 - x0) * (_WIDEST_SHARE if beside else 1.0) - GUTTER
    tallest = (y1 - y0) * (1.0 if beside else _WIDEST_SHARE) - 2 * GUTTER
    width = share * min(widest, tallest * aspect)
    height = width / aspect
    left = x0 if beside else (x0 + x1 - width) / 2
    top = y0 + GUTTER
    frame = (left, top, left + width, top + height)
    if beside:
        return frame, (left + width + GUTTER + _COLUMN_GAP / 2, top, x1, y1)
    return frame, (x0, top + height + GUTTER, x1, y1)


def _columns(room: Rect, type_scale: float, *, beside: bool) -> Iterator[list[Rect]]:
    """Yield ways to divide the room for the legend into columns, the preferred first.

    Beside the sheet as few columns as go; below it as many as go, and no longer than they need to be.
    """
    x0, y0, x1, y1 = room
    most = max(1, int((x1 - x0 + _COLUMN_GAP) // (type_scale * _NARROWEST + _COLUMN_GAP)))
    for count in range(1, most + 1) if beside else (most,):
        step = (x1 - x0 + _COLUMN_GAP) / count
        width = min(step - _COLUMN_GAP, type_scale * _WIDEST) if beside else step - _COLUMN_GAP
        lefts = [x0 + n * (width + _COLUMN_GAP) for n in range(count)]
        for share in (1.0,) if beside else _HEIGHT_SHARES:
            yield [(left, y0, left + width, y0 + share * (y1 - y0)) for left in lefts]


def _flowed(entries: Sequence[Entry], columns: Sequence[Rect]) -> tuple[Entry, ...]:
    """Set entries one below the other, column after column, as far as they fit."""
    placed: list[Entry] = []
    for x0, y0, _, y1 in columns:
        y = y0
        while len(placed) < len(entries):
            entry = entries[len(placed)]
            if y + entry.height > y1:
                break
            placed.append(replace(entry, x=x0, y=y))
            y += entry.height + _ENTRY_GAP
    return tuple(placed)


def _entry(finding: Finding, setting: _Setting) -> Entry:
    rows = (
        *setting.rows(title_of(finding.check), TITLE_PX),
        *setting.rows(_numbers(finding), BODY_PX, quiet=True),
        *setting.rows(finding.change or finding.says, BODY_PX, most=setting.most),
    )
    return Entry(label=str(finding.rank), severity=finding.severity, rows=rows)


def _numbers(finding: Finding) -> str:
    """Return whose number fell short against what: "L04 and 2 more: reads from ..."."""
    first, *others = finding.elements or ("",)
    who = f"{first} and {len(others)} more" if others else first
    return ": ".join(part for part in (who, against(finding)) if part)


def _remark(remark: Told, setting: _Setting) -> Entry:
    rows = (
        *setting.rows(remark.place, BODY_PX, most=1, quiet=True),
        *setting.rows(remark.text, BODY_PX, most=setting.most),
    )
    return Entry(label=remark.letter, severity=None, rows=rows)


def _note(text: str, setting: _Setting) -> Entry:
    return Entry(label=None, severity=None, rows=tuple(setting.rows(text, BODY_PX, quiet=True)))


def fitted(text: str, size_px: int, room: float, most: int, measure: Measure) -> list[str]:
    """Wrap text into at most so many lines, the last ending in "..." where something was left out."""
    lines = wrap(text, room, lambda piece: measure(piece, size_px))
    if len(lines) <= most:
        return lines
    last = lines[most - 1]
    while last and measure(f"{last}...", size_px) > room:
        last = last[:-1].rstrip()
    return [*lines[: most - 1], f"{last}..."]
