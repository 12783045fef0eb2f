"""Checks of word spaces, as tables: spacing and masks in, exact findings out."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from checks.builders import PX_PER_MM, measured, text_line
from standback.checks import check_of
from standback.findings import Finding, Severity
from standback.measure.model import Measurement, Measurements, Spacing
from standback.measure.word_spaces import word_spaces_em
from standback.settings import Limits

X_PX, UNIT_PX, EM_PX = 50.0, 70.0, 100.0


def run(*lines: Measurement) -> tuple[Finding, ...]:
    return check_of("word-spaces").run(Measurements(lines=lines), Limits())


def spaced(
    *, gap: float | None = 0.12, word_gap: float | None = 0.34, capitals: bool = False, unit_px: float = UNIT_PX
) -> Spacing:
    """Letters 0.12 of their height apart, where 0.16 is usual, and words 0.22 more."""
    return Spacing(
        unit_mm=unit_px / PX_PER_MM,
        unit_px=unit_px,
        letters=20,
        capitals=capitals,
        slanted=False,
        letter_gap=gap,
        word_gap=word_gap,
        expected_gap=0.16,
        pairs=(),
        joined=None,
        of_letters=None,
        baseline_px=(300.0, 170.0),
        letter_boxes_px=(),
        unmeasured=None,
    )


def tracked(*, x_px: float | None = X_PX, **about: Any) -> Measurement:
    line = measured(line=text_line(cap_px=UNIT_PX, x_px=x_px))
    return replace(line, spacing=spaced(**about))


@pytest.mark.parametrize(
    ("line", "told"),
    [
        # 0.22 of 70 px are 0.31 of the small letters' 50; 0.34 are asked
        (tracked(), True),
        (tracked(word_gap=0.364), False),
        # as wide as usual, or nearly: the face is made so
        (tracked(gap=0.145, word_gap=0.365), False),
        (tracked(gap=0.143, word_gap=0.363), True),
        # capitals, unknown heights, and heights that can't be both
        (tracked(capitals=True), False),
        (tracked(x_px=None), False),
        (tracked(unit_px=90.0, word_gap=0.28), False),
        (tracked(gap=None), False),
        (tracked(word_gap=None), False),
    ],
)
def test_words_that_run_together(line: Measurement, told: bool) -> None:
    assert bool(run(line)) is told


def test_how_far_to_open_them_is_the_usual() -> None:
    (found,) = run(tracked())
    assert found.severity is Severity.NOTE
    assert found.measured == pytest.approx(0.22 * UNIT_PX / PX_PER_MM)
    assert found.needed == pytest.approx(0.34 * X_PX / PX_PER_MM)
    assert found.change is not None
    assert found.change.startswith("L01: open each word space by about 2.4 mm")


def words(name: str, line_no: int, space_px: int, *, count: int = 5, width_px: int = 0) -> Measurement:
    """Five words of 60 px and the spaces between them, or a line as wide as asked."""
    columns: list[bool] = []
    for n in range(count):
        columns += [True] * 60 + [False] * (space_px * (n < count - 1))
    columns += [True] * (width_px - len(columns))
    mask = np.array([columns] * 4, dtype=np.bool_)
    y = 100 + 140 * line_no
    line = replace(text_line(cap_px=UNIT_PX, x_px=X_PX, at=(100, y), size_px=(len(columns), 70)), mask=mask)
    about = replace(measured(name, line=line, tier="small"), em_mm=EM_PX / PX_PER_MM)
    return replace(about, spacing=replace(spaced(gap=None, word_gap=None), baseline_px=(300.0, y + 70.0)))


def justified(*spaces_px: int, width_px: int = 700) -> list[Measurement]:
    return [words(f"L0{n}", n, space_px, width_px=width_px) for n, space_px in enumerate(spaces_px, start=1)]


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (justified(30, 60, 40), ("L02",)),
        (justified(30, 60, 60), ("L02", "L03")),
        # half as wide again, and over 0.55 em; three lines, four spaces
        (justified(41, 60, 45), ()),
        (justified(30, 54, 40), ()),
        (justified(30, 60), ()),
        ([*justified(30, 60), words("L03", 3, 90, count=3, width_px=700)], ("L02",)),
        # ragged on the right: no line is stretched
        (
            [words(f"L0{n}", n, space, width_px=wide) for n, space, wide in ((1, 30, 700), (2, 60, 640), (3, 40, 560))],
            (),
        ),
        # nothing but the last line is short
        ([*justified(60, 60), words("L03", 3, 30)], ("L01", "L02")),
    ],
)
def test_gaping_words(lines: list[Measurement], told: tuple[str, ...]) -> None:
    assert tuple(element for finding in run(*lines) for element in finding.elements) == told


def test_gaping_words_are_named_with_their_widths() -> None:
    (found,) = run(*justified(30, 60, 40))
    assert (found.severity, found.measured, found.needed) == (Severity.NOTE, 60 / PX_PER_MM, 45 / PX_PER_MM)
    assert "7.5 mm in L01 and of 15 mm in L02, 0.6 ems" in found.says
    assert found.change == "L01 to L03: set them ragged on the right, or let words be divided."


def test_word_spaces_of_a_mask() -> None:
    line = words("L01", 1, 30, count=3).line
    assert word_spaces_em(line, EM_PX).tolist() == [0.3, 0.3]
    assert word_spaces_em(line, 200.0).tolist() == [], "letter gaps"
    assert word_spaces_em(replace(line, angle_deg=90.0), EM_PX).tolist() == []
    assert word_spaces_em(replace(line, mask=line.mask[:, ::2], mask_scale=2), EM_PX).tolist() == [0.3, 0.3]
