"""The keys of a job file and the values each may have. Names are the model's own; lengths are in mm.

A length or a feed may also be a text with its unit (``"5.5in"``, ``"100in/min"``), if `LENGTH` or `FEED` is in its
type; the form then holds mm or mm/min all the same.

Only forms and limits are here; `pathkit.jobs.reading` and the modules beside it work out what they mean. The JSON
schema that `pathkit schema` prints is made from these classes.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal, NamedTuple, TypeVar

from pydantic import AfterValidator, Discriminator, Field, Tag, model_validator

from pathkit.fields import Least0, Length, Number
from pathkit.forms import Filled, Table, fills
from pathkit.jobs.about_form import About as About
from pathkit.jobs.board_forms import Board as Board
from pathkit.jobs.board_forms import Cutting as Cutting
from pathkit.jobs.board_forms import Depth as Depth
from pathkit.jobs.board_forms import Name
from pathkit.jobs.board_forms import Stock as Stock
from pathkit.jobs.board_forms import Tool as Tool
from pathkit.jobs.board_forms import Zone as Zone
from pathkit.jobs.handout_form import Handout
from pathkit.jobs.layout_form import Layout
from pathkit.jobs.mark_form import Marks
from pathkit.jobs.shape_forms import Point, Shape
from pathkit.jobs.strength_form import Strength
from pathkit.model import job, stock
from pathkit.model.toolpath import FINEST
from pathkit.operations import finishing
from pathkit.operations.burn import MOST_PASSES
from pathkit.operations.pocket import FINEST_STEPOVER, STEPOVER
from pathkit.texts.language import Code
from pathkit.tolerances import FINEST_FIT
from pathkit.units import LENGTH

Bite = Annotated[float, Field(ge=FINEST, le=1e5), LENGTH]
Names = Annotated[list[Name], Field(min_length=1)]
Quarters = Annotated[int, Field(ge=0, le=3)]


def _worth(fit: float) -> float:
    if 0.0 < abs(fit) < FINEST_FIT:
        raise ValueError(f"a fit is 0, or at least {FINEST_FIT:g} mm to either side: less is lost in how a router cuts")
    return fit


Fitted = Annotated[float, Field(ge=-0.5, le=0.5), LENGTH, AfterValidator(_worth)]

T = TypeVar("T")
OneOrTwo = Annotated[
    Annotated[T, Tag("one")] | Annotated[list[T], Field(min_length=2, max_length=2), Tag("two")],
    # Decided at once, so that one fault gives one finding.
    Discriminator(lambda value: "two" if isinstance(value, list) else "one"),
]


class Use(NamedTuple):
    """Bit, feeds and stepdown of an operation; None for what the job file leaves out."""

    tool: str | None
    cutting: str | None
    stepdown: float | None


class _Operation(Table):
    """``name`` is what the sheet calls it: the shape's name unless given. ``shape`` names what it cuts, in
    [part.shapes]: one shape, or several in a list. ``tool`` names its bit, in [tools]; it may be left out if there
    is only one. ``cutting`` names its feeds, in [cutting]; it may be left out if there are only one. ``top`` is
    where the wood begins: the board's top unless given. ``stepdown`` is how much deeper the bit goes at a time, mm:
    all at once unless given.
    """

    name: Name | None = None
    shape: Name | Names
    tool: OneOrTwo[Name] | None = None
    cutting: OneOrTwo[Name] | None = None
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
            raise ValueError("two bits need two sets of feeds; name two [cutting] tables, as in cutting = ['a', 'b']")
        for name in ("cutting", "stepdown"):
            if not two and isinstance(getattr(self, name), list):
                raise ValueError(f"{name} is a list, but tool is not; give one {name}, or two bits")
        return self

    @property
    def uses(self) -> tuple[Use, ...]:
        """Its bits in the order in which they cut. A stepdown that is given once is the first bit's."""
        tools = self.tool if isinstance(self.tool, list) else [self.tool]
        cuttings = self.cutting if isinstance(self.cutting, list) else [self.cutting]
        steps = self.stepdown if isinstance(self.stepdown, list) else [self.stepdown] * len(tools)
        return tuple(map(Use, tools, cuttings, steps))

    @model_validator(mode="after")
    def _begun_in_wood(self) -> _Operation:
        if self.top is not None and self.top.through is not None:
            raise ValueError("through says where a cut ends; set top.from_top or top.above_bed")
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


class _Deep(_Operation):
    """``bottom`` is how deep it goes: ``from_top``, ``above_bed`` or ``through``."""

    bottom: Depth


@fills(finishing.Finish)
class Finish(Filled):
    """A last lap round the wall takes off ``allowance`` mm, at full depth in one go unless ``full_depth`` is false."""


