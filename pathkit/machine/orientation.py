"""The controller's axes: how a program in the bench frame becomes one in the controller's own numbers.

w = A·c + o, where w is a place in the bench frame of the board as it lies after turning, c the controller's numbers,
A the signed permutation of the profile's axis words and o the datum corner; so c = Aᵀ(w − o). The part is never
mirrored: if the in-plane block of A has determinant −1, the controller's own frame is left-handed, and arcs swap
sense in its numbers only (rigid-body kinematics; ISO 841:2001 for the meaning of an axis' sign, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError
from pathkit.machine.profile import Machine
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.motion.program import Program

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
        return _permuted(self.linear, bench) + self.shift

    def points_back(self, controller: NDArray[np.float64]) -> NDArray[np.float64]:
        """(n, 3) controller → (n, 3) bench, mm."""
        return _permuted(self.linear.T, controller - self.shift)


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
    centre = np.column_stack([program.centre, np.zeros(len(program))])
    up, rise = float(way.linear[2, 2]), float(way.shift[2])
    return program.replace(
        cycles=tuple(replace(c, top=up * c.top + rise, bottom=up * c.bottom + rise) for c in program.cycles),
        start=way.points(program.start[None, :])[0],
        end=way.points(program.end),
        centre=way.points(centre)[:, :2],
        sweep=-program.sweep if way.swaps_arcs else program.sweep,
        frame="controller",
    )


def to_bench(program: Program, machine: Machine, stock: Stock, setup: Setup | None = None) -> Program:
    """The inverse of `to_controller`; the result carries ``stock``."""
    if program.frame == "bench":
        return program
    way = orientation(machine, stock, setup)
    centre = np.column_stack([program.centre, np.zeros(len(program))])
    up, rise = float(way.linear[2, 2]), float(way.shift[2])
    return program.replace(
        cycles=tuple(replace(c, top=up * (c.top - rise), bottom=up * (c.bottom - rise)) for c in program.cycles),
        start=way.points_back(program.start[None, :])[0],
        end=way.points_back(program.end),
        centre=way.points_back(centre)[:, :2],
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


def _permuted(linear: NDArray[np.float64], points: NDArray[np.float64]) -> NDArray[np.float64]:
    source = np.abs(linear).argmax(axis=1)
    sign = linear[np.arange(3), source]
    # Adding zero turns −0 into 0, so that no "-0" is ever written.
    permuted: NDArray[np.float64] = points[:, source] * sign + 0.0
    return permuted
