"""The line of a file that a finding speaks of, with a mark under its column.

The text is untrusted: only so much of it is shown as the terminal is wide, and nothing in it can steer the terminal.
"""

from __future__ import annotations

import shutil
import sys
import unicodedata
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from typing import Final

from pathkit.errors import InputError
from pathkit.files import LARGEST_TEXT, read_bytes
from pathkit.findings import Finding

WIDE: Final = 100
"""Columns where the output is no terminal."""
NARROW: Final = 20
"""Columns of text that are shown at least."""
DRAWINGS: Final = frozenset({".svg", ".dxf"})
"""A drawing is named as its job file names it, and its lines are often endless."""
_REPLACED: Final = "\N{MIDDLE DOT}"
_MORE: Final = "..."


_words: ContextVar[tuple[str, ...] | None] = ContextVar("words", default=None)


@contextmanager
def only_what_is_named(words: Sequence[str]) -> Iterator[None]:
    """Within it, lines are shown only of files that a command line names: itself, in a folder that it names, or as TOML
    beside it. A job from outside may name any file as its tool table, and its lines are nobody's business."""
    token = _words.set(tuple(words))
    try:
        yield
    finally:
        _words.reset(token)


def _is_named(name: str) -> bool:
    words = _words.get()
    if words is None:
        return True
    try:
        file = Path(name).resolve()
        named = [Path(part).resolve() for word in words for part in (word, word.partition("=")[2]) if part]
        return any(
            file == each or (each.is_dir() and each in file.parents)
            or (each.is_file() and file.suffix == ".toml" and file.parent == each.parent)
            for each in named
        )  # fmt: skip
    except (OSError, ValueError, RuntimeError):
        # A word that is no path, or links in a circle.
        return False


class SourceLines:
    """Reads each file once, and shows lines of it."""

    def __init__(self, *, err: bool = False) -> None:
        stream = sys.stderr if err else sys.stdout
        self._encoding = getattr(stream, "encoding", None) or "ascii"
        self._files: dict[str, Sequence[bytes]] = {}

    def shown(self, finding: Finding, indent: str = "") -> list[str]:
        """The line with its number, and the mark below it if the column is known; nothing for what cannot be read."""
        if finding.file is None or finding.line is None or Path(finding.file).suffix.lower() in DRAWINGS:
            return []
        lines = self._lines_of(finding.file)
        if not 0 < finding.line <= len(lines):
            return []
        text = _plain(lines[finding.line - 1].decode("utf-8", "replace"), self._encoding)
        gutter = f"{indent}  {finding.line:>4} | "
        room = max(shutil.get_terminal_size((WIDE, 24)).columns - len(gutter) - 1, NARROW)
        column = finding.column if finding.column is not None and 0 < finding.column <= len(text) + 1 else None
        text, place = _cut(text, column, room)
        if not text.strip():
            return []
        blank = " " * (len(gutter) - 2) + "| "
        mark = [] if place is None else [blank + " " * place + "^"]
        return [gutter + text.rstrip(), *mark]

    def _lines_of(self, name: str) -> Sequence[bytes]:
        if name not in self._files:
            try:
                data = read_bytes(name, LARGEST_TEXT) if _is_named(name) else b""
            except InputError:
                # A file that is too large, or none at all: the finding stands without its line.
                data = b""
            self._files[name] = data.removeprefix(b"\xef\xbb\xbf").split(b"\n")
        return self._files[name]


def _plain(text: str, encoding: str) -> str:
    """Only what a terminal prints as it is: no control characters, no changes of direction, nothing it lacks."""
    text = text.removesuffix("\r").replace("\t", " ")
    text = "".join(each if each.isprintable() else _REPLACED for each in text)
    try:
        return text.encode(encoding, "replace").decode(encoding)
    except LookupError:
        return text.encode("ascii", "replace").decode("ascii")


def _cut(text: str, column: int | None, room: int) -> tuple[str, int | None]:
    """The part of a line that has room, with ``column`` (from 1) in it, and the place of the mark (from 0)."""
    begin = 0
    if column is not None and _wide(text[:column]) > room - len(_MORE):
        # What stands before the column matters most, and some of what follows.
        while _wide(text[begin:column]) > room * 2 // 3 - len(_MORE):
            begin += 1
    head = _MORE if begin else ""
    end = len(text)
    if _wide(head + text[begin:]) > room:
        # Wide characters count twice, so that as many characters as there are columns are at least enough.
        end = min(end, begin + room)
        while end > begin and _wide(head + text[begin:end]) > room - len(_MORE):
            end -= 1
    shown = head + text[begin:end] + (_MORE if end < len(text) else "")
    return shown, None if column is None else _wide(head + text[begin : column - 1])


def _wide(text: str) -> int:
    """Columns that a text takes."""
    return sum(
        0 if unicodedata.combining(each) else 2 if unicodedata.east_asian_width(each) in "WF" else 1 for each in text
    )
