"""Whether an element is noticed, from how far, and from how far its parts are told apart.

An element is judged by its own difference, artwork minus artwork without it, so what stands beside it
neither adds to it nor hides it; its neighbours only set the light the eye is adapted to.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, exp, log, log2, radians, tan

import numpy as np
import numpy.typing as npt
from scipy.ndimage import gaussian_filter

from standback.light import SCREEN_FLARE
from standback.merging import block_mean, merged_luminance1
from standback.sensitivity import NATIVE_CDM2, jnd

Picture = npt.NDArray[np.float32]

NOTICED_JND = 3.0
"""From here on an element counts as noticed, and its parts as told apart (ours)."""
ADAPTING_DEG = 0.5
"""Standard deviation of the low-pass that gives the adapting luminance (ours; the idea is Peli's, 1990)."""
SAMPLES_PER_DEG = 120.0
"""Pictures are averaged down to no fewer samples a degree than this."""
NEAREST_M, FARTHEST_M = 0.25, 200.0
"""Ends of the search for the farthest distance: closer than anyone reads a poster, and a long street."""

_DARKEST1 = 1e-6
_ADAPTING_SAMPLES = 4.0
_REACH_SIGMAS = 4.0
_SEARCH_STEP = 2.0
_TOLERANCE = 0.002


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Target:
    """An element ready to be looked at from any distance.

    Attributes
    ----------
    difference1
        Octaves of (h, w) relative luminance, artwork minus artwork without the element, cut to where
        the two differ; finest first, each half as fine as the one before and one sample wider a side.
    ground1
        Octaves of (H, W) relative luminance of the artwork without the element.
    px_per_mm, ground_px_per_mm
        Samples a mm of the finest octaves.
    at_mm
        (left, top) of the difference on the ground.
    """

    difference1: tuple[Picture, ...]
    ground1: tuple[Picture, ...]
    px_per_mm: float
    ground_px_per_mm: float
    at_mm: tuple[float, float]


def target_of(
    luminance1: npt.ArrayLike,
    without1: npt.ArrayLike,
    *,
    px_per_mm: float,
    sheet1: npt.ArrayLike | None = None,
    sheet_px_per_mm: float | None = None,
    at_mm: tuple[float, float] = (0.0, 0.0),
) -> Target:
    """Make an element ready to be looked at.

    Parameters
    ----------
    luminance1, without1
        (h, w) relative luminance of the artwork in linear light, never blurred, and of the same with the
        element's ink replaced by its ground. With `sheet1` a crop of the element's box is enough.
    px_per_mm
        Samples a mm of both: 7 are as good as any more from 1 m on, 14 from 0.5 m on.
    sheet1, sheet_px_per_mm
        (H, W) relative luminance of the whole sheet, element included, and its samples a mm: it only
        gives the adapting luminance, so one a mm will do. Without it `without1` is all there is.
    at_mm
        (left, top) of the crop on the sheet.
    """
    with_, without = (np.asarray(picture, dtype=np.float32) for picture in (luminance1, without1))
    if with_.shape != without.shape or with_.ndim != 2 or with_.size == 0:
        raise ValueError(f"two pictures (h, w) of one shape are wanted, not {with_.shape}, {without.shape}")
    difference, row, column = _cut(with_ - without)
    left_mm, top_mm = at_mm[0] + column / px_per_mm, at_mm[1] + row / px_per_mm
    octaves = [difference]
    for _ in range(_octave(px_per_mm * _mm_per_deg(FARTHEST_M), SAMPLES_PER_DEG)):
        octaves.append(_halved(octaves[-1]))
    if sheet1 is None:
        ground, ground_px_per_mm = without, px_per_mm
    elif sheet_px_per_mm is None:
        raise ValueError("a sheet's samples a mm are wanted with the sheet")
    else:
        ground, ground_px_per_mm = np.array(sheet1, dtype=np.float32), sheet_px_per_mm
        level = _octave(px_per_mm, ground_px_per_mm)
        fine_px = px_per_mm / ground_px_per_mm / 2**level
        start_mm = _start_mm(level, px_per_mm)
        top, left = ((mm + start_mm) * ground_px_per_mm for mm in (top_mm, left_mm))
        _take_out(ground, octaves[level], fine_px, top, left)
    grounds = [ground]
    while max(grounds[-1].shape) > 2 * _ADAPTING_SAMPLES:
        grounds.append(block_mean(grounds[-1], 2, mode="edge"))
    return Target(
        difference1=tuple(octaves),
        ground1=tuple(grounds),
        px_per_mm=px_per_mm,
        ground_px_per_mm=ground_px_per_mm,
        at_mm=(left_mm, top_mm),
    )


def parts_of(
    luminance1: npt.ArrayLike,
    without1: npt.ArrayLike,
    *,
    pitch_mm: float,
    px_per_mm: float,
    sheet1: npt.ArrayLike | None = None,
    sheet_px_per_mm: float | None = None,
    at_mm: tuple[float, float] = (0.0, 0.0),
) -> Target:
    """Make a detail's parts ready to be looked at: the detail against its own local mean.

    Parameters as in `target_of`; `pitch_mm` is the distance from one stroke or dot to the next.
    """
    merged1 = merged_luminance1(luminance1, without1, pitch_px=pitch_mm * px_per_mm)
    return target_of(
        luminance1, merged1, px_per_mm=px_per_mm, sheet1=sheet1, sheet_px_per_mm=sheet_px_per_mm, at_mm=at_mm
    )


def element_jnd(
    target: Target,
    distance_m: float,
    *,
    luminance_cdm2: float = NATIVE_CDM2,
    flare1: float = SCREEN_FLARE,
) -> float:
    """How far an element is above the threshold of detection at a distance.

    Parameters
    ----------
    luminance_cdm2
        Luminance of the paper; it sets the sensitivity, whatever the ground.
    flare1
        Stray light as a share of paper white; 0 for contrasts as defined in a laboratory.

    Returns
    -------
    JND: 1 is just detectable, 3 counts as noticed; linear in the element's contrast.

    Notes
    -----
    The contrast is the element's difference over the adapting luminance: the artwork *without* the
    element after a Gaussian low-pass, plus the flare, the sheet going on mirrored beyond its edges. Taken
    without it, since a threshold is measured on the ground the eye was adapted to, and so that the
    answer is linear in contrast; for what is near threshold the two ways differ by next to nothing.

    References
    ----------
    Watson & Ahumada (2005), Journal of Vision 5(9):6; Peli (1990), JOSA A 7:2032.
    """
    looked = looked_at(target, distance_m, flare1=flare1)
    return jnd(looked.contrast, looked.px_per_deg, luminance_cdm2=luminance_cdm2, halvings=looked.octave)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Looked:
    """An element's contrast as it stands before the eye.

    Attributes
    ----------
    contrast, adapting1
        (h, w) contrast, and the luminance that the eye is adapted to, flare included, paper being 1.
    px_per_deg
        Samples a degree of both.
    octave
        How often the picture was halved to get there.
    """

    contrast: Picture
    adapting1: Picture
    px_per_deg: float
    octave: int


def looked_at(target: Target, distance_m: float, *, flare1: float = SCREEN_FLARE) -> Looked:
    """Return an element's difference over the adapting luminance, as `element_jnd` pools it."""
    px_per_deg = target.px_per_mm * _mm_per_deg(distance_m)
    octave = min(_octave(px_per_deg, SAMPLES_PER_DEG), len(target.difference1) - 1)
    adapting = np.maximum(_adapting1(target, distance_m, octave) + np.float32(flare1), np.float32(_DARKEST1))
    return Looked(
        contrast=target.difference1[octave] / adapting,
        adapting1=adapting,
        px_per_deg=px_per_deg / 2**octave,
        octave=octave,
    )


def carry_m(
    target: Target,
    *,
    luminance_cdm2: float = NATIVE_CDM2,
    flare1: float = SCREEN_FLARE,
    wanted_jnd: float = NOTICED_JND,
) -> float:
    """Farthest distance in m at which an element is noticed.

    Returns
    -------
    0.25 to 200 m, within 0.2 %; 200 if it still is there, 0 if it is nowhere. Searched from far to near
    in octaves, so that a large pale shape that shows best in the middle counts from the far side.
    """

    def excess(log_m: float) -> float:
        seen = element_jnd(target, exp(log_m), luminance_cdm2=luminance_cdm2, flare1=flare1)
        return log(max(seen, 1e-9) / wanted_jnd)

    far, low = log(FARTHEST_M), excess(log(FARTHEST_M))
    if low >= 0:
        return FARTHEST_M
    while far > log(NEAREST_M):
        near = max(far - log(_SEARCH_STEP), log(NEAREST_M))
        high = excess(near)
        if high >= 0:
            return exp(_crossing(near, high, far, low, excess))
        far, low = near, high
    return 0.0


def resolve_m(
    parts: Target,
    *,
    luminance_cdm2: float = NATIVE_CDM2,
    flare1: float = SCREEN_FLARE,
    wanted_jnd: float = NOTICED_JND,
) -> float:
    """Farthest distance in m at which the parts of a detail (`parts_of`) are told apart; as `carry_m`."""
    return carry_m(parts, luminance_cdm2=luminance_cdm2, flare1=flare1, wanted_jnd=wanted_jnd)


def _crossing(near: float, high: float, far: float, low: float, excess: Callable[[float], float]) -> float:
    """Where `excess` falls through 0 between two distances: false position, Illinois variant."""
    kept = 0
    while far - near > _TOLERANCE:
        middle = (near * low - far * high) / (low - high)
        value = excess(middle)
        if abs(value) < _TOLERANCE:
            return middle
        if value > 0:
            near, high = middle, value
            low = low / 2 if kept == 1 else low
            kept = 1
        else:
            far, low = middle, value
            high = high / 2 if kept == -1 else high
            kept = -1
    return near


def _mm_per_deg(distance_m: float) -> float:
    return 1000 * distance_m * tan(radians(1.0))


def _octave(have: float, wanted: float) -> int:
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
        rows = np.pad(picture, ((3, 3 + picture.shape[0] % 2), (0, 0)))
        low = rows[1:-2:2] + rows[2:-1:2]
        low *= np.float32(3)
        low += rows[0:-3:2]
        low += rows[3::2]
        low *= np.float32(1 / 8)
        picture = low.T
    return picture


def _start_mm(level: int, px_per_mm: float) -> float:
    """Where an octave of the difference begins, as seen from where the finest begins."""
    return (2.0 - 2.0 ** (level + 1)) / px_per_mm


def _take_out(ground: Picture, difference: Picture, fine_px: float, top: float, left: float) -> None:
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
    ground[slices[0], slices[1]] -= spread.astype(np.float32)


def _adapting1(target: Target, distance_m: float, octave: int) -> Picture:
    """Low-passed ground at every sample of one octave of the difference."""
    difference, px_per_mm = target.difference1[octave], target.px_per_mm / 2**octave
    start_mm = _start_mm(octave, target.px_per_mm)
    sigma_mm = ADAPTING_DEG * _mm_per_deg(distance_m)
    level = min(_octave(sigma_mm * target.ground_px_per_mm, _ADAPTING_SAMPLES), len(target.ground1) - 1)
    ground, ground_px_per_mm = target.ground1[level], target.ground_px_per_mm / 2**level
    sigma = sigma_mm * ground_px_per_mm
    slices, weights = [], []
    for at_mm, samples, side in zip(target.at_mm[::-1], difference.shape, ground.shape, strict=True):
        centres = (at_mm + start_mm + (np.arange(samples) + 0.5) / px_per_mm) * ground_px_per_mm - 0.5
        centres = np.clip(centres, 0, side - 1)
        first = max(0, int(centres[0] - _REACH_SIGMAS * sigma))
        last = min(side, ceil(centres[-1] + _REACH_SIGMAS * sigma) + 1)
        offsets = np.abs(centres[:, np.newaxis] - np.arange(first, last))
        weights.append(np.maximum(1 - offsets, 0).astype(np.float32))
        slices.append(slice(first, last))
    low = gaussian_filter(ground[slices[0], slices[1]], sigma, mode="reflect", truncate=_REACH_SIGMAS)
    adapting: Picture = weights[0] @ low @ weights[1].T
    return adapting
