"""From a band to lines: cut at wide gaps, measured, weighed; and one line kept where several claim a place."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from standback.artwork.model import Artwork
from standback.doubts import Doubt
from standback.elements import Box, Line
from standback.find.bands import Band
from standback.find.colours import Colours, as_drawn, colours_of, core_of
from standback.find.cuts import line_numbers, trimmed, without_shapes
from standback.find.glyphs import Glyphs, glyphs_of
from standback.find.grain import without_grain
from standback.find.heights import Heights, heights_of
from standback.find.hollow import without_hollow
from standback.find.leaning import frame_deg, laid_back, lean_deg, runs_along, shared_place, window_of
from standback.find.outlined import with_outline
from standback.find.split import LEAST_APART, SIDE_BODIES, Floats
from standback.find.stroke import stroke_of
from standback.find.textlike import Traits, crumbles, hopeless, looks_of, text_likeness, traits_of
from standback.find.two_inks import srgb8_of
from standback.find.unlikely import is_across, is_crumb, is_dot
from standback.find.ways import LEAST_TIDY, nearest, parted

SAME_PLACE_SHARE = 0.5
"""Two lines that share more than this of the smaller claim one place (ours)."""
LEVEL_DEG, REST_BODIES, REST_SHARE, REST_CLEAR = 10.0, 1.2, 0.2, 0.25
"""What lines leave of a level band is looked at again where it is so wide, clear of their rims (ours)."""
SURELY_BESIDE = 0.8
"""There what is less surely text is a piece of an icon or a picture (ours)."""
STILL = 0.02
"""On a ground more restless than this small marks are its grain, and tell nothing of the ink (ours)."""
LEAST_CONFIDENCE = 0.55
"""What is less credible is no line (ours)."""
LEAST_PROMISING = 0.15
"""In foliage, pieces stand in line without end: what is less credible is widened no further (ours)."""
LEAST_DOUBTFUL, MOST_DOUBTFUL = 0.02, 24
"""What is less credible isn't worth another opinion, and no more of them are asked about (ours)."""
LEAST_LOOK, MOST_LOOK = 24.0, 40.0
"""A band is first looked at in half its px, or with its body so many samples high (ours)."""
CLOSE_LOOK, FINE_STROKE = 32.0, 5.0
"""What is text is then measured with its body so many samples high and its strokes so wide, where the artwork has
them (ours)."""
SAME_LINE = 0.6
"""Share of the larger box that two looks at one line have in common (ours)."""
LEAST_SLANTED = 3
"""Fewer pieces on a slant are rings, leaves or marks as often as letters, and so is one letter on end (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidate:
    """A measured line, why we take it for text, where it runs, and whether its ground has patches."""

    line: Line
    traits: Traits
    band: Band
    patchy: bool


def candidates_of(artwork: Artwork, band: Band) -> Iterator[Candidate]:
    """Measure the lines inside a band, and what is left of it beside a line in a much paler or darker ink.

    One line is what a reader would read on: the ink is cut wherever a gap is wider than 1.3 times the
    larger of the body height and 0.7 times the height of the line, and plainly wider than the spaces between its words.
    """
    found = list(_candidates_in(artwork, band))
    yield from found
    for rest in _rests(band, [one.line.box_px for one in found if one.line.confidence >= LEAST_CONFIDENCE]):
        beside = _candidates_in(artwork, rest, widens=False)
        yield from (one for one in beside if one.line.confidence >= SURELY_BESIDE)


def _rests(band: Band, boxes: Sequence[Box]) -> Iterator[Band]:
    """Yield the parts of a level band that no line found in it takes, where they are wide enough for words."""
    if not boxes or abs(band.angle_deg) > LEVEL_DEG:
        return
    least = max(REST_BODIES * band.body_px, REST_SHARE * (band.x1 - band.x0))
    x0, clear = band.x0, REST_CLEAR * band.body_px
    for box in sorted(boxes, key=lambda box: box.x0):
        if box.x0 - clear - x0 >= least:
            yield replace(band, x0=x0, x1=box.x0 - clear)
        x0 = max(x0, box.x1 + clear)
    if band.x1 - x0 >= least:
        yield replace(band, x0=x0)


def _candidates_in(artwork: Artwork, band: Band, *, widens: bool = True) -> Iterator[Candidate]:
    def promises(glyphs: Glyphs) -> bool:
        return any(one.line.confidence >= LEAST_PROMISING for one in _measured_in(artwork, glyphs, band))

    scale = coarsest(artwork, band.body_px, min(max(band.body_px / 2, LEAST_LOOK), MOST_LOOK))
    glyphs = parted(artwork, band, scale, promises, widens=widens)
    if glyphs is not None and (lean := lean_deg(glyphs)):
        window = glyphs.split.window
        turned = replace(window.band(window.left, window.right, band.score), angle_deg=window.angle_deg + lean)
        glyphs = parted(artwork, turned, scale, promises, widens=widens) or glyphs
    for found in () if glyphs is None else _measured_in(artwork, glyphs, band):
        closer = min(
            scale,
            coarsest(artwork, band.body_px, CLOSE_LOOK),
            coarsest(artwork, found.line.stroke_px, FINE_STROKE),
        )
        credible = found.line.confidence >= LEAST_CONFIDENCE
        yield _closer(artwork, found, closer) if credible and closer < scale else found


def explains(line: Line, band: Band) -> bool:
    """Whether a line already found is what a band points at."""
    box = line.box_px
    if not box.y0 <= band.middle_y < box.y1:
        return False
    alike = 0.5 < band.body_px / max(line.letter_px, 1) < 2.0
    if line.angle_deg or frame_deg(band):
        return alike and runs_along(band, line)
    width = min(box.x1, band.x1) - max(box.x0, band.x0)
    return alike and box.y0 < band.middle_y and width >= 0.6 * (band.x1 - band.x0)


def suppressed(candidates: Iterable[Candidate]) -> tuple[Line, ...]:
    """Keep the most credible line where several share a place, in reading order; drop what can't be text there."""
    credible = [
        c.line
        for c in candidates
        if c.line.confidence >= LEAST_CONFIDENCE and not is_dot(c.traits) and not is_crumb(c.line)
    ]
    kept: list[Line] = []
    for line in sorted(credible, key=lambda one: (-one.confidence, -one.box_px.area, one.box_px.as_tuple())):
        beside = [k for k in kept if line.box_px.overlap(k.box_px)]
        if all(shared_place(line, k) <= SAME_PLACE_SHARE for k in beside) and not is_across(line, beside):
            kept.append(line)
    return tuple(sorted(kept, key=lambda one: (one.box_px.y0, one.box_px.x0)))


