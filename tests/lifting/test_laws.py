"""A file that was read, lifted and lowered again cuts the same board, whichever dialect and orientation it has.

What is cut is compared twice: by the ways of the bit (`pathkit.proof.same_cuts`), and here by a map of the board that
only `pathkit.proof.material` makes.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.proof.frame import bench_frame
from pathkit.proof.material.heightmap import remove
from pathkit.proof.same_cuts import Cutter, same_cuts
from pathkit.testing.programs import machine_for
from pathkit.testing.strategies import jobs, machines
from pathkit.tolerances import MAP_SLACK
from tests.lifting.drawn import boards

BIT = pk.Tool("4 mm", 4.0, centre_cutting=True)
DIALECTS = [each.name for each in pk.installed().provided("dialect") if not each.value.capabilities.beam]
"""Those for bits: one for a beam takes none of these jobs."""
ROUNDING = 0.01
"""mm, more than any dialect here rounds."""


def _with_one_bit(job: pk.Job) -> pk.Job:
    return job.with_toolpaths(replace(path, tool=BIT) for path in job.toolpaths)


@pytest.mark.parametrize("dialect", DIALECTS)
@given(data=st.data())
def test_it_cuts_the_same_board(dialect: str, data: st.DataObject) -> None:
    job = data.draw(st.one_of(jobs(least=1, most=4, sound=True).map(_with_one_bit), boards()))
    bit = job.tools[0]
    drawn = data.draw(machines())
    found = pk.installed().find("dialect", dialect)
    machine = machine_for(found, axes=drawn.axes, origin=drawn.origin)
    try:
        program = pk.lower(job, machine)
        posted = pk.post(program, machine)
    except pk.PathkitError:
        assume(False)
        raise
    reading = pk.interpret(posted.text, machine)
    lifted = pk.lift(reading.program, machine, bits=bit, stock=job.stock)
    again = pk.lower(lifted.job, machine)
    original = bench_frame(machine, job.stock).program_to_bench(reading.program, job.stock)
    ways = [
        Cutter(each, np.zeros(len(each), np.int32), called)
        for each, called in ((original, "the file"), (again, "the lifted job"))
    ]
    same = same_cuts(ways[0], ways[1], job.stock.highest_top, ROUNDING)
    assert same.status == "passed", same.findings
    tools = lifted.job.tools
    maps = [remove(each.program, stock=job.stock, tools=tools, bits=each.bits, grid=1.0).height for each in ways]
    # At an edge of the cut a rounded place may lie on the other side of a point of the map.
    apart = np.abs(maps[0] - maps[1]) > MAP_SLACK + ROUNDING
    assert apart.mean() < 0.002
