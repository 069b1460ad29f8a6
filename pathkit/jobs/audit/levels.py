"""Heights, bites, ways down and tabs of a toolpath, compared with what its operation and the passes ask for."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

import numpy as np

from pathkit.jobs.audit import heights, plane, tab_loads
from pathkit.jobs.audit.figures import CannotRead
from pathkit.jobs.audit.holes import LEAST_PITCH, hole_entries, is_drilled
from pathkit.jobs.audit.openings import is_wider, openings_of, pieces_of
from pathkit.jobs.audit.report import Report
from pathkit.jobs.audit.tables import Table
from pathkit.jobs.audit.tolerances import CLOSE, EXACT, HAIR, ROUNDING
from pathkit.jobs.audit.works import ROLES, Work, takes_off

ON_A_LEAD: Final = 3.0
"""Degrees at which a bit goes down along a lead."""

_PLUNGE: Final = {"kind": "plunge"}


def judge_heights(work: Work, path: Table, joined: Sequence[float], report: Report) -> None:
    """Bottom, top, stepdown and levels. ``joined`` are the bottoms of operations merged into this one."""
    name, stock = path["name"], work.tables.stock
    if path.get("role", "cut") not in ROLES[work.kind]:
        report.add("cuts as asked", f"is a {path.get('role', 'cut')}, and a {work.kind} is asked for", work.key,
                   toolpath=name)  # fmt: skip
    bottom = float(path["bottom"])
    if not any(abs(bottom - z) <= HAIR for z in (work.bottom, *joined)):
        what = f"goes down to z = {bottom:g}, and the job file asks for z = {work.bottom:g}"
        report.add("depths as asked", what, (*work.key, "bottom" if "bottom" in work.table else "width"), toolpath=name)
    top = path.get("top")
    if (top is None) != (work.top is None) or (top is not None and abs(top - (work.top or 0.0)) > HAIR):
        what = f"begins at {_z(top)}, and the job file asks for {_z(work.top)}"
        report.add("depths as asked", what, (*work.key, "top"), toolpath=name)
    _judge_bites(work, path, heights.wood_above(work.top, stock), bool(joined), report)


def judge_burning(work: Work, path: Table, report: Report) -> None:
    """That a beam follows its lines on the board's top, and goes about it in no other way."""
    name, z = path["name"], path["z"]
    if path.get("role", "cut") not in ROLES[work.kind]:
        report.add("cuts as asked", f"is a {path.get('role', 'cut')}, and a burn is asked for", work.key, toolpath=name)
    if z is None or max(abs(each - work.bottom) for each in z) > HAIR:
        report.add("depths as asked", f"runs at z = {z}, and the board's top is at {work.bottom:g}", work.key,
                   toolpath=name)  # fmt: skip
    for check, field in (("entries as asked", "entry"), ("tabs as asked", "tabs"), ("depths as asked", "bottom")):
        if path.get(field) not in (None, [], _PLUNGE):
            report.add(check, f"has {field} {path[field]!r}, and a beam has none", work.key, toolpath=name)


def _judge_bites(work: Work, path: Table, wood: float, joined: bool, report: Report) -> None:
    name, asked = path["name"], work.asked.stepdown
    given, levels = path.get("stepdown"), path.get("levels")
    # A pass that only takes the allowance off a wall goes down at once: it is judged where its line is known.
    free = asked is None or path.get("role") == "finish" or joined
    # A hole as wide as the bit is drilled, in one go or by pecks; a stepdown is for what is milled.
    free = free or (work.kind == "drill" and is_drilled(path))
    finish = work.table.get("finish")
    if takes_off(path) and finish is not None and finish["full_depth"]:
        free = True
        if given is not None:
            what = f"takes off its allowance {given:g} mm deep at a time, and the job file asks for full depth at once"
            report.add("depths as asked", what, (*work.key, "finish"), toolpath=name)
    if ((given is None) != (asked is None) and not free) or (given is not None and asked is None and not joined):
        what = f"has {_stepdown(given)}, and the job file asks for {_stepdown(asked)}"
        report.add("depths as asked", what, (*work.key, "stepdown"), toolpath=name)
    if given is not None and asked is not None and abs(given - asked) > HAIR and not (joined and given < asked):
        what = f"has {_stepdown(given)}, and the job file asks for {asked:g} mm"
        report.add("depths as asked", what, (*work.key, "stepdown"), toolpath=name)
    if levels is None:
        if work.tables.passes["merge_stepdowns"] is not None:
            report.add(
                "depths as asked",
                "has no levels, and merge_stepdowns gives it some",
                ("passes", "merge_stepdowns"),
                toolpath=name,
            )
        return
    bites = [above - below for above, below in zip([wood, *levels], levels, strict=False)]
    if abs(levels[-1] - path["bottom"]) > HAIR or min(bites) <= 0.0:
        report.add("depths as asked", f"has levels {levels} that do not lead down to its bottom", toolpath=name)
    deepest = given if given is not None else math.inf
    if max(bites) > deepest + HAIR:
        what = f"takes {max(bites):g} mm at once, and its stepdown is {deepest:g} mm"
        report.add("depths as asked", what, (*work.key, "stepdown"), toolpath=name)
    fewest = 1 if given is None else max(1, math.ceil((wood - path["bottom"]) / given - ROUNDING))
    if len(levels) > fewest and not joined and work.asked.tool["kind"] != "compression":
        what = f"goes down in {len(levels)} levels, and {fewest} are enough for the stepdown asked for"
        report.add("depths as asked", what, (*work.key, "stepdown"), toolpath=name)


