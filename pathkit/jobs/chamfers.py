"""Chamfers of a job file: the lines they run on, and what of the part their bit must not cut beside them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import shapely

from pathkit.curves.regions import Region, line_of, refusal, widest_bit
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.jobs import schema
from pathkit.jobs.bits import Bits
from pathkit.jobs.cut import Cut
from pathkit.jobs.depths import edge_of, floored
from pathkit.jobs.edges import Walls
from pathkit.jobs.fit import Fit
from pathkit.jobs.naming import Gathered
from pathkit.jobs.shapes import Outline, Shaped, area_of, overlap
from pathkit.model.curve import Curve
from pathkit.model.job import Chamfer, Feature, Part
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Toolpath
from pathkit.operations.chamfer import Edge, bevels, chamfer, other_side
from pathkit.operations.contour import numbered
from pathkit.tolerances import BETWEEN_SHAPES, COMMON_EDGE, SAME_HEIGHT


@dataclass(frozen=True)
class Rim:
    """A line to bevel: the name of its toolpath, what stays of what it goes round, and which ring of the shape it is
    (``described``) if there are several."""

    title: str
    curve: Curve
    side: Edge
    described: str


@dataclass(frozen=True)
class Bevel:
    """A chamfer of a part, the name of its toolpath, and what the job file asks."""

    title: str
    value: Chamfer
    form: schema.Chamfer


def rims_of(outlines: Sequence[tuple[str, Outline]], side: Edge, described: dict[str, str]) -> Iterator[Rim]:
    """The rings of outlines (with their toolpaths' names): holes are on the other side than what they lie in."""
    other = other_side(side)
    for title, outline in outlines:
        names = numbered(f"{title} hole", len(outline.holes))
        for k, (name, hole) in enumerate(zip(names, outline.holes, strict=True), 1):
            yield Rim(name, hole, other, outline.described(k))
        yield Rim(title, outline.outer, side, described[title])


def as_cut(rim: Rim, part: schema.Part, shapes: dict[str, Shaped], bits: Bits, fit: Fit) -> Curve:
    """The line as it is once the walls are cut: moved by the job's fit, and with room for square pegs where an
    operation on the same line makes such on the same side, whoever cuts that."""
    outside = rim.side == "outside"
    drilled = [
        op for op in part.operations if isinstance(op, schema.Drill) and fit.is_kept(op, bits.tool(op.uses[0].tool))
    ]
    if any(curve == rim.curve for op in drilled for name in op.shapes for curve in shapes[name].curves):
        return rim.curve
    for form in part.operations:
        if not isinstance(form, schema.Contour | schema.Pocket) or not form.relief:
            continue
        side: Edge = "inside" if isinstance(form, schema.Pocket) or form.side == "inside" else "outside"
        outlines = [(name, each) for name in form.shapes for each in shapes[name].outlines]
        for there in rims_of(outlines, side, dict.fromkeys(form.shapes, "")):
            # The islands of a pocket get no room.
            islands = isinstance(form, schema.Pocket) and there.side == "outside"
            if there.side == rim.side and there.curve == rim.curve and not islands:
                walls = Walls(form, min(bits.tool(use.tool).radius for use in form.uses), fit)
                if isinstance(form, schema.Pocket) and form.open_edges is not None:
                    edges = [curve for name in form.open_edges for curve in shapes[name].lines(rim.title)]
                    return walls.opened(rim.curve, edges, rim.title)[0]
                return walls.wall(rim.curve, rim.title, outside=outside)
    return fit.wall(rim.curve, rim.title, stays=outside)


def cut_edges(
    rims: Sequence[Rim],
    job: Cut,
    form: schema.Chamfer,
    part: schema.Part,
    shapes: dict[str, Shaped],
    bits: Bits,
    fit: Fit,
) -> tuple[tuple[Toolpath, ...], list[Bevel]]:
    """Toolpaths along rims, and the bevels that they leave. Raises `InputError` with all that is wrong with them."""
    paths: list[Toolpath] = []
    made: list[Bevel] = []
    wrong = Gathered()
    low, edge, high = edge_of(form, job.stock)
    top = None if low < high or edge >= job.stock.top - SAME_HEIGHT else edge
    for rim in rims:
        with wrong.about(rim.described):
            curve = as_cut(rim, part, shapes, bits, fit)
            paths += chamfer(
                rim.title, curve, job.tool, job.cutting, width=form.width, edge=edge, side=rim.side,
                direction=form.direction, top=job.top, stepdown=job.stepdown, part=part.name,
            )  # fmt: skip
            left = bevels(rim.title, curve, job.tool, width=form.width, edge=edge, side=rim.side, top=top)
            made += [Bevel(rim.title, each, form) for each in left]
    wrong.raise_any()
    return tuple(paths), made


def spoilt(mine: Sequence[Bevel], part: Part, stock: Stock) -> Iterator[Finding]:
    """Where the bit, on its way along a line, cuts what is to stay of the part and is none of the chamfer: a floor or
    wall on the line's other side, the edge of another recess or hole, what lies above the edge.

    Each with the place, and the widest chamfer that does not.
    """
    if not mine:
        return
    features = [(each, _region(each)) for each in (*part.recesses, *part.holes)]
    for bevel in mine:
        cone = _Cone(bevel, edge_of(bevel.form, stock)[1], part, features, stock)
        try:
            cone.refuse_consumed()
            cone.refuse_air()
            cone.refuse_skin()
            cone.refuse_floors()
            cone.refuse_walls()
            cone.refuse_neighbours()
        except InputError as error:
            yield from error.findings


class _Cone:
    """What the bit's cone takes along one line, and what of the part stands there."""

    def __init__(
        self, bevel: Bevel, edge: float, part: Part, features: Sequence[tuple[Feature, Any]], stock: Stock
    ) -> None:  # fmt: skip
        """``features`` are the part's recesses and holes, each with its region (shapely)."""
        self.title, self.chamfer, self.width = bevel.title, bevel.value, bevel.form.width
        self.edge, self.part, self.stock = edge, part, stock
        self.line, self.inside = line_of(self.chamfer.curve), area_of(self.chamfer.curve)
        self.whole = None if part.outline is None else area_of(part.outline)
        self.features = features

    def refuse_consumed(self) -> None:
        """A shape of which nothing would be left at its top."""
        if self.chamfer.side == "outside" and self.inside.buffer(BETWEEN_SHAPES - self.width).is_empty:
            widest = widest_bit(Region((self.chamfer.curve,))) / 2.0
            what = f"a chamfer {self.width:g} mm across leaves nothing of the top of what its line goes round"
            raise refusal(self.title, what, f"width = less than {floored(widest)}")

    def refuse_air(self) -> None:
        """A line within a recess whose floor lies lower than the edge."""
        for feature, region in self.features:
            if (feature.bottom is None or feature.bottom < self.edge - SAME_HEIGHT) and region.contains_properly(
                self.line
            ):
                if feature.bottom is None:
                    what = f"there is no edge at z = {self.edge:g} mm: the line lies within an opening"
                    raise refusal(self.title, what, "name the shape of an edge")
                what = (
                    f"there is no edge at z = {self.edge:g} mm: the line lies within a recess, whose floor lies at"
                    f" z = {feature.bottom:g} mm"
                )
                raise refusal(self.title, what, f"top.from_top = {self.stock.top - feature.bottom:g}")

    def refuse_skin(self) -> None:
        """The skin that the cut round the part leaves."""
        top = self.stock.underside + self.part.skin
        if self.part.skin and self.chamfer.bottom < top - SAME_HEIGHT:
            what = f"its foot lies at z = {self.chamfer.bottom:.3f} mm, in the skin, whose top lies at {top:.3f} mm"
            raise self._refusal(what, self.width - self.chamfer.slope * (top - self.chamfer.bottom))

    def refuse_floors(self) -> None:
        for feature, region in self.features:
            floor = feature.bottom
            if floor is None or floor < self.chamfer.bottom + SAME_HEIGHT:
                continue
            lower = [other for each, other in self.features if each.bottom is None or each.bottom < floor]
            wood = region.difference(shapely.union_all(lower))
            if self._spoils(wood if self.whole is None else wood.intersection(self.whole), floor):
                what = (
                    f"its bit goes down to z = {self.chamfer.bottom:.3f} mm, and would cut the floor beside its line"
                    f" at z = {floor:g} mm"
                )
                raise self._refusal(what, self.chamfer.slope * (self.edge - floor))

    def refuse_walls(self) -> None:
        """Wood as high as the board: on the line's other side, and above an edge that lies below the top."""
        if self.whole is None:
            return
        high = self.stock.highest_top
        wood = self.whole.difference(shapely.union_all([region for _, region in self.features]))
        sunk = self.edge < self.stock.top - SAME_HEIGHT
        if (spoilt := self._spoils(wood, high, both=sunk)) is None:
            return
        place = spoilt.representative_point()
        off = self.line.distance(spoilt)
        what = f"its bit would cut what is to stay at ({place.x:.1f}, {place.y:.1f}), {off:.2f} mm from its line"
        what += ": above its edge the cone is wider still" if sunk else ", on the other side"
        raise self._refusal(what, off - self.chamfer.slope * (high - self.edge))

    def refuse_neighbours(self) -> None:
        """Another recess or hole, whose edge the chamfer would reach."""
        for _, region in self.features:
            gap = float(self.line.distance(region))
            if gap <= BETWEEN_SHAPES or gap >= self.width - BETWEEN_SHAPES:
                continue
            if not overlap(self._on_side(self._band(self.edge), stays=True), region):
                continue
            place = shapely.shortest_line(self.line, region).centroid
            what = (
                f"the wood beside its line is {gap:.2f} mm wide at ({place.x:.1f}, {place.y:.1f}), where a recess or"
                f" hole begins, and the chamfer {self.width:g} mm"
            )
            raise self._refusal(what, gap)

    def _band(self, z: float) -> Any:
        """What the cone takes at a height to both sides of the line, less what rounding makes of it."""
        wide = self.chamfer.slope * (z - self.chamfer.bottom)
        return self.line.buffer(max(wide - BETWEEN_SHAPES, 0.0))

    def _spoils(self, wood: Any, z: float, *, both: bool = False) -> Any:
        """What of some wood (shapely) the cone takes at a height on the line's other side, or on ``both``; None for
        nothing."""
        band = self._band(z) if both else self._on_side(self._band(z), stays=False)
        pieces = [each for each in shapely.get_parts(band.intersection(wood)) if each.area > COMMON_EDGE]
        return shapely.union_all(pieces) if pieces else None

    def _on_side(self, area: Any, *, stays: bool) -> Any:
        """The share of an area (shapely) on the side of the line where wood ``stays``, or on the other."""
        within = stays == (self.chamfer.side == "outside")
        return area.intersection(self.inside) if within else area.difference(self.inside)

    def _refusal(self, what: str, widest: float) -> InputError:
        fix = f"width = {floored(widest)} at most" if widest >= BETWEEN_SHAPES else "leave this edge as it is"
        return refusal(self.title, what, fix)


def _region(feature: Feature) -> Any:
    return area_of(feature.curve).difference(shapely.union_all([area_of(each) for each in feature.islands]))
