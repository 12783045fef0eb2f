"""Calls in processes of their own: order, a process that dies, one that takes too long."""

import os
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from threading import Thread, Timer

import pytest

import calls
from standback.workers import DiedError, LostError, TooLongError, in_order
from standback.workers.lane import Lane
from standback.workers.local import LocalPool


def called(
    function: Callable[[str], str], items: Sequence[str], *, workers: int, timeout_s: float | None = None
) -> list[str | type[LostError]]:
    with LocalPool(workers) as pool:
        results = list(in_order(pool, function, items, timeout_s=timeout_s))
    return [type(result) if isinstance(result, LostError) else result for result in results]


def test_results_come_in_the_items_order() -> None:
    items = "abcdefgh"
    assert called(calls.shout_late, items, workers=3) == list(items.upper())


def test_nothing_to_do_is_nothing_done() -> None:
    assert called(calls.shout, [], workers=2) == []


def test_one_that_dies_costs_its_own_result() -> None:
    assert called(calls.shout_or_die, ["a", "die", "b", "c"], workers=2) == ["A", DiedError, "B", "C"]


def test_one_that_takes_too_long_is_ended() -> None:
    assert called(calls.sleep_on_s, "rst", workers=1, timeout_s=1.0) == ["R", TooLongError, "T"]


def test_no_more_processes_than_workers_and_each_is_used_again() -> None:
    numbers = called(calls.process_number, ["x"] * 12, workers=2)
    assert 1 <= len(set(numbers)) <= 2
    assert str(os.getpid()) not in numbers


def test_one_that_takes_long_does_not_let_results_pile_up() -> None:
    with LocalPool(1) as pool:
        most, taken = 4 * pool.width(), []

        def submit(function: Callable[[str], str], item: str, timeout_s: float | None) -> Future[str | LostError]:
            taken.append(item)
            done: Future[str | LostError] = Future()
            if item != "0":
                Timer(0.01, done.set_result, [item]).start()
            return done

        pool.submit = submit  # type: ignore[method-assign, assignment]
        results = in_order(pool, calls.shout, [str(n) for n in range(3 * most)], timeout_s=None)
        thread = Thread(target=next, args=(results,), daemon=True)
        thread.start()
        thread.join(0.5)
        assert len(taken) == most


def test_a_pool_that_is_left_early_ends_its_processes() -> None:
    pool = LocalPool(2)
    with pool:
        results = in_order(pool, calls.sleep_on_s, "rs", timeout_s=None)
        assert next(results) == "R"
        processes = [lane._process for lane in pool._lanes]
        assert any(process is not None and process.is_alive() for process in processes)
    assert not any(process is not None and process.is_alive() for process in processes)


def test_a_lane_that_was_stopped_starts_no_more() -> None:
    lane = Lane()
    assert lane.call(calls.shout, "a", None) == "A"
    lane.stop()
    with pytest.raises(DiedError):
        lane.call(calls.shout, "b", None)


def test_a_process_that_ended_from_idleness_is_replaced(monkeypatch: pytest.MonkeyPatch) -> None:
    lane = Lane()
    first = lane.call(calls.process_number, "", None)
    monkeypatch.setattr("standback.workers.lane._IDLE_S", 0.0)
    assert lane.call(calls.process_number, "", None) != first
    lane.stop()
