"""Lines and measurements made by hand, for tables of checks."""

from dataclasses import replace
from typing import Any

import numpy as np

from standback.colour_vision import VISIONS, contrast_ratio_for
from standback.elements import Box, Line, Mask, Srgb8
from standback.light import contrast_ratio
from standback.measure.model import Measurement, SeenAt, ViewerReach, VisionRatio

PX_PER_MM = 4.0
FAR_M = 5.0
STATIONS_M = {"far": FAR_M, "mid": 2.0, "near": 0.5}
STATION_OF_TIER = {"lead": "far", "support": "mid", "small": "near"}


def text_line(
    *,
    cap_px: float | None = 20.0,
    x_px: float | None = None,
    ink: Srgb8 = (0, 0, 0),
    ground: Srgb8 = (255, 255, 255),
    at: tuple[int, int] = (100, 100),
    size_px: tuple[int, int] = (200, 20),
) -> Line:
    mask = np.ones((2, 2), dtype=np.bool_)
    return Line(
        box_px=Box(x0=at[0], y0=at[1], x1=at[0] + size_px[0], y1=at[1] + size_px[1]),
        mask=mask,
        core=mask,
        ink_srgb8=ink,
        ground_srgb8=ground,
        cap_px=cap_px,
        x_px=x_px,
        letter_px=x_px or cap_px or 15.0,
        stroke_px=(x_px or cap_px or 15.0) / 6,
    )


def set_at(
    name: str,
    left_mm: float,
    width_mm: float,
    top_mm: float,
    *,
    cap_mm: float = 5.0,
    mask: Mask | None = None,
    **about: Any,
) -> Measurement:
    """A line of so high capitals at a place of the sheet, of 4 px a mm."""
    x0, y0, x1, y1 = (round(PX_PER_MM * v) for v in (left_mm, top_mm, left_mm + width_mm, top_mm + cap_mm))
    letters = np.ones((4, 50), dtype=np.bool_) if mask is None else mask
    type_ = text_line(cap_px=PX_PER_MM * cap_mm, at=(x0, y0), size_px=(x1 - x0, y1 - y0))
    return measured(name, line=replace(type_, mask=letters, core=letters, **about))


def measured(
    name: str = "L01",
    *,
    line: Line | None = None,
    ratio: float | None = None,
    wanted: float = 4.5,
    reach_m: float = 20.0,
    tier: str = "support",
    tier_from: str = "guess",
    worst: float | None = None,
    seen_ratio: float = 10.0,
    jnd: float = 50.0,
    block_ratio: float | None = 3.0,
    inks: float | None = None,
    masked: float | None = None,
    alone: bool = False,
) -> Measurement:
    line = line or text_line()
    box = line.box_px
    station = STATION_OF_TIER[tier]
    mm = 1 / PX_PER_MM
    letter_mm = line.letter_px * mm
    return Measurement(
        id=name,
        line=line,
        box_mm=(box.x0 * mm, box.y0 * mm, box.x1 * mm, box.y1 * mm),
        ratio=contrast_ratio(line.ink_srgb8, line.ground_srgb8) if ratio is None else ratio,
        ratio_worst=100.0 if worst is None else worst,
        ratio_wanted=wanted,
        tier=tier,
        tier_from=tier_from,
        station=station,
        station_m=STATIONS_M[station],
        mid_m=STATIONS_M["mid"],
        far_m=STATIONS_M["far"],
        cap_mm=None if line.cap_px is None else line.cap_px * mm,
        x_mm=None if line.x_px is None else line.x_px * mm,
        letter_mm=letter_mm,
        stroke_mm=line.stroke_px * mm,
        em_mm=letter_mm / 0.71,
        px_per_mm=PX_PER_MM,
        inks=inks,
        reach_m=reach_m,
        reach=(ViewerReach(viewer="public", m=reach_m),),
        limit_m=2 * reach_m,
        carry_m=4 * reach_m,
        seen=tuple(
            SeenAt(
                station=name,
                ratio=seen_ratio,
                block_ratio=block_ratio,
                jnd=jnd,
                css_px=30.0,
                state="reads",
            )
            for name in STATIONS_M
        ),
        doubts=line.doubts,
        ratio_masked=masked,
        alone=alone,
        vision=tuple(
            VisionRatio(vision=vision, ratio=contrast_ratio_for(vision, line.ink_srgb8, line.ground_srgb8))
            for vision in VISIONS
        ),
    )
