"""Names of toolpaths, and messages that say which of an operation's shapes is at fault."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import TypeVar

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.jobs import schema
from pathkit.operations.contour import numbered

Thing = TypeVar("Thing")


def heads(part: schema.Part, operation: schema.Operation) -> dict[str, str]:
    """The name of the toolpaths of each shape of an operation, as it follows the part's name.

    The toolpaths of an operation on one shape have the operation's title. With several shapes they have the shape's
    name, preceded by the operation's title if another operation uses that name too, or if the operation has a name of
    its own. A chamfer without a name has the shape's name and the word chamfer.
    """
    names = operation.shapes
    if isinstance(operation, schema.Chamfer) and operation.name is None:
        return {name: f"{name} chamfer" for name in names}
    if len(names) == 1:
        return {names[0]: operation.title}
    others = {
        name for other in part.operations if other is not operation for name in (*other.shapes, other.title)
    }  # fmt: skip
    plain = operation.name is None
    return {
        name: name if plain and (name not in others or name == operation.title) else f"{operation.title} {name}"
        for name in names
    }


def titled(name: str, things: Sequence[Thing]) -> list[tuple[str, Thing]]:
    """Each of ``things`` with a name of its own: ``name``, numbered if there are several."""
    return list(zip(numbered(name, len(things)), things, strict=True))


def with_shape(what: str, shape: str) -> str:
    """What a finding says, and of which of several shapes (in words; empty where there is but one)."""
    return f"{what}; it is {shape}" if shape else what


@dataclass
class Gathered:
    """Findings about the shapes of an operation, collected: every shape is tried, and all are raised at once."""

    found: list[Finding] = field(default_factory=list)

    @contextmanager
    def about(self, shape: str) -> Iterator[None]:
        """Records the findings of an `InputError` raised in the block, with the ``shape`` (in words) at fault."""
        try:
            yield
        except InputError as error:
            self.found += [replace(f, what=with_shape(f.what, shape)) for f in error.findings]

    def raise_any(self) -> None:
        """Raises `InputError` with all findings recorded, if any."""
        if self.found:
            raise InputError(self.found)
