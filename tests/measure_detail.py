"""Measure the finder of fine detail on drawn patches: `python tests/measure_detail.py [--seeds N] [--first SEED]`.

Every patch is drawn with its width, pitch and colours known, over exact areas of pixels: in codes, as most
exporters lay ink over ground, or in light. Prints the share found, errors of ratio, width and pitch, how many
patches one drawn patch was split into, and what was found on sheets without any.
"""

import argparse
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO

import numpy as np
import numpy.typing as npt
from PIL import Image
from scipy import ndimage

from standback.artwork import Artwork, from_srgb8
from standback.elements import Box, Detail, Line
from standback.find.detail import find_details
from standback.light import contrast_ratio, linear_to_srgb8, srgb8_to_linear
from synth import GROUNDS, Poster, draw_poster, tuning_faces

Cover = npt.NDArray[np.float64]
Rng = np.random.Generator
FINE = 8
PATCH_MM, SHEET_MM = 28.0, (90.0, 120.0)
KINDS = ("hatching", "waves", "dots", "spray", "hair", "rings", "stroke")
PPIS = (100.0, 150.0, 300.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """One patch and what was drawn."""

    artwork: Artwork
    box: Box
    kind: str
    ppi: float
    width_mm: float
    pitch_mm: float | None
    ratio: float
    inked: npt.NDArray[np.bool_]


def draw(seed: int, kind: str, ppi: float, *, jpeg: bool = False) -> Drawn:
    """Draw a patch of detail on a sheet with a disc and a panel, as flat posters have."""
    rng = np.random.default_rng([seed, KINDS.index(kind), int(ppi)])
    width = float(np.exp(rng.uniform(np.log(0.2), np.log(1.45))))
    pitch = width * float(rng.uniform(2.2, 5.0))
    ground, ink = _colours(rng)
    px = ppi / 25.4
    height_px, width_px = (round(side * px) for side in SHEET_MM[::-1])
    sheet = np.empty((height_px, width_px, 3))
    sheet[:] = ground
    _shapes(sheet, rng, px)
    side = round(PATCH_MM * px)
    top, left = round(15 * px), round(30 * px)
    cover, shown_pitch = _COVERS[kind](rng, side, px, width, pitch)
    part = sheet[top : top + side, left : left + side]
    if rng.random() < 0.3:
        linear = srgb8_to_linear(np.rint(part).astype(np.uint8), np.float64)
        other = srgb8_to_linear(ink, np.float64)
        part[:] = linear_to_srgb8(linear + cover[..., None] * (other - linear))
    else:
        part += cover[..., None] * (ink - part)
    srgb8 = np.rint(sheet).astype(np.uint8)
    if jpeg:
        packed = BytesIO()
        Image.fromarray(srgb8).save(packed, "JPEG", quality=90)
        srgb8 = np.asarray(Image.open(packed).convert("RGB"))
    return Drawn(
        artwork=from_srgb8(srgb8, size_mm=SHEET_MM),
        box=Box(x0=left, y0=top, x1=left + side, y1=top + side),
        kind=kind,
        ppi=ppi,
        width_mm=width,
        pitch_mm=shown_pitch,
        ratio=contrast_ratio(ink, ground),
        inked=cover >= 0.5 * cover.max(),
    )


def _colours(rng: Rng) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    ground = rng.integers(0, 256, 3)
    while True:
        ink = rng.integers(0, 256, 3)
        if contrast_ratio(ink, ground) > 1.3:
            return ground, ink


def _shapes(sheet: npt.NDArray[np.float64], rng: Rng, px: float) -> None:
    """A panel and a disc in other colours, below the patch."""
    height, width = sheet.shape[:2]
    sheet[round(95 * px) :, :] = rng.integers(0, 256, 3)
    y, x = (np.arange(n)[:, None] + (np.arange(FINE) + 0.5) / FINE for n in (height, width))
    distance = np.hypot(y[:, None, :, None] - 70 * px, x[None, :, None, :] - 45 * px)
    cover = (distance < 15 * px).mean(axis=(2, 3))[..., None]
    sheet += cover * (rng.integers(0, 256, 3) - sheet)


def _grid(side: int, px: float) -> tuple[Cover, Cover]:
    places = (np.arange(side * FINE) + 0.5) / FINE / px
    return np.meshgrid(places, places, indexing="ij")


def _covered(inside: npt.NDArray[np.bool_]) -> Cover:
    side = len(inside) // FINE
    return np.asarray(inside.reshape(side, FINE, side, FINE).mean(axis=(1, 3)))


def _hatching(rng: Rng, side: int, px: float, width: float, pitch: float) -> tuple[Cover, float | None]:
    y, x = _grid(side, px)
    turn, phase = rng.uniform(0, np.pi), rng.uniform(0, pitch)
    across = (x * np.cos(turn) + y * np.sin(turn) + phase) % pitch
    return _covered(np.abs(across - pitch / 2) <= width / 2), pitch


def _waves(rng: Rng, side: int, px: float, width: float, pitch: float) -> tuple[Cover, float | None]:
    y, x = _grid(side, px)
    length, height, phase = rng.uniform(10, 25), rng.uniform(0.5, 1.5), rng.uniform(0, pitch)
    slope = height * 2 * np.pi / length * np.cos(2 * np.pi * x / length)
    across = (y + height * np.sin(2 * np.pi * x / length) + phase) % pitch - pitch / 2
    return _covered(np.abs(across) / np.hypot(1, slope) <= width / 2), pitch


def _dots(rng: Rng, side: int, px: float, width: float, pitch: float) -> tuple[Cover, float | None]:
    y, x = _grid(side, px)
    turn = rng.uniform(0, np.pi)
    u, v = x * np.cos(turn) + y * np.sin(turn), y * np.cos(turn) - x * np.sin(turn)
    u, v = ((w + rng.uniform(0, pitch)) % pitch - pitch / 2 for w in (u, v))
    return _covered(np.hypot(u, v) <= width / 2), pitch


def _spray(rng: Rng, side: int, px: float, width: float, pitch: float) -> tuple[Cover, float | None]:
    """Dots anywhere, none nearer than a pitch to another."""
    extent = side / px - 2 * width
    spots: list[npt.NDArray[np.float64]] = []
    for spot in rng.uniform(width, width + extent, (4000, 2)):
        if all(np.hypot(*(spot - other)) > pitch for other in spots):
            spots.append(spot)
        if len(spots) == 150:
            break
    return _covered(_distance(np.array(spots), side, px) <= width / 2), None


def _hair(rng: Rng, side: int, px: float, width: float, pitch: float) -> tuple[Cover, float | None]:
    t = np.linspace(0, 1, 4000)[:, None]
    count = max(3, int(side / px / pitch / 2))
    x = np.linspace(0.15, 0.85, count) * side / px
    sway = rng.normal(0, 1, (3, count))
    x = x + sway[0] * np.sin(2 * np.pi * t) + sway[1] * t + sway[2] * t**2
    y = np.broadcast_to(t * 0.9 + 0.05, x.shape) * side / px
    return _covered(_distance(np.stack([y.ravel(), x.ravel()], axis=1), side, px) <= width / 2), None


def _rings(rng: Rng, side: int, px: float, width: float, pitch: float) -> tuple[Cover, float | None]:
    y, x = _grid(side, px)
    inside = np.zeros(y.shape, dtype=np.bool_)
    for n in range(4):
        cy, cx = (0.27 + 0.46 * place + rng.uniform(-0.02, 0.02) for place in divmod(n, 2))
        radius = rng.uniform(3.0, 5.5)
        inside |= np.abs(np.hypot(y - cy * side / px, x - cx * side / px) - radius) <= width / 2
    return _covered(inside), None


def _stroke(rng: Rng, side: int, px: float, width: float, pitch: float) -> tuple[Cover, float | None]:
    t = np.linspace(0, 1, 8000)
    y, x = (0.08 + 0.84 * t) * side / px, (0.5 + 0.3 * np.sin(rng.uniform(2, 6) * t + rng.uniform(0, 6))) * side / px
    return _covered(_distance(np.stack([y, x], axis=1), side, px) <= width / 2), None


def _distance(spots: npt.NDArray[np.float64], side: int, px: float) -> Cover:
    """Distance in mm to the nearest spot, on the fine grid."""
    away = np.ones((side * FINE, side * FINE), dtype=np.bool_)
    at = np.clip((spots * px * FINE).astype(int), 0, side * FINE - 1)
    away[at[:, 0], at[:, 1]] = False
    return np.asarray(ndimage.distance_transform_edt(away)) / FINE / px


_COVERS: dict[str, Callable[[Rng, int, float, float, float], tuple[Cover, float | None]]] = {
    "hatching": _hatching, "waves": _waves, "dots": _dots, "spray": _spray, "hair": _hair, "rings": _rings,
    "stroke": _stroke,
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One patch measured: shares are measured over drawn less 1; None where it wasn't found."""

    drawn: Drawn
    detail: Detail | None
    pieces: int
    elsewhere: int
    seconds: float

    @property
    def errors(self) -> tuple[float, float, float | None]:
        """Of ratio, width and pitch."""
        found, drawn = self.detail, self.drawn
        if found is None:
            raise ValueError("not found")
        pitch = None if drawn.pitch_mm is None or found.pitch_mm is None else found.pitch_mm / drawn.pitch_mm - 1
        return found.ratio / drawn.ratio - 1, found.feature_mm / drawn.width_mm - 1, pitch


def outcome(drawn: Drawn) -> Outcome:
    """Find the details of a drawn sheet and compare."""
    start = time.process_time()
    details = find_details(drawn.artwork, ())
    seconds = time.process_time() - start
    inside = [one for one in details if 2 * one.box_px.overlap(drawn.box) > one.box_px.area]
    best = max(inside, key=lambda one: _shared(drawn, one), default=None)
    if best is not None and _shared(drawn, best) < 0.5:
        best = None
    return Outcome(drawn=drawn, detail=best, pieces=len(inside), elsewhere=len(details) - len(inside), seconds=seconds)


def _shared(drawn: Drawn, detail: Detail) -> float:
    """Share of the drawn ink that a detail holds, within a pixel."""
    box, scale = detail.box_px, detail.mask_scale
    held = np.zeros(drawn.artwork.srgb8.shape[:2], dtype=np.bool_)
    fine = detail.mask.repeat(scale, axis=0).repeat(scale, axis=1)[: box.height, : box.width]
    held[box.y0 : box.y1, box.x0 : box.x1] = fine
    held = ndimage.binary_dilation(held, iterations=scale)[drawn.box.y0 : drawn.box.y1, drawn.box.x0 : drawn.box.x1]
    return float(held[drawn.inked].mean())


def lines_of(poster: Poster) -> tuple[Line, ...]:
    """Hand on a drawn poster's lines as if they had been found."""
    return tuple(
        Line(
            box_px=Box(x0=int(x0), y0=int(y0), x1=int(x1) + 1, y1=int(y1) + 1),
            mask=(mask := np.ones((int(y1) + 1 - int(y0), int(x1) + 1 - int(x0)), dtype=np.bool_)),
            core=mask,
            ink_srgb8=line.ink_srgb8,
            ground_srgb8=line.ground_srgb8,
            cap_px=line.cap_px,
            x_px=line.x_px,
            letter_px=line.letter_px,
            stroke_px=0.12 * line.letter_px,
        )
        for line in poster.lines
        for x0, y0, x1, y1 in (line.box_px,)
    )


def false_patches(seeds: Sequence[int], *, told: bool) -> None:
    """Print what is found on posters that have no detail but rules and frames."""
    for kind in (*GROUNDS, "photo"):
        found: list[Detail] = []
        for seed in seeds:
            poster = draw_poster(seed, kind, tuning_faces(), ppi=150.0, art=False)
            found.extend(find_details(poster.artwork(), lines_of(poster) if told else ()))
        kinds = ", ".join(sorted(f"{one.kind} ({one.confidence:.2f})" for one in found if one.kind != "rule"))
        given = "lines told" if told else "no lines"
        print(f"no detail, {kind:8s} {given:10s} {len(seeds)} posters: {kinds or 'nothing'}")


def report(name: str, outcomes: Sequence[Outcome]) -> None:
    """Print one line."""
    found = [one for one in outcomes if one.detail is not None]
    line = f"{name:18s} n {len(outcomes):3d}  found {len(found) / len(outcomes):4.2f}"
    if found:
        ratio, width = (np.array([one.errors[n] for one in found]) for n in (0, 1))
        pitch = np.array([one.errors[2] for one in found if one.errors[2] is not None])
        line += (
            f"  ratio within 10 % {np.mean(abs(ratio) <= 0.1):4.2f}, 90 % within {np.quantile(abs(ratio), 0.9):5.1%}"
        )
        line += (
            f"  width within 15 % {np.mean(abs(width) <= 0.15):4.2f}, 90 % within {np.quantile(abs(width), 0.9):5.1%}"
        )
        if len(pitch):
            line += f"  pitch 90 % within {np.quantile(abs(pitch), 0.9):5.1%}"
    pieces, elsewhere = (np.mean([getattr(one, n) for one in outcomes]) for n in ("pieces", "elsewhere"))
    print(line + f"  pieces {pieces:4.2f}  elsewhere {elsewhere:4.2f}  {np.mean([o.seconds for o in outcomes]):4.2f} s")


def main() -> None:
    """Draw, find, compare, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=4, help="patches of each kind and resolution")
    parser.add_argument("--first", type=int, default=1000, help="first seed")
    parser.add_argument("--jpeg", action="store_true", help="save as JPEG of quality 90 before looking")
    parser.add_argument("--list", action="store_true", help="print what is off")
    options = parser.parse_args()
    outcomes = [
        outcome(draw(seed, kind, ppi, jpeg=options.jpeg))
        for kind in KINDS
        for ppi in PPIS
        for seed in range(options.first, options.first + options.seeds)
    ]
    for kind in KINDS:
        report(kind, [one for one in outcomes if one.drawn.kind == kind])
    for ppi in PPIS:
        report(f"{ppi:.0f} ppi", [one for one in outcomes if one.drawn.ppi == ppi])
    for low, high in ((0, 1), (1, 2), (2, 3), (3, 99)):
        chosen = [one for one in outcomes if low <= one.drawn.width_mm * one.drawn.ppi / 25.4 < high]
        if chosen:
            report(f"{low} to {high} px wide", chosen)
    report("all", outcomes)
    for told in (True, False):
        false_patches(range(options.first, options.first + options.seeds), told=told)
    if options.list:
        for one in outcomes:
            drawn = one.drawn
            off = one.detail is None or abs(one.errors[0]) > 0.1 or abs(one.errors[1]) > 0.15 or one.pieces > 1
            if off:
                said = "not found" if one.detail is None else "ratio {:+.0%} width {:+.0%}".format(*one.errors[:2])
                wide = drawn.width_mm * drawn.ppi / 25.4
                print(drawn.kind, f"{drawn.ppi:.0f} ppi, {wide:.2f} px, ratio {drawn.ratio:.2f}:", said, one.pieces)


if __name__ == "__main__":
    main()
