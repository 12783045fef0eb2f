"""What can be drawn of an artwork while its pixels are at hand: each document's bytes, ready to be written."""

from collections.abc import Callable, Mapping

from standback.artwork.model import Artwork
from standback.findings import PosterReport
from standback.outputs import stamped_page
from standback.settings import Settings

PROOF, PAGE, THUMBNAIL = "proof", "page", "thumbnail"
SUGGESTION = "suggestion"
"""The picture of the changes; it is drawn where these are, in `changes`, and no drawer stands here."""


def drawn(name: str, artwork: Artwork, poster: PosterReport, settings: Settings) -> bytes:
    """Return a document: `PROOF` and `THUMBNAIL` are PNG pictures, `PAGE` is HTML.

    Parameters
    ----------
    poster
        With the ink masks still in it.
    """
    return DRAWERS[name](artwork, poster, settings)


# What draws pictures loads fonts and more: each is imported only where it is asked for.


def _proof(artwork: Artwork, poster: PosterReport, _: Settings) -> bytes:
    from standback.reports.proof import draw_proof

    return draw_proof(artwork, poster)


def _page(artwork: Artwork, poster: PosterReport, settings: Settings) -> bytes:
    from standback.reports.page import draw_page

    return stamped_page(draw_page(artwork, poster, settings)).encode("utf-8")


def _thumbnail(artwork: Artwork, _: PosterReport, __: Settings) -> bytes:
    from standback.reports.thumbnail import draw_thumbnail

    return draw_thumbnail(artwork)


DRAWERS: Mapping[str, Callable[[Artwork, PosterReport, Settings], bytes]] = {
    PROOF: _proof,
    PAGE: _page,
    THUMBNAIL: _thumbnail,
}
