"""Checks of the white between words: too little for them to be told apart, or gaping in justified text."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from statistics import median

from standback.checks.following import Text, texts
from standback.checks.model import Check
from standback.checks.of_element import line_finding
from standback.findings import Finding, Place, Severity
from standback.measure.model import Measurement, Measurements
from standback.measure.word_spaces import word_spaces_em
from standback.numbers import millimetres
from standback.settings import Limits

TIGHT = 0.9
"""Letters nearer to each other than this share of what is usual were set tight, and their words with them (ours)."""
TALL_PER_X = (1.2, 1.65)
"""Tall letters are so many times as high as small ones: else the one was taken for the other (ours)."""
USUAL = 0.5
"""Word spaces that faces have beyond their letter gaps, in heights of the small letters (ours: the middle of 134)."""
LEAST_SPACES = 3
"""Of fewer word spaces in a line the middle one says nothing (ours)."""
FLUSH_EM = 0.3
"""Lines that end within so many ems of the same edge end on it (ours)."""
FLUSH_LINES, FLUSH_SHARE = 2, 0.6
"""A text of which so many lines, and such a share but for its last, end on its right edge is justified; of one with
fewer, lines were cut where they gape, and what is left tells nothing (ours)."""
SURELY = 0.95
"""What is nearer to its limit than this is a matter of taste (ours)."""


def _word_spaces(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    lines = [m for m in measured.lines if not m.logo]
    return (*_tight(lines, limits), *_gaping(lines, limits))


def _tight(lines: Sequence[Measurement], limits: Limits) -> Iterator[Finding]:
    """Yield lines whose words stand little farther apart than their letters, which were set tight."""
    for m in lines:
        s = m.spacing
        if s is None or s.capitals or s.letter_gap is None or s.word_gap is None or m.x_mm is None:
            continue
        more_mm = (s.word_gap - s.letter_gap) * s.unit_mm
        needed_mm = limits.least_word_space * m.x_mm
        usual = TALL_PER_X[0] <= s.unit_mm / m.x_mm <= TALL_PER_X[1]
        if not usual or s.letter_gap >= TIGHT * s.expected_gap or more_mm >= SURELY * needed_mm:
            continue
        finding = line_finding(
            "word-spaces",
            m,
            Severity.NOTE,
            measured=more_mm,
            needed=needed_mm,
            unit="mm",
            says=f"Its letters are set tight, and its words with them: between words there is only "
            f"{millimetres(more_mm)} more white than between letters, {more_mm / m.x_mm:.2f} times the height of the "
            "small letters. From afar the words run together.",
        )
        change = (
            f"{m.id}: open each word space by about {millimetres(USUAL * m.x_mm - more_mm)}, or track it less tight."
        )
        yield replace(finding, change=change)


def _gaping(lines: Sequence[Measurement], limits: Limits) -> Iterator[Finding]:
    """Yield justified texts in which the word spaces of one line are far wider than those of another."""
    for text in texts(lines, limits):
        flush = _flush(text)
        spaces = {m.id: (m, median(found)) for m in text.lines if len(found := _spaces_mm(m)) >= LEAST_SPACES}
        if len(spaces) < 2 or not flush:
            continue
        narrow, least_mm = min(spaces.values(), key=lambda one: one[1])
        gaping = sorted(
            (one for one in spaces.values() if one[0].id in flush and _gapes(one, least_mm, limits)),
            key=lambda one: (-one[1], one[0].id),
        )
        if not gaping:
            continue
        wide, most_mm = gaping[0]
        finding = line_finding(
            "word-spaces",
            wide,
            Severity.NOTE,
            measured=most_mm,
            needed=limits.gaping_words * least_mm,
            unit="mm",
            says=f"Set to both edges, the text has word spaces of {millimetres(least_mm)} in {narrow.id} and of "
            f"{millimetres(most_mm)} in {wide.id}, {most_mm / wide.em_mm:.1f} ems: the line falls apart into words, "
            "and white runs down through the text.",
        )
        yield replace(
            finding,
            elements=tuple(m.id for m, _ in gaping),
            places=tuple(Place(box_px=m.line.box_px, box_mm=m.box_mm) for m, _ in gaping),
            shortfall=max(1.0, most_mm / (limits.gaping_words * least_mm)),
            change=f"{text.lines[0].id} to {text.lines[-1].id}: set them ragged on the right, or let words be divided.",
        )


def _spaces_mm(m: Measurement) -> list[float]:
    return [float(space * m.em_mm) for space in word_spaces_em(m.line, m.em_mm * m.px_per_mm)]


def _gapes(one: tuple[Measurement, float], least_mm: float, limits: Limits) -> bool:
    m, space_mm = one
    return SURELY * space_mm >= max(limits.gaping_words * least_mm, limits.gaping_ems * m.em_mm)


def _flush(text: Text) -> frozenset[str]:
    """Return the lines that keep both edges of a text; none where too few do for it to be justified."""
    left_mm, right_mm = min(m.box_mm[0] for m in text.lines), max(m.box_mm[2] for m in text.lines)
    flush = [
        m.id
        for m in text.lines
        if m.box_mm[0] - left_mm <= FLUSH_EM * m.em_mm and right_mm - m.box_mm[2] <= FLUSH_EM * m.em_mm
    ]
    enough = len(flush) >= max(FLUSH_LINES, FLUSH_SHARE * (len(text.lines) - 1))
    return frozenset(flush) if enough else frozenset()


WORD_SPACES = Check(
    id="word-spaces",
    title="Word spaces that vanish or gape",
    rationale=(
        "Words are told apart by the white between them, as long as that is clearly more than the white between "
        "letters, and less than that between lines. Type tracked tight loses its word spaces with its letter gaps; "
        "narrow columns set to both edges stretch theirs."
    ),
    source=(
        "ours: of 603 lines in 201 faces, as their makers space them, none is told for want of word spaces. That word "
        "spaces of a third of an em and less hold a text together: common practice."
    ),
    asks=(
        "in lower case set tighter than usual, word gaps wider than letter gaps by at least {least_word_space:g} times "
        "the height of the small letters; in a justified text of three lines or more, word spaces of no line that are "
        "{gaping_words:g} times another's and over {gaping_ems:g} em"
        f"; what is within {1 - SURELY:.0%} of either is let pass"
    ),
    severity="note",
    run=_word_spaces,
    alike=lambda a, b: True,
    stands_alone=True,
    measured_as="{} of white",
    needed_as="limit {}",
    spares_logos=True,
)
