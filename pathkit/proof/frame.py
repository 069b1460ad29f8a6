"""From the controller's numbers to the board, built from the profile's words by walking over the board.

This is the second building of the same frame. It shares nothing with the one that posting uses, so that one misreading
of "left" cannot hide itself: no matrices, but a compass. A quarter turn of the board moves every direction of the room
one place back on the board's own compass; the datum corner is reached from the middle of the board by going half its
size in the directions that the corner's name says; a number on an axis is so many steps in the direction of its word.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.machine.profile import Machine
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.motion.program import Frame, Program

Array = NDArray[np.float64]

_COMPASS: Final = ("right", "away", "left", "toward")
"""Counter-clockwise, seen from above with the operator at the bottom."""

_SIDE: Final = {"front": "toward", "back": "away", "left": "left", "right": "right"}
"""The direction in which a side of the board lies from its middle."""


@dataclass(frozen=True)
class Walk:
    """The direction of one axis on the board: bench column 0, 1 or 2, and which way it goes."""

    column: int
    forward: bool

    def along(self, distance: Array) -> Array:
        """Displacement in the bench column for so much of the controller's number, and the other way round."""
        return distance if self.forward else -distance


@dataclass(frozen=True)
class BenchFrame:
    """Where the controller's numbers lie on the board. ``datum`` (x, y, z) is its zero in the bench frame, mm."""

    datum: tuple[float, float, float]
    axes: tuple[Walk, Walk, Walk]
    mirrored: bool
    """Seen from above its y lies clockwise of its x: arcs swap their sense in numbers (and only there)."""

    def to_bench(self, controller: Array) -> Array:
        """(n, 3) in the controller's numbers → (n, 3) on the bench, mm. Unknown (NaN) axes stay unknown alone.

        Of x and y alone, (n, 2), too: they lie on the bench's.
        """
        bench = np.empty_like(controller)
        for number, axis in enumerate(self.axes[: controller.shape[1]]):
            bench[:, axis.column] = self.datum[axis.column] + axis.along(controller[:, number])
        return bench

    def to_controller(self, bench: Array) -> Array:
        """(n, 3) on the bench → (n, 3) in the controller's numbers, mm; (n, 2) of x and y alone, too."""
        controller = np.empty_like(bench)
        for number, axis in enumerate(self.axes[: bench.shape[1]]):
            controller[:, number] = axis.along(bench[:, axis.column] - self.datum[axis.column])
        return controller

    def program_to_bench(self, program: Program, stock: Stock | None) -> Program:
        """A program read back, as the bench sees it; it then lies on ``stock``."""
        if program.frame == "bench":
            return program
        return self._moved(program, "bench").replace(stock=stock)

    def program_to_controller(self, program: Program) -> Program:
        """A program of the bench in the controller's numbers."""
        return program if program.frame == "controller" else self._moved(program, "controller")

    def _moved(self, program: Program, frame: Frame) -> Program:
        move = self.to_bench if frame == "bench" else self.to_controller
        return program.replace(
            start=move(program.start[None, :])[0],
            end=move(program.end),
            centre=move(program.centre),
            sweep=-program.sweep if self.mirrored else program.sweep,
            frame=frame,
        )


def bench_frame(machine: Machine, stock: Stock, setup: Setup | None = None) -> BenchFrame:
    """The frame of a board as it lies on a machine: by the words of ``[axes]``, ``origin`` and the board's turn."""
    turn = (setup or Setup()).turn
    datum = [stock.width / 2.0, stock.depth / 2.0]
    half = (stock.width / 2.0, stock.depth / 2.0)
    if machine.origin != "centre":
        for side in machine.origin.split("-"):
            walk = _on_board(_SIDE[side], turn)
            datum[walk.column] += half[walk.column] if walk.forward else -half[walk.column]
    x, y = _on_board(machine.axes.x, turn), _on_board(machine.axes.y, turn)
    quarter = (_COMPASS.index(machine.axes.y) - _COMPASS.index(machine.axes.x)) % 4
    return BenchFrame((datum[0], datum[1], 0.0), (x, y, Walk(2, machine.axes.z == "up")), quarter == 3)


def _on_board(word: str, turn: int) -> Walk:
    """A direction of the room as one of the board's own, the board having been turned by quarters."""
    place = (_COMPASS.index(word) - turn) % 4
    return Walk(column=place % 2, forward=place < 2)
