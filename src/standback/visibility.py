"""Whether an element is noticed, from how far, and from how far its parts are told apart.

An element is judged by its own difference, artwork minus artwork without it, so what stands beside it
neither adds to it nor hides it; its neighbours only set the light the eye is adapted to.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, log

import numpy as np
import numpy.typing as npt
from scipy.ndimage import gaussian_filter

from standback.light import SCREEN_FLARE
from standback.sensitivity import NATIVE_CDM2, jnd
from standback.target import (
    ADAPTING_SAMPLES,
    FARTHEST_M,
    REACH_SIGMAS,
    SAMPLES_PER_DEG,
    Target,
    mm_per_deg,
    octave_of,
    outer_mm,
    reached,
)

Picture = npt.NDArray[np.float32]

NOTICED_JND = 3.0
"""From here on an element counts as noticed, and its parts as told apart (ours)."""
ADAPTING_DEG = 0.5
"""Standard deviation of the low-pass that gives the adapting luminance (ours; the idea is Peli's, 1990)."""
NEAREST_M = 0.25
"""Where the search for the farthest distance ends: closer than anyone reads a poster."""

_DARKEST1 = 1e-6
_SEARCH_STEP = 2.0
_TOLERANCE = 0.002


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
    px_per_deg = target.px_per_mm * mm_per_deg(distance_m)
    octave = min(octave_of(px_per_deg, SAMPLES_PER_DEG), len(target.difference1) - 1)
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


def _adapting1(target: Target, distance_m: float, octave: int) -> Picture:
    """Low-passed ground at every sample of one octave of the difference."""
    difference, px_per_mm = target.difference1[octave], target.px_per_mm / 2**octave
    out_mm = outer_mm(octave, target.px_per_mm)
    sigma_mm = ADAPTING_DEG * mm_per_deg(distance_m)
    level = min(octave_of(sigma_mm * target.ground_px_per_mm, ADAPTING_SAMPLES), len(target.grounds) - 1)
    ground, ground_px_per_mm = target.grounds[level], target.ground_px_per_mm / 2**level
    sigma = sigma_mm * ground_px_per_mm
    slices, places = [], []
    for at_mm, samples, start, side in zip(
        target.at_mm[::-1], difference.shape, ground.starts, ground.sides, strict=True
    ):
        centres = (at_mm + out_mm + (np.arange(samples) + 0.5) / px_per_mm) * ground_px_per_mm - 0.5
        first, last = reached(centres[[0, -1]], sigma, side)
        places.append(np.clip(centres, 0, side - 1) - first)
        slices.append(slice(first - start, last - start))
    part = ground.luminance1[slices[0], slices[1]]
    low = gaussian_filter(part, sigma, mode="reflect", truncate=REACH_SIGMAS)
    return _between(_between(low, places[0], 0), places[1], 1)


def _between(picture: Picture, places: npt.NDArray[np.float64], axis: int) -> Picture:
    """Interpolate between the samples along an axis.

    By a matrix product it would take twice as long, and numpy's threads where the caller lets it have any.
    """
    before = places.astype(np.intp)
    after = np.minimum(before + 1, picture.shape[axis] - 1)
    share = (places - before).astype(np.float32)
    if axis == 0:
        share = share[:, np.newaxis]
    between = picture.take(before, axis)
    between += (picture.take(after, axis) - between) * share
    return between
