"""Every shape of a part is cut: recesses to their floor, holes and outlines through; webs between cuts are measured."""

from __future__ import annotations

import hashlib
import math
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from pathkit.findings import Finding
from pathkit.model.job import Feature, Part
from pathkit.model.tool import Tool
from pathkit.proof.checks.gouges import MOST, region_of, solid_of, tolerance
from pathkit.proof.ends import in_which
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.material.bits import full_width
from pathkit.proof.material.copies import COUNTS, Known, Moves, passing
from pathkit.proof.material.cross_sections import Cuts, Level, grown, line_of, united
from pathkit.proof.material.stubs import Stub, stubs_of
from pathkit.proof.material.webs import least_web
from pathkit.proof.result import Figure, Verdict
from pathkit.tolerances import (
    CRUMB,
    CUT_RIM,
    HALF_COUNT,
    INSIDE_CORNER,
    SAME_HEIGHT,
    SAME_PLACE,
    WALL,
    WALL_CHORDS,
)


@dataclass(frozen=True)
class Demand:
    """The ``region`` (shapely) must be cut down to z = ``floor`` (mm); with ``rim``, for an outline, what lies right
    round it.

    Only what lies in ``clip`` counts: a recess that runs out of its part is cut as far as the part goes (None: it
    lies within). With ``core`` only what lies along the region's own edge counts: wood inside may be left standing.
    """

    name: str
    path: str
    region: Any
    clip: Any
    floor: float
    through: bool
    rim: bool = False
    core: bool = False


@check(
    "finished shape",
    "board",
    "job",
    "parts",
    scope="whole",
    kept=True,
    limits=(
        f"Exact to {WALL} mm plus the grid of the file, for every board that the job accepts. Left out: inside "
        f"corners that the bits at work there do not reach, crumbs under {CRUMB} mm² for each mm of the bit's radius, "
        f"tabs (the width drawn, the bit's diameter and {2 * CUT_RIM} mm more, below their top), and what lies below "
        "the full width of a ball or point. Ramps are not left out: the run at each level cleans them. Webs within one "
        "cut are not measured."
    ),
)
def finished_shape(evidence: Evidence) -> Verdict:
    """Every shape of a part is cut: recesses to their floor, holes and outlines right through."""
    job = evidence.job
    assert job is not None
    cuts = evidence.cuts
    underside = evidence.ends.highest_underside
    stubs = [stub for path in job.toolpaths for tab in path.tabs for stub in stubs_of(path, tab, underside)]
    judge = _Judge(evidence, cuts, stubs)
    demands = _demands(evidence)
    found = _misplaced(evidence)
    for demand in demands:
        if sliver := judge.sliver(demand):
            found.append(Finding(check="finished shape", what=f"{demand.name} {sliver}", severity="note",
                                 fix="a smaller bit reaches further", path=demand.path))  # fmt: skip
        if len(found) < MOST and (what := judge.lacking(demand)):
            fix = "check that it is cut, with which bit, how deep and on which side"
            found.append(Finding(check="finished shape", what=f"{demand.name} {what}", fix=fix, path=demand.path))
    figures: dict[str, Figure] = {"parts": len(job.parts), "shapes": len(demands)}
    web = least_web(cuts.at(underside + evidence.count))
    if math.isfinite(web):
        figures["least_web_mm"] = round(web, 3)
    return Verdict(found, figures=figures, proved=cuts.known)


def _demands(evidence: Evidence) -> list[Demand]:
    import shapely

    job, board = evidence.job, evidence.board
    assert job is not None
    # A cut that is through in the thickest board is through in every other.
    underside = evidence.ends.lowest_underside
    plate = shapely.box(0.0, 0.0, board.width, board.depth)
    solids = np.array([solid_of(part) for part in job.parts], dtype=object)
    tree = shapely.STRtree(solids)
    found: list[Demand] = []
    for number, part in enumerate(job.parts):
        place = f"$.parts[{number}]"
        outline = None if part.outline is None else region_of(part.outline)
        whole = plate if outline is None else shapely.intersection(outline, plate)
        shapely.prepare(whole)
        for what, group, features in (("recess", "recesses", part.recesses), ("hole", "holes", part.holes)):
            for index, feature in enumerate(features):
                name = f"{what} {index + 1} of the part {part.name!r}"
                region = region_of(feature.curve, feature.islands)
                core = feature.core != "clear" and not feature.islands
                floor = _floor(feature, underside)
                clip = None if shapely.contains_properly(whole, region) else whole
                demand = Demand(name, f"{place}.{group}[{index}]", region, clip, *floor, core=core)
                found.append(demand)
        if outline is None:
            continue
        near = [grown(solids[k], CUT_RIM) for k in tree.query(outline, "dwithin", 1.0) if k != number]
        around = shapely.intersection(plate, grown(outline, 1.0))
        clip = shapely.difference(around, united(near)) if near else around
        name = f"the outline of the part {part.name!r}"
        floor = (board.underside + part.skin, False) if part.skin else (underside, True)
        found.append(Demand(name, f"{place}.outline", outline, clip, *floor, rim=True))
    return found


