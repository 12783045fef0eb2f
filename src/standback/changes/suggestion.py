"""The artwork with the colours and weights drawn into it that the changes propose: a suggestion to look at."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from standback.artwork.model import Artwork, Srgb8Picture
from standback.elements import Box
from standback.findings import Finding, NotDrawn, PosterReport, Redraw, Suggestion
from standback.light import linear_of, linear_to_srgb8
from standback.masks import grown
from standback.measure.look import Look
from standback.measure.model import DetailMeasurement, Element, Measurement
from standback.measure.redraw import RIM_SAMPLES, Canvas, Inked, growth_px, surroundings

MOST_UNEXPLAINED = 0.2
"""An ink is lifted cleanly if its samples differ from a mix of ink and ground by no more than this share of the
distance between the two, root mean square (ours)."""
MOST_STRAY = 0.04
"""Ink of the same colour within the box that the mask leaves out, as a share of the mask: more of it would stay
behind in the old colour (ours)."""
PANEL_LETTERS = (1.5, 1.0, 0.6)
"""How far a new ground reaches beyond a line, in letter heights: as far as there is room (ours)."""
SAME_GROUND = 0.15
"""A ground is shifted where it is as near as this to the line's own, as a share of ink to ground (ours)."""
MOST_SAMPLES = 4_000_000
"""Large patches are redrawn strip by strip (ours)."""

NO_CHANGE = "no change is offered"
NO_COLOUR = "the change is not one of colour or weight"
NOT_FOR_PICTURES = "a picture's colours are for its maker to change"
NOT_CLEAN = "the ink can't be lifted cleanly off what is behind it"
NO_ROOM = "the new ground would run into what stands beside it"
LARGER_TOO = "redrawn, but it must be larger as well"

Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Drawing:
    """One element that is redrawn; `panel_px` where its ground changes."""

    inked: Inked
    look: Look
    panel_px: Box | None


def suggested(artwork: Artwork, report: PosterReport) -> tuple[Srgb8Picture, Suggestion]:
    """Draw the changes of colour and weight that the findings offer, by the redraw that proved them.

    Parameters
    ----------
    report
        The audit of the artwork, with the ink masks still in it.

    Returns
    -------
    A copy of the artwork's sRGB codes, bleed included, and which changes it shows. What no change touches
    keeps its codes.
    """
    elements = {m.id: m for m in report.found}
    drawings: list[_Drawing] = []
    drawn: list[tuple[int, tuple[str, ...]]] = []
    left_out: list[NotDrawn] = []
    for finding in report.findings:
        if finding.waived is not None or not finding.elements:
            continue
        done: list[str] = []
        for name, outcome in _outcomes(finding, elements, artwork):
            if isinstance(outcome, _Drawing):
                drawings.append(outcome)
                done.append(name)
            else:
                left_out.append(NotDrawn(rank=finding.rank, elements=(name,), why=outcome))
        larger = tuple(r.element for r in finding.redraws if r.element in done and r.enlarged > 1)
        if larger:
            left_out.append(NotDrawn(rank=finding.rank, elements=larger, why=LARGER_TOO))
        if done:
            drawn.append((finding.rank, tuple(done)))
    picture = artwork.srgb8.copy()
    _lay_grounds(picture, drawings, artwork)
    for one in drawings:
        _lay_ink(picture, one, artwork)
    return picture, Suggestion(drawn=tuple(drawn), not_drawn=tuple(_joined(left_out)))


def _joined(left_out: list[NotDrawn]) -> Iterator[NotDrawn]:
    """Join what is left out of one finding for one reason."""
    for rank, why in dict.fromkeys((one.rank, one.why) for one in left_out):
        of_one = [one for one in left_out if (one.rank, one.why) == (rank, why)]
        yield NotDrawn(rank=rank, elements=tuple(name for one in of_one for name in one.elements), why=why)


def _outcomes(
    finding: Finding, elements: Mapping[str, Element], artwork: Artwork
) -> Iterator[tuple[str, "_Drawing | str"]]:
    """Yield for each element of a finding how it is drawn, or why it is not."""
    redraws = {redraw.element: redraw for redraw in finding.redraws}
    for name in finding.elements:
        redraw = redraws.get(name)
        if redraw is None:
            yield name, NO_CHANGE if finding.change is None else NO_COLOUR
        else:
            others = [m for m in elements.values() if m.id not in redraws]
            yield name, _drawing(elements[name], redraw, others, artwork)


def _drawing(m: Element, redraw: Redraw, others: list[Element], artwork: Artwork) -> "_Drawing | str":
    if isinstance(m, Measurement):
        inked: Inked = m.line
    elif isinstance(m, DetailMeasurement):
        inked = m.detail
    else:
        return NOT_FOR_PICTURES
    if not is_clean(inked, artwork):
        return NOT_CLEAN
    look = Look.of(redraw)
    if not (look.even or look.ground != inked.ground_srgb8):
        return _Drawing(inked=inked, look=replace(look, ground=None), panel_px=None)
    letter_px = m.line.letter_px if isinstance(m, Measurement) else 0.0
    for letters in PANEL_LETTERS:
        panel = surroundings(inked, artwork, letters * letter_px + growth_px(inked, artwork, look))
        if not any(panel.overlap(box_px) and not _holds(box_px, inked.box_px) for box_px in map(_box_px, others)):
            return _Drawing(inked=inked, look=look, panel_px=panel)
    return NO_ROOM