class Contour(_Deep):
    """A cut along a line. ``lead`` is the radius of the arcs on which the bit comes onto the ring and goes off.
    ``relief`` makes room for square pegs in the corners where the bit runs: those of an opening, or those that
    point into the part.

    ``core`` is what becomes of the wood in an opening: ``keep`` holds it with tabs or tape, ``clear`` cuts it to chips,
    ``drop`` lets it lie loose once it is cut free. Unless given, it is kept in an opening at least `WIDE` bit diameters
    wide, else cleared. A cut right through leaves ``skin`` mm of wood under it, which hold what it cuts out.

    ``side`` is where the bit runs: ``outside`` frees a part, ``inside`` cuts an opening, ``on`` follows the line
    itself. ``direction`` is which way it turns into the wood: ``climb`` or ``conventional``. ``overlap`` is how far a
    ring with leads runs past its beginning, mm: the bit's radius unless given. ``finish`` is a last lap that takes off
    an allowance.
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
            raise ValueError('relief is for side = "outside" or "inside"; a cut on the line leaves no corner')
        return self


class Pocket(_Deep):
    """An area that is cleared. ``stepover`` is a share of the bit's diameter; ``angle`` is the rows' from x, along
    the grain unless given.

    With two bits as ``tool``, the first clears what it can and the second, narrower one cuts only what is left.
    ``cutting`` then names the feeds of each. A ``stepdown`` that is given once is the first bit's; the second bit's is
    less in proportion to its diameter.

    ``style`` clears by rows or by rings; ``open_edges`` names shapes along which there is no wall; ``lead`` is the
    radius of the arcs on which the wall pass comes on and goes off (the bit's unless given); ``relief`` makes room for
    square pegs. ``wall_allowance`` is left for that pass: 0.2 mm unless given, or a tenth of the bit if less.

    ``islands`` names shapes within it that stay. ``direction`` is which way the bit turns into the wood: ``climb`` or
    ``conventional``. ``overlap`` is how far the wall pass runs past its beginning, mm: the bit's radius unless given.
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


class Slot(_Deep):
    """A slot along a centre line, ``width`` wide (the bit's diameter unless given)."""

    kind: Literal["slot"]
    width: Length | None = None


class Drill(_Deep):
    """Holes at points or in circles. Unless ``diameter`` is given, it is the circle's, or at a point the bit's.

    A hole as wide as the bit is drilled in one go, or by ``peck``. A wider hole is bored on a helix, or cleared level
    by level, by ``stepdown``. If it is only a little wider, the bit goes straight down in the middle, by ``peck`` if
    given, and then round the wall. ``peck`` is how deep the bit goes before it comes up to clear its chips, mm.
    """

    kind: Literal["drill"]
    peck: Bite | None = None
    diameter: Length | None = None


class Engrave(Marks, _Deep):  # type: ignore[misc]  # a text may stand in place of a shape
    """Marks along lines that the bit's centre follows: those of a shape, or a text in single strokes.

    ``text`` is the same on every copy. ``texts`` has one text for each copy of the part; ``number_from`` numbers the
    copies, starting there. ``text_at`` is where the base line of the text begins, ``text_height`` is the height of its
    capitals.
    """

    kind: Literal["engrave"]


class Burn(Marks, _Operation):  # type: ignore[misc]  # as above
    """Lines that a beam follows on the board's top: those of a shape, or a text in single strokes.

    ``passes`` is how often it follows each of them. How deep that burns is up to beam and material: try it on waste.
    ``text`` is the same on every copy. ``texts`` has one text for each copy of the part; ``number_from`` numbers the
    copies, starting there. ``text_at`` is where the base line of the text begins, ``text_height`` is the height of its
    capitals.
    """

    kind: Literal["burn"]
    passes: Annotated[int, Field(ge=1, le=MOST_PASSES)] = 1

    @model_validator(mode="before")
    @classmethod
    def _no_depth(cls, table: Any) -> Any:
        if isinstance(table, dict) and (given := [key for key in ("bottom", "top", "stepdown") if key in table]):
            raise ValueError(f"a beam has no {given[0]}: it burns from the board's top, as often as passes says")
        return table


class Chamfer(_Operation):
    """A bevelled edge, ``width`` mm across seen from above: the tip of a vee runs on the shape's line.

    ``side``: with ``outside`` the line goes round what stays, with ``inside`` it is the rim of an opening or recess.
    ``top`` is where the edge lies (the board's top unless given). How deep the bit goes follows from its angle.
    ``direction`` is which way the bit turns into the wood: ``climb`` or ``conventional``.
    """

    kind: Literal["chamfer"]
    side: Literal["outside", "inside"] = "outside"
    width: Length
    direction: Literal["climb", "conventional"] = "climb"

    @model_validator(mode="before")
    @classmethod
    def _no_bottom(cls, table: Any) -> Any:
        if isinstance(table, dict) and "bottom" in table:
            raise ValueError("a chamfer has no bottom: how deep it goes follows from its width and the bit's angle")
        return table

    @property
    def title(self) -> str:
        return self.name or f"{self.shapes[0]} chamfer"


Cut = Contour | Pocket | Slot | Drill | Engrave
"""Operations that say how deep they go."""

Operation = Annotated[Cut | Chamfer | Burn, Field(discriminator="kind")]


@fills(stock.Zone, "shape")
class PartZone(Filled):
    """Tape under each copy of the part. ``shape`` names the shape of the part under which it lies; ``kind`` is what it
    is; ``height`` is above the board's top, mm."""

    shape: Name


class Part(Table):
    """What copies are cut of. ``outline`` names the shape of the part's outer edge: that of the outside contour
    unless given.

    ``quantity`` is how many are wanted (one unless given), nested with the other parts. ``at`` is where on the board
    the front left corner of the part goes, once it is turned; ``turn`` is by how many quarters it is turned
    counter-clockwise. With any of these keys, all parts of the file are laid out one by one. ``like`` names a part
    whose shapes and operations this one has too, except where it has its own of the same name.

    ``name`` is what the sheet calls the part. ``shapes`` are what is drawn of it, each under a name of its own, in the
    part's own frame. ``operations`` are what is cut, each of one kind. ``zones`` are where tape lies under it.
    ``precedence`` lists pairs of operations by their names: the first is cut before the second.
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


@fills(job.Setup)
class Machine(Filled):
    """A machine to build for: its ``profile`` (a file beside the job file, or a name), how the board lies on it, and
    ``cutting``, the shares of the job's cutting values that it is strong enough for. ``board`` names the board that it
    takes: the largest that fits unless given."""

    profile: Annotated[str, Field(min_length=1)]
    cutting: Strength | None = None
    board: Name | None = None


class JobForm(Table):
    """A job file: what to cut, from which boards, with which bits, on which machines.

    ``name`` is what its cut files and sheets are called by. ``tool_table`` names a file of bits beside it, which jobs
    share. ``tools`` are its bits, each under a name of its own; ``cutting`` are its feeds, each set under a name of its
    own; ``passes`` are what is done to the toolpaths: true, false, or a table of options, under the name of the pass.
    ``language`` is that of the pages for the people who get its files; cut files and data do not follow it.

    ``fit`` moves every finished wall by half of it, mm, as if the bit were that much narrower than it is: with 0.1
    openings, recesses, slots and holes become 0.1 mm wider across, and parts and islands 0.1 mm narrower, so that they
    go into each other more loosely; with −0.1 it is the other way round. Along open_edges there is no wall to move; the
    recess reaches as far past them as ``fit`` is wide, so that it ends in the open wherever the part does. No ``fit``
    changes what has its size from the bit alone (slots without a width, holes that a drill makes, cuts on a line,
    engravings), or the place of anything.
    """

    name: Name
    fit: Fitted = 0.0
    about: About | None = None
    language: Code = "en"
    tool_table: Annotated[str, Field(min_length=1)] | None = None
    stock: Stock
    board: Annotated[list[Board], Field(min_length=1)]
    tools: dict[Name, Tool] = {}
    cutting: Annotated[dict[Name, Cutting], Field(min_length=1)]
    part: Annotated[list[Part], Field(min_length=1)]
    layout: Layout | None = None
    passes: dict[Name, bool | dict[str, Any]] = {}
    machine: list[Machine] = []
    handout: Handout | None = None

    @property
    def is_nested(self) -> bool:
        """Whether parts are laid out one by one, not all together."""
        return any(part.quantity is not None or part.at is not None or part.turn is not None for part in self.part)

    @property
    def operations(self) -> list[Operation]:
        """The operations of all parts."""
        return [operation for part in self.part for operation in part.operations]

    @property
    def is_marked(self) -> bool:
        """Whether copies of a part are marked differently."""
        return any(operation.differs for operation in self.operations if isinstance(operation, Marks))


class ToolTable(Table):
    """A file of bits that several jobs share."""

    tools: Annotated[dict[Name, Tool], Field(min_length=1)]


def json_schema() -> dict[str, Any]:
    """The JSON schema (2020-12) of a job file, for editors."""
    schema = JobForm.model_json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": "pathkit job file"}
