"""TOML with places: tomllib gives the values, the scan the lines. The test documents note the line of each key.

Source of the syntax: TOML 1.0.0 (toml.io).
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.toml_source import DEEPEST, Path, parse_toml

TEXTS = st.text(
    st.characters(blacklist_categories=("Cs", "Cc"), blacklist_characters="\x7f")
    | st.sampled_from("\n\t\"'\\#=[]{},."), max_size=12,
)  # fmt: skip
KEYS = st.sampled_from(["a", "b-1", "c_2", "3", "true"]) | TEXTS
LEAVES = (
    st.integers(-(10**9), 10**9)
    | st.booleans()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.sampled_from([tomllib.loads(f"x = {text}")["x"] for text in ("1979-05-27 07:32:00", "1979-05-27", "07:32:00")])
    | TEXTS
)
VALUES = st.recursive(LEAVES, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
                      max_leaves=6)  # fmt: skip


class Writer:
    """Writes TOML and notes on which line each key path begins."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.text = ""
        self.lines: dict[Path, int] = {}

    def note(self, path: Path) -> None:
        self.lines.setdefault(path, self.text.count("\n") + 1)

    def key(self, name: str) -> str:
        bare = name and all(c.isascii() and (c.isalnum() or c in "-_") for c in name)
        if bare and self.draw(st.booleans()):
            return name
        if self.draw(st.booleans()) and not set(name) & set("'\n\t"):
            return f"'{name}'"
        return json.dumps(name, ensure_ascii=False)

    def filler(self, *, newlines: bool) -> None:
        options = ["", " ", "\t"] + (["\n", "\r\n", " # note = [ ' \" \n", "\n# x\n\n"] if newlines else [])
        self.text += self.draw(st.sampled_from(options))

    def string(self, value: str) -> str:
        style = self.draw(st.integers(0, 3))
        if style == 1 and not set(value) & set("'\n"):
            return f"'{value}'"
        if style == 2 and "'" not in value:
            return f"'''\n{value}'''"
        if style == 3:
            plain = value.replace("\\", "\\\\").replace('"""', '""\\"')
            # One or two quotes may stand right before the closing three.
            return f'"""\n{plain}"""' if not plain.endswith('"""') else json.dumps(value, ensure_ascii=False)
        return json.dumps(value, ensure_ascii=False)

    def value(self, value: Any, path: Path) -> None:
        if isinstance(value, str):
            self.text += self.string(value)
        elif isinstance(value, bool):
            self.text += str(value).lower()
        elif isinstance(value, list):
            self.text += "["
            for index, item in enumerate(value):
                self.filler(newlines=True)
                self.note((*path, index))
                self.value(item, (*path, index))
                self.filler(newlines=True)
                if index < len(value) - 1 or self.draw(st.booleans()):
                    self.text += ","
            self.filler(newlines=True)
            self.text += "]"
        elif isinstance(value, dict):
            self.text += "{"
            for index, (name, item) in enumerate(value.items()):
                self.text += ", " if index else ""
                self.pair(name, item, path)
            self.text += "}"
        else:
            self.text += str(value)

    def pair(self, name: str, value: Any, table: Path) -> None:
        """``name = value``; a table of one key may be written as a dotted key."""
        self.filler(newlines=False)
        keys: Path = (name,)
        while isinstance(value, dict) and len(value) == 1 and self.draw(st.booleans()):
            inner, value = next(iter(value.items()))
            keys = (*keys, inner)
        for depth in range(1, len(keys) + 1):
            self.note((*table, *keys[:depth]))
        self.text += " . ".join(self.key(str(key)) for key in keys) + " = "
        self.value(value, (*table, *keys))

    def body(self, table: dict[str, Any], path: Path) -> None:
        for name, value in table.items():
            self.filler(newlines=True)
            self.pair(name, value, path)
            self.text += self.draw(st.sampled_from(["\n", " # end\n", "\r\n"]))

    def header(self, keys: Path, path: Path, *, many: bool) -> None:
        self.note(path)
        opening, closing = ("[[", "]]") if many else ("[", "]")
        self.text += opening + ".".join(self.key(str(key)) for key in keys) + closing + "\n"


