"""What would mend fine detail: darken, then thicken, then space out; offered only if measured again clear."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.ndimage import distance_transform_edt

from standback.changes.offer import Offer
from standback.elements import Detail, Srgb8
from standback.findings import Redraw
from standback.light import contrast_ratio, luminance1_of, nearest_ink, srgb8_to_linear, to_hex
from standback.measure.again import Scene
from standback.measure.details import representative
from standback.measure.model import DetailMeasurement
from standback.measure.notice import noticed_from_m
from standback.measure.redraw import RIM_SAMPLES, redrawn, surroundings
from standback.numbers import distance, millimetres, ratio
from standback.visibility import Target, parts_of, target_of

RATIO_STEPS = (1.0, 1.3, 1.7, 2.2, 3.0, 4.0, 5.5, 7.0)
MOST_RATIO = 21.0
WIDER = (1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 6.0, 8.0)
"""Widths tried, as multiples of today's; strokes never wider than the gaps they leave (ours)."""
WIDEST_SHARE = 0.5
LARGEST_GROWTH = 8.0
"""Beyond this the drawing is another drawing (ours)."""


def detail_change(details: Sequence[DetailMeasurement], scene: Scene) -> Offer | None:
    """Return the change that clears the worst patch, and say whether the others are mended likewise."""
    offers = [next(_offers(m, scene), None) for m in details]
    first = offers[0]
    if first is None:
        return None
    redraws = tuple(redraw for offer in offers if offer is not None for redraw in offer.redraws)
    rest = offers[1:]
    if not rest:
        return first
    mended = sum(offer is not None for offer in rest)
    others = "The other one" if len(rest) == 1 else f"Each of the other {len(rest)}"
    likewise = f"{others} likewise, in its own colour." if mended == len(rest) else ""
    return Offer(says=f"{details[0].id}: {first.says} {likewise}".strip(), redraws=redraws)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Look:
    ink: Srgb8
    wider: float = 1.0
    larger: float = 1.0


def _offers(m: DetailMeasurement, scene: Scene) -> Iterator[Offer]:
    """Try the mildest first; each that clears is put in words."""
    patch = representative(m.detail)
    inks = list(_inks(m))
    darker = [_Look(ink=ink) for ink in inks if ink != m.detail.ink_srgb8]
    wider = [_Look(ink=ink, wider=w) for ink in (inks[:1] + inks[-1:]) for w in _widths(m)]
    for look in (*darker, *wider):
        resolve_m = _resolve_m(patch, look, scene)
        if resolve_m >= m.far_m:
            yield _offer(m, look, resolve_m)
    for look in (_Look(ink=ink) for ink in inks[:1] + inks[-1:]):
        resolve_m = _resolve_m(patch, look, scene)
        larger = 1.02 * m.far_m / max(resolve_m, 1e-9)
        if larger <= LARGEST_GROWTH:
            yield _offer(m, replace(look, larger=larger), larger * resolve_m)


def _inks(m: DetailMeasurement) -> Iterator[Srgb8]:
    """Yield the ink as it is if its contrast will do, then stronger ones on the same side of the ground."""
    ink, ground = m.detail.ink_srgb8, m.detail.ground_srgb8
    if m.detail.ratio >= m.ratio_wanted:
        yield ink
    base = max(m.ratio_wanted, m.detail.ratio)
    seen = {ink}
    for step in RATIO_STEPS:
        wanted = min(step * base, MOST_RATIO)
        new = nearest_ink(
            ink, ground, wanted, side="darker" if luminance1_of(ink) < luminance1_of(ground) else "lighter"
        )
        if new is None:
            return
        if new not in seen:
            seen.add(new)
            yield new


def _widths(m: DetailMeasurement) -> tuple[float, ...]:
    pitch = m.detail.pitch_mm
    return tuple(w for w in WIDER if pitch is None or w * m.detail.feature_mm <= WIDEST_SHARE * pitch)


def _resolve_m(patch: Detail, look: _Look, scene: Scene) -> float:
    """Return from where the patch, redrawn, is both noticed and told apart."""
    return min(noticed_from_m(target, scene.settings) for target in _targets(patch, look, scene))


def _targets(patch: Detail, look: _Look, scene: Scene) -> Iterator[Target]:
    artwork, scale = scene.artwork, patch.mask_scale
    px_per_mm = artwork.px_per_mm / scale
    extra = (look.wider - 1) * patch.feature_mm * px_per_mm / 2
    around = surroundings(patch, artwork, (2 * RIM_SAMPLES + extra) * scale)
    ground = patch.ground_srgb8
    _, without = redrawn(patch, artwork, ink=ground, ground=ground, around=around)
    without1 = scene.sheet.light1(without)
    if look.wider == 1.0:
        _, inked = redrawn(patch, artwork, ink=look.ink, ground=ground, around=around)
        with1 = scene.sheet.light1(inked)
    else:
        mask = np.zeros(without1.shape, dtype=np.bool_)
        top, left = (patch.box_px.y0 - around.y0) // scale, (patch.box_px.x0 - around.x0) // scale
        height, width = patch.mask.shape
        mask[top : top + height, left : left + width] = patch.mask
        cover = np.clip(extra + 0.5 - distance_transform_edt(~mask) + 0.5, 0.0, 1.0).astype(np.float32)
        ink1, ground1 = (scene.sheet.light1(srgb8_to_linear(colour)) for colour in (look.ink, ground))
        with1 = without1 + cover * (ink1 - ground1)
    left_mm, top_mm, _, _ = artwork.box_mm(around)
    sheet1, sheet_px_per_mm = scene.sheet.sheet1, scene.sheet.px_per_mm
    yield target_of(
        with1,
        without1,
        px_per_mm=px_per_mm,
        sheet1=sheet1,
        sheet_px_per_mm=sheet_px_per_mm,
        at_mm=(left_mm, top_mm),
    )
    if patch.pitch_mm is not None:
        yield parts_of(
            with1,
            without1,
            pitch_mm=patch.pitch_mm,
            px_per_mm=px_per_mm,
            sheet1=sheet1,
            sheet_px_per_mm=sheet_px_per_mm,
            at_mm=(left_mm, top_mm),
        )


def _offer(m: DetailMeasurement, look: _Look, resolve_m: float) -> Offer:
    recoloured = look.ink != m.detail.ink_srgb8
    redraw = Redraw(element=m.id, ink=look.ink, ground=m.detail.ground_srgb8)
    return Offer(says=_in_words(m, look, resolve_m), redraws=(redraw,) if recoloured else ())


def _in_words(m: DetailMeasurement, look: _Look, resolve_m: float) -> str:
    detail = m.detail
    steps = []
    if look.ink != detail.ink_srgb8:
        verb = "darken" if luminance1_of(look.ink) < luminance1_of(detail.ink_srgb8) else "lighten"
        contrast = ratio(contrast_ratio(look.ink, detail.ground_srgb8))
        steps.append(f"{verb} it from {to_hex(detail.ink_srgb8)} to {to_hex(look.ink)} ({contrast})")
    if look.wider > 1:
        width_mm = look.wider * detail.feature_mm
        steps.append(f"draw it {millimetres(width_mm)} wide, now {millimetres(detail.feature_mm)}")
    if look.larger > 1:
        pitch = "" if detail.pitch_mm is None else f" and {millimetres(look.larger * detail.pitch_mm)} apart"
        width = millimetres(look.larger * detail.feature_mm)
        steps.append(f"space it out: {width} wide{pitch}, {look.larger:.1f} times as large")
    said = " and ".join(steps)
    return f"{said[0].upper()}{said[1:]}: then it is told apart from {distance(resolve_m)}."
