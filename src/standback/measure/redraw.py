"""An element redrawn: in another ink, on another ground, with heavier strokes, with an outline."""

from dataclasses import dataclass
from math import cos, inf, radians, sin
from typing import Self

import numpy as np
import numpy.typing as npt
from scipy.ndimage import distance_transform_edt, maximum_filter, zoom
from skimage.morphology import skeletonize

from standback.artwork import Artwork, from_srgb8, linear_crop
from standback.elements import Box, Detail, Line
from standback.find import find_details, find_drawn
from standback.find.bands import Band
from standback.find.lines import candidates_of
from standback.light import linear_of, linear_to_srgb8
from standback.masks import grown, shrunk
from standback.measure.level import along_and_across
from standback.measure.look import OUTLINE_LETTERS, Look

RIM_SAMPLES = 2
"""How far anti-aliased rims reach outside the mask (common practice)."""
AROUND_LETTERS, CLOSE_LETTERS, AROUND_STROKES, LEAST_AROUND = 3.0, 1.5, 4.0, 10
"""How much of the artwork around it is kept: in letter heights (twice), in widths of a stroke, in samples (ours)."""
AROUND_SHAPE = 1.0
"""The same of a drawn shape, in its longer side: what takes much of a patch is taken for its ground (ours)."""
SAME_INK, SAME_SHARE = 0.06, 0.85
"""A shape of which such a share is as near to its ink, as the square root of light, is of one colour (ours)."""
FINE_SAMPLES = 4
THIN_SAMPLES = 6.0
"""Strokes thinner than this are widened on a grid so many times as fine, since a whole sample is much (ours)."""
FAINTEST_SAMPLES, LEAST_COVER = 1.5, 0.25
"""Strokes thinner than this may cover no sample by half, depending on where they lie: they are widened from their
centre line, as far as they cover so much of a sample (ours)."""

Flags = npt.NDArray[np.bool_]
Floats = npt.NDArray[np.float32]
Inked = Line | Detail
"""What has an ink mask on a ground."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Redrawn:
    """A patch of the artwork with the line in another look, and the line as it is found on it."""

    patch: Artwork
    line: Line


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Canvas:
    """A part of the artwork, and how much of each of its samples the element's ink covers.

    Attributes
    ----------
    linear, cover
        (h, w, 3) and (h, w, 1) float32 in linear light, one sample for each sample of the element's mask.
    stroke
        Width of its strokes in samples.
    """

    inked: Inked
    linear: Floats
    cover: Floats
    stroke: float

    @classmethod
    def of(cls, inked: Inked, artwork: Artwork, around: Box) -> Self:
        """Take a part that holds the element's box and is aligned to its mask (`surroundings`)."""
        linear = linear_crop(artwork, around, inked.mask_scale)
        cover = _ink_cover(inked, linear, around)
        return cls(inked=inked, linear=linear, cover=cover, stroke=_stroke_px(inked, artwork) / inked.mask_scale)

    def with_ink(self, look: Look) -> Floats:
        """Return the part with the element in another look, its size left out: (h, w, 3) linear light."""
        if not look.redraws:
            return self.linear
        inked, cover = self.inked, self.cover
        old_ink, old_ground = linear_of(inked.ink_srgb8), linear_of(inked.ground_srgb8)
        ink = old_ink if look.ink is None else linear_of(look.ink)
        ground = old_ground if look.ground is None else linear_of(look.ground)
        if look.even:
            picture = ground + cover * (ink - ground)
        else:
            picture = self.linear + cover * (ink - old_ink)
            if look.ground is not None:
                picture += (1 - cover) * (ground - old_ground)
        if look.heavier > 1 or look.outline is not None:
            wide = _widened(cover, (look.heavier - 1) * self.stroke / 2, self.stroke)
            if look.outline is not None and isinstance(inked, Line):
                ring = _widened(wide, OUTLINE_LETTERS * inked.letter_px / inked.mask_scale, self.stroke)
                picture += (ring - cover) * (linear_of(look.outline) - picture)
            picture += (wide - cover) * (ink - picture)
        return np.clip(picture, 0.0, 1.0, out=picture)

    def without_ink(self, look: Look) -> Floats:
        """Return the part on the ground of that look and without the element: (h, w, 3) linear light."""
        inked = self.inked
        old_ground = linear_of(inked.ground_srgb8)
        ground = old_ground if look.ground is None else linear_of(look.ground)
        if look.even:
            return np.broadcast_to(ground, self.linear.shape)
        bare = self.linear - self.cover * (linear_of(inked.ink_srgb8) - old_ground) + (ground - old_ground)
        return np.clip(bare, 0.0, 1.0, out=bare)


