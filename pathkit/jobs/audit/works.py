"""Which toolpath belongs to which operation of which copy, by its name and its part."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, Final

from pathkit.jobs.audit import mouths, plane
from pathkit.jobs.audit.bits import Asked, asked_of, each_of
from pathkit.jobs.audit.figures import CannotRead, Figure, Outline, figure_of
from pathkit.jobs.audit.heights import foot, height, underside, wood_above
from pathkit.jobs.audit.letters import lettered
from pathkit.jobs.audit.report import Key, Report
from pathkit.jobs.audit.tables import MARKS, Table, Tables, listed, titled

_FLOOR: Final = r"( \d+)? (rows|raster|rings|wall)( \d+)?"  # raster: in folders of earlier versions
_NAMES: Final[Mapping[str, re.Pattern[str]]] = {
    kind: re.compile(pattern)
    for kind, pattern in {
        "contour": rf"( \d+)?( hole( \d+)?)?(( finish)?( \d+)?|{_FLOOR})",
        "pocket": rf"( \d+)? rest (rows|rings|wall)( \d+)?|{_FLOOR}",
        "slot": rf"( \d+)?|{_FLOOR}",
        "drill": rf"( \d+)?|{_FLOOR}",  # wide ones were cleared like pockets by earlier versions
        "engrave": r"( \d+)?",
        "burn": r"( \d+)?",
        "chamfer": r"( \d+)?( hole( \d+)?)?",
    }.items()
}
_REST: Final = re.compile(r"( \d+)? rest .*")
_ENTRY: Final = re.compile(r" entry( \d+)?$")

ROLES: Final[Mapping[str, tuple[str, ...]]] = {
    "contour": ("outline", "cut", "pocket", "finish"),
    "pocket": ("pocket", "finish"),
    "slot": ("slot", "pocket", "finish"),
    "drill": ("drill", "pocket", "finish"),
    "engrave": ("engrave",),
    "burn": ("engrave",),
    "chamfer": ("chamfer",),
}


@dataclass(frozen=True)
class Work:
    """One operation of the job file with all that it asks for. z in mm. ``rest`` is what is asked of its second bit.

    ``walls``: of a chamfer, the part's operations that make room for square pegs, since its edges may have that room.
    """

    tables: Tables
    part: int
    index: int
    table: Table
    asked: Asked
    bottom: float
    top: float | None
    figures: Mapping[str, Figure]
    unread: Mapping[str, str]
    rest: Asked | None = None
    walls: tuple[Work, ...] = ()
    kept: dict[str, Any] = field(default_factory=dict, init=False, repr=False, compare=False)
    """What other modules work out from it once, and keep here."""

    @property
    def key(self) -> Key:
        return ("part", self.part, "operations", self.index)

    @property
    def kind(self) -> str:
        return str(self.table["kind"])

    @property
    def title(self) -> str:
        return titled(self.table)

    @property
    def part_name(self) -> str:
        return str(self.tables.parts[self.part]["name"])

    @property
    def goes_round(self) -> bool:
        """Whether it is a contour round what stays."""
        return self.kind == "contour" and self.table["side"] == "outside"

    @property
    def radius(self) -> float:
        return self.asked.diameter / 2.0

    @property
    def finest(self) -> float:
        """Radius (mm) of the narrowest of its bits, which makes the inside corners."""
        return self.radius if self.rest is None else min(self.radius, self.rest.diameter / 2.0)

    def by_bit(self, path: Mapping[str, Any]) -> Work:
        """The operation as asked of one of its toolpaths: of one named as the second bit's, what that bit is to do."""
        if self.rest is None or not self.is_rest(path):
            return self
        return replace(self, asked=self.rest, rest=None)

    def is_rest(self, path: Mapping[str, Any]) -> bool:
        """Whether a toolpath of this operation is named as one of its second bit's."""
        tail = str(path["name"])[len(str(path.get("part") or "")) :]
        much = self.claims(tail)
        return much > 0 and _REST.fullmatch(tail[much + 1 :]) is not None

    def figures_of(self, key: str = "shape") -> list[Figure]:
        """The shapes that a key of the operation names. Raises `CannotRead` if one of them was not read."""
        names = listed(self.table[key] or ())
        for name in names:
            if name in self.unread:
                raise CannotRead(self.unread[name])
        return [self.figures[name] for name in names]

    def outlines(self, key: str = "shape") -> list[Outline]:
        """The outlines in those shapes. Raises `CannotRead`."""
        return [outline for figure in self.figures_of(key) for outline in figure.outlines]

    def inside(self, outline: Outline, which: int = 0, *, outside: bool = False) -> Any:
        """The inside (shapely) of one of an outline's rings as it is cut: with room for square pegs, inside the ring or
        ``outside`` it, if that is asked for, and moved by the fit. Raises `CannotRead`."""
        fit, ring = float(self.tables.job["fit"]), outline.ring(which)
        if self.open_edges and which == 0 and fit:
            ring = mouths.widened(ring, self.open_edges, abs(fit) - fit / 2.0)
        whole = self.fitted(ring, stays=outside)
        if not self.table["relief"]:
            return whole
        by = fit / (-2.0 if outside else 2.0)
        return outline.relieved(which, self.finest, whole, by=by, outside=outside, mouths=self.open_edges)

    @cached_property
    def open_edges(self) -> tuple[plane.Points, ...]:
        """The lines along which a pocket has no wall. Raises `CannotRead`."""
        figures = self.figures_of("open_edges") if self.kind == "pocket" else []
        return tuple(line for figure in figures for line in figure.every)

    def fitted(self, ring: plane.Points, *, stays: bool) -> Any:
        """The inside (shapely) of a ring (k, 2) as the fit moves it; ``stays`` says that the wood within it stays."""
        return self.tables.fitted(plane.plate(ring), stays=stays)

    def on(self, number: str | None) -> Work:
        """The operation on the copy of that number: it differs if the operation engraves a text."""
        table = self.table
        if self.kind not in MARKS or table["shape"] is not None:
            return self
        copy = 0 if number is None else int(number) - 1
        if table["texts"] is not None:
            text = str(table["texts"][copy])
        else:
            text = str(table["text"] if table["number_from"] is None else table["number_from"] + copy)
        whole = {**table, "name": self.title, "shape": text}
        try:
            figure = lettered(text, table["text_at"], float(table["text_height"]))
        except CannotRead as reason:
            return replace(self, table=whole, unread={text: str(reason)})
        return replace(self, table=whole, figures={text: figure})

    @cached_property
    def slack(self) -> float:
        """mm by which its shapes may be off in their drawing."""
        return max((figure.slack for figure in self.figures_of()), default=0.0)

    @cached_property
    def heads(self) -> tuple[str, ...]:
        """How names of its toolpaths may begin, after the part's name: with its title, or with its shapes' names if it
        has several (in folders of earlier versions with its title alone)."""
        shapes = listed(self.table["shape"] or ())
        if self.kind == "chamfer" and self.table["name"] is None:
            return tuple(f"{shape} chamfer" for shape in shapes)
        several = [] if len(shapes) == 1 else [*shapes, *(f"{self.title} {shape}" for shape in shapes)]
        others = {
            name
            for other in self.tables.parts[self.part]["operations"]
            if other is not self.table
            for name in (titled(other), *listed(other["shape"] or ()))
        }
        return (self.title, *(head for head in several if head not in others))

    def claims(self, tail: str) -> int:
        """How many letters of a toolpath's name, after the part's, say that it is this operation's; 0 if it is not."""
        fitting = [
            head
            for head in self.heads
            if tail.startswith(f" {head}") and _NAMES[self.kind].fullmatch(tail[len(head) + 1 :]) is not None
        ]
        return max(map(len, fitting), default=0)


