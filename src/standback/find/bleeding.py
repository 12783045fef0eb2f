"""Undoes what JPEG does to the colour of thin strokes: their hue bleeds into the ground, their lightness doesn't.

A JPEG keeps lightness (luma) pixel by pixel and colour differences at half the resolution (ITU-T T.871 with
4:2:0). So luma tells how much of each sample is ink, and the ink's colour differences are those which, spread
as such a file spreads them, explain all samples of the line. Whether a file was packed so is asked of the line
itself: spread cover has to explain its colours better than the cover as it is.
"""

from dataclasses import dataclass

import numpy as np
from scipy import ndimage

from standback.find.split import Flags, Floats
from standback.masks import grown, those_in

LEAST_LUMA = 12.0
"""Ink and ground must differ by so many codes of luma for luma to tell them apart (ours)."""
CLEAN_CODES = 0.7
"""Colour differences that follow the cover this closely, in codes, are just rounded (ours)."""
EXPLAINED = 0.86
"""Spread cover has to leave no more than this of the misfit: 0.82 and less of drawn lines in a JPEG, over 0.9 of
lines in several colours (ours)."""
RIM, AROUND, CLEAR = 2, 4, 3
"""In samples: how far from half cover ink reaches, its spread colour, and that of other ink (ours)."""
FEW_SAMPLES = 48
"""Of fewer samples nothing is said (ours)."""
MOST_COVER = 1.15
"""Ringing beyond this is none of the cover (ours)."""
THIN_SHARE = 0.25
"""Share of a thin line's ink, the most covered, that parts it from its ground (ours)."""
THINNEST_SAMPLES, LEAST_SHARE = 1.22, 0.03
"""Of strokes this wide, on samples that each cover a part of them, none is all ink any more, and so large a share
of the ink, the most covered, has to stand for it (measured on drawn lines)."""
NEAR_WHITE = 4.0
"""Luma this close to that of white or black has hardly any noise beyond it (ours)."""
ROUNDS = 3
_SPREAD = np.array([1, 4, 6, 4, 1], dtype=np.float32) / 16
"""A mean of two samples and its usual triangular interpolation, averaged over both places of the pair."""
LUMA = np.array([0.299, 0.587, 0.114], dtype=np.float32)
_TO_CODES = np.array([[1, 0, 1.402], [1, -0.344136, -0.714136], [1, 1.772, 0]], dtype=np.float32)
_TO_LUMA = np.linalg.inv(_TO_CODES).astype(np.float32)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Inked:
    """Samples of a line and a few around it, (H, W) each.

    Attributes
    ----------
    codes, under
        (H, W, 3) sRGB codes, and those of the ground under the ink, (3,) where it is even.
    is_ground
        Where the ground is as it was measured; one for all where it is even.
    mask, other
        The line's ink, and ink that is not the line's.
    core
        Samples that are ink and nothing else; None where strokes are too thin for that to be told.
    """

    codes: Floats
    under: Floats
    is_ground: Flags | np.bool_
    mask: Flags
    other: Flags
    core: Flags | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Unbled:
    """The ink in codes (3,) before its hue bled, and luma (H, W), from 0 for the ground to 1 for most of the ink."""

    ink: Floats
    cover: Floats


def solid_share(cover: Floats) -> float:
    """Return the share of the samples with more than half ink that is ink and nothing else.

    Of strokes w samples wide w - 1 is clear of both rims, wherever they lie, and w counts as ink. The width
    is twice the ink over the length of its outline, both read off the cover, so that it hangs neither on
    whole samples nor on how dark the ink was taken to be.
    """
    cover = np.clip(cover, 0, 1)
    outline = np.hypot(np.diff(cover, axis=0)[:, :-1], np.diff(cover, axis=1)[:-1]).sum()
    width = max(2 * float(cover.sum()) / max(float(outline), 1e-6), 1.0)
    return float(np.clip(min(1 - 1 / width, width - THINNEST_SAMPLES), LEAST_SHARE, 1))


