"""Artwork and distance -> the picture as seen: what the eye's optics leave of it.

Everything is linear light. Only this module knows seen samples; whoever asks does so in original pixels.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt
from scipy import fft

from standback.artwork.model import Artwork
from standback.elements import Box
from standback.eye import cutoff_cpd, eye_mtf
from standback.light import luminance1
from standback.sampling import Averaged, halving_transfer, mirror_beyond
from standback.sheet import px_per_deg
from standback.threads import threads

Picture = npt.NDArray[np.float32]

SAMPLES_PER_DEG = 400.0
"""Averaging over boxes goes no coarser than this; one halving by a smoother low-pass follows (ours).

Boxes alone would have to stay at 480 to leave no more than 1 % of moiré of the worst hatching. 200 is still
more than three times what the finest cones resolve."""
SURROUND_DEG = 1.0
"""Artwork, mirror or wall around what is looked at (ours): light from farther away is under 0.1 %."""
WALL_LUMINANCE1 = 0.5
"""A plain wall, half as bright as paper (ours)."""
SAMPLES_PER_SHOWN_PX = 3
"""Samples to each pixel of a picture that is only shown (ours): fewer leave a moiré of fine hatching."""

_LEAST_TRANSFER = 0.1
"""Dividing by what averaging let through stays harmless near its zeros (ours): a box of one sample has 0.4."""
_STRIP_SAMPLES = 60_000
"""Small enough for the processor's cache."""
_MANY_SAMPLES = 1_000_000
"""From so many on, a second thread pays (ours)."""


def see(
    linear: npt.ArrayLike, px_per_deg: float, pupil_mm: float, *, box_deg: float = 0.0, halved: bool = False
) -> Picture:
    """Return a picture as the eye's optics pass it on.

    Parameters
    ----------
    linear
        (H, W) or (H, W, 3) linear light; left untouched.
    px_per_deg
        Samples in one degree of visual angle.
    pupil_mm
        Pupil diameter in mm.
    box_deg
        Side of the box in degrees over which the caller averaged the picture; what it cost is given
        back. 0 for a picture that was sampled point by point.
    halved
        Whether it was then halved by `sampling.halved`, whose cost is given back too.

    Returns
    -------
    float32 picture of the same shape, of the same mean. Not clipped.

    Notes
    -----
    The spectrum is multiplied by the mean human modulation transfer function (Watson 2013). The cosine
    transform looks at the picture as mirrored at its edges, so no dark or bright frame bleeds in.
    """
    picture = np.asarray(linear, dtype=np.float32)
    if picture.ndim not in (2, 3) or picture.size == 0:
        raise ValueError(f"a picture is (H, W) or (H, W, 3) and not empty, not {picture.shape}")
    if not (px_per_deg > 0 and box_deg >= 0):
        raise ValueError("px_per_deg must be above 0 and box_deg not below 0")
    height, width = picture.shape[:2]
    mirrored = np.empty((*_fast_lengths(height, width, px_per_deg), *picture.shape[2:]), np.float32)
    mirrored[:height, :width] = picture
    mirror_beyond(mirrored, height, width)
    return _through_the_eye(mirrored, px_per_deg, pupil_mm, box_deg, halved)[:height, :width]


def _through_the_eye(picture: Picture, per_deg: float, pupil_mm: float, box_deg: float, halved: bool) -> Picture:
    """Multiply the cosine spectrum of a picture of fast lengths, which is written over; what is finer is lost."""
    height, width = picture.shape[:2]
    transfer: Iterable[Picture] = _transfer((height, width), per_deg, pupil_mm, box_deg, halved)
    if picture.ndim == 2:
        return _plane_through(picture, transfer)
    transfer = list(transfer)
    for plane in np.moveaxis(picture, 2, 0):
        plane[:] = _plane_through(np.ascontiguousarray(plane), transfer)
    return picture


def _plane_through(plane: Picture, transfer: Iterable[Picture]) -> Picture:
    """Multiply the cosine spectrum of one channel, which is written over, by strips of rows."""
    # its threads stay, and no process is forked beside a thread: small pictures are not worth them
    workers = threads() if plane.size >= _MANY_SAMPLES else 1
    spectrum = fft.dctn(plane, overwrite_x=True, workers=workers)
    rows, columns = 0, 0
    for strip in transfer:
        columns = strip.shape[1]
        spectrum[rows : rows + len(strip), :columns] *= strip
        rows += len(strip)
    spectrum[rows:] = 0
    spectrum[:, columns:] = 0
    seen: Picture = fft.idctn(spectrum, overwrite_x=True, workers=workers)
    return seen


