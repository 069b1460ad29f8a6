"""What the benchmark of throughput measures: each task by its name, run warm, beside its plain peer."""

from __future__ import annotations

import importlib.util
import math
import resource
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pathkit as pk
from benchmarks.long_programs import MACHINE, chained_arcs, lines_over_a_board, relief, wandering_lines
from pathkit.dialect.emit import emit
from pathkit.machine.orientation import to_controller
from pathkit.model.job import Setup
from pathkit.passes.standard import standard_passes
from pathkit.proof.evidence import Evidence
from pathkit.readback import interpret
from pathkit.registry import find_dialect

ROOT = Path(__file__).parent.parent


def _from_tests(name: str) -> Any:
    """A module of the tests, by its file: other packages are called ``tests`` too."""
    spec = importlib.util.spec_from_file_location(Path(name).stem, ROOT / "tests" / name)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


plain_writer = _from_tests("dialect/plain_writer.py")
plain_reader = _from_tests("readback/plain_reader.py")

PLAIN_MOST = 1_000_000
"""Moves up to which the plain programs run: they hold an object for each number."""

WARM = 1_000
LAYOUT = plain_writer.Layout(plain_writer.PLAIN)


class Measures:
    """Seconds of processor time (the best of ``repeats``), moves and peak memory, by name of task."""

    def __init__(self, repeats: int) -> None:
        self.repeats = repeats
        self.seconds: dict[str, float] = {}
        self.counts: dict[str, int] = {}
        self.peak_mb: dict[str, float] = {}

    def together(self, tasks: dict[str, Callable[[], Any]], moves: int) -> Any:
        """Run tasks by turns, so that what slows one slows all; returns what the last one made."""
        made = None
        for _ in range(self.repeats):
            for name, task in tasks.items():
                made = None
                begin = time.process_time()
                made = task()
                seconds = max(time.process_time() - begin, 1e-9)
                self.seconds[name] = min(self.seconds.get(name, math.inf), seconds)
                self.counts[name] = moves
                self.peak_mb[name] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
        return made

    def task(self, name: str, task: Callable[[], Any], moves: int) -> Any:
        return self.together({name: task}, moves)


def end_to_end(job: pk.Job) -> Evidence:
    """Lowered, posted, read back and compared; the comparison must find nothing."""
    program = pk.lower(job, MACHINE)
    posted = pk.post(program, MACHINE)
    data, capabilities = posted.files[0].data, find_dialect(MACHINE.dialect).capabilities.on(MACHINE)
    reading = interpret(data, capabilities)
    evidence = Evidence(data, reading, MACHINE, capabilities, Setup(), program, job, job.stock)
    if evidence.comparison.findings:
        raise SystemExit(f"the relief is not proved: {evidence.comparison.findings[0].what}")
    return evidence


def a_relief(made: Measures, moves: int) -> None:
    """Read a text as long, lower a relief, post it, read it back, compare, and cut it out of the board."""
    job = relief(moves)
    text = pk.post(pk.lower(job, MACHINE), MACHINE).files[0].data

    def whole() -> Evidence:
        pk.read(text, MACHINE.dialect)
        return end_to_end(job)

    evidence = made.task("end to end", whole, moves)
    program = evidence.program
    made.task("lower", lambda: pk.lower(job, MACHINE), moves)

    def compared() -> Any:
        fresh = (evidence.text, evidence.reading, MACHINE, evidence.capabilities, Setup(), program, job, job.stock)
        return Evidence(*fresh).comparison

    made.task("compare", compared, moves)
    repeats, made.repeats = made.repeats, 1
    made.task("removal", lambda: evidence.removal, moves)
    made.task("passes", lambda: pk.Pipeline(standard_passes()).run(job, MACHINE), moves)
    made.repeats = repeats


def texts(made: Measures, moves: int) -> None:
    """Writing and reading, beside plain programs."""
    program = lines_over_a_board(moves)
    dialect = find_dialect(MACHINE.dialect)
    posted = pk.post(program, MACHINE)
    data, draft = posted.files[0].data, posted.drafts[0]
    writers: dict[str, Callable[[], Any]] = {}
    readers: dict[str, Callable[[], Any]] = {}
    if moves <= PLAIN_MOST:
        oriented = to_controller(program, MACHINE)
        columns = (oriented.kind.tolist(), oriented.end.tolist(), oriented.centre.tolist(), oriented.feed.tolist())
        writers["plain writer"] = lambda: "\n".join(plain_writer.write_moves(*columns, LAYOUT)).encode("ascii")
        text = data.decode("ascii")
        readers["plain reader"] = lambda: plain_reader.read_moves(text)
    writers["emission"] = lambda: emit(draft.grid, draft.script, dialect, draft.context)
    writers["post"] = lambda: pk.post(program, MACHINE)
    readers["read"] = lambda: pk.read(data, MACHINE.dialect)
    readers["read, whoever wrote it"] = lambda: pk.read_any(data)
    made.together(writers, moves)
    made.together(readers, moves)


def run_times(made: Measures, moves: int) -> None:
    lines, arcs = wandering_lines(moves), chained_arcs(max(moves // 40, 1))
    made.task("run time, lines", lambda: pk.run_time(lines, MACHINE), moves)
    made.task("run time, chords of arcs", lambda: pk.run_time(arcs, MACHINE), moves)


def measure(moves: int, repeats: int) -> dict[str, Any]:
    """All figures of one size."""
    few = Measures(1)
    made = Measures(repeats)
    for task in (a_relief, texts, run_times):
        task(few, WARM)
        task(made, moves)
    ratios = {
        name: made.seconds[plain] / made.seconds[name]
        for name, plain in (("emission", "plain writer"), ("post", "plain writer"), ("read", "plain reader"))
        if plain in made.seconds
    }
    return {
        "moves": moves,
        "seconds": made.seconds,
        "counts": made.counts,
        "peak_mb": made.peak_mb,
        "ratios": ratios,
    }
