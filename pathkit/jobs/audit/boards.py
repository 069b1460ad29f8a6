"""The board of a job: its size, thickness, tolerance and zero as asked, the right one of several, and its zones."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Final

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.bits import same
from pathkit.jobs.audit.cuts import Place
from pathkit.jobs.audit.figures import CannotRead, Figure, figure_of
from pathkit.jobs.audit.report import Key, Report
from pathkit.jobs.audit.strength import own_table
from pathkit.jobs.audit.tables import Table, Tables
from pathkit.jobs.audit.tolerances import EXACT, ROUNDING

BOARD: Final = "board as asked"

_MADE: Final = {
    "z_zero": "top", "thickness_tolerance": 0.5, "underlay": 0.0, "underlay_tolerance": 0.0, "grain": 0.0,
}  # fmt: skip
"""The values that a finished job means if its stock leaves them out."""

_SIDEWAYS: Final = ("left", "right")


def judge_board(
    tables: Tables, stock: Table, machine: Table | None, turn: int, report: Report, asked: int | None = None
) -> int | None:
    """Judge the finished job's stock; return the index of its [[board]], None if it is none of them.

    ``machine`` is the profile of the job's machine, as plain values. It takes the board that was ``asked`` for by its
    index, or else the one named for it, or the largest that fits its travel when turned by ``turn`` quarters.
    """
    said = tables.stock
    for name in ("thickness", *_MADE):
        made = stock.get(name, _MADE.get(name))
        if not same(made, said[name]):
            report.add(BOARD, f"{name} is {made!r}, and the job file says {said[name]!r}", ("stock", name))
    sizes = [(float(board["width"]), float(board["depth"])) for board in tables.boards]
    alike = [k for k, size in enumerate(sizes) if same(stock["width"], size[0]) and same(stock["depth"], size[1])]
    if not alike:
        what = f"the board is {stock['width']:g} × {stock['depth']:g} mm, which is none of the job file's boards"
        report.add(BOARD, what, ("board",))
        return None
    if machine is None:
        report.leave_open(BOARD, "the machine is not known, so it is not judged which of the boards it takes")
        return alike[0]
    wanted = _wanted(tables, machine, turn, sizes) if asked is None else [asked] if asked < len(sizes) else []
    if wanted == []:
        report.add(BOARD, "the board that was asked for is not in the job file", ("board",))
    elif wanted is not None and not set(wanted) & set(alike):
        width, depth = sizes[wanted[0]]
        what = (
            f"the board is {stock['width']:g} × {stock['depth']:g} mm, and this machine should take the board of"
            f" {width:g} × {depth:g} mm"
        )
        report.add(BOARD, what, ("board", wanted[0]))
    return next((k for k in wanted or () if k in alike), alike[0])


def _wanted(tables: Tables, machine: Table, turn: int, sizes: Sequence[tuple[float, float]]) -> list[int] | None:
    """The boards that this machine may take: the one named for it, or the largest that fit; None if none fits."""
    boards = tables.boards
    named = _named_for(tables, machine)
    if named is not None:
        return [k for k, board in enumerate(boards) if board["name"] == named]
    travel = machine["travel"]
    room = float(travel["x"]), float(travel["y"])
    if machine["axes"]["x"] not in _SIDEWAYS:
        room = room[::-1]
    if turn % 2:
        room = room[::-1]
    fitting = [k for k, (w, d) in enumerate(sizes) if w <= room[0] + ROUNDING and d <= room[1] + ROUNDING]
    if not fitting:
        return None
    largest = max(sizes[k][0] * sizes[k][1] for k in fitting)
    maybe = _maybe_named(tables)
    return [k for k in fitting if sizes[k][0] * sizes[k][1] >= largest - ROUNDING or boards[k]["name"] in maybe]


def _named_for(tables: Tables, machine: Table) -> str | None:
    """The board that the [[machine]] table of this machine names; None if there is none."""
    own = own_table(tables, machine)
    return None if own is None or own["board"] is None else str(own["board"])


def _maybe_named(tables: Tables) -> set[str]:
    """Boards that are named for profiles in files: the name of such a file does not tell which machine it is for."""
    files = (each for each in tables.machines if str(each["profile"]).endswith(".toml"))
    return {str(each["board"]) for each in files if each["board"] is not None}


def judge_zones(
    tables: Tables, board: int, stock: Table, figures: Sequence[Mapping[str, Figure]],
    places: Sequence[Sequence[Place]],
    beside: Mapping[str, bytes], report: Report,
) -> None:  # fmt: skip
    """Every zone of the board and of each copy is in the job, with its kind, shape and height, and no other is.

    ``places`` has the places of each part's copies.
    """
    asked: list[tuple[Any, str, float, Key, float]] = []
    try:
        for k, zone in enumerate(tables.boards[board]["zones"]):
            key: Key = ("board", board, "zones", k)
            asked += _zone(zone, figure_of(zone["shape"], beside), key)
        for p, part in enumerate(tables.parts):
            for k, zone in enumerate(part["zones"]):
                if zone["shape"] not in figures[p]:
                    raise CannotRead(f"shape {zone['shape']!r} of {part['name']!r} is not read by the audit")
                home = _zone(zone, figures[p][zone["shape"]], ("part", p, "zones", k))
                asked += [(place.there(ring), *rest) for place in places[p] for ring, *rest in home]  # type: ignore[misc]
    except CannotRead as reason:
        report.leave_open(BOARD, str(reason))
        return
    import shapely

    made: dict[tuple[int, int], list[tuple[Table, Any]]] = {}
    for zone in stock.get("zones", ()):
        area = _polygon(zone["shape"])
        made.setdefault(_field(area), []).append((zone, area))
    for ring, kind, height, key, slack in asked:
        area = shapely.Polygon(ring)
        column, row = _field(area)
        near = [made.get((i, k), []) for i in range(column - 1, column + 2) for k in range(row - 1, row + 2)]
        found = next((pair for pairs in near for pair in pairs if _is_zone(pair, area, kind, height, slack)), None)
        if found is None:
            place = plane.place_text(plane.spot(area))
            report.add(BOARD, f"the {kind} {height:g} mm high at {place} is not in the job", key)
        else:
            field = made[_field(found[1])]
            field[:] = [pair for pair in field if pair is not found]
    for zone, area in (pair for pairs in made.values() for pair in pairs):
        what = f"the job has a {zone['kind']} at {plane.place_text(plane.spot(area))}, which the job file does not name"
        report.add(BOARD, what, ("board", board))
    report.count(BOARD, "zones", len(asked))


def _zone(zone: Table, figure: Figure, key: Key) -> list[tuple[Any, str, float, Key, float]]:
    return [
        (outline.outer, str(zone["kind"]), float(zone["height"]), key, figure.slack + EXACT)
        for outline in figure.outlines
    ]


def _field(area: Any) -> tuple[int, int]:
    """The 10 mm square of the board that holds an area's front left corner, for a fast search among many zones."""
    return math.floor(area.bounds[0] / 10.0), math.floor(area.bounds[1] / 10.0)


def _is_zone(pair: tuple[Table, Any], area: Any, kind: str, height: float, slack: float) -> bool:
    import shapely

    zone, made = pair
    if zone["kind"] != kind or not same(zone.get("height", 0.0), height):
        return False
    if any(abs(a - b) > slack for a, b in zip(made.bounds, area.bounds, strict=True)):
        return False
    coords = shapely.get_coordinates
    apart = (
        plane.apart([coords(made.exterior)], area.exterior)[0],
        plane.apart([coords(area.exterior)], made.exterior)[0],
    )
    return max(apart) <= slack


def _polygon(shape: Table) -> Any:
    import shapely

    return shapely.Polygon(shape["exterior"], shape.get("holes", ()))
