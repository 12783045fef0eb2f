"""Groups of fine marks that a reviewer would name as one patch: same ink and ground, alike in width, near by."""

from dataclasses import dataclass
from math import ceil

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.find.detail_marks import Marks
from standback.find.detail_thin import FINE_MM, Codes, Flags, Indices
from standback.light import linear_to_oklab, srgb8_to_linear
from standback.masks import grown

Doubles = npt.NDArray[np.float64]

CELL_MM = 2.0
WIDEST_FACTOR = 1.3
"""Single marks of a fine group may be wider than fine ones by this factor (ours)."""
WEDGE_CONTACT, TIP_SLENDER = 1.6, 2.5
"""What runs into a larger shape over more than so many widths, or is shorter than about ten, is its tip (ours)."""
FRINGE_SLENDER, FRINGE_CONTACT = 60.0, 0.15
"""A fringe of strokes that join where they begin is far longer than its joint (ours)."""
NEAR_SHARE, NEAR_MM = 0.03, 6.0
"""Marks are near each other within this share of the sheet's shorter side, or within this (ours)."""
COLOUR_APART, COLOUR_SHARE = 0.06, 0.3
"""Colours are alike within this OKLab distance, or this share of the contrast (ours)."""
THIN_PX, THIN_SHARE = 2.5, 0.4
"""Strokes thinner than this may show only such a share of their contrast (ours)."""
WIDTH_FACTOR = 2.5
"""Widths are alike within this factor (ours)."""
MOST_COLOURS = 40
_EIGHT = np.ones((3, 3), dtype=np.bool_)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Group:
    """Marks of one patch, and the cells (flat, unique) that they lie in."""

    marks: Marks
    cells: Indices


def usable(marks: Marks, codes: Codes) -> Flags:
    """Tell the strokes and dots from tips and corners of larger shapes."""
    width, slender = marks.width, marks.slender
    stroke = (marks.contact <= WEDGE_CONTACT * width) & (slender >= TIP_SLENDER)
    fringe = (marks.contact <= FRINGE_CONTACT * marks.half_outline) & (slender >= FRINGE_SLENDER)
    fine = width <= WIDEST_FACTOR * FINE_MM * codes.px_per_mm
    return np.asarray(fine & ((marks.contact == 0) | stroke | fringe))


def groups_of(marks: Marks, codes: Codes) -> list[Group]:
    """Group marks, the largest class of colours first."""
    groups = []
    for alike in _alike(marks):
        groups.extend(_near(marks.of(alike), codes))
    return groups


def cells_of(marks: Marks, codes: Codes) -> Indices:
    """Cell of every pixel of the marks, flat."""
    cell = cell_px(codes)
    y, x = np.divmod(marks.pixels, codes.width)
    return np.asarray(y // cell * (codes.width // cell + 1) + x // cell)


def cell_px(codes: Codes) -> int:
    """Side of a cell on the finest level."""
    return max(4, round(CELL_MM * codes.px_per_mm))


def _alike(marks: Marks) -> list[Flags]:
    """Sort marks by colours and width: the largest left over leads each class."""
    ground, ink = (
        linear_to_oklab(srgb8_to_linear(np.rint(colour).astype(np.uint8))) for colour in (marks.ground, marks.ink)
    )
    contrast = ink - ground
    size, width = np.sqrt((contrast**2).sum(axis=1)).clip(1e-6), marks.width
    left = np.ones(len(marks), dtype=np.bool_)
    classes: list[Flags] = []
    while left.any() and len(classes) < MOST_COLOURS:
        lead = int(np.argmax(np.where(left, marks.area, 0)))
        near = max(COLOUR_APART, COLOUR_SHARE * float(size[lead]))
        alike = left & (((ground - ground[lead]) ** 2).sum(axis=1) < near**2)
        along = contrast @ contrast[lead] / size[lead]
        low = np.where(np.minimum(width, width[lead]) < THIN_PX, THIN_SHARE, 1 - COLOUR_SHARE)
        alike &= (along > low * size[lead]) & (along < size[lead] / low) & (size**2 - along**2 < near**2)
        alike &= np.abs(np.log(width / width[lead])) < np.log(WIDTH_FACTOR)
        alike[lead] = True
        classes.append(alike)
        left &= ~alike
    return classes


def _near(marks: Marks, codes: Codes) -> list[Group]:
    """Split a class where marks stand far apart."""
    cell = cell_px(codes)
    shape = (codes.height // cell + 1, codes.width // cell + 1)
    gap = max(NEAR_SHARE * min(codes.width, codes.height), NEAR_MM * codes.px_per_mm)
    reach = ceil(gap / cell / 2)
    at = cells_of(marks, codes)
    filled = np.zeros(shape, dtype=np.bool_)
    filled.ravel()[at] = True
    labels, count = ndimage.label(grown(filled, reach), structure=_EIGHT)
    group = np.zeros(len(marks), dtype=np.intp)
    group[marks.owner] = labels.ravel()[at]
    parts = (marks.of(group == n) for n in range(1, count + 1))
    return [Group(marks=part, cells=np.unique(cells_of(part, codes))) for part in parts]
