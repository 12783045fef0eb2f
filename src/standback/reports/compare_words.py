"""Wording of what became of a poster from one draft to the next."""

from collections.abc import Sequence

from standback.checks import check_of
from standback.checks.against import against, quantity
from standback.checks.distance import judged, reaches
from standback.drafts.model import Comparison, Fate, Fault, Outcome, Pair, Value
from standback.drafts.values import JUDGED_BY, changed, fell
from standback.elements import Srgb8
from standback.findings import PosterReport, Severity
from standback.light import to_hex
from standback.measure.model import Measurement
from standback.reports import words

MOST_NAMED = 3
"""Elements named in one sentence; the rest are counted (ours)."""
MOVED_SHARE = 0.02
"""What moved by less than this share of the sheet's diagonal has stayed where it was (ours)."""

NOTHING = "nothing"
SECTIONS = (
    ("Mended", (Fate.MENDED,)),
    ("Gone with its line or patch", (Fate.GONE,)),
    ("Got worse", (Fate.WORSE,)),
    ("New", (Fate.NEW,)),
    ("Stayed", (Fate.EASED, Fate.STAYED)),
)
"""What every report of a comparison is made up of, in this order."""

_NUMBERS = {
    "letter_mm": "letters {}",
    "stroke_mm": "strokes {}",
    "feature_mm": "strokes {}",
    "ratio": "contrast {}",
    "ratio_printed": "contrast as printed {}",
    "ratio_worst": "contrast at its worst {}",
    "reach_m": "reads from {}",
    "resolve_m": "told apart from {}",
    "carry_m": "noticed from {}",
}
_TOLD_WITH = {"stroke_mm": "letter_mm", "ratio_worst": "ratio", "ratio_printed": "ratio"}
"""Numbers that go along with another one, and are told only where that one did not change."""


def verdict(comparison: Comparison) -> str:
    """Return what came of it, in one clause."""
    count = sum(outcome.counts for outcome in comparison.outcomes)
    worse = f"{words.plural(count, 'thing')} got worse" if comparison.worse else "nothing got worse"
    after = comparison.after
    if after.gate == "off":
        return f"{worse}; the gate is off"
    if after.passed:
        return f"{worse}, {'though' if comparison.worse else 'and'} the redraft passes"
    return f"{worse}, {'and' if comparison.worse else 'but'} the redraft fails"


def summary(comparison: Comparison) -> str:
    """Return two sentences: what became of the findings, and how many lines are read from where they should be."""
    findings = [finding for finding in comparison.before.findings if finding.waived is None]
    fates = [comparison.fate_of(finding) for finding in findings]
    mended, gone = fates.count(Fate.MENDED), fates.count(Fate.GONE)
    stay = len(fates) - mended - gone
    none = "none is wholly mended" if comparison.of(Fate.MENDED) else "none is mended"
    parts = [f"{mended} {'is' if mended == 1 else 'are'} mended"] if mended else [none]
    parts += [f"{gone} went with what {'it was' if gone == 1 else 'they were'} on"] if gone else []
    parts += [f"{stay} {'stays' if stay == 1 else 'stay'}"] if stay and (mended or gone) else []
    first = f"Of {words.plural(len(fates), 'finding')} {words.joined(parts)}." if fates else "There were no findings."
    new = len(comparison.of(Fate.NEW, Fate.WORSE)) if not fates else len(comparison.of(Fate.NEW))
    if new:
        first = f"{first[:-1]}; {new} {'is' if new == 1 else 'are'} new."
    before, after = (_read(poster) for poster in (comparison.before, comparison.after))
    count = len(judged(comparison.before.elements))
    lines = "line could" if count == 1 else "lines could"
    return f"{first} Before, {before} {lines} be read from where they should be; now {after} can."


def _read(poster: PosterReport) -> str:
    lines = judged(poster.elements)
    return f"{sum(reaches(line) for line in lines)} of {len(lines)}"


def judged_for(comparison: Comparison, assumed: str | None = None) -> str:
    """Return from where both drafts were judged; `assumed` is what is said where nobody gave the distance."""
    after = comparison.after
    judged = words.judged_for(after) if assumed is None else words.judged_for(after, assumed=assumed)
    return f"both {judged}"


def printed(comparison: Comparison) -> tuple[str, ...]:
    """Return the printed size, or both where they differ."""
    before, after = (words.printed(poster.artwork) for poster in (comparison.before, comparison.after))
    return (before,) if before == after else (f"before {before}", f"after {after}")


def element(pair: Pair | None, comparison: Comparison, *, placed: bool = True) -> str:
    """Return an element by its names in both drafts: "L03, now L01 (middle left, 8.5 mm x-height)"."""
    if pair is None:
        return "the whole sheet"
    ids = [name for name in (pair.before, pair.after) if name is not None]
    name = ids[0] if len(set(ids)) == 1 else ", now ".join(ids)
    poster = comparison.after if pair.after is not None else comparison.before
    m = next(m for m in poster.found if m.id == ids[-1])
    if not placed:
        return name
    if isinstance(m, Measurement):
        return f"{name} ({words.line_place(m, poster.artwork)})"
    return f"{name} ({words.where(m.box_mm, poster.artwork)})"


def elements(outcome: Outcome, comparison: Comparison) -> str:
    """Return what an outcome is about, the worst first."""
    first, *others = outcome.faults
    said = element(first.pair, comparison)
    if not others:
        return said
    named = [element(fault.pair, comparison, placed=False) for fault in others[:MOST_NAMED]]
    rest = len(others) - len(named)
    also = words.joined([*named, words.plural(rest, "more", "more")] if rest else named)
    count = len(outcome.faults)
    what = (
        words.plural(count, "line")
        if first.pair is not None and first.pair.kind == "line"
        else words.plural(count, "patch", "patches")
    )
    return f"{what}, the worst {said}; also {also}"


