"""Checks of the white between letters: pairs that fall out of the rhythm, lines too open or too tight."""

from collections.abc import Sequence
from dataclasses import replace

from standback.checks.model import Check
from standback.checks.of_element import line_finding
from standback.findings import MOST_SHORTFALL, Finding, Place, Severity
from standback.measure.model import Measurement, Measurements, PairGap, Spacing
from standback.measure.tiers import same_style
from standback.numbers import millimetres
from standback.reading import CAP_PER_EM
from standback.settings import Limits

UNIT = "letter heights"
SLACK_PX, FINE_PX = 0.5, 60.0
"""So much of a gap may come from the pixels themselves; of letters as high as the second the limits hold (ours)."""
MOST_OFF = 0.5
"""A gap off by more than this, in letter heights, is no gap between letters (ours)."""
OPENED = 1.5
"""In lines opened farther than this, in times the usual gap, more is asked to see a gap fall out (ours)."""
CLEARLY = 1.25
"""So many times over the limit is no matter of taste (ours)."""
TUCKED, LOW, TUCKED_TIMES = 0.02, 0.85, 1.35
"""A letter that reaches so far, in letter heights, under the arm of the one before is set so by the face, as is one
that is low, by this share of the height, after a capital: they have to stand so many times farther off (ours)."""
MOST_UNEVEN = 2
"""Where more support lines have uneven pairs, it is their face or their script that sets them so (ours)."""
SCRIPT_SHARE = 0.6
"""Where more letters touch than this, they are meant to: script (ours)."""
MOST_NAMED = 4
"""Pairs of one line whose change is spelt out, the worst first (ours)."""


