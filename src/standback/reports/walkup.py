"""The walk-up picture: one poster as it is seen from a row of distances, hung on a plain wall."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

from standback.artwork.model import Artwork
from standback.colour_vision import IN_WORDS, as_seen_by
from standback.light import linear_to_srgb8
from standback.numbers import distance
from standback.reports.lettering import Colour, as_png, length, letter
from standback.reports.views import Picture, Size, as_printed, fitted, hung_sheet, resized
from standback.reports.words import joined
from standback.reports.wrapping import wrap
from standback.sheet import MM_PER_INCH, trade_size_of, visual_angle_deg
from standback.stock import Stock
from standback.viewing import unblurred_sheet

SCREEN_PPI = 96
READER_MM = 600.0
"""The reader of the picture: 60 cm from a screen of 96 ppi, the usual desk."""

_WALL: Colour = (188, 188, 188)
"""The wall that the sheet hangs on, half as bright as paper, in sRGB."""
_INK: Colour = (26, 26, 26)
_QUIET: Colour = (66, 66, 66)
_HAIR: Colour = (152, 152, 152)

_NAME_PX, _DISTANCE_PX, _BODY_PX, _SMALL_PX = 32, 28, 17, 15
_LEADING = 1.38
_MARGIN = 80
_UNIT_GAP, _PAIR_GAP = 92, 48
_HEAD_GAP, _CAPTION_GAP, _FOOT_GAP = 60, 18, 60
_BLUR_PX = 40
"""Most of the wall around a sheet that is drawn as seen; it fades into the plain wall."""
_LONG_PX = (860, 760, 700, 600, 520)
"""Long side of the sheets as seen: for one distance, for two, ... and the last for all beyond."""
_SHARP_LONG_PX = 760
"""A sharp sheet that would be larger is cut: it would not fit a screen."""
_SEEN_COLUMN_PX, _SHARP_COLUMN_PX = 190, 164
"""Least widths of the columns, for their captions."""
_FOOT_COLUMN_PX, _COLUMN_GAP = 500, 64
_WIDEST_BESIDE = 1.25
"""A sheet up to this wide for its height has its sharp picture beside it, a wider one below."""

_HOW_TO_READ = (
    (
        "Soft: what the eye is left with",
        "The poster after the optics of a viewer's eye, from each distance, drawn at one size. Letters "
        "that run together here are lost from there; others may still be too small to read.",
    ),
    (
        "Sharp: see for yourself",
        "The poster itself, sharp, as large as it looks from each distance. Show this picture at 100 % "
        "on a screen of 96 pixels an inch and sit 60 cm away: what you can't make out, a viewer can't.",
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One line of type."""

    text: str
    size_px: int
    colour: Colour = _INK

    @property
    def height(self) -> int:
        return round(self.size_px * _LEADING)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Panel:
    """A picture and what stands below it; `blur` px on every side of the picture lie beyond its place."""

    picture: Image.Image
    caption: tuple[_Row, ...]
    column: int
    blur: int = 0

    @property
    def width(self) -> int:
        return max(self.picture.width - 2 * self.blur, self.column)

    @property
    def height(self) -> int:
        return self.picture.height - 2 * self.blur

    @property
    def depth(self) -> int:
        """From the top of the sheet to the end of its caption."""
        return self.height + _CAPTION_GAP + _height(self.caption)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Look:
    """Whose eye it is: its pupil, and how many times farther away one of 6/6 would see as little."""

    pupil_mm: float
    blunt: float
    vision: str | None
    stock: Stock | None

    def coloured(self, linear: Picture) -> Picture:
        """Return a picture in the colours that this eye sees."""
        return linear if self.vision is None else np.asarray(as_seen_by(self.vision, linear), dtype=np.float32)

    @property
    def acuity(self) -> str:
        return f"6/{6 * self.blunt:.3g}"

    @property
    def by(self) -> str:
        """Say whose eye it is and what it looks at, where that is not the usual."""
        acuity = f" by an eye of {self.acuity}" if self.blunt > 1 else ""
        vision = f", in the colours that {IN_WORDS[self.vision]} ({self.vision}) viewers see" if self.vision else ""
        return f"{acuity}{vision}{f'; printed on {self.stock.name} stock' if self.stock else ''}"


