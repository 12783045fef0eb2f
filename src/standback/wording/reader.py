"""What reads letters, behind a seam: pictures of lines in, wording out."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Crop = npt.NDArray[np.uint8]
"""(CROP_PX, w, 3) sRGB codes of one line, its reading direction to the right."""

CROP_PX = 48


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What one line says.

    Attributes
    ----------
    confidence
        0 to 1: the mean over its letters; 0 where nothing was read.
    """

    wording: str
    confidence: float


NOTHING_READ = Reading(wording="", confidence=0.0)

Reader = Callable[[Sequence[Crop]], tuple[Reading, ...]]
"""Reads lines in the order given. The same crop gives the same reading, whatever stands beside it."""
