"""Arcs that a controller does not take in one block: split into turns or parts, or drawn as chords. Vectorised."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import ARC, LINE, Program
from pathkit.tolerances import ANGLE_ROUNDING, NARROWEST_CHORD

FULL = 2.0 * math.pi

FARTHEST_ZERO = 1000.0
"""mm that the machine's own zero may lie away from the work: the controller rounds coordinates from there."""

LARGEST_R_SWEEP = math.radians(120.0)
"""Near half a turn the centre of an arc given by R moves far with the last digit of R, so such arcs are kept short."""

Indices = NDArray[np.int64]


def split_arcs(program: Program, capabilities: Capabilities, tolerance: float) -> tuple[Program, Indices]:
    """The program with only such arcs as ``capabilities`` can write, and the row that each new row came from.

    Pieces of one arc have equal sweeps; helices stay linear in z. Chords stay within ``tolerance`` mm of the arc:
    sagitta r(1 − cos(θ/2)) (circle geometry). Events keep their places.
    """
    if not (program.kind == ARC).any():
        return program, np.arange(len(program))
    pieces, chorded = _pieces(program, capabilities, tolerance)
    source: Indices = np.repeat(np.arange(len(program)), pieces)
    if len(source) == len(program) and not chorded.any():
        return _close_circles(program), source
    first = np.concatenate([[0], np.cumsum(pieces)])
    part = np.arange(len(source)) - first[source] + 1
    end = program.end[source]
    cut = part < pieces[source]
    end[cut] = _points(program, source[cut], part[cut] / pieces[source[cut]])
    kind = program.kind[source]
    kind[chorded[source]] = LINE
    lines = kind != ARC
    sweep = program.sweep[source] / pieces[source]
    sweep[lines] = 0.0
    centre = program.centre[source]
    centre[lines] = np.nan
    at = first[program.event_at]
    split = program.take(
        source, kind=kind, end=end, centre=centre, sweep=sweep, event=program.event, event_at=at
    )  # fmt: skip
    return _close_circles(split), source


def _pieces(program: Program, capabilities: Capabilities, tolerance: float) -> tuple[Indices, NDArray[np.bool_]]:
    """Into how many pieces each row is split, and which rows become chords."""
    pieces: Indices = np.ones(len(program), dtype=np.int64)
    arcs = program.kind == ARC
    climbs = np.zeros(len(program), dtype=bool)
    climbs[arcs] = (program.end[:, 2] != program.origins[:, 2])[arcs]
    chorded = arcs & (
        climbs if capabilities.arcs != "none" and not capabilities.helical else capabilities.arcs == "none"
    )
    whole = arcs & ~chorded
    if capabilities.arcs == "radius":
        largest = LARGEST_R_SWEEP
    else:
        largest = FULL if capabilities.full_circles and not _in_single(capabilities) else math.pi
    pieces[whole] = np.ceil(np.abs(program.sweep[whole]) / largest - ANGLE_ROUNDING)
    radius = np.hypot(*(program.origins[chorded, :2] - program.centre[chorded]).T)
    radius = np.maximum(radius, np.hypot(*(program.end[chorded, :2] - program.centre[chorded]).T))
    with np.errstate(divide="ignore"):
        widest = 2.0 * np.arccos(np.clip(1.0 - tolerance / radius, math.sqrt(0.5), 1.0))
    pieces[chorded] = np.ceil(np.abs(program.sweep[chorded]) / np.maximum(widest, NARROWEST_CHORD))
    return np.maximum(pieces, 1), chorded


def open_length(program: Program, capabilities: Capabilities) -> NDArray[np.float64]:
    """(2,) mm, and share of its radius: an arc no longer than the two together may be taken for a whole turn.

    Zero if the controller's numbers are exact enough. In 32-bit floats, each of four roundings shifts a place by at
    most half the last binary digit of a coordinate; angles up to the controller's cutoff count as zero.
    """
    if not _in_single(capabilities) or not (program.kind == ARC).any():
        return np.zeros(2)
    assert capabilities.grammar is not None
    arcs = program.kind == ARC
    size = max(FARTHEST_ZERO, *(float(np.nanmax(np.abs(at[arcs]))) for at in (program.end[:, :2], program.centre)))
    half_digit = float(np.finfo(np.float32).epsneg)
    return np.array(
        [2.0 * 4.0 * math.sqrt(2.0) * size * half_digit, 16.0 * half_digit + capabilities.grammar.arc.full_turn]
    )


def _in_single(capabilities: Capabilities) -> bool:
    """Whether the controller computes its turns in 32-bit floats."""
    return capabilities.grammar is not None and capabilities.grammar.arc.single


def _points(program: Program, rows: Indices, share: NDArray[np.float64]) -> NDArray[np.float64]:
    """(k, 3) points at a share of each arc's sweep; a radius that differs between start and end changes evenly."""
    centre = program.centre[rows]
    arm = program.origins[rows, :2] - centre
    begin, finish = np.hypot(*arm.T), np.hypot(*(program.end[rows, :2] - centre).T)
    scale = 1.0 + share * (finish / begin - 1.0)
    angle = program.sweep[rows] * share
    cos, sin = np.cos(angle) * scale, np.sin(angle) * scale
    z = program.origins[rows, 2] + share * (program.end[rows, 2] - program.origins[rows, 2])
    x = centre[:, 0] + cos * arm[:, 0] - sin * arm[:, 1]
    y = centre[:, 1] + sin * arm[:, 0] + cos * arm[:, 1]
    return np.stack([x, y, z], axis=1)


def _close_circles(program: Program) -> Program:
    """Full turns end exactly where they begin, so that rounding cannot separate the two."""
    full = (program.kind == ARC) & (np.abs(np.abs(program.sweep) - FULL) <= ANGLE_ROUNDING)
    if not full.any():
        return program
    # Turns may follow each other: all of them begin where the last other row ended.
    source = np.maximum.accumulate(np.where(full, -1, np.arange(len(program))))
    end = program.end.copy()
    end[full, :2] = np.where(source[full, None] >= 0, program.end[source[full], :2], program.start[:2])
    return program.replace(end=end)
