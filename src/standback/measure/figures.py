"""Large figures x artwork -> measurements: from where they are noticed."""

from collections.abc import Sequence

import numpy as np

from standback.artwork import Artwork
from standback.elements import Figure
from standback.light import srgb8_to_linear
from standback.measure.model import FigureMeasurement, SeenAt
from standback.measure.notice import Adapting, jnd_of, noticed_from_m
from standback.settings import Settings, Station
from standback.target import Target, target_of


def measure_figures(
    figures: Sequence[Figure],
    artwork: Artwork,
    settings: Settings,
    places: Sequence[Station],
    sheet: Adapting,
    names: Sequence[str | None],
) -> tuple[FigureMeasurement, ...]:
    """Measure every figure, in the order given: ids F01, F02, ... follow it.

    Parameters
    ----------
    names
        What the brief calls each figure, None where it is silent.
    """
    measured = []
    for index, (figure, name) in enumerate(zip(figures, names, strict=True), start=1):
        target = figure_target(figure, artwork, sheet)
        carry = noticed_from_m(target, settings)
        measured.append(
            FigureMeasurement(
                id=f"F{index:02d}",
                figure=figure,
                box_mm=artwork.box_mm(figure.box_px),
                ratio_wanted=settings.limits.detail_ratio,
                far_m=places[0].distance_m,
                carry_m=carry,
                seen=tuple(_seen_at(target, s, carry, settings) for s in places),
                name=name,
                doubts=figure.doubts,
            )
        )
    return tuple(measured)


def figure_target(figure: Figure, artwork: Artwork, sheet: Adapting) -> Target:
    """Return the figure in its mean colour against its surroundings in theirs."""
    ground1, colour1 = (
        float(sheet.light1(srgb8_to_linear(np.array(c, dtype=np.uint8))))
        for c in (figure.ground_srgb8, figure.colour_srgb8)
    )
    mask = np.pad(figure.mask, 1)
    without = np.full(mask.shape, ground1, dtype=np.float32)
    left_mm, top_mm, _, _ = artwork.box_mm(figure.box_px)
    sample_mm = figure.mask_scale / artwork.px_per_mm
    return target_of(
        np.where(mask, np.float32(colour1), without),
        without,
        px_per_mm=1 / sample_mm,
        sheet=sheet.sheet,
        at_mm=(left_mm - sample_mm, top_mm - sample_mm),
    )


def _seen_at(target: Target, station: Station, carry_m: float, settings: Settings) -> SeenAt:
    return SeenAt(
        station=station.name,
        ratio=None,
        block_ratio=None,
        jnd=jnd_of(target, station.distance_m, settings),
        css_px=None,
        state="noticed" if carry_m >= station.distance_m else "lost",
    )
