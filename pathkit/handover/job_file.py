"""Reading a job file: every finding at once, each with its line and what to do about it.

Nothing is taken from outside but the files that the job names beside itself: a tool table, drawings, profiles.
"""

from __future__ import annotations

import dataclasses
import difflib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from pathkit.errors import InputError, ModelError
from pathkit.findings import Finding
from pathkit.handover import job_form as forms
from pathkit.model.checking import placed
from pathkit.model.tool import Cutting, Tool
from pathkit.toml_source import Path as KeyPath
from pathkit.toml_source import TomlSource, parse_toml

CHECK: Final = "job file"
LARGEST: Final = 10_000_000
"""Bytes of a job file that are read at most."""


@dataclass(frozen=True)
class JobFile:
    """A job file that holds together: its form, its bits and feeds as values, and where everything stands.

    ``folder`` is where the files lie that it names.
    """

    form: forms.JobForm
    tools: Mapping[str, Tool]
    cutting: Mapping[str, Cutting]
    document: TomlSource
    folder: Path

    @property
    def source(self) -> str:
        return self.document.source

    def finding(self, path: KeyPath, what: str, fix: str = "", **more: Any) -> Finding:
        """A finding that points at the value behind a key path."""
        dotted = dotted_path(path)
        return Finding(
            check=CHECK, what=what, fix=fix, file=self.source, line=self.document.line_of(path), path=dotted, **more
        )


def read_job_file(path: str | Path) -> JobFile:
    """The job file at ``path``. Raises `InputError` with every finding and its line."""
    path = Path(path)
    return job_file_of(file_text(path, LARGEST), str(path), path.parent)


def job_file_of(text: str, source: str, folder: str | Path = ".") -> JobFile:
    """A job file from its text; the files it names lie in ``folder``. Raises `InputError` with every finding."""
    document = parse_toml(text, source)
    found = list(_form_findings(document, forms.JobForm))
    shared, table = _shared_tools(document, Path(folder), found)
    own = document.data.get("tools")
    tools = _values(document, "tools", forms.Tool, Tool, found)
    for name in sorted(set(tools) & set(shared)):
        found.append(_at(document, ("tools", name), f"{name!r} stands in {table!r} too", "give it another name"))
    cutting = _values(document, "cutting", forms.Cutting, Cutting, found)
    every_tool = {*shared, *(own if isinstance(own, dict) else ())}
    found += _references(document, every_tool, set(document.data.get("cutting") or ()))
    if found:
        raise InputError(dict.fromkeys(found))
    form = forms.JobForm.model_validate(document.data)
    return JobFile(form, {**shared, **tools}, cutting, document, Path(folder))


def file_text(path: Path, largest: int) -> str:
    """A text file, UTF-8. Raises `InputError` for what cannot be read or is no text."""
    try:
        return file_bytes(path, largest).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(f"{str(path)!r} is not UTF-8 text (byte {error.start})") from None


def file_bytes(path: Path, largest: int) -> bytes:
    """A file's bytes, if it is a plain file and not too large. Raises `InputError`."""
    try:
        if not path.is_file():
            raise InputError(f"{str(path)!r} is not there, or not a file")
        if path.stat().st_size > largest:
            raise InputError(f"{str(path)!r} is larger than {largest} bytes")
        return path.read_bytes()
    except OSError as error:
        raise InputError(f"{str(path)!r} cannot be read: {error.strerror or error}") from None


def dotted_path(path: Iterable[str | int]) -> str:
    """``$.part[0].operations[1].bottom``."""
    return "$" + "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in path)


def _at(document: TomlSource, path: KeyPath, what: str, fix: str = "") -> Finding:
    line = document.line_of(path)
    return Finding(check=CHECK, what=what, fix=fix, file=document.source, line=line, path=dotted_path(path))


def _form_findings(document: TomlSource, form: type[forms.Table]) -> Iterator[Finding]:
    try:
        form.model_validate(document.data)
    except ValidationError as error:
        for fault in error.errors():
            yield _form_finding(document, fault, form)


