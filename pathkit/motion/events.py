"""What happens between two moves of a program."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, get_args

from pathkit.model.checking import Faults

CoolantKind = Literal["flood", "mist", "off"]
BeamMode = Literal["dynamic", "constant", "off"]


def _one_of(check: str, path: str, value: object, allowed: tuple[str, ...]) -> None:
    faults = Faults(check)
    faults.choice(value, allowed, path)
    faults.raise_any()


@dataclass(frozen=True, slots=True)
class ToolChange:
    """This bit from here on. ``number`` is its number in a tool table.

    >>> pk.ToolChange("6 mm flat", 1)
    ToolChange(name='6 mm flat', number=1)
    """

    name: str
    number: int | None = None


@dataclass(frozen=True, slots=True)
class Spindle:
    """``speed`` in rpm; ``sense`` 1 clockwise seen from above (M3), −1 counter-clockwise (M4), 0 off (M5).

    >>> pk.Spindle(18000.0, 1)
    Spindle(speed=18000.0, sense=1)
    """

    speed: float
    sense: int = 1

    def __post_init__(self) -> None:
        faults = Faults("spindle")
        faults.number(self.speed, "speed", least=0.0)
        if isinstance(self.sense, bool) or self.sense not in (1, -1, 0):
            faults.add(f"sense is {self.sense!r}", "1 clockwise, -1 counter-clockwise, 0 off", "sense")
        faults.raise_any()


@dataclass(frozen=True, slots=True)
class Beam:
    """From here on the `Program.power` of each move counts, or (``off``, M5) none does.

    ``dynamic`` (M4): the power follows the speed, so that the beam is off where the machine stands. ``constant`` (M3):
    it also burns where the machine stands; a file that says so can be read, but is never written.

    >>> pk.Beam()
    Beam(mode='dynamic')
    """

    mode: BeamMode = "dynamic"

    def __post_init__(self) -> None:
        _one_of("beam", "mode", self.mode, get_args(BeamMode))


@dataclass(frozen=True, slots=True)
class Coolant:
    """``flood`` (M8), ``mist`` (M7) or ``off`` (M9).

    >>> pk.Coolant("mist")
    Coolant(kind='mist')
    """

    kind: CoolantKind

    def __post_init__(self) -> None:
        _one_of("coolant", "kind", self.kind, get_args(CoolantKind))


@dataclass(frozen=True, slots=True)
class Dwell:
    """Stand still for that many seconds.

    >>> pk.Dwell(1.5)
    Dwell(seconds=1.5)
    """

    seconds: float

    def __post_init__(self) -> None:
        faults = Faults("dwell")
        faults.number(self.seconds, "seconds", least=0.0)
        faults.raise_any()


@dataclass(frozen=True, slots=True)
class Pause:
    """Wait for the operator, and say why.

    >>> pk.Pause("put in the 3 mm bit")
    Pause(message='put in the 3 mm bit')
    """

    message: str


@dataclass(frozen=True, slots=True)
class Note:
    """A comment for whoever reads the file; it moves nothing.

    >>> pk.Note("slot 1")
    Note(text='slot 1')
    """

    text: str


@dataclass(frozen=True, slots=True)
class Offset:
    """The work coordinate system in force (``G54`` … ``G59.3``).

    >>> pk.Offset("G55")
    Offset(name='G55')
    """

    name: str

    def __post_init__(self) -> None:
        if not (isinstance(self.name, str) and re.fullmatch(r"G5[4-9](\.[1-3])?", self.name)):
            faults = Faults("offset")
            faults.add(f"name is {self.name!r}", "G54 to G59, say", "name")
            faults.raise_any()


@dataclass(frozen=True, slots=True)
class Lift:
    """Z alone, at rapid, to ``z`` in machine coordinates (the controller's axis, mm): up out of everything's way.

    Where that is in work coordinates is not known.

    >>> pk.Lift(-2.0)
    Lift(z=-2.0)
    """

    z: float


@dataclass(frozen=True, slots=True)
class Stop:
    """The program ends.

    >>> pk.Stop()
    Stop()
    """


Event = ToolChange | Spindle | Beam | Coolant | Dwell | Pause | Note | Offset | Lift | Stop
