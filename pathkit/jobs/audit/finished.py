"""The job's finished parts, compared with the shapes and depths of the job file: the proof judges by these parts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from pathkit.jobs.audit import heights, plane
from pathkit.jobs.audit.chamfers import edges_of, unlike_edge
from pathkit.jobs.audit.cuts import Place
from pathkit.jobs.audit.figures import CannotRead, Outline
from pathkit.jobs.audit.holes import holes_of
from pathkit.jobs.audit.openings import openings_of
from pathkit.jobs.audit.pockets import groove, pocket_regions
from pathkit.jobs.audit.report import Report
from pathkit.jobs.audit.tables import Table, Tables, listed
from pathkit.jobs.audit.tolerances import EXACT, HAIR
from pathkit.jobs.audit.works import Work

PARTS: Final = "parts as asked"

NEAR: Final = 1.0
"""mm. Shapes whose boxes differ by more are not compared line by line."""


@dataclass(frozen=True)
class Feature:
    """A region (shapely) that is cut down to z = ``bottom`` (mm). ``through``: whether that goes right through; None if
    that depends on the board's thickness. ``cores``: what may happen to the wood left standing within."""

    region: Any
    bottom: float
    through: bool | None
    work: Work
    cores: frozenset[str]


def outline_of(tables: Tables, works: Sequence[Work], part: int) -> Outline | None:
    """The part's outer edge: the shape named for it, or that of its only outside contour; None if there is none.

    Raises `CannotRead` if its drawing is not read.
    """
    mine = [work for work in works if work.part == part]
    name = tables.parts[part]["outline"]
    if name is None:
        outside = [work for work in mine if work.goes_round]
        names = [listed(work.table["shape"]) for work in outside]
        if len(names) != 1 or len(names[0]) != 1:
            return None
        name = names[0][0]
    if name in mine[0].unread:
        raise CannotRead(mine[0].unread[name])
    outlines = mine[0].figures[name].outlines
    return outlines[0] if len(outlines) == 1 else None


def edge_of(tables: Tables, works: Sequence[Work], part: int) -> Any:
    """The inside (shapely) of the part's finished edge: without the room for square pegs that a contour round it cuts.
    None if the part has no edge. Raises `CannotRead`."""
    import shapely

    outline = outline_of(tables, works, part)
    if outline is None:
        return None
    whole = tables.fitted(plane.plate(outline.outer), stays=True)
    for work in works:
        mine = work.outlines() if work.part == part and work.goes_round and work.table["relief"] else []
        # The same line in the drawing, whatever its name is.
        if any(np.array_equal(each.outer, outline.outer) for each in mine):
            whole = shapely.intersection(whole, work.inside(outline, outside=True))
    return whole


def features_of(work: Work) -> list[Feature]:
    """The regions that an operation takes out of its part. Raises `CannotRead`."""
    import shapely

    regions: list[Any] = []
    if work.kind == "slot":
        regions = [region for region, _ in groove(work)[1]]
    elif work.kind == "drill":
        regions = [shapely.Polygon(plane.circle(hole.centre, hole.diameter / 2.0)) for hole in holes_of(work)]
    elif work.kind == "pocket":
        regions = pocket_regions(work)
    elif work.kind == "contour" and work.table["side"] == "inside":
        for outline in (each for each in work.outlines() if each.holes):
            holes = [work.inside(outline, k, outside=True) for k in range(1, 1 + len(outline.holes))]
            regions.append(work.inside(outline).difference(shapely.union_all(holes)))
    through = heights.goes_through(work.bottom, work.tables.stock)
    return [
        *(Feature(region, work.bottom, through, work, _cores(region, through)) for region in regions),
        *(Feature(opening.region, work.bottom, through, work, opening.promised) for opening in openings_of(work)),
    ]


def _cores(region: Any, through: bool | None) -> frozenset[str]:
    """What may happen to islands: cut right through, they are cores that are kept; in a recess, they are the part's."""
    stands = any(len(piece.interiors) for piece in _pieces(region))
    if not stands or through is False:
        return frozenset({"clear"})
    return frozenset({"keep"} if through else {"keep", "clear"})


def _pieces(region: Any) -> list[Any]:
    import shapely

    return [piece for piece in shapely.get_parts(region) if piece.geom_type == "Polygon"]


def skin_of(works: Sequence[Work], part: int) -> float:
    """mm of wood that the cuts round a part leave under them, 0 if they go right through."""
    outside = (work for work in works if work.part == part and work.goes_round)
    return max((float(work.table["skin"] or 0.0) for work in outside), default=0.0)


@dataclass(frozen=True)
class Promised:
    """A part as the job file asks for it: the inside of its ``edge`` (shapely, None if it has none), the ``skin`` (mm)
    left under the cut round it, the ``features`` cut into it, and the operations that bevel its edges."""

    edge: Any
    skin: float
    features: Sequence[Feature]
    chamfers: Sequence[Work] = ()