@dataclass(frozen=True)
class Copy:
    """One copy's toolpaths: ``paths`` by their operation (part, index), ``bored`` the holes that cuts enter by.

    ``number`` is None if the parts lie as they are drawn. ``part`` is the part of which it is a copy, None if a copy
    has one of each.
    """

    number: str | None
    paths: Mapping[tuple[int, int], tuple[Table, ...]]
    bored: tuple[Table, ...] = ()
    part: int | None = None

    def has(self, part: int) -> bool:
        """Whether that part is in it."""
        return self.part is None or self.part == part

    def of(self, work: Work) -> tuple[Table, ...]:
        return self.paths.get((work.part, work.index), ())

    def called(self, part: str) -> str:
        """What a part of this copy is called."""
        return part if self.number is None else f"{part} {self.number}"


def takes_off(path: Table) -> bool:
    """Whether a toolpath takes off what another has left on the wall."""
    return path.get("finishes") is not None


def figures_of(tables: Tables, beside: Mapping[str, bytes]) -> tuple[list[dict[str, Figure]], list[dict[str, str]]]:
    """The shapes of each part by name, and the reasons for those that are not read, by name."""
    figures: list[dict[str, Figure]] = []
    unread: list[dict[str, str]] = []
    for part in tables.parts:
        known: dict[str, Figure] = {}
        reasons: dict[str, str] = {}
        for name, shape in part["shapes"].items():
            try:
                known[name] = figure_of(shape, beside)
            except CannotRead as reason:
                reasons[name] = f"shape {name!r} of {part['name']!r}: {reason}"
        figures.append(known)
        unread.append(reasons)
    return figures, unread


