"""Letter heights before anything is drawn: the audit's own numbers, and the rules as published."""

import numpy as np
import pytest

from published_rules import ADA_2010, HEIGHTS_MM
from standback.doubts import Doubt
from standback.elements import Box, Line
from standback.letters.rules import RULES
from standback.letters.table import Type, heights_for, reaches_of
from standback.light import contrast_ratio
from standback.measure.lines import measure_type
from standback.measure.model import Measurement
from standback.settings import Settings, stations

SETTINGS = Settings()
BOLD = Type(ratio=4.5, stroke_share=0.2)


def audited(letter_mm: float, stroke_mm: float) -> Measurement:
    """Return what an audit measures of a line of #777777 capitals on white."""
    nothing = np.zeros((0, 0), dtype=np.bool_)
    line = Line(
        box_px=Box(x0=0, y0=0, x1=100, y1=20),
        mask=nothing,
        core=nothing,
        ink_srgb8=(0x77, 0x77, 0x77),
        ground_srgb8=(255, 255, 255),
        cap_px=letter_mm * 4,
        x_px=None,
        letter_px=letter_mm * 4,
        stroke_px=stroke_mm * 4,
    )
    return measure_type(
        line,
        SETTINGS,
        name="L01",
        box_mm=(0, 0, 25, 5),
        px_per_mm=4.0,
        ratio_worst=9.0,
        tier="lead",
        tier_from="guess",
        station="far",
        places=stations(5.0),
    )


@pytest.mark.parametrize("stroke", [0.06, 0.2])
def test_a_row_holds_what_an_audit_of_such_letters_finds(stroke: float) -> None:
    line = audited(20.0, stroke * 20.0)
    type_ = Type(ratio=contrast_ratio((0x77, 0x77, 0x77), (255, 255, 255)), stroke_share=stroke)
    (row,) = reaches_of(20.0, type_, SETTINGS).reaches
    assert row.given == 20.0
    assert row.limit == line.limit_m
    assert row.by_viewer == tuple(reach.m for reach in line.reach)
    (turned,) = heights_for([line.reach_m], type_, SETTINGS).rows
    assert turned.by_viewer[0] == pytest.approx(20.0, rel=1e-4)


def test_heights_grow_in_proportion_and_with_the_viewers_need() -> None:
    near, far = heights_for([2.0, 8.0], BOLD, SETTINGS).rows
    assert near.limit is not None
    assert far.limit == pytest.approx(4 * near.limit)
    public, low_vision, older = near.by_viewer
    assert near.limit < public < older < low_vision  # type: ignore[operator]


def test_no_contrast_no_height() -> None:
    letters = heights_for([2.0], Type(ratio=1.01, stroke_share=0.2), SETTINGS)
    assert letters.rows[0].limit is None
    assert letters.rows[0].by_viewer == (None, None, None)
    assert letters.doubts == (Doubt.LOW_CONTRAST,)
    assert reaches_of(20.0, Type(ratio=1.01, stroke_share=0.2), SETTINGS).reaches[0].by_viewer == (None, None, None)


def test_every_rule_is_as_published() -> None:
    assert {rule.name for rule in RULES} == HEIGHTS_MM.keys()
    for rule in RULES:
        height_mm, distance_m = HEIGHTS_MM[rule.name]
        assert rule.height_mm(distance_m) == pytest.approx(height_mm, rel=1e-3)
        assert rule.distance_m(height_mm) == pytest.approx(distance_m, rel=2e-3)
        assert rule.source
        assert rule.short_source


@pytest.mark.parametrize(("feet", "inches"), ADA_2010)
def test_wall_signs_are_the_table_of_the_ada_standards(feet: float, inches: float) -> None:
    assert RULES[-1].height_mm(feet * 0.3048) == pytest.approx(inches * 25.4)


def test_a_rule_may_allow_small_letters_nowhere() -> None:
    assert RULES[-1].distance_m(15.8) is None
    assert RULES[-1].distance_m(15.875) == pytest.approx(6 * 0.3048)
