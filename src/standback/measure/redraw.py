"""A line redrawn in another ink or on another ground, and found again as it was found before."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.ndimage import binary_dilation

from standback.artwork import Artwork, from_srgb8, linear_crop
from standback.elements import Box, Detail, Line, Srgb8
from standback.find.bands import Band
from standback.find.lines import candidates_of
from standback.light import linear_to_srgb8, srgb8_to_linear

RIM_SAMPLES = 2
"""How far anti-aliased rims reach outside the mask (common practice)."""
AROUND_LETTERS = 3.0
"""How much of the artwork around the line is kept, in letter heights (ours)."""

Floats = npt.NDArray[np.float32]
Inked = Line | Detail
"""What has an ink mask on a ground."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Redrawn:
    """A patch of the artwork with the line in other colours, and the line as it is found on it."""

    patch: Artwork
    line: Line


def redrawn(
    line: Inked, artwork: Artwork, *, ink: Srgb8, ground: Srgb8, around: Box, even: bool = False
) -> tuple[Floats, Floats]:
    """Return a part of the artwork as it is and with the line in other colours.

    Parameters
    ----------
    around
        The part, holding the line's box and aligned to the samples of its mask (`surroundings`).
    even
        Lay the new ground evenly, instead of shifting the ground that is there.

    Returns
    -------
    Two (h, w, 3) float32 pictures in linear light, one sample for each sample of the mask.
    """
    linear = linear_crop(artwork, around, line.mask_scale)
    cover = _ink_cover(line, linear, around)
    if even:
        return linear, _linear(ground) + cover * (_linear(ink) - _linear(ground))
    recoloured = linear + cover * (_linear(ink) - _linear(line.ink_srgb8))
    recoloured += (1 - cover) * (_linear(ground) - _linear(line.ground_srgb8))
    return linear, np.clip(recoloured, 0.0, 1.0)


def redrawn_patch(
    line: Inked, artwork: Artwork, *, ink: Srgb8, ground: Srgb8, around: Box, even: bool = False
) -> Artwork:
    """Return a part of the artwork, redrawn as by `redrawn`, as a sheet of its own: a pixel for each sample."""
    _, recoloured = redrawn(line, artwork, ink=ink, ground=ground, around=around, even=even)
    height, width = recoloured.shape[:2]
    mm = line.mask_scale / artwork.px_per_mm
    return from_srgb8(linear_to_srgb8(recoloured), size_mm=(width * mm, height * mm), file=artwork.file)


def surroundings(line: Inked, artwork: Artwork, margin_px: float) -> Box:
    """Return the line's box and some of what is around it, aligned to the samples of its mask."""
    scale = line.mask_scale
    trim = artwork.trim_px
    samples = round(margin_px / scale)
    left = min(samples, (line.box_px.x0 - trim.x0) // scale) * scale
    top = min(samples, (line.box_px.y0 - trim.y0) // scale) * scale
    return Box(
        x0=line.box_px.x0 - left,
        y0=line.box_px.y0 - top,
        x1=min(line.box_px.x1 + samples * scale, trim.x1),
        y1=min(line.box_px.y1 + samples * scale, trim.y1),
    )


def found_again(line: Line, artwork: Artwork, *, ink: Srgb8, ground: Srgb8, even: bool = False) -> Redrawn | None:
    """Redraw the line and find it again; None where it is not found in its place."""
    scale = line.mask_scale
    around = surroundings(line, artwork, AROUND_LETTERS * line.letter_px)
    patch = redrawn_patch(line, artwork, ink=ink, ground=ground, around=around, even=even)
    old = Box(
        x0=(line.box_px.x0 - around.x0) // scale,
        y0=(line.box_px.y0 - around.y0) // scale,
        x1=-((around.x0 - line.box_px.x1) // scale),
        y1=-((around.y0 - line.box_px.y1) // scale),
    )
    rows = np.flatnonzero(line.mask.any(axis=1))
    weights = line.mask[rows].sum(axis=1)
    band = Band(
        x0=float(old.x0),
        x1=float(old.x1),
        middle_y=old.y0 + float(np.average(rows, weights=weights)),
        body_px=line.letter_px / scale,
    )
    found = [candidate.line for candidate in candidates_of(patch, band)]
    again = max(found, key=lambda one: one.box_px.overlap(old), default=None)
    if again is None or 2 * again.box_px.overlap(old) < old.area:
        return None
    return Redrawn(patch=patch, line=again)


def _linear(srgb8: Srgb8) -> Floats:
    return np.asarray(srgb8_to_linear(np.array(srgb8, dtype=np.uint8)), dtype=np.float32)


def _ink_cover(line: Inked, linear: Floats, around: Box) -> Floats:
    """Share of ink in each sample, (h, w, 1): the projection on the ground-to-ink axis, near the mask."""
    scale = line.mask_scale
    near = np.zeros(linear.shape[:2], dtype=np.bool_)
    top, left = (line.box_px.y0 - around.y0) // scale, (line.box_px.x0 - around.x0) // scale
    height, width = line.mask.shape
    near[top : top + height, left : left + width] = line.mask
    near = binary_dilation(near, iterations=RIM_SAMPLES)
    ground, ink = _linear(line.ground_srgb8), _linear(line.ink_srgb8)
    axis = ink - ground
    cover = np.clip((linear - ground) @ axis / max(float(axis @ axis), 1e-12), 0.0, 1.0) * near
    return np.asarray(cover[..., np.newaxis], dtype=np.float32)
