"""The keys of a job file and what may stand behind each: names are the model's own, lengths in mm.

A length or a feed may also be a text with its unit (``"5.5in"``, ``"100in/min"``): its type says so by `LENGTH` or
`FEED`, and the form then holds mm and mm/min all the same.

Only forms and limits stand here; what they mean is worked out in `pathkit.jobs.reading` and its neighbours. The
JSON schema that `pathkit schema` prints is made from these classes.
"""

from __future__ import annotations

import re
from typing import Annotated, Any, Final, Literal, NamedTuple, TypeVar

from pydantic import AfterValidator, BeforeValidator, Discriminator, Field, Tag, model_validator

from pathkit.errors import InputError
from pathkit.feeds.materials import Material, why_not
from pathkit.fields import Least0, Length, Number, Place
from pathkit.findings import Finding
from pathkit.forms import Filled, Table, fills
from pathkit.jobs.shape_forms import Point, Shape, exactly_one
from pathkit.model import job, stock, tool
from pathkit.model.toolpath import FINEST
from pathkit.operations import finishing
from pathkit.operations.pocket import FINEST_STEPOVER, STEPOVER
from pathkit.units import LENGTH

Bite = Annotated[float, Field(ge=FINEST, le=1e5), LENGTH]
Name = Annotated[str, Field(min_length=1, max_length=80, pattern=r"^[^\x00-\x1f\x7f]+$")]
Names = Annotated[list[Name], Field(min_length=1)]
Text = Annotated[str, Field(min_length=1, max_length=200)]
Quarters = Annotated[int, Field(ge=0, le=3)]

SHARE: Final = r"^(100|[1-9][0-9]?)%$"
T = TypeVar("T")
OneOrTwo = Annotated[
    Annotated[T, Tag("one")] | Annotated[list[T], Field(min_length=2, max_length=2), Tag("two")],
    # Told apart at once, so that a fault is one fault.
    Discriminator(lambda value: "two" if isinstance(value, list) else "one"),
]


def _share(text: str) -> str:
    if re.fullmatch(SHARE, text) is None:
        raise ValueError('a share of what the job asks, from "1%" to "100%"')
    return text


Share = Annotated[str, AfterValidator(_share), Field(json_schema_extra={"pattern": SHARE})]


def _may_be_cut(name: Any) -> Any:
    if (why := why_not(str(name))) is not None:
        what = f"{str(name)!r} must not be cut: {why}"
        raise InputError([Finding(check="material", what=what, fix="take another material")])
    return name


class Depth(Table):
    """A height in the wood, and what it is measured from: so deep below the top, or so high above the bed.

    ``through``: so far past the underside of the thickest board that is allowed, 0.3 mm where it is ``true``.
    """

    from_top: Least0 | None = None
    above_bed: Place | None = None
    # A number first: 1 is a millimetre, and not true.
    through: Annotated[Length | Literal[True] | None, Field(union_mode="left_to_right")] = None

    @model_validator(mode="after")
    def _one(self) -> Depth:
        exactly_one(self, ("from_top", "above_bed", "through"))
        return self


@fills(stock.Zone, "shape")
class Zone(Filled):
    """Tape under the board, or a screw or clamp (always kept off); ``height`` above the board's top."""

    shape: Shape


@fills(stock.Stock, width=1e5, depth=1e5, zones=())
class Stock(Filled):
    """What boards are of; sizes stand in [[board]]. With a ``material`` feeds are held against what is usual for it."""

    name: Name | None = None
    material: Annotated[Material, BeforeValidator(_may_be_cut)] | None = None


class Board(Table):
    """One size of board. A machine takes the largest that fits its bed, unless [[machine]] names one."""

    name: Name | None = None
    width: Length
    depth: Length
    zones: list[Zone] = []


@fills(tool.Tool, name="bit")
class Tool(Filled):
    """A bit; its name is the table's."""


@fills(tool.Cutting)
class Cutting(Filled):
    """Feeds in mm/min, spindle in rpm."""


class Use(NamedTuple):
    """Bit, feeds and stepdown of an operation; None stands for what the job file leaves out."""

    tool: str | None
    cutting: str | None
    stepdown: float | None


