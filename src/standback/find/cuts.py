"""Where one line ends and the next begins in a row of pieces."""

import numpy as np
import numpy.typing as npt

from standback.find.glyphs import Glyphs
from standback.find.order import median, quantile
from standback.find.split import Flags

CUT_BODIES, CUT_HEIGHTS = 1.3, 0.7
"""A reader reads on across a gap of up to 1.3 x the larger of the body and 0.7 x the line's height (ours)."""
SAME_GAP = 1.15
"""A gap up to so many times as wide as one in the line that a reader reads on across is a space between words, too
(ours): those of justified and of fixed-pitch type are about as wide as the limit, and lines were cut at some."""
SIGN_HEIGHT, SIGN_GAP, SIGN_OVER = 1.22, 0.28, 0.2
"""A piece at the end of a line, this much taller than the letters and set off this far, is a sign; so is any
piece that sticks out above and below the letters by such a share of their height (ours)."""

LEAST_LETTERS, MOST_TRIMMED, TOWERS, LOW, ORDERLY = 3, 6, 2.3, 0.45, 0.75
"""A line is trimmed down to so many letters, and by so many steps. Where so many of its letters stand in line, what is
so many times as high as these is none of them, as an f or a Q is up to twice as high as small letters; nor is what is
lower than such a share of them (ours)."""

SHAPE_HEIGHT = 1.6
"""What is so many times as high as the middle letter may be a shape beside them (ours)."""
IN_LINE = 0.15
"""Letters that the proposer did not see stand on the line within this share of its height (ours)."""


def line_numbers(glyphs: Glyphs) -> npt.NDArray[np.intp]:
    """Return the number of the line each piece belongs to: a new one after every wide gap and around every sign.

    A sign is a piece that the letters inside the band are small beside: it sticks out above and below.
    """
    letter, window = glyphs.letter, glyphs.split.window
    inside = letter & (glyphs.x1 > window.left) & (glyphs.x0 < window.right)
    known = inside if inside.any() else letter
    top, bottom = quantile(glyphs.y0[known], 0.1), quantile(glyphs.y1[known], 0.9)
    height = bottom - top
    body = median((glyphs.y1 - glyphs.y0)[letter])
    sign = (glyphs.y0 < top - SIGN_OVER * height) & (glyphs.y1 > bottom + SIGN_OVER * height)
    sign |= _strays(glyphs, inside, height) if inside.any() else False
    ends = np.maximum.accumulate(glyphs.x1)[:-1]
    gap = glyphs.x0[1:] - ends
    wide = gap > CUT_BODIES * max(body, CUT_HEIGHTS * float(height))
    if not wide.all():
        wide &= gap > SAME_GAP * gap[~wide].max()
    return np.cumsum(np.append(False, wide | (sign[1:] != sign[:-1])))


def _strays(glyphs: Glyphs, inside: Flags, height: float) -> Flags:
    """Tell which pieces beyond the band's ends neither stand on the line nor hang from its x-height."""
    slack = IN_LINE * height
    stands, hangs = _in_line(glyphs, inside, slack)
    return glyphs.letter & ~inside & ~stands & ~hangs


def _in_line(glyphs: Glyphs, known: Flags, slack: float) -> tuple[Flags, Flags]:
    """Tell which pieces stand where known letters do, and which hang from their middle height and reach lower."""
    foot, top = median(glyphs.y1[known]), median(glyphs.y0[known])
    return np.abs(glyphs.y1 - foot) < slack, (np.abs(glyphs.y0 - top) < slack) & (glyphs.y1 > foot)


def trimmed(glyphs: Glyphs) -> Glyphs:
    """Take off what is no letter at either end: a sign taller than the letters, a piece of an icon, an arrow's head."""
    for _ in range(MOST_TRIMMED):
        letter = np.flatnonzero(glyphs.letter)
        if len(letter) < LEAST_LETTERS:
            break
        fewer = _without_sign(glyphs, letter)
        if fewer is None:
            fewer = _without_strange_end(glyphs)
        if fewer is None:
            break
        glyphs = fewer
    return glyphs


def without_shapes(glyphs: Glyphs) -> Glyphs:
    """Return the line without pieces far higher than its letters, whose colours would stand for theirs."""
    high = glyphs.y1 - glyphs.y0
    low = high <= SHAPE_HEIGHT * median(high[glyphs.letter])
    return glyphs.of(low) if (low & glyphs.letter).any() else glyphs


def _without_sign(glyphs: Glyphs, letter: npt.NDArray[np.intp]) -> Glyphs | None:
    high = glyphs.y1 - glyphs.y0
    for end, others, gap in (
        (letter[0], letter[1:], glyphs.x0[letter[1]] - glyphs.x1[letter[0]]),
        (letter[-1], letter[:-1], glyphs.x0[letter[-1]] - glyphs.x1[letter[-2]]),
    ):
        taller = high[end] > SIGN_HEIGHT * quantile(high[others], 0.9)
        if taller and gap > max(SIGN_GAP * median(high[others]), 2 * _usual_gap(glyphs, letter)):
            keep = np.ones(len(high), dtype=bool)
            keep[: end + 1] = keep[: end + 1] & (end != letter[0])
            keep[end:] = keep[end:] & (end != letter[-1])
            return glyphs.of(keep)
    return None


def _without_strange_end(glyphs: Glyphs) -> Glyphs | None:
    """Return the line without a first or last run of pieces that is set off and has no place in it, if there is one."""
    letter = np.flatnonzero(glyphs.letter)
    high = glyphs.y1 - glyphs.y0
    least = max(SIGN_GAP * median(high[letter]), 2 * _usual_gap(glyphs, letter))
    run = np.cumsum(np.append(False, glyphs.x0[1:] - np.maximum.accumulate(glyphs.x1)[:-1] > least))
    for end in (run == 0, run == run[-1]):
        rest = glyphs.letter & ~end
        most = 2 * max(np.count_nonzero(rest) / len(letter), glyphs.area[rest].sum() / glyphs.area[letter].sum())
        if np.count_nonzero(rest) < LEAST_LETTERS or most < 1:
            continue
        height = median(glyphs.y1[rest]) - quantile(glyphs.y0[rest], 0.1)
        stands, hangs = _in_line(glyphs, rest, IN_LINE * height)
        if stands[rest].mean() < ORDERLY:
            continue
        towers = high > TOWERS * height
        fits = (stands | hangs) & (high > LOW * height)
        if (end & towers).any() or not (end & fits).any():
            return glyphs.of(~end)
    return None


def _usual_gap(glyphs: Glyphs, letter: npt.NDArray[np.intp]) -> float:
    return median(np.diff(glyphs.x0[letter]) - (glyphs.x1 - glyphs.x0)[letter[:-1]])
