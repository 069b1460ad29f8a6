"""The job file's own tables, read by `tomllib`, with the audit's own list of keys and their default values.

The audit does not understand a key that is not listed here, and names it: what it changes cannot be judged. Lengths and
feeds with a unit are converted to mm and mm/min.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.lengths import in_mm
from pathkit.jobs.audit.report import Key, dotted

Table = Mapping[str, Any]

NEEDED: Final = object()
"""Marks a key that the job file must have."""

STOCK: Final = {
    "thickness": NEEDED, "name": None, "material": None, "z_zero": "top", "thickness_tolerance": 0.5, "underlay": 0.0,
    "underlay_tolerance": 0.0, "grain": 0.0,
}  # fmt: skip
BOARD: Final = {"name": None, "width": NEEDED, "depth": NEEDED, "zones": ()}
ZONE: Final = {"kind": NEEDED, "shape": NEEDED, "height": 0.0}
TOOL: Final = {
    "diameter": NEEDED, "number": None, "kind": "flat", "flutes": 2, "centre_cutting": False, "tip_length": 0.0,
    "angle": None, "cut_length": None, "shank": None, "holder": None, "reach": None,
}  # fmt: skip
CUTTING: Final = {"feed": NEEDED, "plunge": NEEDED, "spindle": NEEDED, "ramp": None, "slowest": None, "fastest": None,
                  "power": None}  # fmt: skip
FINISH: Final = {"allowance": NEEDED, "full_depth": True}
DEPTH: Final = {"from_top": None, "above_bed": None, "through": None}
COMMON: Final = {
    "kind": NEEDED, "name": None, "shape": NEEDED, "tool": None, "cutting": None, "bottom": NEEDED, "top": None,
    "stepdown": None,
}  # fmt: skip
BEVEL: Final = {key: value for key, value in COMMON.items() if key != "bottom"}
OPERATIONS: Final[Mapping[str, Table]] = {
    "contour": {
        **COMMON, "side": "outside", "direction": "climb", "lead": 0.0, "overlap": None, "relief": False,
        "core": None, "skin": None, "finish": None,
    },
    "pocket": {
        **COMMON, "islands": (), "style": "rows", "open_edges": (), "lead": None, "overlap": None, "relief": False,
        "stepover": 0.4, "angle": None, "wall_allowance": None, "direction": "climb",
    },
    "slot": {**COMMON, "width": None},
    "drill": {**COMMON, "peck": None, "diameter": None},
    "engrave": {
        **COMMON, "shape": None, "text": None, "texts": None, "number_from": None, "text_at": None,
        "text_height": None,
    },
    "burn": {
        **{key: value for key, value in COMMON.items() if key not in ("bottom", "top", "stepdown")}, "shape": None,
        "text": None, "texts": None, "number_from": None, "text_at": None, "text_height": None, "passes": 1,
    },
    "chamfer": {**BEVEL, "side": "outside", "width": NEEDED, "direction": "climb"},
}  # fmt: skip
MARKS: Final = ("engrave", "burn")
"""Operations that may differ from copy to copy, by a text."""
BEAM: Final = {"plunge": None, "spindle": 0.0}
"""What a cutting with a power does not say: a beam goes nowhere but along, and nothing turns."""
PART: Final = {
    "name": NEEDED, "like": None, "quantity": None, "at": None, "turn": None, "outline": None, "shapes": {},
    "operations": (), "zones": (), "precedence": (),
}  # fmt: skip
LAYOUT: Final = {
    "copies": "fill", "web": None, "spacing": None, "margin": None, "keep_grain": True, "align": "corner",
    "order": "stage", "least_web": None,
}  # fmt: skip
MACHINE: Final = {
    "profile": NEEDED, "cutting": None, "board": None, "turn": 0, "zero_at": None, "offset": "G54",
}  # fmt: skip
STRENGTH: Final = dict.fromkeys(("feed", "plunge", "spindle", "stepdown", "stepover"), "100%")
SHAPES: Final[Mapping[str, Table | None]] = {
    "rectangle": {"corner": (0.0, 0.0), "width": NEEDED, "depth": NEEDED, "radius": 0.0},
    "circle": {"centre": NEEDED, "radius": NEEDED},
    "slot": {"first": NEEDED, "last": NEEDED, "width": NEEDED},
    "polygon": None, "line": None, "points": None, "path": None, "svg": None, "dxf": None,
}  # fmt: skip
"""The kinds of shape; None for a kind that has no table of its own."""
OF_SHAPES: Final = ("layer", "colour", "units", "scale", "size", "join", "at")
JOB: Final = {
    "name": NEEDED, "fit": 0.0, "tool_table": None, "stock": NEEDED, "board": NEEDED, "tools": {}, "cutting": NEEDED,
    "part": NEEDED, "layout": None, "passes": {}, "machine": (), "handout": None,
    "about": None, "language": "en",
}  # fmt: skip
PASSES: Final[Mapping[str, Table]] = {
    "merge_stepdowns": {},
    "spare_top_edge": {"strict": False},
    "hold_tabs": {
        "count": 2,
        "width": 6.0,
        "height": 3.0,
        "roles": ("outline",),
        "shape": "square",
        "least_width": None,
    },
    "ramp_entries": {"angle": 3.0, "helix_diameter": None, "strict": False},
    "order_travel": {
        "effort": 1.0,
        "seed": 0,
        "seconds": None,
        "by": "stage",
        "objective": "mm",
        "bound": False,
        "earlier": (),
    },
    "steady_load": {"slowest": 0.6, "fastest": 1.6},
}
"""The passes that improve a job, with the default values of their options."""
ONLY_WHERE_ASKED: Final = frozenset({"steady_load"})
"""Passes that a job file has to ask for."""


@dataclass(frozen=True)
class Tables:
    """A job file's tables with all defaults filled in. ``unknown`` names the keys that the audit does not understand.

    ``passes`` maps a pass to its options, None if the job does without it; ``strange`` are passes that are not known.
    """

    job: Table
    stock: Table
    boards: tuple[Table, ...]
    tools: Mapping[str, Table]
    cuttings: Mapping[str, Table]
    parts: tuple[Table, ...]
    layout: Table | None
    machines: tuple[Table, ...]
    passes: Mapping[str, Table | None]
    strange: tuple[str, ...]
    unknown: tuple[str, ...]

    @property
    def each_by_itself(self) -> bool:
        """Whether parts are laid out one by one, and not all of them together."""
        return any(part[key] is not None for part in self.parts for key in ("quantity", "at", "turn"))

    @property
    def marked(self) -> bool:
        """Whether copies of a part are marked differently."""
        works = (work for part in self.parts for work in part["operations"] if work["kind"] in MARKS)
        return any(work["texts"] is not None or work["number_from"] is not None for work in works)

    def fitted(self, area: Any, *, stays: bool) -> Any:
        """An area (shapely) whose edge is a finished wall, as the fit moves that wall. It is half as much as ``fit``,
        which counts both sides: away from an opening, and into wood that ``stays``."""
        across = float(self.job["fit"])
        return plane.pushed(area, -across / 2.0 if stays else across / 2.0) if across else area

    @property
    def room(self) -> Table:
        """How the layout keeps parts apart: its table, or the defaults."""
        return LAYOUT if self.layout is None else self.layout


def read_tables(data: bytes, beside: Mapping[str, bytes]) -> Tables:
    """The tables of a job file; ``beside`` has the bytes of files by the names that it gives them.

    Raises `ValueError`, `KeyError` or `TypeError` for data that is not a job file, or lacks a key that it must have.
    """
    job = tomllib.loads(data.decode("utf-8-sig"))
    reader = _Reader()
    whole = reader.filled(job, JOB, ())
    tools = {name: reader.filled(each, TOOL, ("tools", name)) for name, each in whole["tools"].items()}
    if whole["tool_table"] is not None:
        shared = tomllib.loads(beside[whole["tool_table"]].decode("utf-8-sig"))["tools"]
        # Its bits come first, as if they stood above the job's own.
        tools = {name: reader.filled(each, TOOL, ("tool_table", name)) for name, each in shared.items()} | tools
    passes, strange = _passes(whole["passes"], reader)
    return Tables(
        whole,
        reader.filled(whole["stock"], STOCK, ("stock",)),
        tuple(reader.board(each, ("board", k)) for k, each in enumerate(whole["board"])),
        tools,
        {name: reader.cutting(each, ("cutting", name)) for name, each in whole["cutting"].items()},
        tuple(reader.part(each, ("part", k)) for k, each in enumerate(_whole_parts(whole["part"]))),
        None if whole["layout"] is None else reader.filled(whole["layout"], LAYOUT, ("layout",)),
        tuple(reader.machine(each, ("machine", k)) for k, each in enumerate(whole["machine"])),
        passes,
        strange,
        tuple(reader.unknown),
    )


def titled(operation: Table) -> str:
    """What an operation is called: its own name, or that of its first shape; of an edge's chamfer with that word."""
    first = listed(operation["shape"] or "text")[0]
    return str(operation["name"] or (f"{first} chamfer" if operation["kind"] == "chamfer" else first))


