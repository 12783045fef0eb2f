"""Lines that lean or stand on end: turned upright to be measured, and their ink laid back where it was."""

from math import atan, ceil, cos, degrees, radians, sin

import numpy as np
from scipy import ndimage

from standback.artwork.model import Artwork
from standback.elements import Box, Line, Mask
from standback.find.bands import Band
from standback.find.glyphs import Glyphs
from standback.find.order import median
from standback.find.split import REACH_BODIES, Floats, Window, codes_at

LEVEL_DRIFT, FINE_DRIFT = 0.25, 0.08
"""A line that rises by less than this over its length, in body heights, is level; a leaning one is turned until it
rises by less than the second (ours)."""
SHORT_LEAN_DEG = 4.0
"""A shorter lean than this is not believed of a line of few letters (ours)."""
FEW_BODIES = 4.0
LEAST_FEET, MOST_FEET, LONG_BODIES, PLAINLY = 5, 40, 5.0, 0.5
"""A lean is read from the feet of so many letters, over such a length, if it halves their scatter (ours)."""
SAME_DIRECTION_DEG = 10.0
_POINTS = 400


def frame_deg(band: Band) -> float:
    """Return by how much a line is turned, counter-clockwise: a whole quarter where it is level with one."""
    quarter = 90.0 * round(band.angle_deg / 90)
    lean = band.angle_deg - quarter
    length = band.x1 - band.x0
    level = length * abs(sin(radians(lean))) < LEVEL_DRIFT * band.body_px
    if level or (length < FEW_BODIES * band.body_px and abs(lean) < SHORT_LEAN_DEG):
        return -180.0 if quarter == 180 else quarter
    return band.angle_deg


def window_of(artwork: Artwork, band: Band, side_bodies: float, scale: int) -> Window | None:
    """Cut the surroundings of a band out of the artwork, turned so that the line runs level."""
    angle = frame_deg(band)
    if angle == 0:
        return Window.around(artwork, band, side_bodies, scale)
    trim = artwork.trim_px
    height, width = _shape(artwork, scale)
    # all in samples of the source from here on
    x = ((band.x0 + band.x1) / 2 - trim.x0) / scale
    y = (band.middle_y - trim.y0) / scale
    body, half = band.body_px / scale, (band.x1 - band.x0) / 2 / scale
    across, along = REACH_BODIES * body, half + side_bodies * body
    if not (0 <= x <= width and 0 <= y <= height):
        return None
    c, s = cos(radians(angle)), sin(radians(angle))
    if angle % 90 == 0:
        reach_x, reach_y = (across, along) if angle % 180 else (along, across)
        left, right = max(0, int(x - reach_x)), min(width, ceil(x + reach_x))
        top, bottom = max(0, int(y - reach_y)), min(height, ceil(y + reach_y))
        corner: tuple[float, float] = {90: (left, bottom), -90: (right, top), -180: (right, bottom)}[int(angle)]
        part = codes_at(artwork, scale, slice(top, bottom), slice(left, right))
        codes = np.rot90(part, {90: -1, -90: 1, -180: 2}[int(angle)])
        ends = {90: (bottom == height, top == 0), -90: (top == 0, bottom == height), -180: (right == width, left == 0)}
        at_edge = ends[int(angle)]
    else:
        corner = (x - along * c - across * s, y + along * s - across * c)
        codes = _turned(artwork, scale, corner, (ceil(2 * across), ceil(2 * along)), c, s)
        at_edge = (False, False)
    if min(codes.shape[:2]) < 3:
        return None
    dx, dy = x - corner[0], y - corner[1]
    centre = dx * c - dy * s
    return Window(
        codes=np.ascontiguousarray(codes, dtype=np.float32),
        scale=scale,
        x0=trim.x0 + corner[0] * scale,
        y0=trim.y0 + corner[1] * scale,
        middle=dx * s + dy * c,
        body=body,
        left=centre - half,
        right=centre + half,
        at_edge=at_edge,
        angle_deg=angle,
    )


def laid_back(window: Window, mask: Mask, top: int, left: int, trim: Box) -> tuple[Box, Mask]:
    """Return the box and mask in the artwork's own pixels of ink found at (top, left) of a turned window."""
    c, s, scale = cos(radians(window.angle_deg)), sin(radians(window.angle_deg)), window.scale
    ox, oy = (window.x0 - trim.x0) / scale, (window.y0 - trim.y0) / scale
    height, width = mask.shape
    columns, rows = np.array([left, left + width] * 2), np.repeat([top, top + height], 2)
    xs, ys = ox + columns * c + rows * s, oy - columns * s + rows * c
    most_x, most_y = ceil(trim.width / scale), ceil(trim.height / scale)
    x0, x1 = (int(np.clip(v, 0, most_x)) for v in (np.floor(xs.min() + 1e-6), np.ceil(xs.max() - 1e-6)))
    y0, y1 = (int(np.clip(v, 0, most_y)) for v in (np.floor(ys.min() + 1e-6), np.ceil(ys.max() - 1e-6)))
    y, x = np.mgrid[y0:y1, x0:x1] + 0.5
    column = np.floor((x - ox) * c - (y - oy) * s + 1e-6).astype(int) - left
    row = np.floor((x - ox) * s + (y - oy) * c + 1e-6).astype(int) - top
    inside = (column >= 0) & (column < width) & (row >= 0) & (row < height)
    laid = np.zeros(inside.shape, dtype=bool)
    laid[inside] = mask[row[inside], column[inside]]
    own_rows, own_columns = np.flatnonzero(laid.any(axis=1)), np.flatnonzero(laid.any(axis=0))
    if len(own_rows):
        laid = laid[own_rows[0] : own_rows[-1] + 1, own_columns[0] : own_columns[-1] + 1]
        x0, y0 = x0 + int(own_columns[0]), y0 + int(own_rows[0])
    box = Box(
        x0=trim.x0 + x0 * scale,
        y0=trim.y0 + y0 * scale,
        x1=min(trim.x0 + (x0 + max(laid.shape[1], 1)) * scale, trim.x1),
        y1=min(trim.y0 + (y0 + max(laid.shape[0], 1)) * scale, trim.y1),
    )
    return box, laid