def judge_entry(work: Work, path: Table, report: Report) -> None:
    """Judge the way down: its kind and its angle."""
    try:
        entry, said = path.get("entry", _PLUNGE), _entries_asked(work, path)
    except CannotRead as reason:
        report.leave_open("entries as asked", str(reason))
        return
    if any(_entry_fits(entry, each) for each in said):
        return
    what = f"is entered by {_words(entry)}, and the job file asks for {' or '.join(map(_words, said))}"
    report.add("entries as asked", what, work.key, toolpath=path["name"])


def _entries_asked(work: Work, path: Table) -> list[Mapping[str, Any]]:
    """The ways down that are right; a diameter of None allows any."""
    passes, tool, table = work.tables.passes, work.asked.tool, work.table
    ramping = passes["ramp_entries"]
    closed = bool(path["curve"].get("closed", False))
    if work.kind == "drill" and path.get("role") == "drill":
        return hole_entries(work, path)
    if path.get("entry", _PLUNGE).get("within") is not None and (
        path.get("role") == "finish" or table.get("lead") or takes_off(path)
    ):
        within = path["entry"]["within"]
        onto: list[Mapping[str, Any]] = [{"kind": "ramp", "angle": ON_A_LEAD, "within": within}]
        # Beside a wall whose floor is cleared; another check proves that the bit meets no wood there.
        down: Mapping[str, Any] = {"kind": "descend", "within": within}
        if takes_off(path):
            return [down]
        return [*onto, down] if path.get("role") == "finish" else onto
    plunges = tool["kind"] == "drill" or tool["centre_cutting"]
    if _drops(work, path):
        return [_PLUNGE]
    if ramping is None or (path.get("role") in ("engrave", "chamfer") and plunges):
        return [_PLUNGE]
    angle = float(ramping["angle"])
    said: list[Mapping[str, Any]] = [{"kind": "spiral" if closed else "ramp", "angle": angle}]
    short = plane.length(lap(path)) * math.tan(math.radians(angle)) / (LEAST_PITCH * work.asked.diameter)
    if closed and plunges and short < 1.0 + CLOSE:
        # Too short a way round for a spiral: the bit would only rub.
        said = [_PLUNGE, *said[: short > 1.0 - CLOSE]]
    if path.get("role") == "pocket":
        said.append({"kind": "helix", "angle": angle, "diameter": ramping["helix_diameter"]})
    if tool["kind"] == "compression" and passes["spare_top_edge"] is not None:
        said.append(_PLUNGE)
    return said


def _entry_fits(made: Mapping[str, Any], said: Mapping[str, Any]) -> bool:
    for field in ("kind", "angle", "depth", "within", "diameter"):
        one, other = made.get(field), said.get(field)
        if field == "diameter" and other is None:
            continue
        if isinstance(one, int | float) and isinstance(other, int | float):
            if not math.isclose(one, other, rel_tol=ROUNDING):
                return False
        elif one != other:
            return False
    return True


@dataclass(frozen=True)
class Holding:
    """What tabs are judged by: whether any are ``wanted``, the ``grain`` (degrees) in the part's frame, ``machine``."""

    wanted: bool
    grain: float
    machine: Table | None


def judge_tabs(work: Work, path: Table, rough: Table, holding: Holding, report: Report) -> int:
    """There are as many tabs as asked for, of the width and height asked for. Returns how many there are.

    ``rough`` is the cut whose load they bear: ``path`` itself, or the cut before it if ``path`` is a finishing lap.
    """
    made = path.get("tabs", ())
    said = _tabs_asked(work, path, holding.wanted)
    if said is None:
        return len(made)
    count, width, height = said
    key = ("passes", "hold_tabs")
    options = work.tables.passes["hold_tabs"]
    widths = [width]
    if options is not None and count != "auto":
        # Tabs are narrower if there is no room for that width, and then have one of two widths.
        least = width / 2.0 if options["least_width"] is None else float(options["least_width"])
        widths += [(width + least) / 2.0, least]
    if count == "auto":
        _judge_enough(work, path, rough, holding, report)
    elif len(made) not in (many := _many(int(count), path, work.radius)):
        what = f"has {len(made)} tabs, and {' or '.join(map(str, sorted(many)))} are asked for"
        report.add("tabs as asked", what, key, toolpath=path["name"])
    for tab in made:
        wide = float(tab["width"])
        if min(abs(wide - each) for each in widths) > HAIR or abs(tab["height"] - height) > HAIR:
            what = (
                f"has a tab {tab['width']:g} mm wide and {tab['height']:g} mm high, and {width:g} mm and {height:g} mm"
                " are asked for"
            )
            report.add("tabs as asked", what, key, toolpath=path["name"])
    shape = "square" if options is None else options["shape"]
    for other in {tab.get("shape", "square") for tab in made} - {shape}:
        report.add("tabs as asked", f"has {other} tabs, and {shape} ones are asked for", (*key, "shape"),
                   toolpath=path["name"])  # fmt: skip
    return len(made)


