"""What handbooks and standards ask of letters: gold data only, never adjusted; the source beside each."""

# 2010 ADA Standards, table 703.5.5, baselines 40 to 70 in above the floor: (distance in ft, height in in).
ADA_2010 = ((5, 0.625), (6, 0.625), (10, 1.125), (20, 2.375), (30, 3.625))

# Name in our table -> (letter height in mm at a distance in m), worked by hand from the rule itself:
# 5' at 6 m is the 8.73 mm of the 6/6 optotype (ISO 8596); one inch for 30 ft (California Building Code 2013,
# 11B-703.8.4); 0.003 and 0.007 rad (Smith 1979); D/300 (DIN 4844-1); 0.004 and
# 0.006 (NUREG-0700); 16' and 20' (ISO 9241-303), 2.33 and 2.91 mm at 0.5 m; D/200 (FAA); D/155 and D/110.
HEIGHTS_MM = {
    "Eye chart, line of 6/6": (8.73, 6.0),
    "Signs, 1 in for 30 ft": (25.4, 9.144),
    "Printed, 9 readers in 10": (30.0, 10.0),
    "Safety signs, wording": (10.0, 3.0),
    "Control rooms, least": (4.0, 1.0),
    "Screens, least": (2.327, 0.5),
    "The distance over 200": (25.0, 5.0),
    "Screens, preferred": (2.909, 0.5),
    "Control rooms, preferred": (6.0, 1.0),
    "Desk work, least": (10.0, 1.55),
    "Printed, nearly everyone": (70.0, 10.0),
    "Best impact, 1 in for 10 ft": (25.4, 3.048),
    "Desk work, most": (10.0, 1.1),
    "Wall signs, 1.0 to 1.8 m up": (28.575, 3.048),
}