def _uneven_pair(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    findings = []
    for m in measured.lines:
        if m.tier != "small" and m.spacing is not None and (found := _uneven(m, m.spacing, limits)) is not None:
            findings.append(found)
    if sum(finding.tier != "lead" for finding in findings) > MOST_UNEVEN:
        findings = [finding for finding in findings if finding.tier == "lead"]
    return tuple(findings)


def _uneven(m: Measurement, spacing: Spacing, limits: Limits) -> Finding | None:
    off = [(pair, _off(pair), _most_off(pair, m, spacing, limits)) for pair in spacing.pairs]
    over = [one for one in off if one[2] < abs(one[1]) < MOST_OFF]
    if not over:
        return None
    over.sort(key=lambda one: (-abs(one[1]) / one[2], one[0].first))
    worst, by, most = over[0]
    if m.tier != "lead" and abs(by) < CLEARLY * most:
        return None
    finding = line_finding(
        "uneven-pair",
        m,
        Severity.WARN,
        measured=abs(by),
        needed=most,
        unit=UNIT,
        says=_says_uneven(m, worst, by, most, len(over)),
    )
    return replace(
        finding,
        places=tuple(Place(box_px=pair.box_px, box_mm=pair.box_mm) for pair, _, _ in over),
        shortfall=_times(abs(by), most),
        change=_moves(m, [(pair, by) for pair, by, _ in over]),
        doubts=spacing.doubts or m.doubts,
    )


def _off(pair: PairGap) -> float:
    """By how much a pair is off: from its twin in the line where it has one that differs more."""
    if pair.repeat_off is not None and abs(pair.repeat_off) > abs(pair.off):
        return pair.repeat_off
    return pair.off


def _most_off(pair: PairGap, m: Measurement, spacing: Spacing, limits: Limits) -> float:
    usual = limits.pair_off_slanted if spacing.slanted else limits.pair_off_upright
    if m.tier != "lead":
        usual = max(usual, limits.pair_off_support)
    if pair.figures:
        usual = max(usual, limits.pair_off_figures)
    if pair.repeat_off is not None and abs(pair.repeat_off) > limits.pair_off_repeat and m.tier == "lead":
        usual = limits.pair_off_repeat
    if _set_by_face(pair, spacing):
        usual *= TUCKED_TIMES
    opened = (spacing.letter_gap or 0.0) / (OPENED * spacing.expected_gap)
    return usual * max(1.0, opened) + max(0.0, SLACK_PX / spacing.unit_px - SLACK_PX / FINE_PX)


def _set_by_face(pair: PairGap, spacing: Spacing) -> bool:
    """Whether a narrow pair is kerned, one letter under the other's arm; or a wide one a capital and a low letter.

    Many faces leave the latter unkerned; it is known by the line's first letter.
    """
    first, second = spacing.letter_boxes_px[pair.first - 1 : pair.first + 1]
    if pair.off < 0:
        return first.x1 - second.x0 > TUCKED * spacing.unit_px
    return pair.first == 1 and second.height < LOW * first.height


def _says_uneven(m: Measurement, pair: PairGap, off: float, most: float, count: int) -> str:
    spacing = m.spacing
    assert spacing is not None
    twin = pair.repeat_off is not None and off == pair.repeat_off
    than = "than where the same two letters stand again in the line" if twin else "than the line's others"
    how = "clearly " if abs(off) > CLEARLY * most else ""
    x0, y0, x1, y1 = pair.box_mm
    where = f"{round((x0 + x1) / 2)} mm from the left, {round((y0 + y1) / 2)} mm from the top"
    mm = millimetres(abs(off) * spacing.unit_mm)
    wider = "wider" if off > 0 else "narrower"
    more = "" if count == 1 else f" {count} pairs of the line fall out of its rhythm."
    return f"The gap after {_named(pair)} ({where}) looks {how}{wider} {than}, by {mm}.{more}"


def _named(pair: PairGap) -> str:
    if pair.letters is not None:
        return f"letter {pair.first}, between {pair.letters[0]} and {pair.letters[1]}"
    return f"letter {pair.first}"


def _moves(m: Measurement, pairs: Sequence[tuple[PairGap, float]]) -> str:
    """Say by how much to close or open each pair."""
    spacing = m.spacing
    assert spacing is not None
    moves, shares = [], []
    for pair, off in pairs[:MOST_NAMED]:
        verb = "close" if off > 0 else "open"
        moves.append(f"{verb} it after letter {pair.first} by {millimetres(abs(off) * spacing.unit_mm)}")
        shares.append(f"{round(1000 * abs(off))}")
    rest = len(pairs) - len(moves)
    more = f", and {rest} more likewise" if rest else ""
    return f"{m.id}: {', '.join(moves)} ({', '.join(shares)} thousandths of the letter height){more}."


def _times(measured: float, needed: float) -> float:
    return min(max(measured / max(needed, 1e-9), 1.0), MOST_SHORTFALL)


UNEVEN_PAIR = Check(
    id="uneven-pair",
    title="A letter gap out of rhythm",
    rationale=(
        "A word is read as one shape as long as the white between its letters looks even. A gap that looks "
        "wider breaks the word there, one that looks narrower makes a dark spot; the larger the type, the "
        "sooner it shows. Gaps are weighed as by eye, not by the nearest points of the letters."
    ),
    source=(
        "ours: the weights from the spacing of 110 faces, the limits from what other faces reach by "
        "themselves. The same two letters at two different gaps can't come from the face."
    ),
    asks=(
        "letter gaps within {pair_off_upright:g} letter heights of the line's usual one, {pair_off_slanted:g} in "
        "italics, {pair_off_support:g} in support lines and {pair_off_figures:g} beside a figure; the same two "
        "letters in a lead line within {pair_off_repeat:g}; small lines are not judged, nor support lines that are "
        "short of it by less than a quarter, or where more than two are; of letters at least "
        "{spacing_least_px:g} px high, in lines with {spacing_least_pairs:g} pairs or more"
    ),
    severity="warn",
    run=_uneven_pair,
    alike=lambda a, b: True,
    stands_alone=True,
    measured_as="off by {}",
    needed_as="at the most {}",
    spares_logos=True,
)


def _loose_spacing(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    findings = []
    for m in measured.lines:
        if m.spacing is not None and (found := _loose(m, m.spacing, limits)) is not None:
            findings.append(found)
    return tuple(findings)


def _loose(m: Measurement, spacing: Spacing, limits: Limits) -> Finding | None:
    gap, usual = spacing.letter_gap, spacing.expected_gap
    if gap is None:
        return None
    most = usual * (limits.loose_capitals if spacing.capitals else limits.loose_lower)
    says = f"Its letters stand {gap / usual:.1f} times as far apart as faces of this weight are usually set"
    if spacing.word_gap is not None and gap > limits.loose_of_word_gap * spacing.word_gap:
        # with words told apart by little, the word gap is the tighter limit
        most = min(most, limits.loose_of_word_gap * spacing.word_gap)
        says += f", {gap / spacing.word_gap:.1f} times its word gaps: the words fall apart"
    if gap <= most:
        return None
    out = gap - usual if gap > usual else gap - most
    finding = line_finding("loose-spacing", m, Severity.NOTE, measured=gap, needed=most, unit=UNIT, says=f"{says}.")
    change = (
        f"{m.id}: take about {millimetres(out * spacing.unit_mm)} out of each letter gap "
        f"(tracking of about -{round(1000 * out * CAP_PER_EM)})."
    )
    return replace(finding, shortfall=_times(gap, most), change=change)


LOOSE_SPACING = Check(
    id="loose-spacing",
    title="Letters too far apart",
    rationale=(
        "Letters hold together as words by standing nearer to each other than words do. Opened too far, "
        "above all in lower case, they are read one by one, and from afar the word is no shape any more."
    ),
    source=(
        "ours: the usual gap of a face follows from its strokes and counters (171 faces, standard deviation "
        "0.026 letter heights). That capitals may be opened farther: common practice."
    ),
    asks=(
        "letter gaps of at the most {loose_lower:g} times the usual in lower case and {loose_capitals:g} "
        "times in capitals, and of {loose_of_word_gap:g} times the word gap"
    ),
    severity="note",
    run=_loose_spacing,
    alike=lambda a, b: same_style(a.line, b.line, Limits()),
    stands_alone=True,
    measured_as="letter gap {}",
    needed_as="at the most {}",
    spares_logos=True,
)


def _tight_spacing(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    findings = []
    for m in measured.lines:
        spacing = m.spacing
        if spacing is None or not spacing.joined or not spacing.of_letters:
            continue
        share = spacing.joined / spacing.of_letters
        if not limits.tight_joined_share < share < SCRIPT_SHARE:
            continue
        finding = line_finding(
            "tight-spacing",
            m,
            Severity.NOTE,
            measured=share,
            needed=limits.tight_joined_share,
            unit="of its letters",
            says=f"{spacing.joined} of its {spacing.of_letters} letters touch the one before: from afar they "
            "run into one dark bar.",
        )
        change = f"{m.id}: open its tracking until the letters stand apart."
        findings.append(replace(finding, shortfall=_times(share, limits.tight_joined_share), change=change))
    return tuple(findings)


TIGHT_SPACING = Check(
    id="tight-spacing",
    title="Letters that run together",
    rationale=(
        "The eye spreads every stroke over its surroundings; letters that touch on paper are one dark shape "
        "from across the room."
    ),
    source="ours. Judged only where the wording is known, so that joined letters can be counted.",
    asks=(
        "no more than {tight_joined_share:g} of a line's letters touching the one before; script, whose "
        "letters are meant to join, is exempt"
    ),
    severity="note",
    run=_tight_spacing,
    alike=lambda a, b: same_style(a.line, b.line, Limits()),
    stands_alone=True,
    measured_as="touching: {}",
    needed_as="at the most {}",
    spares_logos=True,
)