def doubtful(candidates: Iterable[Candidate], lines: Sequence[Line]) -> tuple[Line, ...]:
    """Return what isn't credible as text by its shapes and lies where no line is; one at a place."""
    weak = [c.line for c in candidates if LEAST_DOUBTFUL <= c.line.confidence < LEAST_CONFIDENCE]
    kept: list[Line] = []
    for line in sorted(weak, key=lambda one: (-one.confidence, -one.box_px.area, one.box_px.as_tuple())):
        if all(shared_place(line, other) <= SAME_PLACE_SHARE for other in (*lines, *kept)):
            kept.append(line)
    return tuple(kept[:MOST_DOUBTFUL])


def coarsest(artwork: Artwork, length_px: float, samples: float) -> int:
    """Return the most px a sample, of those that the artwork is held at, at which a length is so many samples."""
    return max((level.scale for level in artwork.levels if length_px >= samples * level.scale), default=1)


def _measured_in(artwork: Artwork, glyphs: Glyphs, band: Band) -> Iterator[Candidate]:
    """Part a window again with the colours that its letters have, and measure the lines in it."""
    better, unrest = _coloured(glyphs)
    if better is not None and unrest < STILL and crumbles(better):
        better, unrest = _coloured(without_shapes(glyphs))
        if better is not None and crumbles(better):
            # of two inks the median is one, and leaves rims of the other's letters: as parted first they have both
            if crumbles(glyphs):
                return
            better = glyphs
    if better is None or better.tidy < LEAST_TIDY:
        return
    letters, outline = with_outline(better) or (without_grain(better, unrest), None)
    for piece in _cut(letters):
        candidate = _measured(artwork, piece, band, outline)
        if candidate is not None:
            yield candidate


def _coloured(glyphs: Glyphs) -> tuple[Glyphs | None, float]:
    """Return a window parted by the colours that its letters have, and how restless its ground is."""
    colours = colours_of(glyphs)
    if not (colours.ink - colours.ground).any():
        return None, 0.0
    return glyphs_of(glyphs.split.with_colours(colours.ink, colours.ground)), colours.unrest


