"""The forms of what a job file cuts and with what: boards and what lies on them, depths in them, bits, feeds."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from pathkit.errors import InputError
from pathkit.feeds.materials import Material, why_not
from pathkit.fields import Least0, Length, Place
from pathkit.findings import Finding
from pathkit.forms import Filled, Table, fills
from pathkit.jobs.shape_forms import Shape, exactly_one
from pathkit.model import stock, tool

Name = Annotated[str, Field(min_length=1, max_length=80, pattern=r"^[^\x00-\x1f\x7f]+$")]


def _may_be_cut(name: Any) -> Any:
    if (why := why_not(str(name))) is not None:
        what = f"{str(name)!r} must not be cut: {why}"
        raise InputError([Finding(check="material", what=what, fix="use another material")])
    return name


class Depth(Table):
    """A height in the wood, measured down from the top (``from_top``) or up from the bed (``above_bed``).

    ``through`` goes that far past the underside of the thickest board that is allowed, 0.3 mm if it is ``true``.
    """

    from_top: Least0 | None = None
    above_bed: Place | None = None
    # The number comes first: 1 means a millimetre, not true.
    through: Annotated[Length | Literal[True] | None, Field(union_mode="left_to_right")] = None

    @model_validator(mode="after")
    def _one(self) -> Depth:
        exactly_one(self, ("from_top", "above_bed", "through"))
        return self


@fills(stock.Zone, "shape")
class Zone(Filled):
    """Tape under the board, or a screw or clamp (always avoided); ``height`` is above the board's top, mm. ``shape`` is
    where it lies, from the board's front left corner; ``kind`` is what it is."""

    shape: Shape


@fills(stock.Stock, width=1e5, depth=1e5, zones=())
class Stock(Filled):
    """What the boards are made of; sizes are in [[board]]. Feeds are checked against what is usual for ``material``.
    ``name`` is what the sheet calls the board; ``thickness`` is in mm, as measured."""

    name: Name | None = None
    material: Annotated[Material, BeforeValidator(_may_be_cut)] | None = None


class Board(Table):
    """One size of board. A machine takes the largest that fits its bed, unless [[machine]] names one.

    ``name`` is what [[machine]] names it by; ``width`` is from left to right, mm; ``depth`` is away from you, mm;
    ``zones`` are where tape lies, or a screw or clamp.
    """

    name: Name | None = None
    width: Length
    depth: Length
    zones: list[Zone] = []


@fills(tool.Tool, name="bit")
class Tool(Filled):
    """A bit, or a beam. Its name is that of its table.

    ``diameter`` is how wide it cuts, mm; of a beam, its kerf. ``number`` is its place in a tool changer, or on the
    sheet. ``kind`` is the form of its end. ``flutes`` are its cutting edges, with which chips are reckoned.
    """


@fills(tool.Cutting)
class Cutting(Filled):
    """Feeds in mm/min, spindle in rpm; of a beam, feed and power alone.

    ``feed`` is along the cut; ``plunge`` is straight down; ``spindle`` is how fast the bit turns, rpm. ``slowest`` and
    ``fastest`` are the range within which the feed may follow how much wood the bit is in. ``power`` is that of a beam:
    a share of its full power, above 0 and up to 1.
    """

    @model_validator(mode="before")
    @classmethod
    def _of_a_beam(cls, table: Any) -> Any:
        if not isinstance(table, dict) or "power" not in table:
            return table
        if given := [key for key in ("plunge", "spindle", "ramp", "slowest", "fastest") if key in table]:
            raise ValueError(f"a beam has no {given[0]}: give its feed and its power alone")
        return {**table, "plunge": table.get("feed"), "spindle": 0.0}
