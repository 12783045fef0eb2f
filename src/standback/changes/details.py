"""What would mend fine detail: darken, then thicken, then space out; offered only if measured again clear."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from itertools import chain
from math import ceil

from standback.changes.colours import moves_enough
from standback.changes.lines import LEAST_GROWTH
from standback.changes.offer import Offer
from standback.changes.shapes import shape_offer
from standback.changes.words import positive_instead
from standback.checks.printing import hairline_limit_mm
from standback.elements import DRAWN_SHAPE, Detail, Srgb8
from standback.findings import Redraw
from standback.light import contrast_ratio, luminance1_of, nearest_ink, to_hex
from standback.measure.again import Scene
from standback.measure.details import representative
from standback.measure.look import Look
from standback.measure.model import DetailMeasurement
from standback.measure.notice import noticed_from_m, target_of_ink
from standback.measure.redraw import detail_again
from standback.numbers import distance, millimetres, ratio

RATIO_STEPS = (1.0, 1.03, 1.1, 1.3, 1.7, 2.2, 3.0, 4.0, 5.5, 7.0)
MOST_RATIO = 21.0
WIDER = (1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 6.0, 8.0)
"""Widths tried, as multiples of today's; strokes never wider than the gaps they leave (ours)."""
WIDEST_SHARE = 0.5
LARGEST_GROWTH = 8.0
"""Beyond this the drawing is another drawing (ours)."""
HAIR_STEP_MM = 0.01
"""Widths of hairlines are offered in steps of this (ours)."""
TO_SPARE = 1.02


def detail_change(
    details: Sequence[DetailMeasurement], scene: Scene, failed: Collection[tuple[str, str]]
) -> Offer | None:
    """Return the change that clears the worst patch, and say whether the others are mended likewise.

    Parameters
    ----------
    failed
        Elements and the checks that they should no longer fail.
    """
    offers = [_offer(m, scene, {check for element, check in failed if element == m.id}) for m in details]
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


def _offer(m: DetailMeasurement, scene: Scene, asked: Collection[str]) -> Offer | None:
    """Return the mildest change that clears what is asked for, None where none does."""
    if m.detail.kind == DRAWN_SHAPE:
        return shape_offer(m, scene)
    found = next(_clear(m, scene, asked), None)
    if found is None and len(asked) > 1 and "faint-detail" in asked:
        # what can't be told apart from far can still be dark enough for those who walk up
        return _offer(m, scene, set(asked) - {"detail-lost"})
    if found is None:
        return None
    look, resolve_m = found
    ink = look.ink or m.detail.ink_srgb8
    redraw = Redraw(element=m.id, ink=ink, ground=m.detail.ground_srgb8, heavier=look.heavier, enlarged=look.enlarged)
    drawn = ink != m.detail.ink_srgb8 or look.heavier > 1
    return Offer(says=_in_words(m, look, resolve_m), redraws=(redraw,) if drawn else ())


def _clear(m: DetailMeasurement, scene: Scene, asked: Collection[str]) -> Iterator[tuple[Look, float | None]]:
    """Try the mildest first; yield what clears, and from where it is told apart then if that was asked."""
    patch, far_m = representative(m.detail), m.far_m
    least = _least_width(m, scene) if "hairline" in asked else 1.0
    inks = list(_inks(m)) if "faint-detail" in asked or "detail-lost" in asked else [m.detail.ink_srgb8]
    ends = inks[:1] + inks[-1:]
    darker = (Look(ink=ink, heavier=least) for ink in inks if ink != m.detail.ink_srgb8 or least > 1)
    wider = (Look(ink=ink, heavier=w) for ink in ends for w in _widths(m) if w > least)
    lost = "detail-lost" in asked
    for look in chain(darker, wider if lost else ()):
        resolve_m = _resolve_m(patch, look, scene) if lost else None
        if (resolve_m is None or resolve_m >= far_m) and _holds(m, patch, look, scene, asked):
            yield look, resolve_m
    for look in (Look(ink=ink, heavier=least) for ink in ends) if lost else ():
        resolve_m = _resolve_m(patch, look, scene)
        larger = max(LEAST_GROWTH, TO_SPARE * far_m / max(resolve_m, 1e-9))
        if larger <= LARGEST_GROWTH and _holds(m, patch, look, scene, asked):
            yield replace(look, enlarged=larger), larger * resolve_m


def _least_width(m: DetailMeasurement, scene: Scene) -> float:
    """Return the multiple of today's width that prints, in steps that can be typed."""
    limit_mm = hairline_limit_mm(m.detail.ink_srgb8, m.detail.ground_srgb8, scene.settings.limits)
    steps = ceil(TO_SPARE * limit_mm / HAIR_STEP_MM - 1e-9)
    return max(1.0, steps * HAIR_STEP_MM / m.detail.feature_mm)


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
        if new not in seen and moves_enough(ink, new):
            seen.add(new)
            yield new


def _widths(m: DetailMeasurement) -> tuple[float, ...]:
    pitch = m.detail.pitch_mm
    return tuple(w for w in WIDER if pitch is None or w * m.detail.feature_mm <= WIDEST_SHARE * pitch)


def _resolve_m(patch: Detail, look: Look, scene: Scene) -> float:
    """Return from where the patch, redrawn, is both noticed and told apart."""
    targets = (
        target_of_ink(patch, scene.artwork, scene.sheet, look, pitch_mm=pitch) for pitch in {None, patch.pitch_mm}
    )
    return min(noticed_from_m(target, scene.settings) for target in targets)


def _holds(m: DetailMeasurement, patch: Detail, look: Look, scene: Scene, asked: Collection[str]) -> bool:
    """Whether the patch, redrawn and found again, has the contrast and the width asked for.

    What grew too wide to count as fine detail is not found, and neither faint nor too thin to print.
    """
    if not {"faint-detail", "hairline"}.intersection(asked):
        return True
    again = detail_again(patch, scene.artwork, look)
    if again is None:
        return look.heavier > 1
    limit_mm = hairline_limit_mm(again.ink_srgb8, again.ground_srgb8, scene.settings.limits)
    dark = "faint-detail" not in asked or again.ratio >= m.ratio_wanted
    return dark and ("hairline" not in asked or again.feature_mm >= limit_mm)


def _in_words(m: DetailMeasurement, look: Look, resolve_m: float | None) -> str:
    detail = m.detail
    steps = []
    if look.ink is not None and look.ink != detail.ink_srgb8:
        verb = "darken" if luminance1_of(look.ink) < luminance1_of(detail.ink_srgb8) else "lighten"
        contrast = ratio(contrast_ratio(look.ink, detail.ground_srgb8))
        steps.append(f"{verb} it from {to_hex(detail.ink_srgb8)} to {to_hex(look.ink)} ({contrast})")
    if look.heavier > 1:
        width_mm = look.heavier * detail.feature_mm
        steps.append(f"draw it {millimetres(width_mm)} wide, now {millimetres(detail.feature_mm)}")
    if look.enlarged > 1:
        pitch = "" if detail.pitch_mm is None else f" and {millimetres(look.enlarged * detail.pitch_mm)} apart"
        width = millimetres(look.enlarged * detail.feature_mm)
        steps.append(f"space it out: {width} wide{pitch}, {look.enlarged:.1f} times as large")
    said = " and ".join(steps)
    then = "" if resolve_m is None else f": then it is told apart from {distance(resolve_m)}"
    says = f"{said[0].upper()}{said[1:]}{then}."
    if look.heavier > 1 and resolve_m is None:
        return " ".join((says, *positive_instead(detail.ink_srgb8, detail.ground_srgb8)))
    return says