def draw_walkup(
    artwork: Artwork,
    distances_m: Sequence[float],
    *,
    pupil_mm: float,
    acuity_logmar: float = 0.0,
    vision: str | None = None,
    stock: Stock | None = None,
) -> bytes:
    """Draw the walk-up picture.

    For each distance the sheet as the eye's optics leave it, all at one size; and the sheet sharp, at
    the visual angle it has from there for a reader 60 cm from a screen of 96 ppi, so that the reader's
    own eye does the blurring.

    Parameters
    ----------
    distances_m
        From where the sheet is looked at; drawn in the order given.
    pupil_mm
        Pupil diameter of the viewer.
    acuity_logmar
        Acuity of the viewer, 0 for 6/6: a less sharp eye sees as one of 6/6 does from farther away.
    vision
        Colour vision of the viewer, one of `colour_vision.VISIONS`; None for the ordinary one.
    stock
        What the sheet is printed on: its black is drawn as dark as it is beside its own paper.

    Returns
    -------
    A PNG; same artwork, same bytes.
    """
    if not distances_m:
        raise ValueError("a walk-up picture needs at least one distance")
    if stock is not None:
        artwork = as_printed(artwork, stock)
    size = fitted(artwork, _LONG_PX[min(len(distances_m), len(_LONG_PX)) - 1])
    look = _Look(pupil_mm=pupil_mm, blunt=10 ** max(acuity_logmar, 0.0), vision=vision, stock=stock)
    pairs = [(_seen_panel(artwork, d, look, size), _sharp_panel(artwork, d, look)) for d in distances_m]
    if artwork.width_mm <= _WIDEST_BESIDE * artwork.height_mm:
        hung = _side_by_side(pairs)
    else:
        hung = _one_below_the_other(pairs)
    return as_png(_composed(artwork, distances_m, hung, look), SCREEN_PPI)


Hung = list[tuple[int, int, _Panel]]
"""Panels with the x and y of the top left corner of their sheets."""


def _side_by_side(pairs: Sequence[tuple[_Panel, _Panel]]) -> Hung:
    """Hang all sheets on one base line, the sharp one of each distance beside the other."""
    base = max(panel.height for pair in pairs for panel in pair)
    hung, x = Hung(), 0
    for seen, sharp in pairs:
        hung.append((x, base - seen.height, seen))
        x += seen.width + _PAIR_GAP
        hung.append((x, base - sharp.height, sharp))
        x += sharp.width + _UNIT_GAP
    return hung


def _one_below_the_other(pairs: Sequence[tuple[_Panel, _Panel]]) -> Hung:
    """Hang the sharp sheet of each distance below the other."""
    below = max(seen.depth for seen, _ in pairs) + _PAIR_GAP
    hung, x = Hung(), 0
    for seen, sharp in pairs:
        hung += [(x, 0, seen), (x, below, sharp)]
        x += max(seen.width, sharp.width) + _UNIT_GAP
    return hung


def _composed(artwork: Artwork, distances_m: Sequence[float], hung: Hung, look: _Look) -> Image.Image:
    """Draw head, sheets and foot on a wall that holds them."""
    room = max(_FOOT_COLUMN_PX, *(x + panel.width for x, _, panel in hung))
    head = _head(artwork, distances_m, room, look)
    top = _MARGIN + _height(head) + _HEAD_GAP
    rule = top + max(y + panel.depth for _, y, panel in hung) + _FOOT_GAP
    foot = _foot(room)
    foot_end = max(y + _height(rows) for _, y, rows in foot)
    page = Image.new("RGB", (room + 2 * _MARGIN, rule + foot_end + _MARGIN), _WALL)
    draw = ImageDraw.Draw(page)
    _set(draw, _MARGIN, _MARGIN, head)
    # soft ones first: the wall around them must not cover a sharp neighbour
    for x, y, panel in sorted(hung, key=lambda placed: -placed[2].blur):
        page.paste(panel.picture, (_MARGIN + x - panel.blur, top + y - panel.blur))
    for x, y, panel in hung:
        _set(draw, _MARGIN + x, top + y + panel.height + _CAPTION_GAP, panel.caption)
    draw.line((_MARGIN, rule, _MARGIN + room - 1, rule), fill=_HAIR)
    for x, y, rows in foot:
        _set(draw, _MARGIN + x, rule + y, rows)
    return page


