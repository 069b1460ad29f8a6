"""What a dataclass says of its own fields: types, limits, defaults. Checks, forms and files are derived from it.

Limits stand in a field's type, as `annotated_types` and `Text`. pydantic understands them too, and is not needed here.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Literal, get_type_hints

from annotated_types import Ge, Gt, Le, MinLen

from pathkit.units import FEED, LENGTH

Above0 = Annotated[float, Gt(0.0)]
From0 = Annotated[float, Ge(0.0)]
Length = Annotated[float, Gt(0.0), Le(1e5), LENGTH]
"""mm, up to a hundred metres: what is larger is no board and no bit."""
Least0 = Annotated[float, Ge(0.0), Le(1e5), LENGTH]
Number = Annotated[float, Ge(-1e5), Le(1e5)]
Place = Annotated[float, Ge(-1e5), Le(1e5), LENGTH]
"""mm from a zero, to either side."""
Feed = Annotated[float, Gt(0.0), FEED]
Words = Annotated[str, MinLen(0)]
"""Text that may be empty."""
Offset = Literal["G54", "G55", "G56", "G57", "G58", "G59"]


@dataclass(frozen=True)
class Text:
    """What a text from outside may look like: a regular expression, how many characters at most."""

    pattern: str | None = None
    longest: int | None = None


@cache
def hints(kind: Any) -> dict[str, Any]:
    """The types of a dataclass' fields by name, limits included."""
    types = get_type_hints(kind, include_extras=True)
    return {field.name: types[field.name] for field in dataclasses.fields(kind)}


def default_of(field: dataclasses.Field[Any]) -> Any:
    """What holds where nothing is said; `dataclasses.MISSING` where something must be."""
    return field.default if field.default_factory is dataclasses.MISSING else field.default_factory()


def at_default(field: dataclasses.Field[Any], value: Any) -> bool:
    """Whether the value would hold anyway."""
    default = default_of(field)
    return default is not dataclasses.MISSING and bool(value == default)


def plain(
    value: Any,
    omit: Callable[[dataclasses.Field[Any], Any], bool] = lambda field, value: False,  # noqa: ARG005
    special: Callable[[Any], Any] = lambda value: None,  # noqa: ARG005
) -> Any:
    """A value as plain data that JSON knows: dataclasses as tables less what ``omit`` says, tuples as lists.

    ``special`` writes values in its own way; None from it means that the value is nothing special.
    """
    if (written := special(value)) is not None:
        return written
    if dataclasses.is_dataclass(value):
        fields = ((field, getattr(value, field.name)) for field in dataclasses.fields(value))
        return {field.name: plain(inner, omit, special) for field, inner in fields if not omit(field, inner)}
    if isinstance(value, Mapping):
        return {key: plain(inner, omit, special) for key, inner in value.items()}
    if isinstance(value, (set, frozenset)):
        return sorted(value)
    if isinstance(value, (tuple, list)):
        return [plain(inner, omit, special) for inner in value]
    return value.item() if hasattr(value, "item") else value
