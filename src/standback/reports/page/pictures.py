"""The pictures on a page, as data: the sheet from a row of distances, and crops of it."""

from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO

import numpy as np
from PIL import Image

from standback.artwork import linear_crop
from standback.artwork.model import Artwork
from standback.elements import Box
from standback.forking import in_two_processes
from standback.light import linear_to_srgb8
from standback.reports.views import Part, Picture, Size, as_printed, fitted, hung_sheet, resized
from standback.settings import Station, Viewer
from standback.stock import Stock
from standback.viewing import WALL_LUMINANCE1, seen_crop, unblurred_sheet

SHARP_LONG_PX, SEEN_LONG_PX = 1500, 1000
"""Long sides of the sheet, sharp and as seen (ours): what a large screen shows, and what the eye leaves."""
SEEN_SAMPLES_PX = 600
"""How large the sheet counts as shown when it is looked at (ours): at least 1.8 samples to each px drawn."""
WALL_SHARE = 0.05
"""Wall on every side of the sheet, as a share of its long side: room for tags, and for the blur."""
CROP_SIZE = (660, 400)
"""Most px of a crop."""
MOST_ENLARGED = 6.0
"""A crop of few pixels is enlarged no more than this."""

_BACK_SHARE = 2.0
_MID_STEPS, _FAR_STEPS = (0.5, 0.71), (0.54, 0.74)
_BEYOND_STEPS = (1.41,)
_LEAST_STEP = 1.15
_QUALITIES = ((90, 0), (84, 0), (76, 0), (66, 2), (52, 2), (38, 2), (24, 2), (12, 2), (6, 2))
"""JPEG quality and subsampling of colour, tried in turn until a picture is small enough."""
SHARP_BYTES, SEEN_BYTES, CROP_BYTES = 550_000, 90_000, 18_000
"""Most bytes of a picture (ours): a page with all that is drawn on it stays under 3 MB."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A picture on the page: its data URI and its size in px."""

    uri: str
    width: int
    height: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Eye:
    """Whose eye looks, and at what stock: a less sharp one sees as one of 6/6 does from farther away."""

    pupil_mm: float
    viewer: Viewer
    stock: Stock | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The sheet on its wall, from one distance."""

    distance_m: float
    picture: Shown


def walk_distances_m(places: Sequence[Station]) -> tuple[float, ...]:
    """Return where the walk back stops, near to the back of the room: the stations, and some between."""
    far_m, mid_m, near_m = (station.distance_m for station in places)
    wanted = sorted(
        {
            *(step * mid_m for step in _MID_STEPS),
            *(step * far_m for step in (*_FAR_STEPS, *_BEYOND_STEPS)),
        }
    )
    stops = sorted({near_m, mid_m, far_m, _BACK_SHARE * far_m})
    for distance_m in wanted:
        if all(max(distance_m / stop, stop / distance_m) > _LEAST_STEP for stop in stops) and distance_m > near_m:
            stops.append(distance_m)
    return tuple(sorted(stops))


def walk(artwork: Artwork, distances_m: Sequence[float], eye: Eye) -> tuple[Frame, ...]:
    """Draw the sheet from each distance, two at a time where that pays: sharp from the first, as seen from the others.

    From so near by, the eye is finer than the pixels of a page.
    """
    paper = artwork if eye.stock is None else as_printed(artwork, eye.stock)

    def frame(n: int) -> Frame:
        distance_m = distances_m[n]
        return Frame(distance_m=distance_m, picture=_seen(paper, distance_m, eye) if n else _sharp(artwork))

    return tuple(in_two_processes(frame, range(len(distances_m)), at_least=2))


def _sharp(artwork: Artwork) -> Shown:
    sharp = unblurred_sheet(artwork, shown_px=SHARP_LONG_PX)
    size = fitted(artwork, SHARP_LONG_PX)
    rows, columns = sharp.shape[:2]
    return _on_wall(resized(sharp, size, (0, 0, columns, rows)), size, 0, SHARP_BYTES)


def _seen(paper: Artwork, distance_m: float, eye: Eye) -> Shown:
    size, wall_px = fitted(paper, SEEN_LONG_PX), round(WALL_SHARE * SEEN_LONG_PX)
    away_m = eye.viewer.sharp_m(distance_m)
    seen, drawn_px = hung_sheet(paper, away_m, eye.pupil_mm, size, most_wall_px=wall_px, shown_px=SEEN_SAMPLES_PX)
    return _on_wall(seen, size, drawn_px, SEEN_BYTES)


def crop(artwork: Artwork, window: Box) -> Shown:
    """Draw a part of the artwork as exported."""
    size = _crop_size(window)
    scale = max(1, min(window.width // (2 * size[0]), window.height // (2 * size[1])))
    linear = linear_crop(artwork, window, scale)
    return encoded(resized(linear, size, (0, 0, window.width / scale, window.height / scale)), CROP_BYTES)


def crop_seen(artwork: Artwork, window: Box, distance_m: float, eye: Eye) -> Shown:
    """Draw a part of the artwork as it is seen from a distance, as printed, at the same size."""
    seen = seen_crop(artwork, window, eye.viewer.sharp_m(distance_m), eye.pupil_mm, colour=True)
    left, top = ((o - w) / seen.scale_px for o, w in zip((window.x0, window.y0), seen.origin_px, strict=True))
    part: Part = (left, top, left + window.width / seen.scale_px, top + window.height / seen.scale_px)
    shown = resized(seen.linear, _crop_size(window), part)
    printed = shown if eye.stock is None else np.asarray(eye.stock.of_paper1(shown), dtype=np.float32)
    return encoded(printed, CROP_BYTES)


def encoded(linear: Picture, most_bytes: int) -> Shown:
    """Return a picture in linear light as JPEG data; same picture, same data.

    JPEG and not WebP, whose narrower range of codes would leave steps in an even wall.
    """
    srgb8 = linear_to_srgb8(linear)
    picture = Image.fromarray(srgb8)
    for quality, subsampling in _QUALITIES:
        stream = BytesIO()
        picture.save(stream, "JPEG", quality=quality, subsampling=subsampling)
        if stream.tell() <= most_bytes:
            break
    uri = f"data:image/jpeg;base64,{b64encode(stream.getvalue()).decode('ascii')}"
    return Shown(uri=uri, width=srgb8.shape[1], height=srgb8.shape[0])


def _on_wall(picture: Picture, size: Size, drawn_px: int, most_bytes: int) -> Shown:
    """Put a sheet on its wall; `drawn_px` of the wall are on the picture already."""
    wall_px = round(WALL_SHARE * max(size))
    width, height = size
    hung = np.full((height + 2 * wall_px, width + 2 * wall_px, 3), WALL_LUMINANCE1, dtype=np.float32)
    start = wall_px - drawn_px
    hung[start : start + len(picture), start : start + picture.shape[1]] = picture
    return encoded(hung, most_bytes)


def _crop_size(window: Box) -> Size:
    scale = min(CROP_SIZE[0] / window.width, CROP_SIZE[1] / window.height, MOST_ENLARGED)
    return max(1, round(scale * window.width)), max(1, round(scale * window.height))
