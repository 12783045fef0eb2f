"""Items done in two processes: the same results, whatever becomes of the second process."""

import os
import subprocess
import sys
from pathlib import Path
from threading import Event, Thread

import pytest

from standback.forking import in_two_processes, may_fork

AHEAD = """
import atexit, os, sys, time
from standback.forking import in_two_processes, may_fork
first = os.getpid()
def second():
    return os.getpid() != first
def slowly(n):
    time.sleep(0.02)
    return n
"""
TWO_CORES = hasattr(os, "sched_getaffinity") and len(os.sched_getaffinity(0)) > 1
forks = pytest.mark.skipif(not TWO_CORES, reason="needs Linux and two cores")


def printed(script: str) -> str:
    """Run a script in a process without threads, and return what it printed."""
    path = str(Path(__file__).parents[2] / "src")
    ended = subprocess.run(
        [sys.executable, "-c", AHEAD + script],
        env={**os.environ, "PYTHONPATH": path},
        capture_output=True,
        text=True,
        timeout=30,
    )
    assert ended.stderr == ""
    return ended.stdout


@forks
def test_two_processes_share_the_items_and_their_order_is_kept() -> None:
    script = """
done = in_two_processes(lambda n: (slowly(n), second()), range(20))
print([n for n, _ in done] == list(range(20)), sorted({where for _, where in done}))
"""
    assert printed(script) == "True [False, True]\n"


@forks
def test_large_results_come_whole() -> None:
    script = "print(set(map(len, in_two_processes(lambda n: bytes(slowly(300_000)), range(8)))))"
    assert printed(script) == "{300000}\n"


@forks
@pytest.mark.parametrize("end", ["os.kill(os.getpid(), 9)", "raise RuntimeError", "sys.exit(3)"])
def test_what_a_second_process_that_ends_did_not_do_is_done_here(end: str) -> None:
    script = f"""
def once(n):
    if second() and n > 3:
        {end}
    return slowly(n)
print(in_two_processes(once, range(12)))
"""
    assert printed(script) == f"{list(range(12))}\n"


@forks
def test_what_is_raised_is_raised_here_and_nothing_is_left_behind() -> None:
    script = """
def never(n):
    if slowly(n) == 7:
        raise ValueError("seven")
before = os.listdir("/proc/self/fd")
for _ in range(3):
    try:
        in_two_processes(never, range(12))
    except ValueError as error:
        print(error)
print(os.listdir("/proc/self/fd") == before)
try:
    os.waitpid(-1, 0)
except ChildProcessError:
    print("no process")
"""
    assert printed(script) == "seven\n" * 3 + "True\nno process\n"


@forks
def test_threads_that_have_just_ended_are_not_taken_for_alive() -> None:
    script = """
from concurrent.futures import ThreadPoolExecutor
def after_threads():
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(slowly, range(2)))
    return may_fork()
print({after_threads() for _ in range(40)})
"""
    assert printed(script) == "{True}\n"


@forks
def test_the_second_process_ends_without_a_word() -> None:
    script = """
atexit.register(print, "end")
print("begun", end=" ")
in_two_processes(slowly, range(12))
"""
    assert printed(script) == "begun end\n"


@forks
def test_items_of_items_are_done_where_they_are() -> None:
    script = """
def nested(n):
    slowly(n)
    return os.getpid() == in_two_processes(lambda _: os.getpid(), range(8))[-1]
print(set(in_two_processes(nested, range(8))))
"""
    assert printed(script) == "{True}\n"


def test_no_process_beside_a_thread_and_none_for_a_few_items() -> None:
    done = Event()
    thread = Thread(target=done.wait)
    thread.start()
    try:
        assert not may_fork()
        assert set(in_two_processes(lambda _: os.getpid(), range(20))) == {os.getpid()}
    finally:
        done.set()
        thread.join()
    assert set(in_two_processes(lambda _: os.getpid(), range(2))) == {os.getpid()}
