"""Who made a job, and which one it is: for the people who get its files."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Final

from annotated_types import Len

from pathkit.fields import Text
from pathkit.model.checking import Checked

Line = Annotated[str, Text(r"^[^\x00-\x1f\x7f]*$", longest=200)]

_TITLES: Final = {
    "author": "made by", "contact": "ask", "revision": "revision", "date": "of", "licence": "licence",
}  # fmt: skip


@dataclass(frozen=True)
class About(Checked):
    """Each is a line of text, or None. ``date`` is what the maker says, never the clock; ``notes`` and
    ``supplies`` (what to buy) have a line each."""

    author: Line | None = None
    contact: Line | None = None
    revision: Line | None = None
    date: Line | None = None
    licence: Line | None = None
    notes: Annotated[tuple[Line, ...], Len(0, 20)] = ()
    supplies: Annotated[tuple[Line, ...], Len(0, 50)] = ()

    @property
    def said(self) -> tuple[tuple[str, str], ...]:
        """(name, text) of what is said in one line each."""
        return tuple((name, said) for name in _TITLES if (said := getattr(self, name)))

    @property
    def lines(self) -> tuple[str, ...]:
        """What stands in a file: ``made by …`` and so on."""
        return tuple(f"{_TITLES[name]} {said}" for name, said in self.said)
