"""What the keys of job files and profiles mean, in words: made from their forms, so that nothing is written twice."""

from __future__ import annotations

import dataclasses
import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import UnionType
from typing import Annotated, Any, Final, Literal, Union, get_args, get_origin, get_type_hints

from pydantic import BaseModel, PydanticUserError, TypeAdapter
from pydantic.fields import FieldInfo

from pathkit.errors import UnknownName
from pathkit.fields import default_of
from pathkit.forms import Filled, Table
from pathkit.jobs.schema import JobForm
from pathkit.machine.capabilities import OVERRIDABLE, Capabilities, SpeedUnit
from pathkit.machine.profile_file import ProfileFile
from pathkit.units import Quantity

PROFILE: Final = "profile"
"""How the keys of a machine's profile begin here; those of a job file begin with their own names."""

_NAMES: Final = "table of names"
_DEEPEST: Final = 12
_NEAR: Final = 5


@dataclass(frozen=True)
class Key:
    """A key of a file. ``path`` leads to it, with NAME for a name of one's own; ``also`` are other places of the same
    key. ``kind`` is its type, ``limits`` its limits and ``unit`` its unit, in words; ``default`` what holds unless it
    is given. ``says`` is what is said of it, ``inner`` what keys its table has."""

    path: str
    kind: str
    limits: str = ""
    unit: str = ""
    default: str = ""
    needed: bool = False
    says: str = ""
    inner: tuple[str, ...] = ()
    also: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        return self.path.rsplit(".", 1)[-1]

    def as_dict(self) -> dict[str, Any]:
        """For JSON: only what is set."""
        return {key: value for key, value in dataclasses.asdict(self).items() if value or key == "needed"}


def keys_like(asked: str) -> tuple[Key, ...]:
    """The keys that ``asked`` means: a whole path, its last part, or any parts of it in their order.

    Places in lists (``part[0]``) and a leading ``$.`` are let pass, so that the path of a finding may be given. Raises
    `UnknownName` with the nearest keys if there is none.
    """
    wanted = [part for part in re.sub(r"\[\d*\]|^\$\.?", "", asked.strip()).split(".") if part]
    every = every_key()
    paths = {key.path: key for key in every} | {path: key for key in every for path in key.also}
    plain = ".".join(wanted)
    exact = paths.get(plain) or paths.get(f"{PROFILE}.{plain.removeprefix('machine.')}")
    if exact is not None and len(wanted) > 1:
        return (exact,)
    # To whoever writes a profile its keys are those of the machine; and a name of one's own stands where NAME does.
    ways = (wanted, [PROFILE, *wanted[1:]] if wanted[:1] == ["machine"] else [])
    for named in (False, True):
        for way in ways:
            found = tuple(k for k in every if any(_holds(path.split("."), way, named) for path in (k.path, *k.also)))
            if found:
                return found
    around = paths.get(".".join(wanted[:-1]))
    if around is not None and around.kind.startswith(_NAMES):
        # A name of one's own is no key: what it names stands in a table of such names.
        return (around,)
    raise UnknownName(f"no key is called {asked!r}; {_nearest(plain, every)}")


def _holds(path: Sequence[str], wanted: Sequence[str], named: bool) -> bool:
    """Whether all that is wanted stands in the path in that order, and last what stands last there; ``named``: where
    the path has NAME, any word does."""
    if not wanted or path[-1] != wanted[-1]:
        return False
    rest = iter(path)
    return all(any(each == part or (named and each == "NAME") for each in rest) for part in wanted)


def _nearest(plain: str, every: Sequence[Key]) -> str:
    names = {key.name: key for key in every}
    near = difflib.get_close_matches(plain.rsplit(".", 1)[-1], names, _NEAR)
    near += difflib.get_close_matches(plain, [key.path for key in every], _NEAR - min(len(near), _NEAR - 1))
    return f"did you mean {', '.join(dict.fromkeys(near))}?" if near else "pathkit schema without a key lists them all"


@cache
def every_key() -> tuple[Key, ...]:
    """All keys of a job file, then those of a machine's profile; the same key in several places once."""
    found: dict[Any, Key] = {}
    for path, owner, key in (*_keys_of(JobForm, ()), *_pass_keys(), *_profile_keys()):
        same = (owner, key.name, key.kind, key.limits, key.default, key.says)
        if same in found:
            found[same] = dataclasses.replace(found[same], also=(*found[same].also, path))
        else:
            found[same] = key
    return tuple(found.values())


def _keys_of(form: type[BaseModel], path: tuple[str, ...]) -> Iterator[tuple[str, Any, Key]]:
    if len(path) > _DEEPEST:
        return
    for name, field in form.model_fields.items():
        hint = _whole(field)
        inner = tuple(_tables(hint))
        here = (*path, name)
        yield ".".join(here), _owner(form, name), _key(".".join(here), form, name, field, inner)
        for step, table in inner:
            yield from _keys_of(table, (*here, *step))


def _whole(field: FieldInfo) -> Any:
    """The type with what was said beside it."""
    return Annotated[(field.annotation, *field.metadata)] if field.metadata else field.annotation