def listed(value: Any) -> list[str]:
    """One name, or several, as a list."""
    return [value] if isinstance(value, str) else list(value)


def _whole_parts(parts: Any) -> list[Any]:
    """All parts; one that is ``like`` another takes from it everything that it does not give itself."""
    models = {part["name"]: part for part in parts}
    whole: list[Any] = []
    for part in parts:
        if "like" not in part:
            whole.append(part)
            continue
        model = models[part["like"]]
        if "like" in model:
            raise ValueError(f"{part['like']!r} is itself like another part")
        kept = {key: model[key] for key in ("outline", "zones", "precedence") if key in model}
        mine = {_called(work): work for work in part.get("operations", ())}
        works = [mine.pop(_called(work), work) for work in model["operations"]]
        shapes = dict(model["shapes"])
        shapes.update(part.get("shapes", {}))
        whole.append({**kept, **part, "shapes": shapes, "operations": [*works, *mine.values()]})
    return whole


def _called(work: Table) -> str:
    return titled({"name": None, "shape": None, "kind": None, **work})


def _passes(table: Table, reader: _Reader) -> tuple[dict[str, Table | None], tuple[str, ...]]:
    chosen: dict[str, Table | None] = {}
    for name, known in PASSES.items():
        options = table.get(name, name not in ONLY_WHERE_ASKED)
        given = options if isinstance(options, Mapping) else {}
        chosen[name] = None if options is False else reader.filled(given, known, ("passes", name))
    return chosen, tuple(name for name, options in table.items() if name not in PASSES and options is not False)


