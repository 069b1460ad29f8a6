"""Operations of a job file as toolpaths: one piece (all parts of the file, once), ready to be laid out in copies."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import partial

from pathkit.curves.regions import line_of, refusal
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.jobs import schema
from pathkit.jobs.bits import Bits
from pathkit.jobs.depths import bottom_of, height
from pathkit.jobs.frames import Drawn, outline_of
from pathkit.jobs.holes import hole_of
from pathkit.jobs.reading import JobFile
from pathkit.jobs.shapes import Outline, Shaped, area_of, overlap
from pathkit.jobs.texts import text_lines
from pathkit.model.curve import Curve
from pathkit.model.job import Core, Feature, Part
from pathkit.model.stock import Stock, Zone
from pathkit.model.tool import Cutting
from pathkit.model.toolpath import Toolpath, wood_above
from pathkit.operations import bore, contour, drill, engrave, pocket, relieve, slot
from pathkit.operations.contour import Side, numbered
from pathkit.operations.finishing import Finish, finished_contour
from pathkit.operations.leads import ANGLE
from pathkit.operations.offset import swept_rings
from pathkit.operations.openings import opening
from pathkit.operations.pocket import STEPOVER
from pathkit.tolerances import BEYOND_OUTLINE, COARSE_CHORDS, SAME_DIAMETER, SAME_HEIGHT


@dataclass(frozen=True)
class Piece:
    """All parts of a job once, as drawn. ``zones`` are those that go with it, ``marked`` what is engraved, by part."""

    toolpaths: tuple[Toolpath, ...]
    parts: tuple[Part, ...]
    zones: tuple[Zone, ...]
    precedence: tuple[tuple[str, str], ...]
    notes: tuple[Finding, ...]
    marked: dict[str, tuple[Curve, ...]] = field(default_factory=dict)


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
            parts.append(Part(part.name, work.outline, tuple(work.recesses), tuple(work.holes), work.skin))
        zones += work.zones()
        marked[part.name] = tuple(work.marked)
        pairs += [(path.finishes, path.name) for paths in by_title.values() for path in paths if path.finishes]
        for first, second in part.precedence:
            firsts, seconds = by_title.get(first, ()), by_title.get(second, ())
            pairs += [(a.name, b.name) for a in firsts for b in seconds]
    if found:
        raise InputError(found)
    return Piece(tuple(toolpaths), tuple(parts), tuple(zones), tuple(pairs), tuple(notes), marked)


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
        self.outline = outline_of(self.file, self.made.shapes, self.index)

    @property
    def skin(self) -> float:
        """mm that the cuts round its outline leave under them."""
        outside = (op for op in self.part.operations if isinstance(op, schema.Contour) and op.side == "outside")
        return max((op.skin or 0.0 for op in outside if self.outline is not None), default=0.0)

    def shape(self, name: str) -> Shaped:
        return self.made.shapes[self.index, name]

    def zones(self) -> Iterator[Zone]:
        from shapely.geometry import Polygon

        for zone in self.part.zones:
            for outline in self.shape(zone.shape).outlines:
                yield Zone(Polygon(outline.outer.flattened(COARSE_CHORDS)), zone.kind, zone.height)

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
        for title, outline in zip(_titles(job.name, len(outlines)), outlines, strict=True):
            for hole_title, hole in zip(_titles(f"{title} hole", len(outline.holes)), outline.holes, strict=True):
                if form.side == "outside":
                    paths += self._opening(job, hole_title, hole, form)
                else:
                    paths += job.contour(hole_title, hole, form, side="outside")
            if form.side == "outside":
                paths += job.contour(title, outline.outer, form, side="outside")
            elif outline.holes:
                if form.core not in (None, "keep"):
                    what = f"shape {form.shapes[0]!r} has islands, and core = {form.core!r} asks for nothing to be left"
                    raise refusal(title, what, 'cut it as a pocket, or leave core at "keep"')
                edge = relieved(outline.outer, form, job, title)
                paths += job.contour(title, edge, form, side="inside")
                self._feature(job, edge, outline.holes, core="keep" if self._through(job) else "clear")
            else:
                paths += self._opening(job, title, outline.outer, form)
        return tuple(paths)

    def _opening(self, job: _Cut, title: str, shape: Curve, form: schema.Contour) -> tuple[Toolpath, ...]:
        edge = relieved(shape, form, job, title)
        paths, core = opening(
            title, edge, job.tool, job.cutting, core=form.core, angle=self.grain, finish=finish_of(form),
            stepover=STEPOVER * self.bits.strength.stepover,
            direction=form.direction,
            bottom=job.bottom, top=job.top, stepdown=job.stepdown, part=job.part, lead=form.lead, overlap=form.overlap,
        )  # fmt: skip
        self._feature(job, edge, (), core=core)
        return paths

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
                stepover=form.stepover * self.bits.strength.stepover, islands=islands,
                angle=self.grain if form.angle is None else form.angle,
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
                part=self.part.name, stepover=STEPOVER * self.bits.strength.stepover,
            )  # fmt: skip
            outer, *holes = sorted(swept_rings(line, width / 2.0), key=lambda ring: -abs(ring.area))
            self._feature(job, outer, tuple(holes))
        return tuple(paths)

    def _drill(self, job: _Cut, form: schema.Drill) -> tuple[Toolpath, ...]:
        curves = [curve for name in form.shapes for curve in self.shape(name).curves]
        holes = [hole_of(curve, form.diameter, job.meant.diameter, job.name) for curve in curves]
        paths: list[Toolpath] = []
        places = [(round(x, 3), round(y, 3)) for (x, y), _ in holes]
        for place in (place for place in places if places.count(place) > 1):
            raise refusal(job.name, f"two holes are at {place}", "drop one of them")
        for title, (centre, diameter) in zip(_titles(job.name, len(holes)), holes, strict=True):
            if math.isclose(diameter, job.tool.diameter, abs_tol=SAME_DIAMETER):
                paths += drill(
                    title, [centre], job.tool, job.cutting, bottom=job.bottom, top=job.top, peck=form.peck,
                    part=self.part.name,
                )  # fmt: skip
            elif diameter < job.tool.diameter:
                what = f"a hole of {diameter:g} mm and a bit {job.tool.name!r} of {job.tool.diameter:g} mm"
                raise refusal(title, what, f"the widest bit that fits has {diameter:g} mm")
            else:
                paths += bore(
                    title, centre, diameter, job.tool, job.cutting, bottom=job.bottom, top=job.top,
                    stepdown=job.stepdown, peck=form.peck, angle=_angle_down(self.file), part=self.part.name,
                    stepover=STEPOVER * self.bits.strength.stepover,
                )  # fmt: skip
            self._feature(job, Curve.circle(centre, diameter / 2.0), ())
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
            if any(whole.disjoint(line_of(curve, COARSE_CHORDS)) for curve in curves):
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

    def _through(self, job: _Cut) -> bool:
        return job.bottom <= self.stock.lowest_underside + SAME_HEIGHT

    def _feature(
        self, job: _Cut, curve: Curve, islands: tuple[Curve, ...], *, open_edged: bool = False, core: Core = "clear"
    ) -> None:
        if self.outline is not None:
            if not overlap(curve, self.outline):
                raise self._outside(job)
            beyond = area_of(curve).difference(area_of(self.outline)).area
            if beyond > BEYOND_OUTLINE and not open_edged:
                what = f"{job.name!r} reaches {beyond:.1f} mm² beyond the outline of the part {self.part.name!r}"
                self.notes.append((what, "right for a notch or an open end; else move it into the outline"))
        if not self._through(job):
            self.recesses.append(Feature(curve, job.bottom, islands, core))
        elif islands and core == "clear":
            # What is cleared round comes out in one piece: it has to be held until then.
            self.holes.append(Feature(curve, None, islands, "keep"))
        else:
            self.holes.append(Feature(curve, core=core))


class _Cut:
    """What every operation needs, from its form: bit, feeds, depths. ``meant`` is the bit the job names."""

    def __init__(self, name: str, part: str, form: schema.Operation, stock: Stock, bits: Bits) -> None:
        self.name, self.part = name, part
        self.meant = bits.meant(form.tool)
        self.tool = bits.tool(form.tool)
        self.cutting: Cutting = bits.cutting(form.cutting, form.tool)
        self.bottom = bottom_of(form, stock)
        self.top = None if form.top is None else height(form.top, stock)
        deep = wood_above(self.top, stock) - self.bottom
        self.stepdown = bits.stepdown(form.stepdown, form.tool, deep)

    def contour(self, name: str, curve: Curve, form: schema.Contour, *, side: Side) -> tuple[Toolpath, ...]:
        finish = finish_of(form) if side != "on" else None
        cut = contour if finish is None else partial(finished_contour, finish=finish)
        return cut(
            name, curve, self.tool, self.cutting, side=side, direction=form.direction, bottom=self.bottom,
            top=self.top, stepdown=self.stepdown, part=self.part, lead=form.lead, overlap=form.overlap,
        )  # fmt: skip


def finish_of(form: schema.Contour) -> Finish | None:
    """The last lap that a contour's wall gets, if any."""
    return None if form.finish is None else Finish(form.finish.allowance, form.finish.full_depth)


def relieved(opening: Curve, form: schema.Contour | schema.Pocket, job: _Cut, title: str) -> Curve:
    """The opening, its inside corners with room for a square peg where the job wants that."""
    return relieve(opening, job.tool.radius, name=title) if form.relief else opening


def _angle_down(file: JobFile) -> float:
    """Degrees at which the job's own pass lets bits down; the usual ones where it does without that pass."""
    options = file.form.passes.get("ramp_entries")
    return float(options["angle"]) if isinstance(options, dict) and "angle" in options else ANGLE


def _titles(name: str, count: int) -> tuple[str, ...]:
    return numbered(name, count) if count else ()
