"""Drafts made by hand: lines and details with the numbers that a table asks for, judged by the real checks."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from reports.fixture import BLANK, box, line, mm
from standback.elements import Detail
from standback.findings import Finding, PosterReport, ranked
from standback.judge import causes, failed
from standback.measure.model import DetailMeasurement, Measurement, Measurements, SeenAt
from standback.settings import Limits, stations


def text(
    name: str = "L01",
    *,
    y_mm: float = 100.0,
    ratio: float = 9.0,
    worst: float | None = None,
    reach_m: float = 8.0,
    jnd: float = 40.0,
    cap_mm: float = 20.0,
    tier: str = "support",
) -> Measurement:
    """A line that nothing is wrong with, but for what is said."""
    made = line(name, box(40, y_mm, 200, cap_mm), cap_mm=cap_mm, ratio=ratio, tier=tier, reach_m=reach_m)
    seen = tuple(
        SeenAt(station=s.station, ratio=5.0, block_ratio=2.0, jnd=jnd, css_px=s.css_px, state=s.state)
        for s in made.seen
    )
    return replace(made, ratio_worst=ratio if worst is None else worst, seen=seen)


def detail(name: str = "D01", *, resolve_m: float = 8.0, ratio: float = 9.0) -> DetailMeasurement:
    """A patch of hatching that nothing is wrong with, but for what is said."""
    box_px = box(300, 300, 50, 50)
    return DetailMeasurement(
        id=name,
        detail=Detail(
            box_px=box_px,
            kind="hatching",
            mask=np.eye(30, dtype=bool),
            ink_srgb8=(0, 0, 0),
            ground_srgb8=(255, 255, 255),
            ratio=ratio,
            feature_mm=1.0,
            pitch_mm=4.0,
            count=9,
            area_mm2=2500.0,
        ),
        box_mm=mm(box_px),
        ratio_wanted=3.0,
        far_m=5.0,
        px_per_mm=4.0,
        carry_m=2 * resolve_m,
        resolve_m=resolve_m,
        seen=tuple(
            SeenAt(station=s.name, ratio=None, block_ratio=None, jnd=9.0, css_px=None, state="reads")
            for s in stations(5.0)
        ),
        in_main_figure=False,
        text_colour=False,
        name=None,
        doubts=(),
    )


def draft(
    lines: Sequence[Measurement] = (),
    details: Sequence[DetailMeasurement] = (),
    *,
    gate: str = "fail",
    waived: Sequence[str] = (),
    file: str = "draft.png",
) -> PosterReport:
    """A draft with these elements; the checks named in `waived` are waived on all of them."""
    measured = Measurements(lines=tuple(lines), details=tuple(details))
    faults = tuple(_waived(fault, waived) for fault in failed(measured, Limits()))
    findings = ranked(causes(faults, measured))
    return replace(
        BLANK,
        file=file,
        elements=measured.lines,
        details=measured.details,
        findings=findings,
        faults=faults,
        gate=gate,
        summary="",
    )


def _waived(fault: Finding, checks: Sequence[str]) -> Finding:
    return replace(fault, waived="agreed") if fault.check in checks else fault
