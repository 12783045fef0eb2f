"""Square codes and bar codes: dense upright blocks that are read by machines, not by viewers."""

from collections.abc import Iterator

import numpy as np
from scipy import ndimage

from standback.find.detail_groups import cell_px
from standback.find.detail_thin import Codes, Flags, Indices, Thin, most

LEAST_MM, MOST_MM = 8.0, 80.0
"""Larger codes have no fine modules (ours)."""
JOINTS_MM, LUMP_MM = (1.0, 2.0, 3.0), 5.0
"""Blocks of a code are no farther apart than the one, and together no thinner than the other (ours)."""
DENSE = 0.4
"""Share of thin pixels, dark or light, in a cell of a code (ours)."""
UNEVEN = 0.3
"""Bars of a code differ in width, hatching does not: deviation over mean (ours)."""
LEAST_RUNS = 6.0
INK_SHARES = (0.25, 0.75)
FULL_EDGE = 0.9
MOST_OBLONG, SQUARE = 5.0, 1.15

CodeBox = tuple[int, int, int, int]


def code_boxes(codes: Codes, thin: Thin, unsure: Flags) -> list[CodeBox]:
    """Find codes; half-open boxes (x0, y0, x1, y1) on the finest level.

    Parameters
    ----------
    unsure
        Where on the finest level lines stand that may be rows of a code instead.
    """
    cell = cell_px(codes)
    count = _in_cells(thin.polarity > 0, cell) + _in_cells(unsure, cell)
    dense = ndimage.binary_closing(count >= DENSE * cell**2)
    labels, _ = ndimage.label(ndimage.binary_opening(dense))
    found: list[CodeBox] = []
    for rows, columns in ndimage.find_objects(labels):
        area = tuple(slice(max(s.start - 2, 0) * cell, (s.stop + 2) * cell) for s in (rows, columns))
        found.extend(_codes_in(codes, *area))
    found.sort(key=lambda box: -(box[2] - box[0]) * (box[3] - box[1]))
    return [box for n, box in enumerate(found) if not any(_overlap(box, other) for other in found[:n])]


def _in_cells(flags: Flags, cell: int) -> Indices:
    """Count the set samples in cells; the last ones reach beyond the sheet."""
    height, width = flags.shape
    down, across = np.pad(flags, ((0, cell - height % cell), (0, 0))), cell - width % cell
    # narrow numbers first: numpy takes a third of the time
    rows = down.reshape(-1, cell, width).sum(axis=1, dtype=np.uint16)
    return np.asarray(np.pad(rows, ((0, 0), (0, across))).reshape(len(rows), -1, cell).sum(axis=2, dtype=np.intp))


def _overlap(one: CodeBox, other: CodeBox) -> bool:
    return max(one[0], other[0]) < min(one[2], other[2]) and max(one[1], other[1]) < min(one[3], other[3])


def _codes_in(codes: Codes, rows: slice, columns: slice) -> Iterator[CodeBox]:
    """Yield the boxes of what looks like codes within a part of the sheet."""
    least, most = LEAST_MM * codes.px_per_mm, MOST_MM * codes.px_per_mm
    if min(rows.stop - rows.start, columns.stop - columns.start) < least:
        return
    red, green, blue = np.moveaxis(codes.piece(rows, columns), 2, 0)
    lightness = np.add(red, green, dtype=np.float32)
    lightness += blue
    lightness /= 3
    middle = float(np.percentile(lightness, [5, 95]).mean())
    lump = round(LUMP_MM * codes.px_per_mm)
    for joint in (max(3, round(mm * codes.px_per_mm)) for mm in JOINTS_MM):
        for ink in (lightness < middle, lightness > middle):
            lumps = _opened(_opened(np.pad(ink, joint), joint, closing=True), lump)[joint:-joint, joint:-joint]
            labels, _ = ndimage.label(lumps)
            for y, x in ndimage.find_objects(labels):
                # a code on a panel of its own is what the panel leaves open
                for part in (ink[y, x], ~ink[y, x]):
                    inked, across = (np.flatnonzero(part.any(axis=axis)) for axis in (1, 0))
                    if not least <= min(len(inked), len(across)) <= max(len(inked), len(across)) <= most:
                        continue
                    top, left, bottom, right = (int(v) for v in (inked[0], across[0], inked[-1] + 1, across[-1] + 1))
                    if _is_code(part[top:bottom, left:right]):
                        at_x, at_y = columns.start + x.start, rows.start + y.start
                        yield at_x + left, at_y + top, at_x + right, at_y + bottom


def _opened(mask: Flags, side: int, *, closing: bool = False) -> Flags:
    """Open, or close, with a square."""
    flags = np.pad((mask if closing else ~mask).view(np.uint8), side - 1)
    once = most(flags, side)
    return np.asarray(most(1 - once, side) != closing)


def _is_code(ink: Flags) -> bool:
    height, width = ink.shape
    oblong = max(height, width) / min(height, width)
    if oblong > MOST_OBLONG or not INK_SHARES[0] < ink.mean() < INK_SHARES[1]:
        return False
    if oblong < SQUARE and min(_runs(ink), _runs(ink.T)) >= LEAST_RUNS and _finder_corners(ink) >= 3:
        return True
    return _is_bars(ink) or _is_bars(ink.T)


def _is_bars(ink: Flags) -> bool:
    """Tell upright bars of uneven width from all else."""
    share = ink.mean(axis=0)
    if ((share > 0.1) & (share < 0.9)).mean() > 0.15:
        return False
    edges = np.flatnonzero(np.diff((share > 0.5).astype(np.int8)))
    widths = np.diff(edges)[::2]
    return len(widths) > 2 * LEAST_RUNS and bool(widths.std() >= UNEVEN * widths.mean())


def _finder_corners(ink: Flags) -> int:
    """How many corners have the frame of a finder pattern, seven modules of at most 41 a side."""
    found = 0
    if max(ink[:2].mean(), ink[-2:].mean(), ink[:, :2].mean(), ink[:, -2:].mean()) > FULL_EDGE:
        return 0
    for turned in (ink, ink[:, ::-1], ink[::-1], ink[::-1, ::-1]):
        sides = []
        for edge in (turned, turned.T):
            depth, along = max(1, round(len(edge) / 60)), edge.shape[1]
            sides.append(edge[depth, round(0.05 * along) : round(0.16 * along)].mean() >= 0.85)
        found += all(sides)
    return found


def _runs(ink: Flags) -> float:
    """Count the runs of ink a row."""
    edges = np.diff(np.pad(ink, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    return float((edges == 1).sum() / len(ink))
