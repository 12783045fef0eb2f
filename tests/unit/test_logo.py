"""Which lines are the lettering of a logo: pictures made by hand, and what is asked of them then."""

from dataclasses import replace

import numpy as np
import pytest

from checks.builders import measured, text_line
from standback.artwork import from_srgb8
from standback.checks.unjudged import not_judged
from standback.elements import Line, Srgb8
from standback.judge import failed
from standback.measure.logo import logos
from standback.measure.model import Measurements
from standback.settings import Limits

LIMITS = Limits()
RED, BLUE, GREY, SLATE, WHITE = (220, 40, 30), (20, 60, 200), (120, 120, 120), (60, 60, 60), (255, 255, 255)


def lettering(y: int = 760, *, letters: int = 8) -> Line:
    """Draw up letters 20 px high, at the foot of a sheet 800 px high if at 760."""
    return text_line(cap_px=20.0, at=(200, y), size_px=(20 * letters, 20), ink=GREY)


def found(
    line: Line,
    mark: tuple[Srgb8, Srgb8],
    *,
    gap_px: int = 8,
    others: tuple[Line, ...] = (),
    tier: str = "small",
    title_px: float = 60.0,
) -> bool:
    codes = np.full((800, 600, 3), 255, dtype=np.uint8)
    box = line.box_px
    for one in (line, *others):
        part = one.box_px
        codes[part.y0 : part.y1, part.x0 : part.x1 : 2] = one.ink_srgb8
    top, left = box.y0 - gap_px - 40, box.x0
    for n, colour in enumerate(mark):
        codes[top : top + 40, left + 50 * n : left + 50 * n + 40] = colour
    lines = (line, *others, text_line(cap_px=title_px, at=(20, 500)))
    return logos(lines, [tier] * len(lines), from_srgb8(codes, size_mm=(150.0, 200.0)), LIMITS)[0]


def test_a_line_with_a_mark_of_two_colours_is_of_a_logo() -> None:
    assert found(lettering(), (RED, BLUE))
    assert found(lettering(70), (RED, BLUE))


@pytest.mark.parametrize("mark", [(RED, RED), (RED, SLATE), (SLATE, GREY), (WHITE, WHITE), (RED, (235, 60, 40))])
def test_an_icon_in_one_colour_makes_no_logo(mark: tuple[Srgb8, Srgb8]) -> None:
    assert not found(lettering(), mark)


@pytest.mark.parametrize(
    ("line", "about"),
    [
        # in the midst of the sheet it is a picture and its caption
        (lettering(400), {}),
        (lettering(), {"tier": "lead"}),
        (lettering(letters=25), {}),
        # a line and a half off
        (lettering(), {"gap_px": 30}),
        # what is set as another line is, is text
        (lettering(), {"others": (lettering(300),)}),
    ],
)
def test_other_lines_are_of_none(line: Line, about: dict[str, object]) -> None:
    assert not found(line, (RED, BLUE), **about)  # type: ignore[arg-type]


def test_a_frame_close_by_hides_no_logo() -> None:
    line, codes = lettering(), np.full((800, 600, 3), 255, dtype=np.uint8)
    codes[790:792] = GREY  # a frame's edge, half a letter under the lettering, from side to side
    codes[760:780, 200:360:2] = GREY
    codes[716:754, 200:240], codes[716:754, 250:290] = RED, BLUE
    title = text_line(cap_px=60.0, at=(20, 500))
    assert logos((line, title), ("small", "lead"), from_srgb8(codes, size_mm=(150.0, 200.0)), LIMITS) == (True, False)


def test_the_largest_line_is_of_none() -> None:
    assert not found(lettering(), (RED, BLUE), title_px=15.0)


def test_nor_is_what_stands_at_a_photograph() -> None:
    line, codes = lettering(), np.full((800, 600, 3), 255, dtype=np.uint8)
    rng = np.random.default_rng(3)
    codes[700:752, 200:360] = rng.integers(0, 255, (52, 160, 3))
    codes[760:780, 200:360:2] = GREY
    title = text_line(cap_px=60.0, at=(20, 500))
    assert logos((line, title), ("small", "lead"), from_srgb8(codes, size_mm=(150.0, 200.0)), LIMITS) == (False, False)


def test_nothing_is_asked_of_a_logos_lettering_and_that_is_said() -> None:
    faint = measured("L04", line=lettering(), ratio=1.5, reach_m=0.2, tier="small")
    title = measured("L01", tier="lead")
    assert {f.check for f in failed(Measurements(lines=(title, faint)), LIMITS)} == {"faint-text", "short-reach"}
    logo = Measurements(lines=(title, replace(faint, logo=True)))
    assert failed(logo, LIMITS) == ()
    whys = {n.check: n.why for n in not_judged(logo, LIMITS)}
    assert whys["faint-text"].startswith("L04, taken for the lettering of a logo")
