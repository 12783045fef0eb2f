"""How large the artwork will be printed: asked for, or read from a credible tag, or refused."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import isfinite

from standback.doubts import Doubt
from standback.errors import UnreadableError
from standback.sheet import MM_PER_INCH, SheetSize, shape_difference, trade_size_of, trade_sizes_for

CREDIBLE_PPI = (20.0, 2400.0)
"""A resolution outside this is no print's (ours)."""
CREDIBLE_SHORT_SIDE_MM = (100.0, 3000.0)
"""A poster's short side (ours)."""
SCREEN_PPI = (72.0, 96.0)
"""What programs write when nobody chose a resolution; believed only where it gives a trade size."""
_SCREEN_SLACK_PPI = 0.1
DOUBTED_SHAPE = 0.01
REFUSED_SHAPE = 0.05

ResolutionPpi = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedSize:
    """The trim size, and where it came from ("option", "brief" or "file")."""

    width_mm: float
    height_mm: float
    size_from: str
    doubts: tuple[Doubt, ...] = ()


def printed_size(
    width_px: int,
    height_px: int,
    *,
    resolutions_ppi: Sequence[ResolutionPpi],
    size: SheetSize | None,
    bleed_mm: float,
    from_brief: Collection[str] = (),
) -> PrintedSize:
    """Decide the trim size of a file of this many pixels, bleed included.

    Parameters
    ----------
    resolutions_ppi
        What the file itself says, (along x, along y), the most trusted first.
    size
        The size asked for; it outranks the file and is turned the way the artwork lies.
    from_brief
        Which of "size" and "bleed_mm" a brief gave, for messages; an option did the rest.

    Raises
    ------
    UnreadableError
        If there is no credible size, or the shape of the size asked for is not the artwork's.
    """
    if size is not None:
        printed = _asked_for(width_px, height_px, size.oriented(width_px, height_px), bleed_mm, from_brief)
    else:
        printed = _stated(width_px, height_px, resolutions_ppi, bleed_mm)
    for side_px, side_mm in ((width_px, printed.width_mm), (height_px, printed.height_mm)):
        if side_px - 2 * round(bleed_mm * side_px / (side_mm + 2 * bleed_mm)) < 1:
            check = "the bleed in the brief" if "bleed_mm" in from_brief else "--bleed"
            raise UnreadableError(f"a bleed of {bleed_mm:g} mm leaves no pixel of the sheet: check {check}")
    return printed


def page_size(width_mm: float, height_mm: float, width_px: int, height_px: int) -> PrintedSize:
    """Take the trim size that a page itself states, in millimetres and not by a resolution.

    Raises
    ------
    UnreadableError
        If no poster is of that size.
    """
    least_mm, most_mm = CREDIBLE_SHORT_SIDE_MM
    if not least_mm <= min(width_mm, height_mm) <= most_mm:
        raise UnreadableError(
            f"its page is {width_mm:.0f} x {height_mm:.0f} mm, which is no poster: give the printed size with --size; "
            f"{_fits(width_px, height_px, 0.0)}"
        )
    return PrintedSize(width_mm=round(width_mm, 4), height_mm=round(height_mm, 4), size_from="file")


def _asked_for(
    width_px: int, height_px: int, size: SheetSize, bleed_mm: float, from_brief: Collection[str]
) -> PrintedSize:
    apart = shape_difference(width_px, height_px, size, bleed_mm=bleed_mm)
    if apart > REFUSED_SHAPE:
        asked = f"{size.width_mm:g} x {size.height_mm:g} mm"
        asked += f" with {bleed_mm:g} mm bleed" if bleed_mm else ""
        raise UnreadableError(
            f"its shape, {width_px} x {height_px} px, is not that of {asked}: "
            f"check {_where_asked(from_brief)}; {_fits(width_px, height_px, bleed_mm)}"
        )
    doubts = (Doubt.SHAPE_DIFFERS,) if apart > DOUBTED_SHAPE else ()
    return PrintedSize(
        width_mm=size.width_mm,
        height_mm=size.height_mm,
        size_from="brief" if "size" in from_brief else "option",
        doubts=doubts,
    )


