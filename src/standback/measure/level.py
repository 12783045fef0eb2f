"""A line's own direction: where its samples lie along it and across it, however it is turned."""

from math import cos, radians, sin

import numpy as np
import numpy.typing as npt

from standback.elements import Line, Mask

Doubles = npt.NDArray[np.float64]


def along_and_across(line: Line, shape: tuple[int, int]) -> tuple[Doubles, Doubles]:
    """Return how far along the line and across it (downwards) each sample of a picture over its box lies.

    In samples of the mask, from the box's first sample; two arrays of the picture's shape.
    """
    turn = radians(line.angle_deg)
    y, x = np.mgrid[: shape[0], : shape[1]].astype(np.float64)
    return x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn)


def own_strip(line: Line) -> Mask:
    """Return which samples of the box lie between the line's first and last letter, its highest and lowest.

    All of them but where the line leans: there the tight box holds much that isn't the line's.
    """
    if line.angle_deg % 90 == 0 or not line.mask.any():
        return np.ones_like(line.mask)
    along, across = along_and_across(line, line.mask.shape)
    strip = np.ones_like(line.mask)
    for places in (along, across):
        own = places[line.mask]
        strip &= (places >= own.min()) & (places <= own.max())
    return strip
