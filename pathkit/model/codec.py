"""Jobs as JSON and back, exactly: every float survives the round trip, and so does every default.

The text is ``{"pathkit": "job", "version": 1, ...}`` in millimetres, bench frame. Bits stand once, in ``tools``, and
toolpaths name them. Fields that have their default may be left out; unknown ones are refused. Reading collects every
fault with its path before it raises.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Annotated, Any, Final, Union, get_args

from pathkit.door import expect
from pathkit.errors import InputError
from pathkit.fields import at_default, hints, plain
from pathkit.findings import Finding
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Zone
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Entry
from pathkit.toml_source import TomlSource

if TYPE_CHECKING:
    from pathkit.forms import Filled

VERSION: Final = 1
_ENTRIES: Final[tuple[type[Entry], ...]] = get_args(Entry)


def dumps(job: Job) -> str:
    """The job as JSON text: one toolpath a line, so that two versions can be compared by eye."""
    head: dict[str, Any] = {"pathkit": "job", "version": VERSION, "name": job.name, "stock": _written(job.stock)}
    head["tools"] = {tool.name: {k: v for k, v in _bit(tool).items() if k != "name"} for tool in job.tools}
    groups: dict[str, list[Any]] = {
        "toolpaths": [_written(path) for path in job.toolpaths],
        "precedence": [list(pair) for pair in job.precedence],
        "parts": [_written(part) for part in job.parts],
    }
    lines = [f" {json.dumps(key)}: {json.dumps(value, allow_nan=False)}" for key, value in head.items()]
    for key, values in groups.items():
        rows = ",\n".join("  " + json.dumps(value, allow_nan=False) for value in values)
        lines.append(f' "{key}": [' + (f"\n{rows}\n ]" if rows else "]"))
    return "{\n" + ",\n".join(lines) + "\n}\n"


def loads(text: str | bytes, source: str | None = None) -> Job:
    """The job in a JSON text. Raises `InputError` with every finding; ``source`` names the file in them."""
    return job_in(decoded(text, source), source)


def decoded(text: str | bytes, source: str | None = None) -> Any:
    """What the standard library finds in a JSON text. Raises `InputError` for what is not JSON."""
    expect("Job.from_json", text=(text, str, bytes))
    try:
        return json.loads(text, parse_constant=_refuse_constant)
    except (ValueError, RecursionError) as error:
        line = getattr(error, "lineno", None)
        column = getattr(error, "colno", None)
        what = f"not JSON: {getattr(error, 'msg', None) or error}"
        fix = "pass a job as written by pathkit"
        raise InputError(
            [Finding(check="job file", what=what, fix=fix, file=source, line=line, column=column)]
        ) from None


def job_in(data: Any, source: str | None = None) -> Job:
    """The job in `decoded` JSON, which stays as it is. Raises `InputError` with every finding."""
    found: list[Finding] = []
    job = _job(data, source, found)
    if job is None:
        raise InputError(found)
    return job


def _job(data: Any, source: str | None, found: list[Finding]) -> Job | None:
    from pathkit.forms import read

    refused = Finding(check="job file", what="", file=source)
    if not isinstance(data, dict) or data.get("pathkit") != "job":
        what = 'this is not a pathkit job: "pathkit" is not "job"'
        found.append(replace(refused, what=what, fix="pass a job file", path="$"))
        return None
    if data.get("version") != VERSION:
        what, fix = f"job version {data.get('version')!r} is not known here", f"this library reads version {VERSION}"
        found.append(replace(refused, what=what, fix=fix, path="$.version"))
        return None
    tools = data.get("tools")
    context = {"listed": set(tools) if isinstance(tools, dict) else set(), "tools": {}}
    form = read(_form(), TomlSource(data, {}, source or ""), "job file", found, context=context)
    return None if form is None else form.value()


@cache
def _form() -> type[Filled]:
    """The form of a job; made when the first job is read, for it takes a heavy library."""
    from annotated_types import Len
    from pydantic import AfterValidator, Field, PlainValidator, WrapValidator
    from shapely.geometry import Polygon

    from pathkit.forms import Filled, Table, fills, form_of

    points = list[Annotated[list[float], Len(2, 3)]]

    class CurveTable(Table):
        points: points
        sweeps: list[float] | None = None
        closed: bool = False

    class PolygonTable(Table):
        exterior: Annotated[points, Len(3)]
        holes: list[Annotated[points, Len(3)]] = []

    def bits(tables: dict[str, Filled], info: Any) -> dict[str, Tool]:
        tools = {name: table.value(name=name) for name, table in tables.items()}
        info.context["tools"] = tools
        return tools

    def bit(name: Any, info: Any) -> Tool:
        if not isinstance(name, str) or name not in info.context["listed"]:
            raise ValueError("name one of the bits in tools")
        # A faulty bit has been named already, at its own place.
        found: Tool = info.context["tools"].get(name, Tool("faulty", 1.0))
        return found

    entry: Any = Union[tuple(form_of(kind, kind=kind.__name__.lower()) for kind in _ENTRIES)]  # noqa: UP007
    types = {
        # A whole number stays one, so that what is written again is the same text.
        float: Annotated[float, WrapValidator(lambda value, check: (check(value), value)[1])],
        Curve: Annotated[CurveTable, AfterValidator(lambda t: Curve(t.points, t.sweeps, t.closed))],
        hints(Zone)["shape"]: Annotated[PolygonTable, AfterValidator(lambda t: Polygon(t.exterior, t.holes))],
        Entry: Annotated[entry, Field(discriminator="kind"), AfterValidator(lambda t: t.value())],
        Tool: Annotated[Tool, PlainValidator(bit)],
    }

    @fills(Tool, types=types, name="bit")
    class ToolTable(Filled):
        pass

    @fills(Job, types=types)
    class JobTable(Filled):
        pathkit: str
        version: int
        tools: Annotated[dict[str, ToolTable], AfterValidator(bits)] = {}

    return JobTable


def _written(value: Any) -> Any:
    """A model value as JSON data; fields at their default are left out."""
    return plain(value, at_default, _special)


def _bit(tool: Tool) -> dict[str, Any]:
    written: dict[str, Any] = plain(tool, at_default)
    return written


def _special(value: Any) -> Any:
    # Most of a job is numbers.
    if isinstance(value, float):
        return value
    if isinstance(value, Tool):
        return value.name
    if isinstance(value, Curve):
        arcs = {"sweeps": value.sweeps.tolist()} if value.sweeps.any() else {}
        return {"points": value.points.tolist(), **arcs, **({"closed": True} if value.closed else {})}
    if isinstance(value, _ENTRIES):
        return {"kind": type(value).__name__.lower(), **plain(value, at_default)}
    if hasattr(value, "exterior"):
        rings = [[list(point) for point in ring.coords[:-1]] for ring in (value.exterior, *value.interiors)]
        return {"exterior": rings[0], **({"holes": rings[1:]} if rings[1:] else {})}
    return None


def _refuse_constant(name: str) -> None:
    raise ValueError(f"{name} is not a number that can be cut")
