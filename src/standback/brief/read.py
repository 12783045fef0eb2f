"""A brief's text -> what it says, or the one line that tells where it is wrong."""

from collections.abc import Mapping
from dataclasses import replace

from standback.brief import syntax
from standback.brief.entries import (
    read_figure,
    read_groups,
    read_line,
    read_remark,
    read_waiver,
    refuse_same_names,
)
from standback.brief.limits import DEFAULTS, read_limits
from standback.brief.model import Brief, BriefSheet, Viewing
from standback.brief.tables import Table, guess, kind_of, shown
from standback.errors import UsageError
from standback.settings import VIEWERS
from standback.sheet import parse_bleed_mm, parse_distance_m, parse_size
from standback.sight import parse_acuity_logmar, parse_age_years, parse_light_lx
from standback.stock import STOCKS

_SECTIONS: Mapping[str, tuple[str, ...]] = {
    "sheet": ("size", "bleed", "stock"),
    "viewing": ("from", "light", "age", "acuity", "viewer"),
    "limits": tuple(DEFAULTS),
    "lines": ("box", "place", "name", "tier", "station", "role", "group", "wording"),
    "figures": ("box", "name", "group"),
    "groups": (),
    "waivers": ("check", "box", "place", "line", "reason"),
    "remarks": ("box", "place", "text"),
}
"""Each section and its keys; those of [groups] are names of one's own."""
_MANY = ("lines", "figures", "waivers", "remarks")
"""The sections there can be several of."""
_TITLES = {section: f"[[{section}]]" if section in _MANY else f"[{section}]" for section in _SECTIONS}


def read_brief(text: str, *, file: str) -> Brief:
    """Read a brief.

    Parameters
    ----------
    file
        Its name, for messages.

    Raises
    ------
    UsageError
        In one line: file, line, column, what is wrong, and the nearest thing it could have been.
    """
    values, positions = syntax.parsed(text, file=file)
    top = Table(file=file, positions=positions, path=(), title="", values=values)
    _check_sections(top)
    sheet, viewing, limits, groups = (_one(top, s) for s in ("sheet", "viewing", "limits", "groups"))
    in_lines, in_figures, in_waivers, in_remarks = (_several(top, section) for section in _MANY)
    lines = [read_line(table) for table in in_lines]
    figures = [read_figure(table) for table in in_figures]
    refuse_same_names([*in_lines, *in_figures])
    group_of = read_groups(groups, [*lines, *figures])
    return Brief(
        file=file,
        sheet=BriefSheet(
            size=sheet.parsed("size", "A2", parse_size),
            bleed_mm=sheet.parsed("bleed", "3 mm", parse_bleed_mm),
            stock=STOCKS.get(sheet.choice("stock", tuple(STOCKS)) or ""),
        ),
        viewing=Viewing(
            far_m=viewing.parsed("from", "5 m", parse_distance_m),
            illuminance_lx=viewing.parsed("light", "150 lx", parse_light_lx, number_too=True),
            age_years=viewing.parsed("age", "75", parse_age_years, number_too=True),
            acuity_logmar=viewing.parsed("acuity", "6/12", parse_acuity_logmar, number_too=True),
            judged_for=viewing.choice("viewer", VIEWERS),
        ),
        limits=read_limits(limits),
        lines=tuple(replace(one, group=group_of.get(one.name or "", one.group)) for one in lines),
        figures=tuple(replace(one, group=group_of.get(one.name, one.group)) for one in figures),
        waivers=tuple(read_waiver(table, lines) for table in in_waivers),
        remarks=tuple(read_remark(table) for table in in_remarks),
    )


def _one(top: Table, section: str) -> Table:
    return _checked(replace(top, path=(section,), title=_TITLES[section], values=top.values.get(section, {})))


def _several(top: Table, section: str) -> list[Table]:
    return [
        _checked(replace(top, path=(section, index), title=_TITLES[section], values=values))
        for index, values in enumerate(top.values.get(section, []))
    ]


def _checked(table: Table) -> Table:
    """Return a table, once all its keys are known ones."""
    known = _SECTIONS[str(table.path[0])]
    for key in table.values if known else ():
        if key not in known:
            meant = guess(key, known, otherwise=_home(key))
            raise table.wrong_key(key, f"there is no key {shown(key)} in {table.title}; {meant}")
    return table


def _home(key: str) -> str | None:
    """Say which section a key belongs in, None if in none of them."""
    homes = [_TITLES[section] for section, keys in _SECTIONS.items() if key in keys]
    return f"it belongs in {homes[0]}" if homes else None


def _check_sections(top: Table) -> None:
    """Refuse whatever at the top of a brief is no section of ours, or in the wrong brackets."""
    for name, value in top.values.items():
        kind = kind_of(value)
        if name not in _SECTIONS:
            raise _no_section(top, name, kind)
        wanted, brackets = (
            ("a list of sections", "double brackets: there can be several")
            if name in _MANY
            else ("a section", "single brackets: there is only one")
        )
        if kind == wanted or (name in _MANY and value == []):
            continue
        if kind in ("a section", "a list of sections"):
            raise top.wrong_key(name, f"write {_TITLES[name]}, the name in {brackets}")
        why = f"{name} is a section: write {_TITLES[name]}, and its keys below it; this is {kind}"
        raise top.wrong_value(name, why=why)


def _no_section(top: Table, name: str, kind: str) -> UsageError:
    meant = guess(name, tuple(_SECTIONS), shown_as=_TITLES)
    if kind in ("a section", "a list of sections"):
        return top.wrong_key(name, f"there is no section {shown(name)} in a brief; {meant}")
    why = f"there is no key {shown(name)} before the sections; {_home(name) or meant}"
    return top.wrong_key(name, why)
