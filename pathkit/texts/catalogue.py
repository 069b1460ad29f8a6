"""The catalogues as they are read from the package: messages by name, and the placeholders that each of them has."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator
from importlib import resources
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

    from fluent.runtime import FluentBundle
    from fluent.syntax.ast import Message, Pattern, SelectExpression

_ENDING: Final = ".ftl"
_PLURALS: Final = frozenset({"zero", "one", "two", "few", "many", "other"})
"""The forms of the Unicode CLDR's plural rules."""
_ENTRY: Final = re.compile(r"^([a-z][\w-]*) *=.*\n(?:(?:[ }].*)?\n)*", re.MULTILINE)
_POINT: Final = re.compile(r"(?<=\d)\.(?=\d)")


def files_of(code: str) -> tuple[str, ...]:
    """The names (without ending) of the files of a language."""
    names = (each.name for each in _home().joinpath(code).iterdir())
    return tuple(sorted(name.removesuffix(_ENDING) for name in names if name.endswith(_ENDING)))


@functools.cache
def messages(code: str, file: str) -> dict[str, Message]:
    """The messages of one file, by name. Raises `ValueError` for what is not Fluent's form, and for a name that stands
    twice or does not begin with the file's."""
    from fluent.syntax import FluentParser, ast

    found: dict[str, Message] = {}
    for entry in FluentParser(with_spans=False).parse(_source(code, file)).body:
        if isinstance(entry, ast.BaseComment):
            continue
        name = entry.id.name if isinstance(entry, ast.Message) else ""
        if not isinstance(entry, ast.Message) or entry.value is None:
            raise ValueError(f"{code}/{file}{_ENDING} holds what is no message after {list(found)[-1:]}: {entry}")
        if name in found or not name.startswith(f"{file}-"):
            raise ValueError(f"{code}/{file}{_ENDING}: {name!r} stands twice, or does not begin with '{file}-'")
        _in_one_line(entry.value)
        found[name] = entry
    return found


@functools.cache
def message(code: str, name: str) -> Message:
    """One message. Only its own lines are parsed: a file has many, and parsing is slow. Raises `LookupError`."""
    from fluent.syntax import FluentParser, ast

    entry = FluentParser(with_spans=False).parse_entry(_sources(code, _file_of(name))[name])
    if not isinstance(entry, ast.Message) or entry.value is None:
        raise LookupError(f"{code}: {name} is no message")
    _in_one_line(entry.value)
    return entry


@functools.cache
def bundle(code: str, name: str) -> FluentBundle:
    """What makes the text of a message; values are put in as they are, without marks of direction around them."""
    from fluent.syntax import ast

    found = _bundle(code, _file_of(name))
    wanted = [name]
    for each in wanted:
        if not found.has_message(each):
            made = message(code, each)
            wanted += references(made)
            found.add_resource(ast.Resource([made]))
    return found


@functools.cache
def _bundle(code: str, _: str) -> FluentBundle:
    """One for each file, which fills up as its messages are asked for."""
    from fluent.runtime import FluentBundle

    functions: dict[str, Any] = {"FIGURE": lambda text: figure(code, str(text))}
    return FluentBundle([code], functions, use_isolating=False)


@functools.cache
def _source(code: str, file: str) -> str:
    return _home().joinpath(code).joinpath(file + _ENDING).read_text(encoding="utf-8")


@functools.cache
def _sources(code: str, file: str) -> dict[str, str]:
    """The lines of each message: only the first has no space before it."""
    return {found[1]: found[0] for found in _ENTRY.finditer(_source(code, file))}


def _file_of(name: str) -> str:
    return name.partition("-")[0]


def figure(code: str, text: str) -> str:
    """A text with the decimal mark of a language in its numbers. In messages: ``{ FIGURE($width) }``."""
    mark = decimal_mark(code)
    return text if mark == "." else _POINT.sub(mark, text)


@functools.cache
def decimal_mark(code: str) -> str:
    """What stands between a number's whole and its fraction, by the Unicode CLDR (through Babel)."""
    from babel import Locale
    from babel.numbers import get_decimal_symbol

    return get_decimal_symbol(Locale.parse(code, sep="-"))


def placeholders(message: Message) -> frozenset[str]:
    """The names of the values that a message puts in or chooses by, those of messages that it refers to not among
    them."""
    return frozenset(_variables(message))


@functools.cache
def counted(code: str, name: str) -> frozenset[str]:
    """The placeholders of a message by whose number a plural is chosen."""
    from fluent.syntax import ast

    chosen = [each for each in _nodes(message(code, name)) if isinstance(each, ast.SelectExpression)]
    return frozenset(
        each.selector.id.name
        for each in chosen
        if isinstance(each.selector, ast.VariableReference) and _keys(each) <= _PLURALS
    )


def _keys(choice: SelectExpression) -> set[str]:
    return {str(getattr(variant.key, "name", None) or variant.key) for variant in choice.variants}


def references(message: Message) -> frozenset[str]:
    """The names of other messages that a message refers to."""
    from fluent.syntax import ast

    return frozenset(node.id.name for node in _nodes(message) if isinstance(node, ast.MessageReference))


def literals(message: Message) -> tuple[str, ...]:
    """The pieces of text between the placeholders, in every variant."""
    from fluent.syntax import ast

    return tuple(node.value for node in _nodes(message) if isinstance(node, ast.TextElement))


def _variables(message: Message) -> Iterator[str]:
    from fluent.syntax import ast

    return (node.id.name for node in _nodes(message) if isinstance(node, ast.VariableReference))


def _nodes(node: object) -> Iterator[object]:
    from fluent.syntax import ast

    yield node
    for value in vars(node).values():
        for each in value if isinstance(value, list) else [value]:
            if isinstance(each, ast.BaseNode):
                yield from _nodes(each)


def _in_one_line(pattern: Pattern) -> None:
    """Lines of a message are wrapped for those who write it; its text has none."""
    from fluent.syntax import ast

    for node in _nodes(pattern):
        if isinstance(node, ast.TextElement):
            node.value = node.value.replace("\n", " ")


def _home() -> Traversable:
    return resources.files("pathkit.texts")
