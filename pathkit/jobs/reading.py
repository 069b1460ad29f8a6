"""Reading a job file: every finding at once, each with its line and what to do about it.

Nothing is taken from outside but the files that the job names beside itself: a tool table, drawings, profiles.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from pathkit.errors import InputError, ModelError
from pathkit.files import read_text
from pathkit.findings import Finding
from pathkit.jobs import forms, schema
from pathkit.jobs.sharing import shared_out, title_of
from pathkit.model.checking import placed
from pathkit.model.tool import Cutting, Tool
from pathkit.operations.materials import why_not
from pathkit.toml_source import Path as KeyPath
from pathkit.toml_source import TomlSource, parse_toml

CHECK: Final = "job file"


@dataclass(frozen=True)
class JobFile:
    """A job file that holds together: its form, its bits and feeds as values, and where everything stands.

    ``folder`` is where the files lie that it names; ``text`` is what it was read from.
    """

    form: schema.JobForm
    tools: Mapping[str, Tool]
    cutting: Mapping[str, Cutting]
    document: TomlSource
    folder: Path
    text: str = ""

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
    return job_file_of(read_text(path), str(path), path.parent)


def job_file_of(text: str, source: str, folder: str | Path = ".") -> JobFile:
    """A job file from its text; the files it names lie in ``folder``. Raises `InputError` with every finding."""
    document = parse_toml(text, source)
    found = list(_form_findings(document, schema.JobForm))
    document, unlike = shared_out(document)
    found += [_at(document, *fault) for fault in unlike]
    shared, table = _shared_tools(document, Path(folder), found)
    tools = _values(document, "tools", schema.Tool, Tool, found)
    for name in sorted(set(tools) & set(shared)):
        found.append(_at(document, ("tools", name), f"{name!r} stands in {table!r} too", "give it another name"))
    cutting = _values(document, "cutting", schema.Cutting, Cutting, found)
    every_tool = {*shared, *_keys(document.data.get("tools"))}
    found += _references(document, every_tool, _keys(document.data.get("cutting")))
    if found:
        raise InputError(dict.fromkeys(found))
    form = schema.JobForm.model_validate(document.data)
    return JobFile(form, {**shared, **tools}, cutting, document, Path(folder), text)


def dotted_path(path: Iterable[str | int]) -> str:
    """``$.part[0].operations[1].bottom``."""
    return "$" + "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in path)


def _at(document: TomlSource, path: KeyPath, what: str, fix: str = "") -> Finding:
    # What is missing from the file as a whole has no line of its own.
    line = document.line_of(path) or 1
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
        known = _keys_beside(fault["loc"], form)
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
    elif path == ("stock", "material") and (why := why_not(str(fault["input"]))) is not None:
        what, fix = f"{name}: {_short(fault['input'])} must not be cut: {why}", "take another material"
    elif (now := _renamed(path, fault["input"])) is not None:
        what, fix = f"{name}: {_short(fault['input'])} has another name now", f"write {path[-1]} = {now!r}"
    elif "input" in fault and not isinstance(fault["input"], (dict, list)):
        what += f", not {_short(fault['input'])}"
    return _at(document, path, what, fix)


_RENAMED: Final = {"style": {"raster": "rows", "offset": "rings"}}
"""Values of keys that files of earlier versions may still have, and what they are called now."""


def _renamed(path: KeyPath, value: object) -> str | None:
    known = _RENAMED.get(str(path[-1])) if path else None
    return known.get(value) if known is not None and isinstance(value, str) else None


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


def _keys_beside(loc: Iterable[str | int], form: type[forms.Table]) -> list[str]:
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
    "stock": schema.Stock, "board": schema.Board, "part": schema.Part, "layout": schema.Layout,
    "machine": schema.Machine, "shapes": forms.Shape, "contour": schema.Contour, "pocket": schema.Pocket,
    "drill": schema.Drill, "engrave": schema.Engrave, "rectangle": forms.Rectangle, "circle": forms.Circle,
    "bottom": forms.Depth, "top": forms.Depth, "tools": schema.Tool, "cutting": schema.Cutting,
    "shape": forms.Shape,
}  # fmt: skip


def _inner(kind: Any, step: str) -> Any:
    if step == "slot":
        return forms.SlotShape if kind is forms.Shape else schema.Slot
    if step == "cutting" and kind is schema.Machine:
        return schema.Strength
    if step == "zones":
        return schema.PartZone if kind is schema.Part else schema.Zone
    if step == "operations":
        return schema.Part
    # A name of the maker's own (of a shape, a bit) stands between a table and what it holds.
    return _INNER.get(step, kind)


def _values(document: TomlSource, key: str, form: Any, kind: Any, found: list[Finding]) -> dict[str, Any]:
    """Bits or feeds as values of the model; those whose form is wrong have been named already."""
    table = document.data.get(key)
    values: dict[str, Any] = {}
    for name, fields in table.items() if isinstance(table, dict) else ():
        if not name:
            continue
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
        table = parse_toml(read_text(folder / name), str(folder / name))
    except InputError as error:
        plain = [f if f.file else _at(document, ("tool_table",), f.what, f.fix) for f in error.findings]
        found += plain
        return {}, name
    found += _form_findings(table, schema.ToolTable)
    return _values(table, "tools", schema.Tool, Tool, found), name


def _references(document: TomlSource, tools: set[str], cuttings: set[str]) -> Iterator[Finding]:
    """Names that lead nowhere. Looks at the plain data, so that it speaks beside findings of form."""
    parts = document.data.get("part")
    boards = document.data.get("board")
    named = {board["name"] for _, board in _tables(boards) if isinstance(board.get("name"), str)}
    yield from _twice(document, "part", parts)
    yield from _twice(document, "board", boards)
    for index, machine in _tables(document.data.get("machine")):
        board = machine.get("board")
        if isinstance(board, str) and board not in named:
            yield _at(document, ("machine", index, "board"), f"no board is called {board!r}", _known(named))
    told: set[tuple[int | None, str]] = set()
    for index, part in _tables(parts):
        yield from _quantity_findings(document, ("part", index), part)
        for finding in _part_references(document, ("part", index), part, tools, cuttings):
            # What parts share stands in one line of the file, and is told once.
            if "like" not in part or (finding.line, finding.fix) not in told:
                yield finding
            told.add((finding.line, finding.fix))
    yield from _layout_findings(document)


def _quantity_findings(document: TomlSource, path: KeyPath, part: dict[str, Any]) -> Iterator[Finding]:
    for key in ("shapes", "operations"):
        if key not in part and "like" not in part:
            yield _at(document, path, f"part[{path[-1]}].{key} is missing", "add it, or name a part it is like")
    quantity = part.get("quantity")
    if "at" in part and isinstance(quantity, int) and quantity > 1:
        what = f"at says where one part lies, and quantity asks for {quantity}"
        fix = "drop at, or quantity; another [[part]] with like = … and its own at is one more"
        yield _at(document, (*path, "at"), what, fix)
    for k, operation in _tables(part.get("operations")):
        texts, here = operation.get("texts"), (*path, "operations", k)
        many = quantity if isinstance(quantity, int) else 1
        if isinstance(texts, list) and len(texts) != many:
            what = f"{len(texts)} texts for {many} of {part.get('name')!r}"
            yield _at(document, (*here, "texts"), what, f"give one for each, or say quantity = {len(texts)}")
        elif "number_from" in operation and not any(key in part for key in ("quantity", "at", "turn")):
            what = "number_from counts the copies of a part, and the part has no quantity"
            yield _at(document, (*here, "number_from"), what, "say quantity = … in [[part]]")


def _layout_findings(document: TomlSource) -> Iterator[Finding]:
    """What [[part]] and [layout] both say."""
    layout = document.data.get("layout")
    said = [
        (index, key)
        for index, part in _tables(document.data.get("part"))
        for key in ("quantity", "at", "turn")
        if key in part
    ]
    if not said or not isinstance(layout, dict):
        return
    where = f"part[{said[0][0]}].{said[0][1]}"
    for key, fix in (
        ("copies", "drop layout.copies, and say quantity in each [[part]]"),
        ("align", "drop layout.align; at = [x, y] in [[part]] says where a part lies"),
    ):
        if key in layout:
            what = f"layout.{key} lays all parts out together, and {where} lays out each by itself"
            yield _at(document, ("layout", key), what, fix)


def _part_references(
    document: TomlSource, path: KeyPath, part: dict[str, Any], tools: set[str], cuttings: set[str]
) -> Iterator[Finding]:
    shapes = _keys(part.get("shapes"))
    for name in _texts(part.get("outline")) - shapes:
        yield _at(document, (*path, "outline"), f"no shape is called {name!r}", _known(shapes))
    for k, zone in _tables(part.get("zones")):
        for name in _texts(zone.get("shape")) - shapes:
            yield _at(document, (*path, "zones", k, "shape"), f"no shape is called {name!r}", _known(shapes))
    titles: set[str] = set()
    for k, operation in _tables(part.get("operations")):
        here = (*path, "operations", k)
        for key in ("shape", "islands", "open_edges"):
            for name in sorted(_texts(operation.get(key)) - shapes):
                yield _at(document, (*here, key), f"no shape is called {name!r}", _known(shapes))
        for key, said, known in (("tool", "bit", tools), ("cutting", "[cutting] table", cuttings)):
            for name in _texts(operation.get(key)) - known:
                yield _at(document, (*here, key), f"no {said} is called {name!r}", _known(known))
            if key not in operation and len(known) != 1:
                what = f"part[{path[-1]}].operations[{k}].{key} is missing"
                yield _at(document, here, what, f"say which one: {_known(known)}")
        title = title_of(operation)
        if title in titles:
            yield _at(document, here, f"two operations are called {title!r}", "give one a name of its own")
        titles.add(title)
    pairs = part.get("precedence")
    for k, pair in enumerate(pairs if isinstance(pairs, list) else ()):
        for name in sorted(_texts(pair) - titles):
            yield _at(document, (*path, "precedence", k), f"no operation is called {name!r}", _known(titles))


def _twice(document: TomlSource, key: str, tables: Any) -> Iterator[Finding]:
    seen: set[str] = set()
    for index, table in _tables(tables):
        for name in _texts(table.get("name")):
            if name in seen:
                yield _at(document, (key, index, "name"), f"two of [[{key}]] are called {name!r}", "names must differ")
            seen.add(name)


def _tables(value: Any) -> list[tuple[int, dict[str, Any]]]:
    """The tables in a list, each with its place; anything else has been named as a fault of form."""
    return [(k, each) for k, each in enumerate(value) if isinstance(each, dict)] if isinstance(value, list) else []


def _keys(value: Any) -> set[str]:
    return set(value) if isinstance(value, dict) else set()


def _texts(value: Any) -> set[str]:
    """One text, or those in a list."""
    return {each for each in (value if isinstance(value, list) else [value]) if isinstance(each, str)}


def _known(names: Iterable[Any]) -> str:
    shown = sorted(map(str, names))
    return f"there are: {', '.join(map(repr, shown[:12]))}" if shown else "there is none yet"


def _short(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "…"
