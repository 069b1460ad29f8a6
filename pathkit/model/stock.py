"""The board, where its zero is, and what lies on or under it."""

from __future__ import annotations

from dataclasses import KW_ONLY, dataclass
from typing import TYPE_CHECKING, Final, Literal

from pathkit.errors import InputError
from pathkit.fields import Least0, Length, Number
from pathkit.findings import Finding
from pathkit.model.checking import Checked, Faults
from pathkit.tolerances import ROUNDING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shapely.geometry import Polygon
else:
    # A heavy library: loaded by whoever makes a zone.
    Polygon = object

THROUGH: Final = 0.3
"""mm below the underside to which a cut right through goes: common practice, no source."""

ZoneKind = Literal["tape", "screw", "clamp"]
ZeroHeight = Literal["top", "bed"]


@dataclass(frozen=True)
class Zone(Checked):
    """A region of the board: ``tape`` below it, or a ``screw`` or ``clamp`` (always keep-outs).

    ``shape`` is a shapely Polygon in the bench frame, mm; ``height`` in mm above the stock's top.

    >>> import shapely
    >>> pk.Zone(shapely.box(0, 0, 20, 20), "clamp", height=15.0).kind
    'clamp'
    """

    shape: Polygon
    kind: ZoneKind
    height: Least0 = 0.0

    def _check(self, faults: Faults) -> None:
        if getattr(self.shape, "geom_type", None) != "Polygon":
            faults.add(f"shape is {type(self.shape).__name__}", "pass a shapely Polygon", "shape")
        elif self.shape.is_empty or not self.shape.is_valid:
            faults.add("shape is empty or crosses itself", "pass a valid polygon", "shape")

    @property
    def is_keep_out(self) -> bool:
        return self.kind != "tape"


@dataclass(frozen=True)
class Stock(Checked):
    """The board: ``width`` along x, ``depth`` along y, ``thickness``, mm; ``grain`` in degrees from x.

    ``z_zero`` says where z = 0 lies: on the board's nominal ``top``, or on the machine's ``bed``. ``underlay`` is the
    tape or waste under the board, mm. A board may be ``thickness_tolerance`` thicker or thinner than nominal, the
    underlay ``underlay_tolerance``: the cut must be right for every board in that range. The default tolerance is
    common practice, no source.

    >>> board = pk.Stock(300.0, 200.0, 6.0, underlay=2.0)
    >>> board.through(0.5)
    -7.0
    """

    width: Length
    depth: Length
    thickness: Length
    _: KW_ONLY
    z_zero: ZeroHeight = "top"
    thickness_tolerance: Least0 = 0.5
    underlay: Least0 = 0.0
    underlay_tolerance: Least0 = 0.0
    grain: Number = 0.0
    zones: tuple[Zone, ...] = ()

    if TYPE_CHECKING:

        def __init__(  # noqa: PLR0913 - the fields, and sequences for tuples
            self,
            width: float,
            depth: float,
            thickness: float,
            *,
            z_zero: ZeroHeight = "top",
            thickness_tolerance: float = 0.5,
            underlay: float = 0.0,
            underlay_tolerance: float = 0.0,
            grain: float = 0.0,
            zones: Iterable[Zone] = (),
        ) -> None: ...

    def _check(self, faults: Faults) -> None:
        faults.raise_any()
        if self.thickness_tolerance >= self.thickness:
            faults.add(
                "thickness_tolerance leaves no board",
                f"give less than the thickness, say {self.thickness / 10.0:g}",
                "thickness_tolerance",
            )
        if self.underlay_tolerance > self.underlay:
            faults.add(
                "underlay_tolerance is more than the underlay", f"give at most {self.underlay:g}", "underlay_tolerance"
            )

    @property
    def top(self) -> float:
        """z of the nominal top."""
        return 0.0 if self.z_zero == "top" else self.underlay + self.thickness

    @property
    def highest_top(self) -> float:
        """z of the highest allowed top; with zero on the top it is the top, whatever the board."""
        return self.top if self.z_zero == "top" else self.top + self.thickness_tolerance + self.underlay_tolerance

    @property
    def lowest_top(self) -> float:
        """z of the lowest allowed top: a cut that marks every board goes below it."""
        return self.top if self.z_zero == "top" else self.top - self.thickness_tolerance - self.underlay_tolerance

    @property
    def underside(self) -> float:
        """z of the nominal underside."""
        return self.top - self.thickness

    @property
    def lowest_underside(self) -> float:
        """z of the lowest allowed underside: a cut through every board goes below it."""
        return self.underside - self._spread

    @property
    def highest_underside(self) -> float:
        """z of the highest allowed underside, from which the height of tabs is counted."""
        return self.underside + self._spread

    @property
    def _spread(self) -> float:
        # With zero on the top, the board's thickness moves its underside; with zero on the bed, the underlay's does.
        return self.thickness_tolerance if self.z_zero == "top" else self.underlay_tolerance

    def through(self, past: float = THROUGH) -> float:
        """z of a cut that ends ``past`` mm below the lowest underside. Raises `InputError` if the bed is in the way:
        with zero on the top, a cut past the thickest board goes past the thinnest by twice the tolerance more."""
        z, least = self.lowest_underside - past, self.underlay - self.underlay_tolerance
        more = self.lowest_underside - self.highest_bed
        if z > self.highest_bed + ROUNDING:
            return z
        thinner = 2.0 * self.thickness_tolerance if self.z_zero == "top" else 0.0
        what = f"right through takes {past:g} mm past the underside"
        what += f", and {thinner:g} mm more where the board is thinnest" if thinner else ""
        what += f"; under it lies {least:g} mm at least" if least > 0.0 else "; under it lies nothing"
        fix = f"lay more than {self.underlay + past - more:.4g} mm under the board (underlay)"
        raise InputError([Finding(check="through", what=what, fix=fix)])

    @property
    def bed(self) -> float:
        """z of the machine's bed under a board and an underlay of nominal thickness."""
        return self.underside - self.underlay

    @property
    def highest_bed(self) -> float:
        """z of what must never be cut: the bed when board and underlay are as thin as allowed."""
        return self.bed + (self.thickness_tolerance + self.underlay_tolerance if self.z_zero == "top" else 0.0)
