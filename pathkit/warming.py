"""Compiling ahead: all kernels that a usual build needs, several at a time, so that nobody waits for them later.

Machine code is kept in the user's folder for caches (or in ``NUMBA_CACHE_DIR``), so one run of this serves all later
ones, until the library or numba changes.
"""

from __future__ import annotations

import importlib
import os
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor, as_completed
from multiprocessing import get_context
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine
    from pathkit.model.job import Job

Progress = Callable[[int, int, str], bool]

_PLATE: Final = ((10.0, 10.0), (50.0, 10.0), (50.0, 40.0), (10.0, 40.0))


def _travel_orders() -> None:
    from pathkit.tour import Item, Problem, solve

    # More items than are solved by dynamic programming; pairs of ends, a choice of places, and stages.
    places = [(13.0 * (k % 5), 17.0 * (k // 5)) for k in range(20)]
    items = [
        Item([((x, y), (x + 1.0, y))], reversible=True, stage=0)
        if k % 2
        else Item([((x + d, y),) * 2 for d in (0.0, 1.0, 2.0)], stage=1)
        for k, (x, y) in enumerate(places)
    ]
    problem = Problem.from_items(items, start=(0.0, 0.0), end=(0.0, 0.0), precedence=[(1, 2)])
    solve(problem, effort=1 / 64, bound=False)


def _run_time() -> None:
    import pathkit as pk

    job = _job()
    machine = _machine()
    pk.run_time(pk.lower(job, machine), machine)


def _wood() -> None:
    import pathkit as pk
    from pathkit.proof.checks.holding import loose_pieces
    from pathkit.proof.intent.sections import sections_of
    from pathkit.proof.material.heightmap import remove

    job = _job()
    program = pk.lower(job, _machine())
    loose_pieces(remove(program, job))
    ground = sections_of(program, job, job.stock.highest_top).ground
    ground.near.held(program.end[:, :2], 0, 1.0)


def _files() -> None:
    import pathkit as pk

    machine = _machine()
    program = pk.lower(_job(), machine)
    pk.verify(pk.post(program, machine), program, machine)
    # Short texts are read without the kernel until it is compiled.
    pk.read("G21 G90 G94 G17 G54\nG0 Z5\nX1 Y1\nG1 Z1 F100\n" + "G3 X3 I1\nG1 X1\n" * 80_000, machine.dialect)


def _machine() -> Machine:
    from pathkit.machine.profile import Axes, Machine, Motion, Travel

    motion = Motion((5000.0, 5000.0, 2000.0), (4000.0, 4000.0, 1000.0), (400.0, 400.0, 200.0))
    return Machine("warming", "grbl", Axes(), Travel(600.0, 400.0, 80.0), motion)


def _job() -> Job:
    import pathkit as pk

    bit = pk.Tool("bit", 3.0, centre_cutting=True)
    cutting = pk.Cutting(feed=1000.0, plunge=300.0, spindle=12000.0)
    stock = pk.Stock(60.0, 50.0, 5.0, z_zero="bed", underlay=3.0)
    outline = pk.Curve.polyline(_PLATE, closed=True)
    inner = pk.Curve.circle((30.0, 25.0), 6.0)
    cuts = tuple(
        pk.Toolpath(name, curve, bit, cutting, bottom=stock.through(1.0), stepdown=3.0, entry=pk.Ramp(5.0))
        for name, curve in (("circle", inner), ("outline", outline))
    )
    return pk.Job("warming", stock, cuts)


_EXERCISES: Final[dict[str, tuple[Callable[[], None], str, str]]] = {
    "files": (_files, "pathkit.readback.fast_kernel", "plain_blocks"),
    "travel orders": (_travel_orders, "pathkit.tour.constrained.perturbation", "perturb_and_descend"),
    "the wood's proof": (_wood, "pathkit.proof.material.near_kernel", "held"),
    "run times": (_run_time, "pathkit.machine.kinematics_kernel", "simulate"),
}
"""What is compiled together, longest first, and the last kernel that it compiles."""


def cold() -> tuple[str, ...]:
    """What would still be compiled by a usual build, in words; empty where it is done, or cannot be kept on disk."""
    from pathkit.kernels import is_compiled, is_kept

    found = []
    for name, (_, module, door) in _EXERCISES.items():
        kernel = getattr(importlib.import_module(module), door)
        if is_kept(kernel) and not is_compiled(kernel):
            found.append(name)
    return tuple(found)


def warm(*, workers: int | None = None, progress: Progress | None = None) -> tuple[str, ...]:
    """Compile what `cold` names, in ``workers`` processes (by default one a processor); returns what was compiled.

    ``progress(done, total, message)`` is told what has been compiled; if it returns False, the rest is left for later.
    Where processes cannot be started, nothing is compiled: each kernel will be, when it is first used.
    """
    names = cold()
    if not names:
        return ()
    count = max(1, min(workers or os.cpu_count() or 1, len(names)))
    done: list[str] = []
    try:
        with ProcessPoolExecutor(count, mp_context=get_context("spawn")) as pool:
            futures = {pool.submit(_exercise, name): name for name in names}
            for future in as_completed(futures):
                future.result()
                done.append(futures[future])
                if progress is not None and progress(len(done), len(names), f"compiled: {done[-1]}") is False:
                    pool.shutdown(cancel_futures=True)
                    break
    except (OSError, RuntimeError):
        # No processes to be had, or one of them was killed.
        return tuple(done)
    return tuple(done)


def _exercise(name: str) -> None:
    _EXERCISES[name][0]()
