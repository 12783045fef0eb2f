"""Styles and tiers: which lines belong together, and from where each should be read."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np

from standback.elements import SHAPES, Line, Srgb8
from standback.measure.body import goes_on, is_body
from standback.reading import CAP_PER_EM, X_PER_EM
from standback.settings import Limits

SAME_COLOUR_CIEDE2000 = 5.0
"""Colours nearer than this count as one (ours): 1 is just told apart side by side. OKLab is too steep near
black for this: #000000 and #030303 are 0.1 apart in it."""
SAME_HEIGHT_PX = 0.75
"""Heights that differ by less than this can't be told apart on the artwork's own pixels (ours)."""
LEAD_LINES, LEAD_SHARE = 6, 10
"""No more lines than the larger of 6 and a tenth of all are meant to be read from far (ours)."""
LEAD_SIZE = 1.15
"""What is smaller than the largest by this is a subtitle or a heading, not of the title (ours)."""
MANY_LINES = 10
"""So many lines of about one size are text to come and read, however they stand and in whatever colours (ours)."""
BODY_SIZE = 1.1
"""What is no larger than so many times the text is read by who has come to read that (ours)."""
DWARFED = 4.0
"""Where something so many times as large may be text, no line that surely is leads by its size alone (ours)."""
SURE, SURE_TOGETHER = 0.8, 0.7
"""What is less surely text, as a logo or a drawing may be, sets no tiers; of lines set alike less is asked (ours)."""
SURE_LONG, LONG_LETTERS = 0.6, 6.0
"""So is less of a line so many times as long as its letters are high: logos are short (ours)."""


def em_px(line: Line) -> float:
    """Return the type's em in px, from the capitals where there are any, else from the lowercase."""
    if line.cap_px is not None:
        return line.cap_px / CAP_PER_EM
    if line.x_px is not None:
        return line.x_px / X_PER_EM
    return line.letter_px / CAP_PER_EM


def same_colours(a: Line, b: Line) -> bool:
    """Whether two lines have the same ink and the same ground, as far as a viewer can tell."""
    return near_colours(a.ink_srgb8, b.ink_srgb8) and near_colours(a.ground_srgb8, b.ground_srgb8)


@lru_cache(maxsize=4096)
def near_colours(a: Srgb8, b: Srgb8) -> bool:
    """Whether a viewer takes two colours for the same; every line is asked about every style, more than once."""
    if a == b:
        return True
    from skimage.color import deltaE_ciede2000, rgb2lab  # slow to load, and the list of checks needs none

    first, second = rgb2lab(np.array([a, b], dtype=np.uint8))
    return float(deltaE_ciede2000(first, second)) <= SAME_COLOUR_CIEDE2000


def hue_difference(line: Line) -> float:
    """Return how far ink and ground are apart in hue and chroma alone: CIEDE2000 at the ground's lightness."""
    from skimage.color import deltaE_ciede2000, rgb2lab

    ink, ground = rgb2lab(np.array([line.ink_srgb8, line.ground_srgb8], dtype=np.uint8))
    return float(deltaE_ciede2000((ground[0], ink[1], ink[2]), ground))


def same_style(a: Line, b: Line, limits: Limits) -> bool:
    """Whether two lines have the same ink, ground and size of type."""
    sizes_px = (em_px(a), em_px(b))
    if a.x_px is not None and b.x_px is not None:
        # found to 2 or 3 %, where the few capitals of a lowercase line may be 10 % out
        sizes_px = (a.x_px / X_PER_EM, b.x_px / X_PER_EM)
    larger, smaller = max(sizes_px), min(sizes_px)
    tolerance_px = max(limits.style_tolerance * larger, SAME_HEIGHT_PX / CAP_PER_EM)
    return larger - smaller <= tolerance_px and same_colours(a, b)


def styles(lines: Sequence[Line], limits: Limits) -> tuple[tuple[int, ...], ...]:
    """Group lines of one style: ink, ground and size of type.

    Returns
    -------
    tuple of tuples of indices into `lines`, largest type first. A line joins the first style whose
    first (largest) line it matches, so that a chain of small steps can't join unlike sizes.
    """
    groups: list[list[int]] = []
    for index in sorted(range(len(lines)), key=lambda i: (-em_px(lines[i]), i)):
        for group in groups:
            if same_style(lines[group[0]], lines[index], limits):
                group.append(index)
                break
        else:
            groups.append([index])
    return tuple(tuple(group) for group in groups)


@dataclass(frozen=True, slots=True)
class _Style:
    size_px: float
    members: tuple[int, ...]
    top_px: int
    sure: bool
    body: bool


