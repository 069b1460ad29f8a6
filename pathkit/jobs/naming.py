"""What toolpaths are called, and how what is wrong with one of many shapes is told."""

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
    """What the toolpaths of each shape of an operation are called, after the part's name.

    An operation on one shape lends its title. Of several shapes each has its own name, with the operation's title
    before it where that is another's name too, or where the operation has a name of its own.
    """
    names = operation.shapes
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
    """Things of one name, each with its own: numbered where there are several."""
    return list(zip(numbered(name, len(things)), things, strict=True))


@dataclass
class Gathered:
    """What is wrong with the shapes of an operation: each is tried, and all of it is said at once."""

    found: list[Finding] = field(default_factory=list)

    @contextmanager
    def about(self, told: str) -> Iterator[None]:
        """Take down what is raised meanwhile, and which shape (``told``) it is about."""
        try:
            yield
        except InputError as error:
            self.found += [replace(f, what=f"{f.what}; it is {told}") if told else f for f in error.findings]

    def raise_any(self) -> None:
        """Raises `InputError` with all that was taken down."""
        if self.found:
            raise InputError(self.found)
