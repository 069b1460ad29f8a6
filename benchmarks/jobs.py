"""Run time of whole jobs over a lower bound: cutting length at its feed, and the bound of the travel.

``python -m benchmarks.jobs`` prints the demo and eight jobs; ``--json FILE`` writes the figures. The run time is that
of the controller's planner (`pathkit.run_time`). For these cuts no order and no planner can do better than the bound:
every cut at its programmed feed without a start or a stop, and the shortest way between them at rapid speed along a
straight line.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

import pathkit as pk
from pathkit.jobs.demo import demo_text
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.passes.pipeline import Pipeline
from pathkit.testing.job_files import honest_job

MACHINE = "grbl-front-left"
SEEDS = (3, 8, 17, 26, 31)
"""Of `honest_job`: five of the eight jobs, of different kinds."""

HOLES = 300

PLATE = """
name = "{name}"
[stock]
thickness = 6
z_zero = "bed"
underlay = 3
[[board]]
width = 420
depth = 330
[tools."3 mm end mill"]
diameter = 3
centre_cutting = true
[cutting.plywood]
feed = 1400
plunge = 400
spindle = 18000
[[part]]
name = "plate"
[part.shapes]
outline.rectangle = {{ corner = [15, 15], width = 390, depth = 300, radius = 8 }}
{shapes}
{works}
[[part.operations]]
kind = "contour"
shape = "outline"
bottom.through = true
stepdown = 3
"""


ENGRAVED = """
name = "engraved cable tidies"
[stock]
thickness = 4
z_zero = "top"
underlay = 3
[[board]]
width = {width}
depth = {depth}
[tools."1 mm engraving bit"]
diameter = 1
centre_cutting = true
[tools."3 mm end mill"]
diameter = 3
centre_cutting = true
[cutting.plywood]
feed = 1400
plunge = 400
spindle = 18000
[[part]]
name = "tidy"
quantity = {plates}
[part.shapes]
outline.rectangle = {{ corner = [0, 0], width = 76, depth = 50, radius = 4 }}
hole.points = [[6, 6], [70, 6], [6, 44], [70, 44]]
waves.path = "{waves}"
[[part.operations]]
kind = "engrave"
shape = "waves"
tool = "1 mm engraving bit"
bottom.from_top = 0.3
[[part.operations]]
kind = "drill"
shape = "hole"
tool = "3 mm end mill"
diameter = 3.0
bottom.through = true
stepdown = 2
[[part.operations]]
kind = "contour"
shape = "outline"
tool = "3 mm end mill"
bottom.through = true
stepdown = 2
"""


def engraved(plates: int = 20, lines: int = 40, steps: int = 180) -> str:
    """A makerspace's order (invented): plates that keep cables tidy, each with ``lines`` engraved waves of ``steps``
    short chords, as drawing programs export them. As it stands, a cut file of it has 2.4 MB."""
    across = max(1, math.ceil(math.sqrt(plates * 0.7)))
    waves: list[str] = []
    for k in range(lines):
        x = np.linspace(10.0, 66.0, steps + 1)
        y = 10.0 + 30.0 * k / max(lines - 1, 1) + 0.25 * np.sin(x * 0.9 + 0.3 * k) + 0.1 * np.sin(3.1 * x)
        waves.append("M " + " L ".join(f"{a:.3f} {b:.3f}" for a, b in zip(x, y, strict=True)))
    width, depth = 40 + 84 * across, 40 + 58 * math.ceil(plates / across)
    return ENGRAVED.format(plates=plates, width=width, depth=depth, waves=" ".join(waves))


@dataclass(frozen=True)
class Figures:
    """Seconds of one job: what it takes, and the parts of what it takes at least."""

    name: str
    run: float
    cutting: float
    travel: float

    @property
    def over(self) -> float:
        """The run time as a multiple of the bound."""
        return self.run / (self.cutting + self.travel)

    def as_dict(self) -> dict[str, Any]:
        return {"job": self.name, "run_s": self.run, "cutting_bound_s": self.cutting, "travel_bound_s": self.travel,
                "over": self.over}  # fmt: skip


def jobs() -> Iterator[tuple[str, str]]:
    """Name and text of each job file."""
    yield "demo", demo_text()
    places = [[30.0 + 18.0 * (k % 20), 35.0 + 18.0 * (k // 20)] for k in range(HOLES)]
    for name, diameter in (("300 drilled holes", 3.0), ("300 bored holes", 5.0)):
        shapes = f"hole.points = {places}"
        works = f'[[part.operations]]\nkind = "drill"\nshape = "hole"\ndiameter = {diameter}\nbottom.through = true\n'
        yield name, PLATE.format(name=name, shapes=shapes, works=f"{works}stepdown = 2")
    shapes = "window.rectangle = { corner = [60, 60], width = 200, depth = 120, radius = 4 }\n"
    shapes += "tray.rectangle = { corner = [280, 60], width = 100, depth = 200, radius = 6 }"
    works = '[[part.operations]]\nkind = "contour"\nside = "inside"\nshape = "window"\n'
    works += "bottom.through = true\nstepdown = 3\n"
    works += '[[part.operations]]\nkind = "pocket"\nshape = "tray"\nbottom.from_top = 3\nstepdown = 1.5'
    yield "window and tray", PLATE.format(name="window and tray", shapes=shapes, works=works)
    for seed in SEEDS:
        yield f"random job {seed}", honest_job(seed)


def measured(name: str, text: str, machine: pk.Machine, effort: float, *, steady: bool = False) -> Figures:
    """The first board of a job file on one machine; the bound has its cuts at the feeds that they end up with."""
    order = orders_of(job_file_of(text, f"{name}.toml"), [machine], effort=effort)[0]
    more = [pk.SteadyLoad(material=order.wood)] if steady else []
    passes = [replace(each, bound=True) if isinstance(each, pk.OrderTravel) else each for each in order.passes]
    outcome = Pipeline([*passes, *more]).run(order.job, machine, setup=order.setup)
    program = pk.lower(outcome.job, machine, order.setup)
    run = pk.run_time(program, machine).total
    travel = next(report.figures for report in outcome.reports if report.name == "order_travel")["bound"]
    fastest = float(np.hypot(*machine.motion.rapid[:2])) / 60.0
    return Figures(name, run, cutting_seconds(program), float(travel) / fastest)


def cutting_seconds(program: pk.Program) -> float:
    """Seconds that the cuts of a program take at their feeds alone."""
    cuts = (program.kind != pk.RAPID) & np.isfinite(program.feed) & (program.feed > 0.0)
    start, end = program.origins[cuts], program.end[cuts]
    flat = np.hypot(*(end - start)[:, :2].T)
    arcs = program.kind[cuts] == pk.ARC
    radius = np.hypot(*(start[:, :2] - program.centre[cuts]).T)
    flat = np.where(arcs, np.nan_to_num(radius) * np.abs(np.nan_to_num(program.sweep[cuts])), flat)
    length = np.hypot(flat, (end - start)[:, 2])
    return float(np.nansum(length / program.feed[cuts]) * 60.0)


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--effort", type=float, default=1.0, help="effort of the travel order")
    parser.add_argument("--steady", action="store_true", help="let feeds follow the load (steady_load)")
    parser.add_argument("--json", type=Path, help="file to write the figures to")
    options = parser.parse_args(arguments)
    machine = pk.load_machine(MACHINE)
    found = [measured(name, text, machine, options.effort, steady=options.steady) for name, text in jobs()]
    print(f"{'job':20} {'run':>9} {'bound':>9} {'of it travel':>12} {'run/bound':>9}")
    for each in found:
        bound = each.cutting + each.travel
        print(f"{each.name:20} {each.run:8.1f}s {bound:8.1f}s {each.travel:11.1f}s {each.over:9.3f}")
    if options.json is not None:
        options.json.write_text(json.dumps([each.as_dict() for each in found], indent=1) + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
