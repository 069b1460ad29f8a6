"""The bit, and how fast it may cut."""

from __future__ import annotations

from dataclasses import KW_ONLY, dataclass
from typing import Literal, get_args

from pathkit.model.checking import Faults

ToolKind = Literal["flat", "ball", "vee", "compression", "drill"]


SMALLEST = 0.05
"""mm: smaller than any router bit (common practice, no source); clearing with less would take for ever."""


@dataclass(frozen=True)
class Tool:
    """A bit. Lengths in mm; ``angle`` is a vee's full angle in degrees.

    ``tip_length`` is the up-cut tip of a compression bit, ``cut_length`` its flutes, ``shank`` and ``holder``
    diameters, ``reach`` the length below the holder. Whether a straight plunge is allowed is judged when the job is
    lowered: a ``drill`` always cuts at its centre, any other bit only if ``centre_cutting``.
    """

    name: str
    diameter: float
    _: KW_ONLY
    number: int | None = None
    kind: ToolKind = "flat"
    flutes: int = 2
    centre_cutting: bool = False
    tip_length: float = 0.0
    angle: float | None = None
    cut_length: float | None = None
    shank: float | None = None
    holder: float | None = None
    reach: float | None = None

    def __post_init__(self) -> None:
        faults = Faults("tool")
        faults.text(self.name, "name")
        faults.number(self.diameter, "diameter", least=SMALLEST)
        faults.choice(self.kind, get_args(ToolKind), "kind")
        if not isinstance(self.flutes, int) or isinstance(self.flutes, bool) or self.flutes < 1:
            faults.add(f"flutes is {self.flutes!r}", "a whole number, at least 1", "flutes")
        number = self.number
        if number is not None and (not isinstance(number, int) or isinstance(number, bool) or number < 0):
            faults.add(f"number is {self.number!r}", "a whole number, 0 or more", "number")
        faults.number(self.tip_length, "tip_length", least=0.0)
        faults.number(self.angle, "angle", above=0.0, below=180.0, optional=True)
        for name in ("cut_length", "shank", "holder", "reach"):
            faults.number(getattr(self, name), name, above=0.0, optional=True)
        if self.kind == "vee" and self.angle is None:
            faults.add("a vee without its angle", "give its full angle in degrees", "angle")
        if self.kind == "compression" and self.tip_length == 0.0:
            faults.add("a compression bit without its tip_length", "give the length of its up-cut tip", "tip_length")
        faults.raise_any()

    @property
    def radius(self) -> float:
        return self.diameter / 2.0

    @property
    def plunges(self) -> bool:
        """Whether it cuts at its centre, so that it may go straight down."""
        return self.kind == "drill" or self.centre_cutting


@dataclass(frozen=True)
class Cutting:
    """Feeds in mm/min, spindle speed in rpm. ``ramp`` is the feed of a sloping way down.

    If ``ramp`` is None, it is the fastest that neither exceeds ``feed`` nor goes down faster than ``plunge``.
    """

    feed: float
    plunge: float
    spindle: float
    ramp: float | None = None

    def __post_init__(self) -> None:
        faults = Faults("cutting")
        faults.number(self.feed, "feed", above=0.0)
        faults.number(self.plunge, "plunge", above=0.0)
        faults.number(self.spindle, "spindle", least=0.0)
        faults.number(self.ramp, "ramp", above=0.0, optional=True)
        faults.raise_any()

    def ramp_feed(self, sine: float) -> float:
        """Feed (mm/min) on a way down whose angle has this sine: min(feed, plunge / sin α) unless ``ramp`` is set.

        Even a set ``ramp`` never goes down faster than ``plunge``.
        """
        wanted = self.feed if self.ramp is None else self.ramp
        return min(wanted, self.plunge / sine) if sine > 0.0 else wanted
