"""From a file on disk to an `Artwork`: pixels in linear light, at a known printed size."""

from standback.artwork.model import Artwork, Level

__all__ = ["Artwork", "Level"]