def lean_deg(glyphs: Glyphs) -> float:
    """Return by how much the letters' feet rise along a window, counter-clockwise; 0 where that isn't plain."""
    x, y = ((glyphs.x0 + glyphs.x1) / 2)[glyphs.letter], glyphs.y1[glyphs.letter]
    if len(x) < LEAST_FEET or np.ptp(x) < LONG_BODIES * glyphs.split.window.body:
        return 0.0
    first, second = np.triu_indices(min(len(x), MOST_FEET), 1)
    chosen = np.linspace(0, len(x) - 1, min(len(x), MOST_FEET)).astype(int)
    across, along = y[chosen][second] - y[chosen][first], x[chosen][second] - x[chosen][first]
    far = along > 0.3 * np.ptp(x)
    slope = median(across[far] / along[far])
    off, level = y - slope * x, np.abs(y - median(y))
    least, plainly = (LEVEL_DRIFT, PLAINLY) if glyphs.split.window.angle_deg % 90 == 0 else (FINE_DRIFT, 1.0)
    plain = median(np.abs(off - median(off))) < plainly * median(level)
    if abs(slope) * np.ptp(x) < least * glyphs.split.window.body or not plain:
        return 0.0
    return -degrees(atan(slope))


def runs_along(band: Band, line: Line) -> bool:
    """Whether a band runs along a turned line that has been found, within its ink."""
    if abs((frame_deg(band) - line.angle_deg + 180) % 360 - 180) > SAME_DIRECTION_DEG:
        return False
    place, t = line.box_px, radians(band.angle_deg)
    along = (np.arange(9) / 8 - 0.5) * (band.x1 - band.x0)
    x, y = (band.x0 + band.x1) / 2 + along * cos(t), band.middle_y - along * sin(t)
    inside = (x >= place.x0) & (x < place.x1) & (y >= place.y0) & (y < place.y1)
    a = radians(line.angle_deg)
    dx, dy = x - (place.x0 + place.x1) / 2, y - (place.y0 + place.y1) / 2
    return bool((inside & (np.abs(dx * sin(a) + dy * cos(a)) < 0.6 * line.letter_px)).mean() >= 0.6)


def shared_place(a: Line, b: Line) -> float:
    """How much of the smaller of two lines lies in the other: of their boxes, or of their ink where one leans."""
    shared = a.box_px.overlap(b.box_px)
    if not shared or (a.angle_deg % 90 == 0 and b.angle_deg % 90 == 0):
        return shared / min(a.box_px.area, b.box_px.area)
    return max(_ink_inside(a, b), _ink_inside(b, a))


def _ink_inside(a: Line, b: Line) -> float:
    """Share of the ink of one line that is ink of another, too."""
    rows, columns = np.nonzero(a.mask)
    step = max(1, len(rows) // _POINTS)
    x = a.box_px.x0 + (columns[::step] + 0.5) * a.mask_scale
    y = a.box_px.y0 + (rows[::step] + 0.5) * a.mask_scale
    column, row = (x - b.box_px.x0) // b.mask_scale, (y - b.box_px.y0) // b.mask_scale
    inside = (column >= 0) & (column < b.mask.shape[1]) & (row >= 0) & (row < b.mask.shape[0])
    own = b.mask[row[inside].astype(int), column[inside].astype(int)]
    return float(np.count_nonzero(own)) / max(1, len(x))


def _shape(artwork: Artwork, scale: int) -> tuple[int, int]:
    """Return how many rows and columns of samples the sheet has at a scale."""
    if scale == 1:
        return artwork.trim_px.height, artwork.trim_px.width
    return next(level.shape for level in artwork.levels if level.scale == scale)


def _turned(
    artwork: Artwork, scale: int, corner: tuple[float, float], shape: tuple[int, int], c: float, s: float
) -> Floats:
    """Turn a part of the artwork clockwise; beyond the sheet its edge goes on."""
    sheet = _shape(artwork, scale)
    matrix = np.array([[c, -s], [s, c]])
    start = np.array([corner[1], corner[0]]) - 0.5 + matrix @ [0.5, 0.5]
    ends = np.array([start + matrix @ [row, column] for row in (0, shape[0]) for column in (0, shape[1])])
    low = np.clip(np.floor(ends.min(axis=0)).astype(int) - 8, 0, np.array(sheet) - 1)
    high = np.clip(np.ceil(ends.max(axis=0)).astype(int) + 8, low + 1, sheet)
    codes = codes_at(artwork, scale, slice(low[0], high[0]), slice(low[1], high[1]))
    out = np.empty((*shape, 3), np.float32)
    for colour in range(3):
        # cubic, since straight interpolation would blur thin strokes
        ndimage.affine_transform(
            codes[..., colour], matrix, start - low, shape, out[..., colour], order=3, mode="nearest"
        )
    turned: Floats = np.clip(out, 0, 255)
    return turned