def _transfer(
    lengths: tuple[int, int], per_deg: float, pupil_mm: float, box_deg: float, halved: bool
) -> Iterator[Picture]:
    """Yield the eye's transfer over the averaging's at the frequencies of a cosine spectrum, up to diffraction.

    In strips of rows, from the first row on.
    """
    end_cpd = cutoff_cpd(pupil_mm)
    fy, fx = (np.arange(n, dtype=np.float32) * np.float32(per_deg / (2 * n)) for n in lengths)
    fy, fx = fy[fy < end_cpd], fx[fx < end_cpd]
    averaged_y, averaged_x = (np.sinc(f * np.float32(box_deg)) for f in (fy, fx))
    if halved:
        averaged_y, averaged_x = (
            averaged * halving_transfer(f / (2 * per_deg)) for averaged, f in ((averaged_y, fy), (averaged_x, fx))
        )
    optics = _optics(pupil_mm)
    fx2, last = fx**2, len(optics) - 1
    at_a_time = max(1, _STRIP_SAMPLES // len(fx))
    for top in range(0, len(fy), at_a_time):
        part = slice(top, top + at_a_time)
        place = fy[part, None] ** 2 + fx2
        np.sqrt(place, out=place)
        place *= np.float32(last / end_cpd)
        np.minimum(place, last, out=place)
        let_through = averaged_y[part, None] * averaged_x
        np.maximum(let_through, _LEAST_TRANSFER, out=let_through)
        # looked up by whole numbers of the machine's own width, numpy takes half as long
        yield optics.take(place.astype(np.intp), mode="clip") / let_through


@lru_cache(maxsize=8)
def _optics(pupil_mm: float) -> Picture:
    """Return what the eye passes on at 65,536 frequencies up to diffraction; the formula takes six times as long."""
    frequency = np.linspace(0, cutoff_cpd(pupil_mm), 65_536, dtype=np.float32)
    return eye_mtf(frequency, pupil_mm).astype(np.float32)


def _fast_lengths(height: int, width: int, per_deg: float) -> tuple[int, int]:
    return _fast_length(height, per_deg), _fast_length(width, per_deg)


def _fast_length(n: int, per_deg: float) -> int:
    """Return a length whose transform is quick: n itself, or longer by at least the mirrored surround.

    A shorter addition would put a second mirror close behind the first. Short pictures stay as they are.
    """
    longer = int(fft.next_fast_len(n + int(np.ceil(SURROUND_DEG * per_deg)), real=True))
    return n if fft.next_fast_len(n, real=True) == n or longer >= 2 * n else longer


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seen:
    """What is seen of a part of the sheet from one distance.

    Attributes
    ----------
    linear
        (h, w) relative luminance or (h, w, 3) linear sRGB, float32, not clipped.
    scale_px
        Original pixels per sample.
    origin_px
        (x, y) of the top left corner in original pixels; sample (0, 0) covers the area from there to
        `scale_px` further on.
    px_per_deg
        Samples per degree of visual angle.
    """

    linear: Picture
    scale_px: int
    origin_px: tuple[int, int]
    px_per_deg: float

    def at(self, x_px: npt.ArrayLike, y_px: npt.ArrayLike) -> npt.NDArray[np.float64]:
        """Return what is seen at places in original pixels, interpolated between samples.

        Parameters
        ----------
        x_px, y_px
            Places of one shape; the centre of original pixel (i, j) is at (i + 0.5, j + 0.5). Places
            outside count as the nearest inside.

        Returns
        -------
        Array of that shape, and (..., 3) for a colour picture.
        """
        height, width = self.linear.shape[:2]
        x0, x1, right = self._between(x_px, self.origin_px[0], width)
        y0, y1, below = self._between(y_px, self.origin_px[1], height)
        if self.linear.ndim == 3:
            right, below = right[..., None], below[..., None]
        upper = self.linear[y0, x0] * (1 - right) + self.linear[y0, x1] * right
        lower = self.linear[y1, x0] * (1 - right) + self.linear[y1, x1] * right
        return np.asarray(upper * (1 - below) + lower * below, dtype=np.float64)

    def _between(
        self, place_px: npt.ArrayLike, origin_px: int, count: int
    ) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp], npt.NDArray[np.float64]]:
        sample = (np.asarray(place_px, dtype=np.float64) - origin_px) / self.scale_px - 0.5
        sample = np.clip(sample, 0, count - 1)
        first = np.floor(sample).astype(np.intp)
        return first, np.minimum(first + 1, count - 1), sample - first

    def mean(self, box: Box) -> float:
        """Return the mean seen luminance in a box; samples at its rim count by their part inside.

        Raises
        ------
        ValueError
            If the box reaches beyond what was looked at.
        """
        luminance = self.linear if self.linear.ndim == 2 else luminance1(self.linear)
        height, width = luminance.shape
        columns, across = self._cover(box.x0, box.x1, self.origin_px[0], width)
        rows, down = self._cover(box.y0, box.y1, self.origin_px[1], height)
        total = down @ luminance[rows, columns].astype(np.float64) @ across
        return float(total / (down.sum() * across.sum()))

    def _cover(self, start_px: int, end_px: int, origin_px: int, count: int) -> tuple[slice, npt.NDArray[np.float64]]:
        """Return the samples that a stretch touches, and how much of each it covers."""
        start, end = (start_px - origin_px) / self.scale_px, (end_px - origin_px) / self.scale_px
        if start < 0 or end >= count + 1:
            raise ValueError("the box reaches beyond the part of the sheet that was looked at")
        start, end = min(start, count - 1), min(end, count)
        first, last = int(np.floor(start)), int(np.ceil(end))
        edges = np.arange(first, last + 1)
        return slice(first, last), np.diff(np.clip(edges, start, end)).astype(np.float64)


