"""Faults seeded between job and moves: the program is another job's, or has been changed.

Program and file agree with each other here, too. Each fault must be caught by the check named beside it in `FAULTS`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

import pathkit as pk
from tests.proof.sabotage.plate import (
    BIT,
    DRILL,
    Fault,
    Plate,
    Seeded,
    changed,
    failed,
    judge,
    right,
    tabs_as,
    with_machines,
)


def lowered_from(change: Callable[[pk.Job], pk.Job], job: Callable[[], pk.Job] = right) -> Callable[[], Seeded]:
    return lambda: Seeded(job(), change(job()))


def moves(change: Callable[[pk.Program], pk.Program], job: Callable[[], pk.Job] = right) -> Callable[[], Seeded]:
    return lambda: Seeded(job(), change)


def one_level(job: pk.Job) -> pk.Job:
    """Cut all of the recess in one level."""
    return changed("recess rows", stepdown=None, levels=None)(job)


def level_left_out(job: pk.Job) -> pk.Job:
    paths = tuple(
        replace(p, levels=p.depths(job.stock)[1:], stepdown=None) if p.name.startswith("recess rows") else p
        for p in job.toolpaths
    )
    return job.with_toolpaths(paths)


def outline_first(job: pk.Job) -> pk.Job:
    last = [p for p in job.toolpaths if p.role == "outline"]
    return job.with_toolpaths((*last, *(p for p in job.toolpaths if p.role != "outline")))


def ordered() -> pk.Job:
    names = [p.name for p in right().toolpaths]
    return replace(right(), precedence=tuple((name, "outline") for name in names if name != "outline"))


def blunt() -> pk.Job:
    """A job whose bit does not cut at its centre, and goes down by ramps."""
    tool = replace(BIT, centre_cutting=False)
    return Plate(bit=tool).job()


def plunged(job: pk.Job) -> pk.Job:
    sharp = replace(BIT, centre_cutting=True)
    paths = (replace(p, tool=sharp, entry=pk.Plunge()) if p.tool.name == BIT.name else p for p in job.toolpaths)
    return job.with_toolpaths(tuple(paths))


def lower_by(depth: float) -> Callable[[pk.Program], pk.Program]:
    def change(program: pk.Program) -> pk.Program:
        end = np.array(program.end)
        end[program.kind != pk.RAPID, 2] -= depth
        return program.replace(end=end)

    return change


def low_travel(program: pk.Program) -> pk.Program:
    """Travel at half the height of the board."""
    end = np.array(program.end)
    travel = float(np.nanmax(end[:, 2]))
    rows = (program.kind == pk.RAPID) & (end[:, 2] == travel)
    rows[0] = False
    end[rows, 2] = 7.5
    return program.replace(end=end)


def cuts_as_rapids(program: pk.Program) -> pk.Program:
    rows = np.flatnonzero(program.kind == pk.LINE)[40:44]
    kind, feed = np.array(program.kind), np.array(program.feed)
    kind[rows], feed[rows] = pk.RAPID, math.nan
    return program.replace(kind=kind, feed=feed)


def arcs_turned(program: pk.Program) -> pk.Program:
    """Every arc has lost its sense: it goes the long way round instead of the short one."""
    turn = 2.0 * math.pi
    sweep = np.array(program.sweep)
    arcs = (program.kind == pk.ARC) & (np.abs(sweep) < turn - 1e-6)
    sweep[arcs] -= np.sign(sweep[arcs]) * turn
    return program.replace(sweep=sweep)


def bits_exchanged(program: pk.Program) -> pk.Program:
    """The drill does the work of the end mill, and the end mill that of the drill."""
    others = {BIT.name: pk.ToolChange(DRILL.name, DRILL.number), DRILL.name: pk.ToolChange(BIT.name, BIT.number)}
    events = [others[e.name] if isinstance(e, pk.ToolChange) else e for e in program.event]
    return program.replace(event=tuple(events))


def no_spindle(program: pk.Program) -> pk.Program:
    kept = [k for k, e in enumerate(program.event) if not isinstance(e, pk.Spindle)]
    events = tuple(program.event[k] for k in kept)
    return program.replace(event=events, event_at=program.event_at[kept])


FAULTS = (
    Fault("a tab measured from the path, not the wood", "tab strength", lowered_from(tabs_as(width=2.0))),
    Fault("a tab measured from the bed", "tab strength", lowered_from(tabs_as(height=0.5))),
    Fault("tabs at other places", "tab strength", lowered_from(tabs_as(by=30.0))),
    Fault("no tabs", "tab strength", lowered_from(lambda job: changed("outline", tabs=())(job))),
    Fault("a level left out", "stock removal", lowered_from(level_left_out)),
    Fault("all levels in one", "stock removal", lowered_from(one_level)),
    Fault("the outline before all else", "precedence", lowered_from(outline_first, ordered)),
    Fault("straight down with a bit that cannot", "plunges", lowered_from(plunged, blunt)),
    Fault("everything 0.2 mm too deep", "gouges", moves(lower_by(0.2))),
    Fault("everything 0.5 mm too shallow", "finished shape", moves(lower_by(-0.5))),
    Fault("everything into the bed", "above the bed", moves(lower_by(3.0))),
    Fault("travel through the board", "rapids clear the wood", moves(low_travel)),
    Fault("cuts as rapids", "stock removal", moves(cuts_as_rapids)),
    Fault("arcs the long way round", "gouges", moves(arcs_turned)),
    Fault("the two bits exchanged", "bit named", moves(bits_exchanged, blunt)),
    Fault("the spindle never on", "spindle", moves(no_spindle)),
)  # fmt: skip
"""Each fault, and what catches it."""


@pytest.mark.parametrize(("fault", "machine"), with_machines(FAULTS))
def test_a_fault_in_the_moves_is_caught_by_the_check_that_is_named(fault: Fault, machine: str) -> None:
    said = failed(judge(fault.seed(), pk.load_machine(machine)))
    assert fault.caught_by in said, said


def test_no_fault_is_named_twice() -> None:
    assert len({fault.name for fault in FAULTS}) == len(FAULTS)
