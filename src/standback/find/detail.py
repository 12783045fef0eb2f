"""Fine detail on an artwork: hairlines, dots, hatching, outlines, as few patches as a reviewer would name."""

from collections.abc import Callable, Sequence
from functools import partial

import numpy as np
import numpy.typing as npt

from standback.artwork.model import Artwork
from standback.doubts import Doubt
from standback.elements import Box, Detail, Line, Srgb8
from standback.find.detail_codes import CodeBox, code_boxes
from standback.find.detail_doubts import LEAST_AROUND, MOST_PICTURED, flat_around, looks_lettered, pictured
from standback.find.detail_groups import Group, cell_px, groups_of, usable
from standback.find.detail_ink import Places, ink_of
from standback.find.detail_kinds import kind_of
from standback.find.detail_lines import lettered, of_lines
from standback.find.detail_marks import Marks, joined, marks_of
from standback.find.detail_rivals import settled
from standback.find.detail_thin import DARK, FINE_MM, LIGHT, Codes, Flags, Shares, thin_pixels
from standback.light import contrast_ratio
from standback.threads import each

MOST_PATCHES = 12
LEAST_SPAN = 0.02
"""A patch spans at least this share of the sheet's diagonal (ours)."""
LEAST_LENGTH = 2.0
"""Its strokes are together at least so many times as long as it must span (ours)."""
LEAST_DOTS = 8
ALIKE = 0.75
"""With less ground of one colour around it, a stroke parts two surfaces rather than lying on one (ours)."""
LEAST_CONFIDENCE = 0.5
"""What is less sure than this is not named: a false patch costs more trust than a missed one (ours)."""
SURE_TEXT = 0.85
"""What is less surely text may be a row of a code's modules (ours)."""
LEAST_FINE_PX = 3.0
"""In a file where fine strokes are narrower than this, all edges look like them (ours)."""


def find_details(artwork: Artwork, lines: Sequence[Line]) -> tuple[Detail, ...]:
    """Find the fine detail, in reading order.

    Parameters
    ----------
    lines
        The lines of text found: fine detail is what isn't text.
    """
    if FINE_MM * artwork.px_per_mm < LEAST_FINE_PX:
        return ()
    codes = Codes(artwork)
    thin, flat = thin_pixels(codes, lettered(artwork, lines))
    unsure = lettered(artwork, [line for line in lines if line.confidence < SURE_TEXT])
    coded: list[CodeBox] = []
    chosen: dict[int, Marks] = {}

    def choose(polarity: int) -> None:
        marks = marks_of(codes, thin, polarity)
        chosen[polarity] = marks.of(usable(marks, codes) & ~of_lines(marks, artwork, lines))

    # codes first: they take as long as the marks of one polarity
    looks: list[Callable[[], None]] = [lambda: coded.extend(code_boxes(codes, thin, unsure))]
    looks += [partial(choose, DARK), partial(choose, LIGHT)]
    each(lambda look: look(), looks)
    marks = joined(chosen[DARK], chosen[LIGHT])
    groups = settled(groups_of(marks.of(~_within(marks, coded)), codes))
    groups = [group for group in groups if _worth(group, codes)]
    place = np.zeros((codes.height, codes.width), dtype=np.int16)
    for number, group in enumerate(groups, start=1):
        place.ravel()[group.marks.pixels] = number
    found = [
        detail
        for number, group in enumerate(groups, start=1)
        if (detail := _detail(artwork, codes, group, Places(thin=thin.polarity, group=place, number=number), flat))
        is not None
    ]
    found.extend(_code(artwork, codes, box) for box in coded)
    found = sorted(found, key=lambda one: -one.area_mm2)[:MOST_PATCHES]
    return tuple(sorted(found, key=lambda one: (one.box_px.y0, one.box_px.x0)))


def _within(marks: Marks, boxes: Sequence[CodeBox]) -> Flags:
    inside = np.zeros(len(marks), dtype=np.bool_)
    for x0, y0, x1, y1 in boxes:
        inside |= (marks.x0 >= x0 - 2) & (marks.x1 <= x1 + 2) & (marks.y0 >= y0 - 2) & (marks.y1 <= y1 + 2)
    return inside


