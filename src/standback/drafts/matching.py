"""Elements of two drafts of one poster -> which is which."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import log

import numpy as np
import numpy.typing as npt

from standback.drafts.likeness import Floats, Trace, colour_change, shape_likeness, size_change
from standback.places import BoxMm

SURE_LIKENESS = 0.7
"""Inks as alike as this may tell how one sheet lies on the other (ours)."""
LEAST_LIKENESS = {"line": 0.42, "detail": 0.6, "figure": 0.6}
"""Less alike, they are the same only if they share a place (ours). Lines of other words stay under 0.37, the
same words set in another face or spaced anew over 0.42 (measured on drawn posters)."""
SAME_PLACE = {"line": 0.5, "detail": 0.5, "figure": 0.5}
"""Share of what both boxes cover that is common to them in one place (ours)."""
SAME_SIZE = {"line": log(1.1), "detail": log(2.0), "figure": log(1.5)}
"""What changes size by more is something else that stands there now (ours)."""
SAME_FEATURE = log(1.5)
"""Detail whose strokes differ more in width is other detail: patches in one place are parted anew in each draft, and
a false word of worse detail costs more than one left out (ours)."""
SAME_COLOURS = 0.1
"""So is what changes its ink and ground by more, in OKLab (ours)."""
SHAPE_WEIGHT, SIZE_WEIGHT, PLACE_WEIGHT, COLOUR_WEIGHT = 1.0, 0.3, 1.0, 0.3
"""What counts how much when several elements could be the same (ours)."""
SAME_SHEET = 0.02
"""Trims that differ by less than this share are of one size (ours)."""
MOST_FRAMES = 60
"""So many pairs are asked how the one sheet lies on the other (ours)."""
ALONE_COST = 2.0
"""More than any pair that may be: an element stays without a match only if it has to."""
IMPOSSIBLE = 1e6


Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """How places of the later draft lie on the earlier: x' = x * scale + shift, both in mm."""

    scale_x: float = 1.0
    scale_y: float = 1.0
    shift_x_mm: float = 0.0
    shift_y_mm: float = 0.0

    def point(self, at_mm: tuple[float, float]) -> tuple[float, float]:
        """Return a point of the later draft on the earlier."""
        return at_mm[0] * self.scale_x + self.shift_x_mm, at_mm[1] * self.scale_y + self.shift_y_mm

    def box(self, box_mm: BoxMm) -> BoxMm:
        """Return a box of the later draft on the earlier."""
        return (*self.point(box_mm[:2]), *self.point(box_mm[2:]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """Two elements that are one, by index, and how alike they look."""

    before: int
    after: int
    likeness: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Matching:
    """Which elements are the same, in the order of the earlier draft, and how the drafts lie on each other."""

    matches: tuple[Match, ...]
    frame: Frame


def matching(
    before: Sequence[Trace],
    after: Sequence[Trace],
    *,
    before_mm: tuple[float, float],
    after_mm: tuple[float, float],
) -> Matching:
    """Match the elements of two drafts, one to one.

    What the brief calls by the same name in both is the same. Else the shapes of the ink decide, so that
    a line may move, grow and change its colour; size, place and colours choose among those that look alike. A
    line of other words is the same only if it stands where the old one stood, in its size and colours.

    Parameters
    ----------
    before_mm, after_mm
        Width and height of the trims.
    """
    likeness = _each(before, after, shape_likeness)
    looks = _looks(before, after, likeness)
    may_be = _alike(before, after, likeness)
    sure = np.argwhere((likeness >= SURE_LIKENESS) & may_be)
    frame = _frame(before, after, np.where(may_be, looks, IMPOSSIBLE), sure, before_mm, after_mm)
    may_be |= _each(before, after, lambda a, b: float(_stands_in(a, b, frame))) > 0
    cost = np.where(may_be, looks + _off(before, after, frame, before_mm), IMPOSSIBLE)
    for i, j in _named(before, after):
        cost[i, :], cost[:, j] = IMPOSSIBLE, IMPOSSIBLE
        cost[i, j] = 0.0
    return Matching(
        matches=tuple(Match(before=i, after=j, likeness=float(likeness[i, j])) for i, j in _assigned(cost)),
        frame=frame,
    )


def _each(before: Sequence[Trace], after: Sequence[Trace], of: Callable[[Trace, Trace], float]) -> Floats:
    """Return a number for each pair of one kind, 0 for others."""
    table = np.zeros((len(before), len(after)))
    for i, a in enumerate(before):
        for j, b in enumerate(after):
            if a.kind == b.kind:
                table[i, j] = of(a, b)
    return table


def _alike(before: Sequence[Trace], after: Sequence[Trace], likeness: Floats) -> Flags:
    """Tell which pairs may be the same by the shapes of their ink, wherever they are."""
    least = np.array([LEAST_LIKENESS[a.kind] for a in before])[:, None]
    of_one_kind = _each(before, after, lambda a, b: float(a.kind == "figure" or _of_one_make(a, b))) > 0
    return np.asarray((likeness >= least) & of_one_kind, dtype=np.bool_)


def _of_one_make(a: Trace, b: Trace) -> bool:
    """Whether two details are of one kind and drawn about as finely: others in that place are other details."""
    if a.feature_mm is None or b.feature_mm is None:
        return a.what == b.what
    return a.what == b.what and abs(log(a.feature_mm / b.feature_mm)) <= SAME_FEATURE


def _stands_in(a: Trace, b: Trace, frame: Frame) -> bool:
    """Whether an element stands in the place of another, in its size and colours."""
    same_place = _common(a.box_mm, frame.box(b.box_mm)) >= SAME_PLACE[a.kind]
    return (
        same_place
        and size_change(a, b) <= SAME_SIZE[a.kind]
        and colour_change(a, b) <= SAME_COLOURS
        and (a.kind != "detail" or _of_one_make(a, b))
    )


def _looks(before: Sequence[Trace], after: Sequence[Trace], likeness: Floats) -> Floats:
    """Return what tells against each pair, but for its places."""
    size = np.minimum(_each(before, after, size_change), 1.0)
    colour = np.minimum(_each(before, after, colour_change), 1.0)
    return SHAPE_WEIGHT * (1 - likeness) + SIZE_WEIGHT * size + COLOUR_WEIGHT * colour


def _off(before: Sequence[Trace], after: Sequence[Trace], frame: Frame, before_mm: tuple[float, float]) -> Floats:
    """Return how far apart each pair is, at most a diagonal of the sheet."""
    was = np.array([a.centre_mm for a in before]).reshape(-1, 1, 2)
    now = np.array([frame.point(b.centre_mm) for b in after]).reshape(1, -1, 2)
    away = np.linalg.norm(was - now, axis=2) / float(np.hypot(*before_mm))
    return np.asarray(PLACE_WEIGHT * np.minimum(away, 1.0), dtype=np.float64)


def _frame(
    before: Sequence[Trace],
    after: Sequence[Trace],
    looks: Floats,
    sure: npt.NDArray[np.intp],
    before_mm: tuple[float, float],
    after_mm: tuple[float, float],
) -> Frame:
    """Lay the later draft on the earlier.

    Sheets of one size lie on each other as they are. Of others the one may be the other's crop, or drawn for
    another size: what brings those elements together that look the same decides.
    """
    if np.allclose(before_mm, after_mm, rtol=SAME_SHEET):
        return Frame()
    share = Frame(scale_x=before_mm[0] / after_mm[0], scale_y=before_mm[1] / after_mm[1])
    corners = [(before[i].centre_mm, after[j].centre_mm) for i, j in sure[:MOST_FRAMES]]
    shifts = [Frame(shift_x_mm=a[0] - b[0], shift_y_mm=a[1] - b[1]) for a, b in corners]

    def cost(frame: Frame) -> float:
        table = looks + _off(before, after, frame, before_mm)
        pairs = _assigned(table)
        alone = len(before) + len(after) - 2 * len(pairs)
        return float(sum(table[pair] for pair in pairs)) + ALONE_COST * alone

    return min((share, *shifts), key=cost)


def _common(a: BoxMm, b: BoxMm) -> float:
    """Return the share of what both boxes cover that is common to them."""
    width, height = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    shared = max(width, 0.0) * max(height, 0.0)
    area = sum((x1 - x0) * (y1 - y0) for x0, y0, x1, y1 in (a, b)) - shared
    return shared / area if area > 0 else 0.0


def _named(before: Sequence[Trace], after: Sequence[Trace]) -> list[tuple[int, int]]:
    """Return the elements that the brief calls by one name, each only one in its draft."""
    named = []
    for i, a in enumerate(before):
        alike = [j for j, b in enumerate(after) if (b.kind, b.name) == (a.kind, a.name)]
        alone = sum((other.kind, other.name) == (a.kind, a.name) for other in before) == 1
        if a.name is not None and alone and len(alike) == 1:
            named.append((i, alike[0]))
    return named


def _assigned(cost: Floats) -> list[tuple[int, int]]:
    """Return the pairs of least cost in all; what has no possible match stays alone."""
    from scipy.optimize import linear_sum_assignment  # slow to load, and an audit compares no drafts

    rows, columns = cost.shape
    padded = np.full((rows + columns, rows + columns), 0.0)
    padded[:rows, :columns] = cost
    padded[:rows, columns:] = np.where(np.eye(rows, dtype=bool), ALONE_COST, IMPOSSIBLE)
    padded[rows:, :columns] = np.where(np.eye(columns, dtype=bool), ALONE_COST, IMPOSSIBLE)
    chosen = zip(*linear_sum_assignment(padded), strict=True)
    return [(int(i), int(j)) for i, j in chosen if i < rows and j < columns and cost[i, j] < IMPOSSIBLE]
