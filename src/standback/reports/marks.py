"""Where the marks of a proof go: boxes around the places of a finding or remark, and a tag beside each."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from standback.findings import ArtworkFacts, PosterReport, Severity
from standback.places import part_of_sheet
from standback.reports import words

Rect = tuple[float, float, float, float]
Rects = npt.NDArray[np.float64]

PAD_PX = 6.0
"""Air between the ink and its mark."""
MERGE_PX = 26.0
"""Places of one finding nearer than this share a mark: less than a tag would not fit between them."""
MERGE_WASTE = 1.6
"""Most area of a shared mark over that of the places in it, so that a mark never takes in what is fine."""
TAG_RADIUS_PX = 19.0
_TAG_GAP_PX = 5.0
_STEPS = (0.0, 1.0, 2.0, 3.5, 5.0, 7.0, 9.0)
"""How far out a tag may stand, in its own radii."""
_PIN_SHARES = tuple(n / 8 for n in range(-8, 9))
"""Places tried for a tag without a box, from the middle of its part of the sheet, in halves of it."""
_STEP_COST, _LEADER_COST, _PIN_COST = 60.0, 4.0, 0.1
"""What a step outwards, each pixel under a leader, and each pixel from the middle of a part count for beside
a pixel under a tag (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """What is marked under one label, in mm on the sheet: places, or a whole part of it.

    Attributes
    ----------
    severity
        None for a remark of the reviewer's own.
    part_mm
        A part of the sheet that is spoken of as a whole: the tag stands somewhere in it, without a box.
    """

    label: str
    severity: Severity | None
    boxes_mm: tuple[Rect, ...] = ()
    part_mm: Rect | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One mark on the sheet, in pixels of the page.

    Attributes
    ----------
    box
        What is marked, None where the tag says it all.
    tag_xy
        Centre of the tag.
    leader
        Ends of the line from the tag to the box, None where they stand side by side.
    """

    label: str
    severity: Severity | None
    box: Rect | None
    tag_xy: tuple[float, float]
    leader: tuple[float, float, float, float] | None


def place_marks(
    subjects: Iterable[Subject], inked_mm: Sequence[Rect], facts: ArtworkFacts, frame: Rect, gutter_px: float
) -> tuple[Mark, ...]:
    """Lay out the marks of all subjects, tags clear of letters and of each other where there is room.

    Parameters
    ----------
    inked_mm
        Boxes on the sheet that no tag should cover: every line found.
    frame
        Where the sheet lies on the page.
    gutter_px
        How far beyond the sheet a tag may stand.
    """
    spots = [spot for subject in subjects for spot in _spots(subject, facts, frame)]
    inked = [_on_page(box, facts, frame, 2.0) for box in inked_mm]
    # (n, 5): the rectangles to keep clear of, and how much each matters
    taken = [(*rect, 1.0) for rect in inked] + [(*rect, 0.5) for _, rect, boxed in spots if boxed]
    x0, y0, x1, y1 = frame
    bounds = (x0 - gutter_px, y0 - gutter_px, x1 + gutter_px, y1 + gutter_px)
    marks = []
    for subject, rect, boxed in spots:
        clear_of = np.array(taken).reshape(-1, 5)
        x, y, leader = _tag(rect, clear_of, bounds) if boxed else (*_pin(rect, clear_of), None)
        box = rect if boxed else None
        marks.append(Mark(label=subject.label, severity=subject.severity, box=box, tag_xy=(x, y), leader=leader))
        taken.append((*_square(x, y), 4.0))
        if leader:
            taken.append((*_spanned(leader), 2.0))
    return tuple(marks)


def _spots(subject: Subject, facts: ArtworkFacts, frame: Rect) -> Iterator[tuple[Subject, Rect, bool]]:
    """Yield what of a subject gets a tag of its own, on the page, and whether it gets a box too."""
    for box in _merged([_on_page(box_mm, facts, frame, PAD_PX) for box_mm in subject.boxes_mm]):
        yield subject, box, True
    if subject.part_mm is not None:
        yield subject, _on_page(subject.part_mm, facts, frame, 0.0), False


def _on_page(box_mm: Rect, facts: ArtworkFacts, frame: Rect, pad_px: float) -> Rect:
    x0, y0, x1, y1 = frame
    per_x, per_y = (x1 - x0) / facts.width_mm, (y1 - y0) / facts.height_mm
    return (
        x0 + box_mm[0] * per_x - pad_px,
        y0 + box_mm[1] * per_y - pad_px,
        x0 + box_mm[2] * per_x + pad_px,
        y0 + box_mm[3] * per_y + pad_px,
    )


def _merged(rects: Sequence[Rect]) -> list[Rect]:
    """Join rectangles that lie close together, until none do."""
    left = sorted(rects, key=lambda r: (r[1], r[0]))
    done: list[Rect] = []
    while left:
        rect = left.pop(0)
        near = next((other for other in left if _belong(rect, other)), None)
        if near is None:
            done.append(rect)
        else:
            left.remove(near)
            left.insert(0, _union(rect, near))
    return done if len(done) == len(rects) else _merged(done)


def _belong(a: Rect, b: Rect) -> bool:
    apart_x = max(a[0], b[0]) - min(a[2], b[2])
    apart_y = max(a[1], b[1]) - min(a[3], b[3])
    # the pads overlap where the places themselves are close
    if max(apart_x, apart_y) + 2 * PAD_PX > MERGE_PX:
        return False
    return _area(_union(a, b)) <= MERGE_WASTE * (_area(a) + _area(b))


def _union(a: Rect, b: Rect) -> Rect:
    return (min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3]))


def _area(rect: Rect) -> float:
    return (rect[2] - rect[0]) * (rect[3] - rect[1])


def _square(x: float, y: float) -> Rect:
    r = TAG_RADIUS_PX + 2
    return (x - r, y - r, x + r, y + r)


def _spanned(leader: Rect) -> Rect:
    xa, ya, xb, yb = leader
    return (min(xa, xb) - 2, min(ya, yb) - 2, max(xa, xb) + 2, max(ya, yb) + 2)


def _tag(box: Rect, taken: Rects, bounds: Rect) -> tuple[float, float, Rect | None]:
    """Choose where the tag covers least, the nearest such place first."""
    best: tuple[float, float, float, Rect | None] | None = None
    for n, (x, y, step, foot) in enumerate(_candidates(box)):
        square = _square(x, y)
        if square[0] < bounds[0] or square[1] < bounds[1] or square[2] > bounds[2] or square[3] > bounds[3]:
            continue
        leader = (x, y, *foot) if step else None
        cost = _covered(square, taken) + _STEP_COST * step + 0.01 * n
        if leader:
            cost += _LEADER_COST * _covered(_spanned(leader), taken)
        if best is None or cost < best[0]:
            best = (cost, x, y, leader)
    if best is None:  # no room anywhere: inside the bounds, whatever it covers
        r = TAG_RADIUS_PX + 2
        x = min(max(box[0], bounds[0] + r), bounds[2] - r)
        y = min(max(box[1], bounds[1] + r), bounds[3] - r)
        return x, y, None
    return best[1:]


def _pin(part: Rect, taken: Rects) -> tuple[float, float]:
    """Choose where in a part of the sheet the tag covers least, the nearest such place to its middle."""
    x0, y0, x1, y1 = part
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    best = (np.inf, *middle)
    for x in _inside(x0, x1):
        for y in _inside(y0, y1):
            away = np.hypot(x - middle[0], y - middle[1])
            best = min(best, (_covered(_square(x, y), taken) + _PIN_COST * float(away), x, y))
    return best[1:]


def _inside(start: float, end: float) -> Sequence[float]:
    """Return places for a tag along a side, its middle only where it is no longer than a tag."""
    room = (end - start) / 2 - TAG_RADIUS_PX - 2
    return [(start + end) / 2 + share * max(room, 0.0) for share in _PIN_SHARES]


def _candidates(box: Rect) -> Iterable[tuple[float, float, float, tuple[float, float]]]:
    """Yield tag centres around a box, with their step outwards and where a leader would end."""
    x0, y0, x1, y1 = box
    r = TAG_RADIUS_PX
    tall, wide = y1 - y0 > 2 * r, x1 - x0 > 2 * r
    ys = (y0 + r, (y0 + y1) / 2, y1 - r) if tall else ((y0 + y1) / 2,)
    xs = (x0 + r, x1 - r, (x0 + x1) / 2) if wide else ((x0 + x1) / 2,)
    for step in _STEPS:
        out = r + _TAG_GAP_PX + step * r
        for y in ys:
            yield x0 - out, y, step, (x0, y)
        for y in ys:
            yield x1 + out, y, step, (x1, y)
        for x in xs:
            yield x, y0 - out, step, (x, y0)
            yield x, y1 + out, step, (x, y1)


def _covered(rect: Rect, taken: Rects) -> float:
    """Weighted area of a rectangle that others take already."""
    width = np.minimum(rect[2], taken[:, 2]) - np.maximum(rect[0], taken[:, 0])
    height = np.minimum(rect[3], taken[:, 3]) - np.maximum(rect[1], taken[:, 1])
    return float((np.clip(width, 0, None) * np.clip(height, 0, None) * taken[:, 4]).sum())


def subjects_of(report: PosterReport) -> Iterator[Subject]:
    """Yield what is marked: findings that stand, by their rank, then remarks, by their letter."""
    for finding in report.findings:
        if finding.waived is None:
            boxes_mm = tuple(place.box_mm for place in finding.places)
            yield Subject(label=str(finding.rank), severity=finding.severity, boxes_mm=boxes_mm)
    facts = report.artwork
    for index, remark in enumerate(report.remarks):
        where, letter = remark.where, words.remark_letter(index)
        if where.words is not None:
            part_mm = part_of_sheet(where.words, facts.width_mm, facts.height_mm)
            yield Subject(label=letter, severity=None, part_mm=part_mm)
        else:
            box_mm = where.box_mm or 2 * (where.point_mm or (0.0, 0.0))
            yield Subject(label=letter, severity=None, boxes_mm=(box_mm,))
