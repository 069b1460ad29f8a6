"""`solve` keeps its word: seconds, stop and progress hold for the search and for the bound."""

from __future__ import annotations

import threading
import time
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathkit.tour import Problem, solve
from pathkit.tour.bound import held_karp, subgradient
from pathkit.tour.kernel.frame import frame
from pathkit.tour.solve import proved_bound
from pathkit.tour.stopping import Stopping, Watch, watched


def scattered(n: int, seed: int = 0) -> Problem:
    return Problem.from_points(np.random.default_rng(seed).random((n, 2)) * 100.0, closed=True)


def test_progress_is_called_while_the_work_is_busy_in_the_thread_that_asked() -> None:
    enough, calls = threading.Event(), list[tuple[int, str]]()

    def work(watch: Watch) -> str:
        watch.tell("busy")
        assert enough.wait(60)
        return "done"

    def progress(done: int, total: int, message: str) -> bool:
        calls.append((threading.get_ident(), message))
        if len(calls) == 4:
            enough.set()
        return True

    assert watched(work, None, progress) == "done"
    assert {thread for thread, _ in calls} == {threading.get_ident()}
    assert [message for _, message in calls[2:]] == ["busy"] * (len(calls) - 2)


@pytest.mark.parametrize("how", ["stop", "progress", "error"])
def test_the_work_hears_of_a_stop_and_an_error_is_raised(how: str) -> None:
    def work(watch: Watch) -> str:
        while not watch.stopped:
            time.sleep(0.001)
        return "stopped"

    calls = list[int]()

    def second(*_: Any) -> bool:
        calls.append(1)
        if how == "error" and len(calls) == 2:
            raise KeyError("the caller's own")
        return (len(calls) == 2) == (how == "stop")

    if how == "error":
        with pytest.raises(KeyError, match="own"):
            watched(work, None, second)
    else:
        assert watched(work, second if how == "stop" else None, second if how == "progress" else None) == "stopped"
    assert len(calls) == 2


def test_a_stop_ends_the_bound_with_what_is_proved(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopped in its first ascent, the bound is what the plain tree proves; never more than with all its time."""
    problem, watch, asked = scattered(150), Watch(), list[int]()
    length = solve(problem, effort=0.1, bound=False).length
    whole = proved_bound(problem, length)
    monkeypatch.setattr(subgradient, "STRETCH", 1.0)
    ascend: Any = subgradient.ascend

    def counted(*arguments: Any) -> Any:
        over = arguments[-1]

        def stopped() -> bool:
            asked.append(1)
            watch.stopped = len(asked) == 7
            return bool(over())

        return ascend(*arguments[:-1], stopped)

    monkeypatch.setattr(held_karp, "ascend", counted)
    part = proved_bound(problem, length, Stopping(None, watch=watch))
    assert len(asked) == 7
    assert 0.0 < part < whole <= length


def test_time_that_is_over_leaves_nothing_proved_and_says_so() -> None:
    problem = scattered(60)
    stopping = Stopping(None, 1.0, began=time.perf_counter() - 2.0)
    assert held_karp.lower_bound(frame(problem).core, 1e9, stopping) == 0.0
    assert stopping.capped
    tour = solve(scattered(400), effort=1e6, seconds=0.05)
    assert tour.capped
    assert tour.bound <= tour.length


def test_a_stop_before_the_start_still_gives_an_order() -> None:
    problem = scattered(80)
    tour = solve(problem, stop=lambda: True)
    assert (tour.iterations, tour.bound) == (0, 0.0)
    assert problem.length(tour.order, tour.variants) == tour.length


@settings(max_examples=5)
@given(st.integers(0, 99))
def test_an_ascent_in_stretches_is_the_same_ascent(seed: int) -> None:
    problem = scattered(30, seed)
    length = solve(problem, effort=0.01, bound=False).length
    with pytest.MonkeyPatch.context() as patch:
        bounds = []
        for stretch in (1.0, 1e4, 1e12):
            patch.setattr(subgradient, "STRETCH", stretch)
            bounds.append(proved_bound(problem, length))
    assert bounds[0] == bounds[1] == bounds[2] > 0.0


def test_with_someone_watching_the_tour_is_the_same() -> None:
    problem = scattered(100)
    messages = list[str]()

    def progress(done: int, total: int, message: str) -> bool:
        messages.append(message)
        return True

    seen = solve(problem, effort=0.1, progress=progress)
    assert seen == solve(problem, effort=0.1)
    assert messages[0] == "starting"
