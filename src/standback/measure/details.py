"""Fine detail x artwork -> measurements: from where it is noticed, from where its parts are told apart."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from standback.artwork import Artwork
from standback.elements import Box, Detail, Figure, Line
from standback.measure.codes import measure_code
from standback.measure.model import DetailMeasurement, SeenAt
from standback.measure.notice import Adapting, jnd_of, noticed_from_m, target_of_ink
from standback.measure.tiers import near_colours
from standback.settings import Settings, Station
from standback.target import Target

MAIN_SHARE = 0.05
"""A figure that takes up less of the sheet is not what it shows (ours)."""
MOST_SAMPLES = 640
"""Of a larger patch the part with the most ink is looked at: its parts are alike (ours)."""


def measure_details(
    details: Sequence[Detail],
    lines: Sequence[Line],
    figures: Sequence[Figure],
    artwork: Artwork,
    settings: Settings,
    places: Sequence[Station],
    sheet: Adapting,
    names: Sequence[str | None],
) -> tuple[DetailMeasurement, ...]:
    """Measure every patch, in the order given: ids D01, D02, ... follow it.

    Parameters
    ----------
    names
        What the brief calls each patch, None where it is silent.
    """
    large = (figure for figure in figures if figure.area_share >= MAIN_SHARE)
    main = max(large, key=lambda figure: figure.area_share, default=None)
    measured = []
    for index, (detail, name) in enumerate(zip(details, names, strict=True), start=1):
        sample = representative(detail)
        whole = target_of_ink(sample, artwork, sheet)
        pitched = detail.pitch_mm is not None
        parts = target_of_ink(sample, artwork, sheet, pitch_mm=detail.pitch_mm) if pitched else whole
        carry = noticed_from_m(whole, settings)
        resolve = noticed_from_m(parts, settings) if pitched else carry
        measured.append(
            DetailMeasurement(
                id=f"D{index:02d}",
                detail=detail,
                box_mm=artwork.box_mm(detail.box_px),
                ratio_wanted=settings.limits.detail_ratio,
                far_m=places[0].distance_m,
                px_per_mm=artwork.px_per_mm,
                carry_m=carry,
                resolve_m=min(resolve, carry),
                seen=tuple(_seen_at(parts, s, min(resolve, carry), carry, settings) for s in places),
                in_main_figure=main is not None and _inside(detail.box_px, main.box_px),
                text_colour=detail.pitch_mm is None
                and any(near_colours(detail.ink_srgb8, line.ink_srgb8) for line in lines),
                name=name,
                doubts=detail.doubts,
                code=measure_code(detail, artwork),
            )
        )
    return tuple(measured)


def representative(detail: Detail, most_samples: int = MOST_SAMPLES) -> Detail:
    """Return the part of a large patch that holds the most ink, small ones as they are."""
    height, width = detail.mask.shape
    if height <= most_samples and width <= most_samples:
        return detail
    rows, columns = min(height, most_samples), min(width, most_samples)
    sums = np.pad(detail.mask.cumsum(axis=0, dtype=np.int64).cumsum(axis=1), ((1, 0), (1, 0)))
    ink = sums[rows:, columns:] - sums[:-rows, columns:] - sums[rows:, :-columns] + sums[:-rows, :-columns]
    top, left = np.unravel_index(int(ink.argmax()), ink.shape)
    scale, box = detail.mask_scale, detail.box_px
    x0, y0 = box.x0 + int(left) * scale, box.y0 + int(top) * scale
    return replace(
        detail,
        box_px=Box(x0=x0, y0=y0, x1=min(x0 + columns * scale, box.x1), y1=min(y0 + rows * scale, box.y1)),
        mask=detail.mask[top : top + rows, left : left + columns],
    )


def _seen_at(parts: Target, station: Station, resolve_m: float, carry_m: float, settings: Settings) -> SeenAt:
    distance_m = station.distance_m
    return SeenAt(
        station=station.name,
        ratio=None,
        block_ratio=None,
        jnd=jnd_of(parts, distance_m, settings),
        css_px=None,
        state="reads" if resolve_m >= distance_m else "noticed" if carry_m >= distance_m else "lost",
    )


def _inside(box: Box, other: Box) -> bool:
    return 2 * box.overlap(other) > box.area
