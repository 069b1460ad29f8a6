"""Numbers that look like inches in a file whose plain numbers are mm: warnings ask about them, nothing is changed.

A number is odd if it is hardly ever right in mm but would be usual in inches. One odd number is no proof: thin boards
and fine bits exist. So a warning is given only if several odd numbers agree, or if one of them makes no sense beside
the others. A number with its unit (``"0.25mm"``) is taken as meant; bits of a shared tool table are not judged.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import Any, Final

from pathkit.errors import InputError, Refused
from pathkit.findings import Finding
from pathkit.jobs import schema
from pathkit.jobs.drawn import Drawn, drawn
from pathkit.jobs.reading import JobFile
from pathkit.jobs.shapes import bounds_of
from pathkit.machine.limits import travel_findings
from pathkit.machine.profile import Machine
from pathkit.toml_source import Path as KeyPath
from pathkit.units import LENGTH, MM_PER_INCH

USUAL: Final[Mapping[str, tuple[float, float]]] = {
    "board": (60.0, 3200.0), "thickness": (1.5, 110.0), "bit": (0.6, 26.0), "part": (10.0, 3200.0),
    "feed": (200.0, 20_000.0),
}  # fmt: skip
"""Usual range of each kind of number on small routers, mm (feeds mm/min); of boards and parts the longest side. Common
practice, no source."""

_SIZES: Final = frozenset(("board", "thickness", "part"))
_DEEPEST: Final = 12.0
"""Depth of the deepest cut, in bit diameters: flutes are hardly ever longer (common practice, no source)."""
_THINNEST: Final = 0.5  # mm; no board is thinner
_WIDE_BIT: Final = 4.0  # board thicknesses; no bit is wider
_SMALLEST_BOARD: Final = 20.0  # mm, longest side
_SMALLEST_PART: Final = 2.0  # bit diameters, longest side


@dataclass(frozen=True)
class _Odd:
    """A number judged: ``odd`` if it looks like inches, ``senseless`` if it makes no sense beside the others."""

    kind: str
    path: KeyPath
    what: str
    fix: str
    odd: bool
    senseless: bool


def inch_findings(file: JobFile, made: Drawn, *, refused: bool = False) -> tuple[Finding, ...]:
    """A warning for each number that looks like inches. If the job is ``refused`` anyway, every odd number is named."""
    every = [*_boards(file), *_thickness(file), *_bits(file), *_parts(file, made), *_feeds(file)]
    odd = [each for each in every if each.odd]
    kinds = {each.kind for each in odd}
    fits = not any(each.kind == "board" and not _inches_usual(file, each) for each in every)
    if refused:
        named = odd
    elif len(kinds) > 1 and kinds & _SIZES and fits:
        # If other numbers are in inches, the board's are too, whatever its size.
        named = [each for each in every if each.odd or each.kind == "board"]
    else:
        named = [each for each in odd if each.senseless]
    return tuple(file.finding(each.path, each.what, each.fix, severity="warning") for each in named)


@contextmanager
def adding_inch_findings(file: JobFile, machines: Sequence[Machine]) -> Iterator[None]:
    """Adds what looks like inches to any refusal raised in the block: it may be the reason."""
    try:
        yield
    except (InputError, Refused) as error:
        asked = [finding for machine in machines for finding in travel_findings(machine)]
        with suppress(InputError):
            asked += inch_findings(file, drawn(file), refused=True)
        if not asked:
            raise
        raise type(error)(dict.fromkeys((*error.findings, *asked))) from None


def _is_odd(kind: str, value: float) -> bool:
    low, high = USUAL[kind]
    return value < low <= value * MM_PER_INCH <= high


def _inches_usual(file: JobFile, board: _Odd) -> bool:
    form = file.form.board[int(board.path[1])]
    return max(form.width, form.depth) * MM_PER_INCH <= USUAL["board"][1]


def _odd(kind: str, path: KeyPath, values: Mapping[str, float], senseless: bool = False) -> _Odd:
    """The numbers ``values`` at ``path``, by key: what they would be if they are inches, and how to write either."""
    plain, inch = ("mm/min", "in/min") if kind == "feed" else ("mm", "in")
    names, given = " × ".join(values), " × ".join(f"{value:g}" for value in values.values())
    meant = " × ".join(f"{value * MM_PER_INCH:.4g}" for value in values.values())
    inches = ", ".join(f'{key} = "{value:g}{inch}"' for key, value in values.items())
    right = ", ".join(f'{key} = "{value:g}{plain}"' for key, value in values.items())
    what = f"{names} = {given} looks like {inch} ({meant} {plain}), and a plain number is {plain}"
    odd = _is_odd(kind, max(values.values()))
    return _Odd(kind, path, what, f"if so, write {inches}; if it is right, {right}", odd, senseless)


def _plain(file: JobFile, path: KeyPath) -> bool:
    """Whether the value at a key path of the file is a number without a unit."""
    data: Any = file.document.data
    for key in path:
        try:
            data = data[key]
        except (KeyError, IndexError, TypeError):
            return False
    return not isinstance(data, str)


def _boards(file: JobFile) -> Iterator[_Odd]:
    for k, board in enumerate(file.form.board):
        if _plain(file, ("board", k, "width")) and _plain(file, ("board", k, "depth")):
            sides = {"width": board.width, "depth": board.depth}
            yield _odd("board", ("board", k), sides, max(sides.values()) < _SMALLEST_BOARD)


def _thickness(file: JobFile) -> Iterator[_Odd]:
    path, value = ("stock", "thickness"), file.form.stock.thickness
    if _plain(file, path):
        widest = _widest(file, file.form.operations)
        senseless = value < _THINNEST or widest >= _WIDE_BIT * value
        yield _odd("thickness", path, {"thickness": value}, senseless)


def _bits(file: JobFile) -> Iterator[_Odd]:
    for name, tool in file.tools.items():
        path = ("tools", name, "diameter")
        # The kerf of a beam is as narrow as a twist drill in inches.
        if _plain(file, path) and tool.kind != "beam":
            works = _walls(file.form.operations)
            mine = [_depth(op.bottom, file) for op in works if name in {file.bit_name(use.tool) for use in op.uses}]
            deepest = max(mine, default=0.0)
            senseless = _DEEPEST * tool.diameter < deepest <= _DEEPEST * MM_PER_INCH * tool.diameter
            yield _odd("bit", path, {"diameter": tool.diameter}, senseless)


def _walls(works: Sequence[schema.Operation]) -> list[schema.Cut]:
    """All but chamfers: how wide their bit is, and how deep they go, follows from nothing that is told in mm."""
    return [op for op in works if not isinstance(op, schema.Chamfer | schema.Burn)]


def _widest(file: JobFile, works: Sequence[schema.Operation]) -> float:
    """Diameter (mm) of the widest bit; chamfers cut narrower than theirs is."""
    return max((file.tools[file.bit_name(use.tool)].diameter for op in _walls(works) for use in op.uses), default=0.0)


def _depth(depth: schema.Depth, file: JobFile) -> float:
    """mm below the top, roughly: a cut right through counts as the board's thickness."""
    thickness: float = file.form.stock.thickness
    if depth.from_top is not None:
        return depth.from_top
    return thickness if depth.above_bed is None else thickness + float(file.form.stock.underlay) - depth.above_bed


