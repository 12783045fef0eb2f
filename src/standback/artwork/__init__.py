"""From a file on disk to an `Artwork`: pixels in linear light, at a known printed size."""

from standback.artwork.load import from_srgb8, load
from standback.artwork.model import Artwork, HeldLevel, Level
from standback.artwork.pyramid import linear_crop, srgb8_of, with_levels

__all__ = ["Artwork", "HeldLevel", "Level", "from_srgb8", "linear_crop", "load", "srgb8_of", "with_levels"]
