"""Shared wording of the reports: numbers, places and lines in plain words."""

from collections.abc import Sequence

from standback.brief.model import Remark
from standback.checks.distance import judged, reaches
from standback.elements import DRAWN_SHAPE
from standback.findings import ArtworkFacts, Carries, Finding, PosterReport, Severity
from standback.light import ratio_of_luminances
from standback.measure.model import Measurement
from standback.numbers import distance, millimetres, ratio
from standback.places import BoxMm, place_in_words
from standback.settings import LOW_VISION, YOUNG_YEARS, Viewer
from standback.sheet import trade_size_of
from standback.stock import STOCKS

CAUTION = "standback is no substitute for the codes and licensed practice that govern safety and accessibility signs."

PATCHES = ("patch", "patches")
LONGEST_QUOTE = 32
"""Characters of a line's wording that name it (ours)."""

_SIZE_FROM = {
    "option": "size as given",
    "brief": "size from the brief",
    "file": "size from the file's resolution tag",
}
_FROM_PAGE = "size from the file's own page"


def where(box_mm: BoxMm, facts: ArtworkFacts) -> str:
    """Return where on the sheet a box lies: "top left", "across the middle", "down the right side"."""
    return place_in_words(box_mm, facts.width_mm, facts.height_mm)


def spot(box_mm: BoxMm) -> str:
    """Return where the top left corner of a box lies, to the millimetre."""
    return f"{round(box_mm[0])} mm from the left, {round(box_mm[1])} mm from the top"


def letter_height(line: Measurement) -> str:
    """Return the height of a line's letters by the name a designer would use."""
    if line.x_mm is not None and abs(line.letter_mm - line.x_mm) < 1e-6:
        return f"{millimetres(line.x_mm)} x-height"
    if line.cap_mm is not None:
        return f"{millimetres(line.cap_mm)} capitals"
    return f"{millimetres(line.letter_mm)} letters"


def line_place(line: Measurement, facts: ArtworkFacts) -> str:
    """Return a line's place and letter height: "centre, 24 mm capitals"."""
    return f"{where(line.box_mm, facts)}, {letter_height(line)}"


def line_name(line: Measurement) -> str:
    """Return a line's id, with its first words where they are known: "L03 “Saturday 12 September”"."""
    said = quoted(line)
    return line.id if said is None else f"{line.id} {said}"


def quoted(line: Measurement) -> str | None:
    """Return a line's first words in quotes, None where they are not known."""
    said = line.said
    if not said:
        return None
    return f"“{said if len(said) <= LONGEST_QUOTE else said[:LONGEST_QUOTE].rstrip() + '…'}”"


def places(finding: Finding, poster: PosterReport, most: int = 3) -> str:
    """Return where a finding stands, the worst place with its millimetres, many places summed up."""
    if not finding.places:
        return ""
    lines = {line.id: line for line in poster.elements}
    worst = finding.places[0].box_mm
    named = lines.get(finding.elements[0]) if finding.elements else None
    place = line_place(named, poster.artwork) if named else where(worst, poster.artwork)
    name = line_name(named) if named else finding.elements[0] if finding.elements else ""
    first = f"{name} ({place})" if name else place
    said = f"{first}: {_extent(worst)}"
    count = max(len(finding.places), len(finding.elements))
    if count == 1:
        return said
    others = finding.elements[1 : most + 1]
    rest = count - 1 - len(others)
    also = joined([*others, plural(rest, "more", "more")] if rest else others)
    shapes = {m.id for m in poster.details if m.detail.kind == DRAWN_SHAPE}
    what = ("line", "lines") if named else ("shape", "shapes") if shapes.issuperset(finding.elements) else PATCHES
    said = f"{plural(count, *what)}, the worst {said}"
    return f"{said}; also {also}" if also else said


def carries(item: Carries, poster: PosterReport) -> str:
    """Return what carries, by place, and why."""
    line = next((line for line in poster.elements if line.id == item.element), None)
    name = f"{line_name(line)} ({where(line.box_mm, poster.artwork)})" if line else item.element
    return f"{name}: {item.why}"


def joined(items: Sequence[str]) -> str:
    """Return "a, b and c"."""
    return " and ".join([", ".join(items[:-1]), items[-1]] if len(items) > 1 else items)


def plural(count: int, word: str, many: str | None = None) -> str:
    """Return "1 line", "3 lines"."""
    return f"{count} {word if count == 1 else many or word + 's'}"


def tally(findings: Sequence[Finding]) -> str:
    """Return how many findings there are of each kind: "1 fail, 2 warns, 1 waived"."""
    live = [f.severity for f in findings if f.waived is None]
    counts = [plural(live.count(s), s.word) for s in sorted(Severity, reverse=True) if s in live]
    waived = len(findings) - len(live)
    return ", ".join([*counts, f"{waived} waived"] if waived else counts) or "no findings"


def judged_for(poster: PosterReport, *, assumed: str = "assumed; say --from to change it") -> str:
    """Return the far distance, and whether it was assumed or given."""
    how = assumed if poster.far_assumed else "given"
    who = next(viewer for viewer in poster.viewers if viewer.name == poster.judged_for)
    sight = viewer(who)
    one = "a viewer" if sight == _PUBLIC else f"a viewer of {sight}"
    return f"judged for {one} {distance(poster.stations[0].distance_m)} away ({how})"


