"""Found lines against true ones."""

from collections.abc import Sequence
from dataclasses import dataclass

Bounds = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """Pairs of (found, true) indices, and the indices left over on either side."""

    pairs: tuple[tuple[int, int], ...]
    false: tuple[int, ...]
    missed: tuple[int, ...]


def iou(a: Bounds, b: Bounds) -> float:
    """Intersection over union of two boxes (x0, y0, x1, y1)."""
    shared = _shared(a, b)
    return shared / max(_area(a) + _area(b) - shared, 1e-9)


def matched(
    found: Sequence[Bounds], true: Sequence[Bounds], ignore: Sequence[bool] = (), least_iou: float = 0.5
) -> Match:
    """Pair found boxes with true ones, one to one, the best overlaps first.

    A true box marked in `ignore` counts neither as missed nor, where a found box lies on it, as false.
    """
    skip = list(ignore) or [False] * len(true)
    scores = sorted(
        ((iou(f, t), n, m) for n, f in enumerate(found) for m, t in enumerate(true) if _shared(f, t) > 0),
        key=lambda s: (-s[0], s[1], s[2]),
    )
    pairs: list[tuple[int, int]] = []
    free_found, free_true = set(range(len(found))), set(range(len(true)))
    for score, n, m in scores:
        if score >= least_iou and n in free_found and m in free_true:
            pairs.append((n, m))
            free_found.discard(n)
            free_true.discard(m)
    on_ignored = {
        n
        for n in free_found
        if any(skip[m] and _shared(found[n], t) >= 0.5 * _area(found[n]) for m, t in enumerate(true))
    }
    return Match(
        pairs=tuple((n, m) for n, m in pairs if not skip[m]),
        false=tuple(sorted(free_found - on_ignored)),
        missed=tuple(m for m in sorted(free_true) if not skip[m]),
    )


def _area(box: Bounds) -> float:
    return max(box[2] - box[0], 0) * max(box[3] - box[1], 0)


def _shared(a: Bounds, b: Bounds) -> float:
    width = min(a[2], b[2]) - max(a[0], b[0])
    height = min(a[3], b[3]) - max(a[1], b[1])
    return max(width, 0) * max(height, 0)
