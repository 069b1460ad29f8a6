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
    Beam,
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
    from pathkit.texts.language import Language

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Teller:
    """Tells the moves of one file. ``base`` (3,) is what G92 and the like have added to its numbers, mm."""

    known: Known
    units: Units
    base: tuple[float, float, float] = (0.0, 0.0, 0.0)

    @property
    def say(self) -> Language:
        return self.units.say

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
            return self.say("moves-nowhere-known")
        change = end - begin
        moved = [axis for axis in range(3) if not abs(change[axis]) <= SAME_PLACE and not np.isnan(end[axis])]
        how = {**self._speed(kind, float(program.feed[row])), "does": self._does(kind, begin, end)}
        if program.power is not None and program.power[row] > 0.0:
            how["does"] = "burns"
        if kind == ARC:
            return self._arc(program, row, place=self.place(end), **how, **self._slope(change))
        if not moved:
            return self.say("moves-already", place=self.place(end))
        if moved == [2]:
            return self.say("moves-upright", way=self._upright(float(change[2])), place=self.place(end, "Z"), **how)
        told = self.place(end, "XY" if 2 not in moved else AXES)
        only = len(moved) == 1 and not np.isnan(change[moved[0]])
        axis = f"{'+' if change[moved[0]] > 0.0 else '-'}{AXES[moved[0]]}" if only else "several"
        return self.say("moves-straight", axis=axis, place=told, **how, **self._slope(change))

    def height(self, point: Array) -> str:
        """The height of a place (3,) over the board's top, in words; empty if it is not known."""
        bench = self.bench(point)
        if bench is None or np.isnan(bench[2]):
            return ""
        told = height(float(bench[2]), self.known.top, self.units)
        under = self.known.evidence.board.underside - float(bench[2])
        if not under > SAME_PLACE:
            return told
        return self.say("moves-height-under", height=told, length=self.units.length(under))

    def happening(self, event: Event, turning: int) -> str:
        """What an event does; ``turning`` is the sense of the spindle before it."""
        say = self.say
        match event:
            case Spindle(speed, sense):
                if sense == 0:
                    return say("moves-spindle-off")
                told = say.number(trimmed(speed, 1))
                if turning == sense:
                    return say("moves-spindle-set", speed=told)
                return say("moves-spindle-on", sense=_SENSES[sense > 0], speed=told)
            case Beam(mode):
                return say("moves-beam", mode=mode)
            case Dwell(seconds):
                return say("moves-dwell", seconds=say.number(trimmed(seconds, 3)))
            case Pause(message):
                return say("moves-pause-if" if "M1" in message else "moves-pause")
            case ToolChange(_, number):
                return say("moves-bit-change") if number is None else say("moves-bit-change-number", number=number)
            case Coolant(kind):
                return say("moves-coolant", kind=kind)
            case Offset(name):
                return say("moves-offset", name=name)
            case Lift(z):
                return say("moves-lift", z=self.units.told(z))
            case Stop():
                return say("moves-end")
            case _:
                return ""

    def _does(self, kind: int, begin: Array, end: Array) -> str:
        if kind == RAPID or (places := [self.bench(begin), self.bench(end)])[0] is None or self.known.air:
            return "moves"
        lowest = min((float(place[2]) for place in places if place is not None and place[2] == place[2]), default=0.0)
        return "cuts" if lowest < self.known.top - SAME_PLACE else "moves"

    def _speed(self, kind: int, feed: float) -> dict[str, str]:
        speed = "full" if kind == RAPID else "feed" if feed == feed else "unset"
        return {"speed": speed, "feed": self.units.feed(feed) if speed == "feed" else ""}

    def _upright(self, change: float) -> str:
        if change != change:
            return "either"
        return "up" if (change > 0.0) == (self.known.machine.axes.z == "up") else "down"

    def _slope(self, change: Array) -> dict[str, str]:
        """How far the bit goes up or down on the way."""
        z = float(change[2])
        slope = _SLOPES[self._upright(z)] if abs(z) > SAME_PLACE else "level"
        return {"slope": slope, "rise": f"{self.units.told(abs(z))} {self.units.name}" if slope != "level" else ""}

    def _arc(self, program: Program, row: int, **how: str) -> str:
        sweep = float(program.sweep[row]) * (-1.0 if self.known.mirrored else 1.0)
        radius = math.dist(program.origins[row, :2], program.centre[row])
        size = f"{self.units.told(radius)} {self.units.name}"
        turn = abs(math.degrees(sweep))
        if turn >= 360.0 - ROUNDING:
            return self.say("moves-circle", sense=_SENSES[sweep <= 0.0], radius=size, **how)
        degrees = self.say.number(trimmed(turn, 1))
        return self.say("moves-arc", sense=_SENSES[sweep <= 0.0], radius=size, degrees=degrees, **how)


_SENSES = {True: "clock", False: "counter"}
_SLOPES = {"up": "rising", "down": "sinking"}
