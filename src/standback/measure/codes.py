"""Codes for machines: their modules, which way round they are, and how much quiet ground lies around them."""

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from standback.artwork import Artwork
from standback.elements import Box, Detail
from standback.light import luminance1_of
from standback.measure.model import CodeMeasurement

SQUARE = 1.15
"""A code more oblong than this is of bars."""
FINDER_MODULES = 7
LEAST_MODULES, MODULE_STEP, MOST_MODULES = 21, 4, 177
"""Modules a side of the square codes: ISO/IEC 18004, versions 1 to 40."""
OTHER_COLOUR = 60.0
"""Pixels farther from the ground than this, in sRGB codes, are no quiet ground (ours)."""
MOST_STRAY = 0.02
"""Share of a row of pixels beside a code that may be something else (ours)."""
LEAST_CORNERS, LEAST_LIKE = 3, 0.85
"""A square code has so many corners with its square, of which this share of modules is as it should be (ours)."""
LEAST_BARS, MOST_BAR_MODULES = 18, 4.0
"""A bar code has so many bars, none wider than so many modules: EAN and Code 128, from memory."""
_FINDER = np.pad(np.pad(np.ones((3, 3), dtype=bool), 1), 1, constant_values=True)
MOST_LOOKED = 14
"""Modules around a code that are looked at: more is asked for by none."""

Flags = npt.NDArray[np.bool_]


def measure_code(detail: Detail, artwork: Artwork) -> CodeMeasurement | None:
    """Measure a code; None of any other detail, and of what only looks like a code from afar."""
    if detail.kind != "code":
        return None
    box = detail.box_px
    bars = max(box.width, box.height) > SQUARE * min(box.width, box.height)
    light_on_dark = _light_on_dark(detail.mask, bars)
    width_px = float(max(box.width, box.height))
    marks = ~detail.mask if light_on_dark else detail.mask
    if bars:
        if not _runs_like_bars(marks):
            return None
        module_px = detail.feature_mm * artwork.px_per_mm
    else:
        modules = _modules(marks)
        if _framed_corners(marks, modules) < LEAST_CORNERS:
            return None
        module_px = width_px / modules
    quiet = detail.ink_srgb8 if light_on_dark else detail.ground_srgb8
    upright = box.width >= box.height
    margins = list(_margins(box, np.array(quiet, dtype=np.float64), artwork, MOST_LOOKED * module_px))
    if bars:  # what lies above and below bars is not scanned
        margins = margins[:2] if upright else margins[2:]
    luminances = luminance1_of(detail.ink_srgb8), luminance1_of(detail.ground_srgb8)
    return CodeMeasurement(
        bars=bars,
        width_mm=width_px / artwork.px_per_mm,
        module_mm=module_px / artwork.px_per_mm,
        quiet_modules=min(margins) / module_px,
        light_on_dark=light_on_dark,
        symbol_contrast=abs(luminances[0] - luminances[1]),
    )


def _light_on_dark(dark: Flags, bars: bool) -> bool:
    """Whether the marks that begin a code, the frames in its corners or its outer bars, are its light part."""
    height, width = dark.shape
    if bars:
        along = dark if width >= height else dark.T
        edge = max(1, along.shape[1] // 200)
        return float(along[:, :edge].mean() + along[:, -edge:].mean()) < 1.0
    step = max(1, round(min(height, width) / 60))
    reach = round(0.15 * min(height, width))
    corners = (dark, dark[:, ::-1], dark[::-1])
    return float(np.median([corner[:step, step:reach].mean() for corner in corners])) < 0.5


def _modules(dark: Flags) -> int:
    """Return how many modules a side a square code has, by the frames in its corners, each seven wide."""
    runs = [_first_run(edge) for corner in (dark, dark[:, ::-1], dark[::-1]) for edge in (corner, corner.T)]
    frame = float(np.median(runs))
    modules = FINDER_MODULES * max(dark.shape) / max(frame, 1.0)
    versions = range(LEAST_MODULES, MOST_MODULES + 1, MODULE_STEP)
    return min(versions, key=lambda count: abs(count - modules))


def _framed_corners(marks: Flags, modules: int) -> int:
    """Count the corners that hold the square of a code: a frame of seven modules with three by three inside."""
    height, width = marks.shape
    rows, columns = (((np.arange(FINDER_MODULES) + 0.5) * side / modules).astype(int) for side in (height, width))
    corners = (marks, marks[:, ::-1], marks[::-1], marks[::-1, ::-1])
    return sum(float((corner[np.ix_(rows, columns)] == _FINDER).mean()) >= LEAST_LIKE for corner in corners)


def _runs_like_bars(marks: Flags) -> bool:
    """Whether bars and gaps are many, and of one to four modules, as in bar codes and not in charts."""
    along = marks if marks.shape[1] >= marks.shape[0] else marks.T
    line = along[len(along) // 2]
    widths = np.diff(np.flatnonzero(np.diff(np.pad(line.astype(np.int8), 1))))
    if len(widths) < 2 * LEAST_BARS - 1:
        return False
    module = float(np.quantile(widths, 0.2))
    return float((widths <= MOST_BAR_MODULES * module + 1).mean()) > 0.95


def _first_run(edge: Flags) -> float:
    """Return how far the first dark stretch goes along the outermost rows."""
    depth = max(1, len(edge) // 60)
    open_at = np.flatnonzero(~edge[depth])
    open_at = open_at[open_at > 2]
    return float(open_at[0]) if len(open_at) else float(edge.shape[1])


def _margins(box: Box, quiet: npt.NDArray[np.float64], artwork: Artwork, most_px: float) -> Iterator[float]:
    """Yield how many pixels of quiet ground lie left, right, above and below; paper ends at the trim."""
    trim, most = artwork.trim_px, round(most_px)
    around = box.grown(most, trim)
    codes = artwork.srgb8[around.y0 : around.y1, around.x0 : around.x1].astype(np.float64)
    other = np.sqrt(((codes - quiet) ** 2).sum(axis=2)) > OTHER_COLOUR
    x0, y0, x1, y1 = box.x0 - around.x0, box.y0 - around.y0, box.x1 - around.x0, box.y1 - around.y0
    rows, columns = other[y0:y1], other[:, x0:x1]
    for strip in (rows[:, :x0][:, ::-1], rows[:, x1:], columns[:y0][::-1].T, columns[y1:].T):
        # the first pixel beside the box is its own rim
        stray = np.flatnonzero(strip.mean(axis=0)[1:] > MOST_STRAY)
        yield float(stray[0] + 1 if len(stray) else strip.shape[1])
