"""Lines of text on an artwork: propose where they run, measure each, keep what is text."""

from standback.artwork.model import Artwork
from standback.elements import Line
from standback.find.bands import Proposer
from standback.find.lines import Candidate, candidates_of, doubtful, explains, suppressed
from standback.find.turned import propose
from standback.find.unlikely import is_giant

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
    for band in proposer(artwork):
        if not any(c.line.confidence >= SURE and explains(c.line, band) for c in found):
            found.extend(candidates_of(artwork, band))
    lines = suppressed(c for c in found if not is_giant(c.line, artwork.trim_px))
    return lines, doubtful(found, lines)
