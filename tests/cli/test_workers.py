"""Several posters at once: order, and a worker that dies."""

from pathlib import Path

import pytest

import calls
from cli.support import draw
from standback import batch
from standback.findings import Unreadable
from standback.settings import Settings
from standback.workers.local import LocalPool

TASK = batch.Task(settings=Settings())


def test_outcomes_come_in_input_order(folder: Path) -> None:
    files = [str(draw(folder / f"{n}.png", height_mm=20 + 10 * n)) for n in range(4)]
    told = Unreadable(file="in", why="because")
    items = (files[0], "missing.png", files[1], told, files[2], files[3])
    outcomes = list(batch.audit_all(items, TASK, LocalPool(3)))
    names = [outcome.file if isinstance(outcome, Unreadable) else outcome.poster.file for outcome in outcomes]
    assert names == [item if isinstance(item, str) else item.file for item in items]
    assert outcomes[3] is told


def test_a_worker_that_dies_costs_its_own_file(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files = [str(draw(folder / f"{n}.png")) for n in (1, 2)]
    monkeypatch.setattr("standback.batch._quiet_audit", calls.die_on_1)
    lost, next_one = batch.audit_all(files, TASK, LocalPool(1))
    assert isinstance(lost, Unreadable)
    assert lost.file == files[0]
    assert lost.why.startswith("its audit was ended from outside")
    assert lost.trace is None
    assert isinstance(next_one, batch.Audited)


def test_a_batch_keeps_no_ink_masks(folder: Path) -> None:
    outcome = batch.audit_file(str(draw(folder / "poster.png")), TASK)
    assert isinstance(outcome, batch.Audited)
    assert outcome.poster.elements
    assert all(element.line.mask.size == 0 for element in outcome.poster.elements)


def test_a_proof_comes_with_the_audit(folder: Path) -> None:
    task = batch.Task(settings=Settings(), documents=("proof",))
    outcome = batch.audit_file(str(draw(folder / "poster.png")), task)
    assert isinstance(outcome, batch.Audited)
    assert outcome.documents["proof"].startswith(b"\x89PNG")


def test_an_audit_that_takes_too_long_costs_only_its_own_file(folder: Path) -> None:
    file = str(draw(folder / "poster.png"))
    task = batch.Task(settings=Settings(), timeout_s=0.001)
    (outcome,) = batch.audit_all([file], task, LocalPool(1))
    assert isinstance(outcome, Unreadable)
    assert outcome.file == file
    assert outcome.why.startswith("its audit took longer than the 0.001 s allowed")
