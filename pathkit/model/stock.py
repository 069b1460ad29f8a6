"""The board, where its zero is, and what lies on or under it."""

from __future__ import annotations

from dataclasses import KW_ONLY, dataclass
from typing import TYPE_CHECKING, Literal, get_args

from pathkit.model.checking import Faults

if TYPE_CHECKING:
    from shapely.geometry import Polygon

ZoneKind = Literal["tape", "screw", "clamp"]
ZeroHeight = Literal["top", "bed"]


@dataclass(frozen=True)
class Zone:
    """A region of the board: ``tape`` below it, or a ``screw`` or ``clamp`` (always keep-outs).

    ``shape`` is a shapely Polygon in the bench frame, mm; ``height`` in mm above the stock's top.
    """

    shape: Polygon
    kind: ZoneKind
    height: float = 0.0

    def __post_init__(self) -> None:
        faults = Faults("zone")
        if getattr(self.shape, "geom_type", None) != "Polygon":
            faults.add(f"shape is {type(self.shape).__name__}", "pass a shapely Polygon", "shape")
        elif self.shape.is_empty or not self.shape.is_valid:
            faults.add("shape is empty or crosses itself", "pass a valid polygon", "shape")
        faults.choice(self.kind, get_args(ZoneKind), "kind")
        faults.number(self.height, "height", least=0.0)
        faults.raise_any()

    @property
    def is_keep_out(self) -> bool:
        return self.kind != "tape"


@dataclass(frozen=True)
class Stock:
    """The board: ``width`` along x, ``depth`` along y, ``thickness``, mm; ``grain`` in degrees from x.

    ``z_zero`` says where z = 0 lies: on the board's nominal ``top``, or on the ``bed`` of the machine. ``underlay`` is
    tape or waste under the board. A board may be ``thickness_tolerance`` thicker or thinner than it says.
    """

    width: float
    depth: float
    thickness: float
    _: KW_ONLY
    z_zero: ZeroHeight = "top"
    thickness_tolerance: float = 0.5
    underlay: float = 0.0
    grain: float = 0.0
    zones: tuple[Zone, ...] = ()

    def __post_init__(self) -> None:
        faults = Faults("stock")
        for name in ("width", "depth", "thickness"):
            faults.number(getattr(self, name), name, above=0.0)
        faults.choice(self.z_zero, get_args(ZeroHeight), "z_zero")
        faults.number(self.thickness_tolerance, "thickness_tolerance", least=0.0)
        faults.number(self.underlay, "underlay", least=0.0)
        faults.number(self.grain, "grain")
        object.__setattr__(self, "zones", faults.sequence(self.zones, "zones"))
        for index, zone in enumerate(self.zones):
            if not isinstance(zone, Zone):
                faults.add(f"zone {index} is {zone!r}", "pass a Zone", f"zones[{index}]")
        faults.raise_any()

    @property
    def top(self) -> float:
        """z of the nominal top."""
        return 0.0 if self.z_zero == "top" else self.underlay + self.thickness

    @property
    def highest_top(self) -> float:
        """z of the top of the thickest board allowed; with zero on the top it is the top, whatever the board."""
        return self.top if self.z_zero == "top" else self.top + self.thickness_tolerance

    @property
    def underside(self) -> float:
        """z of the nominal underside, from which the height of tabs is counted."""
        return self.top - self.thickness

    @property
    def bed(self) -> float:
        """z of what must never be cut: the machine's bed below board and underlay."""
        return self.underside - self.underlay
