"""A good poster with one fault planted: the fault is named first, and the poster without it passes.

A sample, each kind once; `tests/measure_planted.py` measures the shares.
"""

from dataclasses import replace

import pytest

from standback.findings import Severity
from standback.pipeline import audit_artwork
from standback.settings import Settings
from synth.faults import KINDS, case, naming

PPI = 100.0


@pytest.mark.parametrize(
    ("check", "seed"),
    [("faint-text", 0), ("short-reach", 1), ("patchy-ground", 0), ("fades", 0), ("read-late", 1)],
)
def test_the_planted_fault_is_among_the_first_three(check: str, seed: int) -> None:
    drawn = case(check, seed)
    poster = replace(drawn.planted, ppi=PPI).drawn()
    finding = naming(audit_artwork(poster.artwork(), Settings()), poster, drawn)
    assert finding is not None
    assert finding.rank <= 3
    assert finding.check in (check, *KINDS[check].also_named)


def test_the_good_twin_does_not_fail() -> None:
    report = audit_artwork(replace(case("patchy-ground", 0).good, ppi=PPI).drawn().artwork(), Settings())
    assert [f.check for f in report.findings if f.severity == Severity.FAIL] == []


def test_a_seed_always_draws_the_same() -> None:
    assert case("faint-text", 5) == case("faint-text", 5)
    assert case("faint-text", 5).good != case("faint-text", 6).good


@pytest.mark.parametrize("check", KINDS)
def test_nothing_but_the_planted_lines_differs(check: str) -> None:
    # what melts is searched for by its definition, which takes its time
    for seed in range(1 if check == "washed-out" else 3):
        drawn = case(check, seed)
        others = [line for n, line in enumerate(drawn.planted.settings) if n not in drawn.lines]
        assert others
        assert all(line in drawn.good.settings for line in others)
        assert drawn.planted != drawn.good
