"""A machine as its owner describes it: corner, axis directions, travel, speeds. Read from TOML."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import KW_ONLY, dataclass, field
from types import MappingProxyType
from typing import Any, Literal, get_args

from pathkit.errors import ModelError, ProfileError
from pathkit.findings import Finding
from pathkit.model.checking import Faults, placed

Direction = Literal["right", "left", "away", "toward", "up", "down"]
Corner = Literal["front-left", "front-right", "back-left", "back-right", "centre"]
Triple = tuple[float, float, float]

# In the bench frame: x to the right, y away from the operator, z up.
_COMPASS = {
    "right": (0, 1), "left": (0, -1), "away": (1, 1), "toward": (1, -1), "up": (2, 1), "down": (2, -1),
}  # fmt: skip


@dataclass(frozen=True)
class Axes:
    """Where the bit moves relative to the board, seen from the operator, as each axis' number grows."""

    x: Direction = "right"
    y: Direction = "away"
    z: Direction = "up"

    def __post_init__(self) -> None:
        faults = Faults("axes")
        for name in "xyz":
            allowed = ("up", "down") if name == "z" else ("right", "left", "away", "toward")
            faults.choice(getattr(self, name), allowed, f"axes.{name}")
        faults.raise_any()
        if _COMPASS[self.x][0] == _COMPASS[self.y][0]:
            fix = "one of them runs right or left, the other away or toward"
            faults.add(f"X runs {self.x} and Y runs {self.y}: the same line", fix, "axes.y")
        faults.raise_any()

    @property
    def left_handed(self) -> bool:
        """Whether the determinant of the three directions is −1."""
        swapped = -1 if _COMPASS[self.x][0] == 1 else 1
        return swapped * _COMPASS[self.x][1] * _COMPASS[self.y][1] * _COMPASS[self.z][1] < 0


@dataclass(frozen=True)
class Travel:
    """Length of each controller axis, mm; ``low`` the machine coordinate of each axis' lower end, if known."""

    x: float
    y: float
    z: float
    low: Triple | None = None

    def __post_init__(self) -> None:
        faults = Faults("travel")
        for name in "xyz":
            faults.number(getattr(self, name), f"travel.{name}", above=0.0)
        if self.low is not None:
            object.__setattr__(self, "low", _triple(self.low, "travel.low", faults))
        faults.raise_any()


@dataclass(frozen=True)
class Motion:
    """Per controller axis: ``rapid`` and ``feed_limit`` in mm/min, ``acceleration`` in mm/s².

    ``junction_deviation`` and ``arc_tolerance`` in mm; ``steps_per_mm`` makes the run-time model round as the
    controller does; ``idle_delay`` is the time lost at each full stop, s.
    """

    rapid: Triple
    feed_limit: Triple
    acceleration: Triple
    junction_deviation: float = 0.01
    arc_tolerance: float = 0.002
    steps_per_mm: Triple | None = None
    idle_delay: float = 0.025

    def __post_init__(self) -> None:
        faults = Faults("motion")
        for name in ("rapid", "feed_limit", "acceleration", "steps_per_mm"):
            if getattr(self, name) is not None:
                object.__setattr__(self, name, _triple(getattr(self, name), f"motion.{name}", faults, above=0.0))
        faults.number(self.junction_deviation, "motion.junction_deviation", least=0.0)
        faults.number(self.arc_tolerance, "motion.arc_tolerance", above=0.0)
        faults.number(self.idle_delay, "motion.idle_delay", least=0.0)
        faults.raise_any()


@dataclass(frozen=True)
class SpindleControl:
    """``words``: the file starts and stops it (rpm between ``min`` and ``max``); ``manual``: a pause asks for it."""

    control: Literal["words", "manual"] = "words"
    min: float = 0.0
    max: float = 24000.0
    spin_up: float = 3.0

    def __post_init__(self) -> None:
        faults = Faults("spindle")
        faults.choice(self.control, ("words", "manual"), "spindle.control")
        faults.number(self.min, "spindle.min", least=0.0)
        faults.number(self.max, "spindle.max", above=0.0)
        faults.number(self.spin_up, "spindle.spin_up", least=0.0)
        faults.raise_any()
        if self.min > self.max:
            faults.add(f"min {self.min:g} is above max {self.max:g}", path="spindle.min")
        faults.raise_any()


