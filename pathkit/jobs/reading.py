"""Reading a job file: all findings at once, each with its line and what to do about it.

The only other files read are those that the job names beside itself: a tool table, drawings, profiles.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

from pathkit.errors import InputError
from pathkit.files import read_text
from pathkit.findings import Finding
from pathkit.forms import dotted_path, finding_at, read
from pathkit.jobs import schema
from pathkit.jobs.sharing import title_of, with_shared
from pathkit.model.tool import Cutting, Tool
from pathkit.toml_source import Path as KeyPath
from pathkit.toml_source import TomlSource, parse_toml

CHECK: Final = "job file"

_BARE_UNIT: Final = re.compile(
    r"(?<![\w./])(-?(?:[0-9]+ +[0-9]+/[0-9]+|[0-9.]+(?:/[0-9]+)?)) *((?:in|mm)(?:/min)?)(?!\w)"
)


@dataclass(frozen=True)
class JobFile:
    """A job file without faults: its ``form``, its bits and feeds as values, and the ``document`` with the lines.

    ``folder`` is where the files that it names are; ``text`` is what it was read from.
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

    def bit_name(self, name: str | None) -> str:
        """The bit that an operation means by ``name``; with None, the job's only bit."""
        return name or next(iter(self.tools))

    def used_bits(self) -> set[str]:
        """The names of the bits that the operations use."""
        return {self.bit_name(use.tool) for operation in self.form.operations for use in operation.uses}

    def finding(self, path: KeyPath, what: str, fix: str = "", **more: Any) -> Finding:
        """A finding that points at the value at a key path."""
        dotted = dotted_path(path)
        return Finding(
            check=CHECK, what=what, fix=fix, file=self.source, line=self.document.line_of(path), path=dotted, **more
        )


def read_job_file(path: str | Path) -> JobFile:
    """The job file at ``path``. Raises `InputError` with every finding and its line."""
    path = Path(path)
    return job_file_of(read_text(path), str(path), path.parent)


def job_file_of(text: str, source: str, folder: str | Path = ".") -> JobFile:
    """A job file from its text; the files it names are in ``folder``. Raises `InputError` with every finding."""
    document = _document(text, source)
    found: list[Finding] = []
    form = read(schema.JobForm, document, CHECK, found, renamed=_RENAMED, examples=_EXAMPLES)
    written = document
    document, faults = with_shared(document)
    found += [_at(document, *fault) for fault in faults]
    shared, in_table = _shared_tools(document, Path(folder), found)
    own, table = _keys(document.data.get("tools")), document.data.get("tool_table")
    for name in sorted(own & in_table):
        found.append(
            _at(
                document,
                ("tools", name),
                f"the bit {name!r} is in {table!r} too",
                f"remove it, or give it another name, such as {name + ' 2'!r}",
            )
        )
    found += _references(document, own | in_table, _keys(document.data.get("cutting")))
    if found:
        raise InputError(dict.fromkeys(found))
    if document is not written:
        form = schema.JobForm.model_validate(document.data)
    cutting = {name: each.value() for name, each in form.cutting.items()}
    file = JobFile(form, {**shared, **_tools(form)}, cutting, document, Path(folder), text)
    if found := list(_beams_and_bits(file)):
        raise InputError(found)
    return file


def _beams_and_bits(file: JobFile) -> Iterator[Finding]:
    """Findings about operations of a bit that name a beam, and the other way round."""
    for index, part in enumerate(file.form.part):
        for k, operation in enumerate(part.operations):
            named = [file.bit_name(use.tool) for use in operation.uses]
            burns = isinstance(operation, schema.Burn)
            for name in (name for name in named if burns != (file.tools[name].kind == "beam")):
                what = f"{name!r} is no beam, and only a beam burns"
                fix = 'set kind = "beam" in its table, or let it engrave: kind = "engrave"'
                if not burns:
                    what, fix = f"{name!r} is a beam: it has no depth, so it only burns", 'kind = "burn"'
                yield file.finding(("part", index, "operations", k), what, fix)


