"""Which elements a viewer takes to belong together, by how far apart they are."""

from collections.abc import Sequence

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

from standback.arrangement import Group, LooseHeading
from standback.measure.apart import Gaps, Item, gaps_mm, in_row, overlapping, shared_width, union_mm
from standback.measure.model import DetailMeasurement, Measurement
from standback.measure.tiers import near_colours
from standback.reading import X_PER_EM

BELONGS_RATIO = 1.5
"""What is up to this many times as far away as the nearest still belongs.

Pure distance law, Kubovy, Holcombe & Wagemans (1998): only the ratio of the distances counts. With its usual
slope (about 5, from memory) a viewer still groups across a gap of 1.5 times the nearest 8 times in a
hundred; a between-group gap of 1.5 times the gap within is also common practice."""
TOUCHING_SHARE = 0.15
"""Gaps under this share of the smaller letters' height are alike: the ratio of two hairs says nothing (ours)."""
LARGER, HEAVIER = 1.15, 1.25
"""A heading's type is so many times as large as the text's, or its strokes so many times as heavy (ours)."""
APART = 1.3
"""A line with no more white above and below it than this, in that between the text's lines, is one of them (ours)."""
ONE_TEXT = 1.1
"""Sizes of type nearer than this are one text's (ours)."""
UNDER_EACH_OTHER = 0.5
"""Share of the narrower line's width that lies above or below the other one (ours)."""
FAR_LETTERS = 4.0
"""What is farther away than so many heights of the larger letters is another matter (ours)."""


def guess_groups(items: Sequence[Item]) -> tuple[Group, ...]:
    """Group things by relative distance.

    Two belong together where neither has another neighbour much nearer: where their gap is at most
    `BELONGS_RATIO` times the nearest gap of each, and no more than `FAR_LETTERS`. A line on a figure is not
    near to it but on it.

    Returns
    -------
    Groups of two or more, in the order of their first members.
    """
    gaps = _seen_gaps(items)
    if not len(gaps):
        return ()
    nearest = gaps.min(axis=1)
    linked = gaps <= BELONGS_RATIO * np.minimum(nearest[:, None], nearest)
    linked &= np.isfinite(gaps)
    _, labels = connected_components(csr_array(linked), directed=False)
    groups = []
    for label in dict.fromkeys(labels.tolist()):
        members = np.flatnonzero(labels == label)
        if len(members) > 1:
            groups.append(group_of([items[int(n)] for n in members], None))
    return tuple(groups)


def group_of(members: Sequence[Item], name: str | None) -> Group:
    """Return a group of these members; one with a name is the brief's."""
    return Group(
        name=name,
        elements=tuple(item.id for item in members),
        whence="guess" if name is None else "brief",
        box_mm=union_mm([item.box_mm for item in members]),
    )


def _seen_gaps(items: Sequence[Item]) -> Gaps:
    """Return the gaps, those too small to compare alike, and none where one lies on the other or far away."""
    gaps = gaps_mm(items)
    for i, a in enumerate(items):
        for j, b in enumerate(items[:i]):
            if (a.letter_mm is None or b.letter_mm is None) and overlapping(a.box_mm, b.box_mm):
                gaps[i, j] = gaps[j, i] = np.inf
            else:
                letters = [item.letter_mm for item in (a, b) if item.letter_mm is not None]
                least_mm = TOUCHING_SHARE * min(letters, default=0.0)
                far = gaps[i, j] > FAR_LETTERS * max(letters, default=np.inf)
                gaps[i, j] = gaps[j, i] = np.inf if far else max(gaps[i, j], least_mm)
    return gaps


def loose_headings(
    lines: Sequence[Measurement], items: Sequence[Item], details: Sequence[DetailMeasurement]
) -> tuple[LooseHeading, ...]:
    """Find headings between two stretches of one text, with the white above and below each.

    A heading is a line larger or heavier than the text above and below it, which is of one size, in
    blocks of two lines or more, on one ground, with nothing drawn in between and nothing in its row, as bold
    words in a text have, and set off from the text by more white than there is between its lines. Whether it
    stands clearly nearer to its own text is for the check to say.

    Parameters
    ----------
    items
        The same lines, as things with edges.
    """
    found = []
    for n, heading in enumerate(lines):
        above, below = _next(items, n, up=True), _next(items, n, up=False)
        if above is None or below is None:
            continue
        two = (lines[above], lines[below])
        block = union_mm([items[k].body_mm for k in (above, n, below)])
        if any(in_row(items[n].box_mm, other.box_mm) and overlapping(block, other.box_mm) for other in items):
            continue
        if not all(_heads(heading, text) for text in two) or not _one_text(*two):
            continue
        beyond = _next(items, above, up=True), _next(items, below, up=False)
        if any(other is None or not _one_text(lines[other], two[0]) for other in beyond):
            continue
        above_mm = items[n].body_mm[1] - items[above].body_mm[3]
        below_mm = items[below].body_mm[1] - items[n].body_mm[3]
        if max(above_mm, below_mm) > FAR_LETTERS * heading.letter_mm or min(above_mm, below_mm) <= 0:
            continue
        if max(above_mm, below_mm) < APART * _leading_mm(items, above, beyond[0]):
            continue
        if any(overlapping(d.box_mm, block) for d in details):
            continue
        found.append(
            LooseHeading(element=heading.id, above=two[0].id, below=two[1].id, above_mm=above_mm, below_mm=below_mm)
        )
    return tuple(found)


def _leading_mm(items: Sequence[Item], line: int, before: int | None) -> float:
    """Return the white between a line of the text and the one before it."""
    return 0.0 if before is None else items[line].body_mm[1] - items[before].body_mm[3]


def _next(items: Sequence[Item], n: int, *, up: bool) -> int | None:
    """Return the nearest thing above or below that stands in the same column."""
    own = items[n].body_mm
    middle = (own[1] + own[3]) / 2
    best: tuple[float, int] | None = None
    for k, other in enumerate(items):
        box = other.body_mm
        away_mm = own[1] - box[3] if up else box[1] - own[3]
        beyond = (box[1] + box[3]) / 2 < middle if up else (box[1] + box[3]) / 2 > middle
        if k != n and beyond and shared_width(own, box) >= UNDER_EACH_OTHER and (best is None or away_mm < best[0]):
            best = away_mm, k
    return None if best is None else best[1]


def _heads(heading: Measurement, text: Measurement) -> bool:
    if not near_colours(heading.line.ground_srgb8, text.line.ground_srgb8):
        return False
    size, other = _sizes_mm(heading, text)
    heavier = heading.stroke_mm / size >= HEAVIER * text.stroke_mm / other
    return size >= LARGER * other or (size * ONE_TEXT >= other and heavier)


def _one_text(a: Measurement, b: Measurement) -> bool:
    smaller, larger = sorted(_sizes_mm(a, b))
    return larger <= ONE_TEXT * smaller and near_colours(a.line.ink_srgb8, b.line.ink_srgb8)


def _sizes_mm(a: Measurement, b: Measurement) -> tuple[float, float]:
    """Return two sizes of type to compare: by the small letters where both have them, which are found best."""
    if a.x_mm is not None and b.x_mm is not None:
        return a.x_mm / X_PER_EM, b.x_mm / X_PER_EM
    return a.em_mm, b.em_mm
