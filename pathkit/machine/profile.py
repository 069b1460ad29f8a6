"""A machine as its owner describes it: corner, axis directions, travel, speeds. Read from TOML."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import KW_ONLY, dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Any, Final, Literal

from annotated_types import Ge

from pathkit.door import expect
from pathkit.errors import ProfileError
from pathkit.fields import Above0, From0, Number
from pathkit.files import read_text
from pathkit.model.checking import Checked, Faults

Sideways = Literal["right", "left", "away", "toward"]
Upright = Literal["up", "down"]
Corner = Literal["front-left", "front-right", "back-left", "back-right", "centre"]
Triple = tuple[float, float, float]
Speeds = tuple[Above0, Above0, Above0]

PULL_OFF: Final = 1.0
"""mm by which a homed axis stands off its switch: a usual default (from memory: GRBL's setting $27)."""

# In the bench frame: x to the right, y away from the operator, z up.
_COMPASS = {
    "right": (0, 1), "left": (0, -1), "away": (1, 1), "toward": (1, -1), "up": (2, 1), "down": (2, -1),
}  # fmt: skip


@dataclass(frozen=True)
class Axes(Checked):
    """Where the bit moves relative to the board, seen from the operator, as each axis' number grows.

    >>> pk.Axes("left", "toward", "up")
    Axes(x='left', y='toward', z='up')
    """

    x: Sideways = "right"
    y: Sideways = "away"
    z: Upright = "up"

    def _check(self, faults: Faults) -> None:
        faults.raise_any()
        if _COMPASS[self.x][0] == _COMPASS[self.y][0]:
            fix = "one of them runs right or left, the other away or toward"
            faults.add(f"X runs {self.x} and Y runs {self.y}: the same line", fix, "y")

    @property
    def left_handed(self) -> bool:
        """Whether the determinant of the three directions is −1."""
        swapped = -1 if _COMPASS[self.x][0] == 1 else 1
        return swapped * _COMPASS[self.x][1] * _COMPASS[self.y][1] * _COMPASS[self.z][1] < 0


@dataclass(frozen=True)
class Travel(Checked):
    """Length of each controller axis, mm; ``low`` the machine coordinate of each axis' lower end, if known.

    >>> pk.Travel(600.0, 400.0, 80.0).x
    600.0
    """

    x: Above0
    y: Above0
    z: Above0
    low: Triple | None = None


@dataclass(frozen=True)
class Motion(Checked):
    """Per controller axis: ``rapid`` and ``feed_limit`` in mm/min, ``acceleration`` in mm/s².

    ``junction_deviation`` and ``arc_tolerance`` in mm; ``steps_per_mm`` makes the run-time model round as the
    controller does; ``idle_delay`` is the time lost at each full stop, s.

    >>> motion = pk.Motion((5000.0, 5000.0, 2000.0), (4000.0, 4000.0, 1000.0), (400.0, 400.0, 200.0))
    >>> motion.junction_deviation
    0.01
    """

    rapid: Speeds
    feed_limit: Speeds
    acceleration: Speeds
    junction_deviation: From0 = 0.01
    arc_tolerance: Above0 = 0.002
    steps_per_mm: Speeds | None = None
    idle_delay: From0 = 0.025


@dataclass(frozen=True)
class SpindleControl(Checked):
    """``words``: the file starts and stops it (rpm between ``min`` and ``max``); ``manual``: a pause asks for it.

    >>> pk.SpindleControl("words", 8000.0, 24000.0, 3.0).max
    24000.0
    """

    control: Literal["words", "manual"] = "words"
    min: From0 = 0.0
    max: Above0 = 24000.0
    spin_up: From0 = 3.0

    def _check(self, faults: Faults) -> None:
        faults.raise_any()
        if self.min > self.max:
            faults.add(f"min {self.min:g} is above max {self.max:g}", "give at most as much", "min")


@dataclass(frozen=True)
class Heights(Checked):
    """mm above the thickest board: ``travel`` (and above the tallest clamp on the way), ``approach``.

    Defaults: common practice, no source.

    >>> pk.Heights()
    Heights(travel=8.0, approach=1.0)
    """

    travel: Above0 = 8.0
    approach: Above0 = 1.0

    def _check(self, faults: Faults) -> None:
        faults.raise_any()
        if self.approach > self.travel:
            what = f"approach {self.approach:g} is above travel {self.travel:g}"
            faults.add(what, "give at most as much", "approach")


@dataclass(frozen=True)
class Change(Checked):
    """Where the bit waits to be changed by hand: ``x``, ``y`` in work coordinates (controller's axes, mm), as the park
    is, and ``height`` mm higher than it travels anywhere on the board (common practice, no source)."""

    x: Number
    y: Number
    height: Annotated[float, Ge(1.0)] = 5.0


@dataclass(frozen=True)
class Rehearsed(Checked):
    """What was seen when the machine ran its rehearsal: whether the letter reads, whether the rectangle fits.

    ``profile`` is the `Machine.fingerprint` at that time: a machine whose axes have changed since counts as new.
    """

    letter_reads: bool
    rectangle_fits: bool
    profile: str


@dataclass(frozen=True)
class Machine(Checked):
    """A machine and its controller. ``origin`` names the stock's corner (as it lies after turning) at X0 Y0.

    ``park`` is in work coordinates, controller's axes, mm; bits are changed there unless ``change`` names a place of
    its own. ``output`` holds capabilities that differ from the dialect's own; ``rehearsed`` what was seen in the air.
    Raises `ProfileError` with every finding.

    >>> machine = pk.load_machine("grbl-front-left")
    >>> machine.dialect, machine.uppermost
    ('grbl', None)
    """

    _refusal = ProfileError

    name: str
    dialect: str
    axes: Axes
    travel: Travel
    motion: Motion
    _: KW_ONLY
    origin: Corner = "front-left"
    left_handed: bool = False
    homed: bool = False
    spindle: SpindleControl = field(default_factory=SpindleControl)
    bytes_per_second: Above0 | None = None
    heights: Heights = field(default_factory=Heights)
    park: tuple[float, float] | None = None
    change: Change | None = None
    output: Mapping[str, Any] = field(default_factory=dict)
    rehearsed: Rehearsed | None = None

    def _check(self, faults: Faults) -> None:
        object.__setattr__(self, "output", MappingProxyType(dict(self.output)))
        if not isinstance(self.axes, Axes) or not isinstance(self.travel, Travel):
            return
        if self.axes.left_handed != self.left_handed:
            hand = "left-handed" if self.axes.left_handed else "right-handed"
            axes = self.axes
            what = (
                f"axes x {axes.x}, y {axes.y}, z {axes.z} are {hand}, but left_handed = {str(self.left_handed).lower()}"
            )
            faults.add(what, "look at the machine again: the wrong value cuts a mirror image", "left_handed")
        if self.homed and self.travel.low is None:
            faults.add(
                "homed without low in [travel]", "give the machine coordinate of each axis' lower end", "travel.low"
            )

    @property
    def units(self) -> str:
        """The unit of lengths in its files: ``mm``, or ``inch`` if its [output] says so."""
        units: str = self.output.get("units", "mm")
        return units

    @property
    def change_place(self) -> tuple[float, float] | None:
        """Where bits are changed, in work coordinates, mm; None: wherever the bit is."""
        return self.park if self.change is None else (self.change.x, self.change.y)

    @property
    def uppermost(self) -> float | None:
        """Z in machine coordinates up to which the bit can always be lifted, `PULL_OFF` below the upper end; None if
        the machine is not homed."""
        low = self.travel.low
        if not self.homed or low is None:
            return None
        return low[2] + self.travel.z - PULL_OFF if self.axes.z == "up" else low[2] + PULL_OFF

    def __reduce__(self) -> tuple[Any, ...]:
        # A mapping proxy cannot be pickled; a plain dict can.
        values = {name: getattr(self, name) for name in self.__dataclass_fields__ if name not in ("_", "output")}
        return _rebuild, ({**values, "output": dict(self.output)},)

    @classmethod
    def from_toml(cls, text: str, source: str = "profile") -> Machine:
        """From the text of a profile. Raises `ProfileError` with every finding and its line."""
        from pathkit.machine.profile_file import machine_from_toml

        expect("Machine.from_toml", text=(text, str))
        return machine_from_toml(text, source)

    @classmethod
    def from_file(cls, path: str | Path) -> Machine:
        """From a profile on disk. Raises `InputError` if it cannot be read, `ProfileError` as `from_toml` does."""
        expect("Machine.from_file", path=(path, str, Path))
        return cls.from_toml(read_text(Path(path)), str(path))

    @property
    def fingerprint(self) -> str:
        """A hash (16 hexadecimal digits) of what decides where the bit goes: axes, corner, handedness, words."""
        import hashlib

        axes = self.axes
        deciding = (axes.x, axes.y, axes.z, self.origin, self.left_handed, self.dialect, self.output.get("units"))
        return hashlib.sha256(repr(deciding).encode()).hexdigest()[:16]

    @property
    def slug(self) -> str:
        """The name in a form for folders and files: ASCII letters, digits and hyphens."""
        return slug(self.name)


def slug(text: str) -> str:
    """ASCII lower-case letters, digits and single hyphens; ``unnamed`` if nothing is left."""
    import unicodedata

    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:60].strip("-") or "unnamed"


def _rebuild(values: dict[str, Any]) -> Machine:
    return Machine(**values)
