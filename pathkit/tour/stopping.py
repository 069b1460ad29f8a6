"""When a search must end: after its iterations, at its time limit, or when the caller says so."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field

Progress = Callable[[int, int, str], bool]


@dataclass
class Stopping:
    """Counts iterations against ``budget`` (None: only time counts) and asks the clock, ``stop`` and ``progress``.

    A search may depend on `fraction`: with a budget it counts iterations alone, so the search is repeatable.
    """

    budget: int | None
    seconds: float | None = None
    stop: Callable[[], bool] | None = None
    progress: Progress | None = None
    began: float = field(default_factory=time.perf_counter)
    done: int = 0
    capped: bool = False
    stopped: bool = False

    def elapsed(self) -> float:
        """Seconds since the search began."""
        return time.perf_counter() - self.began

    def fraction(self) -> float:
        """The part of the search that is over, 0 to 1."""
        if self.budget is not None:
            return 1.0 if self.budget <= 0 else min(self.done / self.budget, 1.0)
        return min(self.elapsed() / self.seconds, 1.0) if self.seconds else 1.0

    def left(self, most: int) -> int:
        """Iterations for the next stretch of work, at most ``most``."""
        return most if self.budget is None else max(min(most, self.budget - self.done), 0)

    def count(self, iterations: int) -> None:
        """Add iterations that were just done."""
        self.done += iterations

    def over(self, message: str = "") -> bool:
        """Whether to end now. Calls the user's callables, so ask between stretches of work."""
        if self.stopped or self.capped:
            return True
        if self.stop is not None and self.stop():
            self.stopped = True
        if self.progress is not None:
            total = 1000
            if self.progress(int(self.fraction() * total), total, message) is False:
                self.stopped = True
        if self.budget is not None and self.done >= self.budget:
            return True
        if self.seconds is not None and self.elapsed() >= self.seconds:
            self.capped = True
        return self.stopped or self.capped
