"""A test piece for a job's fit: a round recess and a slot in steps of fit, cut by the job's own bit and feeds.

It is a job file of its own, made from another one: the same kind of board in the same thickness, the bit that makes the
job's openings, its feeds and its stepdown. So it is read, built, audited and proved like any other job. Each place is
drawn in the size that its fit makes of the size in the middle. Nothing of it is cut free.
"""

from __future__ import annotations

import json
import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pathkit.errors import InputError
from pathkit.fields import at_default, plain
from pathkit.jobs import schema
from pathkit.jobs.bits import bits_of
from pathkit.jobs.reading import JobFile, job_file_of

FITS: Final = tuple(tenths / 10.0 for tenths in range(-2, 3))
"""mm, from the left to the right of the piece."""

_RECESS: Final = 12.0  # mm at least: what calipers and a dowel can get into (common practice, no source)
_SLOT: Final = 6.0  # mm at least
_LONG: Final = 20.0  # mm of a slot's centre line: room for a tongue to be tried
_EDGE: Final = 8.0  # mm at least from the board's edge
_WALL: Final = 6.0  # mm at least between two openings: wood that does not give
_MARK: Final = 0.5  # mm of depth of the signs at both ends, in the thinnest board
_FLOOR: Final = 1.0  # mm at least under a recess, in the thinnest board


@dataclass(frozen=True)
class FitPiece:
    """The job ``file`` of a test piece, cut with the bit called ``bit``. ``recess`` is how wide its recesses are across
    where the fit is 0, ``slot`` how wide its slots are, ``board`` how wide and deep the piece of board must be; mm."""

    file: JobFile
    bit: str
    recess: float
    slot: float
    board: tuple[float, float]


def fit_piece(file: JobFile, bits: Sequence[str] = ()) -> FitPiece:
    """The test piece for a job file; ``bits`` are a recipient's own.

    Raises `InputError` for a job whose openings no straight bit makes, and for a board too thin for recesses.
    """
    use = _use(file)
    chosen = bits_of(file, bits, ())
    name = chosen.name(use.tool)
    wide = max(chosen.tool(name).diameter, chosen.meant(name).diameter)
    recess, slot = max(_RECESS, math.ceil(2.0 * wide + 4.0)), max(_SLOT, math.ceil(1.5 * wide + 1.0))
    gap, edge, sign = max(_WALL, math.ceil(wide + 2.0)), max(_EDGE, math.ceil(wide)), math.ceil(wide + 6.0)
    pitch = max(recess, slot) + gap
    width = 2.0 * (edge + sign + gap) + len(FITS) * pitch - gap
    depth = 2.0 * edge + recess + gap + _LONG + slot
    first = edge + sign + gap + (pitch - gap) / 2.0
    stations = [(f"{fit:+.1f}" if fit else "0", fit, first + k * pitch) for k, fit in enumerate(FITS)]
    shapes: dict[str, Any] = {}
    front, back = edge + recess / 2.0, edge + recess + gap + slot / 2.0
    for label, fit, x in stations:
        shapes[f"recess {label}"] = {"circle": {"centre": [x, front], "radius": round((recess + fit) / 2.0, 4)}}
        shapes[f"slot {label}"] = {"line": [[x, back], [x, back + _LONG]]}
    left, right, middle, arm = edge + sign / 2.0, width - edge - sign / 2.0, depth / 2.0, sign / 2.0 - wide / 2.0
    shapes["minus"] = {"line": [[left - arm, middle], [left + arm, middle]]}
    shapes["plus"] = {"line": [[right - arm, middle], [right + arm, middle]]}
    shapes["plus upright"] = {"line": [[right, middle - arm], [right, middle + arm]]}
    low, mark = _depths(file)
    common: dict[str, Any] = {"tool": name, "cutting": use.cutting or next(iter(file.cutting))}
    common |= {} if use.stepdown is None else {"stepdown": use.stepdown}
    works: list[dict[str, Any]] = []
    for label, fit, _ in stations:
        works.append({"kind": "pocket", "shape": f"recess {label}", **common, "bottom": {"from_top": low}})
        works.append(
            {"kind": "slot", "shape": f"slot {label}", **common, "width": slot + fit, "bottom": {"from_top": low}}
        )
    signs = ["minus", "plus", "plus upright"]
    works.append({"kind": "engrave", "name": "signs", "shape": signs, **common, "bottom": {"from_top": mark}})
    text = "\n".join(_text(file, (width, depth), name, str(common["cutting"]), shapes, works)) + "\n"
    return FitPiece(job_file_of(text, "test-piece.toml", file.folder), name, recess, slot, (width, depth))


