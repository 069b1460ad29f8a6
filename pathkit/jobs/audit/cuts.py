"""Every operation of every copy: it is there, in its place, with its bit, feeds, heights, entries and tabs.

Copies are judged in the part's own frame, so that what is the same in all of them is judged once.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final, TypeAlias

import numpy as np

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.bits import judge_bits
from pathkit.jobs.audit.chamfers import chamfer_tracks
from pathkit.jobs.audit.figures import CannotRead
from pathkit.jobs.audit.holes import holes_of, is_wide, judge_hole
from pathkit.jobs.audit.levels import Holding, judge_burning, judge_entry, judge_heights, judge_tabs, lap
from pathkit.jobs.audit.lines import contour_tracks, judge_lines, judge_neighbours, line_tracks
from pathkit.jobs.audit.openings import openings_of
from pathkit.jobs.audit.pockets import (
    Floor,
    beginning_in,
    groove,
    groove_floor,
    judge_floor,
    opening_floor,
    pocket_floors,
    round_floor,
)  # fmt: skip
from pathkit.jobs.audit.report import Report
from pathkit.jobs.audit.rest import judge_rests
from pathkit.jobs.audit.tables import Table, Tables
from pathkit.jobs.audit.tolerances import CLOSE, EXACT, HAIR
from pathkit.jobs.audit.works import Copy, Work, takes_off

CUTS: Final = "cuts as asked"

Verdict: TypeAlias = list[str] | str
"""What is wrong with an operation's lines, or why they cannot be judged."""


@dataclass(frozen=True)
class Place:
    """Where a copy lies: turned by ``turn`` quarters counter-clockwise about the origin of its drawing, then moved by
    (``x``, ``y``) mm."""

    x: float = 0.0
    y: float = 0.0
    turn: int = 0

    def back(self, points: Any) -> plane.Points:
        """Points (k, 2) on the board, in the part's own frame."""
        array: plane.Points = np.asarray(points, dtype=float)[:, :2] - np.array([self.x, self.y])
        return plane.turned(array, -self.turn)

    def there(self, points: Any) -> plane.Points:
        """Points (k, 2) in the part's own frame, on the board."""
        placed: plane.Points = plane.turned(points, self.turn) + np.array([self.x, self.y])
        return placed

    def curve_back(self, curve: Mapping[str, Any]) -> dict[str, Any]:
        return {**curve, "points": self.back(curve["points"]).tolist()}


