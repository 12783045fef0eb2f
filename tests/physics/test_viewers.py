"""Who looks, and in what light: published values, and that worse sight never reads farther."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standback.measure.notice import jnd_of, noticed_from_m
from standback.reading import pupil_mm_of, reach_of
from standback.settings import LOW_VISION, OLDER, PUBLIC, YOUNG_EYE, Settings
from standback.target import SheetLight, target_of

RATIO, LETTER_MM, STROKE_MM = 6.0, 12.0, 1.6


def reach_m(conditions: Settings, *, stroke_mm: float = STROKE_MM, ratio: float = RATIO) -> dict[str, float]:
    return {
        viewer.name: reach_of(viewer, conditions, letter_mm=LETTER_MM, stroke_mm=stroke_mm, ratio=ratio)
        for viewer in conditions.viewers
    }


def falls(values: list[float]) -> bool:
    return all(b < a for a, b in pairwise(values))


def test_the_viewers_of_an_ordinary_run() -> None:
    assert Settings().viewers == (PUBLIC, LOW_VISION, OLDER)
    # Smith (1979): twice the limit. ICD-11: 6/12, letters twice as large again. Elliott, Yang & Whitaker
    # (1995): +0.14 logMAR from the best years to over 75. Pelli-Robson: -0.20 log from youngest to over 70.
    assert [PUBLIC.k, LOW_VISION.k] == pytest.approx([2.0, 4.0], rel=1e-5)
    assert OLDER.k == pytest.approx(2 * 1.380, rel=1e-3)
    assert OLDER.contrast_factor == pytest.approx(0.631, rel=1e-3)
    assert Settings(age_years=75).viewers[0] == replace(OLDER, name="public")
    assert Settings(acuity_logmar=LOW_VISION.acuity_logmar).viewers[0].k == LOW_VISION.k


def test_better_than_6_6_counts_as_6_6() -> None:
    assert Settings(acuity_logmar=-0.2).viewers == Settings().viewers


def test_a_6_12_eye_reads_from_half_as_far() -> None:
    """The definition of acuity: whatever is read at 6/12 is read by 6/6 from twice as far."""
    sharp, half = reach_m(Settings()), reach_m(Settings(acuity_logmar=np.log10(2.0)))
    # within what a large angle is off its tangent
    assert half["public"] == pytest.approx(sharp["public"] / 2, rel=5e-5)
    thin = [reach_m(Settings(acuity_logmar=a), stroke_mm=0.5)["public"] for a in (0.0, np.log10(2.0))]
    assert thin[1] == pytest.approx(thin[0] / 2, rel=5e-5), "the strokes too"


def test_the_pupil_shrinks_with_age_and_light() -> None:
    # Watson & Yellott (2012), 20 x 20 degrees, eq. 21, at 30 and 70 years under 50, 300 and 1000 lx on paper of 0.85
    table = {50.0: (4.74, 3.77), 300.0: (3.76, 3.17), 1000.0: (3.22, 2.84)}
    for lux, expected_mm in table.items():
        found = [
            pupil_mm_of(Settings(illuminance_lx=lux, age_years=a).viewer, Settings(illuminance_lx=lux))
            for a in (30, 70)
        ]
        assert found == pytest.approx(expected_mm, abs=0.006)


def test_reach_rises_with_light_and_falls_with_age_and_acuity() -> None:
    assert falls([reach_m(Settings(illuminance_lx=lux))["public"] for lux in (1000, 500, 150, 100, 50, 20)])
    assert falls([reach_m(Settings(age_years=age))["public"] for age in (30, 45, 60, 75)])
    assert falls([reach_m(Settings(acuity_logmar=a))["public"] for a in (0.0, 0.1, 0.3, 0.5, 1.0)])


conditions = st.builds(
    Settings,
    illuminance_lx=st.floats(5, 5000),
    age_years=st.floats(10, 100),
    acuity_logmar=st.floats(-0.3, 1.3),
)


@settings(max_examples=200, deadline=None)
@given(conditions, st.floats(1.02, 21), st.floats(0.02, 0.4))
def test_no_viewer_reads_farther_than_the_public(light: Settings, ratio: float, stroke: float) -> None:
    by = reach_m(light, stroke_mm=stroke * LETTER_MM, ratio=ratio)
    assert max(by.values()) <= by["public"] * (1 + 1e-9)


@settings(max_examples=200, deadline=None)
@given(conditions, st.floats(0, 40), st.floats(0, 0.5), st.floats(1.02, 21), st.floats(0.02, 0.4))
def test_who_is_older_or_sees_less_reads_no_farther(
    light: Settings, years: float, logmar: float, ratio: float, stroke: float
) -> None:
    worse = Settings(
        illuminance_lx=light.illuminance_lx,
        age_years=max(light.age_years, 30) + years,
        acuity_logmar=light.acuity_logmar + logmar,
    )
    better = Settings(
        illuminance_lx=light.illuminance_lx, age_years=max(light.age_years, 30), acuity_logmar=light.acuity_logmar
    )
    by = [reach_m(s, stroke_mm=stroke * LETTER_MM, ratio=ratio)["public"] for s in (better, worse)]
    assert by[1] <= by[0] * (1 + 1e-9)


def test_a_dull_eye_notices_less_and_from_less_far() -> None:
    bar = np.full((40, 40), 0.8, np.float32)
    bar[16:24, 8:32] = 0.5
    target = target_of(
        bar,
        np.full_like(bar, 0.8),
        px_per_mm=2.0,
        sheet=SheetLight.of(np.full((40, 40), 0.8, np.float32), 2.0),
        at_mm=(0.0, 0.0),
    )
    eyes = (
        Settings(),
        Settings(acuity_logmar=0.2),
        Settings(acuity_logmar=0.5),
        Settings(acuity_logmar=0.5, age_years=75),
    )
    assert falls([jnd_of(target, 6.0, eye) for eye in eyes])
    assert falls([noticed_from_m(target, eye) for eye in eyes])
    half = Settings(acuity_logmar=np.log10(2.0))
    assert noticed_from_m(target, half) == pytest.approx(noticed_from_m(target, Settings()) / 2, rel=1e-6)
    assert falls([noticed_from_m(target, Settings(illuminance_lx=lux)) for lux in (1000, 300, 150, 30)])


def test_the_limit_is_a_young_eye_whoever_looks() -> None:
    limit = {reach_of(YOUNG_EYE, Settings(age_years=a), letter_mm=10, stroke_mm=2, ratio=21) for a in (20, 50, 90)}
    assert len(limit) == 1