def _closer(artwork: Artwork, found: Candidate, scale: int) -> Candidate:
    """Measure a line again on finer samples; as it was where these show no such line, as with a coarse screen."""
    box, band = found.line.box_px, found.band
    window = window_of(artwork, band, SIDE_BODIES, scale)
    if window is None:
        return found
    split = nearest(window, np.array(found.line.ink_srgb8), found.patchy)
    glyphs = None if split is None else glyphs_of(split)
    again = () if glyphs is None or glyphs.tidy < LEAST_TIDY else _measured_in(artwork, glyphs, band)
    for one in again:
        both = one.line.box_px.overlap(box)
        if one.line.confidence >= LEAST_CONFIDENCE and both > SAME_LINE * max(box.area, one.line.box_px.area):
            return one
    return found


def _cut(glyphs: Glyphs) -> Iterator[Glyphs]:
    part = line_numbers(glyphs)
    left, right = glyphs.split.window.left, glyphs.split.window.right
    for n in range(int(part[-1]) + 1):
        piece = glyphs.of(part == n)
        if not piece.letter.any():
            continue
        piece = trimmed(piece)
        x0, x1 = piece.x0.min(), piece.x1.max()
        if min(x1, right) - max(x0, left) >= 0.5 * (x1 - x0):
            yield piece


def _measured(artwork: Artwork, glyphs: Glyphs, band: Band, outline: Floats | None) -> Candidate | None:
    looks = looks_of(glyphs)
    heights = None if hopeless(looks) else heights_of(without_hollow(glyphs))
    if heights is None:
        return None
    colours = colours_of(glyphs)
    if float(np.linalg.norm(colours.ink - colours.ground)) < LEAST_APART:
        return None
    if outline is not None:
        thin = colours.solid is None
        drawn = replace(colours, ground=outline, doubts=(Doubt.OUTLINED, *([Doubt.LOW_RESOLUTION] if thin else [])))
    else:
        glyphs, drawn = as_drawn(glyphs, colours)
    stroke = stroke_of(glyphs, heights.letter, colours.stroke)
    shorter_side = min(artwork.trim_px.width, artwork.trim_px.height) / glyphs.split.window.scale
    traits = traits_of(glyphs, looks, heights, stroke, colours, band.score, shorter_side)
    turned_deg = abs(glyphs.split.window.angle_deg)
    if (traits.pieces < LEAST_SLANTED and turned_deg not in (0.0, 90.0)) or (traits.one_letter and turned_deg):
        return None
    line = _line(artwork, glyphs, heights, drawn, stroke.width, text_likeness(traits))
    own = glyphs.split.window.band(float(glyphs.x0.min()), float(glyphs.x1.max()), band.score)
    return Candidate(line=line, traits=traits, band=own, patchy=glyphs.split.is_patchy or outline is not None)


def _line(
    artwork: Artwork, glyphs: Glyphs, heights: Heights, colours: Colours, stroke: float, confidence: float
) -> Line:
    window, scale = glyphs.split.window, glyphs.split.window.scale
    rows, columns = glyphs.place()
    mask = glyphs.mask[rows, columns]
    trim = artwork.trim_px
    if window.angle_deg:
        box, mask = laid_back(window, mask, rows.start, columns.start, trim)
    else:
        box = Box(
            x0=int(window.x0) + columns.start * scale,
            y0=int(window.y0) + rows.start * scale,
            x1=min(int(window.x0) + columns.stop * scale, trim.x1),
            y1=min(int(window.y0) + rows.stop * scale, trim.y1),
        )
    doubts = list(colours.doubts)
    if box.x0 <= trim.x0 or box.y0 <= trim.y0 or box.x1 >= trim.x1 or box.y1 >= trim.y1:
        doubts.append(Doubt.TOUCHES_EDGE)
    return Line(
        box_px=box,
        angle_deg=round(window.angle_deg, 1),
        mask=mask,
        core=core_of(mask),
        mask_scale=scale,
        ink_srgb8=srgb8_of(colours.ink),
        ground_srgb8=srgb8_of(colours.ground),
        cap_px=None if heights.cap is None else heights.cap * scale,
        x_px=None if heights.x is None else heights.x * scale,
        letter_px=heights.letter * scale,
        stroke_px=stroke * scale,
        confidence=confidence,
        doubts=tuple(doubts),
    )
