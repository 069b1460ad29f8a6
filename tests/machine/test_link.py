"""Run time over a slow link: bounds and closed forms of a sender that keeps the controller's 128 bytes full.

Source: GRBL 1.1h interface documents (receive buffer of 128 bytes, character counting).
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.errors import InputError
from pathkit.machine.kinematics import run_time
from pathkit.machine.profile import Axes, Machine, Motion, Travel
from pathkit.motion.program import LINE, Dwell, Event, Program

MOTION = Motion((6000, 3000, 1200), (3000, 2400, 600), (400, 200, 100), idle_delay=0.0)
MACHINE = Machine("bench", "any", Axes(), Travel(600, 400, 80), MOTION)


def program_of(ends: object, *, feed: float = 1200.0, events: tuple[tuple[int, Event], ...] = ()) -> Program:
    """Lines at one feed from the origin, in the controller's axes."""
    end = np.array(ends, dtype=float)
    count = len(end)
    none = np.full(count, -1)
    return Program(
        np.zeros(3), np.full(count, LINE), end, np.full((count, 2), np.nan), np.full(count, np.nan),
        np.full(count, feed), none, none, none, tuple(e for _, e in events), np.array([at for at, _ in events]),
        frame="controller",
    )  # fmt: skip


def linked(rate: float | None) -> Machine:
    return replace(MACHINE, bytes_per_second=rate)


def test_a_fast_link_costs_only_the_first_line() -> None:
    program = program_of([[50 * (k % 2), 0, 0] for k in range(1, 9)])
    free = run_time(program, MACHINE)
    result = run_time(program, linked(11520.0), line_bytes=np.full(8, 20))
    assert result.total == pytest.approx(free.total + 20 / 11520, rel=1e-12)
    assert result.waiting == pytest.approx(20 / 11520)
    assert result.link_limited
    assert not free.link_limited


def test_a_slow_link_sets_the_pace() -> None:
    ends = np.zeros((5000, 3))
    ends[:, 0] = 0.02 * np.arange(1, 5001)
    result = run_time(program_of(ends, feed=2400), linked(1000.0), line_bytes=np.full(5000, 20))
    assert run_time(program_of(ends, feed=2400), MACHINE).total < 10
    # 100 000 bytes at 1 000 a second, and then the last few blocks.
    assert result.total == pytest.approx(100.0, rel=0.01)
    assert result.total > 100.0


def test_the_controller_takes_in_only_128_bytes_ahead() -> None:
    """During a dwell the controller receives 128 bytes more, then the link is idle for the rest of the dwell."""
    ends = np.zeros((400, 3))
    ends[:, 0] = 0.01 * np.arange(1, 401)
    sizes = np.full(400, 20)
    program, waits = program_of(ends, feed=2400), program_of(ends, feed=2400, events=((200, Dwell(5.0)),))
    machine = linked(1000.0)
    without, dwelt = (
        run_time(program, machine, line_bytes=sizes).total,
        run_time(waits, machine, line_bytes=sizes).total,
    )
    assert dwelt - without == pytest.approx(5.0 - 128 / 1000, abs=0.05)


@given(st.integers(0, 2**32))
def test_a_link_never_makes_it_faster_and_none_is_free(seed: int) -> None:
    random = np.random.default_rng(seed)
    count = int(random.integers(1, 120))
    ends = np.cumsum(random.normal(0, random.choice([0.05, 1, 20]), (count, 3)), axis=0)
    sizes = random.integers(5, 79, count)
    events = ((int(random.integers(0, count + 1)), Dwell(0.1)),)
    program = program_of(ends, feed=3000, events=events)
    times = [run_time(program, linked(rate), line_bytes=sizes).total for rate in (None, 1e12, 11520.0, 960.0)]
    assert times[0] == pytest.approx(times[1], rel=1e-6)
    assert times[2] >= times[1] * (1 - 1e-9)
    assert times[3] >= max(times[2] * (1 - 1e-9), sizes.sum() / 960.0)


def test_a_move_too_short_for_the_clock_to_notice_ends_all_the_same() -> None:
    """After a very long wait the clock's last digit is longer than a move, and the next line is still to come."""
    program = program_of([[0.1, 0, 0], [0.2, 0, 0]], events=((0, Dwell(1e15)),))
    assert run_time(program, linked(1000.0), line_bytes=[20, 200]).total == pytest.approx(1e15)


def test_a_profile_without_a_link_is_not_limited_by_it() -> None:
    program = program_of([[50, 0, 0]])
    assert run_time(program, linked(None), line_bytes=[500]).total == run_time(program, MACHINE).total


@pytest.mark.parametrize("line_bytes", [[1, 2], [-1.0], [math.nan], [[1]]])
def test_line_bytes_that_do_not_fit_are_refused(line_bytes: list[float]) -> None:
    with pytest.raises(InputError, match="line_bytes"):
        run_time(program_of([[1, 0, 0]]), linked(100.0), line_bytes=line_bytes)