@dataclass
class Judge:
    """Judges the copies of one board. ``known`` keeps the verdict on an operation's lines for copies that are alike."""

    tables: Tables
    works: Sequence[Work]
    tools: Mapping[str, Table]
    tabs: bool
    report: Report
    machine: Table | None = None
    known: dict[Any, Verdict] = field(default_factory=dict)

    def copy(self, copy: Copy, place: Place) -> None:
        """Every operation of one copy."""
        at_home = {
            key: tuple({**path, "z": _heights(path), "curve": place.curve_back(path["curve"])} for path in paths)
            for key, paths in copy.paths.items()
        }
        here = Copy(copy.number, at_home, copy.bored, copy.part)
        mine = [work.on(here.number) for work in self.works if here.has(work.part)]
        joined = self._joined(here, mine)
        for work in mine:
            paths = here.of(work)
            where = "" if copy.number is None else f" in copy {copy.number}"
            if not paths:
                if (work.part, work.index) not in joined:
                    what = f"{work.part_name!r} {work.title!r} is not cut"
                    self.report.add(CUTS, f"{what}{where}", work.key)
                continue
            deeper = [w.bottom for w in self.works if joined.get((w.part, w.index)) == (work.part, work.index)]
            named = {path["name"]: path for path in paths}
            for path in paths:
                # A finishing lap takes off little: its tabs must bear the load of the cut before it.
                self._plain(work, path, named.get(path.get("finishes"), path), deeper, place)
            for what in self._lines(work, paths, place):
                self.report.add(CUTS, f"{work.part_name!r} {work.title!r}{where} {what}", (*work.key, "shape"),
                                toolpath=paths[0]["name"])  # fmt: skip
        for hole in copy.bored:
            self._bored(hole, copy)
        self.report.count(CUTS, "operations", len(mine))
        self.report.count(CUTS, "toolpaths", sum(map(len, copy.paths.values())) + len(copy.bored))

    def _plain(self, work: Work, path: Table, rough: Table, deeper: Sequence[float], place: Place) -> None:
        work = work.by_bit(path)
        judge_bits(work.asked, path, self.tools, self.tables.passes["steady_load"], work.key, self.report)
        if work.kind == "burn":
            judge_burning(work, path, self.report)
            return
        judge_heights(work, path, deeper, self.report)
        judge_entry(work, path, self.report)
        holding = Holding(self.tabs, float(self.tables.stock["grain"]) - 90.0 * place.turn, self.machine)
        count = judge_tabs(work, path, rough, holding, self.report)
        self.report.count("tabs as asked", "tabs", count)

    def _joined(self, copy: Copy, mine: Sequence[Work]) -> dict[tuple[int, int], tuple[int, int]]:
        """Operations without a toolpath of their own, each with the one that took it in: one line, cut deeper."""
        if self.tables.passes["merge_stepdowns"] is None:
            return {}
        found: dict[tuple[int, int], tuple[int, int]] = {}
        for lost in mine:
            if copy.of(lost) or lost.kind == "burn":
                continue
            for work in mine:
                paths = copy.of(work)
                alike = lost.part == work.part and lost.kind == work.kind and lost.asked == work.asked
                # Down to the lost operation's bottom, below the other's own: one cut in two bites.
                deep = paths and all(path["bottom"] <= lost.bottom + HAIR < work.bottom for path in paths)
                if work is not lost and alike and deep and not self._said(self._judged(lost, paths, Place())):
                    found[lost.part, lost.index] = (work.part, work.index)
        return found

    def _lines(self, work: Work, paths: Sequence[Table], place: Place) -> list[str]:
        key = (work.part, work.index, place.turn, str(work.table["shape"]), *(_fingerprint(path) for path in paths))
        if key not in self.known:
            self.known[key] = self._judged(work, paths, place)
        return self._said(self.known[key])

    def _judged(self, work: Work, paths: Sequence[Table], place: Place) -> Verdict:
        grain = float(self.tables.stock["grain"]) - 90.0 * place.turn
        try:
            return _LINES[work.kind](work, paths, grain)
        except CannotRead as reason:
            return str(reason)

    def _said(self, verdict: Verdict) -> list[str]:
        if isinstance(verdict, str):
            self.report.leave_open(CUTS, verdict)
            return []
        return verdict

    def _bored(self, hole: Table, copy: Copy) -> None:
        """A hole through which a compression bit enters a cut: of that cut's bit and depth, and beside its line."""
        name = hole["name"]
        for paths in copy.paths.values():
            for path in paths:
                if not name.startswith(f"{path['name']} entry"):
                    continue
                alike = all(hole.get(field) == path.get(field) for field in ("tool", "cutting", "bottom", "part"))
                off, _ = plane.apart([np.asarray(hole["curve"]["points"], dtype=float)[:, :2]],
                                     plane.line(plane.vertices_of(path["curve"])))  # fmt: skip
                if alike and off <= float(self.tools[path["tool"]]["diameter"]):
                    return
        what = "is a hole through which no cut of the job file is entered"
        self.report.add(CUTS, what, ("passes", "spare_top_edge"), toolpath=name)


def _contour(work: Work, paths: Sequence[Table], grain: float) -> list[str]:
    clears = [path for path in paths if path.get("role") in ("pocket", "finish")]
    cleared = [
        opening.region
        for opening in openings_of(work)
        if opening.cores == {"clear"} or ("clear" in opening.cores and any(map(opening.holds, clears)))
    ]
    rounds = [path for path in paths if path.get("role") not in ("pocket", "finish")]
    lead, finish = float(work.table["lead"]), work.table["finish"]
    if finish is None or work.table["side"] == "on":
        said = judge_lines(contour_tracks(work, cleared), rounds, lead)
        said += ["has a finishing lap, and none is asked for"] * any(map(takes_off, rounds))
    else:
        allowance = float(finish["allowance"])
        said = judge_lines(contour_tracks(work, cleared, allowance), [p for p in rounds if not takes_off(p)], 0.0)
        laps = [path for path in rounds if takes_off(path)]
        tracks = contour_tracks(work, cleared)
        said += judge_lines(tracks, laps, lead or work.radius, allowance)
        said += ["is not finished: the lap that takes off its allowance is missing"] * bool(tracks.every and not laps)
    said += judge_neighbours(work, paths)
    return said + _floors([opening_floor(region, work, grain) for region in cleared], clears, work)


def _engrave(work: Work, paths: Sequence[Table], _: float) -> list[str]:
    return judge_lines(line_tracks(work), paths, 0.0)