def _floor(feature: Feature, underside: float) -> tuple[float, bool]:
    return (underside, True) if feature.bottom is None else (feature.bottom, False)


def _misplaced(evidence: Evidence) -> list[Finding]:
    """Parts on each other or off the board, shapes outside their part, and floors that some accepted board lacks."""
    import shapely

    job, board, ends = evidence.job, evidence.board, evidence.ends
    assert job is not None
    plate = shapely.box(0.0, 0.0, board.width, board.depth)
    found: list[Finding] = list(_on_each_other(job.parts))
    for number, part in enumerate(job.parts):
        place, outline = f"$.parts[{number}]", None if part.outline is None else region_of(part.outline)
        if outline is not None and (over := float(shapely.area(shapely.difference(outline, plate)))) > WALL:
            what = f"{over:.1f} mm² of the part {part.name!r} lie off the board"
            found.append(_wrong(what, "move it onto the board", f"{place}.outline"))
        for kind, group, features in (("recess", "recesses", part.recesses), ("hole", "holes", part.holes)):
            for index, feature in enumerate(features):
                where, region = f"{place}.{group}[{index}]", region_of(feature.curve, feature.islands)
                shape = f"{kind} {index + 1} of the part {part.name!r}"
                if shapely.area(shapely.intersection(region, plate if outline is None else outline)) <= WALL * WALL:
                    what = f"{shape} lies outside it"
                    found.append(_wrong(what, "move it into the part", where))
                if feature.bottom is not None and feature.bottom < ends.highest_underside + WALL:
                    what = (
                        f"{shape} has its floor at z = {feature.bottom:g} mm, and the underside lies at"
                        f" {ends.highest_underside:g} mm"
                    )
                    what += in_which(board, "highest")
                    found.append(_wrong(what, "leave a floor, or go right through", where))
    return found


def _on_each_other(parts: Sequence[Part]) -> Iterator[Finding]:
    import shapely

    solids = np.array([solid_of(part) for part in parts], dtype=object)
    pairs = shapely.STRtree(solids).query(solids, predicate="intersects") if len(solids) > 1 else ((), ())
    for one, other in zip(*pairs, strict=True):
        if one < other and shapely.area(shapely.intersection(solids[one], solids[other])) > WALL:
            what = f"the parts {parts[one].name!r} and {parts[other].name!r} lie on each other"
            yield _wrong(what, "move one of them", f"$.parts[{other}]")


def _wrong(what: str, fix: str, path: str) -> Finding:
    return Finding(check="finished shape", what=what, fix=fix, path=path)


