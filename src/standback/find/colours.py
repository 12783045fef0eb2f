"""Colours of a line: its ink without anti-aliased rims, and the ground close around it."""

from dataclasses import dataclass

import numpy as np
from scipy import ndimage

from standback.doubts import Doubt
from standback.find.glyphs import Glyphs
from standback.find.split import Flags, Floats
from standback.masks import grown, shrunk

THIN_SAMPLES = 3.0
"""Strokes thinner than this have no core that is clear of both rims."""
THIN_SHARE = 0.25
"""Share of a thin line's ink, the most covered, that stands for the ink itself (ours)."""
RING_BODIES = 0.45
"""How far around the line its ground is taken, in body heights (ours)."""
BARE_COVER = 0.25
FEW_SAMPLES = 24
BUSY_SHARE = 0.1
"""A ground whose colours stray by this share of the distance to the ink is busy (ours)."""
BLED_SAMPLES = 5.0
"""Strokes up to this width lose colour where a file keeps colour differences at half the resolution."""
BLEEDING, BLEEDING_CODES = 0.03, 1.0
"""How far rims lie off the line from ground to ink before we speak of bleeding (ours)."""
LEAST_LUMA = 24.0
_LUMA = np.array([0.299, 0.587, 0.114], dtype=np.float32)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Colours:
    """Ink and ground in codes, (3,) float32, and what speaks against trusting them.

    `unrest` is how far the ground strays from one colour or an even gradient, as a share of its distance
    from the ink.
    """

    ink: Floats
    ground: Floats
    unrest: float
    doubts: tuple[Doubt, ...]


def core_of(mask: Flags) -> Flags:
    """Return the ink without its anti-aliased rim; empty where the strokes are too thin."""
    return shrunk(mask)


def rough_stroke(glyphs: Glyphs) -> float:
    """Width of the strokes in samples: twice the area over the length of the rim."""
    mask = glyphs.mask
    rim = mask & ~shrunk(mask, corners=False)
    return 2 * float(np.count_nonzero(mask)) / max(1, int(np.count_nonzero(rim)))


def colours_of(glyphs: Glyphs) -> Colours:
    """Measure ink and ground of a line."""
    split = glyphs.split
    codes, mask = split.window.codes, glyphs.mask
    doubts = []
    core = core_of(mask)
    thin = rough_stroke(glyphs)
    if thin >= THIN_SAMPLES and np.count_nonzero(core) >= FEW_SAMPLES:
        inner = core_of(core)
        ample = np.count_nonzero(inner) >= max(FEW_SAMPLES, 0.15 * np.count_nonzero(mask))
        ink = np.median(codes[inner if ample else core], axis=0)
    else:
        doubts.append(Doubt.LOW_RESOLUTION)
        cover = split.cover[mask]
        ink = np.median(codes[mask][cover >= np.quantile(cover, 1 - THIN_SHARE)], axis=0)
    near, bare = _ground_samples(glyphs)
    if len(near) < FEW_SAMPLES:
        doubts.append(Doubt.FEW_GROUND_PIXELS)
    ground = np.median(near, axis=0) if len(near) else split.ground
    unrest = float(np.median(np.abs(bare - np.median(bare)))) if len(bare) else 0.0
    if unrest > BUSY_SHARE:
        doubts.append(Doubt.BUSY_GROUND)
    elif thin < BLED_SAMPLES:
        ink = _without_bleeding(glyphs, ink, ground)
    return Colours(ink=ink.astype(np.float32), ground=ground.astype(np.float32), unrest=unrest, doubts=tuple(doubts))


def _without_bleeding(glyphs: Glyphs, ink: Floats, ground: Floats) -> Floats:
    """Undo what JPEG does to the colour of thin strokes: their hue bleeds into the ground, lightness doesn't.

    Where rim and ink lie on one straight line from the ground there was no bleeding and `ink` is right. Else
    the cover is taken from luma alone; bleeding spreads the colour differences but keeps their sum, so the
    ink's is the sum of the differences to the ground over the sum of the cover: the slope of a regression of
    colour on cover. Luma and colour differences as in JFIF (ITU-T T.871).
    """
    window = glyphs.split.window
    rows = slice(max(0, int(glyphs.y0.min()) - 4), int(glyphs.y1.max()) + 4)
    columns = slice(max(0, int(glyphs.x0.min()) - 4), int(glyphs.x1.max()) + 4)
    own = grown(glyphs.mask[rows, columns], 3)
    off = (window.codes[rows, columns] - ground)[own]
    axis = ink - ground
    along = off @ axis / max(float(axis @ axis), 1e-6)
    aside = np.linalg.norm(off - along[:, None] * axis, axis=1)
    luma = off @ _LUMA
    ink_luma = float(axis @ _LUMA)
    if (
        not axis.any()
        or abs(ink_luma) < LEAST_LUMA
        or np.mean(aside) < BLEEDING * np.linalg.norm(axis) + BLEEDING_CODES
    ):
        return ink
    cover = np.clip(luma / ink_luma, 0, 1.2)
    differences = (off - luma[:, None]).sum(axis=0) / max(float(cover.sum()), 1.0)
    unbled: Floats = np.clip(ground + ink_luma + differences, 0, 255)
    return unbled


def _ground_samples(glyphs: Glyphs) -> tuple[Floats, Floats]:
    """Bare samples close around the letters, clear of rims and of other ink: codes (N, 3) and cover (N,)."""
    split, window = glyphs.split, glyphs.split.window
    reach = max(3, round(RING_BODIES * window.body))
    rows = slice(max(0, int(glyphs.y0.min()) - reach), int(glyphs.y1.max()) + reach)
    columns = slice(max(0, int(glyphs.x0.min()) - reach), int(glyphs.x1.max()) + reach)
    mask, cover = glyphs.mask[rows, columns], split.cover[rows, columns]
    other = split.mask[rows, columns] & ~mask
    size = 2 * reach + 1
    close = ndimage.maximum_filter(mask, size)
    bare = close & (np.abs(cover) < BARE_COVER) & ~grown(other, 2)
    for clear in (2, 1):
        free = bare & ~grown(mask, clear)
        if np.count_nonzero(free) >= FEW_SAMPLES:
            break
    return window.codes[rows, columns][free], cover[free]