def _owner(form: type[Any], name: str) -> Any:
    """The class that says what a key is: forms that fill one dataclass share its keys."""
    if issubclass(form, Filled) and name in form.names_:
        return form.kind_
    return next((base for base in reversed(form.__mro__) if name in getattr(base, "model_fields", {})), form)


def _tables(hint: Any) -> Iterator[tuple[tuple[str, ...], type[BaseModel]]]:
    """The tables in a type, each with what leads to it: NAME, or the kind of several."""
    origin, inner = get_origin(hint), get_args(hint)
    if isinstance(hint, type) and issubclass(hint, BaseModel):
        yield (), hint
    elif origin is Annotated:
        yield from _tables(inner[0])
    elif origin is dict:
        yield from ((("NAME", *step), table) for step, table in _tables(inner[1]))
    elif origin in (Union, UnionType):
        several = [each for one in inner for each in _tables(one)]
        for step, table in several:
            yield (*step, *(_kind_of(table) if len(several) > 1 else ())), table
    elif origin is list:
        yield from _tables(inner[0])


def _kind_of(table: type[BaseModel]) -> tuple[str, ...]:
    """The word by which a table is told from others in its place."""
    field = table.model_fields.get("kind")
    words = get_args(field.annotation) if field is not None else ()
    return words if len(words) == 1 else ()


def _key(
    path: str, form: type[BaseModel], name: str, field: FieldInfo, inner: tuple[tuple[tuple[str, ...], Any], ...]
) -> Key:  # fmt: skip
    hint = _whole(field)
    default = "" if field.is_required() else _plain(field.get_default(call_default_factory=True))
    # Of several kinds of table their names; of one its keys.
    keys = (
        tuple(step[-1] for step, _ in inner)
        if len(inner) > 1
        else tuple(
            f"{key} (needed)" if inside.is_required() else key
            for _, table in inner
            for key, inside in table.model_fields.items()
        )
    )
    says = _said_of(form, name) or _doc(inner[0][1] if len(inner) == 1 else form)
    return Key(path, _words(hint), _limits(hint), _unit(hint), default, field.is_required(), says, keys)


def _pass_keys() -> Iterator[tuple[str, Any, Key]]:
    """The passes that are installed, with their options."""
    from pathkit.registry import installed

    for provided in installed().provided("pass"):
        kind, path = provided.value, f"passes.{provided.name}"
        if dataclasses.is_dataclass(kind):
            options = [f for f in dataclasses.fields(kind) if f.name not in ("setup", "material")]
            says, inner = _clean(_said_in(kind)), tuple(f.name for f in options)
            yield path, kind, Key(path, "true or false, or a table of its options", says=says, inner=inner)
            yield from _option_keys(kind, options, path, defaults=True)


def _profile_keys() -> Iterator[tuple[str, Any, Key]]:
    """The keys of a machine's profile, with what its [output] may change of the dialect."""
    yield from _keys_of(ProfileFile, (PROFILE,))
    options = [f for f in dataclasses.fields(Capabilities) if f.name in OVERRIDABLE]
    # What holds unless it is given is for the dialect to say.
    yield from _option_keys(Capabilities, options, f"{PROFILE}.output", defaults=False)
    speed, suffix = f"{PROFILE}.output.speed", f"{PROFILE}.output.suffix"
    yield speed, Capabilities, Key(speed, _words(SpeedUnit), says=_SPEED)
    yield suffix, Capabilities, Key(suffix, "text", says=_SUFFIX)


_SPEED: Final = (
    "What S counts: rpm, percent, or 255ths (byte) of the spindle's fastest speed; a number is the S of that speed, "
    "such as 1000."
)
_SUFFIX: Final = "What the names of cut files end in: a dot and letters or digits."
"""What a profile calls otherwise than the dialect, or what the dialect has elsewhere."""


def _option_keys(
    kind: Any, options: Sequence[dataclasses.Field[Any]], path: str, *, defaults: bool
) -> Iterator[tuple[str, Any, Key]]:  # fmt: skip
    try:
        hints = get_type_hints(kind, include_extras=True)
    except NameError:
        # Types that only checkers import: then less is known of its options.
        hints = {}
    for option in options:
        hint, here, default = hints.get(option.name, Any), f"{path}.{option.name}", default_of(option)
        plain = _plain(default) if defaults and default is not dataclasses.MISSING else ""
        yield (
            here,
            kind,
            Key(here, _words(hint), _limits(hint), _unit(hint), plain, says=_said(kind, option.name) or _doc(kind)),
        )


# --- in words -----------------------------------------------------------------------------------------------------

_PLAIN: Final = {float: "number", int: "whole number", str: "text", bool: "true or false", Any: "any value"}


