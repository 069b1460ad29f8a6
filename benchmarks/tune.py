"""Files made elsewhere, improved: CPU seconds and peak memory, scrambled boards, fitted arcs.

``python -m benchmarks.tune`` prints three tables; ``--json FILE`` writes the figures, ``--quick`` leaves out the
million lines and all but three boards. *Reliefs* are hilly grounds in short lines, each improved in a process of its
own, so that its peak memory is its own. *Scrambled boards* are built from a job file, cut in a random order that keeps
what must come first, and improved from the cut file alone; their travel is held against that of the board as it was
built. *Arcs* are the demo's, parted into chords within 0.01 mm, and fitted again.
"""

from __future__ import annotations

import argparse
import json
import math
import random
import resource
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path
from typing import Any

import pathkit as pk
from benchmarks.jobs import MACHINE, jobs
from pathkit.jobs.demo import demo_job, demo_passes
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.passes.pipeline import Measure
from pathkit.passes.precedence import precedence_of

LINES = (20_000, 200_000, 1_000_000)
MOST_SECONDS = {200_000: 15.0, 1_000_000: 75.0}
CHORDS = 0.01
"""mm within which arcs are parted."""


def relief(lines: int, rows: int = 400, size: float = 200.0) -> str:
    """A cut file of a hilly ground, to and fro without lifting."""
    each = lines // rows
    text = ["G21 G90 G94 G17", "S18000 M3", "G0 Z5", "G0 X0 Y0", "G1 Z-2 F400", "F1800"]
    for row in range(rows):
        y = row * size / rows
        for k in range(each) if row % 2 == 0 else reversed(range(each)):
            x = size * k / (each - 1)
            text.append(f"G1 X{x:.3f} Y{y:.3f} Z{-2.0 + 1.5 * math.sin(x / 9.0) * math.cos(y / 13.0):.3f}")
    return "\n".join([*text, "G0 Z5", "M5", "M30"]) + "\n"


def one_relief(lines: int) -> dict[str, Any]:
    """A relief improved in this process."""
    text = relief(lines)
    bit = pk.Tool("3 mm ball", 3.0, kind="ball", centre_cutting=True)
    begin = time.process_time()
    tuned = pk.tune(text, pk.load_machine(MACHINE), bits=bit)
    return {
        "lines": len(text.splitlines()), "after": tuned.lines[1], "seconds": time.process_time() - begin,
        "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0, "ok": tuned.proof.ok,
    }  # fmt: skip


@dataclass(frozen=True)
class Board:
    """Travel (mm) of a board as it was built, scrambled, and as it came back."""

    name: str
    cuts: int
    built: float
    scrambled: float
    tuned: float
    ok: bool


def scrambled_boards(effort: float) -> Iterator[Board]:
    """Each board of `benchmarks.jobs`, written for a controller that has a word for bits, and without a way to park,
    which an improved file has not either."""
    machine = replace(pk.load_machine(MACHINE), dialect="rs274ngc", output={}, park=None)
    for name, text in jobs():
        order = orders_of(job_file_of(text, f"{name}.toml"), [machine], effort=effort)[0]
        built = pk.Pipeline(order.passes).run(_numbered(order.job), machine, setup=order.setup).job
        mixed = scrambled(built, seed=1)
        text = pk.post(pk.lower(mixed, machine, order.setup), machine, order.setup).text
        bits = {tool.number or 0: tool for tool in built.tools}
        tuned = pk.tune(
            text, machine, order.setup, source=machine, dialect=machine.dialect, bits=bits, stock=built.stock,
            clear=True, effort=effort,
        )  # fmt: skip
        travel = Measure(built, machine, order.setup).travel
        assert travel is not None
        yield Board(
            name, len(built.toolpaths), travel, tuned.before.travel or 0.0, tuned.after.travel or 0.0, tuned.proof.ok
        )  # fmt: skip


