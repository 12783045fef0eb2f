"""Lines of text on an artwork: propose where they run, measure each, keep what is text."""

from collections.abc import Sequence

from standback.artwork.model import Artwork
from standback.elements import Line
from standback.find.bands import Band, Proposer
from standback.find.lines import Candidate, candidates_of, doubtful, explains, suppressed
from standback.find.turned import propose
from standback.find.unlikely import is_giant
from standback.forking import in_two_processes, may_fork

SURE = 0.7
"""A line at least this credible is not measured again when another band points at it (ours)."""


def find_lines(artwork: Artwork, proposer: Proposer = propose) -> tuple[Line, ...]:
    """Find the lines of text, in reading order.

    Parameters
    ----------
    proposer
        Says where lines may run; everything else is measured on the artwork itself.
    """
    return find_text(artwork, proposer)[0]


def find_text(artwork: Artwork, proposer: Proposer = propose) -> tuple[tuple[Line, ...], tuple[Line, ...]]:
    """Find the lines of text, and what is too little like text to be taken for it by its shapes alone."""
    found: list[Candidate] = []
    bands = proposer(artwork)
    ahead = _measured_ahead(artwork, bands)
    for band in bands:
        if not any(c.line.confidence >= SURE and explains(c.line, band) for c in found):
            found.extend(ahead[band] if band in ahead else candidates_of(artwork, band))
    lines = suppressed(c for c in found if not is_giant(c.line, artwork.trim_px))
    return lines, doubtful(found, lines)


def _measured_ahead(artwork: Artwork, bands: Sequence[Band]) -> dict[Band, list[Candidate]]:
    """Measure all bands, even those that lines found meanwhile would explain, where two processes do so sooner."""
    if not may_fork():
        return {}
    largest_first = sorted(bands, key=lambda band: -(band.x1 - band.x0) * band.body_px)
    found = in_two_processes(lambda band: list(candidates_of(artwork, band)), largest_first)
    return dict(zip(largest_first, found, strict=True))
