"""Square codes and bar codes: dense upright blocks that are read by machines, not by viewers."""

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.find.detail_groups import cell_px
from standback.find.detail_marks import outlines_of
from standback.find.detail_thin import Codes, Flags, Thin

LEAST_MM = 8.0
DENSE = 0.4
"""Share of thin pixels, dark or light, in a cell of a code (ours)."""
FILLED = 0.75
"""Share of its box that a code fills (ours)."""
UPRIGHT = 0.9
"""Length of outline over what rows and columns meet: 0.95 where all edges are level or upright, 0.75 in text."""
UNEVEN = 0.3
"""Runs of a code differ in length, those of hatching and chequers do not: deviation over mean (ours)."""
LEAST_RUNS = 6.0
INK_SHARES = (0.25, 0.75)
MOST_OBLONG = 5.0

Counts = npt.NDArray[np.intp]
CodeBox = tuple[int, int, int, int]


def code_boxes(codes: Codes, dark: Thin, light: Thin) -> list[CodeBox]:
    """Find codes; half-open boxes (x0, y0, x1, y1) on the finest level."""
    cell = cell_px(codes)
    shape = (codes.height // cell + 1, codes.width // cell + 1)
    count = np.zeros(shape, dtype=np.intp)
    for thin in (dark, light):
        y, x = np.divmod(thin.at, codes.width)
        count += np.bincount(y // cell * shape[1] + x // cell, minlength=count.size).reshape(shape)
    dense = ndimage.binary_closing(count >= DENSE * cell**2)
    labels, _ = ndimage.label(ndimage.binary_opening(dense))
    found = []
    for rows, columns in ndimage.find_objects(labels):
        box = _tight(codes, slice(max(rows.start - 1, 0) * cell, (rows.stop + 1) * cell),
                     slice(max(columns.start - 1, 0) * cell, (columns.stop + 1) * cell), codes.px_per_mm)
        if box is not None:
            found.append(box)
    return found


def _tight(codes: Codes, rows: slice, columns: slice, px_per_mm: float) -> CodeBox | None:
    """Return the box around the ink of what looks like a code, None where it doesn't."""
    if min(rows.stop - rows.start, columns.stop - columns.start) < LEAST_MM * px_per_mm:
        return None
    lightness = codes.piece(rows, columns).astype(np.float32).mean(axis=2)
    low, high = np.percentile(lightness, [5, 95])
    middle = (low + high) / 2
    for ink in (lightness < middle, lightness > middle):
        if not ink[0].mean() < 0.5 > ink[:, 0].mean():
            continue
        labels, _ = ndimage.label(ndimage.binary_closing(np.pad(ink, 8), iterations=6))
        boxes = ndimage.find_objects(labels)
        if not boxes:
            continue
        y, x = max(boxes, key=lambda s: (s[0].stop - s[0].start) * (s[1].stop - s[1].start))
        y0, y1, x0, x1 = max(y.start - 8, 0), y.stop - 8, max(x.start - 8, 0), x.stop - 8
        if min(y1 - y0, x1 - x0) >= LEAST_MM * px_per_mm and _is_code(ink[y0:y1, x0:x1]):
            return columns.start + x0, rows.start + y0, columns.start + x1, rows.start + y1
    return None


def _is_code(ink: Flags) -> bool:
    height, width = ink.shape
    if max(height, width) > MOST_OBLONG * min(height, width):
        return False
    if not INK_SHARES[0] < ink.mean() < INK_SHARES[1]:
        return False
    whole = outlines_of(ink.astype(np.int32))
    met_rows, met_columns = float(whole.by_rows[0]), float(whole.by_columns[0])
    if whole.half_outline[0] < UPRIGHT * (met_rows + met_columns):
        return False
    runs, uneven = zip(*(_runs(ink), _runs(ink.T)), strict=True)
    return (min(runs) >= LEAST_RUNS and min(uneven) >= UNEVEN) or (
        max(runs) >= 2 * LEAST_RUNS and uneven[int(np.argmax(runs))] >= UNEVEN and min(runs) < 1.5
    )


def _runs(ink: Flags) -> tuple[float, float]:
    """Runs of ink a row, and how much their length varies."""
    edges = np.diff(np.pad(ink, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    start, end = np.nonzero(edges == 1)[1], np.nonzero(edges == -1)[1]
    length = end - start
    return len(length) / len(ink), float(length.std() / max(length.mean(), 1))