def _use(file: JobFile) -> schema.Use:
    """Bit, feeds and stepdown by which most of the job's openings get their walls; of its outlines if it has none."""
    inner: list[schema.Use] = []
    outer: list[schema.Use] = []
    for op in file.form.operations:
        use = op.uses[-1]
        if file.tools[file.bit_name(use.tool)].kind not in ("flat", "compression"):
            continue
        if isinstance(op, schema.Contour):
            sides = {"outside": outer, "inside": inner}
            sides.get(op.side, []).append(use)
        elif isinstance(op, schema.Pocket | schema.Slot) or (isinstance(op, schema.Drill) and op.diameter is not None):
            inner.append(use)
    if not (found := inner or outer):
        raise InputError("the job has no recess, slot, opening or outline whose walls a straight bit makes")
    return Counter(found).most_common(1)[0][0]


def _depths(file: JobFile) -> tuple[float, float]:
    """mm from the top of the recesses and slots, and of the signs."""
    stock = file.form.stock.value(width=1.0, depth=1.0)
    spread = stock.thickness_tolerance
    low = round(min(stock.thickness / 2.0, stock.thickness - spread - _FLOOR), 3)
    mark = _MARK + (stock.top - stock.lowest_top)
    if low < mark:
        raise InputError(f"a board of {stock.thickness:g} mm, give or take {spread:g}, is too thin for a test piece")
    return low, round(mark, 3)


def _text(
    file: JobFile, board: tuple[float, float], bit: str, cutting: str, shapes: Mapping[str, Any],
    works: Sequence[Mapping[str, Any]],
) -> Iterator[str]:  # fmt: skip
    yield "# A test piece for the fit of a job, made from its job file."
    whose = {"language": file.form.language} if "language" in file.document.data else {}
    yield from _pairs({"name": f"{file.form.name[:60].strip()} test piece", **whose})
    tables = {"stock": file.document.data["stock"], "about": _about(file)}
    tool = plain(file.tools[bit], at_default)
    del tool["name"]
    tables[f"tools.{_value(bit)}"] = tool
    tables[f"cutting.{_value(cutting)}"] = plain(file.cutting[cutting], at_default)
    tables["passes"] = {name: given for name, given in file.form.passes.items() if name != "hold_tabs"}
    for head, table in tables.items():
        if table:
            yield f"\n[{head}]"
            yield from _pairs(table)
    yield "\n[[board]]"
    yield from _pairs(dict(zip(("width", "depth"), board, strict=True)))
    yield "\n[[part]]"
    yield from _pairs({"name": "test piece"})
    yield "\n[part.shapes]"
    yield from _pairs(shapes)
    for work in works:
        yield "\n[[part.operations]]"
        yield from _pairs(work)


def _about(file: JobFile) -> dict[str, Any]:
    """Who made the job: whoever cuts the piece is to tell them what it showed."""
    whole = file.document.data.get("about") or {}
    return {key: whole[key] for key in ("author", "contact", "revision", "date", "licence") if key in whole}


def _pairs(table: Mapping[str, Any]) -> Iterator[str]:
    return (f"{_key(key)} = {_value(value)}" for key, value in table.items())


def _key(name: str) -> str:
    return name if name.replace("_", "").isalnum() and name.isascii() else _value(name)


def _value(value: Any) -> str:
    """A value of a job file in TOML. Texts of a job file hold no character that JSON and TOML write differently."""
    if isinstance(value, Mapping):
        return "{ " + ", ".join(_pairs(value)) + " }"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(_value, value)) + "]"
    return json.dumps(value, ensure_ascii=False)
