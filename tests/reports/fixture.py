"""Hand-made results that feed every test of a report: an invented evening of choral music on an A2."""

from dataclasses import replace

import numpy as np

from standback.arrangement import Arrangement, Group, Look, Looks, Pull
from standback.artwork.model import Artwork, HeldLevel
from standback.brief.model import (
    Brief,
    BriefFigure,
    BriefLine,
    BriefSheet,
    Remark,
    Viewing,
    Waiver,
    Where,
)
from standback.doubts import Doubt
from standback.elements import Box, Line, Srgb8
from standback.findings import (
    ArtworkFacts,
    Carries,
    Finding,
    NotJudged,
    Place,
    PosterReport,
    Report,
    Severity,
    Unreadable,
    WalkUpStep,
    ranked,
)
from standback.light import srgb8_to_linear
from standback.measure.model import Measurement, SeenAt, ViewerReach
from standback.settings import Settings, stations
from standback.sheet import parse_size

PX_PER_MM = 4.0
NAVY, PAPER, GREY = (24, 38, 66), (245, 242, 234), (168, 170, 172)


def box(x_mm: float, y_mm: float, width_mm: float, height_mm: float) -> Box:
    """A box of millimetres in pixels of the artwork."""
    sides = (x_mm, y_mm, x_mm + width_mm, y_mm + height_mm)
    x0, y0, x1, y1 = (round(side * PX_PER_MM) for side in sides)
    return Box(x0=x0, y0=y0, x1=x1, y1=y1)


def mm(box_px: Box) -> tuple[float, float, float, float]:
    x0, y0, x1, y1 = (side / PX_PER_MM for side in box_px.as_tuple())
    return x0, y0, x1, y1


def line(
    name: str,
    box_px: Box,
    *,
    cap_mm: float | None = None,
    x_mm: float | None = None,
    ink: Srgb8 = NAVY,
    ground: Srgb8 = PAPER,
    ratio: float = 13.458621484244752,
    tier: str = "small",
    reach_m: float = 1.0,
    doubts: tuple[Doubt, ...] = (),
) -> Measurement:
    letter_mm = x_mm or cap_mm or 0.0
    place = {"lead": 0, "support": 1, "small": 2}[tier]
    station = stations(5.0)[place]
    mask = np.ones((2, 2), dtype=bool)
    return Measurement(
        id=name,
        line=Line(
            box_px=box_px,
            mask=mask,
            core=mask,
            ink_srgb8=ink,
            ground_srgb8=ground,
            cap_px=cap_mm and cap_mm * PX_PER_MM,
            x_px=x_mm and x_mm * PX_PER_MM,
            letter_px=letter_mm * PX_PER_MM,
            stroke_px=letter_mm * PX_PER_MM / 7,
            confidence=0.9375,
            doubts=doubts,
        ),
        box_mm=mm(box_px),
        ratio=ratio,
        ratio_worst=ratio,
        ratio_wanted=4.5,
        tier=tier,
        tier_from="guess",
        station=station.name,
        station_m=station.distance_m,
        mid_m=2.0,
        far_m=5.0,
        cap_mm=cap_mm,
        x_mm=x_mm,
        letter_mm=letter_mm,
        stroke_mm=letter_mm / 7,
        em_mm=letter_mm / (0.52 if x_mm else 0.71),
        px_per_mm=PX_PER_MM,
        inks=None,
        reach_m=reach_m,
        reach=(
            ViewerReach(viewer="public", m=reach_m),
            ViewerReach(viewer="low-vision", m=reach_m / 2),
            ViewerReach(viewer="older", m=reach_m / 1.5),
        ),
        limit_m=2 * reach_m,
        carry_m=4 * reach_m,
        seen=tuple(
            SeenAt(
                station=s.name,
                ratio=ratio / (1 + s.distance_m / 10),
                block_ratio=1.25,
                jnd=20.0 / s.distance_m,
                css_px=letter_mm / s.distance_m,
                state="reads" if reach_m >= s.distance_m else "strains" if 2 * reach_m >= s.distance_m else "lost",
            )
            for s in stations(5.0)
        ),
        doubts=doubts,
    )


