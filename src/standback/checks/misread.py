"""Words that read otherwise than they are meant: a letter drawn, replaced, broken or lost."""

from collections.abc import Iterator
from dataclasses import replace

from standback.checks.model import Check
from standback.checks.of_element import line_finding, shortfall_of_minimum
from standback.findings import Finding, Place, Severity
from standback.measure.model import Hole, Measurement, Measurements, ReadAt
from standback.numbers import distance
from standback.same_words import Difference, difference
from standback.settings import NEAR_M, Limits

LEAST_ALIKE = 0.5
"""Where a reader makes out fewer of the wanted letters, it is lost, and says nothing of people (ours)."""
SURELY_READ = 0.9
"""A reading at least so confident is held against another one of the same line (ours)."""
LEAST_LETTER_PX = 10.0
"""Letters of fewer pixels are too coarse for the reader, whatever people make of them on paper (ours)."""
MOST_QUOTED = 3


def lost(m: Measurement) -> bool:
    """Whether the wording of a line is known, and a reader can make nothing of how it looks."""
    near = m.read_near
    if near is None or m.wording is None:
        return False
    apart = difference(near.wording, m.wording)
    return m.line.letter_px < LEAST_LETTER_PX or (apart is not None and apart.alike < LEAST_ALIKE)


def _misread(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    worded = {finding.elements[0]: finding for m in measured.lines for finding in _of_words(m)}
    holes = [_filled(hole) for hole in measured.holes]
    # of two notes on one line the picture says more than what a reader makes of it
    pictured = {f.elements[0] for f in holes if f.elements}
    said = [f for f in worded.values() if f.severity > Severity.NOTE or f.elements[0] not in pictured]
    told = {f.elements[0] for f in said}
    return (*said, *(f for f in holes if not f.elements or f.elements[0] not in told))


def _of_words(m: Measurement) -> Iterator[Finding]:
    near = m.read_near
    if near is None or lost(m) or m.line.letter_px < LEAST_LETTER_PX or m.reach_m < min(NEAR_M, m.station_m):
        return
    apart = None if m.wording is None else difference(near.wording, m.wording)
    if apart is not None:
        of_brief = Severity.FAIL if apart.letters else Severity.WARN
        if m.wording_from == "brief" or apart.letters:
            yield _reads(m, apart, of_brief if m.wording_from == "brief" else Severity.NOTE, "from near")
        return
    for at in m.read:
        if at.station != "near":
            yield from _from_station(m, near, at)


def _from_station(m: Measurement, near: ReadAt, at: ReadAt) -> Iterator[Finding]:
    """Tell a word that is read close up, and otherwise from where it should be read."""
    # a line that is read more surely from farther away was misread by the reader itself
    if m.wording_from != "brief" and (near.confidence < SURELY_READ or at.confidence > near.confidence):
        return
    apart = difference(at.wording, m.wording or near.wording)
    if apart is not None and apart.letters and apart.alike >= LEAST_ALIKE:
        severity = Severity.WARN if m.wording_from == "brief" else Severity.NOTE
        yield _reads(m, apart, severity, f"seen from {distance(m.station_m)}")


def _reads(m: Measurement, apart: Difference, severity: Severity, whence: str) -> Finding:
    instead = "wanted" if m.wording is not None else "close up as"
    named = [
        f"“{wanted}” is not read" if not read else f"reads as “{read}”, {instead} “{wanted}”"
        for read, wanted in apart.words
    ]
    more = len(named) - MOST_QUOTED
    said = "; ".join(named[:MOST_QUOTED]) + (f"; and {more} more" if more > 0 else "")
    why = "A letter is missing, broken, covered, or drawn as something else." if apart.letters else "A gap breaks it."
    finding = line_finding(
        "misread", m, severity, measured=1.0, needed=1.0, unit="", says=f"{whence.capitalize()}: {said}. {why}"
    )
    change = "Set the letters plainly, each whole and apart from what is drawn around it."
    return replace(finding, measured=None, needed=None, unit=None, shortfall=1.0, change=change)


def _filled(hole: Hole) -> Finding:
    left, top, right, bottom = hole.box_mm
    where = "at the end of a word" if hole.at_end else "between the letters of a word"
    return Finding(
        check="misread",
        severity=Severity.NOTE,
        elements=() if hole.element is None else (hole.element,),
        places=(Place(box_px=hole.box_px, box_mm=hole.box_mm),),
        measured=None,
        needed=None,
        unit=None,
        shortfall=shortfall_of_minimum(1.0, 1.0),
        says=f"A picture stands in for a letter {where}: it must be recognised at once, or the word breaks there.",
        change="Set the letter, or let the picture have its height, its weight and its outline.",
        tier=hole.tier,
        seen_area=(right - left) * (bottom - top),
    )


MISREAD = Check(
    id="misread",
    title="A word that may be misread",
    rationale=(
        "A drawing in the place of a letter, a letter broken or covered by something, or one so decorated that it "
        "looks like another asks the reader for a guess. From afar, where details have gone, it is a gap in the word."
    ),
    source=(
        "ours: a place as wide as a letter, with letter gaps beside it, filled by what is no glyph of the line's ink, "
        "height and stroke. With --read: what a general text recogniser reads close up, and of the line as seen from "
        "its station, held against the brief, the file's live text, or each other. Case, accents, punctuation and "
        "look-alikes (0 and O) make no difference."
    ),
    asks=(
        "letters, and nothing else, in the places of letters; with --read, the wording of the brief to be read from "
        "near and from the line's station, and the same words from both where no wording is given"
    ),
    severity="fail where the brief's wording isn't read from near; warn where not from its station; else note",
    run=_misread,
    alike=lambda a, b: False,
    stands_alone=True,
)
