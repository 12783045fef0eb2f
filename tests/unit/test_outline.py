"""Outlines of drawn figures: contrast all along them, and which have a shape to tell."""

from dataclasses import replace

import numpy as np
import pytest

from standback.artwork import Artwork, from_srgb8
from standback.elements import Box, Figure, Mask, Srgb8
from standback.light import contrast_ratio
from standback.measure.model import FigureMeasurement
from standback.measure.outline import measure_outlines, outline_ratios

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