def _worth(group: Group, codes: Codes) -> bool:
    marks = group.marks
    wanted = LEAST_SPAN * float(np.hypot(codes.width, codes.height))
    span = max(float(marks.x1.max() - marks.x0.min()), float(marks.y1.max() - marks.y0.min()))
    length = float((marks.half_outline - marks.width).clip(0).sum())
    return span >= wanted and (length >= LEAST_LENGTH * wanted or len(marks) >= LEAST_DOTS)


def _detail(artwork: Artwork, codes: Codes, group: Group, places: Places, flat: Shares) -> Detail | None:
    marks = group.marks
    around = flat_around(marks, flat, codes.width)
    if around < LEAST_AROUND or looks_lettered(marks, codes):
        return None
    ink = ink_of(artwork, codes, marks, places)
    if ink is None or ink.width_px > FINE_MM * artwork.px_per_mm:
        return None
    doubtful = pictured(marks, ink, around) / MOST_PICTURED
    confidence = max(0.0, 1 - 0.5 * doubtful) * min(1.0, ink.alike / ALIKE)
    if doubtful >= 1 or confidence < LEAST_CONFIDENCE:
        return None
    level = artwork.levels[0]
    x0, y0, x1, y1 = (int(v) for v in (marks.x0.min(), marks.y0.min(), marks.x1.max(), marks.y1.max()))
    box = _box(artwork, (x0, y0, x1, y1))
    inked, ground = _srgb8(ink.ink), _srgb8(ink.ground)
    pitch_mm = None if ink.pitch_px is None else ink.pitch_px / artwork.px_per_mm
    return Detail(
        box_px=box,
        kind=kind_of(marks, ink, width=codes.width, pitch_mm=pitch_mm),
        mask=places.group[y0:y1, x0:x1] == places.number,
        mask_scale=level.scale,
        ink_srgb8=inked,
        ground_srgb8=ground,
        ratio=contrast_ratio(inked, ground),
        feature_mm=ink.width_px / artwork.px_per_mm,
        pitch_mm=pitch_mm,
        count=len(marks),
        area_mm2=len(group.cells) * (cell_px(codes) / codes.px_per_mm) ** 2,
        confidence=confidence,
        doubts=(Doubt.LOW_RESOLUTION,) if ink.width_px < 3 else (),
    )


def _code(artwork: Artwork, codes: Codes, box: CodeBox) -> Detail:
    x0, y0, x1, y1 = box
    pixels = codes.piece(slice(y0, y1), slice(x0, x1))
    lightness = pixels.astype(np.float32).mean(axis=2)
    ink = lightness < np.percentile(lightness, [5, 95]).mean()
    inked, ground = (_srgb8(np.median(pixels[part], axis=0)) for part in (ink, ~ink))
    edges = np.diff(np.pad(ink, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    runs = np.nonzero(edges == -1)[1] - np.nonzero(edges == 1)[1]
    mm = 1 / codes.px_per_mm
    return Detail(
        box_px=_box(artwork, box),
        kind="code",
        mask=ink,
        mask_scale=artwork.levels[0].scale,
        ink_srgb8=inked,
        ground_srgb8=ground,
        ratio=contrast_ratio(inked, ground),
        feature_mm=float(np.quantile(runs, 0.25)) * mm,
        pitch_mm=None,
        count=1,
        area_mm2=(x1 - x0) * (y1 - y0) * mm**2,
    )


def _box(artwork: Artwork, box: CodeBox) -> Box:
    """Return a box on the finest level in original pixels."""
    level, trim = artwork.levels[0], artwork.trim_px
    x0, y0, x1, y1 = (v * level.scale for v in box)
    ox, oy = level.origin_px
    return Box(x0=ox + x0, y0=oy + y0, x1=min(ox + x1, trim.x1), y1=min(oy + y1, trim.y1))


def _srgb8(colour: npt.NDArray[np.floating | np.uint8]) -> Srgb8:
    r, g, b = (round(float(v)) for v in colour)
    return (r, g, b)
