"""TOML with line numbers: the values of a document, and the line of each key.

`tomllib` gives values without positions. It parses the document first, so the scan below only ever sees valid TOML and
needs no error handling of its own.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_left
from collections.abc import Generator, Iterator
from dataclasses import dataclass
from typing import Any

from pathkit.errors import InputError
from pathkit.findings import Finding

Path = tuple[str | int, ...]
Place = tuple[Path, int, bool]

DEEPEST = 32
"""Most keys and list places on the way to one value. The time for deeper texts grows with the square of the depth."""

_MARK = re.compile(
    r'''"""(?:\\.|[^\\])*?"{3,5}|\'{3}.*?\'{3,5}|"(?:\\.|[^"\\\n])*"|'[^'\n]*'|\#[^\n]*|[\[\]{}.,=\n]''', re.DOTALL
)
_KEY = re.compile(r"""[ \t]*(?:"((?:[^"\\]|\\.)*)"|'([^']*)'|([A-Za-z0-9_-]+))[ \t]*""")


@dataclass(frozen=True)
class TomlSource:
    """``data`` as `tomllib` reads it; ``lines`` maps key paths to line numbers from 1; ``source`` names the file."""

    data: dict[str, Any]
    lines: dict[Path, int]
    source: str

    def line_of(self, path: Path) -> int | None:
        """The line of the value, or of the nearest enclosing value that has one."""
        while path:
            if path in self.lines:
                return self.lines[path]
            path = path[:-1]
        return None


def parse_toml(text: str, source: str) -> TomlSource:
    """Parse, or raise `InputError` with the line (and tomllib's own column) of the fault."""
    _refuse_depth(text, source)
    try:
        data = tomllib.loads(text)
        lines = _lines(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as error:
        where = re.search(r"at line (\d+), column (\d+)", str(error))
        line, column = (int(where[1]), int(where[2])) if where else (text.count("\n") + 1, None)
        raise _refusal(str(error).split(" (at ")[0], source, line, column) from None
    except RecursionError:
        raise _refusal("values are nested too deeply", source, 1, None) from None
    except ValueError as error:
        # Python's own limit on the digits of an integer, for one.
        raise _refusal(str(error).split(";")[0], source, 1, None) from None
    return TomlSource(data, lines, source)


def _refuse_depth(text: str, source: str) -> None:
    """Refuse values that are nested too deeply, by brackets or by dots, before any code descends into them.

    Sees only strings, comments and the signs between them: it need not be right about text that is not TOML.
    """
    lines, header, in_header, dots = 1, 0, False, 0
    around: list[int] = []
    fresh = True
    for match in _MARK.finditer(text):
        sign = match[0]
        if sign == "\n":
            lines += 1
            if in_header:
                header, in_header, around = dots, False, []
            if not around:
                dots = 0
        elif sign in ("[", "{"):
            if fresh and sign == "[":
                in_header, header = True, 0
            elif not in_header:
                around.append(dots + 1)
                dots = 0
        elif sign in ("]", "}"):
            if around:
                dots = around.pop() - 1
        elif sign == ",":
            dots = 0
        elif sign == ".":
            dots += 1
        else:
            lines += sign.count("\n")
        fresh = sign == "[" and fresh if sign != "\n" else not around
        if header + sum(around) + dots > DEEPEST:
            raise _refusal(f"values are nested more than {DEEPEST} deep", source, lines, None)


def _refusal(what: str, source: str, line: int, column: int | None) -> InputError:
    fix = "correct the line"
    return InputError([Finding(check="toml", what=f"not TOML: {what}", fix=fix, file=source, line=line, column=column)])


def _lines(text: str) -> dict[Path, int]:
    """The line of each key path; a path that is only named on the way to another has the first such line."""
    breaks = [match.start() for match in re.finditer("\n", text)]
    stated: dict[Path, int] = {}
    passed: dict[Path, int] = {}
    for path, position, on_the_way in _places(text):
        (passed if on_the_way else stated).setdefault(path, bisect_left(breaks, position) + 1)
    return passed | stated


def _places(text: str) -> Iterator[Place]:
    table: Path = ()
    counts: dict[Path, int] = {}
    position = _skip_blank(text, 0)
    while position < len(text):
        begin = position
        if text[position] == "[":
            many = text.startswith("[[", position)
            keys, position = _dotted(text, position + (2 if many else 1))
            position += 2 if many else 1
            table = _resolve(keys, counts)
            if many:
                counts[table] = counts.get(table, -1) + 1
                table = (*table, counts[table])
            yield from _with_prefixes((), table, begin)
        else:
            keys, position = _dotted(text, position)
            yield from _with_prefixes(table, keys, begin)
            position = yield from _value(text, position + 1, (*table, *keys))
        position = _skip_blank(text, position)


def _with_prefixes(table: Path, keys: Path, position: int) -> Iterator[Place]:
    for depth in range(1, len(keys) + 1):
        yield (*table, *keys[:depth]), position, depth < len(keys)


def _resolve(keys: Path, counts: dict[Path, int]) -> Path:
    """A header's keys, with the index of the latest element after a prefix that is an array of tables."""
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
        assert match is not None, "tomllib accepted a line without a key"
        basic, literal, bare = match.groups()
        if basic is not None:
            keys.append(next(iter(tomllib.loads(f'"{basic}" = 0'))))
        else:
            keys.append(literal if literal is not None else bare)
        position = match.end()
        if not text.startswith(".", position):
            return tuple(keys), position
        position += 1


def _value(text: str, position: int, path: Path) -> Generator[Place, None, int]:
    """Go through one value, yield the places inside it, return the position after it."""
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
        if first == "[":
            inner: Path = (*path, index)
            yield inner, position, False
            index += 1
        else:
            begin = position
            keys, position = _dotted(text, position)
            yield from _with_prefixes(path, keys, begin)
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
        # Up to two quotes may come directly before the closing three.
        while text.startswith(quote, position):
            position += 1
        return position
    position += 1
    while text[position] != quote:
        position += 2 if quote == '"' and text[position] == "\\" else 1
    return position + 1
