"""Finds elements on an artwork."""

from standback.find.detail import find_details
from standback.find.drawn import find_drawn
from standback.find.figure import find_figures
from standback.find.text import find_lines, find_text
from standback.find.text_layer import with_live_text
from standback.find.unlikely import outside_codes

__all__ = [
    "find_details",
    "find_drawn",
    "find_figures",
    "find_lines",
    "find_text",
    "outside_codes",
    "with_live_text",
]