_PUBLIC = "the public"


def viewer(who: Viewer) -> str:
    """Return who looks: "the public", "low vision (6/12)", "75 years"."""
    acuity = f"6/{6 * 10**who.acuity_logmar:.3g}" if who.acuity_logmar > 0 else ""
    age = f"{who.age_years:g} years" if who.age_years > YOUNG_YEARS else ""
    sight = ", ".join(part for part in (age, acuity) if part)
    return f"low vision ({sight})" if who.name == LOW_VISION.name else sight or _PUBLIC


READ = ("faint-text", "short-reach", "read-late")
"""The checks on whose findings it matters how far the other viewers read."""


def other_viewers_reach(finding: Finding, poster: PosterReport) -> str:
    """Return from where the viewers that do not decide read the worst line of a finding."""
    line = next((line for line in poster.elements if line.id in finding.elements[:1]), None)
    if line is None or finding.check not in READ:
        return ""
    others = [who for who in poster.viewers if who.name != poster.judged_for]
    reach_m = {reach.viewer: reach.m for reach in line.reach}
    said = [
        f"{viewer(who)} {'reads ' if index == 0 else ''}from {distance(reach_m[who.name])}"
        if reach_m[who.name] > 0
        else f"{viewer(who)} not at all"
        for index, who in enumerate(others)
        if who.name in reach_m
    ]
    return f"Other eyes: {', '.join(said)}." if said else ""


def other_viewers(poster: PosterReport) -> str:
    """Return how many lines the other viewers read from where they should be read, "" if as many."""
    lines = judged(poster.elements)
    counts = {
        who.name: sum(reach.m >= line.station_m for line in lines for reach in line.reach if reach.viewer == who.name)
        for who in poster.viewers
    }
    decides = sum(reaches(line) for line in lines)
    others = [who for who in poster.viewers if who.name != poster.judged_for]
    if all(counts[who.name] == decides for who in others):
        return ""
    first, *rest = (f"{viewer(who)} reads {counts[who.name]}" for who in others)
    return f"Other eyes: {', '.join([f'{first} of {len(lines)} from where it should', *rest])}."


def sheet(facts: ArtworkFacts) -> str:
    """Return the printed size: "420 × 594 mm"."""
    width, height = (f"{side:.1f}".removesuffix(".0") for side in (facts.width_mm, facts.height_mm))
    return f"{width} × {height} mm"


def printed(facts: ArtworkFacts) -> str:
    """Return the printed size and where it was taken from."""
    trade = trade_size_of(facts.width_mm, facts.height_mm)
    size = f"{trade.name} ({sheet(facts)})" if trade else sheet(facts)
    where_from = _FROM_PAGE if facts.drawn and facts.size_from == "file" else _SIZE_FROM[facts.size_from]
    return f"printed {size}, {where_from}"


def print_line(facts: ArtworkFacts) -> str:
    """Return what the print shop asks: colour space, profile, resolution, bleed, trim."""
    bleed = f"{facts.bleed_mm:g} mm bleed" if facts.bleed_mm else "no bleed"
    kind = f"{facts.colour}, {facts.profile or 'no colour profile'}; {round(facts.ppi)} ppi at printed size"
    if facts.drawn:
        kind = f"{facts.colour}, drawn at {round(facts.ppi)} ppi for this audit"
    said = f"{kind}; {bleed}; trim {sheet(facts)}"
    stock = facts.stock
    if stock is None:
        return said
    paper = f"on {stock.name} stock" if stock.name in STOCKS else "on the paper of its profile"
    return f"{said}; {paper} black on white is {ratio(ratio_of_luminances(stock.white1, stock.black1))}"


def remark_letter(index: int) -> str:
    """Return the letter that a remark goes by, counted from 0: A to Z, then AA."""
    letters = ""
    while index >= 0:
        letters = chr(ord("A") + index % 26) + letters
        index = index // 26 - 1
    return letters


def remark_place(remark: Remark, facts: ArtworkFacts) -> str:
    """Return where on the sheet a remark belongs: "top left"."""
    return remark.where.words or where(_box_of(remark), facts)


def remark_spot(remark: Remark, facts: ArtworkFacts) -> str:
    """Return the same, with its millimetres where the remark has any."""
    place = remark_place(remark, facts)
    if remark.where.words is not None:
        return place
    box_mm = _box_of(remark)
    return f"{place}: {spot(box_mm) if remark.where.point_mm else _extent(box_mm)}"


def _box_of(remark: Remark) -> BoxMm:
    """Return the box that a remark is about; a point is one without extent."""
    x, y = remark.where.point_mm or (0.0, 0.0)
    return remark.where.box_mm or (x, y, x, y)


def _extent(box_mm: BoxMm) -> str:
    return f"{spot(box_mm)}, {round(box_mm[2] - box_mm[0])} × {round(box_mm[3] - box_mm[1])} mm"
