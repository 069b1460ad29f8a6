"""Measures travel orders: against time, known optima and other solvers.

    python -m benchmarks.routes PATH… --board plates:2000 --seconds 1 10 --seeds 5 --peers fast-tsp elkai --json OUT

``PATH`` is an instance (.tsp .sop .gtsp .pcglns), a job file (.toml .json) or a folder of them. Each run gets a process
of its own with warm kernels; its peak of memory is that of the process. Gaps are in percent above the best known value
of the instance's NAME (known_routes.json), for made-up points above 0.7124·sqrt(n·A). ``--curve PNG`` runs for 0.1 to
30 s, prints medians, worst runs and CPU seconds, and draws one line for each solver; gaps of an instance that has no
known value are over the shortest order of the run. ``--cpu`` counts pathkit's seconds as those of its process, for a
machine that is busy; peers know only the clock, and the curve's table says what CPU time they got.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import resource
import sys
import time
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks.boards import KINDS, board
from benchmarks.route_curve import SECONDS, gaps_of
from benchmarks.route_curve import draw as draw_curve
from benchmarks.route_curve import table as curve_table
from benchmarks.route_peers import PEERS, CannotError, tour_of
from pathkit.errors import PathkitError
from pathkit.tour import Problem, solve, stopping

OURS = "pathkit"
FIRST = "nearest"  # always goes on to the nearest item that may come next
UNTIMED = ("elkai", "networkx")  # these take no time limit
INSTANCES = (".tsp", ".sop", ".gtsp", ".pcglns")
JOBS = (".toml", ".json")


@dataclass(frozen=True)
class Row:
    """One run of one solver."""

    instance: str
    n: int
    solver: str
    seconds: float
    seed: int
    length: float
    known: float | None
    gap: float | None
    peak_mb: float
    cpu: float  # seconds


def main(arguments: list[str] | None = None) -> int:
    """Run the benchmark; the exit code is 2 where the input is wrong."""
    options = _options().parse_args(arguments)
    if options.curve is not None:
        options.seconds = [*SECONDS]
    try:
        problems = [*_problems(options.paths), *(_made(text) for text in options.board)]
    except (PathkitError, ValueError) as trouble:
        print(trouble, file=sys.stderr)
        return 2
    if not problems:
        print("nothing to run: name instance files, folders, job files or --board KIND:N", file=sys.stderr)
        return 2
    _warm()
    rows: list[Row] = []
    for problem in problems:
        for row in _runs(problem, options):
            rows.append(row)
            gap = "" if row.gap is None else f"{row.gap:8.3f} %"
            print(f"{row.instance:>16} {row.solver:>9} {row.seconds:6g} s  {row.length:14.6g} {gap}", flush=True)
        if options.bound is not None:
            _print_bound(problem, rows, max(options.seconds), options.bound, options.cpu)
    print("\n" + table(rows))
    if options.curve is not None:
        told = [asdict(row) for row in over_shortest(rows)]
        names = dict.fromkeys(row.instance for row in rows)
        curves = {name: gaps_of([row for row in told if row["instance"] == name]) for name in names}
        for name, own in curves.items():
            print(f"\n{name}, {options.seeds} seeds: median gap (worst; CPU seconds used)\n\n{curve_table(own)}")
        draw_curve(curves, options.curve)
    if options.json is not None:
        options.json.write_text(json.dumps([asdict(row) for row in rows], indent=1) + "\n", encoding="utf-8")
    if options.picture is not None:
        from benchmarks.route_picture import draw

        draw([asdict(row) for row in rows], options.picture)
    return 0


def over_shortest(rows: list[Row]) -> list[Row]:
    """The rows, with gaps over the shortest order of these runs where no best value is known."""
    least: dict[str, float] = {}
    for row in rows:
        least[row.instance] = min(row.length, least.get(row.instance, row.length))
    return [
        row if row.gap is not None else replace(row, gap=100.0 * (row.length / least[row.instance] - 1.0))
        for row in rows
    ]


def table(rows: list[Row]) -> str:
    """Means over the seeds, as markdown: a line for each instance, a column for each solver and time.

    A solver that takes no time limit has one column, with the time that it took in brackets.
    """

    def column_of(row: Row) -> tuple[str, float]:
        return (row.solver, 0.0 if row.solver in UNTIMED else row.seconds)

    columns = sorted({column_of(row) for row in rows}, key=lambda c: (c[0] != OURS, c))
    heads = [f"{name} {seconds:g} s" if seconds else name for name, seconds in columns]
    lines = ["| instance | n | " + " | ".join(heads) + " |"]
    lines.append("| --- | --- |" + " --- |" * len(columns))
    for name in dict.fromkeys(row.instance for row in rows):
        own = [row for row in rows if row.instance == name]
        cells = []
        for column in columns:
            runs = [row for row in own if column_of(row) == column]
            took = f" ({runs[0].seconds:.1f} s)" if runs and column[0] in UNTIMED else ""
            if not runs:
                cells.append("–")
            elif runs[0].gap is None:
                cells.append(f"{np.mean([row.length for row in runs]):.6g}{took}")
            else:
                cells.append(f"{np.mean([row.gap for row in runs if row.gap is not None]):.3f} %{took}")
        lines.append(f"| {name} | {own[0].n} | " + " | ".join(cells) + " |")
    return "\n".join(lines)


def _options() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m benchmarks.routes", description=__doc__)
    parser.add_argument("paths", nargs="*", type=Path, metavar="PATH", help="instance, job file or folder")
    parser.add_argument("--board", nargs="+", action="extend", default=[], metavar="KIND:N", help=", ".join(KINDS))
    parser.add_argument("--seconds", nargs="+", type=float, default=[1.0, 10.0])
    parser.add_argument("--seeds", type=int, default=5, help="runs of each solver that takes a seed")
    parser.add_argument("--peers", nargs="*", default=[], choices=[*PEERS], help="none where none is named")
    parser.add_argument("--json", type=Path, metavar="OUT", help="write all runs there")
    parser.add_argument("--picture", type=Path, metavar="PNG", help="gap against time")
    parser.add_argument("--curve", type=Path, metavar="PNG", help="gap at 0.1, 0.3, 1, 3, 10, 30 s, all in one picture")
    parser.add_argument("--cpu", action="store_true", help="pathkit's seconds are CPU seconds")
    parser.add_argument(
        "--bound", nargs="?", type=float, const=float("inf"), metavar="SECONDS",
        help="also prove what could be left, in so many seconds at most, and what rules cost",
    )  # fmt: skip
    return parser


def _problems(paths: list[Path]) -> Iterator[Problem]:
    for path in paths:
        if path.is_dir():
            inside = sorted(p for p in path.rglob("*") if p.suffix in INSTANCES)
            if not inside:
                raise ValueError(f"{path} holds no instance ({' '.join(INSTANCES)})")
            yield from map(Problem.read, inside)
        elif path.suffix in JOBS:
            from benchmarks.route_jobs import problems_of

            yield from problems_of(path)
        else:
            yield Problem.read(path)


def _made(text: str) -> Problem:
    kind, colon, count = text.partition(":")
    if not colon or not count.isdigit() or int(count) < 1:
        raise ValueError(f"--board {text!r}: give KIND:N, such as plates:2000")
    return board(kind, int(count))


def _known(problem: Problem) -> float | None:
    if problem.name.startswith("points:"):
        return 0.7124 * float(np.sqrt(len(problem) * 1e6))
    values = json.loads((Path(__file__).parent / "known_routes.json").read_text(encoding="utf-8"))
    own = values.get(problem.name)
    return None if own is None else float(own["known"])


def _runs(problem: Problem, options: argparse.Namespace) -> Iterator[Row]:
    ruled = len(problem.precedence) > 0 or (problem.matrix is None and np.diff(problem.offset).max(initial=1) > 1)
    if ruled:
        try:
            yield _row(problem, FIRST, 0.0, 0, options.cpu)
        except CannotError as reason:
            print(f"{problem.name:>16} {FIRST:>9}: left out, {reason}", flush=True)
    for seconds in options.seconds:
        for seed in range(options.seeds):
            yield _row(problem, OURS, seconds, seed, options.cpu)
    for peer in options.peers:
        timed = peer not in UNTIMED
        for seconds in options.seconds if timed else options.seconds[:1]:
            for seed in range(options.seeds if peer in ("pyvrp",) else 1):
                try:
                    yield _row(problem, peer, seconds, seed, options.cpu)
                except CannotError as reason:
                    print(f"{problem.name:>16} {peer:>9}: left out, {reason}", flush=True)
                    break
            else:
                continue
            break


def _row(problem: Problem, solver: str, seconds: float, seed: int, by_cpu: bool) -> Row:
    """One run in a process of its own."""
    ours, theirs = multiprocessing.Pipe()
    asked = (theirs, problem, solver, seconds, seed, by_cpu)
    child = multiprocessing.get_context("fork").Process(target=_child, args=asked)
    child.start()
    theirs.close()
    try:
        answer, spent, peak, cpu = ours.recv()
    except EOFError:
        raise CannotError("its process ended without an answer") from None
    finally:
        child.join()
    if isinstance(answer, str):
        raise CannotError(answer)
    known = _known(problem)
    length = problem.length(*answer)
    gap = None if known is None else 100.0 * (length / known - 1.0)
    if solver in UNTIMED:
        seconds = round(spent, 3)
    return Row(problem.name, len(problem), solver, seconds, seed, length, known, gap, round(peak, 1), round(cpu, 3))


def _child(pipe: Any, problem: Problem, solver: str, seconds: float, seed: int, by_cpu: bool) -> None:
    if by_cpu:
        stopping.clock = time.process_time
    began, before = time.perf_counter(), time.process_time()
    answer: Any
    try:
        if solver == OURS:
            tour = solve(problem, effort=None, seconds=seconds, seed=seed, bound=False)
            answer = (tour.order, tour.variants)
        elif solver == FIRST:
            tour = solve(problem, effort=0, bound=False)
            answer = (tour.order, tour.variants)
        else:
            order = tour_of(solver, problem, seconds, seed)
            answer = (tuple(order), (0,) * len(order))
    except CannotError as reason:
        answer = str(reason)
    except Exception as trouble:  # whatever a peer raises, the others still run
        answer = f"failed: {type(trouble).__name__}: {trouble}"
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    pipe.send((answer, time.perf_counter() - began, peak, time.process_time() - before))


def _warm() -> None:
    """Compile or load every kernel, so that no run pays for it."""
    for kind, count in (("points", 200), ("plates", 200), ("plates", 1_400)):
        solve(board(kind, count), effort=0.05, bound=False)
    solve(Problem.from_matrix(np.arange(400.0).reshape(20, 20)), effort=5.0, bound=False)


def _print_bound(problem: Problem, rows: list[Row], seconds: float, limit: float, by_cpu: bool) -> None:
    """The bound, its CPU time, and the shortest order found without each of the rules that the problem has.

    An order without a rule bounds from above what any bound can prove that does not know the rule: the part of the gap
    that is above it is the rule's.
    """
    from pathkit.tour.solve import proved_bound

    best = min(row.length for row in rows if row.instance == problem.name)
    if by_cpu:
        stopping.clock = time.process_time
    began = time.process_time()
    bound = proved_bound(problem, best, stopping.Stopping(None, None if np.isinf(limit) else limit))
    spent = time.process_time() - began
    print(
        f"{problem.name:>16}     bound           {bound:14.6g}   {100 * bound / best:.2f} % of the best order, at most "
        f"{100 * (best / bound - 1):.2f} % to gain; {spent:.1f} s CPU"
    )
    for rule, looser in without_rules(problem):
        length = min(best, _shortest(looser, seconds))
        print(f"{'':>16}     without {rule:<12}{length:10.6g}   {100 * (1 - length / best):.2f} % less than the best")


def without_rules(problem: Problem) -> Iterator[tuple[str, Problem]]:
    """The problem without each of its rules in turn, by the rule's name."""
    nothing = np.zeros(len(problem), dtype=np.int32)
    if len(problem.precedence):
        yield "precedence", replace(problem, precedence=np.zeros((0, 2), dtype=np.int32))
    if np.ptp(problem.stage):
        yield "stages", replace(problem, stage=nothing)
    if problem.switch_cost:
        yield "groups", replace(problem, switch_cost=0.0)


def _shortest(problem: Problem, seconds: float) -> float:
    """Length of the order found in so many seconds of the process."""
    stopping.clock = time.process_time
    return solve(problem, effort=None, seconds=seconds, bound=False).length


if __name__ == "__main__":
    sys.exit(main())
