"""Places on a sheet in words, as the reports write them: "top left", "across the middle"."""

from collections.abc import Mapping
from types import MappingProxyType

BoxMm = tuple[float, float, float, float]
"""(x0, y0, x1, y1) in mm from the top left of the trim."""

FULL_SHARE = 0.6
"""Something over this share of the sheet's width or height runs across it or down it (ours)."""

_ROWS = ("top", "middle", "bottom")
_COLUMNS = ("left", "centre", "right")
_NINTHS = tuple(
    "centre" if (row, column) == ("middle", "centre") else f"{row} {column}" for row in _ROWS for column in _COLUMNS
)
_ACROSS = tuple(f"across the {row}" for row in _ROWS)
_DOWN = ("down the left side", "down the centre", "down the right side")
_ALL_OVER = "over most of the sheet"
_THIRDS: Mapping[str, tuple[int, str]] = MappingProxyType(
    {**{row: (0, row) for row in _ROWS}, "left": (1, "left"), "right": (1, "right")}
)
"""A whole row or column by one word. "centre" is taken: it is the middle one of the nine."""

PLACES = (*_NINTHS, *_ACROSS, *_DOWN, _ALL_OVER, *_THIRDS)
"""Every place a brief can name."""


def read_place(text: str) -> str | None:
    """Return the place that a text names, in our spelling, or None."""
    words = " ".join(text.lower().replace("center", "centre").replace("-", " ").split())
    return words if words in PLACES else None


def _thirds(box_mm: BoxMm, width_mm: float, height_mm: float) -> tuple[str, str]:
    """Return the row and the column that the middle of a box lies in."""
    x0, y0, x1, y1 = box_mm
    return _ROWS[_third((y0 + y1) / 2 / height_mm)], _COLUMNS[_third((x0 + x1) / 2 / width_mm)]


def _third(share: float) -> int:
    return min(max(int(share * 3), 0), 2)


def place_in_words(box_mm: BoxMm, width_mm: float, height_mm: float) -> str:
    """Return where on the sheet a box lies: one of the nine parts, or across, down, or all over it."""
    x0, y0, x1, y1 = box_mm
    wide, tall = x1 - x0 > FULL_SHARE * width_mm, y1 - y0 > FULL_SHARE * height_mm
    row, column = _thirds(box_mm, width_mm, height_mm)
    if wide and tall:
        return _ALL_OVER
    if wide:
        return f"across the {row}"
    if tall:
        return _DOWN[_COLUMNS.index(column)]
    return _NINTHS[3 * _ROWS.index(row) + _COLUMNS.index(column)]


def part_of_sheet(place: str, width_mm: float, height_mm: float) -> BoxMm:
    """Return the part of the sheet that a place names."""
    named = place.split()
    row = next((n for n, name in enumerate(_ROWS) if name in named), 1 if place == "centre" else None)
    column = next((n for n, name in enumerate(_COLUMNS) if name in named), None)
    top, bottom = (0, 3) if row is None else (row, row + 1)
    left, right = (0, 3) if column is None else (column, column + 1)
    return left * width_mm / 3, top * height_mm / 3, right * width_mm / 3, bottom * height_mm / 3


def lies_at(place: str, box_mm: BoxMm, width_mm: float, height_mm: float) -> bool:
    """Whether a box lies at a place: in that row or column by its middle, else by the very words."""
    if place in _THIRDS:
        axis, name = _THIRDS[place]
        return _thirds(box_mm, width_mm, height_mm)[axis] == name
    return place_in_words(box_mm, width_mm, height_mm) == place
