"""One plate of the demo, to be sabotaged before there is a file, and what the proof says of it."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
import pytest

import pathkit as pk
from pathkit.operations import contour, drill, pocket, slot
from tests.demo import demo

MACHINES = ("grbl-back-right", "portrait-inch")
DEMO = demo()
PART = DEMO.parts[0]
STOCK = replace(DEMO.stock, width=134.0, depth=116.0, zones=DEMO.stock.zones[:1])
BARE = replace(STOCK, zones=())
assert PART.outline is not None
OUTLINE = PART.outline
LEFT, FRONT, RIGHT, BACK = OUTLINE.bounds
CORNER = np.array([LEFT, FRONT])
MIDDLE = np.array([(LEFT + RIGHT) / 2.0, (FRONT + BACK) / 2.0])
BIT = replace(DEMO.toolpaths[0].tool, holder=20.0)
DRILL = pk.Tool("4 mm drill", 4.0, number=2, kind="drill", cut_length=20.0, reach=30.0, holder=20.0)
CUTTING = DEMO.toolpaths[0].cutting
RECESS, FLOOR = PART.recesses[0].curve, float(PART.recesses[0].bottom or 0.0)
THROUGH = STOCK.underside - 0.3
SLOT = ((LEFT + 70.0, FRONT + 14.0), (LEFT + 70.0, FRONT + 36.0))
HOLES = tuple((LEFT + x, FRONT + y) for x, y in ((8.0, 8.0), (82.0, 8.0), (82.0, 42.0), (8.0, 42.0)))
NAME = PART.name


@dataclass(frozen=True)
class Plate:
    """What is asked of the operations for one plate of the demo; the defaults are right."""

    bit: pk.Tool = BIT
    drill: pk.Tool = DRILL
    recess: pk.Curve = RECESS
    floor: float = FLOOR
    slot: tuple[tuple[float, float], ...] = SLOT
    slot_bottom: float = THROUGH
    holes: tuple[tuple[float, float], ...] = HOLES
    hole_bottom: float = THROUGH
    outline: pk.Curve = OUTLINE
    outline_bottom: float = THROUGH
    side: Any = "outside"
    stepdown: float | None = 3.0
    stock: pk.Stock = STOCK
    part: pk.Part = PART
    tabs: bool = True

    def job(self) -> pk.Job:
        """The job as it is cut; its part is the one promised, whatever the operations were asked for."""
        walls: dict[str, Any] = {"stepdown": self.stepdown, "part": NAME}
        paths = (
            *pocket("recess", self.recess, self.bit, CUTTING, bottom=self.floor, stepdown=2.5, stock=STOCK, part=NAME),
            *slot("slot", pk.Curve.polyline(self.slot), self.bit, CUTTING, bottom=self.slot_bottom, **walls),
            *drill("hole", self.holes, self.drill, CUTTING, bottom=self.hole_bottom, peck=3.0, part=NAME),
            *contour(
                "outline", self.outline, self.bit, CUTTING, side=self.side, bottom=self.outline_bottom, role="outline",
                **walls,
            ),
        )  # fmt: skip
        return finished(pk.Job("one plate", self.stock, paths, parts=(self.part,)), tabs=self.tabs)


def finished(job: pk.Job, *, tabs: bool = True) -> pk.Job:
    holding = [pk.HoldTabs(count=2, width=6.0, height=3.0)] if tabs else []
    return pk.Pipeline([*holding, pk.RampEntries(angle=3.0)]).run(job, pk.load_machine(MACHINES[0])).job


@lru_cache(maxsize=1)
def right() -> pk.Job:
    return Plate().job()


class Seeded(NamedTuple):
    """A job, and another job or program that is posted in its place."""

    job: pk.Job
    posted: pk.Job | Callable[[pk.Program], pk.Program] | None = None


class Fault(NamedTuple):
    name: str
    caught_by: str
    seed: Callable[[], Seeded]


def changed(beginning: str, **values: Any) -> Callable[[pk.Job], pk.Job]:
    """The job with those toolpaths changed whose names begin so."""

    def change(job: pk.Job) -> pk.Job:
        paths = tuple(replace(p, **values) if p.name.startswith(beginning) else p for p in job.toolpaths)
        assert paths != job.toolpaths
        return job.with_toolpaths(paths)

    return change


def tabs_as(**values: Any) -> Callable[[pk.Job], pk.Job]:
    def change(job: pk.Job) -> pk.Job:
        def tab(old: pk.Tab) -> pk.Tab:
            width, height = values.get("width", old.width), values.get("height", old.height)
            return pk.Tab(old.at + values.get("by", 0.0), width, height)

        return job.with_toolpaths(tuple(replace(p, tabs=tuple(map(tab, p.tabs))) for p in job.toolpaths))

    return change


def with_machines(faults: tuple[Fault, ...]) -> list[Any]:
    """The faults as parameters of a test, on the two machines by turns; the ids name the check that must speak."""
    return [
        pytest.param(fault, machine, id=f"{fault.name} -> {fault.caught_by} [{machine}]")
        for fault, machine in zip(faults, itertools.cycle(MACHINES), strict=False)
    ]


def judge(seeded: Seeded, machine: pk.Machine) -> pk.Proof:
    program = pk.lower(seeded.posted if isinstance(seeded.posted, pk.Job) else seeded.job, machine)
    if callable(seeded.posted):
        program = seeded.posted(program)
    return pk.verify(pk.post(program, machine), program, machine, job=seeded.job)


def failed(proof: pk.Proof) -> dict[str, list[str]]:
    """Check that failed → what it said."""
    return {c.name: [str(f) for f in c.findings] for c in proof.checks if c.status == "failed"}
