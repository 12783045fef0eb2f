"""A few hundred spoilt files of the thousands that `fuzz_files.py` tries, and what it takes for a fault."""

import pytest

from fuzz_files import fuzz
from fuzzing.corpus import corpus
from fuzzing.trying import Bench, fault_of


def test_spoilt_files_are_taken_or_refused() -> None:
    kinds = tuple(corpus())
    tallies = fuzz(seed=20, kinds=kinds, count=30 * len(kinds))
    assert [fault for tally in tallies.values() for fault in tally.faults] == []
    for kind in kinds:  # spoilt, but not beyond all reading
        assert 0 < tallies[kind].taken < tallies[kind].files


@pytest.mark.parametrize(
    "says",
    ["broken\nline", "OSError: no such thing", "it is too large for this machine's memory: export it smaller"],
)
def test_what_is_no_plain_sentence(says: str) -> None:
    assert fault_of(says) is not None


def test_a_worker_that_takes_too_long_is_replaced(monkeypatch: pytest.MonkeyPatch) -> None:
    good = corpus()["png"][0]
    with Bench() as bench:
        monkeypatch.setattr("fuzzing.trying.LIMIT_S", 0.0)
        assert bench.trial("png", good).fault == "no answer within 0 s"
        monkeypatch.undo()
        assert bench.trial("png", good).fault is None
