"""Who leads, by the sizes and places of lines: two headlines, and heads larger than the title above them."""

from collections.abc import Sequence
from dataclasses import dataclass

from standback.checks.distance import judged
from standback.checks.of_element import placed_finding
from standback.findings import Finding, Severity
from standback.measure.model import Measurement, Measurements
from standback.measure.tiers import SURE
from standback.numbers import least_millimetres, millimetres
from standback.settings import Limits

LONG_LETTERS = 12.0
"""What is as wide as so many of its letters are high says something: shorter is a head or a sign (ours)."""
ALIKE = 1.1
"""Headlines whose sizes differ by no more are of one rank (ours)."""
TOGETHER_LETTERS = 2.0
"""Lines under each other no farther apart than so many letter heights are of one block (ours)."""
NEARLY_TITLE = 1.5
"""What the heads are larger than by more was not meant for a title (ours)."""
NEARLY_AS_LARGE = 0.75
"""Upright lines of this share of a turned headline's size are a headline as well (ours)."""
FOOT = 0.8
"""What begins lower than this share of the sheet, an address as a rule, is no headline (ours)."""
TOP = 0.25
"""A title above its heads begins in this part of the sheet (ours)."""


@dataclass(frozen=True, slots=True)
class _Block:
    lines: tuple[Measurement, ...]

    @property
    def em_mm(self) -> float:
        return max(m.em_mm for m in self.lines)

    @property
    def largest(self) -> Measurement:
        return max(self.lines, key=lambda m: (m.em_mm, m.id))

    @property
    def long(self) -> bool:
        return any(m.box_mm[2] - m.box_mm[0] >= LONG_LETTERS * m.letter_mm for m in self.lines)

    @property
    def top_mm(self) -> float:
        return min(m.box_mm[1] for m in self.lines)

    @property
    def foot_mm(self) -> float:
        return max(m.box_mm[3] for m in self.lines)


def rivals(measured: Measurements, limits: Limits) -> tuple[Finding, ...]:
    """Name a second headline, or heads that are larger than the title above them, unless a brief says who leads."""
    lines = [m for m in judged(measured.lines) if m.line.confidence >= SURE]
    leads = [m for m in lines if m.tier == "lead"]
    if not leads or any(m.tier_from != "guess" for m in leads):
        return ()
    blocks = _blocks(leads, measured)
    return (
        _two_headlines([block for block in blocks if not _at_the_foot(block, measured)], limits)
        or _turned_headline(blocks, lines, measured)
        or _heads_over_title(blocks, lines, measured, limits)
    )


def _blocks(lines: Sequence[Measurement], measured: Measurements) -> list[_Block]:
    """Put together what stands together, by the groups of the sheet or under each other, top to bottom."""
    blocks: list[list[Measurement]] = []
    for m in sorted(lines, key=lambda m: (m.box_mm[1], m.box_mm[0])):
        near = [block for block in blocks if any(_together(m, other, measured) for other in block)]
        blocks = [block for block in blocks if block not in near]
        blocks.append([*(other for block in near for other in block), m])
    return sorted((_Block(tuple(block)) for block in blocks), key=lambda block: block.top_mm)


def _together(a: Measurement, b: Measurement, measured: Measurements) -> bool:
    if any({a.id, b.id} <= set(group.elements) for group in measured.arrangement.groups):
        return True
    across = min(a.box_mm[2], b.box_mm[2]) - max(a.box_mm[0], b.box_mm[0])
    down = max(a.box_mm[1], b.box_mm[1]) - min(a.box_mm[3], b.box_mm[3])
    return across > 0 and down <= TOGETHER_LETTERS * max(a.letter_mm, b.letter_mm)


