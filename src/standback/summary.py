"""What works, the walk-up, and the two sentences that open a report."""

from collections.abc import Sequence

from standback.artwork.model import TextLine
from standback.checks import title_of
from standback.checks.distance import judged, nearly_from_far, nearly_reaches, reaches
from standback.elements import TEXT_LAYER
from standback.findings import Carries, Finding, Severity
from standback.measure.model import Measurement
from standback.numbers import distance, millimetres, ratio
from standback.places import place_in_words
from standback.settings import Limits, Station

MOST_CARRIES = 5
MOST_QUOTED, LONGEST_QUOTE = 3, 40


def carries(measurements: Sequence[Measurement], findings: Sequence[Finding]) -> tuple[Carries, ...]:
    """Return the lines that work best: no finding on them, ranked by reach over station; small print comes last.

    Logos are not judged, and not praised either.
    """
    faulty = {element for finding in findings for element in finding.elements}
    good = [m for m in measurements if m.id not in faulty and not m.logo]
    best = sorted(good, key=lambda m: (m.tier == "small", -m.reach_m / m.station_m, m.id))[:MOST_CARRIES]
    return tuple(
        Carries(
            element=m.id,
            why=f"{ratio(m.ratio)}, letters {millimetres(m.letter_mm)} high: reads from "
            f"{distance(m.reach_m)}, wanted from {distance(m.station_m)}",
        )
        for m in best
    )


def live_text_in_words(
    text: Sequence[TextLine] | None, measurements: Sequence[Measurement], unseen: Sequence[str]
) -> tuple[str, ...]:
    """Return what only one of the two has: the file's live text, or what is seen on the sheet.

    Parameters
    ----------
    text
        The file's live text; None where it is a picture and can have none.
    unseen
        Wordings of live text that nothing on the sheet bears out.
    """
    if text is None:
        return ()
    drawn = [m.id for m in measurements if TEXT_LAYER not in m.line.found_by]
    if len(drawn) == len(measurements) and not unseen:
        return ("The file has no live text: its type is outlined, or in a picture.",) if drawn else ()
    said = []
    if drawn:
        said.append(
            f"{_counted(len(drawn), 'is', 'are')} no live text but outlined, or in a picture: {_listed(drawn)}."
        )
    if unseen:
        quoted = [f"\u201c{wording[:LONGEST_QUOTE]}\u201d" for wording in unseen]
        said.append(
            f"{_counted(len(unseen), 'is', 'are')} in the file's live text but not found on the sheet, "
            f"hidden, very small or very faint: {_listed(quoted)}."
        )
    return tuple(said)


def _counted(count: int, one: str, many: str) -> str:
    return f"{count} line {one}" if count == 1 else f"{count} lines {many}"


def _listed(items: Sequence[str]) -> str:
    more = len(items) - MOST_QUOTED
    return ", ".join(items[:MOST_QUOTED]) + (f" and {more} more" if more > 0 else "")


def summarise(
    measurements: Sequence[Measurement],
    ranked_findings: Sequence[Finding],
    places: Sequence[Station],
    sheet_mm: tuple[float, float],
    limits: Limits,
) -> str:
    """Return two sentences: what works, and the one thing to mend first, on a sheet of that width and height."""
    return f"{_what_works(measurements, places, limits)} {_what_first(ranked_findings, sheet_mm)}"


def _what_works(measurements: Sequence[Measurement], places: Sequence[Station], limits: Limits) -> str:
    lines = judged(measurements)
    if not lines:
        return "Nothing to read was found on the sheet."
    far = places[0]
    from_far = sum(m.reach_m >= far.distance_m for m in lines)
    at_station = sum(reaches(m) for m in lines)
    nearly = sum(nearly_reaches(m, limits) for m in lines)
    all_but = sum(nearly_from_far(m, limits) for m in lines)
    if from_far:
        first = f"{_count(from_far, 'line')} can be read from {distance(far.distance_m)}"
    elif all_but:
        first = f"{_count(all_but, 'line')} can all but be read from {distance(far.distance_m)}"
    else:
        first = f"No line can be read from {distance(far.distance_m)}"
    more = f" ({nearly} more nearly)" if nearly else ""
    return f"{first}, and {at_station} of {len(lines)} from where they should be{more}."


def _what_first(ranked_findings: Sequence[Finding], sheet_mm: tuple[float, float]) -> str:
    open_findings = [f for f in ranked_findings if f.waived is None]
    if not open_findings:
        but = " but what the brief accepts" if ranked_findings else ""
        return f"Nothing measured falls short{but}."
    first = open_findings[0]
    what = title_of(first.check)
    what = what[0].lower() + what[1:]
    where = ""
    if first.elements and first.places:
        more = len(first.elements) - 1
        where = f" ({first.elements[0]}, {place_in_words(first.places[0].box_mm, *sheet_mm)}"
        where += f", and {more} more)" if more else ")"
    verb = "Mend first" if first.severity is Severity.FAIL else "Look first at"
    return f"{verb}: {what}{where}."


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