def _document(text: str, source: str) -> TomlSource:
    """`parse_toml`; if a number has its unit without quotes, which is not TOML, the error says what to write."""
    try:
        return parse_toml(text, source)
    except InputError as error:
        lines = text.splitlines()
        raise InputError(_quoted(f, lines) for f in error.findings) from None


def _quoted(finding: Finding, lines: list[str]) -> Finding:
    line = finding.line or 0
    bare = re.sub(r"""#.*|"[^"]*"|'[^']*'""", " ", lines[line - 1]) if 0 < line <= len(lines) else ""
    if (unit := _BARE_UNIT.search(bare)) is None:
        return finding
    return replace(finding, fix=f'put a number with its unit in quotes: "{unit[1]}{unit[2]}"')


def _at(document: TomlSource, path: KeyPath, what: str, fix: str = "") -> Finding:
    return finding_at(document, CHECK, path, what, fix)


_EXAMPLES: Final = {
    "name": 'name = "key tags"', "thickness": "thickness = 6", "width": "width = 300", "depth": "depth = 200",
    "diameter": "diameter = 3", "feed": "feed = 1200", "plunge": "plunge = 400", "spindle": "spindle = 18000",
    "operations.width": "width = 1",
    "bottom": "bottom.through = true", "shape": 'shape = "outline"', "radius": "radius = 5",
    "centre": "centre = [0, 0]", "first": "first = [0, 0]", "last": "last = [20, 0]",
    "profile": 'profile = "grbl-front-left"',
    "kind": 'kind = "tape"', "stock": "[stock], with thickness = 6", "board": "[[board]], with width and depth",
    "cutting": "[cutting.wood], with feed, plunge and spindle", "part": "[[part]], with name, shapes and operations",
    "shapes": "[part.shapes], with outline.circle = { centre = [20, 20], radius = 20 }",
    "operations": '[[part.operations]], with kind = "contour", shape and bottom',
}  # fmt: skip
"""Required keys of a file, each with an example."""

_RENAMED: Final = {"style": {"raster": "rows", "offset": "rings"}}
"""By key: values of earlier versions, and what they are called now."""


def _tools(form: Any) -> dict[str, Tool]:
    return {} if form is None else {name: table.value(name=name) for name, table in form.tools.items()}


def _shared_tools(document: TomlSource, folder: Path, found: list[Finding]) -> tuple[dict[str, Tool], set[str]]:
    """The bits of the shared tool table, if one is named, and all their names. Its findings point into that file."""
    name = document.data.get("tool_table")
    if not isinstance(name, str) or not name:
        return {}, set()
    try:
        table = _document(read_text(folder / name), str(folder / name))
    except InputError as error:
        found += [f if f.file else _at(document, ("tool_table",), f.what, f.fix) for f in error.findings]
        return {}, set()
    return _tools(read(schema.ToolTable, table, CHECK, found, examples=_EXAMPLES)), _keys(table.data.get("tools"))


def _references(document: TomlSource, tools: set[str], cuttings: set[str]) -> Iterator[Finding]:
    """Findings about names that refer to nothing. Reads the plain data, so that it works even with faults of form."""
    parts = document.data.get("part")
    boards = document.data.get("board")
    named = {board["name"] for _, board in _tables(boards) if isinstance(board.get("name"), str)}
    yield from _twice(document, "part", parts)
    yield from _twice(document, "board", boards)
    for index, machine in _tables(document.data.get("machine")):
        board = machine.get("board")
        if isinstance(board, str) and board not in named:
            yield _at(document, ("machine", index, "board"), f"no board is called {board!r}", _known(named))
    reported: set[tuple[int | None, str]] = set()
    for index, part in _tables(parts):
        yield from _quantity_findings(document, ("part", index), part)
        for finding in _part_references(document, ("part", index), part, tools, cuttings):
            # What parts share is in one line of the file, and is reported once.
            if "like" not in part or (finding.line, finding.fix) not in reported:
                yield finding
            reported.add((finding.line, finding.fix))
    yield from _layout_findings(document)


