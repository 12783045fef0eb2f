"""A line as a reader wants it: level, of one height, from the artwork or from what is seen of it."""

from math import ceil, cos, radians, sin

import numpy as np
import numpy.typing as npt

from standback.artwork import Artwork, Level, linear_crop
from standback.elements import Box, Line
from standback.light import linear_to_srgb8
from standback.viewing import Seen
from standback.wording.reader import CROP_PX, Crop

MARGIN = 0.18
"""Ground around the ink, as a share of its height (ours)."""
_MOST_POINTS = 4000

Doubles = npt.NDArray[np.float64]


def near_crop(
    line: Line, artwork: Artwork, *, margin: float = MARGIN, stretched: float = 1.0, also: Box | None = None
) -> Crop:
    """Return a line as it stands on the artwork, averaged to the height that a reader looks at.

    Parameters
    ----------
    stretched
        How many times as wide as it is: readers part narrow letters better so.
    also
        A box that the crop takes in as well, of a level line.
    """
    frame = _frame(line, margin, also, stretched)
    fine = frame.height_px / CROP_PX
    levels = [level for level in artwork.levels if level.scale <= max(fine, 1.0)]
    if levels:
        return _sampled(frame, _as_seen(levels[-1], frame))
    box = frame.around(Box(x0=0, y0=0, x1=artwork.width_px, y1=artwork.height_px))
    scale = max(1, int(fine))
    picture = linear_crop(artwork, box, scale)
    return _sampled(frame, Seen(linear=picture, scale_px=scale, origin_px=(box.x0, box.y0), px_per_deg=1.0))


def seen_line(line: Line, seen: Seen, *, margin: float = MARGIN, stretched: float = 1.0) -> Crop:
    """Return a line as it is seen, as large as a reader looks at it: nothing is added by enlarging it."""
    return _sampled(_frame(line, margin, None, stretched), seen)


class _Frame:
    """The rectangle around a line's ink along its own direction, in original pixels."""

    def __init__(self, middle: tuple[float, float], size: tuple[float, float], turn: float, stretched: float) -> None:
        self.middle, (self.width_px, self.height_px), self.turn = middle, size, turn
        self.stretched = stretched

    def places(self) -> tuple[Doubles, Doubles]:
        """Return x and y of the crop's samples."""
        across = max(8, ceil(self.stretched * self.width_px / self.height_px * CROP_PX))
        along = ((np.arange(across) + 0.5) / across - 0.5) * self.width_px
        down = ((np.arange(CROP_PX) + 0.5) / CROP_PX - 0.5)[:, None] * self.height_px
        c, s = cos(self.turn), sin(self.turn)
        return self.middle[0] + along * c + down * s, self.middle[1] - along * s + down * c

    def around(self, within: Box) -> Box:
        """Return the box that holds it, and a little more."""
        x, y = self.places()
        return Box(
            x0=int(max(x.min() - 2, within.x0)),
            y0=int(max(y.min() - 2, within.y0)),
            x1=ceil(min(x.max() + 2, within.x1)),
            y1=ceil(min(y.max() + 2, within.y1)),
        )


def _frame(line: Line, margin: float, also: Box | None, stretched: float) -> _Frame:
    turn = radians(line.angle_deg)
    rows, columns = np.nonzero(line.mask)
    step = max(1, len(rows) // _MOST_POINTS)
    x = line.box_px.x0 + (columns[::step] + 0.5) * line.mask_scale
    y = line.box_px.y0 + (rows[::step] + 0.5) * line.mask_scale
    if abs(line.angle_deg) < 0.3:
        box = line.box_px
        x, y = np.array([box.x0, box.x1], dtype=float), np.array([box.y0, box.y1], dtype=float)
        if also is not None:
            x, y = np.r_[x, also.x0, also.x1], np.r_[y, also.y0, also.y1]
    c, s = cos(turn), sin(turn)
    along, down = x * c - y * s, x * s + y * c
    (left, right), (top, bottom) = (along.min(), along.max()), (down.min(), down.max())
    a, d = (left + right) / 2, (top + bottom) / 2
    height = float(bottom - top)
    size = (float(right - left) + 2 * margin * height, height * (1 + 2 * margin))
    return _Frame((a * c + d * s, -a * s + d * c), size, turn, stretched)


def _as_seen(level: Level, frame: _Frame) -> Seen:
    """Return the part of a level that holds a frame, and a sample around it."""
    (left, top), scale, (height, width) = level.origin_px, level.scale, level.shape
    x, y = frame.places()
    (y0, y1), (x0, x1) = (
        (max(0, min(int((place.min() - start) // scale) - 1, n - 1)), max(1, int((place.max() - start) // scale) + 2))
        for place, start, n in ((y, top, height), (x, left, width))
    )
    return Seen(
        linear=level.part(slice(y0, y1), slice(x0, x1)),
        scale_px=scale,
        origin_px=(left + x0 * scale, top + y0 * scale),
        px_per_deg=1.0,
    )


def _sampled(frame: _Frame, seen: Seen) -> Crop:
    linear = seen.at(*frame.places())
    if linear.ndim == 2:
        linear = np.repeat(linear[..., None], 3, axis=2)
    codes: Crop = linear_to_srgb8(np.clip(linear, 0.0, 1.0))
    return codes
