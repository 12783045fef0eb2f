"""The word for a patch of fine detail."""

import numpy as np

from standback.find.detail_doubts import coherence
from standback.find.detail_ink import Ink
from standback.find.detail_marks import Marks

LEVEL = 0.92
"""Length over what rows and columns meet: 0.95 where all is level or upright, down to 0.67 where slanted (ours)."""
LOOP = 2.2
"""Outlines are so many times longer than they are large; a circle is pi times (ours)."""
ALIGNED, LEAST_HATCHES = 0.8, 4
"""Hatching runs one way, in at least so many strokes (ours)."""
HALFTONE_MM, LEAST_SCREEN = 0.65, 100
"""Dots as close as in a printer's screen of 40 lines an inch, and so many, are one (ours)."""
MIXED = 0.25
"""Dots and strokes that both make up this share of the ink are a texture (ours)."""


def kind_of(marks: Marks, ink: Ink, *, width: int, pitch_mm: float | None) -> str:
    """Name a patch: `width` is that of the level the marks lie on."""
    if ink.dots:
        halftone = pitch_mm is not None and pitch_mm < HALFTONE_MM and len(marks) >= LEAST_SCREEN
        return "halftone" if halftone else "dots"
    if marks.dot_share > MIXED:
        return "texture"
    length = np.maximum(marks.half_outline - marks.width, 1.0)
    if length.sum() > LEVEL * (marks.by_rows.sum() + marks.by_columns.sum()):
        return "rule"
    large = np.maximum(marks.x1 - marks.x0, marks.y1 - marks.y0)
    if np.average(length / large, weights=length) > LOOP:
        return "outline"
    if len(marks) == 1:
        return "stroke"
    if ink.pitch_px is not None and len(marks) >= LEAST_HATCHES and coherence(marks, width) > ALIGNED:
        return "hatching"
    return "strokes"
