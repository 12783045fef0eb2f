"""The printed sheet: trade sizes, lengths and distances as people write them, and visual angles.

Only maths: mm on paper, m to the viewer, px per mm, degrees. Inside the tool every length is in mm
and every distance in m; whatever a person types is converted here.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import atan, degrees, hypot, isfinite, log, radians
from types import MappingProxyType

MM_PER_INCH = 25.4
MM_PER_UNIT: Mapping[str, float] = MappingProxyType(
    {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": MM_PER_INCH, "ft": 12 * MM_PER_INCH}
)
UNITS_IN_WORDS = "m, cm, mm, ft or in"

SHEET_SIDE_MM = (10.0, 20_000.0)
"""Shortest and longest side of a sheet that makes sense (ours)."""
MOST_BLEED_MM = 100.0
"""Widest bleed that makes sense (ours)."""
DISTANCE_M = (0.1, 1000.0)
"""Nearest and farthest viewer that makes sense (ours)."""
TRADE_TOLERANCE = 0.01
"""A shape or side within this share of a trade size's is that size (design limit, ours)."""

MOST_FAR_M = 5.0
"""Farthest assumed viewer (ours)."""
DIAGONALS_TO_FAR = 7.0
"""Sheet diagonals from the sheet to the assumed viewer (ours)."""
FAR_STEP_M = 0.5

# ISO 216:2007, tables 1 and 2 (trimmed sizes), width x height in mm.
_ISO_216 = {
    "A0": (841, 1189),
    "A1": (594, 841),
    "A2": (420, 594),
    "A3": (297, 420),
    "A4": (210, 297),
    "A5": (148, 210),
    "A6": (105, 148),
    "B0": (1000, 1414),
    "B1": (707, 1000),
    "B2": (500, 707),
    "B3": (353, 500),
    "B4": (250, 353),
    "B5": (176, 250),
    "B6": (125, 176),
}
# Poster sizes of North American printers: common practice, no standard; in inches.
_INCH_SIZES = (
    (8.5, 11),
    (11, 17),
    (12, 18),
    (16, 20),
    (18, 24),
    (20, 30),
    (22, 28),
    (24, 36),
    (27, 40),
    (36, 48),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSize:
    """A trim size. `name` is the trade's name for it, or what the person typed."""

    width_mm: float
    height_mm: float
    name: str

    def oriented(self, width_px: float, height_px: float) -> "SheetSize":
        """Return the size turned the way a picture of this shape lies (a square picture turns nothing)."""
        if log(width_px / height_px) * log(self.width_mm / self.height_mm) < 0:
            return replace(self, width_mm=self.height_mm, height_mm=self.width_mm)
        return self


def _inches(width_in: float, height_in: float) -> SheetSize:
    return SheetSize(
        width_mm=round(width_in * MM_PER_INCH, 6),
        height_mm=round(height_in * MM_PER_INCH, 6),
        name=f"{width_in:g}x{height_in:g}in",
    )


TRADE_SIZES: tuple[SheetSize, ...] = (
    *(SheetSize(width_mm=float(w), height_mm=float(h), name=name) for name, (w, h) in _ISO_216.items()),
    *(_inches(w, h) for w, h in _INCH_SIZES),
)
"""Known sheets, upright: A and B sizes, then the inch sizes."""

_NUMBER = r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:e[+-]?[0-9]+)?"
_LENGTH = re.compile(rf"({_NUMBER})\s*([a-z]*)", re.IGNORECASE)
_BY = re.compile(rf"({_NUMBER})\s*([a-z]*?)\s*[x×]\s*({_NUMBER})\s*([a-z]*)", re.IGNORECASE)
_SIZE_EXAMPLES = "such as A2, 18x24in or 420x594mm"


def parse_size(text: str) -> SheetSize:
    """Read a sheet size: a trade name or width x height with a unit, in either orientation.

    Raises
    ------
    ValueError
        With a sentence for people that says what to write instead.
    """
    typed = text.strip()
    for size in TRADE_SIZES:
        if typed.lower() == size.name.lower():
            return size
    found = _BY.fullmatch(typed)
    if found is None:
        raise ValueError(f"{_shown(text)} is not a sheet size: write one {_SIZE_EXAMPLES}")
    width, unit_of_width, height, unit_of_height = (part.lower() for part in found.groups())
    unit_of_width = unit_of_width or unit_of_height
    if not unit_of_height:
        raise ValueError(f"{_shown(text)} has no unit: write {width}x{height}mm or {width}x{height}in")
    sides_mm = [_mm(width, unit_of_width, text), _mm(height, unit_of_height, text)]
    least_mm, most_mm = SHEET_SIDE_MM
    if not all(least_mm <= side <= most_mm for side in sides_mm):
        raise ValueError(
            f"{_shown(text)} is no size for a sheet: each side must be from {least_mm:g} mm to "
            f"{most_mm / 1000:g} m, {_SIZE_EXAMPLES}"
        )
    return SheetSize(width_mm=sides_mm[0], height_mm=sides_mm[1], name=typed)