def seen_sheet(artwork: Artwork, distance_m: float, pupil_mm: float, colour: bool = False) -> Seen:
    """Return the whole trimmed sheet as seen: luminance, or all three channels with `colour`.

    Not for the near station: seeing every part of a sheet that sharply is work for nothing.
    """
    return seen_crop(artwork, artwork.trim_px, distance_m, pupil_mm, colour)


def seen_crop(artwork: Artwork, box: Box, distance_m: float, pupil_mm: float, colour: bool = False) -> Seen:
    """Return what is seen in a box of original pixels, as on the whole sheet.

    Looks at one degree of real artwork more on every side, and at a mirror where the sheet ends. What
    comes back covers the box and at least one sample around it, within the trim.
    """
    averaged = _sampled(artwork, distance_m)
    per_deg = px_per_deg(artwork.px_per_mm, distance_m)
    scale = averaged.scale
    around = averaged.samples(box, round(SURROUND_DEG * per_deg))
    wanted = averaged.samples(box, scale)
    picture = averaged.linear(around, colour, _fast_lengths(around.height, around.width, per_deg / scale))
    linear = _through_the_eye(picture, per_deg / scale, pupil_mm, averaged.box_px / per_deg, averaged.halved)
    trim = artwork.trim_px
    return Seen(
        linear=linear[wanted.y0 - around.y0 : wanted.y1 - around.y0, wanted.x0 - around.x0 : wanted.x1 - around.x0],
        scale_px=scale,
        origin_px=(trim.x0 + wanted.x0 * scale, trim.y0 + wanted.y0 * scale),
        px_per_deg=per_deg / scale,
    )


def seen_on_wall(artwork: Artwork, distance_m: float, pupil_mm: float, *, shown_px: int) -> Seen:
    """Return the sheet in colour, as seen hanging on a plain wall, no finer than it will be shown.

    Parameters
    ----------
    shown_px
        Pixels on the long side of the sheet where it will be shown.

    Returns
    -------
    The sheet with wall around it: `origin_px` lies outside the trim.
    """
    long_px = max(artwork.trim_px.width, artwork.trim_px.height)
    shown_scale = long_px // (SAMPLES_PER_SHOWN_PX * shown_px)
    averaged = _sampled(artwork, distance_m, shown_scale)
    per_deg = px_per_deg(artwork.px_per_mm, distance_m)
    scale = averaged.scale
    # half of it on this side of the mirror; no wider than the sheet where the sheet is but a speck
    wall = min(round(SURROUND_DEG / 2 * per_deg), long_px) // scale + 1
    samples = averaged.samples(artwork.trim_px, 0)
    height, width = samples.height + 2 * wall, samples.width + 2 * wall
    hung = np.full((3, *_fast_lengths(height, width, per_deg / scale)), WALL_LUMINANCE1, np.float32).transpose(1, 2, 0)
    hung[wall : height - wall, wall : width - wall] = averaged.linear(samples, colour=True)
    mirror_beyond(hung, height, width)
    seen = _through_the_eye(hung, per_deg / scale, pupil_mm, averaged.box_px / per_deg, averaged.halved)
    return Seen(
        linear=seen[:height, :width],
        scale_px=scale,
        origin_px=(artwork.trim_px.x0 - wall * scale, artwork.trim_px.y0 - wall * scale),
        px_per_deg=per_deg / scale,
    )


def unblurred_sheet(artwork: Artwork, *, shown_px: int) -> Picture:
    """Return the trimmed sheet in linear colour, averaged as far as showing it in `shown_px` allows.

    `SAMPLES_PER_SHOWN_PX` are left on its long side; an artwork of fewer pixels comes as it is.
    """
    long_px = max(artwork.trim_px.width, artwork.trim_px.height)
    averaged = Averaged.at_most(artwork, max(1, long_px // (SAMPLES_PER_SHOWN_PX * shown_px)))
    return averaged.linear(averaged.samples(artwork.trim_px, 0), colour=True)


def _sampled(artwork: Artwork, distance_m: float, least_scale: int = 1) -> Averaged:
    """Choose the grid on which the sheet is seen: no coarser than the eye asks, unless it is shown so coarsely."""
    per_deg = px_per_deg(artwork.px_per_mm, distance_m)
    blocks = max(1, int(per_deg / SAMPLES_PER_DEG), least_scale // 2)
    halved = per_deg / blocks >= SAMPLES_PER_DEG or least_scale > 1
    return Averaged.at_most(artwork, blocks, halved=halved)
