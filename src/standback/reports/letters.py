"""Letter heights, or how far letters reach, as a table that is read at a glance."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor

from standback.letters.table import Letters, Row, RuleRow
from standback.numbers import distance, least_millimetres, ratio
from standback.reading import CAP_PER_EM, X_PER_EM
from standback.reports.wrapping import columns, wrap
from standback.settings import YOUNG_YEARS, Viewer

CAUTION = "Safety and accessibility signs are governed by codes and licensed practice, not by this table."

_POINT_MM = 25.4 / 72
_COLUMN = 9
_SOURCE_AT = 31
_WIDEST_LABEL = 52
_NOWHERE = "none"
_BOLD, _FAINT = "1", "2"
_VIEWERS = {
    "public": "nine readers in ten (public)",
    "older": "older readers, of {age:g} years",
    "low-vision": "readers of low vision, {acuity}",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Entry:
    """One line of the table: what it is of, the source where it is a rule's, and a cell for each column."""

    label: str
    cells: tuple[str, ...]
    source: str = ""
    style: str = ""


def render(letters: Letters, *, width: int, colour: bool) -> str:
    """Return the answer as text.

    Parameters
    ----------
    width
        Columns of the terminal; a row of distances too long for it is set in several tables.
    colour
        Whether to use escape codes for weight.
    """

    def style(text: str, codes: str) -> str:
        return f"\x1b[{codes}m{text}\x1b[0m" if colour and codes else text

    lines = [style(line, _BOLD) for line in wrap(_title(letters), width, columns)]
    lines += wrap(_drawn(letters), width, columns)
    tables = list(_tables(letters, most=max(1, (width - _WIDEST_LABEL) // _COLUMN)))
    label_room = min(_WIDEST_LABEL, width - _COLUMN * max(len(heads) for heads, _ in tables))
    for heads, blocks in tables:
        lines += ["", style(" " * label_room + "".join(head.rjust(_COLUMN) for head in heads).rstrip(), _BOLD)]
        for index, (name, entries) in enumerate(blocks):
            lines += ["", style(name, _BOLD)] if index else [style(name, _BOLD)]
            for entry in entries:
                lines += [style(line, entry.style) for line in _set(entry, label_room)]
    for note in _notes(letters):
        lines += ["", *(style(line, _FAINT) for line in wrap(note, width, columns))]
    return "\n".join([*lines, ""])


def _set(entry: _Entry, room: int) -> Iterator[str]:
    """Yield one line of the table, more where the labels need them."""
    label, source = f"  {entry.label}", entry.source
    if source and room >= _SOURCE_AT + columns(source):
        label, source = label.ljust(_SOURCE_AT) + source, ""
    first, *more = wrap(label.strip(), room - 4, columns) if columns(label) > room else [label.strip()]
    yield (f"  {first}".ljust(room) + "".join(cell.rjust(_COLUMN) for cell in entry.cells)).rstrip()
    yield from (f"    {line}" for line in [*more, *([source] if source else [])])


def _title(letters: Letters) -> str:
    if letters.reaches:
        return f"How far letters {letters.reaches[0].given:g} mm tall are read"
    return "How tall letters must be to be read"


def _drawn(letters: Letters) -> str:
    drawn = f"{ratio(letters.type.ratio)} contrast, strokes {letters.type.stroke_share:g} of the letter height"
    settings = letters.settings
    said = [drawn, f"{settings.illuminance_lx:g} lx on the sheet"]
    if settings.age_years != YOUNG_YEARS:
        said.append(f"a public of {settings.age_years:g} years")
    if settings.acuity_logmar > 0:
        said.append(f"an acuity of logMAR {settings.acuity_logmar:.2g}")
    return ", ".join(said)


def _tables(letters: Letters, *, most: int) -> Iterator[tuple[list[str], list[tuple[str, list[_Entry]]]]]:
    """Yield tables of at most so many columns: their heads, and named blocks of lines."""
    if letters.reaches:
        far = sorted(letters.rules, key=lambda rule: -(rule.distance_m or 0.0))
        yield (
            ["up to"],
            [
                ("Read by", _by_viewer(letters, letters.reaches, _metres)),
                ("Allowed by handbooks and standards", [_rule([rule], _metres_of) for rule in far]),
            ],
        )
        return
    for start in range(0, len(letters.rows), most):
        rows = letters.rows[start : start + most]
        by_name: dict[str, list[RuleRow]] = {}
        for rule in letters.rules:
            by_name.setdefault(rule.name, []).append(rule)
        asked = [found[start : start + most] for found in by_name.values()]
        asked.sort(key=lambda found: found[0].height_mm)
        rules = [_rule(found, _millimetres_of) for found in asked]
        yield (
            [distance(row.given) for row in rows],
            [
                ("To be read by", _by_viewer(letters, rows, least_millimetres)),
                ("For nine readers in ten, set in type of", _type_sizes(letters, rows)),
                ("Asked for by handbooks and standards", rules),
            ],
        )


def _by_viewer(letters: Letters, rows: Sequence[Row], write: Callable[[float], str]) -> list[_Entry]:
    """Set the young eye's limit first, then each viewer, the sharpest first."""

    def cells(values: Sequence[float | None]) -> tuple[str, ...]:
        return tuple(_NOWHERE if value is None else write(value) for value in values)

    entries = [_Entry(label="a young, sharp eye, only just", cells=cells([row.limit for row in rows]))]
    order = sorted(range(len(letters.settings.viewers)), key=lambda i: letters.settings.viewers[i].k)
    for index in order:
        viewer = letters.settings.viewers[index]
        values = [row.by_viewer[index] for row in rows]
        entries.append(_Entry(label=_named(viewer), cells=cells(values), style=_BOLD if index == 0 else ""))
    return entries


def _named(viewer: Viewer) -> str:
    acuity = f"6/{6 * 10**viewer.acuity_logmar:.2g}"
    return _VIEWERS[viewer.name].format(age=viewer.age_years, acuity=acuity)


def _type_sizes(letters: Letters, rows: Sequence[Row]) -> list[_Entry]:
    """Set the public's heights as type sizes of a common face."""

    def cells(per_em: float) -> tuple[str, ...]:
        heights = [row.by_viewer[0] for row in rows]
        return tuple(_NOWHERE if h is None else f"{ceil(h / per_em / _POINT_MM)} pt" for h in heights)

    return [
        _Entry(label="capitals, about", cells=cells(CAP_PER_EM)),
        _Entry(label="lowercase, about", cells=cells(X_PER_EM)),
    ]


def _rule(found: Sequence[RuleRow], write: Callable[[RuleRow], str]) -> _Entry:
    return _Entry(label=found[0].name, source=found[0].short_source, cells=tuple(map(write, found)))


def _notes(letters: Letters) -> Iterator[str]:
    if letters.doubts:
        yield "Doubt: this contrast is below what the reading model was measured for."
    yield (
        "Letter height is that of the capitals, or the x-height where most of a line is lowercase. The rules say "
        f"nothing of contrast or light; --json names their sources in full. {CAUTION}"
    )


def _metres(distance_m: float) -> str:
    """Write a distance with its tenths, so that a column of them stands in line."""
    return distance(distance_m) if distance_m < 1 else f"{floor(distance_m * 10 + 1e-9) / 10:.1f} m"


def _metres_of(rule: RuleRow) -> str:
    return _NOWHERE if rule.distance_m is None else _metres(rule.distance_m)


def _millimetres_of(rule: RuleRow) -> str:
    return least_millimetres(rule.height_mm)