LINES = (
    line("L01", box(40, 48, 340, 62), cap_mm=62.0, tier="lead", reach_m=18.04),
    line("L02", box(40, 240, 180, 24), cap_mm=24.0, tier="support", reach_m=7.25),
    line(
        "L03",
        box(40, 286.5, 120, 15),
        cap_mm=15.0,
        ink=GREY,
        ratio=2.083270515427327,
        tier="support",
        reach_m=2.46,
    ),
    line("L04", box(40, 500, 150, 5), cap_mm=5.0, x_mm=3.5, reach_m=0.44),
    line("L05", box(40, 510, 148, 5), cap_mm=5.0, x_mm=3.5, reach_m=0.44),
    line("L06", box(40, 520, 151, 5), cap_mm=5.0, x_mm=3.5, reach_m=0.44),
    line("L07", box(300, 560, 90, 4), cap_mm=4.0, ratio=4.4999997, reach_m=0.98, doubts=(Doubt.BUSY_GROUND,)),
)


def place(element: str) -> Place:
    box_px = next(one.line.box_px for one in LINES if one.id == element)
    return Place(box_px=box_px, box_mm=mm(box_px))


FINDINGS = ranked(
    (
        Finding(
            check="faint-text",
            severity=Severity.FAIL,
            elements=("L03",),
            places=(place("L03"),),
            measured=2.083270515427327,
            needed=4.5,
            unit="ratio",
            shortfall=4.5 / 2.083270515427327,
            says="The grey is too close to the paper; from 2 m the line barely stands off.",
            change="Darken the ink from #a8aaac to #6d6f71: 4.5:1 measured again.",
            tier="support",
        ),
        Finding(
            check="short-reach",
            severity=Severity.WARN,
            elements=("L04", "L05", "L06"),
            places=(place("L04"), place("L05"), place("L06")),
            measured=0.44,
            needed=0.5,
            unit="m",
            shortfall=0.5 / 0.44,
            says="They should be read from 50 cm, but can be from 44 cm at the most.",
            change="Set the capitals 6 mm high, now 5 mm (1.2 times the size): then they read from 52 cm.",
        ),
        Finding(
            check="faint-text",
            severity=Severity.NOTE,
            elements=("L07",),
            places=(place("L07"),),
            measured=4.4999997,
            needed=4.5,
            unit="ratio",
            shortfall=1.0000001,
            says="It falls a hair short.",
            doubts=(Doubt.BUSY_GROUND,),
        ),
        Finding(
            check="short-reach",
            severity=Severity.FAIL,
            elements=("L01",),
            places=(place("L01"),),
            measured=18.04,
            needed=20.0,
            unit="m",
            shortfall=20 / 18.04,
            says="The title was also asked for the balcony.",
            waived="no poster is read from the balcony",
            tier="lead",
        ),
    )
)

FACTS = ArtworkFacts(
    width_px=1680,
    height_px=2376,
    width_mm=420.0,
    height_mm=594.0,
    bleed_mm=0.0,
    ppi=101.6,
    size_from="file",
    colour="RGB",
    profile=None,
    doubts=(Doubt.SIZE_ASSUMED,),
)

POSTER = PosterReport(
    file="drafts/evensong.png",
    artwork=FACTS,
    stations=stations(5.0),
    far_assumed=True,
    elements=LINES,
    walk_up=(
        WalkUpStep(distance_m=5.0, reads=("L01", "L02")),
        WalkUpStep(distance_m=2.0, reads=("L01", "L02", "L03")),
        WalkUpStep(distance_m=0.5, reads=("L01", "L02", "L03", "L07")),
    ),
    findings=FINDINGS,
    carries=(
        Carries(element="L01", why="13.45:1, letters 62 mm high: reads from 18 m, wanted from 5 m"),
        Carries(element="L02", why="13.45:1, letters 24 mm high: reads from 7.2 m, wanted from 2 m"),
    ),
    not_judged=(
        NotJudged(check="loose-spacing", why="spacing is not measured"),
        NotJudged(check="tight-spacing", why="spacing is not measured"),
        NotJudged(check="hairline", why="fine detail is not measured"),
    ),
    summary=(
        "2 lines can be read from 5 m, and 4 of 7 from where they should be. Mend first: too little contrast (L03)."
    ),
    gate="fail",
)