def _burn(work: Work, paths: Sequence[Table], _: float) -> list[str]:
    tracks = line_tracks(work)
    said = judge_lines(tracks, paths, 0.0)
    asked = float(work.table["passes"]) * sum(plane.length(track.points) for track in tracks.every)
    burnt = sum(plane.length(lap(path)) for path in paths)
    # Chords are shorter than their arcs: by less than a hundredth, as fine as they are.
    if not said and abs(burnt - asked) > CLOSE * asked:
        said.append(
            f"follows {burnt:.1f} mm of lines, and {asked:.1f} mm are asked for in {work.table['passes']} passes"
        )
    return said


def _chamfer(work: Work, paths: Sequence[Table], _: float) -> list[str]:
    return judge_lines(chamfer_tracks(work), paths, 0.0)


def _pocket(work: Work, paths: Sequence[Table], grain: float) -> list[str]:
    firsts = [path for path in paths if not work.is_rest(path)]
    floors = pocket_floors(work, grain)
    said = _floors(floors, firsts, work)
    return said if work.rest is None else said + judge_rests(floors, [p for p in paths if work.is_rest(p)], work)


def _slot(work: Work, paths: Sequence[Table], _: float) -> list[str]:
    width, regions = groove(work)
    if math.isclose(width, work.asked.diameter, abs_tol=HAIR):
        return judge_lines(line_tracks(work), paths, 0.0)
    return _floors([groove_floor(region, width, work, angle) for region, angle in regions], paths, work)


def _drill(work: Work, paths: Sequence[Table], grain: float) -> list[str]:
    said: list[str] = []
    left = [path for path in paths if path.get("role") == "drill"]
    cleared = [path for path in paths if path.get("role") != "drill"]
    floors: list[Floor] = []
    holes = holes_of(work)
    taken: set[int] = set()
    for hole, here in zip(holes, _begun_at([hole.centre for hole in holes], left), strict=True):
        mine = [left[k] for k in here if k not in taken]
        taken.update(here)
        if len(mine) == 1:
            said += judge_hole(hole, mine[0], work)
        elif not mine and cleared and is_wide(hole, work):
            # Earlier versions cleared wide holes like pockets.
            floors.append(round_floor(hole.centre, hole.diameter, work, grain))
        else:
            place = plane.place_text(np.array(hole.centre))
            said.append(f"has {len(mine) or 'no'} holes at {place}, and one is asked for")
    places = [np.asarray(path["curve"]["points"][0][:2], dtype=float) for k, path in enumerate(left) if k not in taken]
    said += [f"has a hole at {plane.place_text(place)} that is not asked for" for place in places]
    return said + _floors(floors, cleared, work)


def _begun_at(places: Sequence[tuple[float, float]], paths: Sequence[Table]) -> list[list[int]]:
    """For each place (mm) the indices of the toolpaths that begin there, ascending."""
    import shapely

    found: list[list[int]] = [[] for _ in places]
    if places and paths:
        starts = shapely.STRtree(shapely.points([path["curve"]["points"][0][:2] for path in paths]))
        pairs = starts.query(shapely.points(places), predicate="dwithin", distance=EXACT)
        for place, path in sorted(pairs.T.tolist()):
            found[place].append(path)
    return found


def _floors(floors: Sequence[Floor], paths: Sequence[Table], work: Work) -> list[str]:
    """Judge each floor with the cuts that begin in it."""
    said: list[str] = []
    left = list(paths)
    for floor in floors:
        past = 2.0 * work.asked.diameter if floor.before is not None else work.slack
        mine, left = beginning_in(plane.grown(floor.region, past), left)
        said += judge_floor(floor, mine, work)
        if not mine:
            said.append("leaves one of its floors uncut")
    return said + ["cuts where nothing is asked for"] * bool(left)


_LINES: Final[Mapping[str, Callable[[Work, Sequence[Table], float], list[str]]]] = {
    "contour": _contour, "pocket": _pocket, "slot": _slot, "drill": _drill, "engrave": _engrave, "burn": _burn,
    "chamfer": _chamfer,
}  # fmt: skip


def _heights(path: Table) -> tuple[float, float] | None:
    """The lowest and the highest z of a curve in space, None of one in the plane."""
    points = path["curve"]["points"]
    return (min(p[2] for p in points), max(p[2] for p in points)) if len(points[0]) > 2 else None


def _fingerprint(path: Table) -> tuple[Any, ...]:
    """A key that is equal for cuts that run alike to a millionth of a millimetre."""
    curve, entry = path["curve"], path.get("entry", {})
    points = np.round(np.asarray(curve["points"]), 6) + 0.0
    sweeps = tuple(round(sweep, 9) for sweep in curve.get("sweeps", ()))
    return (points.tobytes(), sweeps, curve.get("closed"), path.get("role"), path.get("backward"), entry.get("within"),
            path.get("stepdown"), path.get("tool"))  # fmt: skip