def guess_tiers(lines: Sequence[Line], limits: Limits) -> tuple[str, ...]:
    """Guess each line's tier from the sizes of the styles on the sheet.

    The sizes are sorted and cut at the two widest ratios of neighbours that are at least
    `limits.tier_gap`: above the first cut is lead, then support, then small; with one cut lead and
    support; with none the uppermost style is lead if it is a single line, else all are support.
    Sizes are compared as ems, so that a line of capitals and one of lowercase set in the same size
    are of one tier.

    Not all that stands above the first cut is meant to be read from far: see `_lead`. What is left out is
    support. A style none of whose lines is surely text is never lead, and where it is larger than all that
    are, it sets no cut; where it is `DWARFED` times as large, nothing is lead. Body text that is not lead is read
    by who has walked up, and so is what is set no larger than most of the text: both are small, wherever the
    cuts lie. So is a line of such a text in another ink.
    """
    found = sorted((_style(lines, group) for group in styles(lines, limits)), key=lambda style: -style.size_px)
    largest_px = max((style.size_px for style in found if style.sure), default=0.0)
    kept = [style for style in found if style.size_px <= largest_px]
    ratios = [a.size_px / b.size_px for a, b in pairwise(kept)]
    wide = sorted((i for i, r in enumerate(ratios) if r >= limits.tier_gap), key=lambda i: (-ratios[i], i))
    cuts = sorted(wide[:2])
    if cuts:
        above = [style for style in kept[: cuts[0] + 1] if style.sure]
        lead = _lead(above, max(LEAD_LINES, len(lines) // LEAD_SHARE))
    else:
        uppermost = min((style for style in kept if style.sure), key=lambda style: style.top_px, default=None)
        lead = [uppermost] if uppermost is not None and len(uppermost.members) == 1 else []
    if found and found[0].size_px > DWARFED * largest_px:
        lead = []
    body = [style for style in found if style.body and style not in lead]
    small_px = max(
        kept[cuts[1] + 1].size_px if len(cuts) == 2 else 0.0,
        BODY_SIZE * max((style.size_px for style in _most_of(body)), default=0.0),
        BODY_SIZE * _text_px([style for style in found if style not in lead]),
    )
    # sizes measured so little apart are one size, and read from one place
    small_px *= 1 + limits.style_tolerance
    tiers = ["support"] * len(lines)
    for style in found:
        of_text = style in body or any(_is_of(style, text, lines) for text in body)
        for index in style.members:
            small = of_text or style.size_px <= small_px
            tiers[index] = "lead" if style in lead else "small" if small else "support"
    return tuple(tiers)


def _is_of(style: _Style, text: _Style, lines: Sequence[Line]) -> bool:
    """Whether all lines of a style go on a body text in another ink, as a first line in colour does."""
    if not 1 / BODY_SIZE <= style.size_px / text.size_px <= BODY_SIZE:
        return False
    body = [lines[n] for n in text.members]
    return all(goes_on(lines[n], body, text.size_px) for n in style.members)


def _style(lines: Sequence[Line], group: Sequence[int]) -> _Style:
    least = SURE if len(group) == 1 else SURE_TOGETHER
    sure = [i for i in group if _surely(lines[i], least) or lines[i].found_by != (SHAPES,)]
    size_px = max(em_px(lines[i]) for i in sure or group)
    return _Style(
        size_px=size_px,
        members=tuple(group),
        top_px=min(lines[i].box_px.y0 for i in sure or group),
        sure=bool(sure),
        body=is_body([lines[i] for i in group], size_px),
    )


def _surely(line: Line, least: float) -> bool:
    long = max(line.box_px.width, line.box_px.height) >= LONG_LETTERS * line.letter_px
    return line.confidence >= (min(least, SURE_LONG) if long else least)


def _lead(above: Sequence[_Style], most: int) -> list[_Style]:
    """Return which of the styles above the first cut, largest first, are lead: `most` lines at the most.

    Body text under a larger line is not, nor what is smaller than the largest by `LEAD_SIZE` or more. Where too
    many are left, the uppermost style that is not too many is.
    """
    titles = [style for style in above if not style.body]
    lead = [style for style in above if not style.body or not titles or style.size_px > titles[0].size_px]
    lead = [style for style in lead if style.size_px * LEAD_SIZE > lead[0].size_px]
    if _count(lead) > most:
        fitting = [style for style in lead if not style.body and len(style.members) <= most]
        lead = sorted(fitting, key=lambda style: style.top_px)[:1]
    return lead


def _most_of(body: Sequence[_Style]) -> Sequence[_Style]:
    """Return the style that most of the body text is set in, the larger of two; none where there is no such text."""
    return sorted(body, key=lambda style: (-len(style.members), -style.size_px))[:1]


def _text_px(found: Sequence[_Style]) -> float:
    """Return the size that most lines are set in, whatever their colours; 0 where that are few."""

    def lines_about(size_px: float) -> int:
        return _count([style for style in found if size_px / BODY_SIZE <= style.size_px <= size_px])

    count, size_px = max(((lines_about(style.size_px), style.size_px) for style in found), default=(0, 0.0))
    return size_px if count >= MANY_LINES else 0.0


def _count(found: Sequence[_Style]) -> int:
    return sum(len(style.members) for style in found)
