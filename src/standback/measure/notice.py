"""Whether a line is noticed from afar: how far its own ink is above the threshold of detection."""

from dataclasses import dataclass
from functools import partial

import numpy as np
import numpy.typing as npt

from standback.artwork import Artwork
from standback.light import luminance1
from standback.measure.look import Look
from standback.measure.redraw import RIM_SAMPLES, Canvas, Inked, growth_px, surroundings
from standback.settings import Settings
from standback.stock import Stock
from standback.target import SheetLight, Target, parts_of, target_of
from standback.visibility import carry_m, element_jnd

ADAPTING_PX_PER_MM = 1.0
"""The eye adapts to averages over half a degree: this fine is fine enough for them (ours)."""
AS_IT_IS = Look()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Adapting:
    """The sheet's luminance, coarse, for what the eye adapts to, and the stock that it is printed on, if any."""

    sheet: SheetLight
    stock: Stock | None = None

    def light1(self, linear: npt.ArrayLike) -> npt.NDArray[np.float32]:
        """Return the luminance of linear colours as a share of the paper's: as printed, where a stock is named."""
        return _light1(linear, self.stock)


def adapting(artwork: Artwork, stock: Stock | None = None) -> Adapting:
    """Return the sheet as the eye adapts to it: the coarsest level of the pyramid that is fine enough."""
    fine = [level for level in artwork.levels if artwork.px_per_mm / level.scale >= ADAPTING_PX_PER_MM]
    level = (fine or artwork.levels[:1])[-1]
    sheet = SheetLight.of(_light1(level.linear, stock), artwork.px_per_mm / level.scale)
    return Adapting(sheet=sheet, stock=stock)


def _light1(linear: npt.ArrayLike, stock: Stock | None) -> npt.NDArray[np.float32]:
    exported1 = luminance1(linear)
    return np.asarray(exported1 if stock is None else stock.of_paper1(exported1), dtype=np.float32)


def jnd_of(target: Target, distance_m: float, settings: Settings) -> float:
    """Return how many times above the threshold of detection the viewer sees an element.

    Less sharp eyes see it as from farther away (science of angles, first order), and those that make use
    of less contrast less far above their threshold.
    """
    viewer = settings.viewer
    jnd = element_jnd(target, viewer.sharp_m(distance_m), luminance_cdm2=settings.luminance_cdm2)
    return jnd * viewer.contrast_factor


def noticed_from_m(target: Target, settings: Settings) -> float:
    """Return the farthest distance in m from which the viewer notices an element."""
    viewer = settings.viewer
    wanted_jnd = settings.limits.noticed_jnd / viewer.contrast_factor
    return carry_m(target, luminance_cdm2=settings.luminance_cdm2, wanted_jnd=wanted_jnd) / viewer.sharp_m(1.0)


def target_of_ink(
    inked: Inked, artwork: Artwork, sheet: Adapting, look: Look = AS_IT_IS, *, pitch_mm: float | None = None
) -> Target:
    """Make a line or a detail ready to be looked at: the artwork minus the same with no ink.

    Parameters
    ----------
    look
        How to redraw it; its size is left out.
    pitch_mm
        Look at its parts, so far apart, against the tone that they melt into.
    """
    around = surroundings(inked, artwork, 2 * RIM_SAMPLES * inked.mask_scale + growth_px(inked, artwork, look))
    canvas = Canvas.of(inked, artwork, around)
    left_mm, top_mm, _, _ = artwork.box_mm(around)
    look_at = target_of if pitch_mm is None else partial(parts_of, pitch_mm=pitch_mm)
    return look_at(
        sheet.light1(canvas.with_ink(look)),
        sheet.light1(canvas.without_ink(look)),
        px_per_mm=artwork.px_per_mm / inked.mask_scale,
        sheet=sheet.sheet,
        at_mm=(left_mm, top_mm),
    )
