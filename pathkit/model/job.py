"""What is cut from one board: toolpaths, their precedence, and the finished parts."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from functools import cached_property
from graphlib import CycleError, TopologicalSorter
from typing import TYPE_CHECKING, Annotated, Literal

import numpy as np
from annotated_types import Ge, Le

from pathkit.fields import Above0, From0, Offset, Place
from pathkit.model.checking import Checked, Faults
from pathkit.model.curve import Curve
from pathkit.model.stock import Stock
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Peck, Toolpath
from pathkit.tolerances import ROUNDING

if TYPE_CHECKING:
    from collections.abc import Iterable

MOST_BITES = 2000
"""Most levels of one cut, or pecks of one hole."""


DOT = np.array([[-0.5, 0.0], [0.0, 0.5], [0.5, 0.0], [0.0, -0.5]])
"""mm: how a hole is drawn in a small picture."""

Core = Literal["clear", "keep", "drop"]
"""What becomes of the wood within a cut round an opening: all is cleared to chips, it stays held until it is taken out
by hand, or it lies loose from the move that frees it."""


@dataclass(frozen=True)
class Feature(Checked):
    """A finished shape: the region inside the closed ``curve`` (less its ``islands``) lies at z = ``bottom`` mm.

    ``bottom`` None means right through the stock. Unless ``core`` is ``clear``, wood may be left within that is no wall
    of the part: the islands where there are any (all else is cut), anything but the cut along the curve where there
    are none. The core of an opening right through is ``keep``: held to the end, or ``drop``: loose once it is free.

    >>> hole = pk.Feature(pk.Curve.circle((20, 20), 4.0), bottom=-6.0)
    >>> hole.bottom
    -6.0
    """

    curve: Curve
    bottom: float | None = None
    islands: tuple[Curve, ...] = ()
    core: Core = "clear"

    if TYPE_CHECKING:

        def __init__(
            self, curve: Curve, bottom: float | None = None, islands: Iterable[Curve] = (), core: Core = "clear"
        ) -> None: ...

    def _check(self, faults: Faults) -> None:
        faults.raise_any()
        if not self.curve.closed or self.curve.is_trace:
            faults.add("not a closed plane curve", "pass a closed Curve", "curve")
        for index, island in enumerate(self.islands):
            if not island.closed:
                faults.add(f"island {index} is not a closed curve", "pass a closed Curve", f"islands[{index}]")


@dataclass(frozen=True)
class Chamfer(Checked):
    """A bevelled edge: the closed ``curve`` goes round what stays (``side`` is ``outside``), or what lies round it
    stays (``inside``).

    On that side all wood nearer to the curve than ``slope`` × (z - ``bottom``) mm is cut away at a height z between
    ``bottom`` and ``top`` (mm; None is the board's own top). ``slope`` is in mm of width for each mm of height: the
    tangent of half the angle of the vee that cuts it.

    >>> edge = pk.Chamfer(pk.Curve.circle((20, 20), 5.0), bottom=-1.0, slope=1.0)
    >>> edge.side
    'outside'
    """

    curve: Curve
    bottom: float
    slope: Above0
    side: Literal["outside", "inside"] = "outside"
    top: float | None = None

    def _check(self, faults: Faults) -> None:
        faults.raise_any()
        if not self.curve.closed or self.curve.is_trace:
            faults.add("not a closed plane curve", "pass a closed Curve", "curve")
        if self.top is not None and self.top <= self.bottom:
            faults.add(f"top {self.top} is not above bottom {self.bottom}", "z grows upward", "top")


@dataclass(frozen=True)
class Part(Checked):
    """A finished part: shapes in the bench frame, by which the proof judges faults.

    ``outline`` None: how the part is cut free is not known, and only its recesses and holes are judged. The cut round
    it leaves ``skin`` mm of wood above the nominal underside, or goes right through where that is 0.

    >>> pk.Part("plate", pk.Curve.circle((30, 20), 15.0)).name
    'plate'
    """

    name: str
    outline: Curve | None
    recesses: tuple[Feature, ...] = ()
    holes: tuple[Feature, ...] = ()
    skin: From0 = 0.0
    chamfers: tuple[Chamfer, ...] = ()

    if TYPE_CHECKING:

        def __init__(
            self,
            name: str,
            outline: Curve | None,
            recesses: Iterable[Feature] = (),
            holes: Iterable[Feature] = (),
            skin: float = 0.0,
            chamfers: Iterable[Chamfer] = (),
        ) -> None: ...

    def _check(self, faults: Faults) -> None:
        drawn = self.outline
        if isinstance(drawn, Curve) and (not drawn.closed or drawn.is_trace):
            faults.add("the outline is not a closed plane curve", "pass a closed Curve", "outline")


@dataclass(frozen=True)
class Job(Checked):
    """What is cut from one board.

    ``precedence`` holds pairs of toolpath names, first before second. Without the ordering pass the toolpaths are cut
    in the order given.

    >>> [path.name for path in job.toolpaths], [tool.name for tool in job.tools]
    (['groove'], ['3 mm'])
    >>> pk.Job.from_json(job.to_json()) == job
    True
    """

    name: str
    stock: Stock
    toolpaths: tuple[Toolpath, ...]
    precedence: tuple[tuple[str, str], ...] = ()
    parts: tuple[Part, ...] = ()

    if TYPE_CHECKING:

        def __init__(
            self,
            name: str,
            stock: Stock,
            toolpaths: Iterable[Toolpath],
            precedence: Iterable[tuple[str, str]] = (),
            parts: Iterable[Part] = (),
        ) -> None: ...

    def _check(self, faults: Faults) -> None:
        faults.raise_any()
        faults.unique([t.name for t in self.toolpaths], "toolpaths", "toolpaths")
        faults.unique([p.name for p in self.parts], "parts", "parts")
        self._check_finishes(faults)
        self._check_tools(faults)
        self._check_depths(faults)
        self._check_precedence(faults)

    def _check_finishes(self, faults: Faults) -> None:
        names = {path.name for path in self.toolpaths}
        for index, path in enumerate(self.toolpaths):
            if path.finishes is not None and (path.finishes not in names or path.finishes == path.name):
                what = f"{path.name!r} finishes {path.finishes!r}, which is no other toolpath of the job"
                faults.add(what, "name the one that leaves the allowance", f"toolpaths[{index}].finishes")

    def _check_tools(self, faults: Faults) -> None:
        by_name: dict[str, Tool] = {}
        by_number: dict[int, Tool] = {}
        for index, path in enumerate(self.toolpaths):
            tool = path.tool
            place = f"toolpaths[{index}].tool"
            if by_name.setdefault(tool.name, tool) != tool:
                faults.add(f"two different bits are called {tool.name!r}", "names must differ", place)
            elif tool.number is not None and by_number.setdefault(tool.number, tool) != tool:
                faults.add(f"two bits have the number {tool.number}", "numbers must differ", place)

        beams = [tool for tool in by_name.values() if tool.kind == "beam"]
        if beams and len(by_name) > 1:
            others = ", ".join(repr(name) for name in by_name if name != beams[0].name)
            what = f"the beam {beams[0].name!r} together with {others}"
            faults.add(what, "a beam's job is a job of its own, for one beam", "toolpaths")
        elif beams and np.ptp([path.lowest for path in self.toolpaths]) > ROUNDING:
            faults.add("a beam at several heights", "it is focused at one; let all its lines lie there", "toolpaths")

    @property
    def by_beam(self) -> bool:
        """Whether it is a beam's job."""
        return any(path.tool.kind == "beam" for path in self.toolpaths)

    def _check_depths(self, faults: Faults) -> None:
        stock = self.stock
        for index, path in enumerate(self.toolpaths):
            lowest = path.lowest
            place = f"toolpaths[{index}].bottom"
            if lowest < stock.bed - ROUNDING:
                what = f"{path.name!r} goes to z = {lowest:g}, below the bed at z = {stock.bed:g}"
                faults.add(what, "cut less deep, or put an underlay under the board", place)
            if not path.curve.is_trace and path.bottom is not None and path.bottom >= path.highest(stock):
                what = f"{path.name!r} has its bottom at z = {path.bottom:g}, not below its wood"
                faults.add(what, f"the wood's top is at z = {path.highest(stock):g}", place)
                continue
            peck = path.entry.depth if isinstance(path.entry, Peck) else None
            bites = {"stepdown": None if path.levels is not None else path.stepdown, "entry.depth": peck}
            for key, bite in bites.items():
                if path.bottom is not None and bite and (path.highest(stock) - path.bottom) / bite > MOST_BITES:
                    what = f"{path.name!r} would go down in more than {MOST_BITES} bites of {bite:g} mm"
                    faults.add(what, "take deeper ones", f"toolpaths[{index}].{key}")

    def _check_precedence(self, faults: Faults) -> None:
        names = {path.name for path in self.toolpaths}
        for index, pair in enumerate(self.precedence):
            for name in pair:
                if name not in names:
                    faults.add(f"no toolpath is called {name!r}", "check its spelling", f"precedence[{index}]")
        if not faults.findings and (cycle := find_cycle(self.precedence)):
            faults.add("a cycle of precedence: " + " before ".join(map(repr, cycle)), "drop a pair", "precedence")

    @cached_property
    def digest(self) -> str:
        """SHA-256 (hexadecimal) of the job in JSON."""
        return hashlib.sha256(self.to_json().encode("utf-8")).hexdigest()

    @cached_property
    def by_name(self) -> dict[str, Toolpath]:
        return {path.name: path for path in self.toolpaths}

    @cached_property
    def tools(self) -> tuple[Tool, ...]:
        """The bits in the order of their first use."""
        return tuple(dict.fromkeys(path.tool for path in self.toolpaths))

    def with_toolpaths(self, toolpaths: Iterable[Toolpath]) -> Job:
        return replace(self, toolpaths=tuple(toolpaths))

    def _repr_svg_(self) -> str | None:
        """The board and its cuts from above, for notebooks."""
        from pathkit.sketch import Stroke, drawn

        stock = self.stock
        corners = [[0.0, 0.0], [stock.width, 0.0], [stock.width, stock.depth], [0.0, stock.depth]]
        strokes = [Stroke(np.array(corners), "board", True)]
        for path in self.toolpaths:
            curve = path.curve
            at = curve.points[:, :2] if curve.is_point else curve.flattened()[:, :2]
            strokes += [Stroke(at + DOT, "cut", True)] if curve.is_point else [Stroke(at, "cut", curve.closed)]
        return drawn(strokes, f"{self.name}: {len(self.toolpaths)} cuts from above")

    def to_json(self) -> str:
        """The versioned job file; see `pathkit.model.codec`."""
        from pathkit.model.codec import dumps

        return dumps(self)

    @classmethod
    def from_json(cls, text: str | bytes, source: str | None = None) -> Job:
        """Read a job file. Raises `InputError` with every finding and its path; ``source`` names the file."""
        from pathkit.model.codec import loads

        return loads(text, source)


def find_cycle(pairs: tuple[tuple[str, str], ...]) -> list[str]:
    """Names along one cycle of precedence, the first repeated at the end; empty if there is none."""
    sorter = TopologicalSorter[str]()
    for first, second in pairs:
        sorter.add(second, first)
    try:
        sorter.prepare()
    except CycleError as error:
        names: list[str] = error.args[1]
        return names
    return []


@dataclass(frozen=True)
class Setup(Checked):
    """How the board lies on one machine: turned by ``turn`` quarters counter-clockwise as seen from above.

    ``zero_at`` is the place of the program's zero in machine coordinates (controller's axes, mm), if known; ``offset``
    the work coordinate system that holds it.

    >>> pk.Setup(turn=1, offset="G55").turn
    1
    """

    turn: Annotated[int, Ge(0), Le(3)] = 0
    zero_at: tuple[Place, Place, Place] | None = None
    offset: Offset = "G54"
