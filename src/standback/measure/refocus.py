"""What draws the eye once lines are set larger or smaller where they stand: drawn coarsely, and measured again."""

from collections.abc import Collection
from dataclasses import replace
from math import ceil

import numpy as np
import numpy.typing as npt
from scipy.ndimage import affine_transform

from standback.arrangement import BoxMm
from standback.artwork import Artwork
from standback.artwork.model import HeldLevel, Level
from standback.elements import Line
from standback.light import linear_of
from standback.measure.focus import level_looked_at, measure_focus
from standback.measure.model import Measurements
from standback.settings import Settings, Station

Floats = npt.NDArray[np.float32]


def focus_again(
    measured: Measurements,
    artwork: Artwork,
    settings: Settings,
    place: Station,
    elements: Collection[str],
    times: float,
    around_mm: tuple[float, float],
) -> Measurements:
    """Set lines so many times as large, and measure anew what draws the eye from a station.

    Parameters
    ----------
    elements
        Ids of the lines.
    around_mm
        The place that stays where it is, x before y.
    """
    changed = [m for m in measured.lines if m.id in elements]
    level = level_looked_at(artwork)
    picture = level.linear.astype(np.float32)
    covers = [_cover(m.line, level) for m in changed]
    for m, cover in zip(changed, covers, strict=True):
        picture -= cover[..., None] * (linear_of(m.line.ink_srgb8) - linear_of(m.line.ground_srgb8))
    fixed = np.array(around_mm[::-1]) * artwork.px_per_mm / level.scale
    for m, cover in zip(changed, covers, strict=True):
        # places are at the corners of samples, values at their middles
        new = affine_transform(cover, np.full(2, 1 / times), fixed - 0.5 - (fixed - 0.5) / times, order=1)
        picture += new[..., None] * (linear_of(m.line.ink_srgb8) - picture)
    drawn = replace(
        artwork, levels=(HeldLevel(linear=np.clip(picture, 0.0, 1.0), scale=level.scale, origin_px=level.origin_px),)
    )
    lines = tuple(
        replace(m, box_mm=scaled(m.box_mm, times, around_mm)) if m.id in elements else m for m in measured.lines
    )
    guessed = [group for group in measured.arrangement.groups if group.whence == "guess"]
    pull, looks = measure_focus(lines, measured.figures, guessed, drawn, settings, [place])
    return replace(measured, lines=lines, arrangement=replace(measured.arrangement, pull=pull, looks=looks))


def scaled(box_mm: BoxMm, times: float, around_mm: tuple[float, float]) -> BoxMm:
    """Return a box so many times as large, one place of it kept."""
    x, y = around_mm
    x0, y0, x1, y1 = box_mm
    return x + times * (x0 - x), y + times * (y0 - y), x + times * (x1 - x), y + times * (y1 - y)


def _cover(line: Line, level: Level) -> Floats:
    """Share of ink in each sample of a level."""
    finer = ceil(line.mask_scale / level.scale)
    rows, columns = np.nonzero(line.mask.repeat(finer, axis=0).repeat(finer, axis=1))
    step = line.mask_scale / finer
    shape = level.shape
    y = ((line.box_px.y0 - level.origin_px[1] + (rows + 0.5) * step) / level.scale).astype(np.intp)
    x = ((line.box_px.x0 - level.origin_px[0] + (columns + 0.5) * step) / level.scale).astype(np.intp)
    inside = (y >= 0) & (y < shape[0]) & (x >= 0) & (x < shape[1])
    cover = np.zeros(shape, dtype=np.float32)
    np.add.at(cover, (y[inside], x[inside]), np.float32((step / level.scale) ** 2))
    return np.minimum(cover, np.float32(1.0))
