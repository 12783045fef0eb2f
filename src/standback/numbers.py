"""Numbers as people read them. Ratios are rounded down: 4.4997 does not pass as 4.5."""

from math import ceil, floor


def ratio(value: float) -> str:
    """Write a contrast ratio: rounded down to two decimals, trailing zeros dropped."""
    return f"{floor(value * 100 + 1e-9) / 100:.2f}".rstrip("0").rstrip(".") + ":1"


def distance(value_m: float) -> str:
    """Write a distance: centimetres under 1 m, else metres; rounded down so that no reach is overstated."""
    if value_m < 1:
        return f"{floor(value_m * 100 + 1e-9)} cm"
    return f"{floor(value_m * 10 + 1e-9) / 10:.1f}".removesuffix(".0") + " m"


def millimetres(value_mm: float) -> str:
    """Write a length on the sheet: hundredths under 1 mm, tenths under 10 mm, whole millimetres above."""
    if value_mm < 0.995:
        return f"{value_mm:.2f} mm"
    return f"{value_mm:.1f} mm" if value_mm < 9.95 else f"{value_mm:.0f} mm"


def least_millimetres(value_mm: float) -> str:
    """Write a height that is asked for: rounded up, so that what is written is enough."""
    if value_mm <= 10:
        return f"{ceil(value_mm * 10 - 1e-6) / 10:.1f}".removesuffix(".0") + " mm"
    return f"{ceil(value_mm - 1e-6)} mm"
