"""How the elements stand to each other, all of it measured."""

from collections.abc import Sequence
from dataclasses import replace

from standback.arrangement import Arrangement, OffAxis
from standback.artwork import Artwork
from standback.brief.model import Brief
from standback.facts import TOGETHER
from standback.facts.of_line import facts_of
from standback.measure.apart import Item, item_of
from standback.measure.axes import off_axis
from standback.measure.edges import near_edges
from standback.measure.focus import measure_focus
from standback.measure.grouping import group_of, guess_groups, loose_headings
from standback.measure.margins import near_trim, outer_margins, overrun, thin_margins
from standback.measure.model import FigureMeasurement, Measurement, Measurements
from standback.measure.outline import measure_outlines
from standback.measure.torn import Sheet, torn_groups
from standback.settings import Limits, Settings, Station

WHEN_WHERE_HOW_MUCH = "when, where, how much"
MOST_FACTS = 6
"""More lines that state facts are a programme, which is no one group (ours)."""


def arrange(measured: Measurements, artwork: Artwork, settings: Settings, places: Sequence[Station]) -> Arrangement:
    """Measure groups, axes, margins, outlines, and what pulls the eye."""
    lines, figures, limits = measured.lines, measured.figures, settings.limits
    line_items, figure_items = [item_of(m) for m in lines], [item_of(f) for f in figures]
    guessed = guess_groups([*line_items, *figure_items])
    named = _named(lines, figures, [*line_items, *figure_items], settings.brief)
    stated = {} if named else stated_facts(lines, line_items)
    sheet = Sheet(
        width_mm=artwork.width_mm,
        height_mm=artwork.height_mm,
        margin_mm=limits.safe_margin_mm,
        clear_ratio=limits.group_clear_ratio,
    )
    by_id = {m.id: m for m in lines}
    pull, looks = measure_focus(lines, figures, guessed, artwork, settings, places)
    return Arrangement(
        groups=(*(group_of(members, name) for name, members in named.items()), *guessed),
        torn=(
            *torn_groups(named, line_items, figure_items, by_id, sheet),
            *(replace(t, whence="guess") for t in torn_groups(stated, line_items, figure_items, by_id, sheet)),
        ),
        headings=loose_headings(lines, line_items, measured.details),
        off_axis=_off(lines, figures, artwork, limits),
        near_trim=near_trim(lines, artwork, limits),
        thin_margins=thin_margins(lines, artwork, limits),
        margins=outer_margins(lines, artwork, limits),
        overrun=overrun(lines, artwork, limits),
        outlines=measure_outlines(figures, artwork, limits.detail_ratio),
        pull=pull,
        looks=looks,
    )


def _off(
    lines: Sequence[Measurement], figures: Sequence[FigureMeasurement], artwork: Artwork, limits: Limits
) -> tuple[OffAxis, ...]:
    """Find what stands nearly on an axis, first alone and then with others, each line once."""
    alone = off_axis(lines, figures, artwork, limits)
    named = {off.element for off in alone}
    beside = near_edges(lines, [f.figure for f in figures], artwork, limits)
    return (*alone, *(off for off in beside if not named & {off.element, *off.along}))


def stated_facts(lines: Sequence[Measurement], items: Sequence[Item]) -> dict[str, list[Item]]:
    """Return what states when, where and how much, which is looked for together; not what is meant for far."""
    stated = [(item, {*facts_of(m)} & {*TOGETHER}) for m, item in zip(lines, items, strict=True) if m.tier != "lead"]
    group = [item for item, facts in stated if facts]
    when = any(facts & {"date", "time"} for _, facts in stated)
    return {WHEN_WHERE_HOW_MUCH: group} if when and 1 < len(group) <= MOST_FACTS else {}


def _named(
    lines: Sequence[Measurement], figures: Sequence[FigureMeasurement], items: Sequence[Item], brief: Brief
) -> dict[str, list[Item]]:
    """Return what was found of each group of the brief."""
    of_figure = {figure.name: figure.group for figure in brief.figures}
    names = [*(m.group for m in lines), *(of_figure.get(f.name or "") for f in figures)]
    groups: dict[str, list[Item]] = {}
    for item, name in zip(items, names, strict=True):
        if name is not None:
            groups.setdefault(name, []).append(item)
    return groups