class _Operation(Table):
    name: Name | None = None
    shape: Name | Names
    tool: OneOrTwo[Name] | None = None
    cutting: OneOrTwo[Name] | None = None
    bottom: Depth
    top: Depth | None = None
    stepdown: OneOrTwo[Bite] | None = None

    @model_validator(mode="after")
    def _for_each_bit(self) -> _Operation:
        two = isinstance(self.tool, list)
        if two and not isinstance(self, Pocket):
            raise ValueError("only a pocket is cut by two bits; name one as its tool")
        if two and isinstance(self, Pocket) and self.open_edges is not None:
            raise ValueError("a pocket with open_edges is cut by one bit; name one as its tool")
        if two and not isinstance(self.cutting, list):
            raise ValueError("each of two bits has its own feeds; name two tables, as in cutting = ['a', 'b']")
        for name in ("cutting", "stepdown"):
            if not two and isinstance(getattr(self, name), list):
                raise ValueError(f"{name} is a list, and tool is not; give one")
        return self

    @property
    def uses(self) -> tuple[Use, ...]:
        """Its bits in the order in which they cut. A stepdown that is told once is the first one's."""
        tools = self.tool if isinstance(self.tool, list) else [self.tool]
        cuttings = self.cutting if isinstance(self.cutting, list) else [self.cutting]
        steps = self.stepdown if isinstance(self.stepdown, list) else [self.stepdown] * len(tools)
        return tuple(map(Use, tools, cuttings, steps))

    @model_validator(mode="after")
    def _begun_in_wood(self) -> _Operation:
        if self.top is not None and self.top.through is not None:
            raise ValueError("through says where a cut ends; say top.from_top or top.above_bed")
        return self

    @property
    def shapes(self) -> list[str]:
        return [self.shape] if isinstance(self.shape, str) else list(self.shape)

    @property
    def title(self) -> str:
        return self.name or (self.shapes or ["text"])[0]

    @property
    def frees(self) -> bool:
        """Whether it cuts a part out of its board."""
        return isinstance(self, Contour) and self.side == "outside"


@fills(finishing.Finish)
class Finish(Filled):
    """A last lap round the wall takes off ``allowance`` mm, at the bottom in one go unless ``full_depth`` is false."""


class Contour(_Operation):
    """``lead`` is the radius by which the ring is met and left beside itself; ``relief`` makes room for square pegs
    in the corners where the bit runs: of an opening, or those that point into what stays.

    ``core`` is what becomes of the wood within an opening: ``keep`` holds it by tabs or tape (what is `WIDE` bit
    diameters wide, unless told), ``clear`` makes chips of it, ``drop`` lets it lie loose where it is cut free. ``skin``
    mm of wood are left under a cut right through, to hold what it cuts out until the skin is taken off by hand.
    """

    kind: Literal["contour"]
    side: Literal["outside", "inside", "on"] = "outside"
    direction: Literal["climb", "conventional"] = "climb"
    lead: Least0 = 0.0
    overlap: Least0 | None = None
    relief: bool = False
    core: job.Core | None = None
    skin: Length | None = None
    finish: Finish | None = None

    @model_validator(mode="after")
    def _relieved_beside(self) -> Contour:
        if self.relief and self.side == "on":
            raise ValueError('relief is for side = "outside" or "inside"; on the line itself no corner stays')
        return self


class Pocket(_Operation):
    """``stepover`` is a share of the bit's diameter; ``angle`` of the rows from x, along the grain unless given.

    Of two bits as its ``tool`` the first clears what it can, and the second, narrower, cuts only what that leaves.
    ``cutting`` then names the feeds of each; a ``stepdown`` told once is the first one's, and the second takes as much
    less as it is narrower.

    ``style`` clears by rows or by rings; ``open_edges`` names shapes along which there is no wall; ``lead`` is the
    radius by which the wall pass comes on and goes off (the bit's unless given); ``relief`` makes room for square pegs.
    ``wall_allowance`` is what the floor leaves for that pass: 0.2 mm unless given, or a tenth of the bit where that is
    less.
    """

    kind: Literal["pocket"]
    islands: Names | None = None
    style: Literal["rows", "rings"] = "rows"
    open_edges: Names | None = None
    lead: Least0 | None = None
    overlap: Least0 | None = None
    relief: bool = False
    stepover: Annotated[float, Field(ge=FINEST_STEPOVER, le=1.0)] = STEPOVER
    angle: Number | None = None
    wall_allowance: Least0 | None = None
    direction: Literal["climb", "conventional"] = "climb"


class Slot(_Operation):
    """Along a centre line, ``width`` wide (the bit's diameter unless given)."""

    kind: Literal["slot"]
    width: Length | None = None


class Drill(_Operation):
    """At points, or in the middle of circles; ``diameter`` is the circles', or the bit's, unless given.

    Holes as wide as the bit go down in one go, or by ``peck``. A wider one is bored in turns, or cleared round and
    round, by ``stepdown``; one hardly wider is gone into in its middle, by ``peck`` too, and brought to size.
    """

    kind: Literal["drill"]
    peck: Bite | None = None
    diameter: Length | None = None


