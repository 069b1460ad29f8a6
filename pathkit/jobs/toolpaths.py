"""Operations of a job file as toolpaths: one piece (all parts of the file, once), ready to be laid out in copies."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from pathkit.curves.regions import line_of, refusal
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.forms import dotted_path
from pathkit.jobs import schema
from pathkit.jobs.bits import Bits
from pathkit.jobs.chamfers import Bevel, cut_edges, rims_of, spoilt
from pathkit.jobs.cut import Cut
from pathkit.jobs.drawn import Drawn, outline_of
from pathkit.jobs.edges import Walls, finish_of, refuse_partly_relieved
from pathkit.jobs.fit import Fit
from pathkit.jobs.holes import angle_down, hole_of, refuse_twice
from pathkit.jobs.naming import Gathered, heads, titled
from pathkit.jobs.origins import Origin, Origins
from pathkit.jobs.overlaps import refuse_too_near
from pathkit.jobs.piece import Piece
from pathkit.jobs.reach import refuse_unreached, refuse_unreached_beside
from pathkit.jobs.reading import JobFile
from pathkit.jobs.rest import rest_of
from pathkit.jobs.shapes import Outline, Shaped, area_beyond, area_of, overlap
from pathkit.jobs.texts import text_lines
from pathkit.model.curve import Curve
from pathkit.model.job import Core, Feature, Part
from pathkit.model.stock import Stock, Zone
from pathkit.model.toolpath import Toolpath
from pathkit.operations import bore, drill, pocket, slot
from pathkit.operations.contour import numbered
from pathkit.operations.offset import swept_rings
from pathkit.operations.openings import opening
from pathkit.operations.pocket import STEPOVER
from pathkit.tolerances import BEYOND_OUTLINE, COARSE_CHORDS, SAME_DIAMETER
from pathkit.toml_source import Path as KeyPath


def piece_of(
    file: JobFile, made: Drawn, stock: Stock, bits: Bits, *, grain: float, only: int | None = None, copy: int = 0
) -> Piece:
    """Toolpaths and finished shapes of every part (or of part ``only``) on this stock, with these bits.

    Rows run at ``grain`` degrees from x. ``copy`` (from 0) is the copy whose texts are engraved. Raises `InputError`
    with every operation that cannot be cut, each at its line.
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
        if only is not None and index != only:
            continue
        work = _Work(file, part, index, made, stock, bits, grain, copy)
        origins.parts[part.name] = _origin(file, ("part", index))
        by_title = {}
        bevelled: dict[KeyPath, list[Bevel]] = {}
        for k, operation in bits.cut(index):
            path: KeyPath = ("part", index, "operations", k)
            before = len(work.recesses), len(work.holes), len(work.bevels)
            try:
                by_title[operation.title] = work.toolpaths(operation)
            except InputError as error:
                found += _at(file, path, error.findings, work.fit.way_out + bits.way_out(part, operation))
                continue
            bevelled[path] = work.bevels[before[2] :]
            for severity, fresh_notes in (("note", work.notes), ("warning", work.warnings)):
                notes += [file.finding(path, *note, severity=severity) for note in fresh_notes]
                fresh_notes.clear()
            made_now = len(work.recesses), len(work.holes), len(work.bevels)
            groups = zip(("recesses", "holes", "chamfers"), before, made_now, strict=True)
            fresh = {group: range(*numbers) for group, *numbers in groups}
            names = [each.name for each in by_title[operation.title]]
            origins.add(_origin(file, path, operation.title), part.name, names, fresh, work.described)
        toolpaths += [path for paths in by_title.values() for path in paths]
        finished = work.done
        if finished.outline is not None or finished.recesses or finished.holes or finished.chamfers:
            parts.append(finished)
        # What stands beside a line is known when all that is cut is.
        for path, mine in bevelled.items():
            found += _at(file, path, spoilt(mine, finished, stock))
        zones += work.zones()
        marked[part.name] = tuple(work.marked)
        pairs += [(path.finishes, path.name) for paths in by_title.values() for path in paths if path.finishes]
        for first, second in part.precedence:
            firsts, seconds = by_title.get(first, ()), by_title.get(second, ())
            pairs += [(a.name, b.name) for a in firsts for b in seconds]
        pairs += work.pairs
    if found:
        raise InputError(found)
    return Piece(tuple(toolpaths), tuple(parts), tuple(zones), tuple(pairs), tuple(notes), marked, origins)


def _at(file: JobFile, path: KeyPath, wrong: Iterable[Finding], way: str = "") -> list[Finding]:
    """What is wrong with an operation, where it stands, and another ``way`` out of it."""
    return [file.finding(path, f.what, f.fix + way, toolpath=f.toolpath) for f in wrong]