def _foot(room: int) -> list[tuple[int, int, tuple[_Row, ...]]]:
    """Return how to read the picture, in two columns where there is room: x, y and lines of each."""
    step = _FOOT_COLUMN_PX + _COLUMN_GAP
    abreast = room >= step + _FOOT_COLUMN_PX
    foot = []
    x, y = 0, _BODY_PX
    for title, text in _HOW_TO_READ:
        rows = (_Row(text=title, size_px=_BODY_PX), *_wrapped(text, _SMALL_PX, _FOOT_COLUMN_PX, _QUIET))
        foot.append((x, y, rows))
        x, y = (x + step, y) if abreast else (x, y + _height(rows) + _BODY_PX)
    return foot


def _set(draw: ImageDraw.ImageDraw, x: int, y: int, rows: Sequence[_Row]) -> None:
    for row in rows:
        letter(draw, x, y, row.text, row.size_px, row.colour)
        y += row.height


def _height(rows: Sequence[_Row]) -> int:
    return sum(row.height for row in rows)


def _wrapped(text: str, size_px: int, room: float, colour: Colour) -> Iterator[_Row]:
    for line in wrap(text, room, lambda part: length(part, size_px)):
        yield _Row(text=line, size_px=size_px, colour=colour)


def _head(artwork: Artwork, distances_m: Sequence[float], room: int, look: _Look) -> tuple[_Row, ...]:
    trade = trade_size_of(artwork.width_mm, artwork.height_mm)
    size = f"{artwork.width_mm:.0f} × {artwork.height_mm:.0f} mm"
    places = joined([distance(d) for d in distances_m])
    what = f"{trade.name + ', ' if trade else ''}{size}, seen from {places}{look.by}"
    return (
        *_wrapped(Path(artwork.file).name, _NAME_PX, room, _INK),
        *_wrapped(what, _BODY_PX, room, _QUIET),
    )


def _seen_panel(artwork: Artwork, distance_m: float, look: _Look, size: Size) -> _Panel:
    """Draw the sheet as seen, with as much of the wall around it as has been looked at."""
    away_m = distance_m * look.blunt
    shown, blur = hung_sheet(artwork, away_m, look.pupil_mm, size, most_wall_px=_BLUR_PX)
    shown = look.coloured(shown)
    long_mm = max(artwork.width_mm, artwork.height_mm)
    across = "side to side" if artwork.width_mm > artwork.height_mm else "top to bottom"
    span = f"The poster spans {_degrees(visual_angle_deg(long_mm, distance_m))}, {across}."
    return _Panel(
        picture=Image.fromarray(linear_to_srgb8(shown)),
        caption=(
            _Row(text=distance(distance_m), size_px=_DISTANCE_PX),
            *_wrapped(span, _SMALL_PX, max(size[0], _SEEN_COLUMN_PX), _QUIET),
        ),
        column=_SEEN_COLUMN_PX,
        blur=blur,
    )


def _sharp_panel(artwork: Artwork, distance_m: float, look: _Look) -> _Panel:
    """Draw the sheet itself at the visual angle it has from a distance, or its middle."""
    px_per_mm = READER_MM / (1000 * distance_m * look.blunt) * SCREEN_PPI / MM_PER_INCH
    size = fitted(artwork, max(1, round(px_per_mm * max(artwork.width_mm, artwork.height_mm))))
    whole = max(size) <= _SHARP_LONG_PX
    width, height = size if whole else fitted(artwork, _SHARP_LONG_PX)
    linear = look.coloured(unblurred_sheet(artwork, shown_px=max(size)))
    rows, columns = linear.shape[:2]
    half_x, half_y = columns * width / size[0] / 2, rows * height / size[1] / 2
    part = (columns / 2 - half_x, rows / 2 - half_y, columns / 2 + half_x, rows / 2 + half_y)
    what = "As large as it looks" if whole else "Its middle, as large as it looks"
    if look.blunt > 1:
        what = "So small that you see it as" if whole else "Its middle, so small that you see it as"
        what = f"{what} {look.acuity} does"
    caption = f"{what} from {distance(distance_m)} when you sit 60 cm from the screen."
    return _Panel(
        picture=Image.fromarray(linear_to_srgb8(resized(linear, (width, height), part))),
        caption=tuple(_wrapped(caption, _SMALL_PX, max(_SHARP_COLUMN_PX, width), _QUIET)),
        column=_SHARP_COLUMN_PX,
    )


def _degrees(angle_deg: float) -> str:
    digits = 0 if angle_deg >= 10 else 1 if angle_deg >= 1 else 2
    return f"{angle_deg:.{digits}f}°"
