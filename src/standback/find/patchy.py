"""Parts ink from a ground that changes along the line: a panel's edge, a picture's edge, a steep gradient."""

import numpy as np
from scipy import ndimage

from standback.find.order import medians
from standback.find.split import Floats, Split, Window

TILE_BODIES = 1.0
"""The ground is looked at in tiles this wide (ours)."""
UNEVEN_SHARE, UNEVEN_CODES = 0.16, 9.0
"""A tile whose ground differs by this share of the distance to the ink, and so many codes, is another ground (ours)."""
LEAST_BARE = 0.08
"""A tile with less bare ground than this is ground of the ink's colour (ours)."""
WIDEST_STROKE = 0.62
"""Ink is no wider than this in body heights; what is wider is ground (ours)."""
STRONG = 0.6
"""Samples that stand off by this share of the strongest show the ink's colour (ours)."""
_ROWS = 24


def is_patchy(split: Split) -> bool:
    """Tell whether the ground around the band is not of one colour, or of one even slope."""
    window = split.window
    rows = window.rows(-0.6, 0.6)
    step = max(1, (rows.stop - rows.start) // _ROWS)
    part = slice(rows.start, rows.stop, step)
    mask = split.mask[part]
    base = split.base if split.base.ndim == 1 else split.base[part]
    off = window.codes[part] - base
    bare = ~mask & (np.abs(split.cover[part]) < 0.8)
    size = max(3, round(TILE_BODIES * window.body))
    least = max(UNEVEN_SHARE * split.apart, UNEVEN_CODES)
    middles: list[Floats] = []
    for start in range(0, max(1, mask.shape[1] - size // 2), size):
        tile = bare[:, start : start + size]
        if tile.mean() < LEAST_BARE:
            return True
        middles.append(medians(off[:, start : start + size][tile]))
    colours = np.array(middles)
    strays = np.linalg.norm(colours - medians(colours), axis=1)
    return bool(strays.max() > least)


def patchy_splits(window: Window) -> list[Split]:
    """Both ways to part a window whose ground is whatever is wider than strokes are, sample by sample."""
    size = max(3, round(WIDEST_STROKE * window.body)) | 1
    rows = window.rows(-0.5, 0.5)
    core = window.codes[rows, window.columns(0.0)]
    fine = core - ndimage.uniform_filter(core, (1, 2 * size + 1, 1), mode="nearest")
    flat = fine.reshape(-1, 3)
    together = flat.T @ flat
    main = int(np.argmax(np.diag(together)))
    signs = np.where(together[main] < 0, -1, 1)
    found = []
    for polarity in (1, -1):
        base = np.stack(
            [
                (ndimage.grey_opening if polarity * signs[c] > 0 else ndimage.grey_closing)(
                    window.codes[..., c], (size, size), mode="nearest"
                )
                for c in range(3)
            ],
            axis=-1,
        )
        off = np.abs(window.codes[rows] - base[rows]).sum(axis=2)
        strongest = float(np.quantile(off, 0.97))
        strong = off >= STRONG * strongest
        if strongest < UNEVEN_CODES or not strong.any():
            continue
        found.append(Split.patchy(window, base, medians(window.codes[rows][strong])))
    return found
