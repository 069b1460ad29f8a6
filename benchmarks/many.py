"""Many variants of the demo at once: ``python -m benchmarks.many [--variants N] [--workers N] [--executor E]``.

A variant is a board of the demo on a machine: four datum corners, sixteen ways in which the axes can run (X right,
left, away or toward, Y across it, Z up or down), two dialects, two boards: 256. Fewer are an even sample. Compiled
kernels are warmed before the clock starts, in every worker. ``--stages`` also builds a sample in this process and
prints the CPU time of each stage.
"""

from __future__ import annotations

import argparse
import functools
import importlib
import itertools
import json
import multiprocessing
import os
import resource
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any, cast

import pathkit as pk
from pathkit.handover.many import batches, build_batch
from pathkit.jobs.demo import demo_file, demo_machines
from pathkit.jobs.handout import directions
from pathkit.jobs.order import Order
from pathkit.jobs.planning import orders_of
from pathkit.machine.profile import Corner, Machine, Sideways, Upright

CORNERS: tuple[Corner, ...] = ("front-left", "front-right", "back-left", "back-right")
DIALECTS = ("grbl", "rs274ngc")
SPARE = 40
"""mm of travel beyond a board's longer side."""
STAGES = ("improving the job", "lowering", "posting", "proving", "proving the air cut", "all else")


def machines() -> tuple[Machine, ...]:
    """128 machines: four corners, sixteen axis directions, two dialects."""
    base = next(m for m in demo_machines() if m.name == "grbl-front-left")
    made: list[Machine] = []
    for dialect, corner, words in itertools.product(DIALECTS, CORNERS, directions()):
        name = f"{dialect} {corner} {words}"
        axes = pk.Axes(*cast("tuple[Sideways, Sideways, Upright]", tuple(words.split())))
        made.append(
            replace(
                base, name=name, dialect=dialect, output={}, axes=axes, origin=corner, left_handed=axes.left_handed,
                homed=False, travel=pk.Travel(1000, 1000, 80), park=None, change=None, rehearsed=None,
            )
        )  # fmt: skip
    return tuple(made)


def variants(count: int) -> tuple[Order, ...]:
    """An even sample of the 256."""
    jobs = {}
    for machine in demo_machines():
        order = orders_of(demo_file(), [machine])[0]
        jobs[order.job.stock.width, order.job.stock.depth] = order
    # Each machine takes the largest board that it can: so its travel must be too short for the larger one.
    orders = [
        replace(
            order,
            machine=replace(machine, name=f"{machine.name} {width:g} {depth:g}", travel=pk.Travel(side, side, 80)),
        )
        for (width, depth), order in jobs.items()
        for side in [max(width, depth) + SPARE]
        for machine in machines()
    ]
    picked = sorted({k * len(orders) // count for k in range(min(count, len(orders)))})
    return tuple(orders[k] for k in picked)


@contextmanager
def executor_of(kind: str, workers: int) -> Iterator[Any]:
    if kind == "serial":
        yield None
    elif kind == "dask":
        distributed: Any = importlib.import_module("distributed")
        options = {"n_workers": workers, "threads_per_worker": 1, "processes": True, "dashboard_address": None}
        with distributed.LocalCluster(**options) as cluster, distributed.Client(cluster) as client:
            yield client
    elif kind == "threads":
        with ThreadPoolExecutor(workers) as pool:
            yield pool
    else:
        with ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("spawn")) as pool:
            yield pool


def measure(kind: str, workers: int, orders: tuple[Order, ...]) -> dict[str, float | int | str]:
    """Variants a second, wall and CPU seconds (of all processes) from the first submitted to the last in place."""
    with executor_of(kind, workers) as executor, tempfile.TemporaryDirectory() as out:
        _warm(executor, workers)
        pool = executor if isinstance(executor, Executor) else None
        began, spent = time.perf_counter(), _spent(pool)
        done = list(pk.build_many(orders, (), Path(out) / "out", executor=executor))
        wall, cpu = time.perf_counter() - began, _spent(pool) - spent
        failed = [v for v in done if not v.ok]
        again = time.perf_counter()
        skipped = sum(
            v.status == "finished before" for v in pk.build_many(orders, (), Path(out) / "out", executor=executor)
        )
        again = time.perf_counter() - again
    if failed:
        raise SystemExit(f"{len(failed)} variants failed: {failed[0].findings[:2]}")
    return {
        "executor": kind, "workers": workers if kind != "serial" else 1, "variants": len(done), "wall_s": wall,
        "cpu_s": cpu, "cpu_s_a_variant": cpu / len(done), "variants_a_second": len(done) / wall,
        "second_run_s": again, "skipped": skipped,
    }  # fmt: skip


def _warm(executor: Any, workers: int) -> None:
    """One variant of each dialect in every worker."""
    pool = executor if isinstance(executor, Executor) or executor is None else executor.get_executor()
    none: tuple[tuple[int, ...], ...] = ()
    first = [(k, order, none) for k, order in enumerate(variants(2))]
    if pool is None:
        build_batch(first)
        return
    for future in [pool.submit(build_batch, first) for _ in range(workers)]:
        future.result()


def _spent(pool: Executor | None) -> float:
    """CPU seconds of this process and of a pool's processes (Linux: from /proc)."""
    own = resource.getrusage(resource.RUSAGE_SELF)
    total = own.ru_utime + own.ru_stime
    for number in getattr(pool, "_processes", None) or ():
        fields = Path(f"/proc/{number}/stat").read_text().rsplit(")", 1)[1].split()
        total += (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
    return total


def stages(orders: tuple[Order, ...]) -> dict[str, float]:
    """CPU seconds by stage, a variant, serially in this process with what is shared made once."""
    from pathkit.handover.build import prepared, with_sheet
    from pathkit.handover.lowered import Shared
    from pathkit.jobs.sources import boards_of

    spent = dict.fromkeys(STAGES, 0.0)
    shared = Shared()
    for batch in batches([(k, order, boards_of(orders, order)) for k, order in enumerate(orders)]):
        for _, order, boards in batch:
            marks = [(len(STAGES) - 1, time.process_time())]
            tell = functools.partial(_mark, marks)
            folder = prepared(order, boards, tell, shared, judged=shared.judged)
            marks.append((len(STAGES) - 1, time.process_time()))
            with_sheet(folder)
            marks.append((len(STAGES) - 1, time.process_time()))
            for (stage, begun), (_, ended) in itertools.pairwise(marks):
                spent[STAGES[stage]] += ended - begun
    return {stage: seconds / len(orders) for stage, seconds in spent.items()}


def _mark(marks: list[tuple[int, float]], step: int) -> None:
    marks.append((step, time.process_time()))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--variants", type=int, default=256)
    parser.add_argument("--workers", type=int, default=2)
    kinds = ("processes", "serial", "threads", "dask")
    parser.add_argument("--executor", choices=kinds, action="append", help="may be repeated; processes if not given")
    parser.add_argument("--stages", type=int, default=0, metavar="N", help="also the stages of N variants")
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    orders = variants(given.variants)
    rows = [measure(kind, given.workers, orders) for kind in given.executor or ["processes"]]
    parts = stages(variants(given.stages)) if given.stages else {}
    if given.json:
        print(json.dumps({"runs": rows, "cpu_s_by_stage": parts}, indent=1))
        return
    for row in rows:
        for name, value in row.items():
            print(f"{name:>20}  {value:.2f}" if isinstance(value, float) else f"{name:>20}  {value}")
        print()
    for stage, seconds in parts.items():
        print(f"{stage:>20}  {seconds:.3f} CPU s a variant")


if __name__ == "__main__":
    main()
