"""What matters of the artwork itself for print."""

from collections.abc import Sequence

from standback.artwork import Artwork
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
