"""Flat regions of an artwork: where it is of one colour, and which of them meet."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.artwork.model import Level
from standback.light import SCREEN_FLARE, luminance1

Floats = npt.NDArray[np.float32]
Doubles = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Labels = npt.NDArray[np.int32]

EVEN = 0.02
"""Neighbours of one flat colour differ by less in every channel, as the square root of light: a JPEG's noise of five
codes (ours)."""
LEAST_SAMPLES = 4
"""Fewer samples clear of every edge are no region (ours)."""
REACH = 4
"""So far regions grow into what is left between them then: soft rims, hairlines, small print (ours)."""
SAME_COLOUR = 0.03
"""Colours that differ by less in every channel are one, as the square root of light (ours)."""
NEAR_COLOUR, NEAR_REACH = 0.08, 6
"""What a JPEG's blocks leave around an edge is as near to a region's colour, and as far from it (ours)."""
OFF_LINE = 0.1
"""A rim that is so much darker or lighter than both of its sides, as the square root of light, is a line (ours)."""
NOWHERE = (slice(0, 0), slice(0, 0))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FlatRegions:
    """A level parted into flat regions, numbered from 1.

    Attributes
    ----------
    labels
        (h, w) number of the region that each sample is of, its rims included; 0 where nothing is flat.
    linear, luminance1
        Colour of every region, (n + 1, 3) linear light, and its luminance (n + 1); the first stands for none.
    spread
        How far the samples of each are from its colour, root mean square, as the square root of light.
    area
        Samples of each, rims included.
    places
        Rows and columns of each; the first stands for none.
    lowest, highest
        (h, w) square root of the least and most luminance in the 5 x 5 samples around.
    """

    labels: Labels
    linear: Doubles
    luminance1: Doubles
    spread: Doubles
    area: npt.NDArray[np.intp]
    places: list[tuple[slice, slice]]
    lowest: Floats
    highest: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Edges:
    """Pairs of neighbouring samples of two regions: the numbers of both, and whether a line runs between them."""

    inner: Labels
    outer: Labels
    lined: Flags


def flat_regions(level: Level) -> FlatRegions:
    """Part a level into its flat regions."""
    root = np.sqrt(level.linear)
    cores, count = ndimage.label(_even(root))
    sizes = np.bincount(cores.ravel(), minlength=count + 1)
    kept = sizes >= LEAST_SAMPLES
    kept[0] = False
    numbers = np.where(kept, np.cumsum(kept), 0).astype(np.int32)
    cores = numbers[cores]
    flat, total = cores.ravel(), int(kept.sum()) + 1
    inside = flat > 0
    of = flat[inside]
    count_of = np.maximum(np.bincount(of, minlength=total), 1)
    means, squares = np.empty((total, 3)), np.zeros(total)
    for channel in range(3):
        values = root[..., channel].ravel()[inside]
        means[:, channel] = np.bincount(of, weights=values, minlength=total) / count_of
        squares += np.bincount(of, weights=values * values, minlength=total) / count_of - means[:, channel] ** 2
    labels = _grown(_taken_in(cores, root, means))
    bright = np.sqrt(luminance1(level.linear))
    return FlatRegions(
        labels=labels,
        linear=means**2,
        luminance1=np.asarray(luminance1(means**2), dtype=np.float64),
        spread=np.sqrt(np.maximum(squares, 0)),
        area=np.bincount(labels.ravel(), minlength=total),
        places=[NOWHERE, *(place or NOWHERE for place in ndimage.find_objects(labels, max_label=total - 1))],
        lowest=-_most(-bright),
        highest=_most(bright),
    )


def _even(root: Floats) -> Flags:
    """Tell samples that are as all four of their neighbours."""
    even = np.ones(root.shape[:2], dtype=np.bool_)
    across, down = (_near(np.diff(root, axis=axis), EVEN) for axis in (1, 0))
    even[:, 1:] &= across
    even[:, :-1] &= across
    even[1:] &= down
    even[:-1] &= down
    return even


def _near(steps: Floats | Doubles, within: float) -> Flags:
    """Tell steps (..., 3) that are small in each channel; told to look along three, numpy takes five times as long."""
    small: Flags = np.abs(steps) < within
    return small[..., 0] & small[..., 1] & small[..., 2]


def _grown(labels: Labels) -> Labels:
    """Let regions grow into what is of none, until they meet."""
    for _ in range(REACH):
        grown = labels.copy()
        for to, of in (
            (np.s_[1:], np.s_[:-1]),
            (np.s_[:-1], np.s_[1:]),
            (np.s_[:, 1:], np.s_[:, :-1]),
            (np.s_[:, :-1], np.s_[:, 1:]),
        ):
            np.copyto(grown[to], labels[of], where=grown[to] == 0)
        labels = grown
    return labels


def _taken_in(labels: Labels, root: Floats, means: Doubles) -> Labels:
    """Let regions take in what is near their own colour and of none."""
    framed = np.pad(labels, 1)
    wide = framed.shape[1]
    flat = framed.ravel()
    open_at = np.flatnonzero(labels == 0)
    y, x = np.divmod(open_at, labels.shape[1])
    at, colours = (y + 1) * wide + x + 1, root.reshape(-1, 3)[open_at]
    for _ in range(NEAR_REACH):
        taken = np.zeros(len(at), dtype=np.int32)
        for step in (-wide, wide, -1, 1):
            beside = flat[at + step]
            near = (taken == 0) & (beside > 0)
            near[near] = _near(colours[near] - means[beside[near]], NEAR_COLOUR)
            taken[near] = beside[near]
        if not taken.any():
            break
        flat[at] = taken
        at, colours = at[taken == 0], colours[taken == 0]
    return framed[1:-1, 1:-1]


def _most(plane: Floats) -> Floats:
    """Return the most of the 5 x 5 samples around each."""
    for axis in (0, 1):
        plane = np.moveaxis(plane, axis, 0)
        most = plane.copy()
        for by in (1, 2):
            np.maximum(most[by:], plane[:-by], out=most[by:])
            np.maximum(most[:-by], plane[by:], out=most[:-by])
        plane = np.moveaxis(most, 0, axis)
    return plane


def edges_of(flat: FlatRegions, inside: Flags, place: tuple[slice, slice]) -> Edges:
    """Return the edges between regions in a place that run from what is inside it.

    Parameters
    ----------
    inside
        (h, w) of the place: the samples whose edges, to others inside and outside, are wanted.
    """
    labels = flat.labels[place]
    low, high = flat.lowest[place], flat.highest[place]
    inner, outer, lined = [], [], []
    for a, b in (
        (np.s_[1:], np.s_[:-1]),
        (np.s_[:-1], np.s_[1:]),
        (np.s_[:, 1:], np.s_[:, :-1]),
        (np.s_[:, :-1], np.s_[:, 1:]),
    ):
        at = inside[a] & (labels[a] != labels[b])
        own, other = labels[a][at], labels[b][at]
        sides = np.sqrt(flat.luminance1[np.stack([own, other])])
        inner.append(own)
        outer.append(other)
        lined.append((low[a][at] < sides.min(axis=0) - OFF_LINE) | (high[a][at] > sides.max(axis=0) + OFF_LINE))
    return Edges(inner=np.concatenate(inner), outer=np.concatenate(outer), lined=np.concatenate(lined))


def edges_of_region(flat: FlatRegions, number: int) -> Edges:
    """Return the edges of one region."""
    place = around(flat, flat.places[number])
    return edges_of(flat, flat.labels[place] == number, place)


def around(flat: FlatRegions, place: tuple[slice, slice]) -> tuple[slice, slice]:
    """Return a place and the samples next to it."""
    (rows, columns), (height, width) = place, flat.labels.shape
    return (
        slice(max(0, rows.start - 1), min(height, rows.stop + 1)),
        slice(max(0, columns.start - 1), min(width, columns.stop + 1)),
    )


def ratios_across(flat: FlatRegions, edges: Edges) -> Doubles:
    """Return the WCAG contrast ratio across every edge."""
    sides = flat.luminance1[np.stack([edges.inner, edges.outer])] + SCREEN_FLARE
    ratios: Doubles = sides.max(axis=0) / sides.min(axis=0)
    return ratios


def same_colour(flat: FlatRegions, number: int) -> Flags:
    """Tell which regions have the colour of one: (n + 1)."""
    root = np.sqrt(flat.linear)
    same: Flags = np.abs(root - root[number]).max(axis=1) < SAME_COLOUR
    same[0] = False
    return same