def _box_px(m: Element) -> Box:
    match m:
        case Measurement():
            return m.line.box_px
        case DetailMeasurement():
            return m.detail.box_px
    return m.figure.box_px


def _holds(box: Box, other: Box) -> bool:
    return box.overlap(other) == other.area and box.area > other.area


def is_clean(inked: Inked, artwork: Artwork) -> bool:
    """Whether an element's ink can be lifted off its ground: a mix of the two explains it, and no letter is left."""
    scale = inked.mask_scale
    margin = RIM_SAMPLES * scale
    unexplained = near_count = stray = 0.0
    for part, around, _ in _strips(inked, artwork, margin):
        canvas = Canvas.of(part, artwork, around)
        ground, ink = linear_of(inked.ground_srgb8), linear_of(inked.ink_srgb8)
        axis = ink - ground
        length2 = max(float(axis @ axis), 1e-12)
        top, left = (part.box_px.y0 - around.y0) // scale, (part.box_px.x0 - around.x0) // scale
        rows, columns = part.mask.shape
        inside = np.s_[top : top + rows, left : left + columns]
        linear, cover = canvas.linear[inside], canvas.cover[inside]
        near = grown(part.mask, RIM_SAMPLES, corners=False)
        off = linear - (ground + cover * axis)
        unexplained += float(np.einsum("ijk,ijk->ij", off, off)[near].sum(dtype=np.float64)) / length2
        near_count += float(near.sum())
        alike = linear - ink
        stray += float((~near & (np.einsum("ijk,ijk->ij", alike, alike) < 0.09 * length2)).sum())
    ink_count = max(float(inked.mask.sum()), 1.0)
    return bool((unexplained / max(near_count, 1.0)) ** 0.5 <= MOST_UNEXPLAINED and stray / ink_count <= MOST_STRAY)


def _strips(inked: Inked, artwork: Artwork, margin_px: float) -> Iterator[tuple[Inked, Box, Box]]:
    """Yield an element in strips: its part, the box to look at, and the box that this strip answers for."""
    scale = inked.mask_scale
    whole = surroundings(inked, artwork, margin_px)
    rows = max(1, MOST_SAMPLES // max(1, whole.width // scale))
    overlap = round(margin_px / scale) + 2 * RIM_SAMPLES
    count = len(inked.mask)
    for start in range(0, count, rows):
        stop = min(start + rows, count)
        first, last = max(0, start - overlap), min(count, stop + overlap)
        box = inked.box_px
        part = replace(
            inked,
            box_px=Box(x0=box.x0, y0=box.y0 + first * scale, x1=box.x1, y1=min(box.y0 + last * scale, box.y1)),
            mask=inked.mask[first:last],
        )
        own = Box(
            x0=whole.x0,
            y0=whole.y0 if start == 0 else box.y0 + start * scale,
            x1=whole.x1,
            y1=whole.y1 if stop == count else box.y0 + stop * scale,
        )
        yield part, surroundings(part, artwork, margin_px), own


def _at_full(inked: Inked) -> Inked:
    """Return the element with a sample of its mask for each pixel of the artwork."""
    scale = inked.mask_scale
    if scale == 1:
        return inked
    box = inked.box_px
    mask = inked.mask.repeat(scale, axis=0).repeat(scale, axis=1)[: box.height, : box.width]
    # a coarse mask is true to half a sample only, and the rims are looked for beyond it
    return replace(inked, mask=grown(mask, scale, corners=False), mask_scale=1)


def _lay_grounds(picture: Srgb8Picture, drawings: list[_Drawing], artwork: Artwork) -> None:
    """Lay the new grounds; where two meet, the first is taken."""
    laid = np.zeros(picture.shape[:2], dtype=np.bool_)
    for one in drawings:
        if one.panel_px is None:
            continue
        box = one.panel_px
        canvas = Canvas.of(_at_full(one.inked), artwork, box)
        new = linear_to_srgb8(canvas.with_ink(one.look))
        ink, ground = linear_of(one.inked.ink_srgb8), linear_of(one.inked.ground_srgb8)
        off = canvas.linear - ground
        own = np.linalg.norm(off, axis=2) <= SAME_GROUND * float(np.linalg.norm(ink - ground))
        here = np.s_[box.y0 : box.y1, box.x0 : box.x1]
        free: Flags = (own | one.look.even) & ~laid[here]
        picture[here][free] = new[free]
        laid[here] |= free


def _lay_ink(picture: Srgb8Picture, one: _Drawing, artwork: Artwork) -> None:
    """Lay an element in its new look over what is there."""
    inked = _at_full(one.inked)
    margin_px = growth_px(inked, artwork, one.look) + 2 * RIM_SAMPLES * one.inked.mask_scale
    ink_only = replace(one.look, ground=None, even=False)
    for part, around, own in _strips(inked, artwork, margin_px):
        canvas = Canvas.of(part, artwork, around)
        rows = np.s_[own.y0 - around.y0 : own.y1 - around.y0]
        old = canvas.linear
        touched = (canvas.cover[..., 0] > 0) | (np.abs(canvas.with_ink(ink_only) - old) > 1e-6).any(axis=2)
        new = linear_to_srgb8(canvas.with_ink(one.look))
        target = picture[own.y0 : own.y1, own.x0 : own.x1]
        target[touched[rows]] = new[rows][touched[rows]]
