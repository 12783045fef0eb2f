"""What is left of a line's contrast at a distance."""

import numpy as np
import numpy.typing as npt

from standback.elements import Box, Line
from standback.light import ratio_of_luminances
from standback.masks import grown
from standback.measure.level import own_strip
from standback.stock import Stock
from standback.viewing import Seen

RING_SAMPLES = 4000
MOST_SAMPLES = 20_000
"""Enough points for a mean to four digits; more would only cost time (ours)."""
LEAST_CORE_SHARE = 0.15
"""Where strokes are so thin that only the places where they meet have a core, the mask stands for the ink: what is
seen there is not what is seen of the strokes (ours; as where the ink's colour is measured)."""

Places = npt.NDArray[np.floating]


def _points(line: Line, picture: npt.NDArray[np.bool_]) -> tuple[Places, Places]:
    """Centres of the True samples of a picture over the line's box, in original px; thinned evenly."""
    ys, xs = np.nonzero(picture)
    step = max(1, len(ys) // MOST_SAMPLES)
    scale = line.mask_scale
    return (
        line.box_px.x0 + (xs[::step] + 0.5) * scale,
        line.box_px.y0 + (ys[::step] + 0.5) * scale,
    )


def printed_ratio(luminance1_a: float, luminance1_b: float, stock: Stock | None) -> float:
    """WCAG ratio of two luminances, as printed where a stock is named: optics and ink are linear alike."""
    if stock is None:
        return ratio_of_luminances(luminance1_a, luminance1_b)
    return ratio_of_luminances(stock.printed1(luminance1_a), stock.printed1(luminance1_b))


def seen_ratio(line: Line, seen: Seen, stock: Stock | None = None) -> float | None:
    """Ratio of the seen ink cores to the seen spaces between and inside the letters of the tight box.

    None where the line has no ink core or no spaces.
    """
    pair = seen_luminances1(line, seen)
    return None if pair is None else printed_ratio(*pair, stock)


def seen_luminances1(line: Line, seen: Seen) -> tuple[float, float] | None:
    """Mean seen luminance of the ink cores, and of the spaces; None as in `seen_ratio`."""
    ample = np.count_nonzero(line.core) >= LEAST_CORE_SHARE * np.count_nonzero(line.mask)
    ink = line.core if ample else line.mask
    spaces = ~grown(line.mask, corners=False)
    if not spaces.any():
        spaces = ~line.mask
    spaces &= own_strip(line)
    if not ink.any() or not spaces.any():
        return None
    ink_y = float(np.mean(seen.at(*_points(line, ink)), dtype=np.float64))
    spaces_y = float(np.mean(seen.at(*_points(line, spaces)), dtype=np.float64))
    return ink_y, spaces_y


def with_ring(line: Line, sheet: Box) -> Box:
    """Return the line's box and a ring around it, one letter height wide, cut at the sheet's edge."""
    return line.box_px.grown(max(2, round(line.letter_px)), sheet)


def block_ratio(line: Line, seen: Seen, sheet: Box, stock: Stock | None = None) -> float | None:
    """Ratio of the mean seen luminance in the line's box to the median of a ring one letter height wide.

    The median, since a band or a picture that the ring touches is not what the line stands on. None where
    the line fills the sheet and leaves no ring.
    """
    pair = block_luminances1(line, seen, sheet)
    return None if pair is None else printed_ratio(*pair, stock)


def block_luminances1(line: Line, seen: Seen, sheet: Box) -> tuple[float, float] | None:
    """Mean seen luminance of the line's box, and the median of the ring; None as in `block_ratio`."""
    inner = line.box_px
    outer = with_ring(line, sheet)
    step = max(1.0, ((outer.area - inner.area) / RING_SAMPLES) ** 0.5)
    xs, ys = np.meshgrid(np.arange(outer.x0 + step / 2, outer.x1, step), np.arange(outer.y0 + step / 2, outer.y1, step))
    outside = (xs < inner.x0) | (xs >= inner.x1) | (ys < inner.y0) | (ys >= inner.y1)
    if not outside.any():
        return None
    ring = float(np.median(seen.at(xs[outside], ys[outside])))
    return max(seen.mean(inner), 0.0), max(ring, 0.0)
