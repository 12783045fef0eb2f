"""The program as a process: pipes, encodings, Ctrl-C, full disks."""

import json
import os
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

from cli.support import draw

COMMAND = [sys.executable, "-m", "standback"]


def start(*args: str, **how: Any) -> subprocess.Popen[bytes]:
    streams = {"stdin": subprocess.DEVNULL, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    return subprocess.Popen([*COMMAND, *args], **{**streams, **how})


def test_exit_code_and_streams(good: Path, faint: Path) -> None:
    process = start("audit", "good.png", "faint.png", "missing.png", "--jobs", "2", "--json", "-")
    out, err = process.communicate()
    assert process.returncode == 3
    assert [poster["verdict"] for poster in json.loads(out)["posters"]] == ["pass", "fail"]
    assert err.decode().splitlines()[0].startswith("standback: missing.png: ")
    assert len(err.splitlines()) == 1, "no progress where stderr is no terminal"


@pytest.mark.parametrize(("args", "most_s"), [(("--help",), 0.25), (("letters", "--from", "8m"), 0.4)])
def test_start_up_is_quick(args: tuple[str, ...], most_s: float) -> None:
    # the processor's time, since others may be at work on the machine; the best of five, for the same reason
    def spent_s() -> float:
        before = os.times()
        subprocess.run([*COMMAND, *args], stdout=subprocess.DEVNULL, check=True)
        after = os.times()
        return after.children_user - before.children_user + after.children_system - before.children_system

    assert min(spent_s() for _ in range(5)) < most_s


@pytest.mark.parametrize("args", [("--help",), ("audit", "good.png"), ("audit", "good.png", "--json", "-")])
def test_a_reader_that_goes_away_is_no_error(good: Path, args: tuple[str, ...]) -> None:
    process = start(*args)
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()
    assert process.stderr.read() == b""
    process.stderr.close()
    assert process.wait() == 0


@pytest.mark.parametrize("args", [("audit", "été.png"), ("audit", "été.png", "--json", "-")])
def test_an_ascii_terminal_is_no_error(folder: Path, args: tuple[str, ...]) -> None:
    draw(folder / "été.png")
    env = {**os.environ, "PYTHONIOENCODING": "ascii", "LC_ALL": "C"}
    process = start(*args, "missing-é.png", env=env)
    out, err = process.communicate()
    assert process.returncode == 3
    assert err.decode("ascii").startswith("standback: missing-\\xe9.png: ")
    if "--json" in args:
        assert json.loads(out.decode("utf-8"))["posters"][0]["file"] == "été.png"
    else:
        assert "\\xe9t\\xe9.png" in out.decode("ascii")


def test_a_full_disk_behind_stdout_is_told(good: Path) -> None:
    with Path("/dev/full").open("wb") as full:
        process = start("audit", "good.png", stdout=full)
        _, err = process.communicate()
    assert process.returncode == 2
    assert err.decode() == (
        "standback: the results could not be written (no space left on device); send them elsewhere\n"
    )


def test_closed_streams_are_no_error(good: Path) -> None:
    command = f'exec "{sys.executable}" -m standback audit good.png missing.png >&- 2>&-'
    assert subprocess.run(["bash", "-c", command], check=False).returncode == 3


@pytest.mark.parametrize("processes", [1, 2, 3])
def test_ctrl_c_ends_the_workers_too(folder: Path, processes: int) -> None:
    names = [draw(folder / f"{n}.png").name for n in range(20)]
    process = start("audit", *names, "--jobs", "2", "--json", "report.json", start_new_session=True)
    # at once, while the workers start, and while they work: multiprocessing adds a watcher to the two
    while children(process.pid) < processes:
        assert process.poll() is None
        time.sleep(0.005)
    os.killpg(process.pid, signal.SIGINT)
    out, err = process.communicate(timeout=60)
    assert process.returncode == 130
    assert out == b""
    assert err.decode().strip() == "standback: stopped; nothing more is written"
    assert not Path("report.json").exists()
    deadline = time.monotonic() + 10
    while group_is_alive(process.pid):
        assert time.monotonic() < deadline, "a worker outlived the run"
        time.sleep(0.01)


def children(process: int) -> int:
    """Count the processes that the threads of a process have started."""
    count = 0
    for threads in Path(f"/proc/{process}/task").glob("*/children"):
        with suppress(FileNotFoundError):  # a thread that has ended since
            count += len(threads.read_text().split())
    return count


def group_is_alive(group: int) -> bool:
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    return True