def _two_headlines(blocks: Sequence[_Block], limits: Limits) -> tuple[Finding, ...]:
    """Name two long texts of one size, and of the largest, apart from each other; three are a list."""
    if len(blocks) != 2 or not all(block.long for block in blocks):
        return ()
    first, second = blocks
    if max(first.em_mm, second.em_mm) > ALIKE * min(first.em_mm, second.em_mm):
        return ()
    a, b = first.largest, second.largest
    sizes = f"{millimetres(a.letter_mm)} and {millimetres(b.letter_mm)}"
    less = millimetres(a.letter_mm / limits.tier_gap)
    return (
        _finding(
            (*_first(first), *_first(second)),
            f"{_named(first)} and {_named(second)} are the largest on the sheet, with letters {sizes} high, and stand "
            "apart: two headlines, and neither clearly comes first.",
            f"Set {b.id} with letters {less} high or less, or {a.id} as much larger.",
        ),
    )


def _at_the_foot(block: _Block, measured: Measurements) -> bool:
    height_mm = measured.sheet.height_mm if measured.sheet is not None else None
    return height_mm is not None and block.top_mm > FOOT * height_mm


def _turned_headline(
    blocks: Sequence[_Block], lines: Sequence[Measurement], measured: Measurements
) -> tuple[Finding, ...]:
    """Name a turned headline beside upright lines nearly as large that read from far: these are read first."""
    if len(blocks) != 1 or not all(_turned(m) for m in blocks[0].lines):
        return ()
    lead = blocks[0]
    large = [m for m in lines if not _turned(m) and m.em_mm >= NEARLY_AS_LARGE * lead.em_mm and m.reach_m >= m.far_m]
    rival = max(_blocks(large, measured), key=lambda block: len(block.lines), default=None)
    if rival is None or (len(rival.lines) < 2 and not rival.long):
        return ()
    a, b = lead.largest, rival.largest
    return (
        _finding(
            (*_first(lead), *_first(rival)),
            f"{_named(lead)} is the largest on the sheet, with letters {millimetres(a.letter_mm)} high, but turned; "
            f"{_named(rival)}, upright and {millimetres(b.letter_mm)} high, reads first: two headlines.",
            f"Set {a.id} upright, or {b.id} with letters {millimetres(a.letter_mm / NEARLY_TITLE)} high or less.",
        ),
    )


def _turned(m: Measurement) -> bool:
    return 45 < abs(m.line.angle_deg) % 180 < 135


def _heads_over_title(
    blocks: Sequence[_Block], lines: Sequence[Measurement], measured: Measurements, limits: Limits
) -> tuple[Finding, ...]:
    """Name heads that are larger than the long text above them, the uppermost on the sheet."""
    height_mm = measured.sheet.height_mm if measured.sheet is not None else None
    if height_mm is None or len(blocks) < 2 or any(block.long for block in blocks):
        return ()
    over = [m for m in lines if m.box_mm[3] < min(block.top_mm for block in blocks)]
    above = _blocks(over, measured)
    title = above[0] if above else None
    head = max(blocks, key=lambda block: block.em_mm).largest
    if title is None or not title.long or title.top_mm > TOP * height_mm:
        return ()
    if not ALIKE < head.em_mm / title.em_mm <= NEARLY_TITLE:
        return ()
    heads = " and ".join(block.largest.id for block in blocks[:2])
    own = title.largest
    wanted = least_millimetres(own.letter_mm * limits.tier_gap * head.em_mm / own.em_mm)
    return (
        _finding(
            (*_first(title), *(block.largest for block in blocks)),
            f"{heads}, with letters {millimetres(head.letter_mm)} high, are larger than {_named(title)} above them, "
            f"{millimetres(own.letter_mm)}, which has a title's place: what should come first comes second.",
            f"Set {own.id} with letters {wanted} high, or the heads smaller than it.",
        ),
    )


def _first(block: _Block) -> tuple[Measurement, ...]:
    return (block.largest, *(m for m in block.lines if m is not block.largest))


def _named(block: _Block) -> str:
    more = len(block.lines) - 1
    return f"{block.largest.id} with {more} more" if more else block.largest.id


def _finding(elements: Sequence[Measurement], says: str, change: str) -> Finding:
    return placed_finding(
        "no-lead",
        elements,
        Severity.WARN,
        measured=None,
        needed=None,
        unit=None,
        shortfall=1.0,
        says=says,
        change=change,
    )
