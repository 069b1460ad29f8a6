"""A move, and what happens between moves, in words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pathkit.handover.support.texts import AXES, Units, height, trimmed
from pathkit.motion.program import (
    ARC,
    RAPID,
    Coolant,
    Dwell,
    Event,
    Lift,
    Offset,
    Pause,
    Program,
    Spindle,
    Stop,
    ToolChange,
)
from pathkit.tolerances import ROUNDING, SAME_PLACE

if TYPE_CHECKING:
    from pathkit.handover.support.placing import Known

Array = NDArray[np.float64]

_COOLANT = {"flood": "turns the flood on (coolant; on some machines air or suction)",
            "mist": "turns the mist on (air or coolant)", "off": "turns coolant and air off"}  # fmt: skip


@dataclass(frozen=True)
class Teller:
    """Tells the moves of one file. ``base`` (3,) is what G92 and the like have added to its numbers, mm."""

    known: Known
    units: Units
    base: tuple[float, float, float] = (0.0, 0.0, 0.0)

    def place(self, point: Array, axes: str = AXES) -> str:
        """A place (3,), mm, in the file's own axes and unit."""
        return self.units.place(point - np.array(self.base), axes)

    def bench(self, point: Array) -> Array | None:
        """The place (3,) on the bench, mm; None if the board is not known."""
        frame = self.known.frame
        return None if frame is None else frame.to_bench(point[None, :])[0]

    def move(self, program: Program, row: int) -> str:
        """What one row of a program in the file's numbers does, without its height over the board."""
        begin, end, kind = program.origins[row], program.end[row], int(program.kind[row])
        known = np.flatnonzero(~np.isnan(end))
        if not len(known):
            return "moves to a place that the file does not say"
        change = end - begin
        moved = [axis for axis in range(3) if not abs(change[axis]) <= SAME_PLACE and not np.isnan(end[axis])]
        verb = self._verb(kind, begin, end)
        speed = "at full speed" if kind == RAPID else self._speed(float(program.feed[row]))
        if kind == ARC:
            along = "moves along" if verb == "moves" else verb
            return f"{along} {self._arc(program, row)} to {self.place(end)} {speed}{self._slope(change)}"
        if not moved:
            return f"moves nowhere: the bit is at {self.place(end)} already"
        if moved == [2]:
            way = self._upright(float(change[2]))
            return f"{verb} {way} to {self.place(end, 'Z')} {speed}"
        axes = "".join(AXES[axis] for axis in moved)
        told = self.place(end, "XY" if 2 not in moved else AXES)
        if len(moved) == 1 and not np.isnan(change[moved[0]]):
            way = f" along {'+' if change[moved[0]] > 0.0 else '-'}{axes}"
        else:
            way = " in a straight line"
        return f"{verb}{way} to {told} {speed}{self._slope(change)}"

    def height(self, point: Array) -> str:
        """The height of a place (3,) over the board's top, in words; empty if it is not known."""
        bench = self.bench(point)
        if bench is None or np.isnan(bench[2]):
            return ""
        told = height(float(bench[2]), self.known.top)
        under = self.known.evidence.board.underside - float(bench[2])
        return f"{told} ({trimmed(under, 2)} mm below its underside)" if under > SAME_PLACE else told

    def happening(self, event: Event, turning: int) -> str:
        """What an event does; ``turning`` is the sense of the spindle before it."""
        match event:
            case Spindle(speed, sense):
                way = "clockwise" if sense > 0 else "counter-clockwise"
                if sense == 0:
                    return "turns the spindle off"
                begins = "sets the turning spindle to" if turning == sense else f"turns the spindle on, {way}, at"
                return f"{begins} {trimmed(speed, 1)} rpm"
            case Dwell(seconds):
                return f"stands still for {trimmed(seconds, 3)} s"
            case Pause(message):
                if "M1" in message:
                    return "stops until cycle start is pressed, if the switch for that is on"
                return "stops until cycle start is pressed"
            case ToolChange(_, number):
                return "has the bit changed" + ("" if number is None else f" for number {number}")
            case Coolant(kind):
                return _COOLANT[kind]
            case Offset(name):
                return f"takes the work zero {name}"
            case Lift(z):
                return f"goes straight up at full speed to Z {self.units.number(z)} in machine coordinates"
            case Stop():
                return "ends the program"
            case _:
                return ""

    def _verb(self, kind: int, begin: Array, end: Array) -> str:
        if kind == RAPID or (places := [self.bench(begin), self.bench(end)])[0] is None or self.known.air:
            return "moves"
        lowest = min((float(place[2]) for place in places if place is not None and place[2] == place[2]), default=0.0)
        return "cuts" if lowest < self.known.top - SAME_PLACE else "moves"

    def _speed(self, feed: float) -> str:
        return f"at {self.units.feed(feed)}" if feed == feed else "at a feed that the file has not set"

    def _upright(self, change: float) -> str:
        if change != change:
            return "straight up or down"
        return "straight up" if (change > 0.0) == (self.known.machine.axes.z == "up") else "straight down"

    def _slope(self, change: Array) -> str:
        """How far the bit goes up or down on the way."""
        z = float(change[2])
        if not abs(z) > SAME_PLACE:
            return ""
        way = self._upright(z).removeprefix("straight ")
        return f", {'rising' if way == 'up' else 'sinking'} by {self.units.number(abs(z))} {self.units.name} on the way"

    def _arc(self, program: Program, row: int) -> str:
        sweep = float(program.sweep[row]) * (-1.0 if self.known.mirrored else 1.0)
        radius = math.dist(program.origins[row, :2], program.centre[row])
        way = "counter-clockwise" if sweep > 0.0 else "clockwise"
        turn = abs(math.degrees(sweep))
        size = f"radius {self.units.number(radius)} {self.units.name}"
        if turn >= 360.0 - ROUNDING:
            return f"a full circle, {way} seen from above, of {size},"
        return f"an arc, {way} seen from above, of {size} through {trimmed(turn, 1)} degrees"
