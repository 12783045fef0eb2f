"""Which flat regions are grounds: the page, panels and bands, cards and discs under what they carry."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from skimage.morphology import convex_hull_image

from standback.find.flat import Edges, FlatRegions, edges_of_region, ratios_across, same_colour

Flags = npt.NDArray[np.bool_]
Place = tuple[slice, slice]

MOST_SHARE = 0.15
"""What takes more of the sheet is a ground (ours)."""
AT_EDGE = 0.02
"""What lies along the edge of the sheet for more than this share of its own outline is cut by it: a ground (ours)."""
LEAST_SHARE = 0.0002
"""Smaller regions carry nothing (ours)."""
CARD_FILL, OFF_DISC = 0.86, 0.06
"""A card fills so much of its box, and a disc differs from one by no more than this share of its box (ours)."""
CARRIED, WITHIN = 0.05, 0.6
"""A disc or a card is a backing if things take so much of it that lie so far within it (ours)."""
MOST_TEXT = 0.85
"""What is covered with text beyond this share is a letter of it, rather than under it (ours)."""
PANEL_FILL, PANEL_SHARE = 0.97, 0.004
"""A plain rectangle that takes so much of the sheet is a panel (ours)."""
ON_GROUND = 0.5
"""A backing stands on grounds for so much of its outline: a screen in a drawn frame is a part of the drawing (ours)."""
BROKEN_OFF = 0.35
"""What lies within a backing's box, grown by this share, and is of its colour, is a part of it (ours)."""
HULL_SAMPLES = 64


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grounds:
    """Which regions are grounds, by their number: (n + 1) each.

    Attributes
    ----------
    held
        Which of them are cards or discs without text whose own outline holds: a drawn thing may be one.
    drawn
        Which of them lie on one of those, as a screen does in a drawn frame.
    """

    ground: Flags
    held: Flags
    drawn: Flags


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Backing:
    """A region that may be a backing, its edges to what is around it, and whether it is sure to be one."""

    number: int
    edges: Edges
    outside: Flags
    lettered: bool
    plain: bool


def grounds_of(flat: FlatRegions, lines: Sequence[Place], below_ratio: float) -> Grounds:
    """Tell the grounds.

    Parameters
    ----------
    lines
        Rows and columns of the boxes of lines.
    below_ratio
        WCAG contrast ratio that an outline needs to hold.
    """
    labels = flat.labels
    rim = np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]])
    cut = np.bincount(rim, minlength=len(flat.area)) / np.maximum(4 * np.sqrt(flat.area), 1)
    ground = (flat.area > MOST_SHARE * labels.size) | (cut > AT_EDGE)
    ground[0] = False
    held, drawn = np.zeros_like(ground), np.zeros_like(ground)
    backings = list(_backings(flat, lines, ground))
    for backing in (*backings, *backings):
        number, edges, outside = backing.number, backing.edges, backing.outside
        sure = backing.plain or backing.lettered
        if ground[number] or not (sure or ground[edges.outer[outside]].mean() >= ON_GROUND):
            continue
        ground[number] = True
        holds = (ratios_across(flat, edges) >= below_ratio) | edges.lined
        held[number] = not backing.lettered and bool(holds[outside].mean() > ON_GROUND)
        drawn[number] = held[number] and bool(held[edges.outer[outside]].mean() > ON_GROUND)
    _add_parts(flat, ground, [backing.number for backing in backings if ground[backing.number]])
    return Grounds(ground=ground, held=held, drawn=drawn)


def _backings(flat: FlatRegions, lines: Sequence[Place], ground: Flags) -> Iterator[_Backing]:
    """Yield what may be a card, a disc or a panel, the largest first."""
    for number in map(int, np.argsort(-flat.area)):
        if flat.area[number] < LEAST_SHARE * flat.labels.size:
            return
        if number and not ground[number] and (backing := _backing(flat, number, lines)) is not None:
            yield backing


def _backing(flat: FlatRegions, number: int, lines: Sequence[Place]) -> _Backing | None:
    place = flat.places[number]
    step = max(1, max(flat.labels[place].shape) // HULL_SAMPLES)
    labels = flat.labels[place][::step, ::step]
    own = labels == number
    hull = convex_hull_image(own) if min(own.shape) > 2 and own.any() else own
    if not (hull.mean() >= CARD_FILL or _is_disc(hull)):
        return None
    inner = np.bincount(labels[hull & ~own], minlength=len(flat.area)) * step**2
    within = inner >= WITHIN * np.maximum(flat.area, 1)
    edges = edges_of_region(flat, number)
    outside = ~within[edges.outer] & (edges.outer > 0)
    if not outside.any():
        return None
    # a ring and a letter carry nothing: what they enclose is what is around them, or more of them
    within &= ~(same_colour(flat, int(np.bincount(edges.outer[outside]).argmax())) | same_colour(flat, number))
    within[0] = True
    full = float(hull.sum())
    on_it = sum(_area(line) for line in lines if _lies_in(line, place, 0.0))
    carries_text = CARRIED * full * step**2 < on_it < MOST_TEXT * full * step**2
    plain = bool(own.mean() > PANEL_FILL and flat.area[number] > PANEL_SHARE * flat.labels.size)
    if not (plain or carries_text or inner[within].sum() > CARRIED * full * step**2):
        return None
    return _Backing(number=number, edges=edges, outside=outside, lettered=carries_text, plain=plain)


def _is_disc(hull: Flags) -> bool:
    y, x = (np.linspace(-1, 1, 2 * side + 1)[1::2] for side in hull.shape)
    return bool((hull != (y[:, None] ** 2 + x**2 <= 1)).mean() <= OFF_DISC)


def _add_parts(flat: FlatRegions, ground: Flags, backings: list[int]) -> None:
    """Add what shows through a ring or between the parts of a drawing, and what is cut off from a backing."""
    for number in map(int, np.flatnonzero(ground)):
        backing = number in backings
        for other in map(int, np.flatnonzero(same_colour(flat, number) & ~ground)):
            if _lies_in(flat.places[other], flat.places[number], BROKEN_OFF if backing else 0.0):
                outer = edges_of_region(flat, other).outer
                ground[other] = backing or (outer == number).any() or ground[outer].mean() < ON_GROUND


def _area(place: Place) -> int:
    return int(np.prod([side.stop - side.start for side in place]))


def _lies_in(place: Place, other: Place, beyond: float) -> bool:
    """Whether a place lies in another, or beyond it by no more than a share of its size."""
    slack = [round(beyond * (side.stop - side.start)) for side in other]
    return all(b.start - by <= a.start and a.stop <= b.stop + by for a, b, by in zip(place, other, slack, strict=True))
