"""A change that is offered, made on the poster as its words say, removes the finding.

A sample; `tests/measure_changes.py` measures the shares.
"""

from dataclasses import replace

import pytest

from standback.pipeline import audit_artwork
from standback.settings import Settings
from synth.faults import case, found_at, lines_of, naming
from synth.mended import NotUnderstoodError, mended


@pytest.mark.parametrize(
    ("check", "seed"), [("faint-text", 0), ("short-reach", 1), ("patchy-ground", 0), ("read-late", 1)]
)
def test_the_finding_is_gone_once_the_change_is_made(check: str, seed: int) -> None:
    drawn = case(check, seed)
    plan = replace(drawn.planted, ppi=100.0)
    poster = plan.drawn()
    report = audit_artwork(poster.artwork(), Settings())
    finding = naming(report, poster, drawn)
    assert finding is not None
    assert finding.change is not None
    lines = lines_of(finding, poster)
    again = mended(plan, lines, finding.change).drawn()
    after = audit_artwork(again.artwork(), Settings(far_m=report.stations[0].distance_m))
    assert [f for f in found_at(after, again, lines) if f.check == finding.check] == []


def test_words_that_say_nothing_to_draw_are_refused() -> None:
    drawn = case("faint-text", 0)
    with pytest.raises(NotUnderstoodError):
        mended(drawn.planted, drawn.lines, "Think again.")