def _many(count: int, path: Table, radius: float) -> set[int]:
    """How many tabs ``count`` for each piece may come to; where none are asked for, the pieces need not be known."""
    return {count * pieces for pieces in _pieces(path, radius)} if count else {0}


def _judge_enough(work: Work, path: Table, rough: Table, holding: Holding, report: Report) -> None:
    """There are two tabs or more, and enough of them by the estimate."""
    made, key = path.get("tabs", ()), ("passes", "hold_tabs", "count")
    if len(made) < 2:
        report.add("tabs as asked", f"has {len(made)} tabs, and at least two are needed", key, toolpath=path["name"])
    elif holding.machine is None or work.tables.stock["material"] not in tab_loads.FIGURES:
        report.leave_open(
            "tabs as asked", "it is not judged whether the tabs hold: the machine or the material is not known"
        )
    else:
        stock, tool = work.tables.stock, work.asked.tool
        load = tab_loads.load(rough, lap(rough), tool, stock, holding.machine)
        share = tab_loads.taken(path, lap(path), load, tool, stock, holding.grain)
        if share > tab_loads.ROUNDED:
            what = f"has {len(made)} tabs, and by the estimate the load is {100.0 * share:.0f} % of what they bear"
            report.add("tabs as asked", what, key, toolpath=path["name"])


def _tabs_asked(work: Work, path: Table, wanted: bool) -> tuple[int | str, float, float] | None:
    """How many, how wide, how high; None if that depends on the board's thickness, or on rounding."""
    holding = work.tables.passes["hold_tabs"]
    curve, role = path["curve"], path.get("role", "cut")
    none = (0, 0.0, 0.0)
    if holding is None or not wanted or len(curve["points"]) == 1 or _drops(work, path):
        return none
    frees = role in holding["roles"] or (role == "slot" and bool(curve.get("closed", False)))
    through = heights.goes_through(float(path["bottom"]), work.tables.stock)
    core = _leaves_a_core(path, work.radius)
    if not frees or through is False or core is False:
        return none
    return (
        None
        if through is None or core is None
        else (holding["count"], float(holding["width"]), float(holding["height"]))
    )


def _drops(work: Work, path: Table) -> bool:
    """Whether the core that the cut frees may drop; False if its shape is not read."""
    if work.table.get("core") != "drop":
        return False
    try:
        return any("drop" in opening.cores and opening.holds(path) for opening in openings_of(work))
    except CannotRead:
        return False


def _leaves_a_core(path: Table, radius: float) -> bool | None:
    """Whether wood is left within a contour once the bit has gone round; None if that depends on rounding. An open cut
    counts as leaving some."""
    points = lap(path)
    if not path["curve"].get("closed", False) and path.get("entry", _PLUNGE).get("within") is None:
        return True
    if len(points) < 4:
        return False
    left = _wider(_placeless(points), radius)
    return next(iter(left)) if len(left) == 1 else None


def _pieces(path: Table, radius: float) -> set[int]:
    """How many pieces a contour frees: into how many the wood within falls, less the chips. Two numbers where that
    hangs on rounding; one piece where it is no contour."""
    points = lap(path)
    return {1} if len(points) < 4 else set(_pieces_within(_placeless(points), radius))


def _placeless(points: plane.Points) -> bytes:
    """A ring's points from its first one on, to a millionth of a millimetre: equal for copies that lie elsewhere."""
    rounded: plane.Points = np.round(points - points[0], 6) + 0.0
    return rounded.tobytes()


@lru_cache(maxsize=256)
def _wider(ring: bytes, than: float) -> frozenset[bool]:
    return frozenset(is_wider(_inside(ring), than))


@lru_cache(maxsize=256)
def _pieces_within(ring: bytes, radius: float) -> frozenset[int]:
    inside = _inside(ring)
    return frozenset(max(1, len(pieces_of(plane.grown(inside, -radius + by)))) for by in (-EXACT, 0.0, EXACT))


@lru_cache(maxsize=256)
def _inside(ring: bytes) -> Any:
    import shapely

    return shapely.Polygon(np.frombuffer(ring).reshape(-1, 2)).buffer(0.0)


def lap(path: Table) -> plane.Points:
    """Vertices (k, 2) of a toolpath without its leads."""
    points = plane.vertices_of(path["curve"])
    within = path.get("entry", _PLUNGE).get("within")
    return points if within is None else plane.without_ends(points, float(within))


def _words(entry: Mapping[str, Any]) -> str:
    told = [f"{key} {value:g}" for key, value in entry.items() if isinstance(value, int | float)]
    return " ".join([str(entry.get("kind")), *told])


def _stepdown(value: float | None) -> str:
    return "no stepdown" if value is None else f"a stepdown of {value:g} mm"


def _z(value: float | None) -> str:
    return "the top" if value is None else f"z = {value:g}"