def _numbered(job: pk.Job) -> pk.Job:
    """The job with a number for each bit."""
    numbered = {tool: replace(tool, number=k) for k, tool in enumerate(job.tools, 1)}
    return job.with_toolpaths(replace(path, tool=numbered[path.tool]) for path in job.toolpaths)


def scrambled(job: pk.Job, seed: int) -> pk.Job:
    """The job in a random order that keeps its precedence and stages."""
    chance = random.Random(seed)
    rule = precedence_of(job)
    waits = {at: {first for first, second in rule.pairs if second == at} for at in range(len(job.toolpaths))}
    left, order = set(waits), []
    while left:
        stage = min(rule.stage[at] for at in left)
        free = sorted(at for at in left if rule.stage[at] == stage and not waits[at] & left)
        order.append(chance.choice(free))
        left.remove(order[-1])
    return job.with_toolpaths(job.toolpaths[at] for at in order)


def fitted_arcs(effort: float) -> dict[str, Any]:
    """The demo's cut file with all arcs as chords, and improved."""
    machine = pk.load_machine(MACHINE)
    job = pk.Pipeline(list(demo_passes(effort=effort))).run(demo_job(), machine).job
    motion = replace(machine.motion, arc_tolerance=CHORDS)
    chords = replace(machine, motion=motion, output={**machine.output, "arcs": "none"})
    posted = pk.post(pk.lower(job, chords), chords)
    plain = pk.tune(posted.text, machine, source=machine, dialect=machine.dialect, bits=job.tools[0], stock=job.stock,
                    clear=True, effort=effort, fit=None)  # fmt: skip
    tuned = pk.tune(posted.text, machine, source=machine, dialect=machine.dialect, bits=job.tools[0], stock=job.stock,
                    clear=True, effort=effort)  # fmt: skip
    return {
        "lines": tuned.lines[0], "with arcs": tuned.lines[1], "run_s without": plain.after.run_time,
        "run_s with": tuned.after.run_time, "farthest_mm": tuned.proof["same cuts"].figures["farthest_mm"],
        "ok": tuned.proof.ok,
    }  # fmt: skip


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--quick", action="store_true", help="no million lines, three boards")
    parser.add_argument("--effort", type=float, default=1.0, help="effort of the travel order")
    parser.add_argument("--json", type=Path, help="file to write the figures to")
    parser.add_argument("--relief", type=int, help=argparse.SUPPRESS)
    options = parser.parse_args(arguments)
    if options.relief is not None:
        print(json.dumps(one_relief(options.relief)))
        return 0
    figures: dict[str, Any] = {"reliefs": [], "boards": [], "arcs": {}}
    print(f"{'relief, lines':>14} {'after':>9} {'CPU s':>7} {'peak MB':>8}")
    for lines in LINES[: 2 if options.quick else 3]:
        call = [sys.executable, "-m", "benchmarks.tune", "--relief", str(lines)]
        said = json.loads(subprocess.run(call, capture_output=True, text=True, check=True).stdout)
        figures["reliefs"].append(said)
        at_most = f"  (at most {MOST_SECONDS[lines]:g} s)" if lines in MOST_SECONDS else ""
        print(f"{said['lines']:14} {said['after']:9} {said['seconds']:7.2f} {said['peak_mb']:8.0f}{at_most}")
    print(f"\n{'scrambled board':20} {'cuts':>5} {'built':>8} {'scrambled':>9} {'back at':>8} {'more':>7}")
    for board in islice(scrambled_boards(options.effort), 3 if options.quick else None):
        figures["boards"].append(vars(board))
        more = board.tuned / board.built - 1.0
        print(
            f"{board.name:20} {board.cuts:5} {board.built:8.0f} {board.scrambled:9.0f} {board.tuned:8.0f} {more:7.2%}"
        )
    figures["arcs"] = fitted_arcs(options.effort)
    print("\ndemo in chords: " + ", ".join(f"{key} {value}" for key, value in figures["arcs"].items()))
    if options.json is not None:
        options.json.write_text(json.dumps(figures, indent=1) + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