def _origin(file: JobFile, path: KeyPath, title: str = "") -> Origin:
    return Origin(file.document.line_of(path), dotted_path(path), title)


@dataclass
class _Work:
    """One part in the making: its toolpaths, operation by operation, and its shape when they have all been cut."""

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
    bevels: list[Bevel] = field(default_factory=list)
    marked: list[Curve] = field(default_factory=list)
    notes: list[tuple[str, str]] = field(default_factory=list)
    warnings: list[tuple[str, str]] = field(default_factory=list)
    pairs: list[tuple[str, str]] = field(default_factory=list)
    described: dict[str, str] = field(default_factory=dict)  # words for a shape, by the start of its toolpaths' names

    def __post_init__(self) -> None:
        self.outline = outline_of(self.file, self.made.shapes, self.index)
        self.fit = Fit(self.file.form.fit)
        try:
            self.edge = self.outline and self.fit.wall(self.outline, self.part.name, stays=True)
        except InputError as error:
            raise InputError(_at(self.file, ("part", self.index), error.findings)) from None
        self.finished = self.edge

    @cached_property
    def whole(self) -> Any:  # the inside of its outline as drawn (shapely), None if it has none
        return None if self.outline is None else area_of(self.outline)

    @property
    def skin(self) -> float:  # mm of wood left under the cuts round its outline
        outside = (op for op in self.part.operations if isinstance(op, schema.Contour) and op.frees)
        return max((op.skin or 0.0 for op in outside if self.outline is not None), default=0.0)

    @property
    def done(self) -> Part:
        """The part as it is when all of that is cut."""
        bevels = tuple(bevel.value for bevel in self.bevels)
        return Part(self.part.name, self.finished, tuple(self.recesses), tuple(self.holes), self.skin, bevels)

    def shape(self, name: str) -> Shaped:
        return self.made.shapes[self.index, name]

    def zones(self) -> Iterator[Zone]:
        from shapely.geometry import Polygon

        for zone in self.part.zones:
            for outline in self.shape(zone.shape).outlines:
                yield zone.value(shape=Polygon(outline.outer.flattened(COARSE_CHORDS)))

    def toolpaths(self, operation: schema.Operation) -> tuple[Toolpath, ...]:
        name = f"{self.part.name} {operation.title}"
        job = Cut(name, self.part.name, operation, self.stock, self.bits)
        self.notes += self.fit.kept(operation, job.tool, name)
        match operation:
            case schema.Contour():
                return self._contour(job, operation)
            case schema.Pocket():
                return self._pocket(job, operation)
            case schema.Slot():
                return self._slot(job, operation)
            case schema.Drill():
                return self._drill(job, operation)
            case schema.Engrave() | schema.Burn():
                return self._marks(job, operation)
            case schema.Chamfer():
                return self._chamfer(job, operation)

    def _contour(self, job: Cut, form: schema.Contour) -> tuple[Toolpath, ...]:
        paths: list[Toolpath] = []
        wrong = Gathered()
        if form.side == "on":
            for title, curve in self.titled_lines(form):
                paths += job.contour(title, curve, form, side="on")
            return tuple(paths)
        outlines, walls = self.titled_outlines(form), Walls(form, job.tool.radius, self.fit)
        if form.side == "outside":
            fitted = {title: self.fit.outline(each, title, stays=True) for title, each in outlines}
            refuse_too_near([*fitted.items()], job.tool.diameter, job.tool.name)
        for title, outline in outlines:
            holes: list[Curve] = []
            for k, hole_title in enumerate(numbered(f"{title} hole", len(outline.holes))):
                self.described[hole_title] = outline.described(k + 1)
                with wrong.about(self.described[hole_title]):
                    holes.append(walls.wall(outline.holes[k], hole_title, outside=form.side == "inside"))
                    if form.side == "outside":
                        paths += self._opening(job, hole_title, holes[-1], form)
                    else:
                        paths += job.contour(hole_title, holes[-1], form, side="outside")
            with wrong.about(self.described[title]):
                outer = walls.wall(outline.outer, title, outside=form.side == "outside")
                if form.side == "outside":
                    paths += job.contour(title, outer, form, side="outside")
                    refuse_unreached_beside(title, fitted[title].outer, job.reaching, job.tool)
                    if outline.outer is self.outline and form.relief and outer != self.edge:
                        refuse_partly_relieved(job.name, form, through=job.through)
                        if self.finished not in (self.edge, outer):
                            raise refusal(
                                job.name, "the outline is relieved for two bits", "set relief on one of its contours"
                            )
                        # The part is what is left with the bites taken out of it: right through, and by one bit.
                        self.finished = outer
                elif outline.holes:
                    paths += self._around(job, title, outer, holes, form)
                else:
                    paths += self._opening(job, title, outer, form)
        wrong.raise_any()
        if form.relief and not walls.bitten:
            self.warnings.append(("relief = true, but no corner to relieve: it must lie between straight sides, at"
                                  " most 135° apart, where the bit runs", "leave out relief"))  # fmt: skip
        return tuple(paths)

    def _around(
        self, job: Cut, title: str, edge: Curve, islands: Sequence[Curve], form: schema.Contour
    ) -> tuple[Toolpath, ...]:  # fmt: skip
        """The outer edge of an opening with islands in it."""
        if form.core not in (None, "keep"):
            what = f"shape {form.shapes[0]!r} has islands, but core = {form.core!r} leaves nothing of them"
            raise refusal(title, what, 'cut it as a pocket, or leave core at "keep"')
        self._feature(job, edge, tuple(islands), core="keep" if job.through else "clear")
        return job.contour(title, edge, form, side="inside")

    def _opening(self, job: Cut, title: str, edge: Curve, form: schema.Contour) -> tuple[Toolpath, ...]:
        paths, core = opening(
            title, edge, job.tool, job.cutting, core=form.core, angle=self.grain, finish=finish_of(form),
            stepover=STEPOVER * self.bits.strength.stepover, direction=form.direction, bottom=job.bottom, top=job.top,
            stepdown=job.stepdown, part=job.part, lead=form.lead, overlap=form.overlap,
        )  # fmt: skip
        self._feature(job, edge, (), core=core)
        return paths

    def _pocket(self, job: Cut, form: schema.Pocket) -> tuple[Toolpath, ...]:
        lands = [each.outer for name in form.islands or () for each in self.shape(name).closed(job.name)]
        edges = [curve for name in form.open_edges or () for curve in self.shape(name).lines(job.name)]
        angle = self.grain if form.angle is None else form.angle
        stepover = form.stepover * self.bits.strength.stepover
        second = Cut(job.name, job.part, form, self.stock, self.bits, 1) if len(form.uses) > 1 else None
        walls = Walls(form, (second or job).tool.radius, self.fit)
        paths: list[Toolpath] = []
        wrong = Gathered()
        for title, outline in self.titled_outlines(form):
            with wrong.about(self.described[title]):
                inside = area_of(outline.outer)
                drawn = (*outline.holes, *(land for land in lands if overlap(area_of(land), inside)))
                outer, mouths = walls.opened(outline.outer, edges, title)
                islands = self.fit.walls(drawn, title, stays=True)
                first = pocket(
                    title, outer, job.tool, job.cutting, bottom=job.bottom, top=job.top, stepdown=job.stepdown,
                    stepover=stepover, islands=islands, angle=angle, wall_allowance=form.wall_allowance,
                    direction=form.direction, part=self.part.name, style=form.style, open_edges=mouths, lead=form.lead,
                    overlap=form.overlap,
                )  # fmt: skip
                paths += first
                if second is not None:
                    left = rest_of(title, outer, islands, form, job.tool, second, angle=angle, stepover=stepover)
                    paths += left.toolpaths
                    self.pairs += [(a.name, b.name) for a in first for b in left.toolpaths]
                    self.notes += left.notes
                self._feature(second or job, outer, islands, mouths)
        wrong.raise_any()
        return tuple(paths)

    def _slot(self, job: Cut, form: schema.Slot) -> tuple[Toolpath, ...]:
        # A recipient's own bit must leave the same slot as the job's.
        width = self.fit.slot(form.width, job.meant.diameter)
        paths: list[Toolpath] = []
        wrong = Gathered()
        for title, line in self.titled_lines(form):
            with wrong.about(self.described[title]):
                paths += slot(
                    title, line, job.tool, job.cutting, bottom=job.bottom, top=job.top, stepdown=job.stepdown,
                    width=width, part=self.part.name, stepover=STEPOVER * self.bits.strength.stepover,
                )  # fmt: skip
                outer, *holes = sorted(swept_rings(line, width / 2.0), key=lambda ring: -abs(ring.area))
                self._feature(job, outer, tuple(holes))
        wrong.raise_any()
        return tuple(paths)

    def _drill(self, job: Cut, form: schema.Drill) -> tuple[Toolpath, ...]:
        names: list[str] = []
        holes: list[tuple[tuple[float, float], float]] = []
        for shape, head in heads(self.part, form).items():
            curves, name = self.shape(shape).curves, f"{self.part.name} {head}"
            names += numbered(name, len(curves))
            holes += [hole_of(curve, form, job, self.fit, name) for curve in curves]
        self.described |= {title: f"at ({x:.2f}, {y:.2f})" for title, ((x, y), _) in zip(names, holes, strict=True)}
        paths: list[Toolpath] = []
        refuse_twice(holes, job.name)
        for title, (centre, diameter) in zip(names, holes, strict=True):
            if math.isclose(diameter, job.tool.diameter, abs_tol=SAME_DIAMETER):
                paths += drill(
                    title, [centre], job.tool, job.cutting, bottom=job.bottom, top=job.top, peck=form.peck,
                    part=self.part.name,
                )  # fmt: skip
            elif diameter < job.tool.diameter:
                what = (
                    f"the hole at ({centre[0]:.1f}, {centre[1]:.1f}) is {diameter:g} mm wide, and the bit"
                    f" {job.tool.name!r} is {job.tool.diameter:g} mm wide"
                )
                raise refusal(title, what, f"tool: the widest bit that fits has {diameter:g} mm")
            else:
                paths += bore(
                    title, centre, diameter, job.tool, job.cutting, bottom=job.bottom, top=job.top,
                    stepdown=job.stepdown, peck=form.peck, angle=angle_down(self.file), part=self.part.name,
                    stepover=STEPOVER * self.bits.strength.stepover,
                )  # fmt: skip
            self._feature(job, Curve.circle(centre, diameter / 2.0), ())
        return tuple(paths)

    def _marks(self, job: Cut, form: schema.Engrave | schema.Burn) -> tuple[Toolpath, ...]:
        text = form.text_of(self.copy)
        lines = [(title, [curve]) for title, curve in self.titled_lines(form)]
        if text is not None:
            lines = [(job.name, list(text_lines(text, form, self.whole, job.name)))]
        paths: list[Toolpath] = []
        wrong = Gathered()
        for title, curves in lines:
            self.marked += curves
            with wrong.about(self.described.get(title, "")):
                self._refuse_outside(job, curves)
                paths += job.marks(title, curves, form)
        wrong.raise_any()
        return tuple(paths)

    def _chamfer(self, job: Cut, form: schema.Chamfer) -> tuple[Toolpath, ...]:
        shapes = {name: self.shape(name) for name in self.part.shapes}
        rims = list(rims_of(self.titled_outlines(form), form.side, self.described))
        self.described |= {rim.title: rim.described for rim in rims}
        self._refuse_outside(job, [rim.curve for rim in rims])
        paths, made = cut_edges(rims, job, form, self.part, shapes, self.bits, self.fit)
        self.bevels += made
        return paths

    def titled_outlines(self, form: schema.Operation) -> list[tuple[str, Outline]]:
        """The outlines of an operation's shapes, each with its toolpaths' name."""
        found: list[tuple[str, Outline]] = []
        for shape, head in heads(self.part, form).items():
            name = f"{self.part.name} {head}"
            mine = titled(name, self.shape(shape).closed(name))
            self.described |= {title: outline.described() if len(mine) > 1 else "" for title, outline in mine}
            found += mine
        return found

    def titled_lines(self, form: schema.Operation) -> list[tuple[str, Curve]]:
        """The lines of an operation's shapes, each with the name of its toolpath."""
        found: list[tuple[str, Curve]] = []
        for shape, head in heads(self.part, form).items():
            name, made = f"{self.part.name} {head}", self.shape(shape)
            mine = titled(name, made.lines(name))
            self.described |= {title: made.described(k) if len(mine) > 1 else "" for k, (title, _) in enumerate(mine)}
            found += mine
        return found

    def _refuse_outside(self, job: Cut, curves: Sequence[Curve]) -> None:
        if self.whole is not None and any(self.whole.disjoint(line_of(curve, COARSE_CHORDS)) for curve in curves):
            raise self._outside(job)

    def _outside(self, job: Cut) -> InputError:
        fix = "move it into the outline, or name the part's outline"
        return refusal(job.name, f"it lies outside the outline of the part {self.part.name!r}", fix)

    def _feature(
        self, job: Cut, curve: Curve, islands: tuple[Curve, ...], edges: Sequence[Curve] = (), core: Core = "clear"
    ) -> None:
        refuse_unreached(job.name, (curve, islands, edges), job.reaching, job.tool)
        if self.whole is not None:
            beyond = area_beyond(area_of(curve), self.whole)
            if beyond is None:
                raise self._outside(job)
            if beyond > BEYOND_OUTLINE and not edges:
                what = f"{job.name!r} reaches {beyond:.1f} mm² beyond the outline of the part {self.part.name!r}"
                self.notes.append((what, "right for a notch or an open end; otherwise move it into the outline"))
        if not job.through:
            self.recesses.append(Feature(curve, job.bottom, islands, core))
        elif islands and core == "clear":
            # The islands come out in one piece, and have to be held until then.
            self.holes.append(Feature(curve, None, islands, "keep"))
        else:
            self.holes.append(Feature(curve, core=core))
