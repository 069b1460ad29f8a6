"""Forms of what comes from outside, derived from the dataclasses that they fill; and what is wrong with it, in words.

A form knows the names, types, limits and defaults of its dataclass, and nothing else: a field that is added there is
read here. What must hold between fields the dataclass itself says when the form is filled.
"""

from __future__ import annotations

import dataclasses
import difflib
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from types import UnionType
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Final, Literal, TypeVar, Union, get_args, get_origin

from annotated_types import Len
from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    PrivateAttr,
    StringConstraints,
    ValidationError,
    create_model,
    model_validator,
)  # fmt: skip

from pathkit.errors import PathkitError
from pathkit.fields import Text, default_of, hints
from pathkit.findings import Finding
from pathkit.toml_source import Path, TomlSource
from pathkit.units import FEED, LENGTH

Types = Mapping[Any, Any]


class Table(BaseModel):
    """A table of the file: no key that is not known, no value of another kind."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False, defer_build=True)


class Filled(Table):
    """A table whose fields are those of a dataclass; `fills` adds them."""

    kind_: ClassVar[type[Any]]
    names_: ClassVar[frozenset[str]] = frozenset()
    stand_ins_: ClassVar[Mapping[str, Any]] = {}
    _made: Any = PrivateAttr(None)

    if TYPE_CHECKING:

        def __getattr__(self, name: str) -> Any: ...

    def value(self, **more: Any) -> Any:
        """The dataclass that this table fills; ``more`` are fields that the table leaves out.

        Raises the dataclass' own `InputError`.
        """
        if not more and self._made is not None:
            return self._made
        said = {name: _tuples(getattr(self, name)) for name in self.names_}
        return self.kind_(**{**said, **self.elsewhere(), **more})

    def elsewhere(self) -> Mapping[str, Any]:
        """Fields that stand in other keys of the table than their own."""
        return {}

    @model_validator(mode="after")
    def _possible(self) -> Any:
        kind: Any = self.kind_
        if _needed(kind) <= {*self.names_, *self.stand_ins_}:
            made = self.value(**self.stand_ins_)
            self._made = None if self.stand_ins_ else made
        return self


@cache
def _needed(kind: type[Any]) -> frozenset[str]:
    """The fields of a dataclass that have no default."""
    return frozenset(f.name for f in dataclasses.fields(kind) if default_of(f) is dataclasses.MISSING)


Form = TypeVar("Form", bound=Filled)


def fills(
    kind: Any, *left_out: str, needed: Iterable[str] = (), types: Types | None = None, **stand_ins: Any
) -> Callable[[type[Form]], type[Form]]:
    """A decorator that adds the fields of a dataclass to a form; its own keys go before them.

    ``needed`` must be said though the dataclass has a default; ``types`` holds forms of types that are written in a way
    of their own. ``stand_ins`` are left out too, and stand for themselves while the rest is checked together.
    """

    def derive(form: type[Form]) -> type[Form]:
        fields = {f.name: f for f in dataclasses.fields(kind) if f.name not in {*left_out, *stand_ins}}
        added: dict[str, Any] = {}
        for name in (name for name in fields if name not in form.model_fields):
            default = dataclasses.MISSING if name in needed else default_of(fields[name])
            added[name] = (_type(hints(kind)[name], types or {}), ... if default is dataclasses.MISSING else default)
        made: type[Form] = create_model(form.__name__, __base__=form, __module__=form.__module__, **added)
        made.__doc__ = form.__doc__
        made.kind_, made.names_, made.stand_ins_ = kind, frozenset(fields), stand_ins
        return made

    return derive


def filled(form: type[Filled]) -> Any:
    """The type of a key whose table fills this form; its value is the dataclass."""
    return Annotated[form, AfterValidator(lambda table: table.value())]


def form_of(kind: type[Any], /, types: Types | None = None, **tag: str) -> type[Filled]:
    """A form of all of a dataclass, and perhaps a key that holds a fixed word."""
    own: dict[str, Any] = {key: (Literal[word], ...) for key, word in tag.items()}
    return fills(kind, types=types)(create_model(kind.__name__, __base__=Filled, **own))


def _type(hint: Any, types: Types) -> Any:
    """The type as a file can hold it: lists for tuples, tables for dataclasses."""
    if hint in types:
        return types[hint]
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Annotated:
        limits = (StringConstraints(pattern=m.pattern, max_length=m.longest) if isinstance(m, Text) else m
                  for m in hint.__metadata__)  # fmt: skip
        return Annotated[(_type(inner[0], types), *limits)]
    if origin in (Union, UnionType):
        return Union[tuple(_type(each, types) for each in inner)]  # noqa: UP007 - made of what is known only now
    if origin is tuple and inner[-1] is Ellipsis:
        return list[_type(inner[0], types)]  # type: ignore[misc]
    if origin is tuple and len(set(inner)) > 1:
        mixed = tuple[tuple(_type(each, types) for each in inner)]  # type: ignore[misc,valid-type]
        return Annotated[mixed, BeforeValidator(lambda value: tuple(value) if isinstance(value, list) else value)]
    if origin is tuple:
        return Annotated[list[_type(inner[0], types)], Len(len(inner), len(inner))]  # type: ignore[misc]
    if dataclasses.is_dataclass(hint):
        assert isinstance(hint, type)
        return filled(form_of(hint, types))
    return hint


def _tuples(value: Any) -> Any:
    return tuple(map(_tuples, value)) if isinstance(value, list) else value


def read(
    form: type[Any], document: TomlSource, check: str, found: list[Finding], *,
    renamed: Mapping[str, Mapping[str, str]] | None = None, examples: Mapping[str, str] | None = None,
    context: Any = None,
) -> Any:  # fmt: skip
    """The form of a document; None, and every finding with its line added to ``found``, where it does not fit.

    ``renamed`` holds values of keys that files of earlier versions may still have, and what they are called now;
    ``examples`` holds keys that may be missing, and what may stand there; with the name of what they stand in and a
    dot before them, what may stand there alone.
    """
    try:
        return form.model_validate(document.data, context=context)
    except ValidationError as error:
        for fault in error.errors():
            # A length or true: what is neither is told once.
            if fault["loc"][-1:] != ("literal[True]",):
                found += _findings(document, fault, form, check, renamed or {}, examples or {})
    return None


def dotted_path(path: Iterable[str | int]) -> str:
    """``$.part[0].operations[1].bottom``."""
    return "$" + "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in path)


def finding_at(document: TomlSource, check: str, path: Path, what: str, fix: str = "") -> Finding:
    """A finding at a key path of a document, with its line."""
    # What is missing from the file as a whole has no line of its own.
    line = document.line_of(path) or (1 if document.lines else None)
    return Finding(check=check, what=what, fix=fix, file=document.source or None, line=line, path=dotted_path(path))


def _findings(
    document: TomlSource, fault: Any, form: Any, check: str, renamed: Mapping[str, Any], examples: Mapping[str, str]
) -> Iterator[Finding]:
    kind = fault["type"]
    path = _real_path(document.data, fault["loc"], keep_last=kind in ("missing", "union_tag_not_found"))
    error = fault.get("ctx", {}).get("error")
    if isinstance(error, PathkitError):
        for each in error.findings:
            name = dotted_path(path)[2:]
            what = f"{name}: {each.what}" if name else each.what
            yield finding_at(document, check, (*path, *_keys(each.path or "")), what, each.fix)
        return
    name = dotted_path(path)[2:] or "the file"
    what, fix = f"{name}: {_reworded(fault['msg'])}", _HINTS.get(kind, "")
    last = str(path[-1]) if path else ""
    if kind == "extra_forbidden":
        known = _keys_beside(fault["loc"], form)
        near = difflib.get_close_matches(last, known, 1)
        what = f"unknown key {last!r}"
        fix = f"did you mean {near[0]!r}?" if near else f"known here: {', '.join(known)}" if known else "remove it"
    elif kind == "missing":
        within = next((key for key in reversed(path[:-1]) if isinstance(key, str)), "")
        example = examples.get(f"{within}.{last}", examples.get(last))
        what, fix = f"{name} is missing", f"add it: {example}, say" if example is not None else "add it"
    elif kind in ("union_tag_not_found", "union_tag_invalid"):
        key, tag = fault["ctx"]["discriminator"].strip("'"), fault["ctx"].get("tag")
        what = f"{name}.{key} is missing" if tag is None else f"{name}.{key} is {tag!r}"
        fix = f"one of: {_alternatives(fault['loc'], form, key)}"
        path = path if tag is None else (*path, key)
    elif kind in ("model_type", "dict_type", "model_attributes_type"):
        what = f"{name}: must be a table, not {_short(fault['input'])}"
        fix = f"write [{name}] and its keys below" if document.lines else "give its keys in braces"
    elif isinstance(fault["input"], str) and (now := renamed.get(last, {}).get(fault["input"])) is not None:
        what, fix = f"{name}: {_short(fault['input'])} has another name now", f"write {last} = {now!r}"
    elif not isinstance(fault["input"], (dict, list)):
        what += f", not {_short(_written(document.data, path, fault['input']))}"
    yield finding_at(document, check, path, what, fix)


_HINTS: Final = {
    "float_type": "a plain number, without quotes",
    "length_text": LENGTH.ways,
    "feed_text": FEED.ways,
    "greater_than": "give more; a plain length is in mm",
    "greater_than_equal": "give more; a plain length is in mm",
    "less_than": "give less; a plain length is in mm",
    "less_than_equal": "give less; a plain length is in mm",
    "too_short": "give as many, in square brackets; a point is [x, y]",
    "too_long": "give as many, in square brackets; a point is [x, y]",
    "string_too_short": "give it a name",
    "string_pattern_mismatch": "leave out control characters such as tabs and ends of lines",
    "int_type": "a whole number, without quotes",
    "string_type": "text in quotes",
    "list_type": "a list in square brackets",
    "bool_type": "true or false",
    "finite_number": "a finite number",
}


def _written(data: Any, path: Path, otherwise: Any) -> Any:
    """The value as it stands in the file, where it is a text: forms may have read a number out of it."""
    for key in path:
        data = data[key]
    return data if isinstance(data, str) else otherwise


def _reworded(message: str) -> str:
    message = message.removeprefix("Value error, ").replace("Input should be ", "must be ").removeprefix("Input ")
    message = message.replace("a valid integer", "a whole number").replace("a valid ", "a ")
    return message.replace("dictionary", "table").replace(" after validation", "")


def _keys(path: str) -> Path:
    """The keys in ``$.toolpaths[1].bottom``."""
    return tuple(int(m[2]) if m[2] else m[1] for m in re.finditer(r"\.([^.\[]+)|\[(\d+)\]", path))


def _real_path(data: Any, loc: Iterable[str | int], *, keep_last: bool) -> Path:
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


def _keys_beside(loc: tuple[str | int, ...], form: Any) -> list[str]:
    """The keys that the form knows where an unknown one stands."""
    return sorted({name for kind in _forms_at(loc[:-1], form) for name in _fields(kind)})


def _alternatives(loc: tuple[str | int, ...], form: Any, key: str) -> str:
    return ", ".join(str(word) for kind in _forms_at(loc, form) for word in get_args(_fields(kind)[key].annotation))


def _forms_at(loc: Iterable[str | int], form: Any) -> list[Any]:
    kinds = [form]
    for step in loc:
        kinds = [inner for kind in kinds for inner in _step(kind, step)]
    return kinds


def _step(kind: Any, step: str | int) -> Iterator[Any]:
    """The types behind one step from a type: a key, a place in a list, or the word that chooses an alternative."""
    if step in _fields(kind):
        yield from _members(_fields(kind)[str(step)].annotation)
    elif any(get_origin(f.annotation) is Literal and step in get_args(f.annotation) for f in _fields(kind).values()):
        yield kind
    elif get_origin(kind) in (list, dict):
        yield from _members(get_args(kind)[-1])


def _members(annotation: Any) -> Iterator[Any]:
    if get_origin(annotation) is Annotated:
        yield from _members(get_args(annotation)[0])
    elif get_origin(annotation) in (Union, UnionType):
        for each in get_args(annotation):
            yield from _members(each)
    else:
        yield annotation


def _fields(kind: Any) -> Mapping[str, Any]:
    return kind.model_fields if isinstance(kind, type) and issubclass(kind, BaseModel) else {}


def _short(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "…"