class _Judge:
    """Compares what a file sweeps with what the parts demand."""

    def __init__(self, evidence: Evidence, cuts: Cuts, stubs: list[Stub]) -> None:
        import shapely

        self.cuts, self.stubs, self.stock = cuts, stubs, evidence.board
        self.slack, self.count = tolerance(evidence), evidence.count
        edges = [chamfer.curve for part in evidence.job.parts for chamfer in part.chamfers] if evidence.job else []
        self.bevels = united([grown(line_of(edge, WALL_CHORDS), self.slack) for edge in edges])
        self.tree = shapely.STRtree([stub.plan for stub in stubs])
        self._worked_out: dict[tuple[bytes, float], tuple[Any, Any]] = {}
        self.apart = COUNTS * self.count
        self._cut: defaultdict[bytes, Known] = defaultdict(Known)

    def lacking(self, demand: Demand) -> str:
        """What of a demand is not cut, in words; empty if all of it is.

        Where nothing is lacking, copies that demand the same are not judged again: those cut by the same moves, and
        those cut by moves so near that bits smaller by as much would have cut all of it.
        """
        depth = demand.floor + (HALF_COUNT * self.count + SAME_HEIGHT if demand.through else self.slack)
        shape, moves = self._shape(demand, depth), self._moves(demand, depth)
        known = self._cut[shape]
        if known.vouch_for(moves):
            return ""
        # Shapes and moves that count as equal may differ by `SAME_PLACE` each.
        if not self._lacking(demand, depth, self.apart + 2.0 * SAME_PLACE):
            known.add(moves, self.apart)
            return ""
        what = self._lacking(demand, depth)
        if not what:
            known.add(moves, 0.0)
        return what

    def _moves(self, demand: Demand, depth: float) -> tuple[Moves, ...]:
        """The moves that decide whether a demand is cut from ``depth`` (mm) up, at each height that is looked at."""
        import shapely

        wide = max((tool.radius for tool in self.cuts.tools), default=0.0) + 3.0 * self.slack + 2.0 * CUT_RIM
        left, front, right, back = shapely.bounds(demand.region)
        box = (left - wide, front - wide, right + wide, back + wide)
        heights = {depth, *(depth + full_width(tool) for tool in self.cuts.tools)}
        heights.update(stub.top + self.slack for stub in self._stubs_at(demand) if stub.top > depth)
        return tuple(passing(self.cuts.at(z), box, self.apart) for z in sorted(heights))

    def _shape(self, demand: Demand, depth: float) -> bytes:
        """All else that decides it, but for where it lies: a digest."""
        import shapely

        stubs = self._stubs_at(demand)
        said = hashlib.sha256(repr((depth, demand.through, demand.rim, demand.core, [s.top for s in stubs])).encode())
        if len(self.cuts.tools) > 1 or not shapely.is_empty(self.bevels):
            # Which bits are at work there decides what is asked of them.
            said.update(repr(self._tools(demand, depth)).encode())
        origin = np.array(shapely.bounds(demand.region)[:2])
        for shape in (demand.region, demand.clip, *(stub.plan for stub in stubs)):
            points = shapely.get_coordinates(shape) - origin
            said.update(b"%d " % len(points) + np.round(points / SAME_PLACE).astype(np.int64).tobytes())
        return said.digest()

    def _stubs_at(self, demand: Demand) -> list[Stub]:
        """The stubs of tabs that may lie where a demand is judged."""
        import shapely

        beyond = 2.0 * (self.slack + CUT_RIM)
        left, front, right, back = shapely.bounds(demand.region)
        near = self.tree.query(shapely.box(left - beyond, front - beyond, right + beyond, back + beyond))
        return [self.stubs[k] for k in np.sort(near)]

    def _lacking(self, demand: Demand, depth: float, less: float = 0.0) -> str:
        """What is not cut from ``depth`` (mm) up; with ``less``, by bits smaller by as much, whatever may excuse it."""
        import shapely

        tools = self._tools(demand, depth)
        least = min((t.radius for t in tools or self.cuts.tools), default=0.0)
        wanted = self._wanted(demand, least)
        if shapely.is_empty(wanted) and (demand.rim or shapely.is_empty(demand.region)):
            # An outline on the board's own edge needs no cut.
            return ""
        if not tools or shapely.is_empty(wanted):
            return self._uncut(demand)
        # Where only balls and points cut, walls are judged from the height at which these have their full width.
        depth += min(full_width(t) for t in tools)
        stubs = [self.stubs[k] for k in self.tree.query(wanted, predicate="intersects")]
        standing = united([stub.plan for stub in stubs if stub.top > depth])
        heights = [(depth, shapely.difference(wanted, standing))]
        # Over a tab the cut goes down to its top.
        for top in sorted({stub.top for stub in stubs if stub.top > depth}):
            over = united([stub.plan for stub in stubs if depth < stub.top <= top])
            heights.append((top + self.slack, shapely.intersection(wanted, over)))
        for z, region in heights:
            if what := self._missing(demand, region, z, least, less):
                return what
        return ""

    def _uncut(self, demand: Demand) -> str:
        if demand.through:
            return f"is not cut right through{in_which(self.stock, 'lowest')}"
        return f"is not cut down to z = {demand.floor:.3f} mm"

    def sliver(self, demand: Demand) -> str:
        """The corners too sharp for every bit at work there, and deeper than its radius, in words; empty for none."""
        import shapely

        def deep(bit: float) -> Any:
            return shapely.get_parts(self._once_for_all_alike(demand, bit, _out_of_reach))

        if demand.rim or not any(len(deep(tool.radius)) for tool in self.cuts.tools):
            return ""
        radius = min((tool.radius for tool in self._tools(demand, demand.floor + self.slack)), default=math.inf)
        if math.isinf(radius) or not len(pieces := deep(radius)):
            return ""
        places = ", ".join(
            f"{piece.area:.2f} mm² at ({point.x:.1f}, {point.y:.1f})"
            for piece in pieces[:MOST]
            for point in [shapely.point_on_surface(piece)]
        )
        return f"keeps slivers in corners too sharp for a bit of {2.0 * radius:g} mm: {places}"

    def _once_for_all_alike(self, demand: Demand, bit: float, work_out: Callable[[Demand, float], Any]) -> Any:
        """What is worked out from a demand and a bit alone: once for all demands that differ only in where they lie."""
        import shapely

        corners = [shapely.get_coordinates(region) for region in (demand.region, demand.clip)]
        origin = corners[0][0] if len(corners[0]) else np.zeros(2)
        shape = [np.round((points - origin) / SAME_PLACE).astype(np.int64).tobytes() for points in corners]
        kind = f"{work_out.__name__} {demand.rim} {demand.core} {len(corners[0])} "
        key = kind.encode() + b"".join(shape), bit
        if key not in self._worked_out:
            self._worked_out[key] = work_out(demand, bit), origin
        known, of = self._worked_out[key]
        return known if (of == origin).all() else shapely.transform(known, lambda points: points + (origin - of))

    def _tools(self, demand: Demand, depth: float) -> list[Tool]:
        """The bits at work at this depth: those whose edge touches a rim, or whose axis enters any other region."""
        import shapely

        level = self.cuts.at(depth)
        lines = level.near(grown(shapely.boundary(demand.region), self.slack) if demand.rim else demand.region)
        if not demand.rim:
            lines = lines[shapely.intersects(level.lines[lines], demand.region)]
        # A vee on its way along an edge that it bevels is not there for the sake of what it runs across.
        vees = np.array([tool.kind == "vee" for tool in self.cuts.tools] or [False])[level.tool[lines]]
        lines = lines[~(vees & shapely.covered_by(level.lines[lines], self.bevels))]
        return [self.cuts.tools[k] for k in sorted({int(k) for k in level.tool[lines]})]

    def _wanted(self, demand: Demand, bit: float) -> Any:
        """What of a demand a round ``bit`` (radius, mm) can reach, less the tolerance of a wall."""
        return self._once_for_all_alike(demand, bit, self._within_reach)

    def _within_reach(self, demand: Demand, bit: float) -> Any:
        import shapely

        reach = max(bit - INSIDE_CORNER, bit / 2.0)
        if demand.rim:
            filled = grown(grown(demand.region, reach), -reach)
            wanted = shapely.difference(grown(demand.region, self.slack + CUT_RIM), grown(filled, self.slack))
        else:
            wanted = grown(grown(grown(demand.region, -reach), reach), -self.slack)
            if demand.core:
                wanted = shapely.difference(wanted, grown(wanted, -CUT_RIM))
        return wanted if demand.clip is None else shapely.intersection(wanted, demand.clip)

    def _missing(self, demand: Demand, region: Any, z: float, least: float, less: float) -> str:
        import shapely

        level = self.cuts.at(z)
        missing = shapely.difference(region, level.swept(level.near(region), less))
        pieces = [
            piece
            for piece in shapely.get_parts(missing)
            if shapely.area(piece) > CRUMB * least and (less or self._could_be_cut(demand, level, piece, least))
        ]
        if not pieces:
            return ""
        x, y = shapely.get_coordinates(shapely.point_on_surface(max(pieces, key=shapely.area)))[0]
        area = sum(map(shapely.area, pieces))
        return f"is not all cut: {area:.2f} mm² are left at z = {z:.3f} mm, the largest piece about ({x:.2f}, {y:.2f})"

    def _could_be_cut(self, demand: Demand, level: Level, piece: Any, least: float) -> bool:
        """Whether the bits that cut right beside a piece could have cut it. Round an outline, a finer bit may be at
        work for another shape; in a recess or hole, every bit is at work for that shape."""
        import shapely

        if not demand.rim:
            return True
        lines = level.near(grown(piece, 2.0 * self.slack))
        here = min((self.cuts.tools[int(k)].radius for k in level.tool[lines]), default=least)
        if here <= least:
            return True
        return bool(shapely.area(shapely.intersection(piece, self._wanted(demand, here))) > CRUMB * here)


def _out_of_reach(demand: Demand, radius: float) -> Any:
    """The corners of a demand that a bit of this radius (mm) leaves, and that are deeper than it."""
    import shapely

    reached = grown(grown(demand.region, -radius), radius)
    if shapely.is_empty(reached):
        return shapely.geometrycollections([])
    left = shapely.difference(demand.region, reached)
    left = shapely.get_parts(left if demand.clip is None else shapely.intersection(left, demand.clip))
    rims = shapely.intersection(shapely.boundary(left), shapely.boundary(reached))
    return shapely.geometrycollections(left[shapely.hausdorff_distance(left, rims) > radius])
