"""standback: what a viewer across the room still sees of a poster, and what to change."""

__version__ = "0.1.0"