def without_bleeding(line: Inked, ink: Floats, ground: Floats) -> Unbled | None:
    """Tell what a line of an ink on a ground, (3,) codes as its samples show them, was before it bled; None if not.

    Codes at 0 or 255 are cut off there: where hue spreads over white, what would be more than white is lost.
    Luma is then taken from the channels that are whole, and the sample tells nothing of the hue.
    """
    luma = float((ink - ground) @ LUMA)
    if abs(luma) < LEAST_LUMA:
        return None
    off = line.codes - line.under
    if _is_grey(ink - ground) and _is_grey(off):
        return None
    whole = (line.codes > 0.5) & (line.codes < 254.5)
    # one channel after the other: numpy is slow with threes
    cut = ~(whole[..., 0] & whole[..., 1] & whole[..., 2])
    used = grown(line.mask, AROUND) & ~cut & ~grown(line.other, CLEAR) & line.is_ground
    if np.count_nonzero(used) < FEW_SAMPLES:
        return None
    # as if the ink were lighter than its ground
    sign = np.float32(np.sign(luma))
    parts: Floats = off @ (sign * _TO_LUMA.T)
    differences = those_in(parts, used)[:, 1:]
    # no fit leaves more
    if _rms(differences) < CLEAN_CODES:
        return None
    rim = grown(line.mask, RIM)
    lumas: Floats = np.where(rim, parts[..., 0], np.float32(0))
    cover = _cover(lumas, abs(luma))
    _, misfit = _slope(cover[used], differences)
    if misfit < CLEAN_CODES:
        return None
    chroma, misfit_spread = _slope(_spread(cover)[used], differences)
    if misfit_spread > EXPLAINED * misfit:
        return None
    cut &= rim
    weights = whole[cut] * LUMA
    known, shown = weights.sum(axis=1), sign * off[cut]
    # cut off at 255 they were lighter, at 0 darker, than they show
    dark, light = ((line.codes[cut] < 0.5).any(axis=1), (line.codes[cut] > 254.5).any(axis=1))[:: int(sign)]
    least, most = np.where(dark, -np.inf, lumas[cut]), np.where(light, np.inf, lumas[cut])
    room = 255 - float(ground @ LUMA) if sign > 0 else float(ground @ LUMA)
    for _ in range(ROUNDS):
        hue = (_spread(cover)[cut][:, None] * chroma) @ _TO_CODES[:, 1:].T
        found = ((shown - hue) * weights).sum(axis=1) / np.maximum(known, 1e-6)
        lumas[cut] = np.where(known > 0, np.clip(found, least, most), lumas[cut])
        full = _full(lumas, cover, line.core, room)
        if full < LEAST_LUMA / 2:
            return None
        cover = _cover(lumas, full)
        chroma, _ = _slope(_spread(cover)[used], differences)
    drawn: Floats = np.clip(ground + sign * (_TO_CODES @ np.array([full, *chroma])), 0, 255)
    seen = np.quantile(lumas[cover > 0.5], 1 - THIN_SHARE / 2).astype(np.float32)
    return Unbled(ink=drawn, cover=lumas / np.maximum(seen, 1))


def _full(lumas: Floats, cover: Floats, core: Flags | None, room: float) -> float:
    """Luma of the ink: the median where there is nothing else, `room` being that of white or black.

    Noise can't go beyond white or black, so there the upper half of the median's side is as drawn.
    """
    inked, solid = (lumas[cover > 0.5], solid_share(cover)) if core is None else (lumas[core], 1.0)
    if not len(inked):
        return 0.0
    middle, upper = np.quantile(inked, [1 - solid / 2, 1 - solid / 4])
    return min(float(upper if middle > room - NEAR_WHITE else middle), room)


def _cover(lumas: Floats, full: float) -> Floats:
    cover: Floats = np.clip(lumas / np.float32(full), 0, np.float32(MOST_COVER))
    return cover


def _slope(cover: Floats, differences: Floats) -> tuple[Floats, float]:
    """Fit colour differences (N, 2) by a multiple of the cover (N,): the multiple (2,) and the rms misfit in codes."""
    slope: Floats = (cover @ differences / max(float(cover @ cover), 1e-6)).astype(np.float32)
    return slope, _rms(differences - cover[:, None] * slope)


def _rms(differences: Floats) -> float:
    """Return how long colour differences (N, 2) are, root mean square."""
    squares = differences * differences
    return float(np.sqrt((squares[:, 0] + squares[:, 1]).mean()))


def _is_grey(off: Floats) -> bool:
    """Whether codes (..., 3) off a ground differ so little between channels that no fit could leave more.

    Both of a sample's colour differences are at most half of how far its channels are apart.
    """
    return all(bool(np.abs(off[..., a] - off[..., b]).max() < CLEAN_CODES) for a, b in ((0, 2), (0, 1), (1, 2)))


def _spread(cover: Floats) -> Floats:
    for axis in (0, 1):
        cover = ndimage.correlate1d(cover, _SPREAD, axis=axis, mode="nearest")
    return cover
