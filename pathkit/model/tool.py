"""The bit, and how fast it may cut."""

from __future__ import annotations

import math
from dataclasses import KW_ONLY, dataclass
from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le, Lt

from pathkit.fields import Feed, From0, Least0, Length
from pathkit.model.checking import Checked, Faults
from pathkit.units import LENGTH

ToolKind = Literal["flat", "ball", "vee", "compression", "drill", "beam"]


SMALLEST = 0.05
"""mm: smaller than any router bit (common practice, no source); clearing with less would take for ever."""


@dataclass(frozen=True)
class Tool(Checked):
    """A bit. Lengths in mm; ``angle`` is a vee's full angle in degrees.

    ``tip_length`` is the up-cut tip of a compression bit, ``cut_length`` its flutes, ``shank`` and ``holder``
    diameters, ``reach`` the length below the holder. Whether a straight plunge is allowed is judged when the job is
    lowered: a ``drill`` always cuts at its centre, any other bit only if ``centre_cutting``.

    A ``beam`` is no bit: its ``diameter`` is the width of its kerf, and it follows lines at one height
    (`pathkit.operations.burn`).

    >>> bit = pk.Tool("6 mm flat", 6.0, flutes=2, centre_cutting=True)
    >>> bit.radius
    3.0
    """

    name: str
    diameter: Annotated[float, Ge(SMALLEST), Le(1e5), LENGTH]
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
            faults.add("a vee without its angle", "give its full angle in degrees, angle = 60, say", "angle")
        if self.kind == "compression" and self.tip_length == 0.0:
            faults.add(
                "a compression bit without its tip_length",
                "give the length of its up-cut tip, tip_length = 5, say",
                "tip_length",
            )

    @property
    def radius(self) -> float:
        return self.diameter / 2.0

    @property
    def flare(self) -> float:
        """mm that a point is wide, to each side, for each mm above its tip: the tangent of half its angle (trigonometry
        of a cone). 0 without a point, or if its angle is not known."""
        pointed = self.kind in ("vee", "drill") and self.angle is not None
        return math.tan(math.radians(self.angle or 0.0) / 2.0) if pointed else 0.0

    @property
    def plunges(self) -> bool:
        """Whether it cuts at its centre, so that it may go straight down."""
        return self.kind == "drill" or self.centre_cutting


@dataclass(frozen=True)
class Cutting(Checked):
    """Feeds in mm/min, spindle speed in rpm, all by keyword: three numbers in a row are soon exchanged.

    ``power`` is that of a beam, as a share of its full power; `by_beam` makes the cutting of one. None for a bit.

    ``ramp`` is the feed of a sloping way down. If it is None, it is the fastest that neither exceeds ``feed``
    nor goes down faster than ``plunge``.

    With ``slowest`` and ``fastest`` the feed along a level cut is no longer one number: it is ``feed`` in the heaviest
    wood that the bit meets there for any length, and faster in less wood, slower in more, within these limits
    (`pathkit.lowering.steady_load`).

    >>> pk.Cutting(feed=1200.0, plunge=400.0, spindle=18000.0).plunge
    400.0
    """

    _: KW_ONLY
    feed: Feed
    plunge: Feed
    spindle: From0
    ramp: Feed | None = None
    slowest: Feed | None = None
    fastest: Feed | None = None
    power: Annotated[float, Gt(0.0), Le(1.0)] | None = None

    @classmethod
    def by_beam(cls, *, feed: float, power: float) -> Cutting:
        """That of a beam: the ``feed`` along its lines in mm/min, and its ``power``, above 0 and up to 1.

        >>> pk.Cutting.by_beam(feed=1500.0, power=0.6).power
        0.6
        """
        return cls(feed=feed, plunge=feed, spindle=0.0, power=power)

    def _check(self, faults: Faults) -> None:
        faults.raise_any()
        if self.plunge > self.feed:
            what = f"plunge {self.plunge:g} mm/min is faster than feed {self.feed:g} mm/min"
            faults.add(what, "a bit goes down slower than along, or as fast; are the two exchanged?", "plunge")
        if self.power is not None and (self.spindle > 0.0 or self.slowest is not None or self.fastest is not None):
            what = "a beam's power together with a spindle speed or a range of feeds"
            faults.add(what, "take Cutting.by_beam(feed=…, power=…)", "power")
        if (self.slowest is None) != (self.fastest is None):
            missing = "slowest" if self.slowest is None else "fastest"
            faults.add(f"a range of feeds without its {missing}", f"give {missing} too, in mm/min", missing)
        elif self.slowest is not None and self.fastest is not None and not self.slowest <= self.feed <= self.fastest:
            what = f"the feed {self.feed:g} mm/min lies outside its range, {self.slowest:g} to {self.fastest:g} mm/min"
            faults.add(what, "choose slowest <= feed <= fastest", "feed")

    @property
    def along(self) -> tuple[float, float]:
        """The least and the greatest feed (mm/min) along a level cut; one number twice without a range."""
        if self.slowest is None or self.fastest is None:
            return self.feed, self.feed
        return self.slowest, self.fastest

    @property
    def steady(self) -> bool:
        """Whether the feed follows how much wood the bit is in."""
        return self.slowest is not None

    def ramp_feed(self, sine: float) -> float:
        """Feed (mm/min) on a way down whose angle has this sine: min(feed, plunge / sin α) unless ``ramp`` is set.

        Even a set ``ramp`` never goes down faster than ``plunge``.
        """
        wanted = self.feed if self.ramp is None else self.ramp
        return min(wanted, self.plunge / sine) if sine > 0.0 else wanted
