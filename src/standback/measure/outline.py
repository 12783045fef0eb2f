"""How well a figure's outline stands off from what is around it, all along it."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.arrangement import Outline
from standback.artwork import Artwork
from standback.artwork.model import Level
from standback.elements import Figure, Mask, Srgb8
from standback.light import luminance1, luminance1_of, ratios_of_luminances
from standback.masks import grown
from standback.measure.model import FigureMeasurement

SIDE_SAMPLES = 2
"""Each side of the outline is averaged over so many samples, beyond the rim that mixes both (ours)."""
LOCAL_SIGMA = 1.5
"""How far along the outline a place is averaged with its neighbours, in samples (ours)."""
MAIN_SHARE, MAIN_RATIO = 0.05, 2.0
"""A figure that nobody named is the main one if it covers this share of the sheet, and so many times as much
as any other (ours)."""
CONVEX = 0.85
"""What fills this share of its convex hull is a disc, a panel or a framed picture: its outline tells nothing
(ours)."""

Floats = npt.NDArray[np.float64]


def measure_outlines(
    figures: Sequence[FigureMeasurement], artwork: Artwork, wanted_ratio: float
) -> tuple[Outline, ...]:
    """Measure the outlines that have a shape to tell: of the figures that the brief names, else of the main one.

    What runs off the sheet is a part of something, and has no outline of its own.
    """
    named = [f for f in figures if f.name is not None]
    found = []
    for f in named or _main(figures):
        ratios = outline_ratios(f.figure, artwork) if _tells(f.figure, artwork) else np.empty(0)
        if len(ratios):
            found.append(
                Outline(element=f.id, held=float((ratios >= wanted_ratio).mean()), ratio=float(np.median(ratios)))
            )
    return tuple(found)


def _main(figures: Sequence[FigureMeasurement]) -> Sequence[FigureMeasurement]:
    by_area = sorted(figures, key=lambda f: -f.figure.area_share)
    if not by_area or by_area[0].figure.area_share < MAIN_SHARE:
        return ()
    rival = by_area[1].figure.area_share if len(by_area) > 1 else 0.0
    return by_area[:1] if by_area[0].figure.area_share >= MAIN_RATIO * rival else ()


def _tells(figure: Figure, artwork: Artwork) -> bool:
    box, trim, scale = figure.box_px, artwork.trim_px, figure.mask_scale
    if box.x0 - trim.x0 < scale or box.y0 - trim.y0 < scale or trim.x1 - box.x1 < scale or trim.y1 - box.y1 < scale:
        return False
    from skimage.morphology import convex_hull_image  # slow to load

    return float(figure.mask.sum() / convex_hull_image(figure.mask).sum()) < CONVEX


def outline_ratios(figure: Figure, artwork: Artwork) -> Floats:
    """Return the contrast ratio across the outline at each of its samples: (n,), in reading order.

    Inside and outside are averaged close by, on the level on which the figure was found; the rim is a
    mix of both and left out. What reaches the edge of the sheet has no outline there.
    """
    level = _level_of(figure, artwork)
    return _ratios_along(_on_level(figure, level), np.asarray(luminance1(level.linear), dtype=np.float64))


def ratios_with_line(figure: Figure, artwork: Artwork, ink: Srgb8, width_mm: float) -> Floats:
    """Return what `outline_ratios` would be once a line of a colour ran around the figure: (n,)."""
    level = _level_of(figure, artwork)
    mask = _on_level(figure, level)
    width = width_mm * artwork.px_per_mm / level.scale
    # samples across the line's rim are covered in part
    line = np.clip(width + 0.5 - ndimage.distance_transform_edt(~mask), 0.0, 1.0) * ~mask
    luminance = np.asarray(luminance1(level.linear), dtype=np.float64)
    luminance += line * (luminance1_of(ink) - luminance)
    return _ratios_along(mask | (line > 0.5), luminance)


def _ratios_along(mask: Mask, luminance: Floats) -> Floats:
    # from what is beside the figure, so that the edge of the sheet is no outline
    beside = grown(~mask)
    inner, inside = mask & beside, ~beside & grown(beside, SIDE_SAMPLES)
    near = grown(mask)
    outside = grown(near, SIDE_SAMPLES) & ~near
    own1, ground1 = _local_mean(luminance, inside), _local_mean(luminance, outside)
    at = inner & np.isfinite(own1) & np.isfinite(ground1)
    return ratios_of_luminances(own1[at], ground1[at])


def _level_of(figure: Figure, artwork: Artwork) -> Level:
    return next((one for one in artwork.levels if one.scale == figure.mask_scale), artwork.levels[-1])


def _on_level(figure: Figure, level: Level) -> Mask:
    whole = np.zeros(level.shape, dtype=np.bool_)
    top = (figure.box_px.y0 - level.origin_px[1]) // level.scale
    left = (figure.box_px.x0 - level.origin_px[0]) // level.scale
    rows, columns = figure.mask.shape
    part = whole[top : top + rows, left : left + columns]
    part |= figure.mask[: part.shape[0], : part.shape[1]]
    return whole


def _local_mean(values: Floats, where: Mask) -> Floats:
    """Average values over the samples of a band that lie close by, not a number where none do."""
    weight = where.astype(np.float64)
    reach = {"sigma": LOCAL_SIGMA, "truncate": 3.0}
    total, known = ndimage.gaussian_filter(values * weight, **reach), ndimage.gaussian_filter(weight, **reach)
    return np.where(known > 0.01, total / np.maximum(known, 0.01), np.nan)
