"""Ink, ground, width and pitch of one group of fine marks, from the full resolution in a few windows."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import ndimage
from scipy.spatial import cKDTree

from standback.artwork.model import Artwork
from standback.elements import Box
from standback.find.detail_marks import Marks, Outlines, outlines_of
from standback.find.detail_spread import dot_width_px, stroke_width_px
from standback.find.detail_thin import SHARE_OF_PEAK, Bytes, Codes, Flags, ground_of, most, square_px

Doubles = npt.NDArray[np.float64]
Floats = npt.NDArray[np.float32]

WINDOW_PX = 160
MOST_WINDOWS = 6
FEW_PIXELS = 30
TAIL_PX = 2
"""How far outside the half cover the rim of a stroke reaches (common practice: one, two where turned)."""
CORE_PX = 3.0
"""From this width on, strokes have pixels that hold nothing but ink."""
ISOLATED_WIDTHS = 12.0
"""Strokes farther apart than so many widths stand alone (ours)."""
LEAST_BESIDE = 0.2
"""So often the next stroke has to lie that near: where one stroke turns back, it is near itself (ours). Two strokes
side by side give a half."""
FLAT_CODES, FLAT_SHARE = 2.0, 0.04
"""Neighbours are alike within so many codes, or this share of the contrast (ours)."""
SAME_GROUND = 0.3
RIM_PX, LEAST_LEFT = 3.5, 0.15
"""Neighbours differ over so many pixels per pixel of a stroke's length; some flat ones are always left (ours)."""
PLAIN_SHARE = 0.15
"""Ground is plain where it departs by less than this share of the contrast (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Places:
    """Where on the finest level, (h, w) each: thin pixels DARK or LIGHT, and groups by number, else 0."""

    thin: npt.NDArray[np.uint8]
    group: npt.NDArray[np.int16]
    number: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ink:
    """What was measured. Colours in sRGB codes, lengths in original pixels.

    Attributes
    ----------
    dots
        Whether the marks are dots rather than strokes.
    unrest
        Share of the ground close by that isn't plain.
    alike
        Share of the ground close by that has the ground's own colour: half where a stroke parts two surfaces.
    flat
        Share of pixels in and around the ink that are as their neighbour.
    """

    ink: Doubles
    ground: Doubles
    width_px: float
    pitch_px: float | None
    dots: bool
    unrest: float
    alike: float
    flat: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Part:
    """One window: its marks one by one, and samples of contrast in codes along the ink's axis."""

    outlines: Outlines
    whole: Flags
    total: Doubles
    squares: Doubles
    peak: Doubles
    core: Floats
    axis: Floats
    ground: Bytes
    ring: Floats
    alike: Flags
    steps: Floats
    gaps: Floats


def ink_of(artwork: Artwork, codes: Codes, marks: Marks, places: Places) -> Ink | None:
    """Measure a group of marks of one colour.

    Parameters
    ----------
    places
        Which pixels are the group's own, and which are another one's.
    """
    dots = marks.dotted
    darker = np.average(marks.ink - marks.ground, axis=0, weights=marks.area) < 0
    found = (_part(artwork, codes, places, at, darker) for at in _windows(marks, codes))
    parts = [part for part in found if part is not None]
    if not parts:
        return None
    width_px, contrast = _width(parts, dots=dots)
    axis = np.median([part.axis for part in parts], axis=0)
    ground = np.median(np.concatenate([part.ground for part in parts]), axis=0)
    ink = np.clip(ground + contrast * axis / np.sqrt((axis**2).sum()), 0, 255)
    if dots:
        y, x = np.divmod(marks.pixels, codes.width)
        middles = [np.bincount(marks.owner, weights=along) / marks.area for along in (y, x)]
        pitch = _nearest(np.stack(middles, axis=1), artwork.levels[0].scale)
    else:
        gaps = np.concatenate([part.gaps for part in parts])
        gaps = gaps[gaps <= ISOLATED_WIDTHS * width_px]
        met = sum(max(part.outlines.by_rows.sum(), part.outlines.by_columns.sum()) for part in parts)
        pitch = float(np.median(gaps)) if len(gaps) and len(gaps) >= LEAST_BESIDE * met else None
    if pitch is not None and pitch > ISOLATED_WIDTHS * width_px:
        pitch = None
    ring, alike, steps = (
        np.concatenate(lists) for lists in zip(*((p.ring, p.alike, p.steps) for p in parts), strict=True)
    )
    return Ink(
        ink=ink,
        ground=ground,
        width_px=width_px,
        pitch_px=pitch,
        dots=dots,
        unrest=float((ring > PLAIN_SHARE * contrast).mean()) if len(ring) >= FEW_PIXELS else 0.0,
        alike=float(alike.mean()) if len(alike) >= FEW_PIXELS else 1.0,
        flat=_flat(parts, steps, contrast),
    )


