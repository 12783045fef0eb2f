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
    tops = _level_tops(heights)
    found = []
    for left, right in tops:
        height = heights[left]
        if height - prominence >= max(_valley(heights, left, -1), _valley(heights, right, 1)):
            found.append((left + right) // 2)
    return found


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


def _valley(heights: Sequence[float], place: int, step: int) -> float:
    """Lowest height on the way from a place to what is higher, or to the end beyond which all is deep."""
    lowest = height = heights[place]
    place += step
    while 0 <= place < len(heights):
        if heights[place] > height:
            return lowest
        lowest = min(lowest, heights[place])
        place += step
    return float("-inf")
