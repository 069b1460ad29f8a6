"""TOML with places: the values of a document, and the line on which each key stands.

`tomllib` gives values without positions. The document is parsed by it first, so the scan below only ever walks valid
TOML and needs no error handling of its own.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pathkit.errors import InputError
from pathkit.findings import Finding

Path = tuple[str | int, ...]

_KEY = re.compile(r"""[ \t]*(?:"((?:[^"\\]|\\.)*)"|'([^']*)'|([A-Za-z0-9_-]+))[ \t]*""")


@dataclass(frozen=True)
class TomlSource:
    """``data`` as `tomllib` reads it; ``lines`` maps key paths to line numbers from 1; ``source`` names the file."""

    data: dict[str, Any]
    lines: dict[Path, int]
    source: str

    def line_of(self, path: Path) -> int | None:
        """The line of the value, or of the nearest enclosing one that has a place."""
        while path:
            if path in self.lines:
                return self.lines[path]
            path = path[:-1]
        return None


def parse_toml(text: str, source: str) -> TomlSource:
    """Parse, or raise `InputError` with tomllib's own line and column."""
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        where = re.search(r"at line (\d+), column (\d+)", str(error))
        line, column = (int(where[1]), int(where[2])) if where else (text.count("\n") + 1, None)
        what = "not TOML: " + str(error).split(" (at ")[0]
        finding = Finding(check="toml", what=what, fix="mend the line", file=source, line=line, column=column)
        raise InputError([finding]) from None
    return TomlSource(data, dict(_places(text.replace("\r\n", "\n"))), source)


def _places(text: str) -> Iterator[tuple[Path, int]]:
    table: Path = ()
    counts: dict[Path, int] = {}
    position = 0
    while position < len(text):
        position = _skip_blank(text, position)
        if position >= len(text):
            return
        line = text.count("\n", 0, position) + 1
        if text[position] == "[":
            many = text.startswith("[[", position)
            keys, position = _dotted(text, position + (2 if many else 1))
            position += 2 if many else 1
            table = _resolve(keys, counts)
            if many:
                counts[table] = counts.get(table, -1) + 1
                table = (*table, counts[table])
            yield table, line
        else:
            keys, position = _dotted(text, position)
            for depth in range(1, len(keys) + 1):
                yield (*table, *keys[:depth]), line
            position = yield from _value(text, position + 1, (*table, *keys))


def _resolve(keys: Path, counts: dict[Path, int]) -> Path:
    """A header's keys, with the index of the latest element where a prefix is an array of tables."""
    path: Path = ()
    for index, key in enumerate(keys):
        path = (*path, key)
        if index < len(keys) - 1 and path in counts:
            path = (*path, counts[path])
    return path


def _skip_blank(text: str, position: int) -> int:
    while position < len(text):
        if text[position] in " \t\n\r,":
            position += 1
        elif text[position] == "#":
            end = text.find("\n", position)
            position = len(text) if end < 0 else end
        else:
            break
    return position


def _dotted(text: str, position: int) -> tuple[Path, int]:
    keys: list[str] = []
    while True:
        match = _KEY.match(text, position)
        assert match is not None, "tomllib accepted what has no key here"
        basic, literal, bare = match.groups()
        if basic is not None:
            keys.append(next(iter(tomllib.loads(f'"{basic}" = 0'))))
        else:
            keys.append(literal if literal is not None else bare)
        position = match.end()
        if not text.startswith(".", position):
            return tuple(keys), position
        position += 1


def _value(text: str, position: int, path: Path) -> Iterator[tuple[Path, int]]:
    """Walk one value, yield the places inside it, return the position behind it."""
    position = _skip_blank(text, position)
    first = text[position]
    if first in "\"'":
        return _skip_string(text, position)
    if first not in "[{":
        while position < len(text) and text[position] not in ",]}#\n":
            position += 1
        return position
    closing = "]" if first == "[" else "}"
    position = _skip_blank(text, position + 1)
    index = 0
    while text[position] != closing:
        line = text.count("\n", 0, position) + 1
        if first == "[":
            inner: Path = (*path, index)
            yield inner, line
            index += 1
        else:
            keys, position = _dotted(text, position)
            for depth in range(1, len(keys) + 1):
                yield (*path, *keys[:depth]), line
            inner = (*path, *keys)
            position += 1
        position = yield from _value(text, position, inner)
        position = _skip_blank(text, position)
    return position + 1


def _skip_string(text: str, position: int) -> int:
    quote = text[position]
    if text.startswith(quote * 3, position):
        position += 3
        while not text.startswith(quote * 3, position):
            position += 2 if quote == '"' and text[position] == "\\" else 1
        position += 3
        # Up to two quotes may stand inside, directly before the closing three.
        while text.startswith(quote, position):
            position += 1
        return position
    position += 1
    while text[position] != quote:
        position += 2 if quote == '"' and text[position] == "\\" else 1
    return position + 1
