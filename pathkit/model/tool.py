"""The bit, and how fast it may cut."""

from __future__ import annotations

from dataclasses import KW_ONLY, dataclass
from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le, Lt

from pathkit.fields import Above0, From0, Least0, Length
from pathkit.model.checking import Checked, Faults

ToolKind = Literal["flat", "ball", "vee", "compression", "drill"]


SMALLEST = 0.05
"""mm: smaller than any router bit (common practice, no source); clearing with less would take for ever."""


@dataclass(frozen=True)
class Tool(Checked):
    """A bit. Lengths in mm; ``angle`` is a vee's full angle in degrees.

    ``tip_length`` is the up-cut tip of a compression bit, ``cut_length`` its flutes, ``shank`` and ``holder``
    diameters, ``reach`` the length below the holder. Whether a straight plunge is allowed is judged when the job is
    lowered: a ``drill`` always cuts at its centre, any other bit only if ``centre_cutting``.
    """

    name: str
    diameter: Annotated[float, Ge(SMALLEST), Le(1e5)]
    _: KW_ONLY
    number: Annotated[int, Ge(0)] | None = None
    kind: ToolKind = "flat"
    flutes: Annotated[int, Ge(1), Le(16)] = 2
    centre_cutting: bool = False
    tip_length: Least0 = 0.0
    angle: Annotated[float, Gt(0.0), Lt(180.0)] | None = None
    cut_length: Length | None = None
    shank: Length | None = None
    holder: Length | None = None
    reach: Length | None = None

    def _check(self, faults: Faults) -> None:
        if self.kind == "vee" and self.angle is None:
            faults.add("a vee without its angle", "give its full angle in degrees", "angle")
        if self.kind == "compression" and self.tip_length == 0.0:
            faults.add("a compression bit without its tip_length", "give the length of its up-cut tip", "tip_length")

    @property
    def radius(self) -> float:
        return self.diameter / 2.0

    @property
    def plunges(self) -> bool:
        """Whether it cuts at its centre, so that it may go straight down."""
        return self.kind == "drill" or self.centre_cutting


@dataclass(frozen=True)
class Cutting(Checked):
    """Feeds in mm/min, spindle speed in rpm. ``ramp`` is the feed of a sloping way down.

    If ``ramp`` is None, it is the fastest that neither exceeds ``feed`` nor goes down faster than ``plunge``.
    """

    feed: Above0
    plunge: Above0
    spindle: From0
    ramp: Above0 | None = None

    def ramp_feed(self, sine: float) -> float:
        """Feed (mm/min) on a way down whose angle has this sine: min(feed, plunge / sin α) unless ``ramp`` is set.

        Even a set ``ramp`` never goes down faster than ``plunge``.
        """
        wanted = self.feed if self.ramp is None else self.ramp
        return min(wanted, self.plunge / sine) if sine > 0.0 else wanted
