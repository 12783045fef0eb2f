"""What pulls the eye on drawn sheets, how it is shared out, and the walk-up in words."""

from dataclasses import replace

import numpy as np
import pytest

from checks.builders import measured, text_line
from standback.approach import walk_up
from standback.arrangement import Arrangement, Group, Look, Looks
from standback.artwork import Artwork, from_srgb8
from standback.checks.focus import LEAST_EXPLAINED, NO_LEAD, explained
from standback.elements import Box, Figure, Srgb8
from standback.measure.focus import measure_focus
from standback.measure.model import FigureMeasurement, Measurement, Measurements
from standback.settings import Limits, Settings, stations

PLACES = stations(5.0)


def bar(name: str, top_px: int, ink: Srgb8, *, height_px: int = 160, reach_m: float = 20.0) -> Measurement:
    line = text_line(at=(200, top_px), size_px=(1200, height_px), cap_px=float(height_px), ink=ink)
    return measured(name, line=line, reach_m=reach_m)


def disc(name: str, centre_px: tuple[int, int], radius_px: int, called: str | None = None) -> FigureMeasurement:
    y, x = np.ogrid[:40, :40]
    mask = (y - 19.5) ** 2 + (x - 19.5) ** 2 <= 400
    (cx, cy), r = centre_px, radius_px
    box = Box(x0=cx - r, y0=cy - r, x1=cx + r, y1=cy + r)
    return FigureMeasurement(
        id=name,
        figure=Figure(
            box_px=box,
            mask=mask,
            mask_scale=2 * r // 40,
            colour_srgb8=(200, 30, 20),
            ground_srgb8=(255, 255, 255),
            ratio=5.0,
            area_share=0.05,
            picture=False,
        ),
        box_mm=(box.x0 / 4, box.y0 / 4, box.x1 / 4, box.y1 / 4),
        ratio_wanted=3.0,
        far_m=5.0,
        carry_m=40.0,
        seen=(),
        name=called,
        doubts=(),
    )


