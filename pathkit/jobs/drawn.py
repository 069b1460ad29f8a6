"""The shapes of a job file, made once, and what the layout of copies depends on: outlines, their widest bit, leads."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeGuard

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.jobs import schema
from pathkit.jobs.bits import Bits
from pathkit.jobs.reading import JobFile
from pathkit.jobs.shapes import Shaped, Shapes, box_round
from pathkit.model.curve import Curve
from pathkit.model.tool import Tool
from pathkit.tolerances import ROUNDING


@dataclass(frozen=True)
class Drawn:
    """The ``shapes`` of a job by (part, name), made once for all boards.

    ``frame`` is what copies of all parts together are laid out by: the outline of a single part, else a box round them
    all. ``frames`` has one for each part: its outline, or the box round its shapes if it has none.
    """

    shapes: dict[tuple[int, str], Shaped]
    frame: Curve
    notes: tuple[Finding, ...]
    frames: tuple[Curve, ...]


def drawn(file: JobFile) -> Drawn:
    """Every shape of the file. Raises `InputError` with everything that is wrong with them."""
    maker = Shapes(file)
    made: dict[tuple[int, str], Shaped] = {}
    for index, part in enumerate(file.form.part):
        for name, form in part.shapes.items():
            shape = maker.shape(name, form, ("part", index, "shapes", name))
            if shape is not None:
                made[index, name] = shape
    if maker.found:
        raise InputError(dict.fromkeys(maker.found))
    outlines = [outline_of(file, made, index) for index in range(len(file.form.part))]
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


def widest_lead(file: JobFile) -> float:
    """The widest lead of any outline, mm."""
    return max((op.lead for op in _outside(file)), default=0.0)


def usual_web(file: JobFile, kerf: float) -> float:
    """mm of wood between two kerfs unless the job gives it: a kerf's width, and the widest lead, because leads run in
    the web beside the outline, or what chamfers of two outlines take of the web if that is more. Nested parts lie
    turned, so that the leads of two may face each other."""
    facing = 2.0 if file.form.is_nested else 1.0
    return kerf + max(facing * widest_lead(file), 2.0 * max(widest_groove(file) - kerf, 0.0))


def widest_groove(file: JobFile) -> float:
    """mm by which chamfers of outlines reach beyond them at the board's top: a cone is as wide to both sides."""
    found = [0.0]
    for part in file.form.part:
        edges = {name for op in part.operations if op.frees for name in op.shapes} | {part.outline}
        found += [op.width for op in part.operations if _is_chamfer_of(op, edges)]
    return max(found)


def refuse_grooves(file: JobFile, apart: float) -> None:
    """Raises `InputError` where parts lie so near to each other that the chamfer of one would cut into the next."""
    if apart < (groove := widest_groove(file)) - ROUNDING:
        what = f"parts lie {apart:g} mm apart, and the chamfer of an outline reaches {groove:g} mm beyond it"
        raise InputError([file.finding(("layout",), what, f"spacing = {groove:g} at least, or a narrower chamfer")])


def _is_chamfer_of(op: schema.Operation, shapes: set[str | None]) -> TypeGuard[schema.Chamfer]:
    return isinstance(op, schema.Chamfer) and op.side == "outside" and not shapes.isdisjoint(op.shapes)


def _outside(file: JobFile) -> list[schema.Contour]:
    return [op for op in file.form.operations if isinstance(op, schema.Contour) and op.frees]


def frame_tool(file: JobFile, bits: Bits) -> Tool:
    """The widest bit of the outside contours, or of all operations but chamfers if there are no outside contours: a
    chamfer is narrower than its bit."""
    every = file.form.operations
    others = [op for op in every if not isinstance(op, schema.Chamfer)]
    tools = [bits.tool(use.tool) for op in (_outside(file) or others or every) for use in op.uses]
    return max(tools, key=lambda tool: tool.diameter)


def outline_of(file: JobFile, shapes: dict[tuple[int, str], Shaped], index: int) -> Curve | None:
    """The part's outer edge: the shape that ``outline`` names, or that of its only outside contour; None if neither."""
    part = file.form.part[index]
    name = part.outline
    if name is None:
        outside = [op for op in part.operations if op.frees]
        if len(outside) != 1 or len(outside[0].shapes) != 1:
            return None
        name = outside[0].shapes[0]
    outlines = shapes[index, name].outlines
    if len(outlines) == 1:
        return outlines[0].outer
    if part.outline is not None:
        what = f"shape {name!r} is {len(outlines)} separate outlines, and a part can have only one"
        raise InputError([file.finding(("part", index, "outline"), what, "make each a [[part]] of its own")])
    return None