@st.composite
def documents(draw: st.DrawFn) -> tuple[str, dict[str, Any], dict[Path, int]]:
    """A document, its values, and the line of each key."""
    writer = Writer(draw)
    tables = st.dictionaries(KEYS, VALUES, max_size=3)
    data: dict[str, Any] = draw(tables)
    names = draw(st.lists(KEYS.filter(lambda k: k not in data), unique=True, max_size=3))
    writer.body(data, ())
    for name in names:
        if draw(st.booleans()):
            data[name] = draw(tables)
            writer.header((name,), (name,), many=False)
            writer.body(data[name], (name,))
            continue
        data[name] = []
        for index in range(draw(st.integers(1, 3))):
            element = draw(tables)
            data[name].append(dict(element))
            writer.header((name,), (name, index), many=True)
            writer.body(element, (name, index))
            if draw(st.booleans()):
                taken = frozenset(element)
                below = draw(KEYS.filter(lambda key: key not in taken))  # noqa: B023 (drawn at once)
                data[name][-1][below] = [draw(tables)]
                writer.header((name, below), (name, index, below, 0), many=True)
                writer.body(data[name][-1][below][0], (name, index, below, 0))
    return writer.text, data, writer.lines


@given(documents())
def test_each_key_is_found_on_its_line(document: tuple[str, dict[str, Any], dict[Path, int]]) -> None:
    text, data, lines = document
    source = parse_toml(text, "job.toml")
    assert source.data == data
    assert {path: source.lines.get(path) for path in lines} == lines


def walk(value: Any, path: Path = ()) -> list[Path]:
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [deeper for key, inner in items for deeper in [(*path, key), *walk(inner, (*path, key))]]


@given(documents())
def test_every_value_has_a_place(document: tuple[str, dict[str, Any], dict[Path, int]]) -> None:
    source = parse_toml(document[0], "job.toml")
    for path in walk(source.data):
        assert source.line_of(path) is not None, path


EXAMPLE = '''\
name = "plates"   # the first key
about = """
many lines, name = 3
[not.a.table]
"""
[stock]
size.width = 300
size.depth = 200
zones = [
  { kind = "tape" },  # here
  { kind = "screw",
    height = 2 } ]
[[tool]]
name = 'six'
[[tool]]
name = 'three'
[[tool.feeds]]
wood = 1
[machines.left.heights]
travel = 8
'''.replace("    height", "height").replace(",\nheight", ", height")


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("name",), 1),
        (("about",), 2),
        (("stock",), 6),
        (("stock", "size"), 7),
        (("stock", "size", "width"), 7),
        (("stock", "size", "depth"), 8),
        (("stock", "zones", 0, "kind"), 10),
        (("stock", "zones", 1), 11),
        (("stock", "zones", 1, "height"), 11),
        (("tool", 0), 12),
        (("tool", 0, "name"), 13),
        (("tool", 1, "name"), 15),
        (("tool", 1, "feeds", 0, "wood"), 17),
        (("machines", "left", "heights", "travel"), 19),
        # A table named only as part of a longer key has the line that first names it.
        (("machines",), 18),
        (("machines", "left"), 18),
        (("tool",), 12),
        # A missing key has the line of what encloses it.
        (("stock", "thickness"), 6),
        (("stock", "zones", 1, "shape"), 11),
        (("nowhere",), None),
    ],
)
def test_an_example_read_by_eye(path: Path, line: int | None) -> None:
    assert parse_toml(EXAMPLE, "job.toml").line_of(path) == line


