"""Checks of fine detail, figures and print, as tables."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from checks.builders import PX_PER_MM, measured, text_line
from standback.checks import CHECKS, check_of
from standback.checks.unjudged import not_judged
from standback.elements import Box, Detail, Figure
from standback.findings import Finding, Severity
from standback.judge import causes
from standback.measure.model import DetailMeasurement, FigureMeasurement, Measurements, PrintMeasurement, SeenAt
from standback.settings import Limits

LIMITS = Limits()
BOX = Box(x0=100, y0=100, x1=300, y1=200)
BOX_MM = (25.0, 25.0, 75.0, 50.0)
MASK = np.ones((2, 2), dtype=np.bool_)
BLACK, WHITE = (0, 0, 0), (255, 255, 255)

Expected = tuple[Severity, float] | None


def patch(
    *,
    kind: str = "hatching",
    ratio: float = 10.0,
    resolve_m: float = 50.0,
    carry_m: float = 50.0,
    width_mm: float = 1.0,
    matters: bool = False,
    light_on_dark: bool = False,
    px_per_mm: float = PX_PER_MM,
    name: str | None = None,
) -> DetailMeasurement:
    return DetailMeasurement(
        id="D01",
        detail=Detail(
            box_px=BOX,
            kind=kind,
            mask=MASK,
            ink_srgb8=WHITE if light_on_dark else BLACK,
            ground_srgb8=BLACK if light_on_dark else WHITE,
            ratio=ratio,
            feature_mm=width_mm,
            pitch_mm=3.0,
            count=9,
            area_mm2=2500.0,
        ),
        box_mm=BOX_MM,
        ratio_wanted=3.0,
        far_m=5.0,
        px_per_mm=px_per_mm,
        carry_m=carry_m,
        resolve_m=resolve_m,
        seen=(),
        in_main_figure=matters,
        text_colour=False,
        name=name,
        doubts=(),
    )


def figure(*, ratio: float = 5.0, jnd: float = 20.0, name: str | None = None) -> FigureMeasurement:
    return FigureMeasurement(
        id="F01",
        figure=Figure(
            box_px=BOX,
            mask=MASK,
            mask_scale=8,
            colour_srgb8=BLACK,
            ground_srgb8=WHITE,
            ratio=ratio,
            area_share=0.2,
            picture=False,
        ),
        box_mm=BOX_MM,
        ratio_wanted=3.0,
        far_m=5.0,
        carry_m=50.0,
        seen=(SeenAt(station="far", ratio=None, block_ratio=None, jnd=jnd, css_px=None, state="noticed"),),
        name=name,
        doubts=(),
    )


def run(check_id: str, measured_: Measurements) -> tuple[Finding, ...]:
    return check_of(check_id).run(measured_, LIMITS)


def one(check_id: str, measured_: Measurements) -> Expected:
    found = run(check_id, measured_)
    assert len(found) <= 1
    return (found[0].severity, round(found[0].shortfall, 4)) if found else None


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        ({"ratio": 3.0}, None),
        ({"ratio": 2.5}, (Severity.NOTE, 1.2)),
        ({"ratio": 2.5, "matters": True}, (Severity.WARN, 1.2)),
        ({"ratio": 2.5, "name": "the bird"}, (Severity.FAIL, 1.2)),
        # codes are scanned from near by, halftone is a tone
        ({"ratio": 1.2, "kind": "code"}, None),
        ({"ratio": 1.2, "kind": "halftone"}, None),
    ],
)
def test_faint_detail(about: dict[str, Any], expected: Expected) -> None:
    assert one("faint-detail", Measurements(details=(patch(**about),))) == expected


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        ({"ratio": 3.0, "name": "the bird"}, None),
        # a shape that nobody named may be meant to stay quiet
        ({"ratio": 2.0}, None),
        ({"ratio": 2.0, "name": "the bird"}, (Severity.FAIL, 1.5)),
    ],
)
def test_faint_figures(about: dict[str, Any], expected: Expected) -> None:
    assert one("faint-detail", Measurements(figures=(figure(**about),))) == expected


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        ({"jnd": 6.0, "name": "the bird"}, None),
        ({"jnd": 4.0, "name": "the bird"}, (Severity.WARN, 1.5)),
        ({"jnd": 2.0, "name": "the bird"}, (Severity.FAIL, 1.5)),
        ({"jnd": 2.0}, None),
    ],
)
def test_fading_figures(about: dict[str, Any], expected: Expected) -> None:
    assert one("fades", Measurements(figures=(figure(**about),))) == expected


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        ({"resolve_m": 4.0}, None),
        ({"resolve_m": 4.99, "name": "the bird"}, (Severity.FAIL, 1.002)),
        ({"resolve_m": 2.5}, (Severity.NOTE, 2.0)),
        ({"resolve_m": 2.5, "matters": True}, (Severity.WARN, 2.0)),
        ({"resolve_m": 0.0, "carry_m": 0.0}, (Severity.NOTE, 100.0)),
        ({"resolve_m": 1.0, "kind": "code"}, None),
    ],
)
def test_detail_lost(about: dict[str, Any], expected: Expected) -> None:
    assert one("detail-lost", Measurements(details=(patch(**about),))) == expected


@pytest.mark.parametrize("check", ["detail-lost", "faint-detail"])
def test_icons_and_quiet_tones_are_not_spoken_of_unless_they_are_named(check: str) -> None:
    """0.5 degrees are 43.6 mm from 5 m."""
    faint = patch(resolve_m=1.0, ratio=1.5)
    least, most = (replace(faint, detail=replace(faint.detail, area_mm2=mm**2)) for mm in (43.7, 43.5))
    tone = patch(resolve_m=1.0, ratio=1.49)
    # a part of the main figure from 0.4 degrees long on: 34.9 mm from 5 m
    part, hair = (replace(most, in_main_figure=True, box_mm=(0.0, 0.0, mm, 9.0)) for mm in (35.0, 34.8))
    assert one(check, Measurements(details=(part,)))
    assert not one(check, Measurements(details=(hair,)))
    ring = replace(part, detail=replace(part.detail, kind="outline"))
    assert not one(check, Measurements(details=(ring,)))
    # and a trail of 20 marks from 0.75 degrees on: 65.4 mm
    many = replace(most, detail=replace(most.detail, count=20))
    trail, short, few = (replace(m, box_mm=(0.0, 0.0, mm, 9.0)) for m, mm in ((many, 65.6), (many, 65.3), (most, 65.6)))
    assert one(check, Measurements(details=(trail,)))
    assert not one(check, Measurements(details=(short, few)))
    assert one(check, Measurements(details=(least,)))
    assert not one(check, Measurements(details=(most, tone)))
    assert one(check, Measurements(details=(replace(most, name="the crest"),)))


def shape(*, ratio: float, long_mm: float = 60.0, width_mm: float = 6.0, name: str | None = None) -> DetailMeasurement:
    """Return a drawn shape; 0.5 degrees are 43.6 mm from 5 m."""
    drawn = patch(kind="shape", ratio=ratio, width_mm=width_mm, resolve_m=1.0, name=name)
    return replace(drawn, box_mm=(10.0, 10.0, 10.0 + long_mm, 30.0))


@pytest.mark.parametrize(
    ("about", "expected"),
    [
        # what is between 2:1 and 3:1 is passed over
        ({"ratio": 2.01}, None),
        ({"ratio": 2.0}, (Severity.NOTE, 1.5)),
        # a tint is nobody's drawing
        ({"ratio": 1.09}, None),
        ({"ratio": 1.1}, (Severity.NOTE, round(3 / 1.1, 4))),
        # a pale icon is noted
        ({"ratio": 2.01, "long_mm": 12.0}, None),
        ({"ratio": 1.5, "long_mm": 12.0}, (Severity.NOTE, 2.0)),
        # steam and clouds are drawn in lines
        ({"ratio": 1.5, "width_mm": 1.0, "long_mm": 130.0}, None),
        ({"ratio": 1.5, "width_mm": 1.0, "long_mm": 132.0}, (Severity.NOTE, 2.0)),
        ({"ratio": 2.5, "long_mm": 12.0, "name": "the bolt"}, (Severity.FAIL, 1.2)),
    ],
)
def test_pale_shapes(about: dict[str, Any], expected: Expected) -> None:
    measured_ = Measurements(details=(shape(**about),))
    assert one("faint-detail", measured_) == expected
    assert not run("hairline", measured_)
    assert not run("detail-lost", measured_)


def test_three_pale_icons_are_warned_of_and_share_a_finding() -> None:
    icons = tuple(replace(shape(ratio=1.5 + n / 10, long_mm=12.0), id=f"D{n:02d}") for n in range(3))
    measured_ = Measurements(details=(*icons, replace(patch(ratio=2.5), id="D09")))
    found = run("faint-detail", measured_)
    assert [f.severity for f in found if f.elements != ("D09",)] == [Severity.WARN] * 3
    joined = causes(found, measured_)
    assert sorted(f.elements for f in joined) == [("D00", "D01", "D02"), ("D09",)]
    assert "#000000 on #ffffff" in joined[0].says


def test_lost_detail_is_gone_or_a_tone() -> None:
    (tone,) = run("detail-lost", Measurements(details=(patch(resolve_m=2.0, carry_m=20.0),)))
    (gone,) = run("detail-lost", Measurements(details=(patch(resolve_m=2.0, carry_m=4.0),)))
    assert "it reads as an even tone" in tone.says
    assert "it is gone" in gone.says


# 0.25 pt = 0.09 mm; 0.007 in = 0.18 mm reversed: SWOP, 11th edition, 2007. 600 ppi = 23.6 px/mm.
@pytest.mark.parametrize(
    ("about", "expected"),
    [
        ({"width_mm": 0.09, "px_per_mm": 23.6}, None),
        ({"width_mm": 0.06, "px_per_mm": 23.6}, (Severity.WARN, 1.5)),
        ({"width_mm": 0.12, "px_per_mm": 23.6, "light_on_dark": True}, (Severity.WARN, 1.5)),
        # 300 ppi holds two pixels of the reversed limit, not of the positive one
        ({"width_mm": 0.12, "px_per_mm": 11.81, "light_on_dark": True}, (Severity.WARN, 1.5)),
        ({"width_mm": 0.06, "px_per_mm": 11.81}, None),
    ],
)
def test_hairline(about: dict[str, Any], expected: Expected) -> None:
    assert one("hairline", Measurements(details=(patch(**about),))) == expected


@pytest.mark.parametrize(
    ("cap_px", "inks", "expected"),
    [
        # 8 pt is an em of 2.82 mm: at 4 px/mm capitals of 7 px are smaller, of 20 px are not
        (7.0, 3.0, (Severity.WARN, 1.5)),
        (7.0, 2.0, None),
        (7.0, None, None),
        (40.0, 4.0, None),
    ],
)
def test_many_inks(cap_px: float, inks: float | None, expected: Expected) -> None:
    line = measured(line=text_line(cap_px=cap_px), inks=inks)
    line = replace(line, stroke_mm=0.3 if cap_px < 10 else 1.5)
    assert one("many-inks", Measurements(lines=(line,))) == expected


def test_many_inks_of_the_solid_that_type_is_left_light_in() -> None:
    line = measured(line=text_line(cap_px=7.0, ink=WHITE, ground=BLACK), inks=4.0)
    (finding,) = run("many-inks", Measurements(lines=(line,)))
    assert "left light in a solid of 4 inks" in finding.says


# 87.3 / 0.5 m = 174.6 ppi: a pixel of one minute of arc
@pytest.mark.parametrize(
    ("ppi", "sharpness_ppi", "expected"),
    [
        (174.6, 174.6, None),
        (180.0, None, None),
        # a few hundredths less will do
        (165.9, None, None),
        (165.8, None, (Severity.WARN, round(174.6 / 165.8, 4))),
        (100.0, 100.0, (Severity.WARN, 1.746)),
        (300.0, 150.0, None),
        (300.0, 100.0, (Severity.WARN, 1.5)),
    ],
)
def test_coarse_artwork(ppi: float, sharpness_ppi: float | None, expected: Expected) -> None:
    sheet = PrintMeasurement(ppi=ppi, near_m=0.5, sharpness_ppi=sharpness_ppi, cmyk=False)
    assert one("coarse-artwork", Measurements(sheet=sheet)) == expected


@pytest.mark.parametrize(
    ("ppi", "cmyk", "sharpness_ppi", "expected"),
    [
        (150.0, False, 150.0, ["hairline", "many-inks"]),
        # 300 ppi holds the reversed limit only, 600 ppi both
        (300.0, True, 300.0, ["hairline"]),
        (600.0, True, 600.0, []),
        (600.0, True, None, ["coarse-artwork"]),
    ],
)
def test_what_the_artwork_gives_no_hold_for_is_named(
    ppi: float, cmyk: bool, sharpness_ppi: float | None, expected: list[str]
) -> None:
    sheet = PrintMeasurement(ppi=ppi, near_m=0.5, sharpness_ppi=sharpness_ppi, cmyk=cmyk)
    named = [n.check for n in not_judged(Measurements(sheet=sheet), LIMITS)]
    judged = {check.id for check in CHECKS}
    assert [check for check in named if check in judged] == expected
