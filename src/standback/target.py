"""What is looked at: an element's difference from the artwork without it, and the ground around it, by octaves."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, log2, radians, tan
from typing import Self

import numpy as np
import numpy.typing as npt

from standback.merging import merged_luminance1

Picture = npt.NDArray[np.float32]

SAMPLES_PER_DEG = 120.0
"""Pictures are averaged down to no fewer samples a degree than this."""
FARTHEST_M = 200.0
"""The farthest distance anything is looked at from: a long street."""
ADAPTING_SAMPLES = 4.0
"""The low-pass that gives the adapting luminance spans so many samples and up to twice as many of an octave (ours)."""
REACH_SIGMAS = 4.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SheetLight:
    """The luminance of a whole sheet: it only gives what the eye adapts to, so one sample a mm will do.

    Attributes
    ----------
    octaves
        (H, W) relative luminance, each half as fine as the one before.
    px_per_mm
        Samples a mm of the finest.
    """

    octaves: tuple[Picture, ...]
    px_per_mm: float

    @classmethod
    def of(cls, luminance1: npt.ArrayLike, px_per_mm: float) -> Self:
        """Take the finest octave and make the rest."""
        octaves = [np.asarray(luminance1, dtype=np.float32)]
        while max(octaves[-1].shape) > 2 * ADAPTING_SAMPLES:
            octaves.append(_mean_of_four(octaves[-1]))
        return cls(octaves=tuple(octaves), px_per_mm=px_per_mm)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ground:
    """As much of one octave of the ground as any distance that it serves can ask for.

    Attributes
    ----------
    luminance1
        (h, w) relative luminance.
    starts, sides
        Row and column at which it begins, and rows and columns of the whole octave.
    """

    luminance1: Picture
    starts: tuple[int, int]
    sides: tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Target:
    """An element ready to be looked at from any distance.

    Attributes
    ----------
    difference1
        Octaves of (h, w) relative luminance, artwork minus artwork without the element, cut to where
        the two differ; finest first, each half as fine as the one before and one sample wider a side.
    grounds
        Octaves of the artwork without the element, around it: the whole of them for each line of a dense sheet
        would take gigabytes.
    px_per_mm, ground_px_per_mm
        Samples a mm of the finest octaves.
    at_mm
        (left, top) of the difference on the ground.
    """

    difference1: tuple[Picture, ...]
    grounds: tuple[Ground, ...]
    px_per_mm: float
    ground_px_per_mm: float
    at_mm: tuple[float, float]


def target_of(
    luminance1: npt.ArrayLike,
    without1: npt.ArrayLike,
    *,
    px_per_mm: float,
    sheet: SheetLight | None = None,
    at_mm: tuple[float, float] = (0.0, 0.0),
) -> Target:
    """Make an element ready to be looked at.

    Parameters
    ----------
    luminance1, without1
        (h, w) relative luminance of the artwork in linear light, never blurred, and of the same with the
        element's ink replaced by its ground. With `sheet` a crop of the element's box is enough.
    px_per_mm
        Samples a mm of both: 7 are as good as any more from 1 m on, 14 from 0.5 m on.
    sheet
        The whole sheet, element included. Without it `without1` is all there is.
    at_mm
        (left, top) of the crop on the sheet.
    """
    with_, without = (np.asarray(picture, dtype=np.float32) for picture in (luminance1, without1))
    if with_.shape != without.shape or with_.ndim != 2 or with_.size == 0:
        raise ValueError(f"two pictures (h, w) of one shape are wanted, not {with_.shape}, {without.shape}")
    difference, row, column = _cut(with_ - without)
    left_mm, top_mm = at_mm[0] + column / px_per_mm, at_mm[1] + row / px_per_mm
    octaves = [difference]
    for _ in range(octave_of(px_per_mm * mm_per_deg(FARTHEST_M), SAMPLES_PER_DEG)):
        octaves.append(_halved(octaves[-1]))
    on = SheetLight.of(without, px_per_mm) if sheet is None else sheet
    grounds: Sequence[_Patch | None] = [None] * len(on.octaves)
    if sheet is not None:
        level = octave_of(px_per_mm, on.px_per_mm)
        fine_px = px_per_mm / on.px_per_mm / 2**level
        out_mm = outer_mm(level, px_per_mm)
        top, left = ((mm + out_mm) * on.px_per_mm for mm in (top_mm, left_mm))
        grounds = list(_coarser(_taken_out(on.octaves[0], octaves[level], fine_px, top, left), on.octaves))
    return Target(
        difference1=tuple(octaves),
        grounds=tuple(
            _around(ground, patch, level, octaves, px_per_mm, on, (top_mm, left_mm))
            for level, (ground, patch) in enumerate(zip(on.octaves, grounds, strict=True))
        ),
        px_per_mm=px_per_mm,
        ground_px_per_mm=on.px_per_mm,
        at_mm=(left_mm, top_mm),
    )


def parts_of(
    luminance1: npt.ArrayLike,
    without1: npt.ArrayLike,
    *,
    pitch_mm: float,
    px_per_mm: float,
    sheet: SheetLight | None = None,
    at_mm: tuple[float, float] = (0.0, 0.0),
) -> Target:
    """Make a detail's parts ready to be looked at: the detail against its own local mean.

    Parameters as in `target_of`; `pitch_mm` is the distance from one stroke or dot to the next.
    """
    merged1 = merged_luminance1(luminance1, without1, pitch_px=pitch_mm * px_per_mm)
    return target_of(luminance1, merged1, px_per_mm=px_per_mm, sheet=sheet, at_mm=at_mm)


def mm_per_deg(distance_m: float) -> float:
    """Return what a degree of visual angle spans on the sheet, at the first order."""
    return 1000 * distance_m * tan(radians(1.0))


def octave_of(have: float, wanted: float) -> int:
    """Return how often a resolution can be halved before it falls under the wanted one."""
    return max(0, int(log2(have / wanted)))


def _cut(difference: Picture) -> tuple[Picture, int, int]:
    """Cut a picture to where it isn't 0, and say at which row and column that starts."""
    rows, columns = (np.flatnonzero(difference.any(axis=axis)) for axis in (1, 0))
    if not rows.size:
        return difference[:1, :1], 0, 0
    return difference[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1], int(rows[0]), int(columns[0])