def _quantity_findings(document: TomlSource, path: KeyPath, part: dict[str, Any]) -> Iterator[Finding]:
    for key in ("shapes", "operations"):
        if key not in part and "like" not in part:
            what = f"part[{path[-1]}].{key} is missing"
            yield _at(document, path, what, "add it, or name a part to take it from: like = …")
    quantity = part.get("quantity")
    if "at" in part and isinstance(quantity, int) and quantity > 1:
        what = f"at says where one part lies, but quantity asks for {quantity}"
        fix = "remove at or quantity; for one more, add a [[part]] with like = … and its own at"
        yield _at(document, (*path, "at"), what, fix)
    for k, operation in _tables(part.get("operations")):
        texts, here = operation.get("texts"), (*path, "operations", k)
        many = quantity if isinstance(quantity, int) else 1
        if isinstance(texts, list) and len(texts) != many:
            what = f"{len(texts)} texts for {many} of {part.get('name')!r}"
            yield _at(document, (*here, "texts"), what, f"give one for each, or set quantity = {len(texts)}")
        elif "number_from" in operation and not any(key in part for key in ("quantity", "at", "turn")):
            what = "number_from counts the copies of a part, but the part has no quantity"
            yield _at(document, (*here, "number_from"), what, "set quantity in [[part]], as in quantity = 10")


def _layout_findings(document: TomlSource) -> Iterator[Finding]:
    """Findings about what [[part]] and [layout] both say."""
    layout = document.data.get("layout")
    given = [
        (index, key)
        for index, part in _tables(document.data.get("part"))
        for key in ("quantity", "at", "turn")
        if key in part
    ]
    if not given or not isinstance(layout, dict):
        return
    where = f"part[{given[0][0]}].{given[0][1]}"
    for key, fix in (
        ("copies", "remove layout.copies, and set quantity in each [[part]]"),
        ("align", "remove layout.align; at = [x, y] in [[part]] says where a part lies"),
    ):
        if key in layout:
            what = f"layout.{key} lays out all parts together, but {where} lays them out one by one"
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
        for key, known in (("tool", tools), ("cutting", cuttings)):
            for name in _texts(operation.get(key)) - known:
                what = f"no bit is called {name!r}" if key == "tool" else f"no [cutting] table is called {name!r}"
                yield _at(document, (*here, key), what, _known(known))
            if key not in operation and len(known) != 1:
                what = f"part[{path[-1]}].operations[{k}].{key} is missing"
                yield _at(document, here, what, f"name one; {_known(known)}")
        title = title_of(operation)
        if title in titles:
            yield _at(
                document,
                here,
                f"two operations are called {title!r}",
                f'give one another name, such as name = "{title} 2"',
            )
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
                yield _at(
                    document,
                    (key, index, "name"),
                    f"two [[{key}]] tables are called {name!r}",
                    f'give one another name, such as name = "{name} 2"',
                )
            seen.add(name)


def _tables(value: Any) -> list[tuple[int, dict[str, Any]]]:
    """The tables in a list, each with its index; anything else has already been reported as a fault of the form."""
    return [(k, each) for k, each in enumerate(value) if isinstance(each, dict)] if isinstance(value, list) else []


def _keys(value: Any) -> set[str]:
    return set(value) if isinstance(value, dict) else set()


def _texts(value: Any) -> set[str]:
    """The text itself, or the texts in a list."""
    return {each for each in (value if isinstance(value, list) else [value]) if isinstance(each, str)}


def _known(names: Iterable[Any]) -> str:
    shown = sorted(map(str, names))
    return f"there are: {', '.join(map(repr, shown[:12]))}" if shown else "there is none yet"