def _flat(parts: list[_Part], steps: Floats, contrast: float) -> float:
    """Share of flat pixels, over what the rims of so much outline leave."""
    if len(steps) < FEW_PIXELS:
        return 0.0
    rims = RIM_PX * sum(float(part.outlines.half_outline.sum()) for part in parts) / len(steps)
    flat = float((steps <= max(FLAT_CODES, FLAT_SHARE * contrast)).mean())
    return min(1.0, flat / max(1 - rims, LEAST_LEFT))


def _windows(marks: Marks, codes: Codes) -> list[tuple[int, int]]:
    """Top left corners (y, x) on the level of the windows that hold most of the group."""
    y, x = np.divmod(marks.pixels, codes.width)
    columns = codes.width // WINDOW_PX + 1
    count = np.bincount(y // WINDOW_PX * columns + x // WINDOW_PX)
    best = np.argsort(-count, kind="stable")[:MOST_WINDOWS]
    return [(int(n) // columns * WINDOW_PX, int(n) % columns * WINDOW_PX) for n in best if count[n]]


def _part(artwork: Artwork, codes: Codes, places: Places, at: tuple[int, int], darker: Flags) -> _Part | None:
    scale = artwork.levels[0].scale
    rows, columns = (
        slice(start, min(start + WINDOW_PX, end)) for start, end in zip(at, (codes.height, codes.width), strict=True)
    )
    side = square_px(codes.px_per_mm * scale)
    pixels, ground = _with_ground(artwork, rows, columns, scale, side, darker)
    height, width = pixels.shape[:2]

    def fine(flags: Flags) -> Flags:
        return flags.repeat(scale, axis=0).repeat(scale, axis=1)[:height, :width]

    own = places.group[rows, columns] == places.number
    mine = fine(own)
    polarity = np.bincount(places.thin[rows, columns][own])
    near = _grown(mine, TAIL_PX + scale - 1)
    foreign = _grown(fine(places.thin[rows, columns] == polarity.argmax()) & ~mine, TAIL_PX)
    near &= ~foreign
    contrast = pixels.astype(np.float32) - ground
    departure = _greatest(np.abs(contrast))
    weight = departure**4 * mine
    axis = np.einsum("yxc,yx->c", contrast, weight) / max(float(weight.sum()), 1e-9)
    size = float(np.sqrt((axis**2).sum()))
    if size <= 0:
        return None
    along = contrast @ (axis / size)
    ring = _grown(near, side // 2) & ~_grown(near, 1) & ~foreign
    plain = ring & (departure <= PLAIN_SHARE * size)
    # a stroke may lie between two grounds: only what is like the one found beside it counts
    off = pixels.astype(np.float32) - np.median(ground[mine], axis=0)
    same = _greatest(np.abs(off)) <= SAME_GROUND * size
    plain &= same
    if np.count_nonzero(plain) >= FEW_PIXELS:
        along -= np.median(along[plain])
    along = np.maximum(along, 0)
    local = most(np.pad(along, side // 2, mode="edge"), side)
    strong = near & (along >= np.maximum(SHARE_OF_PEAK * local, 1))
    labels, count = ndimage.label(strong, structure=np.ones((3, 3), dtype=np.bool_))
    if count == 0:
        return None
    tails = most(np.pad(labels, TAIL_PX), 2 * TAIL_PX + 1)
    owner, value = np.where(strong, labels, tails)[near], along[near]
    total, squares = (
        np.bincount(owner, weights=w, minlength=count + 1)[1:].astype(np.float64) for w in (value, value**2)
    )
    peak = np.zeros(count + 1, dtype=np.float32)
    np.maximum.at(peak, labels[strong], along[strong])
    cut = np.unique(np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]]))
    outlines = outlines_of(labels)
    return _Part(
        outlines=outlines,
        whole=~np.isin(np.arange(1, count + 1), cut),
        total=total,
        squares=squares,
        peak=peak[1:].astype(np.float64),
        core=along[strong & ~_grown(~strong, 1)],
        axis=axis,
        ground=pixels[plain] if np.count_nonzero(plain) >= FEW_PIXELS else ground[mine],
        ring=departure[ring],
        alike=same[ring],
        steps=_steps(pixels)[(near | ring)[:, 1:]],
        gaps=_gaps(labels, outlines),
    )


def _grown(flags: Flags, by: int) -> Flags:
    """Grow by a square of so many samples on every side."""
    return most(np.pad(flags.view(np.uint8), by), 2 * by + 1).view(np.bool_)


def _greatest(channels: Floats) -> Floats:
    """Return the greatest of three channels, (h, w, 3) to (h, w)."""
    return np.maximum(np.maximum(channels[..., 0], channels[..., 1]), channels[..., 2])


def _steps(pixels: Bytes) -> Floats:
    """Difference of each pixel to the one before, in codes."""
    return _greatest(np.abs(np.diff(pixels.astype(np.float32), axis=1)))


def _with_ground(
    artwork: Artwork, rows: slice, columns: slice, scale: int, side: int, darker: Flags
) -> tuple[Bytes, Bytes]:
    """Pixels of a window at full resolution, and the ground at each of them."""
    trim = artwork.trim_px
    y0, x0 = trim.y0 + rows.start * scale, trim.x0 + columns.start * scale
    y1, x1 = min(trim.y0 + rows.stop * scale, trim.y1), min(trim.x0 + columns.stop * scale, trim.x1)
    box = Box(x0=x0, y0=y0, x1=x1, y1=y1)
    around = box.grown(side - 1, trim)
    pixels = artwork.srgb8[around.y0 : around.y1, around.x0 : around.x1]
    ground = ground_of(pixels, side, darker)
    inner = (slice(y0 - around.y0, y1 - around.y0), slice(x0 - around.x0, x1 - around.x0))
    return pixels[inner], ground[inner]


def _gaps(labels: npt.NDArray[np.int32], outlines: Outlines) -> Floats:
    """Distances from one stroke to the next across them, in px."""
    across_rows = outlines.by_rows.sum() >= outlines.by_columns.sum()
    mask = (labels if across_rows else labels.T) > 0
    edges = np.diff(np.pad(mask, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    row, start = np.nonzero(edges == 1)
    _, end = np.nonzero(edges == -1)
    middle = (start + end) / 2
    step = np.diff(middle)[np.diff(row) == 0]
    met = np.hypot(outlines.by_rows.sum(), outlines.by_columns.sum())
    share = max(outlines.by_rows.sum(), outlines.by_columns.sum()) / max(met, 1e-9)
    return np.asarray(step * share, dtype=np.float32)


def _nearest(middles: Doubles, scale: int) -> float | None:
    """Median distance from a dot to the nearest other one, in px."""
    if len(middles) < 2:
        return None
    distance, _ = cKDTree(middles).query(middles, k=2)
    return scale * float(np.median(distance[:, 1]))


def _width(parts: list[_Part], *, dots: bool) -> tuple[float, float]:
    """Median width in px, and the ink's contrast in codes."""
    area, half, total, squares, peak = (
        np.concatenate(lists)
        for lists in zip(
            *((p.outlines.area, p.outlines.half_outline, p.total, p.squares, p.peak) for p in parts), strict=True
        )
    )
    rows, columns = (
        sum(float(n.sum()) for n in lists)
        for lists in zip(*((p.outlines.by_rows, p.outlines.by_columns) for p in parts), strict=True)
    )
    whole = np.concatenate([p.whole for p in parts])
    if dots and whole.sum() >= 3:
        area, half, total, squares, peak = (v[whole] for v in (area, half, total, squares, peak))
    slope = float(np.arctan2(min(rows, columns), max(rows, columns)))
    core = np.concatenate([p.core for p in parts])
    length = np.maximum(half - np.minimum(1.13 * area**0.5, half / 2), 0.5)

    def spread_width() -> float:
        if dots:
            return dot_width_px(float(squares.sum() * len(total) / total.sum() ** 2))
        return stroke_width_px(float(squares.sum() * length.sum() / total.sum() ** 2), slope)

    def widths(contrast: float) -> Doubles:
        if dots:
            return np.asarray(np.sqrt(total / contrast * 4 / np.pi))
        return np.asarray(total / contrast / length)

    width = spread_width()
    for _ in range(2):
        length = np.maximum(half - width, 0.3 * half)
        width = spread_width()
    by_mark = total.sum() / (len(total) * np.pi / 4 * width**2 if dots else length.sum() * width)
    shown = float(np.quantile(peak, 0.9))
    solid = width >= CORE_PX and len(core) > 0
    contrast = float(np.median(core)) if solid else max(by_mark, min(shown, 1.3 * by_mark))
    each = widths(contrast)
    weight = np.ones_like(each) if dots else length
    order = np.argsort(each)
    cumulated = np.cumsum(weight[order])
    return float(each[order][np.searchsorted(cumulated, cumulated[-1] / 2)]), contrast