class Engrave(_Operation):
    """Marks along lines, which the bit's centre follows: of a shape, or of a text in single strokes.

    ``texts`` has one text for each copy of the part, ``number_from`` counts the copies. ``text_at`` is where the text's
    base line begins, ``text_height`` the height of a capital.
    """

    kind: Literal["engrave"]
    shape: Name | Names | None = None  # type: ignore[assignment]
    text: Text | None = None
    texts: Annotated[list[Text], Field(min_length=1, max_length=10_000)] | None = None
    number_from: Annotated[int, Field(ge=0, le=1_000_000)] | None = None
    text_at: Point | None = None
    text_height: Annotated[float, Field(gt=0.0, le=1000.0), LENGTH] | None = None

    @model_validator(mode="after")
    def _one(self) -> Engrave:
        exactly_one(self, ("shape", "text", "texts", "number_from"))
        if self.shape is None and (self.text_at is None or self.text_height is None):
            raise ValueError("a text needs text_at = [x, y] and text_height")
        if self.shape is not None and (self.text_at is not None or self.text_height is not None):
            raise ValueError("text_at and text_height belong to a text")
        return self

    @property
    def shapes(self) -> list[str]:
        return [] if self.shape is None else [self.shape] if isinstance(self.shape, str) else list(self.shape)

    @property
    def differs(self) -> bool:
        """Whether it is another mark on every copy."""
        return self.texts is not None or self.number_from is not None

    def text_of(self, copy: int) -> str | None:
        """What is engraved on a copy, counted from 0; None for shapes."""
        if self.texts is not None:
            return self.texts[copy]
        return self.text if self.number_from is None else str(self.number_from + copy)


Operation = Annotated[Contour | Pocket | Slot | Drill | Engrave, Field(discriminator="kind")]


@fills(stock.Zone, "shape")
class PartZone(Filled):
    """Tape under each copy of the part."""

    shape: Name


class Part(Table):
    """``outline`` names the shape that comes off the board: that of the outside contour unless given.

    ``quantity`` is how many of it are wanted (one unless given): they are nested beside the other parts. ``at`` is
    where the front left corner of the part as it lies comes on the board, ``turn`` by how many quarters it lies turned
    counter-clockwise. With any of these, all parts of the file are laid out each by itself.
    ``like`` names a part whose shapes and operations this one has too, less those of the same name that it has itself.
    """

    name: Name
    like: Name | None = None
    quantity: Annotated[int, Field(ge=1, le=10_000)] | None = None
    at: Point | None = None
    turn: Quarters | None = None
    outline: Name | None = None
    shapes: Annotated[dict[Name, Shape], Field(min_length=1)] = {}
    operations: Annotated[list[Operation], Field(min_length=1)] = []
    zones: list[PartZone] = []
    precedence: list[Annotated[list[Name], Field(min_length=2, max_length=2)]] = []


class Layout(Table):
    """Where copies lie. Without this table the parts lie on the board as they are drawn.

    ``copies``: as many as fit on one board (``fill``), or so many over as many boards as they need. ``web`` is the wood
    between two kerfs (the bit's diameter and the widest lead unless given; that lead twice where unlike parts are
    nested), ``spacing`` what lies between two copies in all: give one. ``least_web`` is the thinnest wood that may
    stand between any two kerfs (half the widest bit unless given).
    """

    copies: Literal["fill"] | Annotated[int, Field(ge=1, le=100_000)] = "fill"
    web: Least0 | None = None
    spacing: Least0 | None = None
    margin: Least0 | None = None
    keep_grain: bool = True
    align: Literal["corner", "centre"] = "corner"
    order: Literal["stage", "part"] = "stage"
    least_web: Least0 | None = None


class Strength(Table):
    """How much one machine is asked for: shares of the job's own values, never more than they are.

    ``feed`` is for feeds along and on ramps, ``plunge`` for the way straight down. A ``stepdown`` of half means twice
    the levels where an operation gives none: half of its whole depth at once. ``stepover`` is for all that is cleared.
    """

    feed: Share = "100%"
    plunge: Share = "100%"
    spindle: Share = "100%"
    stepdown: Share = "100%"
    stepover: Share = "100%"


@fills(job.Setup)
class Machine(Filled):
    """A machine the job goes to: a profile (file beside the job, or a name), how the board lies on it, and which shares
    of the job's feeds and bites it is strong enough for."""

    profile: Annotated[str, Field(min_length=1)]
    cutting: Strength | None = None
    board: Name | None = None


class JobForm(Table):
    """A job file: what is cut, from which board, with which bits, for which machines."""

    name: Name
    tool_table: Annotated[str, Field(min_length=1)] | None = None
    stock: Stock
    board: Annotated[list[Board], Field(min_length=1)]
    tools: dict[Name, Tool] = {}
    cutting: Annotated[dict[Name, Cutting], Field(min_length=1)]
    part: Annotated[list[Part], Field(min_length=1)]
    layout: Layout | None = None
    passes: dict[Name, bool | dict[str, Any]] = {}
    machine: list[Machine] = []

    @property
    def is_nested(self) -> bool:
        """Whether each part is laid out by itself, and not all of them together."""
        return any(part.quantity is not None or part.at is not None or part.turn is not None for part in self.part)

    @property
    def operations(self) -> list[Operation]:
        """The operations of all its parts."""
        return [operation for part in self.part for operation in part.operations]

    @property
    def is_marked(self) -> bool:
        """Whether copies of a part are marked differently."""
        return any(operation.differs for operation in self.operations if isinstance(operation, Engrave))


class ToolTable(Table):
    """A file of bits that several jobs share."""

    tools: Annotated[dict[Name, Tool], Field(min_length=1)]


def json_schema() -> dict[str, Any]:
    """The JSON schema (2020-12) of a job file, for editors."""
    schema = JobForm.model_json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": "pathkit job file"}
