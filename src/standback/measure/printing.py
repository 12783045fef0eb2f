"""What matters of the artwork itself for print."""

from collections.abc import Sequence

import numpy as np

from standback.artwork import Artwork
from standback.elements import Line
from standback.light import is_lighter
from standback.masks import grown
from standback.measure.busy import RIM_SAMPLES
from standback.measure.model import PrintMeasurement
from standback.measure.sharpness import sharpness_ppi
from standback.settings import Station


def measure_print(artwork: Artwork, places: Sequence[Station]) -> PrintMeasurement:
    """Measure resolution and sharpness; the nearest station says how fine they should be."""
    return PrintMeasurement(
        ppi=artwork.ppi,
        near_m=min(place.distance_m for place in places),
        sharpness_ppi=None if artwork.drawn else sharpness_ppi(artwork),
        cmyk=artwork.inks is not None,
        drawn=artwork.drawn,
        height_mm=artwork.height_mm,
    )


def inks_of(line: Line, artwork: Artwork) -> float | None:
    """Return how many process inks shape the line's strokes: the median over its core, None but for CMYK.

    Strokes that are left light in a solid have the shape that the inks around them leave: theirs count.
    """
    if artwork.inks is None:
        return None
    box, scale = line.box_px, line.mask_scale
    if is_lighter(line.ink_srgb8, line.ground_srgb8):
        printed = ~grown(line.mask, RIM_SAMPLES)
    else:
        printed = line.core if line.core.any() else line.mask
    samples = artwork.inks[box.y0 : box.y1 : scale, box.x0 : box.x1 : scale]
    printed = printed[: samples.shape[0], : samples.shape[1]]
    return float(np.median(samples[printed])) if printed.any() else None
