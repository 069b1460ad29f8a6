"""Jobs as JSON and back, exactly: every float survives the round trip, and so does every default.

The text is ``{"pathkit": "job", "version": 1, ...}`` in millimetres, bench frame. Bits stand once, in ``tools``, and
toolpaths name them. Fields that have their default may be left out; unknown ones are refused. Reading collects every
fault with its path before it raises.
"""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Final

from pathkit.errors import InputError, ModelError
from pathkit.findings import Finding
from pathkit.model.checking import placed
from pathkit.model.curve import Curve
from pathkit.model.job import Feature, Job, Part
from pathkit.model.stock import Stock, Zone
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Descend, Entry, Helix, Peck, Plunge, Ramp, Spiral, Tab, Toolpath

if TYPE_CHECKING:
    from shapely.geometry import Polygon

VERSION: Final = 1
_ENTRIES: Final[dict[str, type[Entry]]] = {
    "plunge": Plunge, "descend": Descend, "ramp": Ramp, "spiral": Spiral, "helix": Helix, "peck": Peck,
}  # fmt: skip

Decoder = Callable[[Any, str, list[Finding]], Any]
"""Takes a JSON value, its path, and the findings so far; returns the value, or None after adding a finding."""


def dumps(job: Job) -> str:
    """The job as JSON text: one toolpath a line, so that two versions can be compared by eye."""
    head: dict[str, Any] = {"pathkit": "job", "version": VERSION, "name": job.name, "stock": _encode(job.stock)}
    head["tools"] = {tool.name: _without(_encode(tool), "name") for tool in job.tools}
    groups: dict[str, list[Any]] = {
        "toolpaths": [{**_encode(path), "tool": path.tool.name} for path in job.toolpaths],
        "precedence": [list(pair) for pair in job.precedence],
        "parts": [_encode(part) for part in job.parts],
    }
    lines = [f" {json.dumps(key)}: {json.dumps(value, allow_nan=False)}" for key, value in head.items()]
    for key, values in groups.items():
        rows = ",\n".join("  " + json.dumps(value, allow_nan=False) for value in values)
        lines.append(f' "{key}": [' + (f"\n{rows}\n ]" if rows else "]"))
    return "{\n" + ",\n".join(lines) + "\n}\n"


def loads(text: str | bytes, source: str | None = None) -> Job:
    """The job in a JSON text. Raises `InputError` with every finding; ``source`` names the file in them."""
    try:
        data = json.loads(text, parse_constant=_refuse_constant)
    except (ValueError, RecursionError) as error:
        line = getattr(error, "lineno", None)
        column = getattr(error, "colno", None)
        what = f"not JSON: {getattr(error, 'msg', None) or error}"
        fix = "pass a job as written by pathkit"
        raise InputError(
            [Finding(check="job file", what=what, fix=fix, file=source, line=line, column=column)]
        ) from None
    findings: list[Finding] = []
    job = _job(data, findings)
    if findings or job is None:
        raise InputError(f.at(file=source) for f in findings)
    return job


def _job(data: Any, findings: list[Finding]) -> Job | None:
    if not isinstance(data, dict) or data.get("pathkit") != "job":
        _add(findings, "$", 'this is not a pathkit job: "pathkit" is not "job"', "pass a job file")
        return None
    if data.get("version") != VERSION:
        what = f"job version {data.get('version')!r} is not known here"
        _add(findings, "$.version", what, f"this library reads version {VERSION}")
        return None
    tools: dict[str, Tool] = {}
    table = data.get("tools", {})
    if not isinstance(table, dict):
        _add(findings, "$.tools", "tools is not a table of bits by name")
        table = {}
    for name, fields in table.items():
        tool = _value(Tool, _plain(Tool, "name"), {"name": name})(fields, f"$.tools.{name}", findings)
        if tool is not None:
            tools[name] = tool
    named = {**_TOOLPATH, "tool": _tool_of(tools, set(table))}
    fields = {
        "name": _as_is,
        "stock": _value(Stock, {**_plain(Stock), "zones": _list(_value(Zone, {**_plain(Zone), "shape": _polygon}))}),
        "toolpaths": _list(_value(Toolpath, named)),
        "precedence": _list(_pair),
        "parts": _list(_value(Part, _PART)),
    }
    rest = {key: value for key, value in data.items() if key not in ("pathkit", "version", "tools")}
    job: Job | None = _value(Job, fields)(rest, "$", findings)
    return job


