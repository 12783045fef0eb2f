"""Outside values that ours are held against: gold data only, never adjusted; the source beside each."""

# W3C, Web Content Accessibility Guidelines 2.2, "contrast ratio" and "relative luminance", evaluated by
# hand for these pairs; white on black is 21 by definition, #767676 is the well-known last grey to pass 4.5.
WCAG_RATIOS = (
    ("#000000", "#ffffff", 21.0),
    ("#767676", "#ffffff", 4.5422),
    ("#777777", "#ffffff", 4.4781),
    ("#949494", "#ffffff", 3.0335),
    ("#959595", "#ffffff", 2.9953),
    ("#595959", "#ffffff", 7.0047),
    ("#ff0000", "#ffffff", 3.9985),
    ("#0000ff", "#ffffff", 8.5925),
    ("#008000", "#ffffff", 5.1374),
    ("#ffff00", "#ffffff", 1.0738),
    ("#ff0000", "#0000ff", 2.1489),
    ("#ff0000", "#00ff00", 2.9139),
    ("#808080", "#000000", 5.3172),
)
WCAG_LUMINANCES = (("#777777", 0.18447), ("#808080", 0.21586))

# IEC 61966-2-1: a half-and-half mix of black and white light has this 8-bit code.
HALF_LIGHT_SRGB8 = 188

# Ottosson (2020), "A perceptual color space for image processing", OKLab of the sRGB corners.
OKLAB = (
    ("#ffffff", (1.0, 0.0, 0.0)),
    ("#ff0000", (0.62796, 0.22486, 0.12585)),
    ("#00ff00", (0.86644, -0.23389, 0.17950)),
    ("#0000ff", (0.45201, -0.03246, -0.31153)),
    ("#808080", (0.59987, 0.0, 0.0)),
    ("#ffff00", (0.96798, -0.07137, 0.19857)),
)

# Watson (2013), "A formula for the mean human optical modulation transfer function as a function of pupil
# size", J Vis 13(6):18: pupil in mm -> (frequency in cycles per degree, transfer).
WATSON_MTF = {
    2.0: ((1, 0.9859), (5, 0.8647), (10, 0.6574), (20, 0.3530), (30, 0.1973), (40, 0.1112), (60, 0.0151)),
    3.0: ((1, 0.9856), (5, 0.8158), (10, 0.5626), (20, 0.2817), (30, 0.1641), (40, 0.1046), (60, 0.0464)),
    4.0: ((1, 0.9791), (5, 0.7129), (10, 0.4270), (20, 0.1967), (30, 0.1148), (40, 0.0754), (60, 0.0383)),
    5.0: ((1, 0.9624), (5, 0.5662), (10, 0.2953), (20, 0.1285), (30, 0.0750), (40, 0.0500), (60, 0.0267)),
    6.0: ((1, 0.9335), (5, 0.4308), (10, 0.2055), (20, 0.0872), (30, 0.0510), (40, 0.0343), (60, 0.0189)),
}
# Its diffraction limits, pupil in mm -> cycles per degree at 555 nm.
WATSON_CUTOFF_CPD = {2.0: 62.9, 3.0: 94.3, 4.0: 125.8, 5.0: 157.2, 6.0: 188.7}

# Watson & Yellott (2012), "A unified formula for light-adapted pupil size", J Vis 12(10):12, eq. 21:
# (cd/m², field in square degrees, age in years, mm).
WATSON_YELLOTT_PUPIL = (
    (10, 400, 30, 4.92),
    (10, 400, 80, 3.62),
    (80, 400, 30, 3.77),
    (130, 400, 30, 3.53),
    (100, 3600, 30, 2.82),
    (1000, 3600, 30, 2.35),
)

# ISO 8596: the optotype of 6/6 is 5 arcmin high; at 6 m that is 8.73 mm.
OPTOTYPE_ARCMIN, OPTOTYPE_DISTANCE_M, OPTOTYPE_MM = 5.0, 6.0, 8.73

# Fujita, Oda, Watanabe & Yuzawa (2008), Jpn J Ophthalmol, reading acuity at 40, 20 and 10 % contrast
# (.03, .13, .26 logMAR) against 100 % (-.08): how many times larger.
FUJITA_SIZE_FACTORS = ((0.40, 1.29), (0.20, 1.62), (0.10, 2.19))

# Sheedy, Bailey & Raasch (1984), Am J Optom 61:595: 0.02 logMAR for each doubling, 40 to 600 cd/m².
SHEEDY_LOGMAR_PER_DOUBLING = 0.02

# Smith (1979), "Letter size and legibility", Hum Factors 21:661: over 90 % of readers of printed displays
# read letters of 0.003 rad.
SMITH_NINE_IN_TEN_RAD = 0.003

# Sign makers' rule (MUTCD 2009, 2A.13): one inch of letter height for each 30 ft.
SIGN_RULE_MM, SIGN_RULE_M = 25.4, 9.144
