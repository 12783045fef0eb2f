"""What is left of a line's strokes at a distance, and how far it reads, from how it is drawn: no finder has a say."""

import numpy as np

from standback import eye
from standback.light import luminance1, ratio_of_luminances, srgb8_to_linear
from standback.settings import PUBLIC, Settings
from standback.sheet import px_per_deg
from standback.viewing import see
from synth.colours import Srgb8, ratio
from synth.plans import Setting
from synth.sheet import Sheet
from synth.strokes import true_stroke_px

FINE_PPI = 300.0


def melted(line: Setting, ground: Srgb8, distance_m: float) -> tuple[float, float]:
    """Return the seen ratio of a line's strokes to the spaces between them from a distance, and its reach in m."""
    settings = Settings()
    pupil_mm = eye.pupil_diameter_mm(settings.luminance_cdm2)
    height_mm = 4 * line.em_mm
    sheet = Sheet(line.width_mm + 4 * line.em_mm, height_mm, FINE_PPI, ground)
    true = sheet.text(
        line.text,
        line.face,
        line.ink,
        (2 * line.em_mm, 0.6 * height_mm),
        cap_mm=line.cap_mm,
        x_mm=line.x_mm,
        tracking_em=line.tracking_em,
    )
    linear1 = luminance1(srgb8_to_linear(sheet.pixels))
    seen1 = see(linear1, px_per_deg(sheet.px_per_mm, distance_m), pupil_mm)
    x0, y0, x1, y1 = (round(v) for v in true.box_px)
    part = sheet.pixels[y0:y1, x0:x1]
    cores, spaces = ((part == np.array(colour, dtype=np.uint8)).all(axis=2) for colour in (line.ink, ground))
    seen = [float(seen1[y0:y1, x0:x1][where].mean(dtype=np.float64)) for where in (cores, spaces)]
    reach_m = eye.reach_m(
        height_mm=true.letter_px / sheet.px_per_mm,
        stroke_mm=true_stroke_px(true) / sheet.px_per_mm,
        ratio=ratio(line.ink, ground),
        k=PUBLIC.k,
        pupil_mm=pupil_mm,
        luminance_cdm2=settings.luminance_cdm2,
    )
    return ratio_of_luminances(*seen), reach_m