def _value(kind: type[Any], fields: Mapping[str, Decoder], given: Mapping[str, Any] | None = None) -> Decoder:
    """A decoder of one dataclass (or `Curve`): every field by its own decoder, unknown and missing ones named."""

    def decode(data: Any, path: str, findings: list[Finding]) -> Any:
        if not isinstance(data, dict):
            return _add(findings, path, f"a {kind.__name__.lower()} is a table of fields, not {_short(data)}")
        before = len(findings)
        for key in data.keys() - fields.keys():
            _add(findings, f"{path}.{key}", f"unknown key {key!r}", f"keys: {', '.join(sorted(fields))}")
        for key in sorted(_required(kind) - data.keys() - (given or {}).keys()):
            _add(findings, f"{path}.{key}", f"{key} is missing", "add it")
        values = {k: fields[k](v, f"{path}.{k}", findings) for k, v in data.items() if k in fields}
        if len(findings) > before:
            return None
        try:
            return kind(**values, **(given or {}))
        except ModelError as error:
            findings += [placed(f, path) for f in error.findings]
        return None

    return decode


def _list(item: Decoder) -> Decoder:
    def decode(data: Any, path: str, findings: list[Finding]) -> Any:
        if not isinstance(data, list):
            return _add(findings, path, f"a list is wanted, not {_short(data)}")
        return tuple(item(value, f"{path}[{index}]", findings) for index, value in enumerate(data))

    return decode


def _optional(item: Decoder) -> Decoder:
    return lambda data, path, findings: None if data is None else item(data, path, findings)


def _as_is(data: Any, path: str, findings: list[Finding]) -> Any:
    """A plain value; whether it is possible is the model's own judgement."""
    if isinstance(data, (dict, list)):
        return _add(findings, path, f"a plain value is wanted, not {_short(data)}")
    return data


def _numbers(data: Any, path: str, findings: list[Finding]) -> Any:
    if data is None:
        return None
    if not isinstance(data, list) or not all(isinstance(v, (int, float)) and not isinstance(v, bool) for v in data):
        return _add(findings, path, f"a list of numbers is wanted, not {_short(data)}")
    return tuple(float(v) for v in data)


def _points(data: Any, path: str, findings: list[Finding]) -> Any:
    rows = data if isinstance(data, list) else [data]
    for index, row in enumerate(rows):
        if not isinstance(row, list) or len(row) not in (2, 3) or len(row) != len(rows[0]):
            return _add(findings, f"{path}[{index}]", f"a point is 2 numbers (3 in a trace), not {_short(row)}")
        if not all(isinstance(v, (int, float)) and not isinstance(v, bool) for v in row):
            return _add(findings, f"{path}[{index}]", f"a point is made of numbers, not {_short(row)}")
    return rows


def _polygon(data: Any, path: str, findings: list[Finding]) -> Polygon | None:
    from shapely.geometry import Polygon

    if not isinstance(data, dict) or set(data) - {"exterior", "holes"} or "exterior" not in data:
        _add(findings, path, "a shape has an exterior and, perhaps, holes", "give rings of points")
        return None
    before = len(findings)
    rings = [_points(data["exterior"], f"{path}.exterior", findings)]
    rings += [_points(ring, f"{path}.holes", findings) for ring in data.get("holes", [])]
    if len(findings) > before or any(len(ring) < 3 for ring in rings):
        if len(findings) == before:
            _add(findings, path, "a ring needs three points or more")
        return None
    return Polygon(rings[0], rings[1:])


def _pair(data: Any, path: str, findings: list[Finding]) -> Any:
    if not isinstance(data, list) or len(data) != 2 or not all(isinstance(v, str) for v in data):
        return _add(findings, path, f"a pair of toolpath names is wanted, not {_short(data)}", "first before second")
    return tuple(data)


