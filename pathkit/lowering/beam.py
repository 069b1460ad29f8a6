"""A beam's job as a program: at one height from line to line, with no power on the way."""

from __future__ import annotations

import math

import numpy as np

from pathkit.errors import Refused
from pathkit.findings import Finding
from pathkit.lowering.air import NO_AIR, air_over
from pathkit.lowering.cut import course_of, cut_of
from pathkit.lowering.rows import Rows
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.motion.program import RAPID, Beam, Note, Offset, Program, Stop, ToolChange


def lower_beam(job: Job, machine: Machine, setup: Setup, park: tuple[float, float] | None) -> Program:
    """The moves of a beam's job in the bench frame, with the power of each.

    ``park`` is where it goes at the end, x and y in mm. It comes down to the height of the lines once and stays there,
    since nothing of it is in the wood; so nothing may stand on the board. Raises `Refused` where something does.
    """
    stock, high = job.stock, air_over(job, machine).highest
    if any(zone.is_keep_out for zone in stock.zones):
        what = "something stands on the board, and a beam travels at the height at which it burns"
        fix = "hold the board from its edges or its underside, and leave the zone out"
        raise Refused([Finding(check="lowering", what=what, fix=fix)])
    height = job.toolpaths[0].lowest
    rows = Rows()
    rows.event(Note(job.name))
    rows.event(Note(f"board {stock.width:g} x {stock.depth:g} x {stock.thickness:g} mm, beam at z = {height:g} mm"))
    rows.event(Offset(setup.offset))
    beam = job.toolpaths[0].tool
    rows.event(ToolChange(beam.name, beam.number))
    rows.rapid(math.nan, math.nan, high)
    rows.event(Beam())
    for number, path in enumerate(job.toolpaths):
        spans = course_of(cut_of(path, stock, high, NO_AIR), stock).spans
        rows.toolpath = rows.level = -1
        rows.event(Note(path.name))
        rows.rapid(float(spans.start[0, 0]), float(spans.start[0, 1]), rows.z)
        rows.to_height(height)
        rows.toolpath, rows.level = number, 0
        rows.through(spans, np.full(len(spans.length), path.cutting.feed))
    rows.toolpath = rows.level = -1
    rows.event(Beam("off"))
    rows.to_height(high)
    if park is not None:
        rows.rapid(*park, high)
    return _powered(rows.program(tuple(path.name for path in job.toolpaths), stock, job.name), job)


def _powered(program: Program, job: Job) -> Program:
    """The program with the power of each row: its toolpath's, and none for rapids."""
    shares = np.array([path.cutting.power for path in job.toolpaths], dtype=float)
    power = np.where(program.kind == RAPID, 0.0, shares[program.toolpath])
    return program.replace(event=(*program.event, Stop()), event_at=[*program.event_at, len(program)], power=power)