def _share(text: str) -> Fraction:
    """A share (``"70%"``) as a fraction of 1. Raises `ValueError` for any other text."""
    if not text.endswith("%"):
        raise ValueError(f"{text[:40]!r} is not a share, such as '70%'")
    return Fraction(int(text[:-1]), 100)


class _Reader:
    """Fills in defaults, and collects the keys that it does not know in ``unknown``."""

    def __init__(self) -> None:
        self.unknown: list[str] = []

    def filled(self, table: Any, known: Table, key: Key, *, shares: bool = False) -> dict[str, Any]:
        """A table with its defaults. ``shares``: its values are shares, not lengths or feeds."""
        if not isinstance(table, Mapping):
            raise TypeError(f"{dotted(key)} is not a table")
        self.unknown += [dotted((*key, name)) for name in table if name not in known]
        values = {**known, **(table if shares else in_mm(table))}
        for name, value in values.items():
            if value is NEEDED:
                raise KeyError(f"{dotted((*key, name))} is missing")
        return values

    def board(self, table: Any, key: Key) -> dict[str, Any]:
        board = self.filled(table, BOARD, key)
        zones = [self.filled(zone, ZONE, (*key, "zones", k)) for k, zone in enumerate(board["zones"])]
        for k, zone in enumerate(zones):
            zone["shape"] = self.shape(zone["shape"], (*key, "zones", k, "shape"))
        return {**board, "zones": zones}

    def cutting(self, table: Any, key: Key) -> dict[str, Any]:
        """Feeds; of a beam, its feed is also that of going down, which it never does."""
        if not isinstance(table, Mapping) or "power" not in table:
            return self.filled(table, CUTTING, key)
        burning = self.filled(table, {**CUTTING, **BEAM}, key)
        return {**burning, "plunge": burning["feed"]}

    def machine(self, table: Any, key: Key) -> dict[str, Any]:
        machine = self.filled(table, MACHINE, key)
        shares = self.filled(machine["cutting"] or {}, STRENGTH, (*key, "cutting"), shares=True)
        return {**machine, "cutting": {name: _share(text) for name, text in shares.items()}}

    def part(self, table: Any, key: Key) -> dict[str, Any]:
        part = self.filled(table, PART, key)
        shapes = {name: self.shape(each, (*key, "shapes", name)) for name, each in part["shapes"].items()}
        works = [self.operation(each, (*key, "operations", k)) for k, each in enumerate(part["operations"])]
        zones = [self.filled(each, ZONE, (*key, "zones", k)) for k, each in enumerate(part["zones"])]
        return {**part, "shapes": shapes, "operations": works, "zones": zones}

    def operation(self, table: Any, key: Key) -> dict[str, Any]:
        work = self.filled(table, OPERATIONS[table["kind"]], key)
        for name in ("bottom", "top"):
            if work.get(name) is not None:
                work[name] = self.filled(work[name], DEPTH, (*key, name))
        if work.get("finish") is not None:
            work["finish"] = self.filled(work["finish"], FINISH, (*key, "finish"))
        return work

    def shape(self, table: Any, key: Key) -> dict[str, Any]:
        """The shape's table with its kind under ``kind`` and its measures under ``is``."""
        known: dict[str, Any] = dict.fromkeys((*SHAPES, *OF_SHAPES))
        shape = self.filled(table, known, key)
        (kind,) = (name for name in SHAPES if shape[name] is not None)
        measures = SHAPES[kind]
        value = shape[kind] if measures is None else self.filled(shape[kind], measures, (*key, kind))
        return {**shape, "kind": kind, "is": value}
