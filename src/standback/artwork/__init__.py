"""From a file on disk to an `Artwork`: pixels in linear light, at a known printed size."""

from standback.artwork.load import from_srgb8, load
from standback.artwork.model import Artwork, Level
from standback.artwork.pyramid import linear_crop

__all__ = ["Artwork", "Level", "from_srgb8", "linear_crop", "load"]
