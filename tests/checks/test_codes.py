"""Codes: from where they are scanned, and the ground they need."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from checks.builders import PX_PER_MM
from standback.artwork import from_srgb8
from standback.checks import check_of
from standback.elements import Box, Detail, Srgb8
from standback.findings import Finding
from standback.light import contrast_ratio
from standback.measure.codes import measure_code
from standback.measure.model import CodeMeasurement, DetailMeasurement, Measurements
from standback.settings import Limits

LIMITS = Limits()
GOOD = CodeMeasurement(
    bars=False, width_mm=40.0, module_mm=1.6, quiet_modules=5.0, light_on_dark=False, symbol_contrast=0.9
)
MODULES, MODULE_PX, LEFT = 25, 8, 120
WHITE, BLACK, SIDE_PX = (255, 255, 255), (0, 0, 0), 480


def square(light: Srgb8 = WHITE, dark: Srgb8 = BLACK) -> tuple[np.ndarray[tuple[int, ...], np.dtype[np.uint8]], Detail]:
    """A square code of known modules in the middle of a sheet, and the finder's view of it."""
    cells = np.random.default_rng(3).random((MODULES, MODULES)) < 0.5
    frame = np.pad(np.pad(np.ones((3, 3), bool), 1), 1, constant_values=True)
    cells[:8, :8] = cells[:8, -8:] = cells[-8:, :8] = False
    cells[:7, :7] = cells[:7, -7:] = cells[-7:, :7] = frame
    marks = cells.repeat(MODULE_PX, axis=0).repeat(MODULE_PX, axis=1)
    pixels = np.full((SIDE_PX, SIDE_PX, 3), light, dtype=np.uint8)
    part = pixels[LEFT : LEFT + len(marks), LEFT : LEFT + len(marks)]
    part[marks] = dark
    is_dark = marks if sum(dark) < sum(light) else ~marks
    ink, ground = sorted((light, dark), key=sum)
    detail = Detail(
        box_px=Box(x0=LEFT, y0=LEFT, x1=LEFT + len(marks), y1=LEFT + len(marks)),
        kind="code", mask=is_dark, ink_srgb8=ink, ground_srgb8=ground, ratio=contrast_ratio(ink, ground),
        feature_mm=MODULE_PX / PX_PER_MM, pitch_mm=None, count=1, area_mm2=100.0,
    )  # fmt: skip
    return pixels, detail


def of(pixels: np.ndarray[tuple[int, ...], np.dtype[np.uint8]], detail: Detail) -> CodeMeasurement:
    side_mm = SIDE_PX / PX_PER_MM
    code = measure_code(detail, from_srgb8(pixels, size_mm=(side_mm, side_mm)))
    assert code is not None
    return code


def test_a_square_code_is_measured_by_its_corners() -> None:
    code = of(*square())
    assert (code.bars, code.light_on_dark) == (False, False)
    assert code.width_mm == pytest.approx(MODULES * MODULE_PX / PX_PER_MM)
    assert code.module_mm == pytest.approx(MODULE_PX / PX_PER_MM)
    assert code.symbol_contrast == pytest.approx(1.0)
    assert code.quiet_modules == 14


def test_what_only_looks_like_a_code_is_not_measured() -> None:
    pixels, detail = square()
    mask = detail.mask.copy()
    mask[16:40, 16:40] = ~mask[16:40, 16:40]  # no square in the first corner
    mask[:40, -40:] = True
    spoilt = replace(detail, mask=mask)
    assert measure_code(spoilt, from_srgb8(pixels, size_mm=(120.0, 120.0))) is None
    chart = np.repeat(np.arange(30) % 2 == 0, 12)  # fifteen even columns
    bars = replace(detail, mask=np.tile(chart, (90, 1)), box_px=Box(x0=60, y0=60, x1=60 + len(chart), y1=150))
    assert measure_code(bars, from_srgb8(pixels, size_mm=(120.0, 120.0))) is None


@pytest.mark.parametrize("gap", [1, 3, 6])
def test_quiet_ground_ends_where_something_else_begins(gap: int) -> None:
    pixels, detail = square()
    pixels[200:260, LEFT - 90 : LEFT - gap * MODULE_PX] = (200, 30, 30)
    assert of(pixels, detail).quiet_modules == pytest.approx(gap, abs=0.15)


def test_a_reversed_code_is_known_by_its_corners() -> None:
    code = of(*square(light=(20, 30, 60), dark=(250, 250, 240)))
    assert code.light_on_dark
    assert code.module_mm == pytest.approx(MODULE_PX / PX_PER_MM)
    assert code.quiet_modules == 14


def test_bars_need_ground_at_their_ends_only() -> None:
    widths = np.random.default_rng(4).integers(1, 4, 41)
    widths[::2][:] = np.random.default_rng(5).integers(1, 4, 21)
    marks = np.repeat(np.arange(41) % 2 == 0, widths * 4)
    pixels = np.full((SIDE_PX, SIDE_PX, 3), 255, dtype=np.uint8)
    pixels[200:270, 90 : 90 + len(marks)][:, marks] = 0
    pixels[272:300] = 0  # a caption just below
    box = Box(x0=90, y0=200, x1=90 + len(marks), y1=270)
    _, detail = square()
    code = of(pixels, replace(detail, box_px=box, mask=np.tile(marks, (70, 1)), feature_mm=4 / PX_PER_MM))
    assert (code.bars, code.light_on_dark, code.quiet_modules) == (True, False, 14)


def found(check: str, code: CodeMeasurement) -> tuple[Finding, ...]:
    _, detail = square()
    m = DetailMeasurement(
        id="D01", detail=detail, box_mm=(30.0, 30.0, 80.0, 80.0), ratio_wanted=3.0, far_m=5.0, px_per_mm=PX_PER_MM,
        carry_m=9.0, resolve_m=1.0, seen=(), in_main_figure=False, text_colour=False, name=None, doubts=(), code=code,
    )  # fmt: skip
    return check_of(check).run(Measurements(details=(m,)), LIMITS)


@pytest.mark.parametrize(
    ("change", "measured", "needed"),
    [
        ({}, None, None),
        ({"width_mm": 30.0}, None, None),
        ({"width_mm": 20.0}, 0.2, 0.3),
        ({"symbol_contrast": 0.25}, 0.25, 0.4),
    ],
)
def test_code_reach(change: dict[str, Any], measured: float | None, needed: float | None) -> None:
    findings = found("code-reach", replace(GOOD, **change))
    assert len(findings) == (measured is not None)
    for finding in findings:
        assert finding.measured == pytest.approx(measured)
        assert finding.needed == pytest.approx(needed)


def test_the_width_that_would_do() -> None:
    (finding,) = found("code-reach", replace(GOOD, width_mm=20.0))
    assert finding.change == "Set it 30 mm wide."


@pytest.mark.parametrize(
    ("change", "measured"),
    [
        ({}, []),
        ({"quiet_modules": 2.0}, [2.0]),
        ({"quiet_modules": 3.6}, []),
        ({"bars": True}, [5.0]),
        ({"bars": True, "quiet_modules": 10.0}, []),
        ({"light_on_dark": True}, [None]),
    ],
)
def test_quiet_zone(change: dict[str, Any], measured: list[float | None]) -> None:
    assert [f.measured for f in found("quiet-zone", replace(GOOD, **change))] == measured
