"""What handbooks and standards ask of letters, as they ask it: none of it enters our own numbers.

Rules that we know from memory alone are left out.
"""

from dataclasses import dataclass
from math import radians, tan

_MM_PER_INCH = 25.4
_M_PER_FOOT = 0.3048


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule: a letter height that grows with the distance.

    Attributes
    ----------
    name
        What it is about.
    source, short_source
        Where it comes from, in full and in a few words.
    mm_per_m
        Letter height for each metre beyond `beyond_m`.
    least_mm, beyond_m
        Least height, which is enough up to that distance.
    """

    name: str
    source: str
    short_source: str
    mm_per_m: float
    least_mm: float = 0.0
    beyond_m: float = 0.0

    def height_mm(self, distance_m: float) -> float:
        """Return the letter height that the rule asks for at a distance."""
        return self.least_mm + self.mm_per_m * max(0.0, distance_m - self.beyond_m)

    def distance_m(self, height_mm: float) -> float | None:
        """Return how far the rule takes letters of a height; None where it allows them nowhere."""
        if height_mm < self.least_mm:
            return None
        return self.beyond_m + (height_mm - self.least_mm) / self.mm_per_m


def _arcmin(angle: float) -> float:
    return 1000 * tan(radians(angle / 60))


def _inch_per(feet: float) -> float:
    return _MM_PER_INCH / (feet * _M_PER_FOOT)


RULES: tuple[Rule, ...] = (
    Rule(
        name="Eye chart, line of 6/6",
        source="ISO 8596 (optotypes): 5 minutes of arc, the limit of normal sight",
        short_source="ISO 8596",
        mm_per_m=_arcmin(5),
    ),
    Rule(
        name="Signs, 1 in for 30 ft",
        source="California Building Code 2013, 11B-703.8.4; the traffic sign manual MUTCD 2009, 2A.13, has the same",
        short_source="MUTCD 2009, 2A.13",
        mm_per_m=_inch_per(30),
    ),
    Rule(
        name="Printed, 9 readers in 10",
        source="Smith (1979), Letter size and legibility, Human Factors 21:661: 0.003 of the distance",
        short_source="Smith 1979",
        mm_per_m=3.0,
    ),
    Rule(
        name="Safety signs, wording",
        source="DIN 4844-1: the distance over 300 (quoted at second hand)",
        short_source="DIN 4844-1",
        mm_per_m=1000 / 300,
    ),
    Rule(
        name="Control rooms, least",
        source="NUREG-0700, labels: 0.004 of the distance",
        short_source="NUREG-0700",
        mm_per_m=4.0,
    ),
    Rule(
        name="Screens, least",
        source="ISO 9241-303: 16 minutes of arc (quoted at second hand)",
        short_source="ISO 9241-303",
        mm_per_m=_arcmin(16),
    ),
    Rule(
        name="The distance over 200",
        source="Rule of thumb of the US Federal Aviation Administration's design guides (quoted at second hand)",
        short_source="FAA rule of thumb",
        mm_per_m=1000 / 200,
    ),
    Rule(
        name="Screens, preferred",
        source="ISO 9241-303: from 20 minutes of arc (quoted at second hand)",
        short_source="ISO 9241-303",
        mm_per_m=_arcmin(20),
    ),
    Rule(
        name="Control rooms, preferred",
        source="NUREG-0700, labels: 0.006 of the distance",
        short_source="NUREG-0700",
        mm_per_m=6.0,
    ),
    Rule(
        name="Desk work, least",
        source="German guidance for workplaces with screens: the distance over 155",
        short_source="German practice",
        mm_per_m=1000 / 155,
    ),
    Rule(
        name="Printed, nearly everyone",
        source="Smith (1979), Letter size and legibility, Human Factors 21:661: 0.007 of the distance",
        short_source="Smith 1979",
        mm_per_m=7.0,
    ),
    Rule(
        name="Best impact, 1 in for 10 ft",
        source="Sign makers' rule of thumb: common practice",
        short_source="sign makers' practice",
        mm_per_m=_inch_per(10),
    ),
    Rule(
        name="Desk work, most",
        source="German guidance for workplaces with screens: the distance over 110",
        short_source="German practice",
        mm_per_m=1000 / 110,
    ),
    Rule(
        name="Wall signs, 1.0 to 1.8 m up",
        source="2010 ADA Standards (US), table 703.5.5, baselines 40 to 70 in above the floor: 5/8 in up to 6 ft, "
        "1/8 in more for each foot beyond",
        short_source="ADA 2010, 703.5.5",
        mm_per_m=_inch_per(8),
        least_mm=0.625 * _MM_PER_INCH,
        beyond_m=6 * _M_PER_FOOT,
    ),
)
"""Smallest first, but for the last, which does not grow in proportion."""
