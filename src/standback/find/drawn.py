"""Flat drawn shapes that are close in light to what they stand on: icons, symbols, parts of a drawing."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from standback.artwork.model import Artwork, Level
from standback.elements import DRAWN_SHAPE, Box, Detail, Line, Srgb8
from standback.find.flat import FlatRegions, around, edges_of, flat_regions, ratios_across, same_colour
from standback.find.grounds import Grounds, grounds_of
from standback.light import contrast_ratio, linear_to_srgb8

Flags = npt.NDArray[np.bool_]
Doubles = npt.NDArray[np.float64]
Place = tuple[slice, slice]

LONG_SIDE = 1000
"""Shapes are looked for on the finest level whose long side is at most this (ours)."""
LEAST_SPAN = 0.013
"""Shapes are as long as this share of the sheet's diagonal (ours)."""
LEAST_SAMPLES = 12
"""Pieces of fewer samples are left out (ours)."""
FLAT_SPREAD, GROUND_SPREAD = 0.02, 0.03
"""The colours of a shape and of its ground spread by less, as the square root of light (ours)."""
LETTERED, PICTURED = 0.1, 0.12
"""What is so far covered by boxes of text is lettering; what has so much that is not flat is a picture (ours)."""
BLOCK_FILL = 0.8
"""What fills so much of its box, and is of several colours, is a picture or a diagram on a panel of its own (ours)."""
WEAK_OUTLINE, WEAK_WHOLE = 0.6, 0.6
"""So much of a part's own outline is weak, and so much of the outline of the whole drawing (ours)."""
MERE_PART, MOST_OF_WHOLE = 0.3, 0.5
"""Weak parts that are less of a drawing are not named, and those that are more of it whatever its outline (ours)."""
STANDING_SHARE = 0.25
"""A drawing is seen by what stands off most: this share of its outline gives its colours (ours)."""
UNDER = 0.6
"""The box of its ground takes in so much of a shape's own (ours)."""
OF_DRAWN = 0.4
"""A shape on a disc or a card that stands off by itself is as long as this share of it, or it is a mere part (ours)."""
JOINED = 0.4
"""Shapes of one colour are one where the gap is at most this share of their length (ours)."""
RULE = 12
"""What is straight, level and so many times as long as it is wide is a rule (ours)."""
LETTER_ROW, LETTER_OFF = 4, 0.15
"""So many pieces on one line, as high as each other, are letters that no line was found for (ours)."""
WORDMARK_LETTERS, WORDMARK_GAP, PITCH_LETTERS = 24.0, 0.6, 4.0
"""A line of no more letter heights, no farther from a shape than this share of the shape's height, is the lettering of
a logo, if it is no part of a paragraph: no other line follows within the last (ours)."""
ORNAMENT, SAME_SIZE, SAME_CODES = 6, 1.15, 6
"""So many shapes of one size and colour are an ornament or a pattern (ours)."""
HEAPED, HEAP_GAP, HEAP_SIZE, COMPACT = 2, 0.35, 3.0, 0.4
"""What has so many neighbours that hold, no farther off than such a share of its length and no more than so many times
larger or smaller, is a tone of what they are together: a heap, a mosaic. All fill so much of their boxes (ours)."""
MOST_THINGS, MOST_SHAPES = 100, 12


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Thing:
    """One drawn thing on the level that is weak all around.

    Attributes
    ----------
    regions
        Numbers of its weak parts.
    ink, ground
        The parts that stand for it, where its outline stands off most.
    """

    regions: tuple[int, ...]
    ink: int
    ground: int
    rows: slice
    columns: slice

    @property
    def long(self) -> int:
        return _long((self.rows, self.columns))