def _where_asked(from_brief: Collection[str]) -> str:
    """Say where size and bleed were given, for somebody to look there."""
    if {"size", "bleed_mm"} <= {*from_brief}:
        return "size and bleed in the brief"
    size = "the size in the brief" if "size" in from_brief else "--size"
    bleed = "the bleed in the brief" if "bleed_mm" in from_brief else "--bleed"
    return f"{size} and {bleed}"


def _stated(width_px: int, height_px: int, resolutions_ppi: Sequence[ResolutionPpi], bleed_mm: float) -> PrintedSize:
    whys = []
    for resolution_ppi in resolutions_ppi:
        outcome = _from_tag(width_px, height_px, resolution_ppi, bleed_mm)
        if isinstance(outcome, PrintedSize):
            return outcome
        whys.append(outcome)
    why = whys[0] if whys else "the file does not say how large it will be printed"
    raise UnreadableError(f"{why}: give the printed size with --size; {_fits(width_px, height_px, bleed_mm)}")


def _from_tag(width_px: int, height_px: int, resolution_ppi: ResolutionPpi, bleed_mm: float) -> PrintedSize | str:
    """Return the size a tag gives, or why it isn't believed."""
    least_ppi, most_ppi = CREDIBLE_PPI
    if not all(isfinite(ppi) and least_ppi <= ppi <= most_ppi for ppi in resolution_ppi):
        return f"its resolution tag, {_in_words(resolution_ppi)}, is not that of a print"
    x_ppi, y_ppi = resolution_ppi
    width_mm = width_px / x_ppi * MM_PER_INCH - 2 * bleed_mm
    height_mm = height_px / y_ppi * MM_PER_INCH - 2 * bleed_mm
    least_mm, most_mm = CREDIBLE_SHORT_SIDE_MM
    if not least_mm <= min(width_mm, height_mm) <= most_mm:
        if min(width_mm, height_mm) <= 0:
            return f"at its resolution tag, {_in_words(resolution_ppi)}, the bleed leaves no sheet"
        made = f"{width_mm:.0f} x {height_mm:.0f} mm"
        return f"its resolution tag, {_in_words(resolution_ppi)}, would make it {made}, which is no poster"
    doubts: tuple[Doubt, ...] = ()
    if any(abs(ppi - screen) < _SCREEN_SLACK_PPI for ppi in resolution_ppi for screen in SCREEN_PPI):
        if trade_size_of(width_mm, height_mm) is None:
            return f"its resolution tag, {_in_words(resolution_ppi)}, is a screen's and gives no trade size"
        doubts = (Doubt.SIZE_ASSUMED,)
    return PrintedSize(width_mm=width_mm, height_mm=height_mm, size_from="file", doubts=doubts)


def _in_words(resolution_ppi: ResolutionPpi) -> str:
    x_ppi, y_ppi = (f"{ppi:.4g}" for ppi in resolution_ppi)
    return f"{x_ppi} ppi" if x_ppi == y_ppi else f"{x_ppi} x {y_ppi} ppi"


def _fits(width_px: int, height_px: int, bleed_mm: float) -> str:
    names = _runs(trade_sizes_for(width_px, height_px, bleed_mm=bleed_mm))
    if not names:
        return "its shape fits no trade size, so write width x height, such as 420x594mm"
    words = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
    return f"its shape fits {words}"


def _runs(names: Sequence[str]) -> list[str]:
    """Write runs of three or more neighbouring names of one series as one: A0 to A6."""
    runs: list[list[str]] = []
    for name in names:
        last = runs[-1][-1] if runs else ""
        if last[:1] == name[:1] and last[1:].isdigit() and name[1:] == str(int(last[1:]) + 1):
            runs[-1].append(name)
        else:
            runs.append([name])
    return [part for run in runs for part in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else run)]
