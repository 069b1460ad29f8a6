"""How a value refuses what is impossible: collect every finding first, then raise them together."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pathkit.errors import ModelError
from pathkit.findings import Finding


class Faults:
    """Findings of one value under construction; `raise_any` ends it."""

    def __init__(self, check: str) -> None:
        self.check = check
        self.findings: list[Finding] = []

    def add(self, what: str, fix: str = "", path: str = "") -> None:
        self.findings.append(Finding(check=self.check, what=what, fix=fix, path=f"$.{path}" if path else "$"))

    def take(self, error: ModelError, path: str) -> None:
        """Adopt the findings of a nested value, with their paths below ``path``."""
        self.findings += [placed(f, f"$.{path}") for f in error.findings]

    def text(self, value: object, path: str, *, empty: bool = False) -> None:
        if not isinstance(value, str):
            self.add(f"{path} is {value!r}, not text", path=path)
        elif not value and not empty:
            self.add(f"{path} is empty", "give it a name", path)

    def number(
        self, value: object, path: str, *, above: float | None = None, least: float | None = None,
        most: float | None = None, below: float | None = None, optional: bool = False,
    ) -> bool:  # fmt: skip
        """Check one finite number against its limits; True if it can be used."""
        if value is None and optional:
            return False
        if isinstance(value, bool) or not isinstance(value, (int, float, np.integer, np.floating)):
            self.add(f"{path} is {value!r}, not a number", path=path)
            return False
        if not math.isfinite(value):
            self.add(f"{path} is {value}", "give a finite number", path)
            return False
        for wrong, limit in (
            (above is not None and value <= above, f"more than {above}"),
            (least is not None and value < least, f"at least {least}"),
            (most is not None and value > most, f"at most {most}"),
            (below is not None and value >= below, f"less than {below}"),
        ):
            if wrong:
                self.add(f"{path} is {value}", f"it must be {limit}", path)
                return False
        return True

    def choice(self, value: object, allowed: Iterable[str], path: str) -> None:
        names = tuple(allowed)
        if value not in names:
            self.add(f"{path} is {value!r}", f"one of: {', '.join(names)}", path)

    def sequence(self, value: object, path: str) -> tuple[Any, ...]:
        """The members of a sequence; empty, with a finding, if the value is not one."""
        if isinstance(value, (str, bytes)) or not isinstance(value, Iterable):
            self.add(f"{path} is {value!r}", "pass a tuple", path)
            return ()
        return tuple(value)

    def unique(self, names: Sequence[str], what: str, path: str) -> None:
        seen: set[str] = set()
        for index, name in enumerate(names):
            if name in seen:
                self.add(f"two {what} are called {name!r}", "names must differ", f"{path}[{index}].name")
            seen.add(name)

    def raise_any(self) -> None:
        if self.findings:
            raise ModelError(self.findings)


def placed(finding: Finding, prefix: str) -> Finding:
    """The finding as seen from an enclosing value: ``$.x`` below ``$.a[1]`` is ``$.a[1].x``."""
    import dataclasses

    inner = (finding.path or "$").removeprefix("$")
    return dataclasses.replace(finding, path=prefix + inner)


def locked(values: ArrayLike, dtype: type = float) -> NDArray[np.float64]:
    """A private, read-only copy."""
    array: NDArray[np.float64] = np.array(values, dtype=dtype, copy=True, order="C")
    array.setflags(write=False)
    return array
