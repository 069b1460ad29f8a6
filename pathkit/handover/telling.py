"""Checks that say when their turn has come: what is proved again may take minutes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from pathkit.findings import Check

if TYPE_CHECKING:
    from pathkit.proof.evidence import Scope

Progress = Callable[[int, int, str], object]
"""Is called with how much is done, of how much, and what is being done."""


@dataclass(frozen=True)
class ToldCheck:
    """A check that calls ``tell`` before it judges."""

    inner: Check
    name: str
    needs: frozenset[str]
    limits: str
    scope: Scope
    tell: Callable[[], object]

    def __call__(self, evidence: Any) -> Sequence[Any]:
        self.tell()
        return self.inner(evidence)


@dataclass(frozen=True)
class Teller:
    """Tells ``progress`` how far the file at a place among ``files`` of them is."""

    progress: Progress | None
    file: str
    place: int
    files: int

    def say(self, what: str, done: int = 0, of: int = 1) -> None:
        """Say that ``done`` ``of`` this file's steps are done, and what comes next."""
        if self.progress is not None:
            self.progress(self.place * of + done, self.files * of, f"{self.file}: {what}")

    def told(self, checks: Sequence[Check]) -> tuple[Check, ...]:
        """The checks, each of which says that its turn has come."""
        if self.progress is None:
            return tuple(checks)
        from pathkit.proof.verify import scope_of

        of = len(checks) + 1
        return tuple(
            ToldCheck(one, one.name, one.needs, one.limits, scope_of(one), partial(self.say, one.name, k, of))
            for k, one in enumerate(checks, 1)
        )