def judge_part(made: Table, promised: Promised, place: Place, report: Report) -> None:
    """One finished part: its edge, every recess and hole in its place and at its depth, and no others."""
    edge, asked = promised.edge, promised.features
    name = str(made["name"])
    slack = max((feature.work.slack for feature in asked), default=EXACT)
    if (made.get("outline") is None) != (edge is None):
        what = f"{name!r} has an edge that is not asked for"
        what = what if edge is None else f"{name!r} has no edge, and the job file gives it one"
        report.add(PARTS, what, ("part",))
    elif edge is not None:
        off = _unlike(_region({"curve": made["outline"]}, place), edge)
        if off > slack:
            report.add(PARTS, f"the edge of {name!r} lies {off:.3f} mm beside what is drawn", ("part",))
    skin = promised.skin if edge is not None else 0.0
    if abs(float(made.get("skin", 0.0)) - skin) > HAIR:
        what = (
            f"the finished part {name!r} has a skin of {made.get('skin', 0.0):g} mm under the cut round it, and the job"
            f" file asks for {skin:g} mm"
        )
        report.add(PARTS, what, ("part",))
    there = _There([*made.get("recesses", ()), *made.get("holes", ())], place)
    for feature in asked:
        # A hole leaves nothing standing within it: what was an island there falls out.
        region = _filled(feature.region) if feature.through else feature.region
        found = there.take((region, feature.region), slack)
        title = f"{feature.work.title!r} of {name!r}"
        if found is None:
            report.add(PARTS, f"{title} is not among the part's finished shapes", (*feature.work.key, "shape"))
            continue
        _judge_depth(feature, found.get("bottom"), title, report)
        if found.get("core", "clear") not in feature.cores:
            cores = " or ".join(map(repr, sorted(feature.cores)))
            what = f"the core of {title} is {found.get('core', 'clear')!r}, and the job file asks for {cores}"
            report.add(PARTS, what, (*feature.work.key, "core"))
    _judge_chamfers(made, promised, place, report)
    for region in there.left:
        what = f"{name!r} has a recess or hole at {plane.place_text(plane.spot(region))} that no operation asks for"
        report.add(PARTS, what, ("part",))


class _There:
    """The finished shapes of a part of the job that no operation has asked for yet, in their order."""

    def __init__(self, features: Sequence[Table], place: Place) -> None:
        import shapely

        self._features = features
        self._regions = [_region(feature, place) for feature in features]
        self._boxes = shapely.bounds(self._regions).reshape(-1, 4)
        self._open = np.ones(len(features), np.bool_)

    @property
    def left(self) -> list[Any]:
        return [self._regions[k] for k in np.flatnonzero(self._open).tolist()]

    def take(self, regions: Sequence[Any], slack: float) -> Table | None:
        """The first that fits one of the regions, which is then no longer there; None if there is none."""
        near = np.zeros(len(self._features), np.bool_)
        for region in regions:
            near |= np.abs(self._boxes - region.bounds).max(axis=1, initial=0.0) <= max(slack, NEAR)
        for k in np.flatnonzero(near & self._open).tolist():
            if _fits(self._regions[k], regions, slack):
                self._open[k] = False
                return self._features[k]
        return None


def _judge_chamfers(made: Table, promised: Promised, place: Place, report: Report) -> None:
    """Every edge that is to be bevelled, as asked, and no other."""
    name = str(made["name"])
    left = [(each, _region({"curve": each["curve"]}, place)) for each in made.get("chamfers", ())]
    for work in promised.chamfers:
        for edge in edges_of(work):
            alike = [pair for pair in left if _fits(pair[1], (edge.area,), work.slack)]
            # Of several along one line the one that is as asked.
            alike.sort(key=lambda pair: bool(unlike_edge(pair[0], work, edge)))
            title = f"{work.title!r} of {name!r}"
            if not alike:
                report.add(PARTS, f"{title} is not among the part's chamfered edges", (*work.key, "shape"))
                continue
            left = [pair for pair in left if pair[0] is not alike[0][0]]
            if what := unlike_edge(alike[0][0], work, edge):
                report.add(PARTS, f"{title} {what}", (*work.key, "width"))
    for _, region in left:
        what = f"{name!r} has a chamfered edge round {plane.place_text(plane.spot(region))} that no operation asks for"
        report.add(PARTS, what, ("part",))


def _judge_depth(feature: Feature, bottom: float | None, title: str, report: Report) -> None:
    wrong = bottom is not None if feature.through else bottom is None
    if feature.through is None:
        wrong = False
    if bottom is not None and abs(bottom - feature.bottom) > HAIR:
        wrong = True
    if wrong:
        told = "right through" if bottom is None else f"down to z = {bottom:g}"
        said = "right through" if feature.through else f"down to z = {feature.bottom:g}"
        what = f"{title} goes {told} in the finished part, and the job file asks for it {said}"
        report.add(PARTS, what, (*feature.work.key, "bottom"))


def _region(feature: Mapping[str, Any], place: Place) -> Any:
    """A finished shape of the job, in the part's own frame."""
    import shapely

    def plate(curve: Mapping[str, Any]) -> Any:
        return shapely.Polygon(place.back(plane.vertices_of(curve)))

    islands = [plate(island) for island in feature.get("islands", ())]
    return plate(feature["curve"]).difference(shapely.union_all(islands))


def _fits(made: Any, asked: Sequence[Any], slack: float) -> bool:
    return any(_unlike(made, each) <= slack for each in asked)


def _unlike(made: Any, asked: Any) -> float:
    """The largest distance (mm) between the edges of two areas."""
    off = max(abs(float(a) - float(b)) for a, b in zip(made.bounds, asked.bounds, strict=True))
    if off > NEAR:
        return off
    there = plane.apart(_edges(made), asked.boundary)[0]
    return max(there, plane.apart(_edges(asked), made.boundary)[0])


def _edges(area: Any) -> list[plane.Points]:
    import shapely

    parts = shapely.get_parts(area.boundary)
    return [shapely.get_coordinates(part) for part in parts]


def _filled(area: Any) -> Any:
    import shapely

    return shapely.union_all([shapely.Polygon(piece.exterior) for piece in shapely.get_parts(area)])
