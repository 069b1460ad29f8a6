"""What the reader knows of the controller: modes, where the bit is, what turns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isnan, nan
from typing import Final, NamedTuple

from pathkit.machine.grammar import Grammar
from pathkit.units import MM_PER_INCH

Point = tuple[float, float, float]
UNKNOWN: Final[Point] = (nan, nan, nan)
AXES: Final = "XYZ"


class Place(NamedTuple):
    """Where the bit is and what shifts its numbers, in mm.

    ``at`` is in the frame in which the file began (NaN where unknown). A word's number plus ``base`` is in that frame:
    ``base`` is 0 until G92, a length offset or G10 L20 shift the numbers of a bit that does not move. ``shift`` is the
    part of ``base`` from G92, ``length`` the length offset in force (None: not set; NaN:
    one that the file does not say). ``lifted``: the bit has gone up in
    machine coordinates, and its height is not known since.
    """

    at: Point = UNKNOWN
    base: Point = (0.0, 0.0, 0.0)
    shift: Point = (0.0, 0.0, 0.0)
    length: float | None = None
    lifted: bool = False

    def target(self, values: Mapping[str, float], scale: float, absolute: bool) -> Point:
        """The end of a block's axis words, in the frame in which the file began."""
        at, base = self.at, self.base
        x, y, z = at
        if absolute:
            if "X" in values:
                x = values["X"] * scale + base[0]
            if "Y" in values:
                y = values["Y"] * scale + base[1]
            if "Z" in values:
                z = values["Z"] * scale + base[2]
            return x, y, z
        return (
            x + values["X"] * scale if "X" in values else x,
            y + values["Y"] * scale if "Y" in values else y,
            z + values["Z"] * scale if "Z" in values else z,
        )

    @property
    def known(self) -> bool:
        return not (isnan(self.at[0]) or isnan(self.at[1]) or isnan(self.at[2]))

    def lost(self, axes: str = AXES) -> Place:
        """The same, with these axes unknown."""
        return self._replace(at=changed(self.at, dict.fromkeys(axes, nan)), lifted=False)


@dataclass(slots=True)
class Turning:
    """Spindle ``speed`` in rpm, or a beam's power as a share of the full (None: never set), ``sense`` as in `Spindle`;
    the coolants on; the chosen tool."""

    speed: float | None = None
    sense: int = 0
    coolants: set[str] = field(default_factory=set)
    tool: int | None = None


@dataclass(slots=True)
class State:
    """Everything that lasts longer than a block. ``known`` are the modal groups that the file itself has set.

    ``feed`` is in mm/min, or 1/min while G93 is in force; 0 before any. ``cycle`` holds a drill cycle's sticky words in
    mm. ``lost_told``: whether the unknown position has been reported since it was lost.
    """

    modes: dict[str, str]
    place: Place
    known: set[str] = field(default_factory=set)
    feed: float = 0.0
    turning: Turning = field(default_factory=Turning)
    cycle: dict[str, float] = field(default_factory=dict)
    lost_told: bool = False
    ended: bool = False

    @classmethod
    def at_power_up(cls, grammar: Grammar, start: Point) -> State:
        return cls(modes=dict(grammar.power_up), place=Place(start))

    def move_to(self, place: Place) -> None:
        """Set the place; once the position is known, its next loss is reported again."""
        if self.place.known and not place.known:
            self.lost_told = False
        self.place = place


def changed(point: Point, axes: Mapping[str, float]) -> Point:
    """The point with some of its axes replaced."""
    x, y, z = (axes.get(name, value) for name, value in zip(AXES, point, strict=True))
    return x, y, z


def scale_of(modes: Mapping[str, str]) -> float:
    """Millimetres in one unit of length under these modes."""
    return MM_PER_INCH if modes.get("units") in ("G20", "G70") else 1.0