def _halved(picture: Picture) -> Picture:
    """Low-pass by (1 3 3 1) / 8 and take every other sample, on a plain of 0: one sample more a side.

    A mean of 2 x 2 would let fine hatching through as a coarse one that isn't there.
    """
    for _ in range(2):
        rows = np.zeros((len(picture) + 6 + len(picture) % 2, picture.shape[1]), dtype=np.float32)
        rows[3 : 3 + len(picture)] = picture
        low = rows[1:-2:2] + rows[2:-1:2]
        low *= np.float32(3)
        low += rows[0:-3:2]
        low += rows[3::2]
        low *= np.float32(1 / 8)
        picture = low.T
    return picture


def outer_mm(level: int, px_per_mm: float) -> float:
    """Where an octave of the difference begins, as seen from where the finest begins."""
    return (2.0 - 2.0 ** (level + 1)) / px_per_mm


def reached(ends: npt.NDArray[np.float64], sigma: float, side: int) -> tuple[int, int]:
    """Return which samples of a side of the ground a low-pass at places between two ends asks for."""
    near, far = (min(max(float(end), 0.0), side - 1.0) for end in ends)
    return max(0, int(near - REACH_SIGMAS * sigma)), min(side, ceil(far + REACH_SIGMAS * sigma) + 1)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Patch:
    """A part of an octave of a sheet that is not as it is on the sheet, and the row and column at which it begins."""

    luminance1: Picture
    starts: tuple[int, int]

    def laid_on(self, part: Picture, starts: Sequence[int]) -> None:
        """Lay it on a part of the same octave that begins at a row and a column."""
        theirs, ours = [], []
        for mine, its, side, own in zip(self.starts, starts, part.shape, self.luminance1.shape, strict=True):
            first, last = max(mine, its), max(min(mine + own, its + side), max(mine, its))
            theirs.append(slice(first - its, last - its))
            ours.append(slice(first - mine, last - mine))
        part[tuple(theirs)] = self.luminance1[tuple(ours)]