def sheet(*lines: Measurement, discs: tuple[FigureMeasurement, ...] = ()) -> Artwork:
    """An A2 at 4 px a mm: lines as hatched bars, figures as discs."""
    srgb8 = np.full((2376, 1680, 3), 255, dtype=np.uint8)
    for m in lines:
        box = m.line.box_px
        srgb8[box.y0 : box.y1, box.x0 : box.x1] = m.line.ink_srgb8
        srgb8[box.y0 : box.y1, box.x0 : box.x1][:, ::40] = 255
    y, x = np.ogrid[:2376, :1680]
    for f in discs:
        box = f.figure.box_px
        r, cx, cy = box.width / 2, (box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2
        srgb8[(y - cy) ** 2 + (x - cx) ** 2 <= r * r] = f.figure.colour_srgb8
    return from_srgb8(srgb8, size_mm=(420, 594), file="drawn.png")


def looks(*lines: Measurement, discs: tuple[FigureMeasurement, ...] = ()) -> list[tuple[str, ...]]:
    _, found = measure_focus(lines, discs, (), sheet(*lines, discs=discs), Settings(), PLACES)
    return [look.elements for look in found[0].looks]


def test_the_darker_of_two_bars_is_looked_at_first() -> None:
    black, pale = (0, 0, 0), (215, 215, 215)
    assert looks(bar("L01", 500, black), bar("L02", 1500, pale))[0] == ("L01",)
    assert looks(bar("L01", 500, pale), bar("L02", 1500, black))[0] == ("L02",)


def test_a_large_red_disc_comes_before_small_print() -> None:
    small = bar("L01", 2100, (60, 60, 60), height_px=30)
    assert looks(small, discs=(disc("F01", (800, 800), 400),))[0] == ("F01",)


def test_shares_are_parts_of_a_whole_at_every_station() -> None:
    one, two = bar("L01", 500, (0, 0, 0)), bar("L02", 1500, (90, 90, 90))
    pull, _ = measure_focus([one, two], (), (), sheet(one, two), Settings(), PLACES)
    assert [(p.element, p.station) for p in pull] == [(e, s.name) for s in PLACES for e in ("L01", "L02")]
    for station in PLACES:
        shares = [p.share for p in pull if p.station == station.name]
        assert 0.3 < sum(shares) <= 1
    # a bar covers 5 % of the sheet, and a little more of where people look whatever is shown
    assert all(0.04 < p.centre_bias < 0.15 for p in pull)


def test_a_line_on_a_figure_counts_once() -> None:
    title, sun = bar("L01", 700, (0, 0, 0)), disc("F01", (800, 800), 600)
    pull, _ = measure_focus([title], [sun], (), sheet(title, discs=(sun,)), Settings(), PLACES)
    assert sum(p.share for p in pull if p.station == "far") <= 1 + 1e-9


def test_lines_of_one_style_in_one_group_are_one_look() -> None:
    two = [bar("L01", 500, (0, 0, 0)), bar("L02", 720, (0, 0, 0))]
    group = Group(name=None, elements=("L01", "L02"), whence="guess", box_mm=(50, 125, 350, 220))
    _, found = measure_focus(two, (), [group], sheet(*two), Settings(), PLACES)
    assert [set(look.elements) for look in found[0].looks] == [{"L01", "L02"}]


def test_what_is_not_noticed_is_not_looked_at() -> None:
    one, two = bar("L01", 500, (0, 0, 0)), replace(bar("L02", 1500, (0, 0, 0)), carry_m=1.0)
    _, found = measure_focus([one, two], (), (), sheet(one, two), Settings(), PLACES)
    assert [[look.elements for look in at.looks] for at in found[:2]] == [[("L01",)]] * 2
    assert {look.elements for look in found[2].looks} == {("L01",), ("L02",)}


@pytest.mark.parametrize("colour", [(255, 255, 255), (120, 30, 60)])
def test_a_sheet_of_one_colour_pulls_nowhere(colour: Srgb8) -> None:
    artwork = from_srgb8(np.full((600, 400, 3), colour, dtype=np.uint8), size_mm=(400, 600), file="even.png")
    pull, _ = measure_focus([bar("L01", 100, (0, 0, 0))], (), (), artwork, Settings(), PLACES)
    assert [p.share for p in pull] == [0, 0, 0]
    assert measure_focus((), (), (), artwork, Settings(), PLACES) == ((), ())


def order(*looks: tuple[tuple[str, ...], float]) -> tuple[Looks, ...]:
    seen = tuple(Look(elements=elements, share=share) for elements, share in looks)
    return tuple(Looks(station=station.name, looks=seen) for station in PLACES)


def said(measurements: Measurements) -> list[str]:
    return [step.says for step in walk_up(measurements, PLACES, width_mm=420, height_mm=594)]


def test_the_walk_up_in_words() -> None:
    title = replace(bar("L01", 200, (0, 0, 0)), wording="LOW WATER")
    date = replace(bar("L02", 1900, (0, 0, 0), reach_m=3.0), wording="date")
    small = bar("L03", 2250, (0, 0, 0), reach_m=0.6)
    arrangement = Arrangement(
        looks=order((("F01",), 0.5), (("L01",), 0.2), (("L02",), 0.1), (("F02",), 0.01), (("L03",), 0.0))
    )
    figures = (disc("F01", (800, 800), 400, "heron"), disc("F02", (1500, 2300), 40))
    found = Measurements(lines=(title, date, small), figures=figures, arrangement=arrangement)
    assert said(found) == [
        "from 5 m: heron, then LOW WATER",
        "from 2 m: + date",
        "from 50 cm: + the line across the bottom (L03)",
    ]


def test_the_walk_up_says_what_is_not_there() -> None:
    late = bar("L01", 200, (0, 0, 0), reach_m=1.0)
    found = Measurements(lines=(late,), arrangement=Arrangement(looks=order((("L01",), 0.5))))
    assert said(found)[:2] == ["from 5 m: nothing", "from 2 m: nothing"]
    steps = walk_up(found, PLACES, width_mm=420, height_mm=594)
    assert [(step.reads, step.looks) for step in steps] == [((), ()), ((), ()), (("L01",), (("L01",),))]


def test_many_looks_are_counted() -> None:
    lines = tuple(bar(f"L{n:02d}", 200 * n, (0, 0, 0)) for n in range(1, 8))
    found = Measurements(lines=lines, arrangement=Arrangement(looks=order(*(((m.id,), 0.1) for m in lines))))
    assert said(found)[0].endswith(", then 3 more lines")
    assert said(found)[1:] == ["from 2 m: nothing more", "from 50 cm: nothing more"]


def test_two_shapes_are_told_apart() -> None:
    figures = (disc("F01", (800, 800), 400), disc("F02", (800, 1700), 300))
    found = Measurements(figures=figures, arrangement=Arrangement(looks=order((("F02",), 0.5), (("F01",), 0.2))))
    assert said(found)[0] == "from 5 m: the shape at the bottom centre (F02), then the shape at the centre (F01)"
    alone = Measurements(figures=figures[:1], arrangement=Arrangement(looks=order((("F01",), 0.2))))
    assert said(alone)[0] == "from 5 m: the shape"


def test_two_titles_that_pull_alike() -> None:
    """One at the top and one at the bottom, the same as each other but for their place."""
    one, two = (replace(bar(name, top, (0, 0, 0)), tier="lead") for name, top in (("L01", 400), ("L02", 1816)))
    pull, looks = measure_focus([one, two], (), (), sheet(one, two), Settings(), PLACES)
    found = Measurements(lines=(one, two), arrangement=Arrangement(pull=pull, looks=looks))
    assert explained(found) >= LEAST_EXPLAINED
    assert [f.elements for f in NO_LEAD.run(found, Limits())] == [("L01", "L02")]
    pale = replace(bar("L02", 1816, (200, 200, 200)), tier="lead")
    pull, looks = measure_focus([one, pale], (), (), sheet(one, pale), Settings(), PLACES)
    assert NO_LEAD.run(Measurements(lines=(one, pale), arrangement=Arrangement(pull=pull, looks=looks)), Limits()) == ()