def _form_finding(document: TomlSource, fault: Any, form: type[forms.Table]) -> Finding:
    missing = fault["type"] in ("missing", "union_tag_not_found")
    path = _real_path(document.data, fault["loc"], keep_last=missing)
    name = dotted_path(path)[2:] or "the file"
    what, fix = f"{name}: {_plain(fault['msg'])}", _HINTS.get(fault["type"], "")
    if fault["type"] == "extra_forbidden":
        known = _keys_beside(document.data, path, fault["loc"], form)
        near = difflib.get_close_matches(str(path[-1]), known, 1)
        what = f"unknown key {str(path[-1])!r}"
        fix = f"did you mean {near[0]!r}?" if near else f"known here: {', '.join(known)}" if known else "remove it"
    elif fault["type"] == "missing":
        what, fix = f"{name} is missing", "add it"
    elif fault["type"] == "union_tag_not_found":
        what, fix = f"{name}.kind is missing", "one of: contour, pocket, slot, drill, engrave"
    elif fault["type"] == "union_tag_invalid":
        what, fix = f"{name}.kind is {fault['ctx']['tag']!r}", "one of: contour, pocket, slot, drill, engrave"
        path = (*path, "kind")
    elif fault["type"] in ("model_type", "dict_type", "model_attributes_type"):
        what, fix = f"{name}: must be a table, not {_short(fault['input'])}", f"write [{name}] and its keys below"
    elif "input" in fault and not isinstance(fault["input"], (dict, list)):
        what += f", not {_short(fault['input'])}"
    return _at(document, path, what, fix)


_HINTS: Final = {
    "float_type": "a plain number; lengths are in mm",
    "greater_than": "lengths are in mm",
    "int_type": "a whole number, without quotes",
    "string_type": "text in quotes",
    "list_type": "a list in square brackets",
    "bool_type": "true or false",
    "finite_number": "a finite number",
}


def _plain(message: str) -> str:
    message = message.removeprefix("Value error, ").removeprefix("Input should be ").removeprefix("Input ")
    return message.replace("a valid ", "a ").replace("dictionary", "table")


def _real_path(data: Any, loc: Iterable[str | int], *, keep_last: bool) -> KeyPath:
    """The keys that truly stand in the file: pydantic puts the names of its alternatives between them."""
    steps = tuple(loc)
    path: list[str | int] = []
    for index, step in enumerate(steps):
        there = (isinstance(data, dict) and step in data) or (
            isinstance(data, list) and isinstance(step, int) and step < len(data)
        )
        if there:
            data = data[step]
            path.append(step)
        elif keep_last and index == len(steps) - 1 and isinstance(step, str):
            path.append(step)
    return tuple(path)


def _keys_beside(data: Any, path: KeyPath, loc: Iterable[str | int], form: type[forms.Table]) -> list[str]:
    """The keys that the form knows where an unknown one stands."""
    kind: Any = form
    for step in tuple(loc)[:-1]:
        if isinstance(step, int):
            continue
        kind = _inner(kind, str(step))
        if kind is None:
            return []
    fields = getattr(kind, "model_fields", {})
    return sorted(fields)


_INNER: Final[dict[str, type[forms.Table]]] = {
    "stock": forms.Stock, "board": forms.Board, "part": forms.Part, "layout": forms.Layout, "machine": forms.Machine,
    "shapes": forms.Shape, "contour": forms.Contour, "pocket": forms.Pocket, "drill": forms.Drill,
    "engrave": forms.Engrave, "rectangle": forms.Rectangle, "circle": forms.Circle, "bottom": forms.Depth,
    "top": forms.Depth, "tools": forms.Tool, "cutting": forms.Cutting, "shape": forms.Shape,
}  # fmt: skip


def _inner(kind: Any, step: str) -> Any:
    if step == "slot":
        return forms.SlotShape if kind is forms.Shape else forms.Slot
    if step == "zones":
        return forms.PartZone if kind is forms.Part else forms.Zone
    if step == "operations":
        return forms.Part
    # A name of the maker's own (of a shape, a bit) stands between a table and what it holds.
    return _INNER.get(step, kind)


def _values(document: TomlSource, key: str, form: Any, kind: Any, found: list[Finding]) -> dict[str, Any]:
    """Bits or feeds as values of the model; those whose form is wrong have been named already."""
    table = document.data.get(key)
    values: dict[str, Any] = {}
    for name, fields in table.items() if isinstance(table, dict) else ():
        try:
            checked = form.model_validate(fields).model_dump()
            values[name] = kind(name, **checked) if kind is Tool else kind(**checked)
        except ValidationError:
            continue
        except ModelError as error:
            for fault in (placed(f, dotted_path((key, name))) for f in error.findings):
                last = (fault.path or "").rsplit(".", 1)[-1]
                path = (key, name, last) if last in fields else (key, name)
                found.append(_at(document, path, f"{name!r}: {fault.what}", fault.fix))
    return values


