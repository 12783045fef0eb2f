"""Colours of a line: its ink without anti-aliased rims, and the ground close around it."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from standback.doubts import Doubt
from standback.find.bleeding import LUMA, RIM, THIN_SHARE, Inked, solid_share, without_bleeding
from standback.find.glyphs import Glyphs
from standback.find.order import least_of_largest, median, medians
from standback.find.split import Flags, Floats
from standback.find.two_inks import paler_ink
from standback.masks import grown, shrunk, those_in

THIN_SAMPLES = 3.0
"""Strokes thinner than this have no core that is clear of both rims."""
RING_BODIES = 0.45
"""How far around the line its ground is taken, in body heights (ours)."""
BARE_COVER = 0.25
FEW_SAMPLES = 24
MOST_OF_MIDDLE = 3.0
"""No piece counts for more than so many times the middle one (ours)."""
BUSY_SHARE = 0.1
"""A ground whose colours stray by this share of the distance to the ink is busy (ours)."""
BLED_SAMPLES = 9.0
"""Strokes up to this width lose colour where a file keeps colour differences at half the resolution (ours)."""
MARGIN, MOST_SAMPLES = 5, 60_000
"""How many samples around a line are looked at for its spread colours, and how many of a long line's (ours)."""
EVEN_CODES = 6.0
"""Where the ground's luma strays by more than this from the ground measured, colours are not compared (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Colours:
    """Ink and ground in codes, (3,) float32, and what speaks against trusting them.

    Attributes
    ----------
    unrest
        How far the ground strays from one colour or an even gradient, as a share of its distance from the ink.
    solid
        The ink clear of all rims, (H, W); None where the strokes are too thin.
    stroke
        About how wide the strokes are, in samples.
    """

    ink: Floats
    ground: Floats
    unrest: float
    solid: Flags | None
    stroke: float
    doubts: tuple[Doubt, ...]


def core_of(mask: Flags) -> Flags:
    """Return the ink without its anti-aliased rim; empty where the strokes are too thin."""
    return shrunk(mask)


def rough_stroke(glyphs: Glyphs) -> float:
    """Width of the strokes in samples: twice the area over the length of the rim."""
    mask = glyphs.labels[glyphs.place()] > 0
    ink, inner = (int(np.count_nonzero(one)) for one in (mask, shrunk(mask, corners=False)))
    return 2 * ink / max(1, ink - inner)


def colours_of(glyphs: Glyphs) -> Colours:
    """Measure ink and ground of a line as its samples show them: what parts it from its ground."""
    codes = glyphs.split.window.codes
    doubts = []
    stroke = rough_stroke(glyphs)
    solid = None if stroke < THIN_SAMPLES else _solid(glyphs)
    if solid is not None:
        ink = medians(those_in(codes, solid)[_even_share(glyphs.labels.take(np.flatnonzero(solid)))])
    else:
        doubts.append(Doubt.LOW_RESOLUTION)
        ink = _most_inked(glyphs, THIN_SHARE)
    near, bare = _ground_samples(glyphs)
    if len(near) < FEW_SAMPLES:
        doubts.append(Doubt.FEW_GROUND_PIXELS)
    ground = medians(near) if len(near) else glyphs.split.ground
    unrest = median(np.abs(bare - np.float32(median(bare)))) if len(bare) else 0.0
    if unrest > BUSY_SHARE:
        doubts.append(Doubt.BUSY_GROUND)
    ink, ground = (codes.astype(np.float32) for codes in (ink, ground))
    return Colours(ink=ink, ground=ground, unrest=unrest, solid=solid, stroke=stroke, doubts=tuple(doubts))


def as_drawn(glyphs: Glyphs, colours: Colours) -> tuple[Glyphs, Colours]:
    """Return a line and its ink as drawn: less diluted than the samples of thin strokes show it, the paler of two."""
    solid, ink = colours.solid, colours.ink
    if colours.unrest > BUSY_SHARE:
        return glyphs, colours
    paler = None if solid is None else paler_ink(glyphs, solid, colours.ground)
    if paler is not None:
        return glyphs, replace(colours, ink=paler, doubts=(*colours.doubts, Doubt.TWO_INKS))
    if colours.stroke >= BLED_SAMPLES:
        return glyphs, colours
    split = glyphs.split
    if solid is None:
        own = glyphs.place(RIM)
        share = solid_share(np.where(grown(glyphs.mask[own], RIM), split.cover[own], 0))
        # no larger share: what is resampled is blurred, and has less that is all ink
        ink = _most_inked(glyphs, min(share, THIN_SHARE))
    place = glyphs.place(MARGIN, MOST_SAMPLES)
    unbled = without_bleeding(_inked(glyphs, place, colours.ground, solid), ink, colours.ground)
    if unbled is None:
        return glyphs, replace(colours, ink=ink)
    cover = split.cover.copy()
    cover[place] = unbled.cover
    return replace(glyphs, split=replace(split, cover=cover)), replace(colours, ink=unbled.ink)


def _even_share(of_piece: npt.NDArray[np.int32]) -> Flags:
    """Choose samples so that no piece has many more than the middle one: a disc in a letter's place is mostly solid.

    Parameters
    ----------
    of_piece
        (N,) the piece that each sample belongs to.
    """
    counts = np.bincount(of_piece)
    most = MOST_OF_MIDDLE * median(counts[counts > 0].astype(np.float64))
    stride = np.maximum(1, np.ceil(counts / most)).astype(np.intp)
    chosen: Flags = np.arange(len(of_piece)) % stride[of_piece] == 0
    return chosen


def _solid(glyphs: Glyphs) -> Flags | None:
    """Return the ink clear of all rims, as far from them as the strokes allow; None where too little is."""
    own = glyphs.place()
    mask = glyphs.labels[own] > 0
    solid = core_of(mask)
    if np.count_nonzero(solid) < FEW_SAMPLES:
        return None
    inner = core_of(solid)
    whole = np.zeros(glyphs.labels.shape, dtype=bool)
    enough = np.count_nonzero(inner) >= max(FEW_SAMPLES, 0.15 * np.count_nonzero(mask))
    whole[own] = inner if enough else solid
    return whole


def _most_inked(glyphs: Glyphs, share: float) -> Floats:
    """Return the median of so large a share of the ink, the most covered."""
    own = glyphs.place()
    mask, cover = glyphs.labels[own] > 0, glyphs.split.cover[own]
    most = mask & (cover >= np.float32(least_of_largest(cover[mask], share)))
    return medians(those_in(glyphs.split.window.codes[own], most))


def _inked(glyphs: Glyphs, place: tuple[slice, slice], ground: Floats, solid: Flags | None) -> Inked:
    """Return a part of a line as it may have bled; patches of its ground are as likely colour that has."""
    split = glyphs.split
    codes, mask = split.window.codes[place], glyphs.mask[place]
    base = split.base if split.base.ndim == 1 else split.base[place]
    if not split.is_patchy:
        base = base + (ground - split.ground)
    return Inked(
        codes=codes,
        under=ground if split.is_patchy else base,
        is_ground=np.abs((base - ground) @ LUMA) < EVEN_CODES,
        mask=mask,
        other=split.mask[place] & ~mask,
        core=solid[place] if solid is not None and solid[place].any() else None,
    )


def _ground_samples(glyphs: Glyphs) -> tuple[Floats, Floats]:
    """Bare samples close around the letters, clear of rims and of other ink: codes (N, 3) and cover (N,)."""
    split, window = glyphs.split, glyphs.split.window
    reach = max(3, round(RING_BODIES * window.body))
    around = glyphs.place(reach)
    mask, cover = glyphs.mask[around], split.cover[around]
    other = split.mask[around] & ~mask
    bare = grown(mask, reach) & (np.abs(cover) < BARE_COVER) & ~grown(other, 2)
    for clear in (2, 1):
        free = bare & ~grown(mask, clear)
        if np.count_nonzero(free) >= FEW_SAMPLES:
            break
    return those_in(window.codes[around], free), cover[free]