def _taken_out(ground: Picture, difference: Picture, fine_px: float, top: float, left: float) -> _Patch:
    """Subtract a difference, `fine_px` samples to one of the ground, from the ground it lies on."""
    spread = difference.astype(np.float64)
    slices = []
    for start, side in ((top, ground.shape[0]), (left, ground.shape[1])):
        first = min(max(0, int(start)), side)
        last = max(first, min(side, ceil(start + spread.shape[0] / fine_px)))
        edges = np.clip((np.arange(first, last + 1) - start) * fine_px, 0, spread.shape[0])
        total = np.vstack([np.zeros((1, spread.shape[1])), np.cumsum(spread, axis=0)])
        whole = np.minimum(edges.astype(int), spread.shape[0] - 1)
        part = (edges - whole)[:, np.newaxis]
        summed = total[whole] + part * (total[whole + 1] - total[whole])
        spread = (np.diff(summed, axis=0) / fine_px).T
        slices.append(slice(first, last))
    rows, columns = slices
    return _Patch(luminance1=ground[rows, columns] - spread.astype(np.float32), starts=(rows.start, columns.start))


def _coarser(patch: _Patch, octaves: Sequence[Picture]) -> Iterator[_Patch]:
    """Yield a patch on the finest octave of a sheet, and what it makes of each coarser one."""
    yield patch
    for octave in octaves[:-1]:
        firsts = [start // 2 for start in patch.starts]
        lasts = [-(-(start + size) // 2) for start, size in zip(patch.starts, patch.luminance1.shape, strict=True)]
        rows, columns = (slice(2 * first, 2 * last) for first, last in zip(firsts, lasts, strict=True))
        fine = octave[rows, columns].copy()
        patch.laid_on(fine, (rows.start, columns.start))
        patch = _Patch(luminance1=_mean_of_four(fine), starts=(firsts[0], firsts[1]))
        yield patch


def _mean_of_four(picture: Picture) -> Picture:
    """Mean of 2 x 2 samples, the last ones filled up with their own edge."""
    if picture.shape[0] % 2 or picture.shape[1] % 2:
        picture = np.pad(picture, [(0, side % 2) for side in picture.shape], mode="edge")
    mean = picture[::2, ::2] + picture[::2, 1::2]
    mean += picture[1::2, ::2] + picture[1::2, 1::2]
    mean *= np.float32(0.25)
    return mean


def _around(
    ground: Picture,
    patch: _Patch | None,
    level: int,
    octaves: Sequence[Picture],
    px_per_mm: float,
    on: SheetLight,
    at_mm: tuple[float, float],
) -> Ground:
    """Cut an octave of the ground to what is asked of it at any distance; the last one serves all that are farther."""
    height, width = ground.shape
    starts, stops = [0, 0], [height, width]
    if level < len(on.octaves) - 1:
        # the coarsest octave of the difference reaches farthest out
        out_mm, samples = outer_mm(len(octaves) - 1, px_per_mm), octaves[-1].shape
        for axis, start_mm in enumerate(at_mm):
            size_mm = samples[axis] * 2 ** (len(octaves) - 1) / px_per_mm
            ends = np.array([start_mm + out_mm, start_mm + out_mm + size_mm]) * on.px_per_mm / 2**level
            starts[axis], stops[axis] = reached(ends, 2 * ADAPTING_SAMPLES, ground.shape[axis])
    part = ground[starts[0] : stops[0], starts[1] : stops[1]].copy()
    if patch is not None:
        patch.laid_on(part, starts)
    return Ground(luminance1=part, starts=(starts[0], starts[1]), sides=(height, width))