def _words(hint: Any) -> str:
    """A type as somebody would say it."""
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Annotated:
        quantity = next((each for each in inner[1:] if isinstance(each, Quantity)), None)
        if quantity is not None and inner[0] is float:
            return quantity.name
        plain = _words(inner[0])
        # What a list must have two of is a pair.
        pair = get_origin(inner[0]) is list and _count(_schema(hint)) == 2
        return plain.replace("list of", "pair of", 1) if pair else plain
    if origin is Literal:
        return "one of " + ", ".join(_plain(each) for each in inner) if len(inner) > 1 else _plain(inner[0])
    if origin in (Union, UnionType):
        said = [_words(each) for each in inner if each is not type(None)]
        return " or ".join(dict.fromkeys(said))
    if origin in (list, tuple, frozenset):
        return f"list of {_several(_words(inner[0]))}"
    if origin in (dict, Mapping) or (isinstance(hint, type) and issubclass(hint, BaseModel)):
        return "table" if origin is None or inner[1] is Any else f"{_NAMES}: {_words(inner[1])}"
    return _PLAIN.get(hint, getattr(hint, "__name__", str(hint)).lower())


def _several(word: str) -> str:
    """More than one of what a word names."""
    if word.startswith(("list of", "pair of")):
        return word.replace(" of", "s of", 1)
    return f"{word}s" if word.isalpha() else word


def _unit(hint: Any) -> str:
    found = dict.fromkeys(each.ways for each in _quantities(hint))
    return " or ".join(found)


def _quantities(hint: Any) -> Iterator[Quantity]:
    for each in (*getattr(hint, "__metadata__", ()), *get_args(hint)):
        if isinstance(each, Quantity):
            yield each
        else:
            yield from _quantities(each)


def _limits(hint: Any) -> str:
    """The limits of a value, from its JSON schema: those of the value itself, and of what is in its list."""
    return "; ".join(dict.fromkeys(_limits_in(_schema(hint))))


def _schema(hint: Any) -> Any:
    try:
        return TypeAdapter(hint).json_schema()
    except PydanticUserError:
        # A type of a plugin's pass may be anything.
        return {}


def _count(schema: Any) -> int | None:
    """How many values a list must have, if that is fixed."""
    least = schema.get("minItems")
    return least if least == schema.get("maxItems") else None


_AT: Final = {
    "minimum": "at least {}", "exclusiveMinimum": "above {}", "maximum": "at most {}", "exclusiveMaximum": "below {}",
    "maxLength": "at most {} characters", "minItems": "at least {} in the list",
    "maxItems": "at most {} in the list",
}  # fmt: skip


def _limits_in(schema: Any) -> Iterator[str]:
    if "$ref" in schema or schema.get("type") == "object":
        return
    if (count := _count(schema)) is not None:
        if count != 2:
            yield f"{count} in the list"
    else:
        said = [words.format(_plain(schema[key])) for key, words in _AT.items() if key in schema]
        if said:
            yield ", ".join(said)
    for inner in (*schema.get("anyOf", ()), *schema.get("oneOf", ()), *filter(None, [schema.get("items")])):
        yield from _limits_in(inner)


def _plain(value: Any) -> str:
    """A value as a job file has it; empty for none, and for tables and lists that are empty."""
    if value is None or value in ([], {}, ()) or isinstance(value, BaseModel) or dataclasses.is_dataclass(value):
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(_plain, value))}]"
    return f"{value:.10g}" if isinstance(value, float) else f'"{value}"' if isinstance(value, str) else str(value)


# --- what is said of a key ----------------------------------------------------------------------------------------


def _said_of(form: type[Any], name: str) -> str:
    """The sentences that speak of a key: of the form and what it is made from, or of the dataclass that it fills."""
    sources: list[type[Any]] = [base for base in form.__mro__ if issubclass(base, Table)]
    if issubclass(form, Filled):
        sources += [base for base in getattr(form, "kind_", object).__mro__ if dataclasses.is_dataclass(base)]
    return next((said for source in sources if (said := _said(source, name))), "")


def _said(source: type[Any], name: str) -> str:
    """The clauses of a class' docstring that name a key."""
    told: list[str] = []
    for sentence in re.split(r"(?<=[.!])\s+(?=[A-Z`\"])", _text(source)):
        # A clause that begins with the key stands for itself; others need the rest of their sentence.
        clauses = [c for c in re.split(r"(?<=;)\s+(?![^(]*\))", sentence) if re.match(rf"(and )?``{name}``", c)]
        if re.search(rf"``{name}(=[^`]*)?``", sentence):
            told.append(" ".join(clauses).rstrip(".;") + "." if clauses else sentence)
    return _clean(" ".join(told))


def _doc(table: type[Any]) -> str:
    """The first sentence about a table."""
    own = _text(table) or (_text(table.kind_) if issubclass(table, Filled) and hasattr(table, "kind_") else "")
    return _clean(re.split(r"(?<=\.)\s+(?=[A-Z`])", own)[0])


def _text(source: type[Any]) -> str:
    own = _said_in(source)
    if source in (Table, Filled) or own.startswith(f"{source.__name__}("):
        # That a dataclass has of its own is a list of its fields.
        return ""
    return " ".join(own.split())


def _said_in(source: Any) -> str:
    """What the docstring says, without its example."""
    return (vars(source).get("__doc__") or "").split(">>>")[0]


def _clean(text: str) -> str:
    """Without the marks of a docstring."""
    return re.sub(r"`+", "", " ".join(text.split()))