@pytest.mark.parametrize(
    ("text", "line", "column"),
    [("a = 1\nb = \n", 2, 5), ("a = 1\na = 2\n", 2, 6), ("a = [1,\n2", None, None), ("\x00", 1, 1)],
)
def test_what_is_not_toml_is_refused_with_its_place(text: str, line: int | None, column: int | None) -> None:
    with pytest.raises(InputError, match="not TOML") as caught:
        parse_toml(text, "job.toml")
    finding = caught.value.findings[0]
    assert finding.file == "job.toml"
    if line is not None:
        assert (finding.line, finding.column) == (line, column)


@pytest.mark.parametrize(
    "text",
    ["a = " + "[" * 20000, "a = " + "[" * 20000 + "]" * 20000, "a = " + "{a=" * 5000, "a = " + "9" * 10000],
    ids=["open", "deep", "inline", "digits"],
)
def test_hostile_documents_are_refused_too(text: str) -> None:
    with pytest.raises(InputError, match="not TOML"):
        parse_toml(text, "job.toml")


def test_nesting_as_deep_as_is_allowed_is_walked() -> None:
    deep = DEEPEST - 2
    text = "a = " + "[" * deep + "1" + "]" * deep
    assert parse_toml(text, "job.toml").line_of(("a", *[0] * deep)) == 1


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    refused: tuple[Finding, ...] = ()
    try:
        parse_toml(text, "job.toml")
    except InputError as error:
        refused = error.findings
    assert all(finding.line for finding in refused)


NESTS: dict[str, Callable[[int], str]] = {
    "lists": lambda n: "a = " + "[" * n + "]" * n,
    "lists over lines": lambda n: "a = " + "[\n" * n + "]\n" * n,
    "lists behind commas": lambda n: "a = " + "[1, " * n + "]" * n,
    "tables": lambda n: "a = " + "{a = " * n + "1" + "}" * n,
    "dotted": lambda n: ".".join(["a"] * (n + 1)) + " = 1",
    "quoted and dotted": lambda n: " . ".join(['"a.["', "'b]'"] * (n // 2 + 1)) + " = 1",
    "header": lambda n: "[" + ".".join(["a"] * (n + 1)) + "]\n",
    "header of a list": lambda n: "[[" + ".".join(["a"] * (n + 1)) + "]]\nb = 1",
    "half header, half key": lambda n: f"[{'.'.join('a' * (n // 2 + 1))}]\nx = 1\n{'.'.join('b' * (n // 2 + 1))} = 1",
    "dots within tables": lambda n: "a = " + "{a.b.c = " * (n // 3 + 1) + "1" + "}" * (n // 3 + 1),
    "behind text": lambda n: 'x = """ ]] \\""" ""\n# " """\ny = \'\'\'[" \'\'\'# [\na = ' + "[" * n + "]" * n,
}


@pytest.mark.parametrize("nest", NESTS)
def test_what_is_nested_too_deeply_is_refused_before_it_is_read(
    nest: str, monkeypatch: pytest.MonkeyPatch
) -> None:  # fmt: skip
    """Twenty thousand levels took a minute; no real job is a tenth as deep as what is allowed."""
    parse_toml(NESTS[nest](DEEPEST - 4), "x")
    monkeypatch.setattr(tomllib, "loads", lambda text: pytest.fail("it was read"))
    for depth in (DEEPEST + 4, 20_000):
        with pytest.raises(InputError, match="nested more than"):
            parse_toml(NESTS[nest](depth), "x")


def test_long_is_not_deep() -> None:
    flat = "\n".join(f"[a.b.c{k}]\nx.y = [[{k}.5, 1.5], {{z.w = 2.5}}]" for k in range(400))
    assert len(parse_toml(flat, "x").data["a"]["b"]) == 400
    assert parse_toml("x = [" + "1.5, " * 4000 + "]", "x").data["x"][-1] == 1.5
    assert parse_toml('x = "' + "[" * 4000 + '" # ' + "{" * 4000, "x").data
