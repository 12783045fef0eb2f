"""Outside values for the visibility model, retyped, each with its source. Never adjusted to fit."""

from typing import NamedTuple

# Watson & Ahumada (2005), Journal of Vision 5(9):6: the published sensitivity with its published
# constants, worked out beforehand, apart from this code.
SENSITIVITY_BY_CPD = {
    0.5: 69.67,
    1.0: 106.56,
    2.0: 182.04,
    4.0: 214.20,
    8.0: 135.14,
    16.0: 43.11,
    30.0: 7.17,
    40.0: 2.23,
    50.0: 0.74,
}


class Threshold(NamedTuple):
    """One ModelFest stimulus: its kind, its numbers, and -log10 of the contrast at threshold."""

    kind: str
    size: float
    frequency_cpd: float
    log_sensitivity: float


# Carney et al. (1999), "The development of an image/threshold database for designing and testing human
# vision models", Proc. SPIE 3644:542; mean of 16 observers x 4 runs, 30 cd/m², 256 x 256 samples at 120
# a degree. Sizes: standard deviation in degrees of Gabors, spots, and of the window around edge and
# line; width in degrees of the disc.
MODELFEST = (
    Threshold("gabor", 0.5, 4.0, 2.106),
    Threshold("gabor", 0.5, 8.0, 1.844),
    Threshold("gabor", 0.5, 16.0, 1.298),
    Threshold("gabor", 0.5, 30.0, 0.567),
    Threshold("gabor", 0.035, 16.0, 0.513),
    Threshold("spot", 8.43 / 60, 0.0, 1.526),
    Threshold("spot", 2.106 / 60, 0.0, 1.208),
    Threshold("spot", 1.05 / 60, 0.0, 0.830),
    Threshold("edge", 0.5, 0.0, 1.936),
    Threshold("line", 0.5, 0.0, 0.934),
    Threshold("disc", 15 / 60, 0.0, 1.626),
)

# castleCSF v0.2.4 (Ashraf, Mantiuk, Chapiro & Wuerger 2024, Journal of Vision 24(4):5), 1 deg², still:
# sensitivity over that at 30 cd/m² at 4, 16 and 30 cpd, by luminance in cd/m².
CASTLE_RATIOS = {
    8.0: (0.676, 0.478, 0.408),
    15.0: (0.834, 0.701, 0.648),
    55.0: (1.125, 1.281, 1.358),
    80.0: (1.189, 1.448, 1.583),
    135.0: (1.261, 1.656, 1.874),
    270.0: (1.325, 1.866, 2.179),
}

# What the two published formulas above say of simple marks, worked out beforehand on plain oversampled
# pictures, apart from this code: black on white, no stray light.
# Hairline 0.35 mm wide, 100 mm long: JND at 30 cd/m² by distance in m, for contrasts 1 and 0.5.
HAIRLINE_JND = {
    1.0: {1.0: 19.4, 2.0: 9.9, 3.0: 6.6, 5.0: 3.7, 7.0: 2.5, 10.0: 1.5},
    0.5: {1.0: 9.7, 2.0: 5.0, 3.0: 3.3, 5.0: 1.9, 7.0: 1.2, 10.0: 0.8},
}
# The same by contrast: distance in m at which the JND is 1 and 3.
HAIRLINE_M = {1.0: (13.6, 6.0), 0.92: (12.8, 5.6), 0.5: (8.2, 3.3), 0.2: (3.9, 1.3), 0.1: (2.0, 0.6)}
# The same at contrast 1 by luminance in cd/m².
HAIRLINE_M_BY_CDM2 = {8.0: (10.0, 4.2), 27.0: (13.3, 5.8), 54.0: (15.0, 6.7), 135.0: (16.7, 7.5)}
# Square dot by its side in mm: distance in m at which the JND is 1 and 3.
DOT_M = {0.35: (1.4, 0.8), 1.0: (3.9, 2.2), 3.0: (11.7, 6.6)}
# Two bars with a gap as wide as each: width in arcmin at which the split has JND 1 and 3.
SPLIT_ARCMIN = (0.60, 0.92)
# Two lines 0.35 mm wide, 0.35 mm apart: JND of the split by distance in m.
SPLIT_JND = {0.5: 20.19, 1.0: 5.58, 1.2: 3.71, 1.5: 2.16, 2.0: 1.01}
