"""A small picture of a poster, for a wall of many."""

import numpy as np
from PIL import Image

from standback.artwork.model import Artwork
from standback.light import linear_to_srgb8
from standback.reports.lettering import as_png
from standback.viewing import unblurred_sheet

LONG_PX = 420
_PPI = 96


def draw_thumbnail(artwork: Artwork) -> bytes:
    """Return the trimmed sheet as a PNG, `LONG_PX` on its long side; no artwork is enlarged."""
    linear = unblurred_sheet(artwork, shown_px=LONG_PX)
    height, width = linear.shape[:2]
    shrink = min(1.0, LONG_PX / max(height, width))
    size = max(1, round(width * shrink)), max(1, round(height * shrink))
    channels = [
        Image.fromarray(np.ascontiguousarray(linear[..., n])).resize(size, Image.Resampling.HAMMING) for n in range(3)
    ]
    small = np.stack([np.asarray(channel) for channel in channels], axis=2)
    return as_png(Image.fromarray(linear_to_srgb8(small)), _PPI)
