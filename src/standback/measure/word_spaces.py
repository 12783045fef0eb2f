"""The white between the words of a line, also of type too small for its letter gaps to be measured."""

import numpy as np
import numpy.typing as npt

from standback.elements import Line

LEAST_EM = 0.17
"""White wider than this, in ems, parts words: letters stand nearer, and faces' own spaces are wider (ours)."""
LEVEL_DEG = 0.5
"""Lines up to this angle have their words side by side in their mask (ours)."""


def word_spaces_em(line: Line, em_px: float) -> npt.NDArray[np.float64]:
    """Return the white between the words of a level line, from left to right, in ems; nothing of others.

    Unlike optical gaps this is the plain white between the nearest points, which a full stop or a T makes wider: a
    median over a line tells how it is set.
    """
    if abs(line.angle_deg) > LEVEL_DEG:
        return np.zeros(0)
    ink = np.concatenate([[True], line.mask.any(axis=0), [True]])
    change = np.diff(ink.astype(np.int8))
    widths = (np.flatnonzero(change == 1) - np.flatnonzero(change == -1)) * line.mask_scale / em_px
    return np.asarray(widths[widths >= LEAST_EM], dtype=np.float64)