def _feeds(file: JobFile) -> Iterator[_Odd]:
    for name, cutting in file.cutting.items():
        path = ("cutting", name, "feed")
        if _plain(file, path):
            yield _odd("feed", path, {"feed": cutting.feed})


def _parts(file: JobFile, made: Drawn) -> Iterator[_Odd]:
    largest = max(max(board.width, board.depth) for board in file.form.board)
    for k, part in enumerate(file.form.part):
        curves = [curve for (index, _), shape in made.shapes.items() if index == k for curve in shape.curves]
        left, front, right, back = bounds_of(curves)
        longest = max(right - left, back - front)
        if any(shape.units is not None or shape.size is not None for shape in part.shapes.values()):
            continue
        if _has_units(file.document.data["part"][k]["shapes"]) or longest <= 0.0:
            continue
        bit = _widest(file, part.operations)
        fits = longest * MM_PER_INCH <= largest
        sides = right - left, back - front
        given, meant = (" × ".join(f"{side * by:.4g}" for side in sides) for by in (1.0, MM_PER_INCH))
        what = f"the part {part.name!r} measures {given} mm, which looks like inches ({meant} mm)"
        fix = (
            'if so, write its lengths as "1.5in", or units = "inch" for a drawing; if it is right, write one as "1.5mm"'
        )
        senseless = longest < _SMALLEST_PART * bit and fits
        yield _Odd("part", ("part", k, "shapes"), what, fix, _is_odd("part", longest), senseless)


def _has_units(value: Any) -> bool:
    if isinstance(value, str):
        return LENGTH.read(value) is not None
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return any(map(_has_units, inner))
