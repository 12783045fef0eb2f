"""`audit --cluster`: a batch on the workers of a scheduler, some of which die."""

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import pytest
from PIL import Image

import calls
from cli.support import Program
from standback import batch
from standback.errors import UsageError
from standback.settings import Settings
from standback.workers import DiedError, GoneError, LostError, TooLongError, in_order
from standback.workers.cluster import ClusterPool

TESTS = Path(__file__).parents[1]


@contextmanager
def started(log: Path, *args: str, ready: str, times: int = 1) -> Iterator[tuple[subprocess.Popen[bytes], str]]:
    """Start a part of a cluster as README.md does, wait until it has said so, and end it with all its processes."""
    env = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join([str(TESTS), *sys.path]),
        "DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES": "1",
    }
    command = [sys.executable, "-m", "dask", *args, "--no-dashboard"]
    with log.open("wb") as file:
        process = subprocess.Popen(command, env=env, stderr=file, start_new_session=True)
    try:
        while len(told := re.findall(ready, log.read_text())) < times:
            assert process.poll() is None, log.read_text()
            time.sleep(0.05)
        yield process, told[-1]
    finally:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()


@pytest.fixture(scope="module")
def scheduler(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[subprocess.Popen[bytes], str]]:
    log = tmp_path_factory.mktemp("scheduler") / "log"
    with started(log, "scheduler", "--host", "127.0.0.1", "--port", "0", ready=r"Scheduler at: +(\S+)") as told:
        yield told


@pytest.fixture(scope="module")
def address(scheduler: tuple[subprocess.Popen[bytes], str], tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A scheduler with two workers of one thread."""
    log = tmp_path_factory.mktemp("workers") / "log"
    args = ("worker", scheduler[1], "--nworkers", "2", "--nthreads", "1")
    with started(log, *args, ready=r"Registered to: +(\S+)", times=2):
        yield scheduler[1]


@pytest.fixture
def hasty(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("standback.workers.cluster._ANSWER_S", 0.5)


def called(
    address: str, function: Callable[[str], str], items: Sequence[str], *, timeout_s: float | None = None
) -> list[str | type[LostError]]:
    with ClusterPool(address, seen=None) as pool:
        results = list(in_order(pool, function, items, timeout_s=timeout_s))
    return [type(result) if isinstance(result, LostError) else result for result in results]


def refusal(program: Program, *args: str | Path) -> str:
    ended = program("audit", *args)
    assert (ended.code, ended.out) == (2, "")
    (line,) = ended.error_lines
    return line


def test_without_dask_the_line_that_installs_it_is_told(
    program: Program, good: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("standback.workers.cluster.find_spec", lambda _: None)
    told = refusal(program, good, "--cluster", "tcp://127.0.0.1:9")
    assert told == "standback: --cluster needs dask, which is not installed: pip install 'standback[cluster]'"


@pytest.mark.usefixtures("hasty")
@pytest.mark.parametrize("address", ["tcp://127.0.0.1:9", "127.0.0.1", "there://127.0.0.1:9"])
def test_where_no_scheduler_answers_is_told(program: Program, good: Path, address: str) -> None:
    told = refusal(program, good, "--cluster", address)
    assert told.startswith(f"standback: --cluster {address}: no scheduler answered there; see that one is running")


def test_jobs_are_for_this_machine(program: Program, good: Path) -> None:
    told = refusal(program, good, "--cluster", "tcp://127.0.0.1:9", "--jobs", "2")
    assert told.endswith("--jobs is for the processes of this machine, and --cluster for others; leave one of them out")


@pytest.mark.usefixtures("hasty")
def test_a_scheduler_without_workers_is_told(
    program: Program, good: Path, scheduler: tuple[subprocess.Popen[bytes], str]
) -> None:
    told = refusal(program, good, "--cluster", scheduler[1])
    assert told.endswith(f"the scheduler has no workers; start some: dask worker {scheduler[1]}")


def test_a_worker_that_does_not_see_the_artwork_is_told(address: str) -> None:
    pool = ClusterPool(address, seen="nowhere.png")
    with pytest.raises(UsageError, match=r"worker tcp://\S+ does not see nowhere\.png; artworks are read by"):
        pool.__enter__()


def test_a_call_whose_process_dies_is_made_again(address: str, tmp_path: Path) -> None:
    assert called(address, calls.die_the_first_time, [str(tmp_path / "been")]) == ["alive"]


def test_one_that_takes_too_long_is_ended(address: str) -> None:
    assert called(address, calls.sleep_on_s, "rst", timeout_s=2.0) == ["R", TooLongError, "T"]


def test_the_report_is_the_same_as_from_here(program: Program, good: Path, address: str) -> None:
    there = program("audit", good.name, "--cluster", address, "--json", "-")
    here = program("audit", good.name, "--json", "-")
    assert (there.code, there.err) == (0, "")
    assert there.out == here.out


def test_a_worker_killed_in_mid_batch_costs_nothing(
    folder: Path, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("standback.batch._quiet_audit", calls.audit_when_told)
    for n in range(4):
        Image.new("RGB", (120, 160), (255, 255, 60 * n)).save(folder / f"{n}.png", dpi=(25.4, 25.4))
    files = [f"{n}.png" for n in range(4)]
    pool = ClusterPool(address, seen=files[0])
    outcomes = batch.audit_all([*files, "missing.png"], batch.Task(settings=Settings()), pool)
    done = [next(outcomes)]
    os.kill(busy_worker(pool), signal.SIGKILL)
    (folder / "go").touch()
    done += outcomes
    names = [one.poster.file if isinstance(one, batch.Audited) else one.file for one in done]
    assert names == [*files, "missing.png"]
    assert [isinstance(one, batch.Audited) for one in done] == [True] * 4 + [False]


def busy_worker(pool: ClusterPool) -> int:
    """The process of a worker that has something to do."""
    while not (busy := [worker for worker, keys in pool._client.processing().items() if keys]):
        pass
    numbers: dict[str, int] = pool._client.run(os.getpid)
    return numbers[busy[0]]


def test_what_keeps_killing_workers_costs_only_itself(address: str) -> None:
    assert called(address, calls.shout_or_kill_worker, ["a", "die", "b"]) == ["A", DiedError, "B"]


def test_a_scheduler_that_goes_is_told_of_all_that_is_left(
    address: str, scheduler: tuple[subprocess.Popen[bytes], str], caplog: pytest.LogCaptureFixture
) -> None:
    with ClusterPool(address, seen=None) as pool:
        results = in_order(pool, calls.shout_slowly, "abcdefgh", timeout_s=None)
        assert next(results) == "A"
        scheduler[0].kill()
        rest = list(results)
    assert len(rest) == 7
    assert isinstance(rest[-1], GoneError)
    assert not caplog.records
