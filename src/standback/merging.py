"""The tone that a fine detail melts into when its parts are no longer told apart."""

from math import ceil

import numpy as np
import numpy.typing as npt
from scipy.ndimage import gaussian_filter, grey_closing

Picture = npt.NDArray[np.float32]

_CLOSED_PITCHES = 1.1
"""Gaps up to a pitch are closed; a little more, since a pitch is measured to a tenth (ours)."""
_PITCH_SAMPLES = 4
_BALANCINGS = 8


def merged_luminance1(luminance1: npt.ArrayLike, without1: npt.ArrayLike, *, pitch_px: float) -> Picture:
    """Replace a detail by the tone it melts into: the same ink, spread over it and the gaps in it.

    Two bars become one bar from outer edge to outer edge, hatching a patch of its mean tone, and a
    single stroke stays as it is: it has no parts.

    Parameters
    ----------
    luminance1, without1
        (h, w) relative luminance with the detail, and with its ink replaced by its ground.
    pitch_px
        Distance from one stroke or dot to the next; wider gaps stay open.
    """
    without = np.asarray(without1, dtype=np.float32)
    difference = np.asarray(luminance1, dtype=np.float32) - without
    if not difference.any():
        return without
    # the closing of the cover, not of a mask, keeps the edges of strokes to a fraction of a sample
    radius = ceil(_CLOSED_PITCHES * pitch_px / 2)
    cover = np.pad(np.abs(difference), radius)
    hull = grey_closing(cover, size=(2 * radius + 1, 2 * radius + 1))[radius:-radius, radius:-radius]
    hull /= hull.max()
    step = max(1, int(pitch_px / _PITCH_SAMPLES))
    tone = _evened(block_mean(difference, step), block_mean(hull, step), pitch_px / step)
    height, width = difference.shape
    merged: Picture = without + hull * tone.repeat(step, axis=0).repeat(step, axis=1)[:height, :width]
    return merged


def block_mean(picture: Picture, step: int) -> Picture:
    """Mean of blocks of `step` samples a side, the last ones filled up with 0.

    Parameters
    ----------
    picture
        (H, W).

    Returns
    -------
    (ceil(H / step), ceil(W / step))
    """
    height, width = picture.shape
    filled = np.pad(picture, ((0, -height % step), (0, -width % step)))
    blocks = filled.reshape(filled.shape[0] // step, step, filled.shape[1] // step, step)
    mean: Picture = blocks.mean(axis=(1, 3), dtype=np.float32)
    return mean


def _evened(difference: Picture, hull: Picture, sigma: float) -> Picture:
    """Return the tone that, laid over the hull, is the difference spread evenly within it.

    A smoothing a G a, balanced so that an even hull stays even and no ink is lost or gained: a is found by
    the symmetric scaling of Knight, Ruiz & Ucar (2014), SIAM Journal on Matrix Analysis 35:931.
    """

    def smooth(picture: Picture) -> Picture:
        low: Picture = gaussian_filter(picture, sigma, mode="constant", truncate=3.0)
        return low

    inside = hull > 0
    balance = inside.astype(np.float32)
    for _ in range(_BALANCINGS):
        spread = smooth(balance * hull)
        balance[inside] = np.sqrt(balance[inside] / spread[inside])
    return balance * smooth(balance * difference)