def find_drawn(artwork: Artwork, lines: Sequence[Line], below_ratio: float) -> tuple[Detail, ...]:
    """Find the flat shapes whose outline has less contrast than asked for, in reading order.

    Not among them: what carries text or other things, as cards and discs under icons do; photographs and gradients;
    what the edge of the sheet cuts; parts of a drawing whose outline as a whole holds; rules; letters, and marks beside
    a word.

    Parameters
    ----------
    lines
        The lines of text found.
    below_ratio
        WCAG contrast ratio that an outline needs to hold.
    """
    level = artwork.no_finer_than(LONG_SIDE).levels[0]
    flat = flat_regions(level)
    boxes = _places(level, lines)
    text = np.zeros(flat.labels.shape, dtype=np.bool_)
    for place in boxes:
        text[place] = True
    weak, firm = _things(flat, grounds_of(flat, boxes, below_ratio), text, below_ratio)
    heaped = [one for one in weak if _is_compact(one, flat) and _heaped(one, firm)]
    things = sorted((one for one in weak if not _is_like(one, heaped, flat)), key=lambda one: -one.long)
    least = LEAST_SPAN * float(np.hypot(*flat.labels.shape))
    shapes = [
        _shape(artwork, level, flat, group)
        for group in _groups(things[:MOST_THINGS], flat)
        if _span(group) >= least and not _letters(group, flat)
    ]
    found = sorted(
        (one for one in shapes if not _beside_word(one.box_px, lines) and not _ornament(one, shapes)),
        key=lambda one: -one.area_mm2,
    )
    return tuple(sorted(found[:MOST_SHAPES], key=lambda one: (one.box_px.y0, one.box_px.x0)))


