"""Rewrite what a controller does not take, refuse what cannot be rewritten, and report both.

Rows: every file begins with Z alone, arcs become what the controller draws (`arcs`). Events: `script`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pathkit.dialect.arcs import split_arcs
from pathkit.dialect.script import Script, write_script
from pathkit.dialect.words import Words
from pathkit.errors import CapabilityError, InputError
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import Machine
from pathkit.model.job import Setup
from pathkit.motion.program import ARC, RAPID, Lift, Program, locked
from pathkit.tolerances import ARC_MISFIT, ARC_MISFIT_SHARE, FINEST_CHORDS

Indices = NDArray[np.int64]


@dataclass(frozen=True)
class Legal:
    """A program in the controller's axes that its controller takes, before rounding.

    ``source`` (m,) is the row of the original program that each row came from; ``script`` the events.
    """

    program: Program
    source: Indices
    script: Script
    findings: tuple[Finding, ...]


def legalise(
    program: Program, machine: Machine, capabilities: Capabilities, words: Words, setup: Setup | None = None
) -> Legal:
    """Make a program in the controller frame legal for one controller.

    Raises `InputError` for a program that contradicts itself or leaves a position open, `CapabilityError` for what the
    controller cannot take; each with every finding.
    """
    if program.frame != "controller":
        raise InputError("the program is in the bench frame; orient it to the controller's axes first")
    rising = -1.0 if machine.axes.z == "down" else 1.0
    if capabilities.arcs != "none" and capabilities.arcs not in words.arc_modes:
        ways = ", ".join([*words.arc_modes, "none"])
        what = f"arcs = {capabilities.arcs!r}, which this dialect cannot write"
        raise CapabilityError([Finding(check="legalise", what=what, fix=f"one of: {ways}", path="$.output.arcs")])
    if program.power is not None and not capabilities.beam:
        what, fix = "moves with the power of a beam: this dialect has no beam", "post for the machine with the beam"
        raise CapabilityError([Finding(check="legalise", what=what, fix=fix)])
    program, source = _z_first(program, rising)
    if not capabilities.slanting_rapids:
        program, parts = _level_rapids(program, rising)
        source = source[parts]
    if capabilities.machine_coordinates and machine.uppermost is not None:
        program = _over_the_top(program, machine.uppermost)
    if faults := tuple(_faults(program)):
        raise InputError(faults)
    script = write_script(program, machine, capabilities, words, setup)
    split, rows = split_arcs(program, capabilities, min(machine.motion.arc_tolerance, FINEST_CHORDS))
    starts = np.searchsorted(rows, script.at)
    rewritten = tuple(_rewritten(program, split, rows))
    return Legal(split, source[rows], script.moved(starts), (*script.findings, *rewritten))


def _z_first(program: Program, rising: float) -> tuple[Program, Indices]:
    """The same moves, Z alone first; unknown coordinates filled in where earlier rows set them.

    Nobody knows where the bit is when a file starts, whatever the program says; so its ``start`` is dropped.
    """
    rows: Indices = np.arange(len(program))
    unknown = np.full(3, np.nan)
    if not len(program):
        return program.replace(start=unknown), rows
    end = _filled(program.end)
    if np.array_equal(end[0, :2], program.start[:2]):
        end[0, :2] = np.nan
    program = program.replace(start=unknown, end=locked(end))
    first = end[0]
    if program.kind[0] != RAPID or np.isnan(first[2]):
        what = "the first move is not a rapid along Z"
        raise InputError([Finding(check="legalise", what=what, fix="rise to travel height first", path="$.kind[0]")])
    if np.isnan(first[:2]).all():
        return program, rows
    if rising * first[2] < np.nanmax(rising * end[:, 2]):
        what = "the first move goes sideways, below the program's greatest height"
        fix = "begin with Z alone, to travel height: the bit may be beside the board"
        raise InputError([Finding(check="legalise", what=what, fix=fix, path="$.end[0]")])
    rows = np.concatenate([[0], rows])
    end = end[rows]
    end[0, :2] = np.nan
    at = program.event_at + (program.event_at > 0)
    return program.take(rows, end=end, event=program.event, event_at=at), rows


def _level_rapids(program: Program, rising: float) -> tuple[Program, Indices]:
    """The same places, but no rapid moves Z together with X or Y: up and then across, or across and then down."""
    here, there = program.origins, program.end
    moved = (there != here) & ~(np.isnan(there) & np.isnan(here))
    slanting = (program.kind == RAPID) & moved[:, 2] & moved[:, :2].any(axis=1)
    rows = np.repeat(np.arange(len(program)), 1 + slanting)
    halves = np.flatnonzero(rows[:-1] == rows[1:])
    whole = rows[halves]
    end = there[rows]
    up = rising * there[whole, 2] > rising * here[whole, 2]
    end[halves[up], :2] = here[whole[up], :2]
    end[halves[~up], 2] = here[whole[~up], 2]
    at = np.searchsorted(rows, program.event_at)
    return program.take(rows, end=end, event=program.event, event_at=at), rows


def _over_the_top(program: Program, uppermost: float) -> Program:
    """The same program from as high as the machine can: up, across to the first place, and only there down.

    So its first move never goes down, wherever the bit stands. Moves up and down before the first place is known now
    happen over it.
    """
    known = np.isfinite(program.end[:, :2]).all(axis=1)
    if not known.any():
        return program
    first = int(np.argmax(known))
    end = np.array(program.end)
    end[: first + 1, :2] = end[first, :2]
    end[0, 2] = np.nan
    at = np.concatenate([[0], program.event_at])
    return program.replace(end=end, event=(Lift(uppermost), *program.event), event_at=at)


def _filled(end: NDArray[np.float64]) -> NDArray[np.float64]:
    """A copy with NaN replaced by the last number known on that axis, if there is one."""
    filled = end.copy()
    if len(gaps := np.flatnonzero(np.isnan(end))):
        # Nothing is open after the last gap, which mostly is in the first rows.
        head = end[: gaps[-1] // 3 + 1]
        known = ~np.isnan(head)
        last = np.maximum.accumulate(np.where(known, np.arange(len(head))[:, None], 0), axis=0)
        filled[: len(head)] = np.take_along_axis(head, last, axis=0)
    return filled


def _faults(program: Program) -> Iterator[Finding]:
    """What makes a program impossible to write: the first row of each kind."""
    cutting = program.kind != RAPID
    power = np.zeros(0) if program.power is None else program.power
    lit, over = (power > 0.0, power > 1.0) if len(power) else (~cutting & False, ~cutting & False)
    nowhere = _nowhere(program) & cutting
    arcs = np.flatnonzero((program.kind == ARC) & ~nowhere)
    before, centre, sweep = arcs - 1, program.centre[arcs], program.sweep[arcs]
    start = np.where(before[:, None] >= 0, program.end[before, :2], program.start[:2])
    arm, reach = start - centre, program.end[arcs, :2] - centre
    radius = np.hypot(arm[:, 0], arm[:, 1])
    cos, sin = np.cos(sweep), np.sin(sweep)
    turned = np.stack([cos * arm[:, 0] - sin * arm[:, 1], sin * arm[:, 0] + cos * arm[:, 1]], axis=1)
    misfit = np.hypot(*(turned - reach).T) > ARC_MISFIT + ARC_MISFIT_SHARE * radius
    for rows, what, fix, column in (
        (np.flatnonzero(cutting & np.isnan(program.feed)), "row {} cuts without a feed", "give it one", "feed"),
        (np.flatnonzero(~cutting & lit), "row {} is a rapid with the beam on", "give rapids a power of 0", "power"),
        (np.flatnonzero(over), "row {} has more than full power", "1 is full power", "power"),
        (
            np.flatnonzero(nowhere),
            "row {} cuts from or to a place that the program does not give",
            "move there first",
            "end",
        ),
        (arcs[radius == 0.0], "row {} is an arc about its own start", "give the centre", "centre"),
        (arcs[misfit], "row {} is an arc whose start, end, centre and sweep disagree", "", "sweep"),
    ):
        if len(rows):
            more = f" (and {len(rows) - 1} more)" if len(rows) > 1 else ""
            yield Finding(
                check="legalise",
                what=what.format(rows[0]) + more,
                fix=fix,
                path=f"$.{column}[{rows[0]}]",
                toolpath=_name(program, int(rows[0])),
            )


def _nowhere(program: Program) -> NDArray[np.bool_]:
    """(n,) whether a coordinate of a row's start or end is not known."""
    nowhere = np.zeros(len(program), dtype=bool)
    nowhere[:1] = not np.isfinite(program.start).all()
    rows = np.flatnonzero(~np.isfinite(program.end)) // 3
    nowhere[rows] = True
    nowhere[rows[rows + 1 < len(program)] + 1] = True
    return nowhere


def _name(program: Program, row: int) -> str | None:
    index = int(program.toolpath[row])
    return program.names[index] if index >= 0 else None


def _rewritten(before: Program, after: Program, rows: Indices) -> Iterator[Finding]:
    arcs = before.kind == ARC
    if not arcs.any():
        return
    pieces = np.bincount(rows, minlength=len(before))
    chorded = np.zeros(len(before), dtype=bool)
    chorded[rows[(after.kind != ARC) & arcs[rows]]] = True
    for number, what in (
        (np.count_nonzero(chorded), "{} arcs are written as chords"),
        (np.count_nonzero(arcs & ~chorded & (pieces > 1)), "{} arcs are written in parts"),
    ):
        if number:
            yield Finding(check="legalise", what=what.format(number), severity="note")
