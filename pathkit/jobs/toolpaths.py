"""Operations of a job file as toolpaths: one piece (all parts of the file, once), ready to be laid out in copies."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from pathkit.curves.regions import line_of, refusal
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.jobs import schema
from pathkit.jobs.bits import Bits
from pathkit.jobs.reading import JobFile
from pathkit.jobs.shapes import FLAT, Outline, Shaped, Shapes, area_of, box_round, overlap
from pathkit.jobs.texts import text_lines
from pathkit.model.curve import Curve
from pathkit.model.job import Feature, Part
from pathkit.model.stock import Stock, Zone
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Toolpath
from pathkit.operations import contour, drill, engrave, pocket, relieve, slot
from pathkit.operations.contour import Side, numbered
from pathkit.operations.offset import swept_rings


@dataclass(frozen=True)
class Piece:
    """All parts of a job once, as drawn. ``zones`` are those that go with it, ``marked`` what is engraved, by part."""

    toolpaths: tuple[Toolpath, ...]
    parts: tuple[Part, ...]
    zones: tuple[Zone, ...]
    precedence: tuple[tuple[str, str], ...]
    notes: tuple[Finding, ...]
    marked: dict[str, tuple[Curve, ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class Drawn:
    """The shapes of a job, made once for all boards: by part and name, the ``frame`` that copies of them all are laid
    by, and the ``frames`` of each part: its outline, or the box of its shapes where it has none."""

    shapes: dict[tuple[int, str], Shaped]
    frame: Curve
    notes: tuple[Finding, ...]
    frames: tuple[Curve, ...]


def drawn(file: JobFile) -> Drawn:
    """Every shape of the file. Raises `InputError` with all that is wrong with them."""
    maker = Shapes(file)
    made: dict[tuple[int, str], Shaped] = {}
    for index, part in enumerate(file.form.part):
        for name, form in part.shapes.items():
            shape = maker.shape(name, form, ("part", index, "shapes", name))
            if shape is not None:
                made[index, name] = shape
    if maker.found:
        raise InputError(dict.fromkeys(maker.found))
    outlines = [_outline(file, made, index) for index in range(len(file.form.part))]
    every = [curve for curve in outlines if curve is not None]
    if len(every) == 1 and len(file.form.part) == 1:
        frame = every[0]
    else:
        frame = box_round(every or [curve for shape in made.values() for curve in shape.curves])
    frames = tuple(
        outline or box_round([curve for (k, _), shape in made.items() if k == index for curve in shape.curves])
        for index, outline in enumerate(outlines)
    )
    return Drawn(made, frame, tuple(maker.notes), frames)


def frame_tool(file: JobFile, bits: Bits) -> Tool:
    """The bit that cuts the outlines: the widest of the outside contours, or of all."""
    operations = [op for part in file.form.part for op in part.operations]
    outside = [op for op in operations if isinstance(op, schema.Contour) and op.side == "outside"]
    tools = [bits.tool(op.tool) for op in (outside or operations)]
    return max(tools, key=lambda tool: tool.diameter)


def piece_of(
    file: JobFile, made: Drawn, stock: Stock, bits: Bits, *, grain: float, only: int | None = None, copy: int = 0
) -> Piece:
    """Toolpaths and finished shapes of every part (or of one) on this stock, with these bits; rasters run along
    ``grain`` degrees. ``copy`` (from 0) is the one whose texts are engraved.

    Raises `InputError` with every operation that cannot be cut, each at its line.
    """
    found: list[Finding] = []
    toolpaths: list[Toolpath] = []
    parts: list[Part] = []
    zones: list[Zone] = []
    pairs: list[tuple[str, str]] = []
    notes: list[Finding] = []
    marked: dict[str, tuple[Curve, ...]] = {}
    for index, part in enumerate(file.form.part):
        if only is not None and index != only:
            continue
        work = _Work(file, part, index, made, stock, bits, grain, copy)
        by_title = {}
        for k, operation in enumerate(part.operations):
            try:
                by_title[operation.title] = work.toolpaths(operation)
            except InputError as error:
                path = ("part", index, "operations", k)
                found += [file.finding(path, f.what, f.fix, toolpath=f.toolpath) for f in error.findings]
                continue
            notes += [file.finding(("part", index, "operations", k), *note, severity="note") for note in work.notes]
            work.notes.clear()
        toolpaths += [path for paths in by_title.values() for path in paths]
        if work.outline is not None or work.recesses or work.holes:
            parts.append(Part(part.name, work.outline, tuple(work.recesses), tuple(work.holes)))
        zones += work.zones()
        marked[part.name] = tuple(work.marked)
        for first, second in part.precedence:
            firsts, seconds = by_title.get(first, ()), by_title.get(second, ())
            pairs += [(a.name, b.name) for a in firsts for b in seconds]
    if found:
        raise InputError(found)
    return Piece(tuple(toolpaths), tuple(parts), tuple(zones), tuple(pairs), tuple(notes), marked)


SAME: Final = 1e-6
"""mm: heights nearer than this are one."""

BEYOND: Final = 0.5
"""mm² beyond the outline that are no more than chords and rounding."""


@dataclass
class _Work:
    """One part being worked out: its toolpaths operation by operation, and what it will be when they are done."""

    file: JobFile
    part: schema.Part
    index: int
    made: Drawn
    stock: Stock
    bits: Bits
    grain: float
    copy: int = 0
    recesses: list[Feature] = field(default_factory=list)
    holes: list[Feature] = field(default_factory=list)
    marked: list[Curve] = field(default_factory=list)
    notes: list[tuple[str, str]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.outline = _outline(self.file, self.made.shapes, self.index)

    def shape(self, name: str) -> Shaped:
        return self.made.shapes[self.index, name]

    def zones(self) -> Iterator[Zone]:
        from shapely.geometry import Polygon

        for zone in self.part.zones:
            for outline in self.shape(zone.shape).outlines:
                yield Zone(Polygon(outline.outer.flattened(FLAT)), zone.kind, zone.height)

    def toolpaths(self, operation: schema.Operation) -> tuple[Toolpath, ...]:
        name = f"{self.part.name} {operation.title}"
        job = _Cut(name, self.part.name, operation, self.stock, self.bits)
        match operation:
            case schema.Contour():
                return self._contour(job, operation)
            case schema.Pocket():
                return self._pocket(job, operation)
            case schema.Slot():
                return self._slot(job, operation)
            case schema.Drill():
                return self._drill(job, operation)
            case schema.Engrave():
                return self._engrave(job, operation)

    def _contour(self, job: _Cut, form: schema.Contour) -> tuple[Toolpath, ...]:
        paths: list[Toolpath] = []
        if form.side == "on":
            curves = [curve for name in form.shapes for curve in self.lines(name, job.name)]
            for title, curve in zip(_titles(job.name, len(curves)), curves, strict=True):
                paths += job.contour(title, curve, form, side="on")
            return tuple(paths)
        outlines = [outline for name in form.shapes for outline in self.closed(name, job.name)]
        other: Side = "inside" if form.side == "outside" else "outside"
        for title, outline in zip(_titles(job.name, len(outlines)), outlines, strict=True):
            for hole_title, hole in zip(_titles(f"{title} hole", len(outline.holes)), outline.holes, strict=True):
                opening = relieved(hole, form, job, hole_title) if other == "inside" else hole
                paths += job.contour(hole_title, opening, form, side=other)
                if other == "inside":
                    self._feature(job, opening, ())
            outer = relieved(outline.outer, form, job, title) if form.side == "inside" else outline.outer
            paths += job.contour(title, outer, form, side=form.side)
            if form.side == "inside":
                self._feature(job, outer, outline.holes)
        return tuple(paths)

    def _pocket(self, job: _Cut, form: schema.Pocket) -> tuple[Toolpath, ...]:
        outlines = [outline for name in form.shapes for outline in self.closed(name, job.name)]
        lands = [each.outer for name in form.islands or () for each in self.closed(name, job.name)]
        edges = [curve for name in form.open_edges or () for curve in self.lines(name, job.name)]
        paths: list[Toolpath] = []
        for title, outline in zip(_titles(job.name, len(outlines)), outlines, strict=True):
            islands = (*outline.holes, *(land for land in lands if overlap(land, outline.outer)))
            outer = relieved(outline.outer, form, job, title)
            paths += pocket(
                title, outer, job.tool, job.cutting, bottom=job.bottom, top=job.top, stepdown=job.stepdown,
                stepover=form.stepover, angle=self.grain if form.angle is None else form.angle, islands=islands,
                wall_allowance=form.wall_allowance, direction=form.direction, part=self.part.name, style=form.style,
                open_edges=edges, lead=form.lead, overlap=form.overlap,
            )  # fmt: skip
            self._feature(job, outer, islands, open_edged=bool(edges))
        return tuple(paths)

    def _slot(self, job: _Cut, form: schema.Slot) -> tuple[Toolpath, ...]:
        # Another bit than the job's own must leave the same slot.
        width = form.width or job.meant.diameter
        lines = [line for name in form.shapes for line in self.lines(name, job.name)]
        paths: list[Toolpath] = []
        for title, line in zip(_titles(job.name, len(lines)), lines, strict=True):
            paths += slot(
                title, line, job.tool, job.cutting, bottom=job.bottom, top=job.top, stepdown=job.stepdown, width=width,
                part=self.part.name,
            )  # fmt: skip
            outer, *holes = sorted(swept_rings(line, width / 2.0), key=lambda ring: -abs(ring.area))
            self._feature(job, outer, tuple(holes))
        return tuple(paths)

    def _drill(self, job: _Cut, form: schema.Drill) -> tuple[Toolpath, ...]:
        curves = [curve for name in form.shapes for curve in self.shape(name).curves]
        holes = [_hole(curve, form.diameter, job.meant.diameter, job.name) for curve in curves]
        paths: list[Toolpath] = []
        places = [(round(x, 3), round(y, 3)) for (x, y), _ in holes]
        for place in (place for place in places if places.count(place) > 1):
            raise refusal(job.name, f"two holes are at {place}", "drop one of them")
        for title, (centre, diameter) in zip(_titles(job.name, len(holes)), holes, strict=True):
            circle = Curve.circle(centre, diameter / 2.0)
            if math.isclose(diameter, job.tool.diameter, abs_tol=0.01):
                paths += drill(
                    title, [centre], job.tool, job.cutting, bottom=job.bottom, top=job.top, peck=form.peck,
                    part=self.part.name,
                )  # fmt: skip
            elif diameter < job.tool.diameter:
                what = f"a hole of {diameter:g} mm and a bit {job.tool.name!r} of {job.tool.diameter:g} mm"
                raise refusal(title, what, f"the widest bit that fits has {diameter:g} mm")
            else:
                # Wider than the bit: it is cleared like a pocket, so that no core is left to fly off.
                paths += pocket(
                    title, circle, job.tool, job.cutting, bottom=job.bottom, top=job.top, stepdown=job.stepdown,
                    angle=self.grain, wall_allowance=min(0.2, (diameter - job.tool.diameter) / 4.0),
                    part=self.part.name,
                )  # fmt: skip
            self._feature(job, circle, ())
        return tuple(paths)

    def _engrave(self, job: _Cut, form: schema.Engrave) -> tuple[Toolpath, ...]:
        text = form.text_of(self.copy)
        if text is None:
            curves = [curve for name in form.shapes for curve in self.lines(name, job.name)]
        else:
            curves = list(text_lines(text, form, self.outline, job.name))
        self.marked += curves
        if self.outline is not None:
            whole = area_of(self.outline)
            if any(whole.disjoint(line_of(curve, FLAT)) for curve in curves):
                raise self._outside(job)
        return engrave(
            job.name, curves, job.tool, job.cutting, bottom=job.bottom, top=job.top, stepdown=job.stepdown,
            part=self.part.name,
        )  # fmt: skip

    def closed(self, name: str, toolpath: str) -> tuple[Outline, ...]:
        """The outlines of a shape; open lines in it are named with their gap."""
        shape = self.shape(name)
        for curve in shape.curves:
            if curve.is_point:
                raise refusal(toolpath, f"shape {name!r} is points, which have no inside", "drill them")
            if not curve.closed:
                a, b = curve.points[0], curve.points[-1]
                what = (
                    f"shape {name!r} is open by {math.dist(a, b):.3g} mm, from ({a[0]:.3f}, {a[1]:.3f})"
                    f" to ({b[0]:.3f}, {b[1]:.3f})"
                )
                raise refusal(toolpath, what, "close it, or raise join (mm) if the gap is only rounding")
        return shape.outlines

    def lines(self, name: str, toolpath: str) -> tuple[Curve, ...]:
        shape = self.shape(name)
        if any(curve.is_point for curve in shape.curves):
            raise refusal(toolpath, f"shape {name!r} is points, which are no line", "drill them")
        return shape.curves

    def _outside(self, job: _Cut) -> InputError:
        fix = "move it into the outline, or name the part's outline"
        return refusal(job.name, f"it lies outside the outline of the part {self.part.name!r}", fix)

    def _feature(self, job: _Cut, curve: Curve, islands: tuple[Curve, ...], *, open_edged: bool = False) -> None:
        bottom = job.bottom
        if self.outline is not None:
            if not overlap(curve, self.outline):
                raise self._outside(job)
            beyond = area_of(curve).difference(area_of(self.outline)).area
            if beyond > BEYOND and not open_edged:
                what = f"{job.name!r} reaches {beyond:.1f} mm² beyond the outline of the part {self.part.name!r}"
                self.notes.append((what, "right for a notch or an open end; else move it into the outline"))
        if bottom <= self.stock.lowest_underside + SAME:
            # What stands within a hole that goes through falls out: the hole is whole.
            self.holes.append(Feature(curve))
        else:
            self.recesses.append(Feature(curve, bottom, islands))


class _Cut:
    """What every operation needs, from its form: bit, feeds, depths. ``meant`` is the bit the job names."""

    def __init__(self, name: str, part: str, form: schema.Operation, stock: Stock, bits: Bits) -> None:
        self.name, self.part = name, part
        self.meant = bits.meant(form.tool)
        self.tool = bits.tool(form.tool)
        self.cutting: Cutting = bits.cutting(form.cutting, form.tool)
        self.bottom = height(form.bottom, stock)
        _sound_bottom(self.bottom, stock)
        self.top = None if form.top is None else height(form.top, stock)
        self.stepdown = bits.stepdown(form.stepdown, form.tool)

    def contour(self, name: str, curve: Curve, form: schema.Contour, *, side: Side) -> tuple[Toolpath, ...]:
        return contour(
            name, curve, self.tool, self.cutting, side=side, direction=form.direction, bottom=self.bottom,
            top=self.top, stepdown=self.stepdown, part=self.part, lead=form.lead, overlap=form.overlap,
        )  # fmt: skip


def relieved(opening: Curve, form: schema.Contour | schema.Pocket, job: _Cut, title: str) -> Curve:
    """The opening, its inside corners with room for a square peg where the job wants that."""
    return relieve(opening, job.tool.radius, name=title) if form.relief else opening


def height(depth: schema.Depth, stock: Stock) -> float:
    """z of a depth: so far below the nominal top, so far above the bed, or so far past every underside."""
    if depth.from_top is not None:
        return stock.top - depth.from_top
    if depth.above_bed is not None:
        return stock.bed + depth.above_bed
    assert depth.through is not None
    return stock.through() if depth.through is True else stock.through(depth.through)


def _sound_bottom(bottom: float, stock: Stock) -> None:
    """Raises `InputError` for a bottom that is a floor in one board and none in another, that reaches the bed, or that
    lies above the top of the thinnest board."""
    bed, thin, thick = stock.highest_bed, stock.highest_underside, stock.lowest_underside
    if bottom < bed - SAME or (stock.underlay > 0.0 and bottom < bed + SAME):
        what = f"it goes down to z = {bottom:g} mm, and the bed may lie at {bed:g} mm"
        raise InputError([Finding(check="depth", what=what, fix="cut less deep, or lay more under the board")])
    if thick + SAME < bottom < thin + SAME:
        what = f"it ends at z = {bottom:g} mm, and the underside lies between {thick:g} and {thin:g} mm"
        fix = "say bottom.through = true to cut every board right through, or leave a floor"
        raise InputError([Finding(check="depth", what=what, fix=fix)])
    if stock.lowest_top - SAME < bottom < stock.highest_top - SAME:
        what = f"it ends at z = {bottom:g} mm, and the top of the thinnest board lies at {stock.lowest_top:g} mm"
        fix = 'cut deeper, accept fewer boards (thickness_tolerance), or set z_zero = "top"'
        raise InputError([Finding(check="depth", what=what, fix=fix)])


def _outline(file: JobFile, shapes: dict[tuple[int, str], Shaped], index: int) -> Curve | None:
    """The part's outer edge: the shape named for it, or that of its only outside contour; None where there is none."""
    part = file.form.part[index]
    name = part.outline
    if name is None:
        outside = [op for op in part.operations if op.kind == "contour" and op.side == "outside"]
        if len(outside) != 1 or len(outside[0].shapes) != 1:
            return None
        name = outside[0].shapes[0]
    outlines = shapes[index, name].outlines
    if len(outlines) == 1:
        return outlines[0].outer
    if part.outline is not None:
        what = f"shape {name!r} is {len(outlines)} separate outlines, and a part has one"
        raise InputError([file.finding(("part", index, "outline"), what, "make a part of each")])
    return None


def _hole(curve: Curve, said: float | None, bit: float, name: str) -> tuple[tuple[float, float], float]:
    """Centre and diameter of a hole at a point, or in the middle of a circle whatever its spans."""
    if curve.is_point:
        return (float(curve.points[0][0]), float(curve.points[0][1])), said or bit
    box = curve.bounds
    width, depth = box[2] - box[0], box[3] - box[1]
    round_ = curve.closed and bool(curve.sweeps.all()) and abs(width - depth) < 0.01
    if not round_ or abs(abs(curve.area) - math.pi * width * width / 4.0) > 0.01 * width * width:
        raise refusal(name, "one of its shapes is neither a point nor a circle", "drill points or circles")
    return ((box[0] + box[2]) / 2.0, (box[1] + box[3]) / 2.0), said or round(width, 6)


def _titles(name: str, count: int) -> tuple[str, ...]:
    return numbered(name, count) if count else ()
