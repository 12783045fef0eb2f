"""What is found and measured beside lines, where some of them turn out to be rows of a code."""

import pytest

from standback import pipeline
from standback.findings import PosterReport
from standback.pipeline import audit_artwork
from standback.settings import Settings
from synth import Sheet, sans_bold


def report() -> PosterReport:
    sheet, face = Sheet(210, 297, 60, (246, 242, 232)), sans_bold()
    for n, words in enumerate(("Harbour lights", "Open all summer", "Quay Theatre")):
        sheet.text(words, face, (30, 40, 80), (20.0, 40.0 + 70 * n), cap_mm=12.0)
    return audit_artwork(sheet.finish().artwork(), Settings())


def test_what_is_no_line_after_all_is_measured_with_none(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = report()
    assert len(whole.elements) == 3
    monkeypatch.setattr(pipeline, "outside_codes", lambda lines, _: range(1, len(lines)))
    rest = report()
    assert [m.line.box_px for m in rest.elements] == [m.line.box_px for m in whole.elements[1:]]
    assert [m.id for m in rest.elements] == ["L01", "L02"]
    assert [(m.ratio_worst, m.carry_m) for m in rest.elements] == [
        (m.ratio_worst, m.carry_m) for m in whole.elements[1:]
    ]
