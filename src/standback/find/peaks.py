"""Peaks of an outline, by how far they stand out."""

from collections.abc import Sequence


def peaks_of(heights: Sequence[float], prominence: float) -> list[int]:
    """Return where heights peak, from left to right: the middle of the top, where that is level.

    Parameters
    ----------
    heights
        Upwards positive; before the first and after the last they count as infinitely deep.
    prominence
        How far one must at least go down from a peak, on either side, before it goes up higher than the peak.
    """
    return [
        (left + right) // 2
        for left, right in _level_tops(heights)
        if _falls(heights, left, -1, prominence) and _falls(heights, right, 1, prominence)
    ]


def _level_tops(heights: Sequence[float]) -> list[tuple[int, int]]:
    """First and last place of each stretch that is higher than what lies on both sides of it."""
    tops = []
    start, rising = 0, True
    for n in range(1, len(heights)):
        if heights[n] == heights[start]:
            continue
        if heights[n] < heights[start] and rising:
            tops.append((start, n - 1))
        rising = heights[n] > heights[start]
        start = n
    if rising and len(heights):
        tops.append((start, len(heights) - 1))
    return tops


def _falls(heights: Sequence[float], place: int, step: int, by: float) -> bool:
    """Whether one goes down so far from a place before one comes to what is higher; beyond the end all is deep."""
    height = heights[place]
    for other in heights[place + step :: step] if place + step >= 0 else ():
        if other > height:
            return False
        if height - other >= by:
            return True
    return True