def severity(outcome: Outcome) -> Severity:
    """Return how bad it is, or was."""
    return max(fault.found.severity for fault in (*outcome.faults, *outcome.also))


def numbers(fault: Fault) -> str:
    """Return the number that fell short, before and after, against the one needed; "" without a number."""
    unit = fault.found.unit
    said = between(fault.measured_before, fault.measured_after, unit)
    before = "before " if fault.fate is Fate.MENDED and fault.measured_after is None else ""
    if None in (fault.measured_before, fault.measured_after):
        return f"{before}{against(fault.found) or ''}".rstrip() if said else ""
    needed = [quantity(value, unit) for value in (fault.needed_before, fault.needed_after) if value is not None]
    if not said or not needed:
        return ""
    check = check_of(fault.check)
    return f"{check.measured_as.format(said)}, {check.needed_as.format(', now '.join(dict.fromkeys(needed)))}"


def between(before: float | None, after: float | None, unit: str | None) -> str:
    """Return two numbers as "1.55:1 → 9.69:1", one if they read the same or only one is known."""
    known = [quantity(value, unit) for value in (before, after) if value is not None]
    return " → ".join(dict.fromkeys(known))


def also(outcome: Outcome) -> str:
    """Return the other faults of the worst element with the same fate, in one sentence."""
    said = [numbers(fault) or check_of(fault.check).title.lower() for fault in outcome.of_worst]
    return f"Also {'; '.join(said)}." if said else ""


def told(outcome: Outcome) -> tuple[str, ...]:
    """Return what is told of an outcome beside its elements: the numbers first, then more, "" for nothing."""
    found = outcome.faults[0].found
    fresh = outcome.fate in (Fate.WORSE, Fate.NEW)
    return (
        numbers(outcome.faults[0]),
        also(outcome),
        "Better than it was, and not enough." if outcome.fate is Fate.EASED else "",
        found.says if fresh else "",
        f"Waived: {found.waived}" if found.waived is not None else "",
    )


def otherwise(comparison: Comparison) -> tuple[str, ...]:
    """Return what changed beside the findings, a sentence each."""
    both = [pair for pair in comparison.pairs if pair.before is not None and pair.after is not None]
    said = [f"{element(pair, comparison)}: {change}" for pair in both if (change := changes(pair, comparison))]
    lost = listed([pair for pair in comparison.pairs if pair.after is None], comparison)
    added = listed([pair for pair in comparison.pairs if pair.before is None], comparison)
    said += [f"Not found in the redraft: {lost}."] if lost else []
    said += [f"Only in the redraft: {added}."] if added else []
    return tuple(said)


def changes(pair: Pair, comparison: Comparison) -> str:
    """Return what of an element changed beside its faults: "moved 31 mm down, letters 4.0 → 4.9 mm"."""
    facts = comparison.after.artwork
    said = []
    if pair.moved_by_mm >= MOVED_SHARE * (facts.width_mm**2 + facts.height_mm**2) ** 0.5:
        said.append(f"moved {_moved(pair)}")
    if pair.recoloured:
        colours = (("ink", _hex(pair.inks)), ("ground", _hex(pair.grounds)))
        said += [f"{part} {hexes}" for part, hexes in colours if "→" in hexes]
    if pair.stations is not None and pair.stations[0] != pair.stations[1]:
        said.append(f"to be read from {pair.stations[1]}, no longer from {pair.stations[0]}")
    faults = (fault for outcome in comparison.outcomes for fault in (*outcome.faults, *outcome.also))
    failed = {fault.check for fault in faults if fault.pair is pair}
    told = {value.name for value in pair.values if changed(value)}
    quiet = {name for name, checks in JUDGED_BY.items() if not failed.isdisjoint(checks)}
    for value in pair.values:
        grew = value.name == "carry_m" and not fell(value.before, value.after)
        if value.name in told - quiet and _TOLD_WITH.get(value.name) not in told and not grew:
            said.append(number(value))
    return ", ".join(part for part in said if part)


def _hex(colours: tuple[Srgb8, Srgb8] | None) -> str:
    return " → ".join(dict.fromkeys(to_hex(colour) for colour in colours or ()))


def _moved(pair: Pair) -> str:
    x_mm, y_mm = pair.moved_mm or (0.0, 0.0)
    ways = [(x_mm, "right", "left"), (y_mm, "down", "up")]
    parts = [f"{abs(by):.0f} mm {more if by > 0 else less}" for by, more, less in ways if abs(by) >= 0.5]
    return " and ".join(parts)


def number(value: Value) -> str:
    """Return one number of an element before and after: "reads from 1.2 m → 1.5 m"."""
    said = between(value.before, value.after, value.unit)
    if value.unit == "mm" and value.before is not None and value.after is not None:
        pair = (f"{value.before:.1f}", f"{value.after:.1f}")
        if pair[0] == pair[1]:
            pair = (f"{value.before:.2f}", f"{value.after:.2f}")
        said = f"{pair[0]} → {pair[1]} mm"
    return _NUMBERS[value.name].format(said)


def listed(pairs: Sequence[Pair], comparison: Comparison) -> str:
    """Name lines with their place, and count patches of detail and figures."""
    lines = [element(pair, comparison) for pair in pairs if pair.kind == "line"]
    counts = [(kind, sum(pair.kind == kind for pair in pairs)) for kind in ("detail", "figure")]
    names = {"detail": ("patch of fine detail", "patches of fine detail"), "figure": ("figure", "figures")}
    return words.joined([*lines, *(words.plural(count, *names[kind]) for kind, count in counts if count)])
