"""Stroke width: the middle width of the ink along its centre line."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from skimage.morphology import skeletonize

from standback.find.glyphs import Doubles, Glyphs
from standback.find.order import median, quantile_of_ordered
from standback.find.split import Flags, Floats
from standback.masks import grown

FINE_STROKE, MOST_FINE = 9.0, 8
"""Strokes are enlarged to about this many samples, at most so many times, before they are measured (ours)."""
MOST_SAMPLES, LEAST_HEIGHTS = 40_000, 7.0
"""A long line is measured from its middle out, until this much is seen, but not less than 7 letter heights."""
_FIRST_REACH = 8
"""Strokes enlarged to 9 samples are 5 deep at most, where they don't cross."""
_MOST_IN_BYTES = 254


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """Stroke width in samples, the mean of the middle half of all, and how far that half spreads as a share of it."""

    width: float
    uneven: float


def stroke_of(glyphs: Glyphs, letter: float, rough: float) -> Stroke:
    """Measure the strokes, about `rough` samples wide, of a line whose letters are `letter` samples high.

    The outline is taken where the ink covers half, on an enlarged picture, so widths come out to a
    fraction of a sample; ends of strokes, where the centre line runs out, are left off.
    """
    fine = int(np.clip(np.ceil(FINE_STROKE / rough), 1, MOST_FINE))
    rows, _ = glyphs.place(2)
    half = max(MOST_SAMPLES / (fine**2 * (rows.stop - rows.start)), LEAST_HEIGHTS * letter) / 2
    left, right = glyphs.x0[0] - 2, glyphs.x1.max() + 2
    middle = (left + right) / 2
    columns = slice(max(0, int(max(left, middle - half))), int(min(right, middle + half)))
    own = grown(glyphs.mask[rows, columns], corners=False)
    cover = np.where(own, np.clip(glyphs.split.cover[rows, columns], 0, 1), 0)
    # older versions of scikit-image take no other order of rows and columns
    ink = np.ascontiguousarray(enlarged(cover, fine) > 0.5)
    # the centre of an odd width w lies (w + 1) / 2 from the ground, the two centres of an even one w / 2
    widths = 2 * depth_at(ink, skeletonize(ink)) - 0.5
    if not len(widths):
        return Stroke(width=1.0, uneven=1.0)
    whole = widths[widths > 0.35 * median(widths)]
    stroke = middle_of(whole)
    return Stroke(width=stroke.width / fine, uneven=stroke.uneven)


def middle_of(widths: Doubles) -> Stroke:
    """Return the middle of some widths, (N,): a median would be a whole or half sample."""
    ordered = np.sort(widths)
    low, middle, high = (quantile_of_ordered(ordered, share) for share in (0.25, 0.5, 0.75))
    inner = widths[(widths >= low) & (widths <= high)]
    # of two widths none lies between the quarters
    width = float(inner.mean()) if len(inner) else middle
    return Stroke(width=width, uneven=(high - low) / middle)


def enlarged(cover: Floats, times: int) -> Floats:
    """Put so many samples a side in the place of each, on straight lines between their middles."""
    return _stretched(_stretched(cover, times).T, times).T


def _stretched(cover: Floats, times: int) -> Floats:
    if times == 1:
        return cover
    framed = np.concatenate([cover[:1], cover, cover[-1:]])
    fine = np.empty((len(cover), times, *cover.shape[1:]), np.float32)
    for n in range(times):
        away = (n + 0.5) / times - 0.5
        beside = framed[:-2] if away < 0 else framed[2:]
        fine[:, n] = (1 - abs(away)) * cover + abs(away) * beside
    return fine.reshape(-1, *cover.shape[1:])


def depth_at(ink: Flags, chosen: Flags) -> Doubles:
    """Distance of each chosen sample of the ink (H, W) from the nearest one that isn't ink: (N,).

    That of a distance transform, which would go on to all other samples. Where there is ink only, more than a sample
    can be away.
    """
    reach = _FIRST_REACH
    while True:
        squared = _squared_depth(ink, chosen, reach)
        if reach >= max(ink.shape) or not (squared > reach**2).any():
            depth: Doubles = np.sqrt(squared, dtype=np.float64)
            return depth
        reach *= 2


def _squared_depth(ink: Flags, chosen: Flags, reach: int) -> npt.NDArray[np.int32]:
    """Return the square of that distance where it is within reach, else some larger number: (N,)."""
    height, width = ink.shape
    framed = np.ones((height, width + 2 * reach), dtype=bool)
    framed[:, reach:-reach] = ink
    # how far it is up or down, in bytes: a tenth of the time that numpy takes to accumulate along rows
    all_ink = framed.copy()
    far: npt.NDArray[np.integer] = framed.astype(np.uint16 if reach > _MOST_IN_BYTES else np.uint8)
    for step in range(1, reach + 1):
        all_ink[step:] &= framed[:-step]
        all_ink[:-step] &= framed[step:]
        np.add(far, all_ink, out=far)
    flat, at = far.ravel(), np.flatnonzero(chosen)
    at = at + reach * (2 * (at // width) + 1)
    squared: npt.NDArray[np.int32] = flat[at].astype(np.int32) ** 2
    left = np.arange(len(at))
    for step in range(1, reach + 1):
        left = left[squared[left] > step**2]
        if not len(left):
            break
        there = np.minimum(flat[at[left] - step], flat[at[left] + step]).astype(np.int32)
        squared[left] = np.minimum(squared[left], there**2 + step**2)
    return squared
