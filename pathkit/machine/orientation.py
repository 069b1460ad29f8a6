"""The controller's axes: how a program in the bench frame becomes one in the controller's own numbers.

w = A·c + o, where w is a place in the bench frame of the board as it lies after turning, c the controller's numbers,
A the signed permutation of the profile's axis words and o the datum corner; so c = Aᵀ(w − o). The part is never
mirrored: if the in-plane block of A has determinant −1, the controller's own frame is left-handed, and arcs swap
sense in its numbers only (rigid-body kinematics; ISO 841:2001 for the meaning of an axis' sign, from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError
from pathkit.machine.profile import Machine
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.motion.program import ARC, Program, locked

_UNIT = {
    "right": (1, 0, 0),
    "left": (-1, 0, 0),
    "away": (0, 1, 0),
    "toward": (0, -1, 0),
    "up": (0, 0, 1),
    "down": (0, 0, -1),
}

_CORNER = {
    "front-left": (0.0, 0.0), "front-right": (1.0, 0.0), "back-left": (0.0, 1.0), "back-right": (1.0, 1.0),
    "centre": (0.5, 0.5),
}  # fmt: skip


@dataclass(frozen=True)
class Orientation:
    """controller = ``linear`` @ bench + ``shift``; ``linear`` is a signed permutation (3, 3)."""

    linear: NDArray[np.float64]
    shift: NDArray[np.float64]

    @property
    def swaps_arcs(self) -> bool:
        """Whether arcs in the XY plane change sense: the determinant of the in-plane block, never Z's sign."""
        block = self.linear[:2, :2]
        return bool(block[0, 0] * block[1, 1] - block[0, 1] * block[1, 0] < 0)

    def points(self, bench: NDArray[np.float64]) -> NDArray[np.float64]:
        """(n, 3) bench → (n, 3) controller, mm. An unknown (NaN) axis leaves the others known."""
        source, sign = _signed(self.linear)
        placed = np.empty_like(bench)
        for axis in range(3):
            # Adding zero turns −0 into 0, so that no "-0" is ever written.
            shift = self.shift[axis] + 0.0
            np.multiply(bench[:, source[axis]], sign[axis], out=placed[:, axis])
            placed[:, axis] += shift
        return placed

    def points_back(self, controller: NDArray[np.float64]) -> NDArray[np.float64]:
        """(n, 3) controller → (n, 3) bench, mm."""
        source, sign = _signed(self.linear.T)
        placed = np.empty_like(controller)
        for axis in range(3):
            np.subtract(controller[:, source[axis]], self.shift[source[axis]], out=placed[:, axis])
            placed[:, axis] *= sign[axis]
            placed[:, axis] += 0.0
        return placed


def orientation(machine: Machine, stock: Stock, setup: Setup | None = None) -> Orientation:
    """How this board lies on this machine."""
    setup = setup or Setup()
    width, depth = (stock.width, stock.depth) if setup.turn % 2 == 0 else (stock.depth, stock.width)
    turn, slide = _turned_board(stock, setup.turn)
    axes = np.array([_UNIT[machine.axes.x], _UNIT[machine.axes.y], _UNIT[machine.axes.z]], dtype=float)
    share = _CORNER[machine.origin]
    datum = np.array([share[0] * width, share[1] * depth, 0.0])
    # The rows of ``axes`` are the controller's directions in bench terms: that is Aᵀ.
    return Orientation(axes @ turn, axes @ (slide - datum))


def to_controller(program: Program, machine: Machine, setup: Setup | None = None) -> Program:
    """The same moves in the controller's axes. Spindle words and feeds never change with orientation."""
    if program.frame == "controller":
        return program
    if program.stock is None:
        raise InputError("the program carries no stock, so the datum corner is unknown; give Program(stock=…)")
    way = orientation(machine, program.stock, setup)
    up, rise = float(way.linear[2, 2]), float(way.shift[2])
    return program.replace(
        cycles=tuple(replace(c, top=up * c.top + rise, bottom=up * c.bottom + rise) for c in program.cycles),
        start=way.points(program.start[None, :])[0],
        end=locked(way.points(program.end)),
        centre=_centres(program, way.points),
        sweep=-program.sweep if way.swaps_arcs else program.sweep,
        frame="controller",
    )


def to_bench(program: Program, machine: Machine, stock: Stock, setup: Setup | None = None) -> Program:
    """The inverse of `to_controller`; the result carries ``stock``."""
    if program.frame == "bench":
        return program
    way = orientation(machine, stock, setup)
    up, rise = float(way.linear[2, 2]), float(way.shift[2])
    return program.replace(
        cycles=tuple(replace(c, top=up * (c.top - rise), bottom=up * (c.bottom - rise)) for c in program.cycles),
        start=way.points_back(program.start[None, :])[0],
        end=locked(way.points_back(program.end)),
        centre=_centres(program, way.points_back),
        sweep=-program.sweep if way.swaps_arcs else program.sweep,
        stock=stock,
        frame="bench",
    )


def _turned_board(stock: Stock, turn: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Quarter turns counter-clockwise, then a shift that puts the board's front left corner at the origin again."""
    quarter = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    rotation = np.linalg.matrix_power(quarter, turn)
    slide = [(0.0, 0.0), (stock.depth, 0.0), (stock.width, stock.depth), (0.0, stock.width)][turn]
    return rotation, np.array([*slide, 0.0])


def _signed(linear: NDArray[np.float64]) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Of a signed permutation: the source of each axis, and its sign."""
    source: NDArray[np.int64] = np.abs(linear).argmax(axis=1)
    return source, linear[np.arange(3), source]


def _centres(program: Program, place: Callable[[NDArray[np.float64]], NDArray[np.float64]]) -> NDArray[np.float64]:
    """(n, 2) centres at other places; those of a program without arcs say nothing and stay."""
    if not (program.kind == ARC).any():
        return program.centre
    # A copy of its own memory, in the order of rows.
    return locked(place(np.column_stack([program.centre, np.zeros(len(program))]))[:, :2].copy())
