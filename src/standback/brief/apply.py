"""What a brief changes: settings that no option gave, and findings that it waives."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

from standback.brief.match import Matches, covers
from standback.brief.model import Brief, BriefFigure, BriefLine, Waiver
from standback.findings import Finding
from standback.settings import Settings


def with_brief(settings: Settings, brief: Brief, *, given: Collection[str] = ()) -> Settings:
    """Return the settings with a brief: an option outranks it, and it a default.

    Parameters
    ----------
    given
        Names of the fields of `settings` that options gave; these are left as they are.
    """
    said = {
        "size": brief.sheet.size,
        "bleed_mm": brief.sheet.bleed_mm,
        "stock": brief.sheet.stock,
        **{one.name: getattr(brief.viewing, one.name) for one in fields(brief.viewing)},
        "limits": replace(settings.limits, **dict(brief.limits)) if brief.limits else None,
    }
    taken: dict[str, Any] = {name: value for name, value in said.items() if value is not None and name not in given}
    return replace(settings, brief=brief, from_brief=tuple(taken), **taken)


@dataclass(frozen=True, slots=True, kw_only=True)
class Waived:
    """Findings parted by a brief.

    Attributes
    ----------
    live, waived
        Both in the order they came in; each of the waived carries its reason.
    unused
        Indices of the waivers that no finding answers to.
    """

    live: tuple[Finding, ...]
    waived: tuple[Finding, ...]
    unused: tuple[int, ...]


def split_waived(
    findings: Iterable[Finding],
    waivers: Sequence[Waiver],
    *,
    names: Mapping[str, Collection[str]],
    width_mm: float,
    height_mm: float,
) -> Waived:
    """Part what a brief waives from what stands.

    A waiver of a place or a line waives a finding only if it covers every place of it: pass findings of
    one element each, before they are joined. A finding that two waivers cover has the first one's reason.

    Parameters
    ----------
    names
        For each name that the brief gives a line, the ids of the elements that it matches.
    width_mm, height_mm
        The trim size.
    """
    live, waived = [], []
    used: set[int] = set()

    def answers(finding: Finding, waiver: Waiver) -> bool:
        if waiver.check not in (None, finding.check):
            return False
        if waiver.line is not None:
            return bool(finding.elements) and set(finding.elements) <= set(names.get(waiver.line, ()))
        where = waiver.where
        if where is None:
            return True
        boxes_mm = [place.box_mm for place in finding.places]
        return bool(boxes_mm) and all(
            covers(where, box_mm, width_mm=width_mm, height_mm=height_mm) for box_mm in boxes_mm
        )

    for finding in findings:
        by = [index for index, waiver in enumerate(waivers) if answers(finding, waiver)]
        used.update(by)
        if by:
            waived.append(replace(finding, waived=waivers[by[0]].reason))
        else:
            live.append(finding)
    return Waived(
        live=tuple(live),
        waived=tuple(waived),
        unused=tuple(index for index in range(len(waivers)) if index not in used),
    )


def unmatched_in_words(
    brief: Brief,
    *,
    lines: Matches | None = None,
    figures: Matches | None = None,
    unused_waivers: Sequence[int] = (),
) -> tuple[str, ...]:
    """Say what in the brief found nothing on the sheet to hold for, one sentence each, in its order."""
    said: list[tuple[int, str]] = []
    entries: tuple[tuple[str, Sequence[BriefLine | BriefFigure], Matches | None], ...] = (
        ("line", brief.lines, lines),
        ("figure", brief.figures, figures),
    )
    for kind, of_kind, matches in entries:
        for one in matches.unmatched if matches is not None else ():
            entry = of_kind[one.entry]
            what = f"{kind} '{entry.name}'" if entry.name else kind
            why = "all that is there has another entry" if one.taken else "nothing found is there"
            said.append((entry.row, f"the {what} ({entry.where.in_words}) matches nothing: {why}"))
    for index in unused_waivers:
        waiver = brief.waivers[index]
        said.append((waiver.row, f"the waiver ({waiver.in_words}) matches no finding: take it out"))
    return tuple(f"{brief.file}, line {row}: {text}" for row, text in sorted(said))
