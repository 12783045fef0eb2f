"""Finds elements on an artwork."""

from standback.find.text import find_lines

__all__ = ["find_lines"]
