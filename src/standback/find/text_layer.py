"""A file's live text, told apart from what is seen: outlined type, pictures of text, hidden text."""

from collections.abc import Sequence

from standback.artwork.model import Artwork
from standback.elements import TEXT_LAYER, Line
from standback.find.claims import Claim, Joined, joined


def with_live_text(lines: Sequence[Line], artwork: Artwork) -> Joined:
    """Join lines found by shape with the artwork's live text that lies on the trimmed sheet."""
    trim = artwork.trim_px
    claims = [
        Claim(wording=text.wording, box_px=text.box_px, source=TEXT_LAYER, angle_deg=text.angle_deg)
        for text in artwork.text or ()
        if text.shown
        and trim.x0 < (text.box_px[0] + text.box_px[2]) / 2 < trim.x1
        and trim.y0 < (text.box_px[1] + text.box_px[3]) / 2 < trim.y1
    ]
    return joined(lines, claims, artwork)
