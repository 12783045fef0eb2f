"""Whether a line is noticed from afar: how far its own ink is above the threshold of detection."""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from standback.artwork import Artwork
from standback.elements import Srgb8
from standback.light import luminance1
from standback.measure.redraw import RIM_SAMPLES, Inked, redrawn, surroundings
from standback.settings import Settings
from standback.stock import Stock
from standback.visibility import NOTICED_JND, Target, carry_m, element_jnd, target_of

ADAPTING_PX_PER_MM = 1.0
"""The eye adapts to averages over half a degree: this fine is fine enough for them (ours)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Adapting:
    """The sheet's luminance, coarse, for what the eye adapts to: (h, w) float32 and its samples a mm."""

    sheet1: npt.NDArray[np.float32]
    px_per_mm: float
    stock: Stock | None = None

    def light1(self, linear: npt.ArrayLike) -> npt.NDArray[np.float32]:
        """Return the luminance of linear colours as a share of the paper's: as printed, where a stock is named."""
        exported1 = luminance1(linear)
        light1 = exported1 if self.stock is None else self.stock.of_paper1(exported1)
        return np.asarray(light1, dtype=np.float32)


def adapting(artwork: Artwork, stock: Stock | None = None) -> Adapting:
    """Return the sheet as the eye adapts to it: the coarsest level of the pyramid that is fine enough."""
    fine = [level for level in artwork.levels if artwork.px_per_mm / level.scale >= ADAPTING_PX_PER_MM]
    level = (fine or artwork.levels[:1])[-1]
    px_per_mm = artwork.px_per_mm / level.scale
    bare = Adapting(sheet1=np.empty((0, 0), np.float32), px_per_mm=px_per_mm, stock=stock)
    return replace(bare, sheet1=bare.light1(level.linear))


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
    wanted_jnd = NOTICED_JND / viewer.contrast_factor
    return carry_m(target, luminance_cdm2=settings.luminance_cdm2, wanted_jnd=wanted_jnd) / viewer.sharp_m(1.0)


def target_of_ink(
    line: Inked, artwork: Artwork, sheet: Adapting, *, ink: Srgb8 | None = None, ground: Srgb8 | None = None
) -> Target:
    """Make a line or a detail ready to be looked at: the artwork minus the same with no ink.

    Parameters
    ----------
    ink, ground
        Colours to redraw the line in, those of the artwork where None.
    """
    scale = line.mask_scale
    around = surroundings(line, artwork, 2 * RIM_SAMPLES * scale)
    new_ground = ground or line.ground_srgb8
    with_ink, without = redrawn(line, artwork, ink=new_ground, ground=new_ground, around=around)
    if ink is not None or ground is not None:
        _, with_ink = redrawn(line, artwork, ink=ink or line.ink_srgb8, ground=new_ground, around=around)
    left_mm, top_mm, _, _ = artwork.box_mm(around)
    return target_of(
        sheet.light1(with_ink),
        sheet.light1(without),
        px_per_mm=artwork.px_per_mm / scale,
        sheet1=sheet.sheet1,
        sheet_px_per_mm=sheet.px_per_mm,
        at_mm=(left_mm, top_mm),
    )
