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

    text = _home().joinpath(code).joinpath(file + _ENDING).read_text(encoding="utf-8")
    found: dict[str, Message] = {}
    for entry in FluentParser(with_spans=False).parse(text).body:
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
def bundle(code: str, file: str) -> FluentBundle:
    """One file, ready to make texts; values are put in as they are, without marks of direction around them."""
    from fluent.runtime import FluentBundle
    from fluent.syntax import ast

    functions: dict[str, Any] = {"FIGURE": lambda text: figure(code, str(text))}
    found = FluentBundle([code], functions, use_isolating=False)
    found.add_resource(ast.Resource(list(messages(code, file).values())))
    return found


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

    chosen = [n for n in _nodes(messages(code, name.partition("-")[0])[name]) if isinstance(n, ast.SelectExpression)]
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
