"""Proposes lines by the shapes alone: chains of alike strokes on every level of the pyramid."""

import numpy as np

from standback.artwork.model import Artwork, Level
from standback.find.bands import Band, thinned
from standback.find.chains import chains_of
from standback.find.marks import Marks, marks_of
from standback.find.strokes import Bytes

LEAST_LETTERS = 2
LETTER_WIDTH = 0.62
"""Mean advance of a letter in heights of the marks: how many letters a joined mark may hold."""
SURE_HEIGHT = 9.0
"""Marks lower than this, in samples, are seen too coarsely to be sure of (ours)."""
MOST_SLOPE = 0.08
"""Steeper chains are left to a finder of turned lines."""
MOST_FILL = 0.93
"""A chain of solid rectangles is no text."""


def propose(artwork: Artwork) -> tuple[Band, ...]:
    """Return where lines may run, the best first, one a line."""
    found = []
    for level in artwork.levels:
        for marks in marks_of(_codes(artwork, level)):
            for chain in chains_of(marks):
                band = _band(marks.of(chain), level)
                if band is not None:
                    found.append(band)
    return thinned(found)


def _codes(artwork: Artwork, level: Level) -> Bytes:
    """sRGB-like codes of a level; a plain square root is near enough to see contrast with."""
    if level.scale == 1:
        trim = artwork.trim_px
        return artwork.srgb8[trim.y0 : trim.y1, trim.x0 : trim.x1]
    codes: Bytes = (np.sqrt(level.linear) * np.float32(255) + np.float32(0.5)).astype(np.uint8)
    return codes


def _band(chain: Marks, level: Level) -> Band | None:
    letters = np.maximum(1, np.round(chain.width / (LETTER_WIDTH * chain.height))).sum()
    if letters < LEAST_LETTERS:
        return None
    height = float(np.median(chain.height))
    middle = float(np.median(chain.middle))
    centre_x = (chain.x0 + chain.x1) / 2
    span = float(np.ptp(centre_x))
    if span > 4 * height and abs(np.polyfit(centre_x, chain.middle, 1)[0]) > MOST_SLOPE:
        return None
    fill = chain.area / (chain.width * chain.height)
    if np.quantile(fill, 0.25) > MOST_FILL:
        return None
    scale, (ox, oy) = level.scale, level.origin_px
    return Band(
        x0=ox + scale * float(chain.x0[0]),
        x1=ox + scale * float(chain.x1.max()),
        middle_y=oy + scale * middle,
        body_px=scale * height,
        score=_score(chain, float(letters)) * min(1.0, height / SURE_HEIGHT) ** 0.5,
    )


def _score(chain: Marks, letters: float) -> float:
    """How alike the marks are in what letters of one line share, 0 to 1."""
    tall = np.maximum(chain.height, 1)
    spread_bottom = _spread(chain.y1) / float(np.median(tall))
    spread_top = _spread(chain.y0) / float(np.median(tall))
    uneven_stroke = _spread(chain.stroke) / float(np.median(chain.stroke))
    level = np.exp(-3 * min(spread_bottom, spread_top) - uneven_stroke)
    return float(level * (1 - np.exp(-letters / 3)))


def _spread(values: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
    return float(np.median(np.abs(values - np.median(values))))
