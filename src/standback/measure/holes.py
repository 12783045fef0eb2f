"""Pictures that stand in for a letter: in the place of one, filled by what is no glyph of its line."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.artwork import Artwork, Level, srgb8_of
from standback.elements import Box
from standback.measure.model import Hole, Measurement

Codes = npt.NDArray[np.uint8]
Flags = npt.NDArray[np.bool_]
Doubles = npt.NDArray[np.float64]
Rect = tuple[float, float, float, float]

WORKING_LETTER = 32.0
"""Letters are looked at on the coarsest level that shows them at least so high, in samples (ours)."""
LEAST_LETTER = 16.0
OTHER_COLOUR, SAME_COLOUR = 48.0, 40.0
"""Colours farther from the ground than the one, in codes, are something; those nearer than the other to
each other are one colour (ours)."""
LEAST_WIDE, MOST_WIDE = 0.35, 1.6
"""How wide a stand-in is, in letter heights: no bar and no dash, and no picture beside the word (ours)."""
LEAST_HIGH, LEAST_COVER = 0.35, 0.06
"""How much of the height and of the place it fills (ours)."""
LEAST_BESIDE = 5
"""Letters that a line needs to tell what its strokes are like (ours)."""
MOST_WHITE = 0.30
"""White between a stand-in and its neighbours, in letter heights: more parts words (ours)."""
MORE_THAN_USUAL = 0.1
MOST_AROUND = 0.15
"""Share of what lies over and under the letters beside it that may be other than ground (ours)."""
SAME_HEIGHT = 0.06
"""Letters of one line of capitals differ by less than this share (ours)."""
ONE_COLOUR_SHARE = 0.8
MOST_SIGN = 0.33
"""A piece between capitals that is larger than this both ways, in letter heights, is no dash, dot or quote (ours)."""
STROKES_APART = 1.7
"""A shape of one colour, as high as the letters, is a letter in another colour unless its strokes differ by
this factor (ours)."""
SOLID, SOLID_IN_COLOUR = (1.9, 1.45), (1.6, 1.25)
"""How much larger the largest disc within a shape is than in the line's usual letter, and than in its next heaviest.
No letter, figure or & of 110 faces reaches the first, 1 of 100 lines the second, which is asked of another colour
(ours)."""
HAIR, LEAST_STROKE = 0.45, 5.0
"""Of no letter of these faces is the largest disc under 0.58 times the usual; asked where that is as many samples."""
LEAST_DISC = 0.28
"""The least such disc, in letter heights: under it stand heart-shaped dots (ours)."""
MOST_PICTURES = 2
"""More of them in one line are its ornaments, or part its words (ours)."""
NEAR, BELOW = 0.08, 0.22
"""Strips over and under a word that are looked at, in letter heights: lines set close leave no more (ours)."""
_ROWS_AT_A_TIME = 64


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Style:
    """What letters of a line look like on a level; `disc` is the usual diameter of the largest disc in one."""

    codes: Codes
    ground: Doubles
    height: float
    stroke: float
    usual: float
    level: Level
    disc: float = inf

    def inked(self, x0: float, x1: float, y0: float, y1: float) -> tuple[Codes, Flags]:
        """Return the colours of a part of the sheet, in samples, and where they are other than the ground."""
        rows, columns = _within(y0, y1, self.codes.shape[0]), _within(x0, x1, self.codes.shape[1])
        part = self.codes[rows, columns]
        return part, _apart(part, self.ground) > OTHER_COLOUR


def measure_holes(lines: Sequence[Measurement], artwork: Artwork) -> tuple[Hole, ...]:
    """Find the pictures that stand in for letters in upright lines for far and mid.

    Letters that the finder took for no line, because a picture parts them, are looked for where they are of
    the ink and height of a lead line of capitals.
    """
    found: list[Hole] = []
    codes_of: dict[int, Codes] = {}
    for m in lines:
        spacing = m.spacing
        if spacing is None or m.tier == "small" or abs(m.line.angle_deg) > 1.0:
            continue
        levels = [one for one in artwork.levels if spacing.unit_px >= WORKING_LETTER * one.scale]
        level = levels[-1] if levels else artwork.levels[0]
        if spacing.unit_px < LEAST_LETTER * level.scale:
            continue
        if level.scale not in codes_of:
            codes_of[level.scale] = srgb8_of(level)
        style = _Style(
            codes=codes_of[level.scale],
            ground=np.array(m.line.ground_srgb8, dtype=np.float64),
            height=spacing.unit_px / level.scale,
            stroke=m.line.stroke_px / level.scale,
            usual=spacing.letter_gap or spacing.expected_gap,
            level=level,
        )
        others = [other.line.box_px for other in lines if other.id != m.id]
        for box, at_end in _holes(m, style, lines):
            known = any(2 * box.overlap(other) > box.area for other in others)
            if not known and not any(box.overlap(hole.box_px) for hole in found):
                element = m.id if _stands_in(box, m) else None
                found.append(Hole(element=element, at_end=at_end, tier=m.tier, box_px=box, box_mm=artwork.box_mm(box)))
    return tuple(found)


def _stands_in(box: Box, m: Measurement) -> bool:
    middle = (box.y0 + box.y1) / 2
    return m.line.box_px.y0 < middle < m.line.box_px.y1


def _holes(m: Measurement, style: _Style, lines: Sequence[Measurement]) -> Iterator[tuple[Box, bool]]:
    spacing = m.spacing
    assert spacing is not None
    scale, (left, top) = style.level.scale, style.level.origin_px
    tall = [box for box in spacing.letter_boxes_px if box.height > 0.45 * spacing.unit_px]
    letters = [_on_level(box, scale, left, top) for box in tall]
    baseline = (spacing.baseline_px[1] - top) / scale
    most = MOST_SIGN * spacing.unit_px if spacing.capitals else inf
    low = [box for box in spacing.letter_boxes_px if box not in tall and min(box.height, box.width) <= most]
    signs = [_on_level(box, scale, left, top) for box in low]
    discs = np.array([_largest_disc(style.inked(*box[::2], *box[1::2])[1]) for box in letters])
    if len(letters) >= LEAST_BESIDE:
        style = replace(style, disc=float(np.median(discs)))
    for a, b in pairwise([*letters, *_parted(m, style, lines)]):
        if any(a[0] < (sign[0] + sign[2]) / 2 < b[2] for sign in signs):
            continue
        if _of_other_ink(style, a, m) or _of_other_ink(style, b, m):
            continue
        box = _filled(style, a[2], b[0], baseline)
        if box is not None:
            yield _on_sheet(box, style), False
    if m.tier == "lead" and len(letters) > 1 and tall[-1] == spacing.letter_boxes_px[-1]:
        end = letters[-1][2]
        box = _filled(style, end, None, baseline)
        if box is not None:
            yield _on_sheet(box, style), True
    for solid in _solids(letters, discs, style, m, baseline):
        yield _on_sheet(solid, style), False
    if m.tier == "lead" and spacing.capitals:
        yield from ((_on_sheet(box, style), False) for box in _between_strays(m, style, lines))


def _filled(style: _Style, start: float, end: float | None, baseline: float) -> Rect | None:
    """Return the box of what fills a place from one letter to the next, or after the last; None if nothing does."""
    height = style.height
    stop = start + (MOST_WIDE + 2 * MOST_WHITE) * height if end is None else end
    wide = (stop - start) / height
    if end is not None and not LEAST_WIDE < wide < MOST_WIDE + 2 * MOST_WHITE:
        return None
    top = baseline - height
    part, other = style.inked(start + 1, stop - 1, top - BELOW * height, baseline + BELOW * height)
    inside = other[_within(BELOW * height, (1 + BELOW) * height, other.shape[0])]
    columns = np.flatnonzero(inside.any(axis=0))
    rows = np.flatnonzero(inside.any(axis=1))
    if not len(columns):
        return None
    if end is None:
        columns = columns[: _first_run(columns, MOST_WHITE * height)]
    first, last = columns[0], columns[-1] + 1
    most = max(MOST_WHITE, style.usual + MORE_THAN_USUAL) * height
    before, after = first + 1, other.shape[1] - last + 1
    if before > most or (end is not None and after > most):
        return None
    if end is None and (after < 0.5 * height or before > (style.usual + MORE_THAN_USUAL) * height):
        return None
    if not LEAST_WIDE < (last - first) / height < MOST_WIDE or (rows[-1] + 1 - rows[0]) < LEAST_HIGH * height:
        return None
    thing = other[:, first:last]
    if inside[:, first:last].mean() < LEAST_COVER or _like_a_letter(part[:, first:last], thing, style):
        return None
    if end is None and not _as_high(thing, height):
        return None
    if not _bare_around(style, start, stop, baseline):
        return None
    return start + 1 + first, top, start + 1 + last, baseline


def _parted(m: Measurement, style: _Style, lines: Sequence[Measurement]) -> Iterator[Rect]:
    """Yield the first letter of the line that goes on where this one ends, if a picture parted them."""
    scale, (left, top) = style.level.scale, style.level.origin_px
    assert m.spacing is not None
    unit, right = m.spacing.unit_px, m.line.box_px.x1
    for other in lines:
        s = other.spacing
        if s is None or not s.letter_boxes_px or abs(s.unit_px - unit) > SAME_HEIGHT * unit:
            continue
        first = s.letter_boxes_px[0]
        if abs(s.baseline_px[1] - m.spacing.baseline_px[1]) < SAME_HEIGHT * unit and right < first.x0:
            yield _on_level(first, scale, left, top)
            return


def _solids(letters: Sequence[Rect], discs: Doubles, style: _Style, m: Measurement, baseline: float) -> Iterator[Rect]:
    """Yield the letters within words that are solid, or drawn hair-thin, where the line's others are strokes.

    A picture takes its place between letters of the line's own ink: what has others beside it, as the parts of a logo
    that the line runs into, is none.
    """
    height = style.height
    if len(letters) < LEAST_BESIDE:
        return
    coloured = [_of_other_ink(style, box, m) for box in letters]
    found: list[Rect] = []
    most = max(MOST_WHITE, style.usual + MORE_THAN_USUAL) * height
    for n, (before, box, after) in enumerate(zip(letters, letters[1:], letters[2:], strict=False), start=1):
        if max(box[0] - before[2], after[0] - box[2]) > most or coloured[n - 1] or coloured[n + 1]:
            continue
        over_usual, over_next = SOLID_IN_COLOUR if coloured[n] else SOLID
        next_heaviest = float(np.partition(np.delete(discs, n), -MOST_PICTURES)[-MOST_PICTURES])
        least = max(LEAST_DISC * height, over_usual * style.disc + 1, over_next * next_heaviest)
        hair = style.disc >= LEAST_STROKE and discs[n] < HAIR * style.disc and box[2] - box[0] > LEAST_WIDE * height
        if (discs[n] > least or hair) and _bare_around(style, before[2], after[0], baseline):
            found.append((box[0], baseline - height, box[2], baseline))
    if len(found) <= MOST_PICTURES:
        yield from found


def _of_other_ink(style: _Style, box: Rect, m: Measurement) -> bool:
    ink = np.array(m.line.ink_srgb8, dtype=np.float64)
    codes, other = style.inked(*box[::2], *box[1::2])
    return bool(other.any() and float(_apart(np.median(codes[other], axis=0), ink)) > OTHER_COLOUR)


def _largest_disc(shape: Flags) -> float:
    """Return the diameter of the largest disc within a shape, in samples."""
    return float(2 * ndimage.distance_transform_edt(np.pad(shape, 1)).max() - 1)


def _first_run(columns: npt.NDArray[np.intp], gap: float) -> int:
    """Return how many columns come before a wide gap."""
    breaks = np.flatnonzero(np.diff(columns) > gap)
    return int(breaks[0]) + 1 if len(breaks) else len(columns)


def _as_high(thing: Flags, height: float) -> bool:
    """Whether a thing begins and ends where the letters do, give or take an eighth."""
    rows = np.flatnonzero(thing.any(axis=1))
    first, last = float(rows[0]), float(rows[-1]) + 1
    return abs(first - BELOW * height) < height / 8 and abs(last - (1 + BELOW) * height) < height / 8


def _like_a_letter(part: Codes, thing: Flags, style: _Style) -> bool:
    """Whether a thing is a letter in another colour: of one colour, and of strokes like the line's."""
    colours = part[thing].astype(np.float64)
    usual = np.median(colours, axis=0)
    if (_apart(colours, usual) < SAME_COLOUR).mean() < ONE_COLOUR_SHARE:
        return False
    stroke = _stroke(thing)
    if _largest_disc(thing) > max(SOLID_IN_COLOUR[0] * style.disc + 1, LEAST_DISC * style.height):
        return False
    return style.stroke / STROKES_APART < stroke < style.stroke * STROKES_APART