def works_of(
    tables: Tables, figures: Sequence[Mapping[str, Figure]], unread: Sequence[Mapping[str, str]],
    swaps: Mapping[str, float], strength: Table,
) -> tuple[Work, ...]:  # fmt: skip
    """Every operation of every part, as asked of a machine with the given ``strength``."""
    works = []
    for p, part in enumerate(tables.parts):
        for k, table in enumerate(part["operations"]):
            top = None if table.get("top") is None else height(table["top"], tables.stock)
            # A skin is measured up from the nominal underside.
            skin = table.get("skin")
            if table["kind"] == "chamfer":
                (named,) = each_of(table["tool"])
                bottom = foot(table, tables.tools[named or next(iter(tables.tools))], tables.stock)
            elif table["kind"] == "burn":
                # A beam follows its lines on the board's nominal top.
                bottom = height({"from_top": 0.0, "above_bed": None, "through": None}, tables.stock)
            else:
                level = height(table["bottom"], tables.stock)
                bottom = level if skin is None else underside(tables.stock) + float(skin)
            deep = wood_above(top, tables.stock) - bottom
            asked = asked_of(table, tables, swaps, strength, deep)
            rest = asked_of(table, tables, swaps, strength, deep, 1) if len(each_of(table["tool"])) > 1 else None
            works.append(Work(tables, p, k, table, asked, bottom, top, figures[p], unread[p], rest))
    return tuple(_with_walls(work, works) for work in works)


def _with_walls(work: Work, works: Sequence[Work]) -> Work:
    if work.kind != "chamfer":
        return work
    return replace(work, walls=tuple(w for w in works if w.part == work.part and w.table.get("relief")))


def without(works: Sequence[Work], names: Sequence[str]) -> tuple[Work, ...]:
    """The operations that are cut: all but those of these ``names``, each a title, or a part's name and a title.

    Raises `ValueError` for a name that does not fit exactly one operation.
    """
    gone: list[Work] = []
    for name in names:
        called = [work for work in works if name == work.title or name == f"{work.part_name} {work.title}"]
        if len(called) != 1:
            raise ValueError(f"{len(called)} operations are called {name[:60]!r}")
        gone += called
    return tuple(work for work in works if not any(work is each for each in gone))


def copies_of(works: Sequence[Work], toolpaths: Sequence[Table], report: Report) -> tuple[Copy, ...]:
    """Toolpaths by copy and operation; those that no operation asks for are reported."""
    tables = works[0].tables
    numbered = tables.layout is not None or tables.each_by_itself
    paths: dict[tuple[int, str], dict[tuple[int, int], list[Table]]] = {}
    bored: dict[tuple[int, str], list[Table]] = {}
    for path in toolpaths:
        found = [(*claim, work) for work in works if (claim := _claim(work, path, numbered)) is not None]
        if not found:
            hole = _bored(path, works, numbered)
            if hole is not None:
                bored.setdefault(_copy(*hole), []).append(path)
            else:
                report.add("cuts as asked", "no operation of the job file asks for it", toolpath=path["name"])
            continue
        # Of two names that both fit the longer one says more.
        number, _, work = max(found, key=lambda claim: claim[1])
        of = paths.setdefault(_copy(number, work), {})
        of.setdefault((work.part, work.index), []).append(path)
    numbers = sorted(paths, key=lambda copy: (copy[0], len(copy[1]), copy[1]))
    return tuple(
        Copy(
            copy[1] or None, {key: tuple(each) for key, each in paths[copy].items()}, tuple(bored.get(copy, ())),
            copy[0] if tables.each_by_itself else None,
        )
        for copy in numbers
    )  # fmt: skip


def _copy(number: str, work: Work) -> tuple[int, str]:
    """Which copy a toolpath belongs to: of its part, or of all parts together."""
    return (work.part if work.tables.each_by_itself else 0), number


def _claim(work: Work, path: Mapping[str, Any], numbered: bool) -> tuple[str, int] | None:
    """The number of the copy ('' without a layout) to which a toolpath of this operation belongs, and how many letters
    of its name say so; None if it is another operation's."""
    owner, name = str(path.get("part") or ""), str(path["name"])
    if not name.startswith(owner) or not (much := work.claims(name[len(owner) :])):
        return None
    if not numbered:
        return ("", much) if owner == work.part_name else None
    number = owner.removeprefix(f"{work.part_name} ")
    return (number, much) if number != owner and number.isdecimal() else None


def _bored(path: Mapping[str, Any], works: Sequence[Work], numbered: bool) -> tuple[str, Work] | None:
    """The copy and operation of a hole that a compression bit enters by; None if there is none."""
    name = str(path["name"])
    if works[0].tables.passes["spare_top_edge"] is None or not _ENTRY.search(name):
        return None
    plain = {**path, "name": _ENTRY.sub("", name)}
    owners = [(claim[0], work) for work in works if (claim := _claim(work, plain, numbered)) is not None]
    return owners[0] if owners else None