def surroundings(inked: Inked, artwork: Artwork, margin_px: float) -> Box:
    """Return the element's box and some of what is around it, aligned to the samples of its mask."""
    scale = inked.mask_scale
    trim = artwork.trim_px
    samples = round(margin_px / scale)
    left = min(samples, (inked.box_px.x0 - trim.x0) // scale) * scale
    top = min(samples, (inked.box_px.y0 - trim.y0) // scale) * scale
    return Box(
        x0=inked.box_px.x0 - left,
        y0=inked.box_px.y0 - top,
        x1=min(inked.box_px.x1 + samples * scale, trim.x1),
        y1=min(inked.box_px.y1 + samples * scale, trim.y1),
    )


def growth_px(inked: Inked, artwork: Artwork, look: Look) -> float:
    """Return how far a look reaches out beyond the element's own rims, in original px."""
    outline = OUTLINE_LETTERS * inked.letter_px if look.outline is not None and isinstance(inked, Line) else 0.0
    return (look.heavier - 1) * _stroke_px(inked, artwork) / 2 + outline


def found_again(line: Line, artwork: Artwork, look: Look, *, to_look_at: bool = True) -> Redrawn | None:
    """Redraw the line and find it again; None where it is not found in its place.

    Parameters
    ----------
    to_look_at
        Keep as much around it as what is seen from afar depends on; without, as much as finding it takes.
    """
    letters = AROUND_LETTERS if to_look_at else CLOSE_LETTERS
    patch, old = _patch(line, artwork, look, letters * line.letter_px)
    band = _band_of(line, old)
    found = [candidate.line for candidate in candidates_of(patch, band)]
    again = max(found, key=lambda one: one.box_px.overlap(old), default=None)
    if again is None or 2 * again.box_px.overlap(old) < old.area:
        return None
    return Redrawn(patch=patch, line=again)


def detail_again(detail: Detail, artwork: Artwork, look: Look) -> Detail | None:
    """Redraw a patch of detail and find it again; None where it is not found in its place."""
    patch, old = _patch(detail, artwork, look, AROUND_STROKES * _stroke_px(detail, artwork))
    again = max(find_details(patch, ()), key=lambda one: one.box_px.overlap(old), default=None)
    return again if again is not None and 2 * again.box_px.overlap(old) >= old.area else None


def shape_again(shape: Detail, artwork: Artwork, look: Look) -> Detail | None:
    """Redraw a drawn shape and measure it again; None where it is not found in its place."""
    margin_px = AROUND_SHAPE * max(shape.box_px.width, shape.box_px.height)
    patch, old = _patch(shape, artwork, look, margin_px)
    again = max(find_drawn(patch, (), inf), key=lambda one: one.box_px.overlap(old), default=None)
    return again if again is not None and 2 * again.box_px.overlap(old) >= old.area else None


def is_one_colour(detail: Detail, artwork: Artwork) -> bool:
    """Whether a shape is of its ink all over."""
    inner = shrunk(detail.mask, corners=False)
    inside = linear_crop(artwork, detail.box_px, detail.mask_scale)[inner if inner.any() else detail.mask]
    off = np.abs(np.sqrt(inside) - np.sqrt(linear_of(detail.ink_srgb8))).max(axis=1)
    return bool((off < SAME_INK).mean() >= SAME_SHARE)


def redrawn_patch(inked: Inked, artwork: Artwork, look: Look, around: Box) -> Artwork:
    """Return a part of the artwork, redrawn, as a sheet of its own: a pixel for each sample of the mask."""
    picture = Canvas.of(inked, artwork, around).with_ink(look)
    height, width = picture.shape[:2]
    mm = inked.mask_scale / artwork.px_per_mm
    return from_srgb8(linear_to_srgb8(picture), size_mm=(width * mm, height * mm), file=artwork.file)


def _patch(inked: Inked, artwork: Artwork, look: Look, margin_px: float) -> tuple[Artwork, Box]:
    """Return the element redrawn as an artwork of its own, and where it was before."""
    scale = inked.mask_scale
    around = surroundings(inked, artwork, max(margin_px, LEAST_AROUND * scale) + growth_px(inked, artwork, look))
    patch = redrawn_patch(inked, artwork, look, around)
    box = Box(
        x0=(inked.box_px.x0 - around.x0) // scale,
        y0=(inked.box_px.y0 - around.y0) // scale,
        x1=-((around.x0 - inked.box_px.x1) // scale),
        y1=-((around.y0 - inked.box_px.y1) // scale),
    )
    return patch, box


def _band_of(line: Line, box: Box) -> Band:
    """Where the line runs on a patch on which it has that box, by its ink."""
    turn = radians(line.angle_deg)
    along, across = (places[line.mask] for places in along_and_across(line, line.mask.shape))
    half = (float(np.ptp(along)) + 1) / 2
    middle, off = float(along.min()) + half - 0.5, float(across.mean())
    x = box.x0 + 0.5 + middle * cos(turn) + off * sin(turn)
    return Band(
        x0=x - half,
        x1=x + half,
        middle_y=box.y0 + 0.5 - middle * sin(turn) + off * cos(turn),
        body_px=line.letter_px / line.mask_scale,
        angle_deg=line.angle_deg,
    )


def _stroke_px(inked: Inked, artwork: Artwork) -> float:
    return inked.stroke_px if isinstance(inked, Line) else inked.feature_mm * artwork.px_per_mm


def _ink_cover(inked: Inked, linear: Floats, around: Box) -> Floats:
    """Share of ink in each sample, (h, w, 1): the projection on the ground-to-ink axis, near the mask."""
    scale = inked.mask_scale
    near = np.zeros(linear.shape[:2], dtype=np.bool_)
    top, left = (inked.box_px.y0 - around.y0) // scale, (inked.box_px.x0 - around.x0) // scale
    height, width = inked.mask.shape
    near[top : top + height, left : left + width] = inked.mask
    near = grown(near, RIM_SAMPLES, corners=False)
    ground, ink = linear_of(inked.ground_srgb8), linear_of(inked.ink_srgb8)
    axis = ink - ground
    cover = np.clip((linear - ground) @ axis / max(float(axis @ axis), 1e-12), 0.0, 1.0) * near
    return np.asarray(cover[..., np.newaxis], dtype=np.float32)


def _widened(cover: Floats, by: float, stroke: float) -> Floats:
    """Let the ink grow by a distance in samples on all sides; (h, w, 1) cover in and out."""
    if by <= 0:
        return cover
    fine = FINE_SAMPLES if stroke < THIN_SAMPLES else 1
    plane = cover[..., 0]
    shares = zoom(plane, fine, order=1, grid_mode=True, mode="nearest") if fine > 1 else plane
    if stroke < FAINTEST_SAMPLES:
        from_ink, reach = skeletonize(_ridges(shares, fine)), (stroke / 2 + by) * fine + 0.5
    else:
        from_ink, reach = shares > 0.5, by * fine + 1.0
    if not from_ink.any():
        return cover
    away = distance_transform_edt(~from_ink).astype(np.float32)
    rows, columns = plane.shape
    covered = np.clip(reach - away, 0.0, 1.0).reshape(rows, fine, columns, fine).mean(axis=(1, 3))
    wide: Floats = np.maximum(cover, covered[..., np.newaxis])
    return wide


def _ridges(shares: Floats, fine: int) -> Flags:
    """Where strokes run that may cover no sample by half: what has half as much as the most nearby."""
    most = maximum_filter(shares, 2 * fine + 1)
    ridges: Flags = (shares > 0.5 * most) & (most > LEAST_COVER)
    return ridges
