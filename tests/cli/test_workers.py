"""Several posters at once: order, and a worker that dies."""

from pathlib import Path

from cli.support import draw
from standback import batch
from standback.findings import Unreadable
from standback.settings import Settings

TASK = batch.Task(settings=Settings())


def test_outcomes_come_in_input_order(folder: Path) -> None:
    files = [str(draw(folder / f"{n}.png", height_mm=20 + 10 * n)) for n in range(4)]
    told = Unreadable(file="in", why="because")
    items = (files[0], "missing.png", files[1], told, files[2], files[3])
    outcomes = list(batch.audit_all(items, TASK, workers=3))
    names = [outcome.file if isinstance(outcome, Unreadable) else outcome.poster.file for outcome in outcomes]
    assert names == [item if isinstance(item, str) else item.file for item in items]
    assert outcomes[3] is told


def test_a_worker_that_dies_costs_its_own_file(folder: Path) -> None:
    file = str(draw(folder / "poster.png"))
    lane = batch._Lane(TASK)
    try:
        lane._process.kill()
        lane._process.join()
        lane.take((7, file))
        index, outcome = lane.give()
        assert index == 7
        assert isinstance(outcome, Unreadable)
        assert outcome.file == file
        assert outcome.why.startswith("its audit was ended from outside")
        assert outcome.trace is None

        lane.take((8, file))
        index, outcome = lane.give()
        assert index == 8
        assert isinstance(outcome, batch.Audited)
    finally:
        lane.stop()


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
    (outcome,) = batch.audit_all([file], task, workers=1)
    assert isinstance(outcome, Unreadable)
    assert outcome.file == file
    assert outcome.why.startswith("its audit took longer than the 0.001 s allowed")


def test_an_audit_in_time_is_not_ended(folder: Path) -> None:
    file = str(draw(folder / "poster.png"))
    (outcome,) = batch.audit_all([file], batch.Task(settings=Settings(), timeout_s=120.0), workers=1)
    assert isinstance(outcome, batch.Audited)
