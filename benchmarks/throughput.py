"""Moves per second of the rooms that must keep up with long programs: ``python -m benchmarks.throughput [--json]``.

Each rate is the best of a few warm runs on one core; the first call compiles and is not counted. To measure one more
room, write a function that takes a number of moves and returns what to run and how many moves that makes, and add it
to `RATES`.
"""

from __future__ import annotations

import argparse
import json
import math
import platform
import time
from collections.abc import Callable

import numpy as np

import pathkit as pk
from pathkit.machine.profile import Axes, Machine, Motion, Travel
from pathkit.motion.program import ARC, LINE, RAPID

Task = tuple[Callable[[], object], int]

MACHINE = Machine(
    "Workshop router",
    "grbl",
    Axes(),
    Travel(600, 400, 80),
    Motion((5000, 5000, 2000), (4000, 4000, 1000), (400, 400, 200), steps_per_mm=(160, 160, 400)),
    bytes_per_second=11520.0,
)


def wandering_lines(count: int, step: float = 0.3) -> pk.Program:
    """A smooth random path of ``count`` short lines, in the controller's axes."""
    random = np.random.default_rng(1)
    heading = np.cumsum(random.normal(0.0, 0.3, count))
    rise = random.normal(0.0, 0.01, count)
    end = np.cumsum(np.column_stack([step * np.cos(heading), step * np.sin(heading), rise]), axis=0)
    return _program(end, LINE, np.full((count, 2), np.nan), np.full(count, np.nan))


def chained_arcs(count: int) -> pk.Program:
    """Half circles in a row that bulge to either side by turns; about 40 chords each."""
    end = np.zeros((count, 3))
    end[:, 0] = 4.0 * np.arange(1, count + 1)
    centre = np.column_stack([end[:, 0] - 2.0, end[:, 1]])
    return _program(end, ARC, centre, np.where(np.arange(count) % 2, math.pi, -math.pi))


def _program(end: np.ndarray, kind: int, centre: np.ndarray, sweep: np.ndarray) -> pk.Program:
    count = len(end)
    none = np.full(count, -1)
    return pk.Program(
        np.zeros(3), np.full(count, kind), end, centre, sweep, np.full(count, 3000.0), none, none, none,
        frame="controller",
    )  # fmt: skip


def run_time_of_lines(count: int) -> Task:
    program = wandering_lines(count)
    return lambda: pk.run_time(program, MACHINE), count


def run_time_over_the_link(count: int) -> Task:
    program, line_bytes = wandering_lines(count), np.full(count, 24.0)
    return lambda: pk.run_time(program, MACHINE, line_bytes=line_bytes), count


def run_time_of_chords(count: int) -> Task:
    program = chained_arcs(count // 40)
    return lambda: pk.run_time(program, MACHINE), pk.run_time(program, MACHINE).planned_moves


def posted_lines(count: int) -> Task:
    program = _bench_lines(count)
    return lambda: pk.post(program, MACHINE), count


def read_back_lines(count: int) -> Task:
    text = pk.post(_bench_lines(count), MACHINE).text
    return lambda: pk.read(text, "grbl"), count


def proved_lines(count: int) -> Task:
    program = _bench_lines(count)
    posted = pk.post(program, MACHINE)
    return lambda: pk.verify(posted, program, MACHINE), count


def _bench_lines(count: int) -> pk.Program:
    """Short lines above a board, clear of its wood: this measures the text, not the geometry."""
    heading = np.cumsum(np.random.default_rng(2).normal(0.0, 0.3, count))
    end = np.column_stack([200 + 150 * np.cos(heading), 150 + 100 * np.sin(heading), 20 + 5 * np.sin(3 * heading)])
    end[0] = [np.nan, np.nan, 30.0]
    program = _program(end, LINE, np.full((count, 2), np.nan), np.full(count, np.nan))
    kind = np.full(count, LINE)
    kind[:2] = RAPID
    return program.replace(kind=kind, frame="bench", stock=pk.Stock(400, 300, 9), start=np.full(3, np.nan))


RATES: dict[str, Callable[[int], Task]] = {
    "run time, lines": run_time_of_lines,
    "run time, lines over a link": run_time_over_the_link,
    "run time, chords of arcs": run_time_of_chords,
    "post": posted_lines,
    "read back": read_back_lines,
    "prove": proved_lines,
}


def measure(count: int, repeats: int) -> dict[str, float]:
    """Moves per second, by name."""
    rates = {}
    for name, prepare in RATES.items():
        task, moves = prepare(count)
        task()
        best = math.inf
        for _ in range(repeats):
            begin = time.perf_counter()
            task()
            best = min(best, time.perf_counter() - begin)
        rates[name] = moves / best
    return rates


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--moves", type=int, default=1_000_000)
    parser.add_argument("--repeats", type=int, default=5)
    parser.add_argument("--json", action="store_true", help="print JSON")
    options = parser.parse_args()
    rates = measure(options.moves, options.repeats)
    if options.json:
        print(json.dumps({"moves": options.moves, "python": platform.python_version(), "moves_per_second": rates}))
        return
    width = max(map(len, rates))
    for name, rate in rates.items():
        print(f"{name:<{width}}  {rate / 1e6:6.2f} million moves/s")


if __name__ == "__main__":
    main()