def parse_length_mm(text: str, *, least_mm: float = 0.01, most_mm: float = SHEET_SIDE_MM[1]) -> float:
    """Read a length on the sheet, such as a bleed or a letter height, in mm.

    Raises
    ------
    ValueError
        With a sentence for people that says what to write instead.
    """
    length_mm = _parse_mm(text, what="length", example="3mm", units=("mm", "in"))
    if not least_mm <= length_mm <= most_mm:
        raise ValueError(
            f"{_shown(text)} is out of range: write a length from {least_mm:g}mm to {most_mm / 1000:g}m, such as 3mm"
        )
    return length_mm


def parse_bleed_mm(text: str) -> float:
    """Read a bleed in mm; none is a bleed too.

    Raises
    ------
    ValueError
        With a sentence for people that says what to write instead.
    """
    return parse_length_mm(text, least_mm=0.0, most_mm=MOST_BLEED_MM)


def parse_distance_m(text: str) -> float:
    """Read a viewing distance in m.

    Raises
    ------
    ValueError
        With a sentence for people that says what to write instead.
    """
    distance_m = _parse_mm(text, what="distance", example="5m", units=("m", "ft")) / 1000
    least_m, most_m = DISTANCE_M
    if not least_m <= distance_m <= most_m:
        raise ValueError(
            f"{_shown(text)} is out of range: write a distance from {least_m:g}m to {most_m:g}m, such as 5m"
        )
    return distance_m


def trade_sizes_for(width_px: float, height_px: float, *, bleed_mm: float = 0.0) -> tuple[str, ...]:
    """Return the names of the trade sizes whose shape, with bleed, is within 1 % of this one."""
    return tuple(
        size.name
        for size in TRADE_SIZES
        if shape_difference(width_px, height_px, size.oriented(width_px, height_px), bleed_mm=bleed_mm)
        <= TRADE_TOLERANCE
    )


def trade_size_of(width_mm: float, height_mm: float) -> SheetSize | None:
    """Return the trade size both of whose sides are within 1 % of these, turned alike; else None."""
    for size in TRADE_SIZES:
        turned = size.oriented(width_mm, height_mm)
        if (
            abs(width_mm / turned.width_mm - 1) <= TRADE_TOLERANCE
            and abs(height_mm / turned.height_mm - 1) <= TRADE_TOLERANCE
        ):
            return turned
    return None


def shape_difference(width_px: float, height_px: float, size: SheetSize, *, bleed_mm: float = 0.0) -> float:
    """Return how far a picture's shape is from that of a size with its bleed: 0 for none, 0.01 for 1 %."""
    ratio = width_px * (size.height_mm + 2 * bleed_mm) / (height_px * (size.width_mm + 2 * bleed_mm))
    return max(ratio, 1 / ratio) - 1


def default_far_m(width_mm: float, height_mm: float) -> float:
    """Return how far the viewer is assumed to stand: seven sheet diagonals, 5 m at most (ours).

    Rounded to 0.5 m, and never under 0.5 m.
    """
    diagonals_m = DIAGONALS_TO_FAR * hypot(width_mm, height_mm) / 1000
    rounded_m = FAR_STEP_M * round(diagonals_m / FAR_STEP_M)
    return min(MOST_FAR_M, max(FAR_STEP_M, rounded_m))


def visual_angle_deg(size_mm: float, distance_m: float) -> float:
    """Return the angle that a length on the sheet, faced squarely, subtends at the eye, in degrees."""
    return 2 * degrees(atan(size_mm / (2000 * distance_m)))


def mm_per_deg(distance_m: float) -> float:
    """Return the mm on the sheet that one degree covers where the viewer looks at it squarely.

    The small-angle value, right to 3e-5 for one degree: 17.453 mm at 1 m (0.29089 mm a minute of arc).
    """
    return 1000 * distance_m * radians(1)


def px_per_deg(px_per_mm: float, distance_m: float) -> float:
    """Return the pixels that one degree covers where the viewer looks at the sheet squarely."""
    return px_per_mm * mm_per_deg(distance_m)


def _parse_mm(text: str, *, what: str, example: str, units: tuple[str, str]) -> float:
    found = _LENGTH.fullmatch(text.strip())
    if found is None:
        raise ValueError(f"{_shown(text)} is not a {what}: write a number and a unit, such as {example}")
    number, unit = found.groups()
    if not unit:
        raise ValueError(f"{_shown(text)} has no unit: write {number}{units[0]} or {number}{units[1]}")
    return _mm(number, unit, text)


def _mm(number: str, unit: str, text: str) -> float:
    per_unit = MM_PER_UNIT.get(unit.lower())
    if per_unit is None:
        raise ValueError(f"{_shown(text)} has an unknown unit: write {UNITS_IN_WORDS}")
    length_mm = float(number) * per_unit
    if not isfinite(length_mm):
        raise ValueError(f"{_shown(text)} is too large a number: check it and its unit")
    return round(length_mm, 6)


def _shown(text: str) -> str:
    """Quote what was typed, short and on one line."""
    plain = "".join(c if c.isprintable() else "?" for c in text.strip())
    return f"'{plain[:40]}…'" if len(plain) > 40 else f"'{plain}'"
