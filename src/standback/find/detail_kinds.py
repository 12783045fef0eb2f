"""The word for a patch of fine detail."""

import numpy as np

from standback.find.detail_ink import Ink
from standback.find.detail_marks import Marks
from standback.find.detail_thin import Codes

LEVEL = 0.92
STRAIGHT = 0.9
ALIGNED = 0.8
LOOP = 2.2
HALFTONE_MM = 0.65


def kind_of(marks: Marks, ink: Ink, codes: Codes) -> str:
    """Name a patch."""
    if ink.dots:
        return "dots"
    length = np.maximum(marks.half_outline - marks.width, 1.0)
    met = marks.by_rows + marks.by_columns
    level = float(length.sum() / met.sum()) 
    if level > LEVEL:
        return "rule"
    long = np.maximum(marks.x1 - marks.x0, marks.y1 - marks.y0)
    if np.average(length / long, weights=length) > LOOP:
        return "outline"
    if len(marks) == 1:
        return "stroke"
    if ink.pitch_px is not None and len(marks)>=4:
        return "hatching"
    return "strokes"
