"""One entry of a brief each: a line, a figure, a waiver, a remark; and which are of one group."""

from collections.abc import Sequence

from standback.brief.model import (
    ROLES,
    STATIONS,
    TIERS,
    BriefFigure,
    BriefLine,
    Remark,
    Waiver,
    Where,
)
from standback.brief.tables import Table, guess, kind_of, shown
from standback.checks import CHECKS
from standback.places import PLACES, BoxMm, read_place

_BOX = "four numbers in mm, left, top, right, bottom"
_BOX_EXAMPLE = "[40, 48, 380, 110]"
_PLACE = 'words such as "top left", or a point such as [210, 80]: mm from the left, mm from the top'
_MEMBERS = 'a list of names in quotes, such as ["day", "hour"]'


def read_line(table: Table) -> BriefLine:
    """Read one of [[lines]]."""
    return BriefLine(
        where=_needed_where(table),
        name=table.text("name", "title"),
        tier=table.choice("tier", TIERS),
        station=table.choice("station", STATIONS),
        role=table.choice("role", ROLES),
        group=table.text("group", "when"),
        wording=table.text("wording", "what the line says"),
        row=table.row,
    )


def read_figure(table: Table) -> BriefFigure:
    """Read one of [[figures]]."""
    box_mm = _box(table)
    if box_mm is None:
        raise table.wrong(f"it wants a box: {_BOX}, such as {_BOX_EXAMPLE}")
    return BriefFigure(
        where=Where(box_mm=box_mm),
        name=table.needed_text("name", "singer"),
        group=table.text("group", "when"),
        row=table.row,
    )


def read_remark(table: Table) -> Remark:
    """Read one of [[remarks]]."""
    where = _needed_where(table)
    return Remark(where=where, text=table.needed_text("text", "the date is lost here"), row=table.row)


def read_waiver(table: Table, lines: Sequence[BriefLine]) -> Waiver:
    """Read one of [[waivers]]; the lines are those that it can name."""
    waiver = Waiver(
        reason=table.needed_text("reason", "the small print is the law's"),
        check=table.choice("check", [check.id for check in CHECKS]),
        where=_where(table),
        line=table.text("line", "title"),
        row=table.row,
    )
    if waiver.line is not None:
        names = [line.name for line in lines if line.name is not None]
        if waiver.where is not None:
            raise table.wrong_key("line", f"{table.title} has a box or place already: leave out the line")
        if waiver.line not in names:
            why = f"no line in this brief is named {_unknown(waiver.line, names)}"
            raise table.wrong_value("line", why=why)
    elif waiver.check is None and waiver.where is None:
        raise table.wrong("it wants to know what is waived: a check, a line, a box or a place")
    return waiver


def refuse_same_names(tables: Sequence[Table]) -> None:
    """Refuse a name that two lines or figures have."""
    rows: dict[str, int] = {}
    for table in tables:
        name = table.text("name", "title")
        if name in rows:
            raise table.wrong_value("name", why=f"name: {shown(name)} is taken, in line {rows[name]}")
        if name is not None:
            rows[name] = table.row


def read_groups(table: Table, entries: Sequence[BriefLine | BriefFigure]) -> dict[str, str]:
    """Return the group of each name that [groups] puts into one."""
    groups = {one.name: one.group for one in entries if one.name is not None}
    for group, members in table.values.items():
        if not isinstance(members, list):
            raise table.wrong_value(group, why=f"{shown(group)} wants {_MEMBERS}; this is {kind_of(members)}")
        for index, member in enumerate(members):
            if not isinstance(member, str):
                why = f"{shown(group)} wants {_MEMBERS}; this is {kind_of(member)}"
            elif member not in groups:
                why = f"nothing in this brief is named {_unknown(member, list(groups))}"
            elif groups[member] not in (None, group):
                why = f"{shown(member)} is in the group {shown(str(groups[member]))} already: leave it in one"
            else:
                groups[member] = group
                continue
            raise table.wrong_value(group, index, why=why)
    return {name: group for name, group in groups.items() if group is not None}


def _unknown(name: str, known: Sequence[str]) -> str:
    return f"{shown(name)}; {guess(name, known, otherwise='give what you mean that name first')}"


def _needed_where(table: Table) -> Where:
    where = _where(table)
    if where is None:
        raise table.wrong(f'it wants to know where: box = {_BOX_EXAMPLE} or place = "top left"')
    return where


def _where(table: Table) -> Where | None:
    box_mm = _box(table)
    place = table.values.get("place")
    if place is None or place == "":
        return None if box_mm is None else Where(box_mm=box_mm)
    if box_mm is not None:
        raise table.wrong_key("place", f"{table.title} has a box already: leave out the place")
    if isinstance(place, list):
        x, y = table.lengths_mm("place", 2, _PLACE)
        return Where(point_mm=(x, y))
    if not isinstance(place, str):
        raise table.not_of_kind("place", _PLACE)
    words = read_place(place)
    if words is None:
        why = f"place: there is no {shown(place)} on a sheet; {guess(place, PLACES)}"
        raise table.wrong_value("place", why=why)
    return Where(words=words)


def _box(table: Table) -> BoxMm | None:
    if "box" not in table.values:
        return None
    left, top, right, bottom = table.lengths_mm("box", 4, f"{_BOX}, such as {_BOX_EXAMPLE}")
    if right > left and bottom > top:
        return left, top, right, bottom
    why = f"box wants {_BOX}: the right beyond the left, the bottom below the top"
    if right > 0 and bottom > 0:
        edges = ", ".join(f"{side:g}" for side in (left, top, left + right, top + bottom))
        why = f"{why}; if these are left, top, width, height, write [{edges}]"
    raise table.wrong_value("box", why=why)