def _stroke(shape: Flags) -> float:
    """Return the usual width of a shape's strokes: twice the distance of their middles from the rim."""
    depth = ndimage.distance_transform_edt(np.pad(shape, 1))
    ridge = (depth > 0) & (depth >= ndimage.maximum_filter(depth, 3))
    return float(2 * np.median(depth[ridge]))


def _bare_around(style: _Style, start: float, stop: float, baseline: float) -> bool:
    """Whether what lies over and under the place is ground, as around a word: a picture goes on."""
    h = style.height
    shares = []
    for y0, y1 in (
        (baseline - (1 + BELOW) * h, baseline - (1 + NEAR) * h),
        (baseline + NEAR * h, baseline + BELOW * h),
    ):
        _, other = style.inked(start - 0.5 * h, stop + 0.5 * h, y0, y1)
        if other.size:
            shares.append(float(other.mean()))
    return all(share < MOST_AROUND for share in shares)


def _between_strays(m: Measurement, style: _Style, lines: Sequence[Measurement]) -> Iterator[Rect]:
    """Yield what stands between two letters of a line's ink and height that belong to no line."""
    scale, (left, top) = style.level.scale, style.level.origin_px
    height = style.height
    own = np.array(m.line.ink_srgb8, dtype=np.float64)
    ink = np.empty(style.codes.shape[:2], dtype=np.bool_)
    for first in range(0, len(ink), _ROWS_AT_A_TIME):
        part = slice(first, first + _ROWS_AT_A_TIME)
        ink[part] = _apart(style.codes[part], own) < SAME_COLOUR
    labels, _ = ndimage.label(ink, structure=np.ones((3, 3), dtype=bool))
    strays = []
    for n, (rows, columns) in enumerate(ndimage.find_objects(labels), start=1):
        # half a sample of each edge is the rim's
        if abs(rows.stop - rows.start - height) > SAME_HEIGHT * height + 1:
            continue
        if columns.stop - columns.start > 1.5 * height or not _alike_strokes(labels[rows, columns] == n, style):
            continue
        box = _on_sheet((columns.start, rows.start, columns.stop, rows.stop), style)
        if not any(2 * box.overlap(other.line.box_px) > box.area for other in lines):
            strays.append(_on_level(box, scale, left, top))
    strays.sort()
    for a, b in pairwise(strays):
        if abs(a[3] - b[3]) < SAME_HEIGHT * height + 1 and b[0] > a[2]:
            box_or_none = _filled(style, a[2], b[0], (a[3] + b[3]) / 2)
            if box_or_none is not None:
                yield box_or_none


def _alike_strokes(shape: Flags, style: _Style) -> bool:
    return style.stroke / STROKES_APART < _stroke(shape) < style.stroke * STROKES_APART


def _apart(codes: Codes | Doubles, colour: Doubles) -> Doubles:
    squares = (codes - colour) ** 2
    distance: Doubles = np.sqrt(squares[..., 0] + squares[..., 1] + squares[..., 2])
    return distance


def _within(start: float, stop: float, size: int) -> slice:
    first = int(np.clip(round(start), 0, size))
    return slice(first, int(np.clip(round(stop), first, size)))


def _on_level(box: Box, scale: int, left: int, top: int) -> Rect:
    return (box.x0 - left) / scale, (box.y0 - top) / scale, (box.x1 - left) / scale, (box.y1 - top) / scale


def _on_sheet(box: Rect, style: _Style) -> Box:
    scale, (left, top) = style.level.scale, style.level.origin_px
    x0, y0, x1, y1 = (round(side * scale) for side in box)
    return Box(x0=x0 + left, y0=y0 + top, x1=max(x1, x0 + 1) + left, y1=max(y1, y0 + 1) + top)