def _shared_tools(document: TomlSource, folder: Path, found: list[Finding]) -> tuple[dict[str, Tool], str]:
    """The bits of the shared table, if one is named; its findings point into its own file."""
    name = document.data.get("tool_table")
    if not isinstance(name, str) or not name:
        return {}, ""
    try:
        table = parse_toml(file_text(folder / name, LARGEST), str(folder / name))
    except InputError as error:
        plain = [f if f.file else _at(document, ("tool_table",), f.what, f.fix) for f in error.findings]
        found += plain
        return {}, name
    found += _form_findings(table, forms.ToolTable)
    return _values(table, "tools", forms.Tool, Tool, found), name


def _references(document: TomlSource, tools: set[str], cuttings: set[str]) -> Iterator[Finding]:
    """Names that lead nowhere. Looks at the plain data, so that it speaks beside findings of form."""
    parts = document.data.get("part")
    boards = document.data.get("board")
    named = {b.get("name") for b in boards if isinstance(b, dict)} if isinstance(boards, list) else set()
    yield from _twice(document, "part", parts)
    yield from _twice(document, "board", boards)
    for index, machine in enumerate(_tables(document.data.get("machine"))):
        board = machine.get("board")
        if board is not None and board not in named:
            yield _at(document, ("machine", index, "board"), f"no board is called {board!r}", _known(named - {None}))
    for index, part in enumerate(_tables(parts)):
        yield from _part_references(document, ("part", index), part, tools, cuttings)


def _part_references(
    document: TomlSource, path: KeyPath, part: dict[str, Any], tools: set[str], cuttings: set[str]
) -> Iterator[Finding]:
    shapes = set(part["shapes"]) if isinstance(part.get("shapes"), dict) else set()
    if (outline := part.get("outline")) is not None and outline not in shapes:
        yield _at(document, (*path, "outline"), f"no shape is called {outline!r}", _known(shapes))
    for k, zone in enumerate(_tables(part.get("zones"))):
        if isinstance(zone.get("shape"), str) and zone["shape"] not in shapes:
            yield _at(document, (*path, "zones", k, "shape"), f"no shape is called {zone['shape']!r}", _known(shapes))
    titles: dict[str, int] = {}
    for k, operation in enumerate(_tables(part.get("operations"))):
        here = (*path, "operations", k)
        for key, known in (("shape", shapes), ("islands", shapes), ("tool", tools), ("cutting", cuttings)):
            value = operation.get(key)
            for name in value if isinstance(value, list) else [value] if isinstance(value, str) else []:
                if name not in known:
                    said = {"tool": "bit", "cutting": "[cutting] table"}.get(key, "shape")
                    yield _at(document, (*here, key), f"no {said} is called {name!r}", _known(known))
        for key, known in (("tool", tools), ("cutting", cuttings)):
            if key not in operation and len(known) != 1:
                what = f"part[{path[-1]}].operations[{k}].{key} is missing"
                yield _at(document, here, what, f"say which one: {_known(known)}")
        shape = operation.get("shape")
        title = operation.get("name") or (shape if isinstance(shape, str) else shape[0] if shape else None)
        if isinstance(title, str) and titles.setdefault(title, k) != k:
            yield _at(document, here, f"two operations are called {title!r}", "give one a name of its own")
    for k, pair in enumerate(part.get("precedence") or ()):
        for name in pair if isinstance(pair, list) else ():
            if isinstance(name, str) and name not in titles:
                yield _at(document, (*path, "precedence", k), f"no operation is called {name!r}", _known(titles))


def _twice(document: TomlSource, key: str, tables: Any) -> Iterator[Finding]:
    seen: set[str] = set()
    for index, table in enumerate(_tables(tables)):
        name = table.get("name")
        if isinstance(name, str) and name in seen:
            yield _at(document, (key, index, "name"), f"two of [[{key}]] are called {name!r}", "names must differ")
        seen.add(name) if isinstance(name, str) else None


def _tables(value: Any) -> list[dict[str, Any]]:
    return [each for each in value if isinstance(each, dict)] if isinstance(value, list) else []


def _known(names: Iterable[Any]) -> str:
    shown = sorted(map(str, names))
    return f"there are: {', '.join(map(repr, shown[:12]))}" if shown else "there is none yet"


def _short(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "…"


def replaced(finding: Finding, **values: Any) -> Finding:
    """The finding with some of its fields set anew."""
    return dataclasses.replace(finding, **values)
