"""Changes of size after which one line clearly leads, checked by drawing the sheet anew."""

import re
from dataclasses import replace

import numpy as np
import pytest

from checks.builders import measured, text_line
from standback.arrangement import Arrangement
from standback.artwork import Artwork, from_srgb8
from standback.changes import with_changes
from standback.checks import check_of
from standback.findings import Finding
from standback.measure.again import Scene
from standback.measure.focus import measure_focus
from standback.measure.model import Measurement, Measurements
from standback.measure.notice import adapting
from standback.settings import Limits, Settings, stations

PLACES = stations(5.0)
WIDTH, HEIGHT = 1680, 2376


def bar(name: str, x0: float, y0: float, x1: float, y1: float) -> Measurement:
    """A hatched bar in px of an A2 at 4 px a mm."""
    left, top, right, bottom = (round(v) for v in (x0, y0, x1, y1))
    mask = np.ones((bottom - top, right - left), dtype=np.bool_)
    mask[:, ::40] = False
    line = text_line(at=(left, top), size_px=(right - left, bottom - top), cap_px=float(bottom - top))
    tier = "lead" if name == "L01" else "support"
    return replace(measured(name, line=replace(line, mask=mask, core=mask), tier=tier), far_m=5.0, carry_m=40.0)


def sheet(*lines: Measurement) -> Artwork:
    srgb8 = np.full((HEIGHT, WIDTH, 3), 255, dtype=np.uint8)
    for m in lines:
        box = m.line.box_px
        srgb8[box.y0 : box.y1, box.x0 : box.x1][m.line.mask] = m.line.ink_srgb8
    return from_srgb8(srgb8, size_mm=(WIDTH / 4, HEIGHT / 4), file="drawn.png")


def looked_at(*lines: Measurement) -> Measurements:
    pull, looks = measure_focus(lines, (), (), sheet(*lines), Settings(), PLACES)
    return Measurements(lines=lines, arrangement=Arrangement(pull=pull, looks=looks))


def found(*lines: Measurement, settings: Settings | None = None) -> list[Finding]:
    settings = settings or Settings()
    artwork, seen = sheet(*lines), looked_at(*lines)
    scene = Scene(artwork=artwork, sheet=adapting(artwork), settings=settings, places=PLACES)
    return list(with_changes(check_of("no-lead").run(seen, settings.limits), seen, scene))


def times_in(change: str) -> float:
    """How many times as high the letters become, to the mm in which that is said."""
    new, now = (float(mm) for mm in re.findall(r"([0-9.]+) mm", change))
    return new / now


@pytest.mark.parametrize(
    ("title", "grown"),
    [((120, 500, 820, 660), "to the right and up"), ((490, 500, 1190, 660), "to both sides and up")],
)
def test_the_lead_line_is_set_larger_where_there_is_room(title: tuple[int, ...], grown: str) -> None:
    x0, y0, x1, y1 = title
    rival = bar("L02", 120, 1716, 820, 1876)
    (finding,) = found(bar("L01", x0, y0, x1, y1), rival)
    assert finding.change is not None
    assert f"grown {grown}, " in finding.change
    times = times_in(finding.change)
    assert 1 < times < 2
    wide, high = times * (x1 - x0), times * (y1 - y0)
    left = (x0 + x1 - wide) / 2 if "both" in grown else x0
    again = looked_at(bar("L01", left, y1 - high, left + wide, y1), rival)
    assert check_of("no-lead").run(again, Limits()) == ()
    shares = {look.elements: look.share for look in again.arrangement.looks_from("far")}
    said = float(finding.change.partition("L01 draws ")[2].partition(" times")[0])
    assert shares["L01",] / shares["L02",] == pytest.approx(said, abs=0.15)


def test_else_what_rivals_it_is_set_smaller() -> None:
    title = bar("L01", 30, 500, 1650, 660)
    (finding,) = found(title, bar("L02", 30, 1716, 1650, 1876))
    assert finding.change is not None
    assert finding.change.startswith("Set L02 ")
    times = times_in(finding.change)
    assert times < 1
    again = looked_at(title, bar("L02", 30, 1716, 30 + 1620 * times, 1716 + 160 * times))
    assert check_of("no-lead").run(again, Limits()) == ()


def test_nothing_is_offered_where_no_size_will_do() -> None:
    beyond = Settings(limits=replace(Limits(), lead_ratio=50.0))
    (finding,) = found(bar("L01", 30, 500, 1650, 660), bar("L02", 30, 1716, 1650, 1876), settings=beyond)
    assert finding.change is None