def _entry(data: Any, path: str, findings: list[Finding]) -> Any:
    kind = data.get("kind") if isinstance(data, dict) else None
    if kind not in _ENTRIES:
        return _add(findings, f"{path}.kind", f"{kind!r} is no way in", f"one of: {', '.join(_ENTRIES)}")
    return _value(_ENTRIES[kind], _plain(_ENTRIES[kind]))(_without(data, "kind"), path, findings)


def _tool_of(tools: Mapping[str, Tool], listed: set[str]) -> Decoder:
    def decode(data: Any, path: str, findings: list[Finding]) -> Any:
        if not isinstance(data, str) or data not in listed:
            return _add(findings, path, f"no bit is called {_short(data)}", "name one of those in tools")
        # None where the bit itself was faulty: that has been said already, at its own place.
        return tools.get(data) or _FAULTY

    return decode


_FAULTY: Final = Tool("faulty", 1.0)


def _plain(kind: type[Any], *left_out: str) -> dict[str, Decoder]:
    return {f.name: _as_is for f in dataclasses.fields(kind) if f.name not in left_out and f.name != "_"}


_CURVE: Final = _value(Curve, {"points": _points, "sweeps": _numbers, "closed": _as_is})
_FEATURE: Final = _value(Feature, {"curve": _CURVE, "bottom": _as_is, "islands": _list(_CURVE), "core": _as_is})
_PART: Final = {
    "name": _as_is,
    "outline": _optional(_CURVE),
    "recesses": _list(_FEATURE),
    "holes": _list(_FEATURE),
    "skin": _as_is,
}
_TOOLPATH: Final[dict[str, Decoder]] = {
    **_plain(Toolpath),
    "curve": _CURVE,
    "cutting": _value(Cutting, _plain(Cutting)),
    "levels": _numbers,
    "entry": _entry,
    "tabs": _list(_value(Tab, _plain(Tab))),
}


def _encode(value: Any) -> Any:
    """A model value as JSON data; fields at their default are left out."""
    if isinstance(value, Curve):
        arcs = {"sweeps": value.sweeps.tolist()} if value.sweeps.any() else {}
        return {"points": value.points.tolist(), **arcs, **({"closed": True} if value.closed else {})}
    if isinstance(value, (Plunge, Descend, Ramp, Spiral, Helix, Peck)):
        return {"kind": type(value).__name__.lower(), **_fields(value)}
    if dataclasses.is_dataclass(value):
        return _fields(value)
    if isinstance(value, tuple):
        return [_encode(item) for item in value]
    if hasattr(value, "exterior"):
        rings = [[list(point) for point in ring.coords[:-1]] for ring in (value.exterior, *value.interiors)]
        return {"exterior": rings[0], **({"holes": rings[1:]} if rings[1:] else {})}
    return value.item() if hasattr(value, "item") else value


def _fields(value: Any) -> dict[str, Any]:
    encoded = {}
    for f in dataclasses.fields(value):
        if f.name == "_":
            continue
        item = getattr(value, f.name)
        default = f.default_factory() if f.default_factory is not dataclasses.MISSING else f.default
        if (f.default is dataclasses.MISSING and f.default_factory is dataclasses.MISSING) or item != default:
            encoded[f.name] = _encode(item)
    return encoded


def _required(kind: type[Any]) -> set[str]:
    if kind is Curve:
        return {"points"}
    missing = dataclasses.MISSING
    return {f.name for f in dataclasses.fields(kind) if f.default is missing and f.default_factory is missing} - {"_"}


def _without(data: Mapping[str, Any], key: str) -> dict[str, Any]:
    return {k: v for k, v in data.items() if k != key}


def _add(findings: list[Finding], path: str, what: str, fix: str = "") -> Any:
    """Add a finding; returns the None that stands for a value that is not there."""
    findings.append(Finding(check="job file", what=what, fix=fix, path=path))


def _short(data: Any) -> str:
    text = repr(data)
    return text if len(text) <= 40 else text[:37] + "…"


def _refuse_constant(name: str) -> None:
    raise ValueError(f"{name} is not a number that can be cut")