def _places(level: Level, lines: Sequence[Line]) -> list[Place]:
    """Return where the boxes of lines lie on the level."""
    (x, y), scale = level.origin_px, level.scale
    return [
        (
            slice(max(0, (box.y0 - y) // scale), max(0, -((y - box.y1) // scale))),
            slice(max(0, (box.x0 - x) // scale), max(0, -((x - box.x1) // scale))),
        )
        for box in (line.box_px for line in lines)
    ]


def _things(flat: FlatRegions, grounds: Grounds, text: Flags, below_ratio: float) -> tuple[list[_Thing], list[Place]]:
    """Return what stands on the grounds and does not hold, and where that is which does."""
    wholes, _ = ndimage.label(~grounds.ground[flat.labels])
    weak: list[_Thing] = []
    firm: list[Place] = []
    for number, bounds in enumerate(ndimage.find_objects(wholes), start=1):
        place = around(flat, bounds)
        whole = wholes[place] == number
        if np.count_nonzero(whole) < LEAST_SAMPLES or _is_other(flat, whole, place, text):
            continue
        thing = _weak_thing(flat, grounds, whole, place, below_ratio)
        if thing is None:
            if np.count_nonzero(whole) >= COMPACT * _box_area(bounds):
                firm.append(bounds)
        elif not _rule(thing, flat):
            weak.append(thing)
    return weak, firm


def _is_like(thing: _Thing, heaped: Sequence[_Thing], flat: FlatRegions) -> bool:
    """Whether a shape is one of those in a heap, or of their colour and about their size: a piece that lies apart."""
    return any(
        thing is one or (same_colour(flat, one.ink)[thing.ink] and 1 / HEAP_SIZE < thing.long / one.long < HEAP_SIZE)
        for one in heaped
    )


def _is_compact(thing: _Thing, flat: FlatRegions) -> bool:
    area = sum(flat.area[number] for number in thing.regions)
    return bool(area >= COMPACT * _box_area((thing.rows, thing.columns)))


def _box_area(place: Place) -> int:
    return int(place[0].stop - place[0].start) * int(place[1].stop - place[1].start)


def _heaped(thing: _Thing, firm: Sequence[Place]) -> bool:
    """Whether a shape lies close among others of about its size that hold."""
    reach = HEAP_GAP * thing.long
    rows, columns = thing.rows, thing.columns
    close = [
        place
        for place in firm
        if 1 / HEAP_SIZE < _long(place) / thing.long < HEAP_SIZE
        and place[0].start - reach < rows.stop
        and place[0].stop + reach > rows.start
        and place[1].start - reach < columns.stop
        and place[1].stop + reach > columns.start
    ]
    return len(close) >= HEAPED


def _is_other(flat: FlatRegions, whole: Flags, place: Place, text: Flags) -> bool:
    """Whether what stands on a ground is lettering or a picture."""
    area = np.count_nonzero(whole)
    if area > BLOCK_FILL * whole.size and np.bincount(flat.labels[place][whole]).max() < BLOCK_FILL * area:
        return True
    lettered, pictured = (np.count_nonzero(whole & part) for part in (text[place], flat.labels[place] == 0))
    return bool(lettered > LETTERED * area or pictured > PICTURED * area)


def _weak_thing(flat: FlatRegions, grounds: Grounds, whole: Flags, place: Place, below_ratio: float) -> _Thing | None:
    """Return the weak parts of a drawing, None where its outline holds or is not flat."""
    edges = edges_of(flat, whole, place)
    ratios = ratios_across(flat, edges)
    on_ground = grounds.ground[edges.outer]
    size = len(flat.area)
    # a line that runs inside a drawing is no outline of it
    outlying = np.bincount(edges.inner[on_ground], minlength=size) > 0
    lined = edges.lined & (on_ground | outlying[edges.outer])
    holds = (ratios >= below_ratio) | lined | (edges.inner == 0) | (edges.outer == 0)
    weak = on_ground & ~holds
    weak_of, held_of = (np.bincount(edges.inner[part], minlength=size) for part in (weak, holds))
    parts = (weak_of > 0) & (weak_of >= WEAK_OUTLINE * (weak_of + held_of)) & (flat.area >= LEAST_SAMPLES)
    weak &= parts[edges.inner]
    if not weak.any():
        return None
    within = np.bincount(flat.labels[place][whole], minlength=size) > 0
    for part in map(int, np.flatnonzero(parts)):
        parts |= same_colour(flat, part) & within & ~outlying
    share = np.count_nonzero(parts[flat.labels[place]] & whole) / np.count_nonzero(whole)
    if share < (MERE_PART if weak.sum() >= WEAK_WHOLE * on_ground.sum() else MOST_OF_WHOLE):
        return None
    regions = tuple(int(number) for number in np.flatnonzero(parts))
    place = _bounds([flat.places[number] for number in regions])
    around_it = [n for n in np.unique(edges.outer[weak]) if _overlap(place, flat.places[n]) >= UNDER]
    stands = np.flatnonzero(weak & np.isin(edges.outer, around_it))
    if not len(stands):
        return None
    standing = float(np.quantile(ratios[weak], 1 - STANDING_SHARE))
    seen_by = stands[np.abs(ratios[stands] - standing).argmin()]
    ink, ground = int(edges.inner[seen_by]), int(edges.outer[seen_by])
    if flat.spread[ink] > FLAT_SPREAD or flat.spread[ground] > GROUND_SPREAD:
        return None
    thing = _Thing(regions=regions, ink=ink, ground=ground, rows=place[0], columns=place[1])
    least = OF_DRAWN * _long(flat.places[ground]) if grounds.held[ground] else 0.0
    return thing if thing.long >= least and not grounds.drawn[ground] else None


def _bounds(places: Sequence[Place]) -> Place:
    rows, columns = zip(*places, strict=True)
    return (
        slice(min(one.start for one in rows), max(one.stop for one in rows)),
        slice(min(one.start for one in columns), max(one.stop for one in columns)),
    )


def _long(place: Place) -> int:
    return max(int(side.stop - side.start) for side in place)


def _overlap(place: Place, other: Place) -> float:
    """Return how much of a place another takes in, as a share of it."""
    shares = [
        max(0, min(a.stop, b.stop) - max(a.start, b.start)) / (a.stop - a.start)
        for a, b in zip(place, other, strict=True)
    ]
    return float(shares[0] * shares[1])


def _rule(thing: _Thing, flat: FlatRegions) -> bool:
    return all(
        max(sides := [side.stop - side.start for side in flat.places[number]]) >= RULE * min(sides)
        for number in thing.regions
    )


def _groups(things: Sequence[_Thing], flat: FlatRegions) -> list[list[_Thing]]:
    """Join things of one colour that are near each other."""
    groups: list[list[_Thing]] = []
    for thing in things:
        near = [group for group in groups if any(_joined(thing, other, flat) for other in group)]
        groups = [group for group in groups if not any(group is other for other in near)]
        groups.append([*(other for group in near for other in group), thing])
    return groups


def _joined(a: _Thing, b: _Thing, flat: FlatRegions) -> bool:
    down = max(a.rows.start, b.rows.start) - min(a.rows.stop, b.rows.stop)
    across = max(a.columns.start, b.columns.start) - min(a.columns.stop, b.columns.stop)
    near = np.hypot(max(down, 0), max(across, 0)) <= JOINED * np.sqrt(a.long * b.long)
    return bool(near and same_colour(flat, a.ink)[b.ink])


def _span(group: Sequence[_Thing]) -> int:
    return _long(_bounds([(one.rows, one.columns) for one in group]))


def _letters(group: Sequence[_Thing], flat: FlatRegions) -> bool:
    """Whether pieces stand in a row, as high as each other: a word that no line was found for."""
    rows = [flat.places[number][0] for one in group for number in one.regions]

    def in_row(one: slice) -> int:
        slack = LETTER_OFF * (one.stop - one.start)
        return sum(abs(other.start - one.start) <= slack and abs(other.stop - one.stop) <= slack for other in rows)

    return any(in_row(one) >= LETTER_ROW for one in rows)


def _beside_word(box: Box, lines: Sequence[Line]) -> bool:
    """Whether a shape is the mark of a logo: a short line by itself follows it."""
    for line in lines:
        beside = line.box_px
        level = not line.angle_deg and box.y0 <= (beside.y0 + beside.y1) / 2 <= box.y1
        if not level or beside.x0 <= box.x0 or beside.x0 - box.x1 >= WORDMARK_GAP * box.height:
            continue
        if beside.width <= WORDMARK_LETTERS * line.letter_px and not any(
            _follow(line, other) or _follow(other, line) for other in lines
        ):
            return True
    return False


def _follow(line: Line, other: Line) -> bool:
    """Whether a line is the next of a paragraph."""
    a, b = line.box_px, other.box_px
    return (
        0 < b.y1 - a.y1 < PITCH_LETTERS * line.letter_px
        and min(abs(a.x0 - b.x0), abs(a.x1 - b.x1)) < line.letter_px
        and 0.75 < line.letter_px / other.letter_px < 1.33
    )


def _ornament(one: Detail, shapes: Sequence[Detail]) -> bool:
    """Whether a shape comes so often that it is a row of ornaments, or a pattern."""

    def alike(other: Detail) -> bool:
        a, b = one.box_px, other.box_px
        sides = ((a.width, b.width), (a.height, b.height))
        same_size = all(max(pair) <= SAME_SIZE * min(pair) for pair in sides)
        return same_size and max(abs(x - y) for x, y in zip(one.ink_srgb8, other.ink_srgb8, strict=True)) <= SAME_CODES

    return sum(map(alike, shapes)) >= ORNAMENT


def _shape(artwork: Artwork, level: Level, flat: FlatRegions, group: Sequence[_Thing]) -> Detail:
    rows, columns = _bounds([(one.rows, one.columns) for one in group])
    mask = np.isin(flat.labels[rows, columns], [number for one in group for number in one.regions])
    main = max(group, key=lambda one: sum(flat.area[number] for number in one.regions))
    ink, ground = (_srgb8(flat.linear[number]) for number in (main.ink, main.ground))
    mm = level.scale / artwork.px_per_mm
    framed = np.pad(mask, 1)
    outline = sum(int(np.count_nonzero(framed[a] != framed[b])) for a, b in _BESIDE)
    x, y = level.origin_px
    trim = artwork.trim_px
    return Detail(
        box_px=Box(
            x0=x + columns.start * level.scale,
            y0=y + rows.start * level.scale,
            x1=min(x + columns.stop * level.scale, trim.x1),
            y1=min(y + rows.stop * level.scale, trim.y1),
        ),
        kind=DRAWN_SHAPE,
        mask=mask,
        mask_scale=level.scale,
        ink_srgb8=ink,
        ground_srgb8=ground,
        ratio=contrast_ratio(ink, ground),
        feature_mm=2 * np.count_nonzero(mask) / max(outline, 1) * mm,
        pitch_mm=None,
        count=len(group),
        area_mm2=float(np.count_nonzero(mask)) * mm**2,
    )


_BESIDE = ((np.s_[1:], np.s_[:-1]), (np.s_[:, 1:], np.s_[:, :-1]))


def _srgb8(linear: Doubles) -> Srgb8:
    r, g, b = (int(code) for code in linear_to_srgb8(linear))
    return (r, g, b)
