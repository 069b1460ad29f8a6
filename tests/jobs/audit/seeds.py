"""What can go wrong between job file and job: each function puts one fault in, by pytest's ``MonkeyPatch``."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

import pathkit as pk
from pathkit import operations
from pathkit.drawings import drawing
from pathkit.jobs import bits as bits_module
from pathkit.jobs import cut, depths, planning, schema, toolpaths
from pathkit.jobs.piece import Piece
from pathkit.jobs.reading import JobFile
from pathkit.model.curve import Curve
from pathkit.operations import copies as copies_module
from pathkit.operations.contour import Side
from pathkit.operations.finishing import finished_contour
from pathkit.operations.layout import Layout, Placement
from pathkit.passes.hold_tabs import HoldTabs
from pathkit.passes.ramp_entries import RampEntries
from pathkit.units import Quantity

Patch = pytest.MonkeyPatch


def wrapped(patch: Patch, place: Any, name: str, after: Callable[[Any], Any]) -> None:
    """Pass what a function returns through ``after``."""
    real = getattr(place, name)
    patch.setattr(place, name, lambda *args, **options: after(real(*args, **options)))


def depth_from_the_bed(patch: Patch) -> None:
    real = depths.height

    def height(depth: Any, stock: Any) -> float:
        return float(stock.bed + depth.from_top) if depth.from_top is not None else real(depth, stock)

    patch.setattr(depths, "height", height)


def through_the_nominal_board(patch: Patch) -> None:
    patch.setattr(pk.Stock, "through", lambda stock, past=0.3: stock.underside - past)


def another_past(patch: Patch) -> None:
    real = pk.Stock.through
    patch.setattr(pk.Stock, "through", lambda stock, past=0.5: real(stock, past))


def feeds(**changes: float) -> Callable[[Patch], None]:
    def seed(patch: Patch) -> None:
        wrapped(patch, bits_module.Bits, "cutting", lambda cutting: replace(cutting, **changes))

    return seed


def other_stepdown(patch: Patch) -> None:
    wrapped(patch, bits_module.Bits, "stepdown", lambda step: None if step is None else step * 1.25)


def pieces(change: Callable[[Any], Any]) -> Callable[[Patch], None]:
    return lambda patch: wrapped(patch, planning, "piece_of", change)


def laid(change: Callable[[Any], Any]) -> Callable[[Patch], None]:
    """Change the copies after they are laid out."""
    return lambda patch: wrapped(patch, copies_module, "laid_out", change)


def without_copy(number: str) -> Callable[[Any], Any]:
    def change(copies: Any) -> Any:
        return copies._replace(
            toolpaths=tuple(path for path in copies.toolpaths if f" {number}" not in path.part),
            parts=tuple(part for part in copies.parts if f" {number}" not in part.name),
        )

    return change


def without_toolpath(word: str) -> Callable[[Any], Any]:
    """An operation is forgotten, in the finished part too."""

    def change(piece: Any) -> Any:
        parts = tuple(replace(p, holes=() if word == "hole" else p.holes) for p in piece.parts)
        return replace(piece, toolpaths=tuple(t for t in piece.toolpaths if word not in t.name), parts=parts)

    return change


def mapped(curve: Curve, matrix: Any, about: Any) -> Curve:
    linear, middle = np.array(matrix, dtype=float), np.array(about)
    sign = np.sign(np.linalg.det(linear))
    return Curve((curve.points - middle) @ linear.T + middle, curve.sweeps * sign, curve.closed)


def turned_round(ring: Curve) -> Curve:
    sweeps = [*ring.sweeps[-2::-1], ring.sweeps[-1]]
    return Curve(ring.points[::-1], np.array(sweeps) * -1.0, closed=True)


def whole_piece(matrix: Any, about: tuple[float, float]) -> Callable[[Any], Any]:
    """Toolpaths and finished shapes go through one plane map: nothing in the job contradicts anything else."""
    flips = np.linalg.det(np.array(matrix, dtype=float)) < 0.0

    def curve(each: Curve) -> Curve:
        moved = mapped(each, matrix, about)
        # A mirror turns the direction round; a maker who mirrors by mistake would still cut climb.
        return turned_round(moved) if flips and moved.closed else moved

    def feature(each: Any) -> Any:
        return replace(each, curve=curve(each.curve), islands=tuple(map(curve, each.islands)))

    def change(piece: Any) -> Any:
        paths = tuple(replace(path, curve=curve(path.curve)) for path in piece.toolpaths)
        parts = tuple(
            replace(p, outline=curve(p.outline), recesses=tuple(map(feature, p.recesses)),
                    holes=tuple(map(feature, p.holes)))
            for p in piece.parts
        )  # fmt: skip
        return replace(piece, toolpaths=paths, parts=parts)

    return change


def one_mirrored(copies: Any) -> Any:
    """Mirror copy 02 alone, about its own middle."""
    part = next((part for part in copies.parts if part.name.endswith(" 02")), None)
    if part is None:
        return copies
    left, front, right, back = part.outline.bounds
    change = whole_piece([[-1, 0], [0, 1]], ((left + right) / 2.0, (front + back) / 2.0))
    mine = copies._replace(toolpaths=tuple(path for path in copies.toolpaths if path.part == part.name), parts=(part,))
    moved = change(Piece(mine.toolpaths, mine.parts, (), (), ()))
    by_name = {path.name: path for path in moved.toolpaths}
    return copies._replace(
        toolpaths=tuple(by_name.get(path.name, path) for path in copies.toolpaths),
        parts=tuple(moved.parts[0] if each.name == part.name else each for each in copies.parts),
    )


def turned_copies(patch: Patch) -> None:
    """Turn every copy by half a turn: it keeps to the same box and to the grain."""
    real = copies_module.laid_out

    def laid_out(paths: Any, placements: Any, **options: Any) -> Any:
        half = [Placement(place.x + 60.0, place.y + 30.0, 2) for place in placements]
        return real(paths, half, **options)

    patch.setattr(copies_module, "laid_out", laid_out)


def drawn_in_mm(patch: Patch) -> None:
    patch.setitem(drawing.MM_PER, "inch", 1.0)


def unit_of(kind: Quantity, unit: str, size: Fraction) -> Callable[[Patch], None]:
    """Another size of a unit, wherever the job file or the command line is read."""
    return lambda patch: patch.setitem(dict_of(kind), unit, size)


def dict_of(kind: Quantity) -> dict[str, Fraction]:
    assert isinstance(kind.units, dict)
    return kind.units


def other_bit(patch: Patch) -> None:
    real = bits_module.Bits.tool
    patch.setattr(bits_module.Bits, "tool", lambda bits, name: real(bits, "2 mm mill" if name else name))


def renumbered(piece: Any) -> Any:
    return replace(piece, toolpaths=tuple(replace(t, tool=replace(t.tool, number=t.tool.number + 4))
                                          for t in piece.toolpaths))  # fmt: skip


def tabs(**changes: Any) -> Callable[[Patch], None]:
    real = HoldTabs.__call__

    def seed(patch: Patch) -> None:
        patch.setattr(HoldTabs, "__call__", lambda step, job, machine, **more: real(
            replace(step, **changes), job, machine, **more))  # fmt: skip

    return seed


def steep(patch: Patch) -> None:
    real = RampEntries.__call__
    patch.setattr(RampEntries, "__call__", lambda step, job, machine, **more: real(
        replace(step, angle=12.0), job, machine, **more))  # fmt: skip


def stock_with(**changes: Any) -> Callable[[Patch], None]:
    return lambda patch: wrapped(patch, planning, "plain_stock", lambda stock: replace(stock, **changes))


def smaller_board(patch: Patch) -> None:
    patch.setattr(planning, "board_for", lambda *args, **options: (1, ()))


def other_side(patch: Patch) -> None:
    """Exchange inside and outside, in the finished parts too."""
    real = finished_contour
    exchanged: dict[Side, Side] = {"inside": "outside", "outside": "inside", "on": "on"}

    def contour(name: str, shape: Any, *args: Any, side: Side, **options: Any) -> Any:
        return real(name, shape, *args, side=exchanged[side], **options)

    patch.setattr(cut, "finished_contour", contour)


def conventional(patch: Patch) -> None:
    real = finished_contour
    patch.setattr(
        cut, "finished_contour", lambda *args, **options: real(*args, **{**options, "direction": "conventional"})
    )


def floor(**changes: Any) -> Callable[[Patch], None]:
    real = operations.pocket

    def seed(patch: Patch) -> None:
        patch.setattr(toolpaths, "pocket", lambda *args, **options: real(*args, **{**options, **changes}))

    return seed


def unlike_peck(patch: Patch) -> None:
    real = operations.drill
    patch.setattr(toolpaths, "drill", lambda *args, **options: real(*args, **{**options, "peck": 5.0}))


def default_of(form: Any, name: str, value: Any) -> Callable[[Patch], None]:
    """Read what the job file leaves out with another default."""

    def seed(patch: Patch) -> None:
        from pathkit.jobs import reading

        real = reading.job_file_of

        def read(*args: Any, **options: Any) -> JobFile:
            file = real(*args, **options)
            for part in file.form.part:
                for each in part.operations:
                    if isinstance(each, form) and name not in each.model_fields_set:
                        setattr(each, name, value)
            if form is schema.Stock and name not in file.form.stock.model_fields_set:
                setattr(file.form.stock, name, value)
            return file

        patch.setattr(reading, "job_file_of", read)

    return seed


def crowded(patch: Patch) -> None:
    """Lay copies a little nearer to each other than asked."""
    from pathkit.operations import layout

    real = layout.spread

    def spread(*args: Any, **options: Any) -> Any:
        return tuple(shifted(each) for each in real(*args, **options))

    def shifted(each: Layout) -> Layout:
        nearer = tuple(Placement(p.x - 0.5 * (p.x > 20.0), p.y, p.turn) for p in each.placements)
        return replace(each, placements=nearer)

    patch.setattr(layout, "spread", spread)


def fewer_boards(patch: Patch) -> None:
    wrapped(patch, planning, "_jobs", lambda jobs: (jobs[0][:1], *jobs[1:]))