@dataclass(frozen=True)
class Heights:
    """mm above the thickest board: ``travel`` (and above the tallest clamp on the way), ``approach``.

    Defaults: common practice, no source.
    """

    travel: float = 8.0
    approach: float = 1.0

    def __post_init__(self) -> None:
        faults = Faults("heights")
        faults.number(self.travel, "heights.travel", above=0.0)
        faults.number(self.approach, "heights.approach", above=0.0)
        faults.raise_any()
        if self.approach > self.travel:
            faults.add(f"approach {self.approach:g} is above travel {self.travel:g}", path="heights.approach")
        faults.raise_any()


@dataclass(frozen=True)
class Rehearsed:
    """What was seen when the machine ran its rehearsal: whether the letter reads, whether the rectangle fits.

    ``profile`` is the `Machine.fingerprint` at that time: a machine whose axes have changed since counts as new.
    """

    letter_reads: bool
    rectangle_fits: bool
    profile: str

    def __post_init__(self) -> None:
        faults = Faults("rehearsed")
        for name in ("letter_reads", "rectangle_fits"):
            if not isinstance(getattr(self, name), bool):
                faults.add(f"{name} is {getattr(self, name)!r}", "true or false", f"rehearsed.{name}")
        faults.text(self.profile, "rehearsed.profile")
        faults.raise_any()


@dataclass(frozen=True)
class Machine:
    """A machine and its controller. ``origin`` names the stock's corner (as it lies after turning) at X0 Y0.

    ``park`` is in work coordinates, controller's axes, mm. ``output`` holds capabilities that differ from the
    dialect's own; ``rehearsed`` what was seen in the air. Raises `ProfileError` with every finding.
    """

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
    bytes_per_second: float | None = None
    heights: Heights = field(default_factory=Heights)
    park: tuple[float, float] | None = None
    output: Mapping[str, Any] = field(default_factory=dict)
    rehearsed: Rehearsed | None = None

    def __post_init__(self) -> None:
        faults = Faults("profile")
        faults.text(self.name, "name")
        faults.text(self.dialect, "dialect")
        faults.choice(self.origin, get_args(Corner), "origin")
        for section, kind in (
            ("axes", Axes), ("travel", Travel), ("motion", Motion), ("spindle", SpindleControl), ("heights", Heights),
        ):  # fmt: skip
            if not isinstance(getattr(self, section), kind):
                faults.add(f"{section} is {getattr(self, section)!r}", f"pass a {kind.__name__}", section)
        if isinstance(self.axes, Axes) and isinstance(self.travel, Travel):
            self._check_together(faults)
        if self.park is not None:
            object.__setattr__(self, "park", _pair(self.park, "park", faults))
        faults.number(self.bytes_per_second, "link.bytes_per_second", above=0.0, optional=True)
        object.__setattr__(self, "output", MappingProxyType(dict(self.output)))
        if faults.findings:
            raise ProfileError(faults.findings)

    def _check_together(self, faults: Faults) -> None:
        """Values that each section allows alone, but that contradict each other."""
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

    def __reduce__(self) -> tuple[Any, ...]:
        # A mapping proxy cannot be pickled; a plain dict can.
        values = {name: getattr(self, name) for name in self.__dataclass_fields__ if name not in ("_", "output")}
        return _rebuild, ({**values, "output": dict(self.output)},)

    @classmethod
    def from_toml(cls, text: str, source: str = "profile") -> Machine:
        """From the text of a profile. Raises `ProfileError` with every finding and its line."""
        from pathkit.machine.profile_file import machine_from_toml

        return machine_from_toml(text, source)

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


def _triple(value: Any, path: str, faults: Faults, *, above: float | None = None) -> Triple:
    numbers = tuple(value) if isinstance(value, (tuple, list)) else (value,)
    if len(numbers) != 3:
        faults.add(f"{path} is {value!r}", "three numbers, for x, y and z", path)
        return (1.0, 1.0, 1.0)
    for axis, number in zip("xyz", numbers, strict=True):
        faults.number(number, f"{path}.{axis}", above=above)
    return numbers


def _pair(value: Any, path: str, faults: Faults) -> tuple[float, float]:
    numbers = tuple(value) if isinstance(value, (tuple, list)) else (value,)
    if len(numbers) != 2:
        faults.add(f"{path} is {value!r}", "two numbers, for x and y", path)
        return (0.0, 0.0)
    for axis, number in zip("xy", numbers, strict=True):
        faults.number(number, f"{path}.{axis}")
    return numbers


def build_section(build: Any, values: dict[str, Any], found: list[Finding]) -> Any:
    """Construct one section; its findings are collected instead of raised, so that all are reported together."""
    try:
        return build(**values)
    except ModelError as error:
        found += [placed(f, "$") for f in error.findings]
    return None
