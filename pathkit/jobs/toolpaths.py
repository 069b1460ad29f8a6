"""Operations of a job file as toolpaths: one piece (all parts of the file, once), ready to be laid out in copies."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final, TypeVar

from pathkit.curves.regions import line_of, refusal
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.jobs import schema
from pathkit.jobs.bits import Bits
from pathkit.jobs.drawn import Drawn, outline_of
from pathkit.jobs.naming import Gathered, heads
from pathkit.jobs.origins import Origin, Origins
from pathkit.jobs.overlaps import refuse_too_near
from pathkit.jobs.reading import JobFile, dotted_path
from pathkit.jobs.shapes import FLAT, Outline, Shaped, area_of, overlap
from pathkit.model.curve import Curve
from pathkit.model.job import Feature, Part
from pathkit.model.stock import Stock, Zone
from pathkit.model.tool import Cutting
from pathkit.model.toolpath import Toolpath
from pathkit.operations import contour, drill, engrave, pocket, relieve, slot
from pathkit.operations.contour import Side, numbered
from pathkit.operations.offset import swept_rings
from pathkit.toml_source import Path as KeyPath

Thing = TypeVar("Thing")


@dataclass(frozen=True)
class Piece:
    """All parts of a job once, as drawn. ``zones`` are those that go with it, ``marked`` what is engraved, by part,
    ``origins`` where in the job file they come from."""

    toolpaths: tuple[Toolpath, ...]
    parts: tuple[Part, ...]
    zones: tuple[Zone, ...]
    precedence: tuple[tuple[str, str], ...]
    notes: tuple[Finding, ...]
    marked: dict[str, tuple[Curve, ...]] = field(default_factory=dict)
    origins: Origins = field(default_factory=Origins)


def piece_of(file: JobFile, made: Drawn, stock: Stock, bits: Bits, *, grain: float) -> Piece:
    """Toolpaths and finished shapes of every part on this stock, with these bits; rasters run along ``grain`` degrees.

    Raises `InputError` with every operation that cannot be cut, each at its line.
    """
    found: list[Finding] = []
    toolpaths: list[Toolpath] = []
    parts: list[Part] = []
    zones: list[Zone] = []
    pairs: list[tuple[str, str]] = []
    notes: list[Finding] = []
    marked: dict[str, tuple[Curve, ...]] = {}
    origins = Origins(file.source)
    for index, part in enumerate(file.form.part):
        work = _Work(file, part, index, made, stock, bits, grain)
        origins.parts[part.name] = _origin(file, ("part", index))
        by_title = {}
        for k, operation in enumerate(part.operations):
            path: KeyPath = ("part", index, "operations", k)
            before = len(work.recesses), len(work.holes)
            try:
                by_title[operation.title] = work.toolpaths(operation)
            except InputError as error:
                found += [file.finding(path, f.what, f.fix, toolpath=f.toolpath) for f in error.findings]
                continue
            for severity, said in (("note", work.notes), ("warning", work.warnings)):
                notes += [file.finding(path, *note, severity=severity) for note in said]
                said.clear()
            fresh = {"recesses": range(before[0], len(work.recesses)), "holes": range(before[1], len(work.holes))}
            names = [each.name for each in by_title[operation.title]]
            origins.add(_origin(file, path, operation.title), part.name, names, fresh, work.told)
        toolpaths += [path for paths in by_title.values() for path in paths]
        if work.outline is not None or work.recesses or work.holes:
            parts.append(Part(part.name, work.finished, tuple(work.recesses), tuple(work.holes)))
        zones += work.zones()
        marked[part.name] = tuple(work.marked)
        for first, second in part.precedence:
            firsts, seconds = by_title.get(first, ()), by_title.get(second, ())
            pairs += [(a.name, b.name) for a in firsts for b in seconds]
    if found:
        raise InputError(found)
    return Piece(tuple(toolpaths), tuple(parts), tuple(zones), tuple(pairs), tuple(notes), marked, origins)


def _origin(file: JobFile, path: KeyPath, title: str = "") -> Origin:
    return Origin(file.document.line_of(path), dotted_path(path), title)


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
    recesses: list[Feature] = field(default_factory=list)
    holes: list[Feature] = field(default_factory=list)
    marked: list[Curve] = field(default_factory=list)
    notes: list[tuple[str, str]] = field(default_factory=list)
    warnings: list[tuple[str, str]] = field(default_factory=list)
    told: dict[str, str] = field(default_factory=dict)  # which shape toolpaths are of, by how their names begin

    def __post_init__(self) -> None:
        self.outline = outline_of(self.file, self.made.shapes, self.index)
        self.finished = self.outline

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
        wrong = Gathered()
        if form.side == "on":
            for title, curve in self.titled_lines(form):
                paths += job.contour(title, curve, form, side="on")
            return tuple(paths)
        outlines = self.titled_outlines(form)
        if form.side == "outside":
            refuse_too_near(outlines, job.tool.diameter, job.tool.name)
        other: Side = "inside" if form.side == "outside" else "outside"
        changed = False
        for title, outline in outlines:
            holes: list[Curve] = []
            for k, hole_title in enumerate(_titles(f"{title} hole", len(outline.holes))):
                self.told[hole_title] = outline.told(k + 1)
                with wrong.about(self.told[hole_title]):
                    within = relieved(outline.holes[k], form, job, hole_title, outside=other == "outside")
                    holes.append(within)
                    paths += job.contour(hole_title, within, form, side=other)
                    if other == "inside":
                        self._feature(job, within, ())
            with wrong.about(self.told[title]):
                outer = relieved(outline.outer, form, job, title, outside=form.side == "outside")
                paths += job.contour(title, outer, form, side=form.side)
                if form.side == "inside":
                    self._feature(job, outer, tuple(holes))
                elif outline.outer is self.outline:
                    self._relieve_outline(job, form, outer)
                changed = changed or (outer, *holes) != (outline.outer, *outline.holes)
        wrong.raise_any()
        if form.relief and not changed:
            self.warnings.append(("relief = true, and no corner to make room in: they lie between straight sides, at"
                                  " most 135° apart, where the bit runs", "leave relief out"))  # fmt: skip
        return tuple(paths)

    def _relieve_outline(self, job: _Cut, form: schema.Contour, relieved: Curve) -> None:
        """The part is what is left with the bites taken out of it: right through, and by one bit."""
        if not form.relief or relieved == self.outline:
            return
        if form.top is not None or job.bottom > self.stock.lowest_underside + SAME:
            what = "relief of the part's outline goes from the board's top right through it, and this contour does not"
            fix = "set relief on the contour with bottom.through = true and no top, and cut all of the outline by it"
            raise refusal(job.name, what, fix)
        if self.finished not in (self.outline, relieved):
            raise refusal(job.name, "the outline is relieved for two bits", "set relief on one of its contours")
        self.finished = relieved

    def _pocket(self, job: _Cut, form: schema.Pocket) -> tuple[Toolpath, ...]:
        lands = [each.outer for name in form.islands or () for each in self.shape(name).closed(job.name)]
        edges = [curve for name in form.open_edges or () for curve in self.shape(name).lines(job.name)]
        paths: list[Toolpath] = []
        wrong = Gathered()
        for title, outline in self.titled_outlines(form):
            with wrong.about(self.told[title]):
                islands = (*outline.holes, *(land for land in lands if overlap(land, outline.outer)))
                outer = relieved(outline.outer, form, job, title)
                paths += pocket(
                    title, outer, job.tool, job.cutting, bottom=job.bottom, top=job.top, stepdown=job.stepdown,
                    stepover=form.stepover, angle=self.grain if form.angle is None else form.angle, islands=islands,
                    wall_allowance=form.wall_allowance, direction=form.direction, part=self.part.name, style=form.style,
                    open_edges=edges, lead=form.lead, overlap=form.overlap,
                )  # fmt: skip
                self._feature(job, outer, islands, open_edged=bool(edges))
        wrong.raise_any()
        return tuple(paths)

    def _slot(self, job: _Cut, form: schema.Slot) -> tuple[Toolpath, ...]:
        # Another bit than the job's own must leave the same slot.
        width = form.width or job.meant.diameter
        paths: list[Toolpath] = []
        wrong = Gathered()
        for title, line in self.titled_lines(form):
            with wrong.about(self.told[title]):
                paths += slot(
                    title, line, job.tool, job.cutting, bottom=job.bottom, top=job.top, stepdown=job.stepdown,
                    width=width, part=self.part.name,
                )  # fmt: skip
                outer, *holes = sorted(swept_rings(line, width / 2.0), key=lambda ring: -abs(ring.area))
                self._feature(job, outer, tuple(holes))
        wrong.raise_any()
        return tuple(paths)

    def _drill(self, job: _Cut, form: schema.Drill) -> tuple[Toolpath, ...]:
        titles: list[str] = []
        holes: list[tuple[tuple[float, float], float]] = []
        for shape, head in heads(self.part, form).items():
            curves, name = self.shape(shape).curves, f"{self.part.name} {head}"
            titles += _titles(name, len(curves))
            holes += [_hole(curve, form.diameter, job.meant.diameter, name) for curve in curves]
        self.told |= {title: f"at ({x:.2f}, {y:.2f})" for title, ((x, y), _) in zip(titles, holes, strict=True)}
        paths: list[Toolpath] = []
        places = [(round(x, 3), round(y, 3)) for (x, y), _ in holes]
        for place in (place for place in places if places.count(place) > 1):
            raise refusal(job.name, f"two holes are at {place}", "drop one of them")
        for title, (centre, diameter) in zip(titles, holes, strict=True):
            circle = Curve.circle(centre, diameter / 2.0)
            if math.isclose(diameter, job.tool.diameter, abs_tol=0.01):
                paths += drill(
                    title, [centre], job.tool, job.cutting, bottom=job.bottom, top=job.top, peck=form.peck,
                    part=self.part.name,
                )  # fmt: skip
            elif diameter < job.tool.diameter:
                what = f"a hole of {diameter:g} mm and a bit {job.tool.name!r} of {job.tool.diameter:g} mm"
                raise refusal(title, what, f"tool: the widest bit that fits has {diameter:g} mm")
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
        paths: list[Toolpath] = []
        wrong = Gathered()
        whole = None if self.outline is None else area_of(self.outline)
        for title, curve in self.titled_lines(form):
            self.marked.append(curve)
            with wrong.about(self.told[title]):
                if whole is not None and whole.disjoint(line_of(curve, FLAT)):
                    raise self._outside(job)
                paths += engrave(
                    title, [curve], job.tool, job.cutting, bottom=job.bottom, top=job.top, stepdown=job.stepdown,
                    part=self.part.name,
                )  # fmt: skip
        wrong.raise_any()
        return tuple(paths)

    def titled_outlines(self, form: schema.Operation) -> list[tuple[str, Outline]]:
        """The outlines of an operation's shapes, each with the name of its toolpaths."""
        found: list[tuple[str, Outline]] = []
        for shape, head in heads(self.part, form).items():
            name = f"{self.part.name} {head}"
            titled = _titled(name, self.shape(shape).closed(name))
            self.told |= {title: outline.told() if len(titled) > 1 else "" for title, outline in titled}
            found += titled
        return found

    def titled_lines(self, form: schema.Operation) -> list[tuple[str, Curve]]:
        """The lines of an operation's shapes, each with the name of its toolpath."""
        found: list[tuple[str, Curve]] = []
        for shape, head in heads(self.part, form).items():
            name, made = f"{self.part.name} {head}", self.shape(shape)
            titled = _titled(name, made.lines(name))
            self.told |= {title: made.told(k) if len(titled) > 1 else "" for k, (title, _) in enumerate(titled)}
            found += titled
        return found

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


def relieved(
    ring: Curve, form: schema.Contour | schema.Pocket, job: _Cut, title: str, *, outside: bool = False
) -> Curve:  # fmt: skip
    """The ring, its corners with room for a square peg where the job wants that; ``outside`` it is where the bit runs.

    The same ring where there is none.
    """
    if not form.relief:
        return ring
    found = relieve(ring, job.tool.radius, name=title, outside=outside)
    return ring if len(found.sweeps) == len(ring.sweeps) else found


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


def _titled(name: str, things: Sequence[Thing]) -> list[tuple[str, Thing]]:
    return list(zip(_titles(name, len(things)), things, strict=True))


def _titles(name: str, count: int) -> tuple[str, ...]:
    return numbered(name, count) if count else ()
