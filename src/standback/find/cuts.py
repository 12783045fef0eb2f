"""Where one line ends and the next begins in a row of pieces."""

import numpy as np
import numpy.typing as npt

from standback.find.glyphs import Glyphs

CUT_BODIES, CUT_HEIGHTS = 1.3, 0.7
"""A reader reads on across a gap of up to 1.3 x the larger of the body and 0.7 x the line's height (ours)."""
SIGN_HEIGHT, SIGN_GAP, SIGN_OVER = 1.22, 0.28, 0.2
"""A piece at the end of a line, this much taller than the letters and set off this far, is a sign; so is any
piece that sticks out above and below the letters by such a share of their height (ours)."""

IN_LINE = 0.15
"""Letters that the proposer did not see stand on the line within this share of its height (ours)."""


def line_numbers(glyphs: Glyphs) -> npt.NDArray[np.intp]:
    """Return the number of the line each piece belongs to: a new one after every wide gap and around every sign.

    A sign is a piece that the letters inside the band are small beside: it sticks out above and below.
    """
    letter, window = glyphs.letter, glyphs.split.window
    inside = letter & (glyphs.x1 > window.left) & (glyphs.x0 < window.right)
    known = inside if inside.any() else letter
    top, bottom = np.quantile(glyphs.y0[known], 0.1), np.quantile(glyphs.y1[known], 0.9)
    height = bottom - top
    body = float(np.median((glyphs.y1 - glyphs.y0)[letter]))
    sign = (glyphs.y0 < top - SIGN_OVER * height) & (glyphs.y1 > bottom + SIGN_OVER * height)
    sign |= _strays(glyphs, inside, height) if inside.any() else False
    ends = np.maximum.accumulate(glyphs.x1)[:-1]
    wide = glyphs.x0[1:] - ends > CUT_BODIES * max(body, CUT_HEIGHTS * float(height))
    return np.cumsum(np.r_[False, wide | (sign[1:] != sign[:-1])])


def _strays(glyphs: Glyphs, inside: npt.NDArray[np.bool_], height: float) -> npt.NDArray[np.bool_]:
    """Tell which pieces beyond the band's ends neither stand on the line nor hang from its x-height."""
    slack = IN_LINE * height
    beyond = glyphs.letter & ~inside
    stands = np.abs(glyphs.y1 - np.median(glyphs.y1[inside])) < slack
    hangs = (np.abs(glyphs.y0 - np.median(glyphs.y0[inside])) < slack) & (glyphs.y1 > np.median(glyphs.y1[inside]))
    return beyond & ~stands & ~hangs


def trimmed(glyphs: Glyphs) -> Glyphs:
    """Take off a sign at either end, taller than the letters and set off from them."""
    for _ in range(2):
        letter = np.flatnonzero(glyphs.letter)
        if len(letter) < 4:
            return glyphs
        high = glyphs.y1 - glyphs.y0
        for end, gap in (
            (letter[0], glyphs.x0[letter[1]] - glyphs.x1[letter[0]]),
            (letter[-1], glyphs.x0[letter[-1]] - glyphs.x1[letter[-2]]),
        ):
            others = np.delete(letter, np.flatnonzero(letter == end))
            usual = np.median(np.diff(glyphs.x0[letter]) - (glyphs.x1 - glyphs.x0)[letter[:-1]])
            taller = high[end] > SIGN_HEIGHT * np.quantile(high[others], 0.9)
            if taller and gap > max(SIGN_GAP * np.median(high[others]), 2 * usual):
                keep = np.ones(len(high), dtype=bool)
                keep[: end + 1] = keep[: end + 1] & (end != letter[0])
                keep[end:] = keep[end:] & (end != letter[-1])
                glyphs = glyphs.of(keep)
                break
        else:
            return glyphs
    return glyphs