BLANK = replace(
    POSTER,
    file="drafts/blank.png",
    artwork=replace(FACTS, profile="sRGB IEC61966-2.1", size_from="option", bleed_mm=3.0, doubts=()),
    far_assumed=False,
    elements=(),
    walk_up=(),
    findings=ranked(
        (
            Finding(
                check="nothing-found",
                severity=Severity.FAIL,
                elements=(),
                places=(),
                measured=None,
                needed=None,
                unit=None,
                shortfall=1.0,
                says="No line of text stands out from its ground anywhere on the sheet.",
                tier="lead",
            ),
        )
    ),
    carries=(),
    not_judged=(),
    summary="Nothing to read was found on the sheet. Mend first: no text was found.",
)

CLEAN = replace(
    POSTER,
    file="drafts/evensong-2.png",
    artwork=replace(FACTS, doubts=()),
    elements=LINES[:2],
    walk_up=(
        WalkUpStep(distance_m=5.0, reads=("L01", "L02")),
        WalkUpStep(distance_m=0.5, reads=("L01", "L02")),
    ),
    findings=(),
    not_judged=(),
    summary=("2 lines can be read from 5 m, and 2 of 2 from where they should be. Nothing measured falls short."),
)

REMARKS = (
    Remark(where=Where(words="top left"), text="The title wants more air above it."),
    Remark(where=Where(point_mm=(210.0, 330.5)), text="What is this mark for?"),
    Remark(where=Where(box_mm=(290.0, 540.0, 400.0, 580.0)), text="Say who sings, not who pays."),
)
BRIEF = Brief(
    file="evensong.toml",
    sheet=BriefSheet(size=parse_size("A2"), bleed_mm=3.0),
    viewing=Viewing(far_m=8.0),
    limits=(("text_ratio", 7.0),),
    lines=(
        BriefLine(
            where=Where(words="top left"),
            name="title",
            tier="lead",
            station="far",
            role="title",
            group="what",
            wording="Evensong",
            row=7,
        ),
    ),
    figures=(BriefFigure(where=Where(box_mm=(1.0, 2.0, 3.0, 4.5)), name="organ", row=15),),
    waivers=(Waiver(check="short-reach", line="title", reason="no poster is read from the balcony", row=20),),
    remarks=REMARKS,
)
ARRANGEMENT = Arrangement(
    groups=(
        Group(name="what", elements=("L01",), whence="brief", box_mm=LINES[0].box_mm),
        Group(name=None, elements=("L04", "L05", "L06"), whence="guess", box_mm=(40.0, 500.0, 191.0, 525.0)),
    ),
    pull=(Pull(element="L01", station="far", share=0.5, centre_bias=0.25),),
    looks=(Looks(station="far", looks=(Look(elements=("L01",), share=0.5),)),),
)

BRIEFED = replace(
    POSTER,
    arrangement=ARRANGEMENT,
    elements=(replace(LINES[0], name="title", role="title", group="what", wording="Evensong"), *LINES[1:]),
    remarks=REMARKS,
    unmatched=(
        "evensong.toml, line 15: the figure 'organ' (box 1, 2, 3, 4.5 mm) matches nothing: nothing found is there",
        "evensong.toml, line 20: the waiver (short-reach, line 'title') matches no finding: take it out",
    ),
)
"""The poster with a brief."""

REPORT = Report(settings=Settings(), posters=(POSTER,), unreadable=())

BATCH = Report(
    settings=Settings(),
    posters=(POSTER, BLANK, CLEAN),
    unreadable=(Unreadable(file="drafts/torn.png", why="the file ends before the picture does"),),
)


def artwork(width_px: int = 420, height_px: int = 594, *, width_mm: float = 420.0, height_mm: float = 594.0) -> Artwork:
    """A plain sheet with a navy band where the fixture's title stands."""
    srgb8 = np.full((height_px, width_px, 3), PAPER, dtype=np.uint8)
    srgb8[height_px * 48 // 594 : height_px * 110 // 594, width_px // 10 : width_px * 9 // 10] = NAVY
    level = HeldLevel(linear=srgb8_to_linear(srgb8), scale=1, origin_px=(0, 0))
    return Artwork(
        file=POSTER.file,
        srgb8=srgb8,
        levels=(level,),
        width_mm=width_mm,
        height_mm=height_mm,
        bleed_mm=0.0,
        size_from="file",
        colour="RGB",
        profile=None,
        doubts=(),
    )
