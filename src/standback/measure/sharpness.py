"""The artwork's own sharpness: how fine the finest thing in it is, whatever its resolution tag says."""

import numpy as np
import numpy.typing as npt
from numpy.lib.stride_tricks import sliding_window_view
from scipy import fft

from standback.artwork import Artwork
from standback.light import luminance1, srgb8_to_linear

TILE_PX = 64
MOST_TILES = 160
LEAST_STEP1 = 0.08
"""Steps of luminance smaller than this between neighbours are no edges to judge sharpness by (ours)."""
FLOOR_SHARE = 0.2
"""Share of what a sharp edge would still hold in a band, under which the band counts as empty (ours)."""
_BANDS = 16
_SURE_BANDS = 4
"""The lowest bands but the first, which every picture fills, say what a sharp edge would hold."""

Doubles = npt.NDArray[np.float64]


def sharpness_ppi(artwork: Artwork) -> float | None:
    """Pixels per inch that the artwork's sharpest edges are worth; None where it has no edges.

    Parameters
    ----------
    artwork
        Looked at in its own pixels, on the tiles with the most contrast between neighbours.

    Returns
    -------
    At most the file's own resolution at the printed size.

    Notes
    -----
    The power of a sharp step falls with the square of the frequency. The spectra of the tiles, times
    frequency squared, are therefore flat up to where the picture holds anything, and empty beyond: an
    enlarged picture has nothing above the Nyquist frequency that it had before. The first run of empty
    bands ends what is there. Enlarging by plain linear interpolation leaves kinks, which count as detail:
    such a picture may pass.
    """
    flat = _whitened(_tiles(artwork))
    if flat is None:
        return None
    empty = flat < FLOOR_SHARE * flat[1:_SURE_BANDS].mean()
    runs = np.flatnonzero(sliding_window_view(np.append(empty, [True, True]), 3).all(axis=1))
    return artwork.ppi * (int(runs[0]) if len(runs) else _BANDS) / _BANDS


def _tiles(artwork: Artwork) -> Doubles:
    """Cut out the tiles with the strongest steps, (N, TILE_PX, TILE_PX) of luminance."""
    picture = artwork.srgb8
    rows, columns = picture.shape[0] // TILE_PX, picture.shape[1] // TILE_PX
    found: list[tuple[float, int, int]] = []
    for row in range(rows):
        strip = picture[row * TILE_PX : (row + 1) * TILE_PX, : columns * TILE_PX, 1]
        steps = np.abs(np.diff(strip.astype(np.int16), axis=1, append=strip[:, -1:])).astype(np.int32)
        strongest = steps.reshape(TILE_PX, columns, TILE_PX).max(axis=(0, 2)) if columns else np.zeros(0)
        found += [(float(value), row, column) for column, value in enumerate(strongest)]
    found.sort(key=lambda one: (-one[0], one[1], one[2]))
    tiles = [
        luminance1(
            srgb8_to_linear(picture[row * TILE_PX : (row + 1) * TILE_PX, column * TILE_PX : (column + 1) * TILE_PX])
        ).astype(np.float64)
        for value, row, column in found[:MOST_TILES]
        if value / 255 >= LEAST_STEP1
    ]
    return np.array(tiles, dtype=np.float64).reshape(len(tiles), TILE_PX, TILE_PX)


def _whitened(tiles: Doubles) -> Doubles | None:
    """Return the mean power times frequency squared in each band, along rows and columns."""
    if not len(tiles):
        return None
    window = np.hanning(TILE_PX)
    frequency = fft.rfftfreq(TILE_PX)[1:]
    power = np.zeros(len(frequency))
    for axis in (1, 2):
        lines = np.moveaxis(tiles, axis, 2)
        lines = (lines - lines.mean(axis=2, keepdims=True)) * window
        power += (np.abs(fft.rfft(lines, axis=2)[..., 1:]) ** 2).sum(axis=(0, 1))
    weighted = power * frequency**2
    return np.array([band.mean() for band in np.array_split(weighted, _BANDS)])
