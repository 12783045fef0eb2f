"""Outlines of drawn figures: contrast all along them, and which have a shape to tell."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import binary_dilation
from skimage.morphology import disk

from standback.arrangement import Arrangement
from standback.artwork import Artwork, from_srgb8
from standback.changes import with_changes
from standback.checks import check_of
from standback.elements import Box, Figure, Mask, Srgb8
from standback.light import contrast_ratio
from standback.measure.again import Scene
from standback.measure.model import FigureMeasurement, Measurements
from standback.measure.notice import adapting
from standback.measure.outline import measure_outlines, outline_ratios, ratios_with_line
from standback.settings import Limits, Settings, stations

SIDE = 300
PAPER, INK = (240, 240, 240), (60, 60, 60)


def cross() -> Mask:
    """A cross of two bars: it fills two thirds of its convex hull."""
    mask = np.zeros((SIDE, SIDE), dtype=np.bool_)
    mask[120:180] = True
    mask[:, 120:180] = True
    return mask[50:250, 50:250]


def figure(mask: Mask, at: tuple[int, int] = (50, 50), *, area_share: float = 0.2) -> FigureMeasurement:
    x, y = at
    height, width = mask.shape
    return FigureMeasurement(
        id="F01",
        figure=Figure(
            box_px=Box(x0=x, y0=y, x1=x + width, y1=y + height),
            mask=mask,
            mask_scale=1,
            colour_srgb8=INK,
            ground_srgb8=PAPER,
            ratio=1.0,
            area_share=area_share,
            picture=False,
        ),
        box_mm=(x, y, x + width, y + height),
        ratio_wanted=3.0,
        far_m=5.0,
        carry_m=20.0,
        seen=(),
        name=None,
        doubts=(),
    )


def sheet(mask: Mask, at: tuple[int, int] = (50, 50), *, ground: Srgb8 = PAPER, right: Srgb8 = PAPER) -> Artwork:
    """The figure in its ink; the right half of the ground may be of another colour."""
    srgb8 = np.full((SIDE, SIDE, 3), ground, dtype=np.uint8)
    srgb8[:, SIDE // 2 :] = right
    x, y = at
    srgb8[y : y + mask.shape[0], x : x + mask.shape[1]][mask] = INK
    return from_srgb8(srgb8, size_mm=(SIDE, SIDE), file="drawn.png")


def test_the_contrast_of_two_even_colours() -> None:
    ratios = outline_ratios(figure(cross()).figure, sheet(cross()))
    assert len(ratios) > 400
    assert ratios == pytest.approx(np.full(len(ratios), contrast_ratio(INK, PAPER)), rel=0.01)


def test_each_part_of_the_outline_counts_for_itself() -> None:
    dark = (80, 80, 80)
    (half,) = measure_outlines([figure(cross())], sheet(cross(), right=dark), 3.0)
    assert half.held == pytest.approx(0.5, abs=0.02)
    (lost,) = measure_outlines([figure(cross())], sheet(cross(), ground=dark, right=dark), 3.0)
    assert lost.held == 0
    assert lost.ratio == pytest.approx(contrast_ratio(INK, dark), rel=0.01)


def test_a_line_around_it_is_measured_as_if_drawn() -> None:
    dark, mask, line = (80, 80, 80), cross(), np.zeros((220, 220), dtype=np.bool_)
    line[10:210, 10:210] = mask
    wide = binary_dilation(line, disk(5))
    drawn = sheet(wide, (40, 40), ground=dark, right=dark)
    drawn_codes = drawn.srgb8.copy()
    drawn_codes[40:260, 40:260][wide & ~line] = PAPER
    there = outline_ratios(
        figure(wide, (40, 40)).figure, from_srgb8(drawn_codes, size_mm=(SIDE, SIDE), file="drawn.png")
    )
    foretold = ratios_with_line(figure(mask).figure, sheet(mask, ground=dark, right=dark), PAPER, 5.0)
    assert np.median(foretold) == pytest.approx(np.median(there), rel=0.02)
    assert np.mean(foretold >= 3.0) == pytest.approx(np.mean(there >= 3.0), abs=0.05)


@pytest.mark.parametrize("right", [(90, 90, 90), (100, 110, 100)])
def test_the_line_offered_holds_when_measured(right: Srgb8) -> None:
    dark, mask = (90, 90, 90), cross()
    artwork, limits = sheet(mask, ground=dark, right=right), Limits()
    weak = replace(figure(mask), figure=replace(figure(mask).figure, ground_srgb8=dark))
    outlines = measure_outlines([weak], artwork, limits.detail_ratio)
    measured = Measurements(figures=(weak,), arrangement=Arrangement(outlines=outlines))
    scene = Scene(artwork=artwork, sheet=adapting(artwork), settings=Settings(), places=stations(5.0))
    (finding,) = with_changes(check_of("weak-outline").run(measured, limits), measured, scene)
    assert finding.change is not None
    r, g, b = bytes.fromhex(finding.change.partition("#")[2][:6])
    held = np.mean(ratios_with_line(weak.figure, artwork, (r, g, b), 2.9) >= limits.detail_ratio)
    assert held >= limits.outline_share
    assert f"2.9 mm wide or more: then {held:.0%} of it" in finding.change


def test_shapes_that_tell_nothing() -> None:
    block = np.ones((200, 200), dtype=np.bool_)
    y, x = np.ogrid[:200, :200]
    disc = (y - 99.5) ** 2 + (x - 99.5) ** 2 <= 100**2
    for mask in (block, disc):
        assert measure_outlines([figure(mask)], sheet(mask), 3.0) == ()


def test_what_runs_off_the_sheet_is_a_part_of_something() -> None:
    assert measure_outlines([figure(cross(), (0, 50))], sheet(cross(), (0, 50)), 3.0) == ()


def test_only_the_main_figure_or_those_that_the_brief_names() -> None:
    artwork, large = sheet(cross()), figure(cross())
    rival = replace(large, id="F02", figure=replace(large.figure, area_share=0.11))
    assert [o.element for o in measure_outlines([large], artwork, 3.0)] == ["F01"]
    assert measure_outlines([large, rival], artwork, 3.0) == (), "neither is the main one"
    assert measure_outlines([figure(cross(), area_share=0.01)], artwork, 3.0) == (), "too small to be the main one"
    assert [o.element for o in measure_outlines([large, replace(rival, name="crane")], artwork, 3.0)] == ["F02"]
    assert measure_outlines([], artwork, 3.0) == ()
