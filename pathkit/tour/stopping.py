"""When a search must end: after its iterations, at its time limit, or when the caller says so."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor, wait
from contextvars import copy_context
from dataclasses import dataclass, field
from typing import TypeVar

Progress = Callable[[int, int, str], bool]
Result = TypeVar("Result")

clock: Callable[[], float] = time.perf_counter
"""What seconds are counted by. Benchmarks on a busy machine count those of the process."""

TICK = 0.1
"""Seconds between two looks at the caller's wishes."""

TOTAL = 1000
"""Steps of a search, as progress counts them."""


@dataclass
class Watch:
    """What a search says of itself, and whether it shall stop. The thread that searches writes the first two fields,
    the thread that asked for it the last."""

    done: int = 0
    message: str = "starting"
    stopped: bool = False

    def tell(self, message: str) -> None:
        self.message = message


def watched(work: Callable[[Watch], Result], stop: Callable[[], bool] | None, progress: Progress | None) -> Result:
    """Do the work in a thread beside, and call ``stop`` and ``progress`` in this one, every `TICK` seconds.

    So they are called whatever the work is busy with: kernels run without the interpreter's lock. An error of either
    stops the work, and is raised.
    """
    watch = Watch()
    if stop is None and progress is None:
        return work(watch)

    def ask() -> None:
        asked = stop is not None and stop()
        if asked or (progress is not None and progress(watch.done, TOTAL, watch.message) is False):
            watch.stopped = True

    ask()
    with ThreadPoolExecutor(1, "pathkit-search") as beside:
        future = beside.submit(copy_context().run, work, watch)
        try:
            while wait([future], TICK).not_done:
                if not watch.stopped:
                    ask()
        except BaseException:
            watch.stopped = True
            raise
    return future.result()


@dataclass
class Stopping:
    """Counts iterations against ``budget`` (None: only time counts), and looks at the clock and at its ``watch``.

    A search may depend on `fraction`: with a budget it counts iterations alone, so the search is repeatable. It runs
    `stages`, and each sees no further than its own end.
    """

    budget: int | None
    seconds: float | None = None
    watch: Watch = field(default_factory=Watch)
    began: float = field(default_factory=lambda: clock())
    done: int = 0
    capped: bool = False
    stage: tuple[int, int] | None = None
    patience: int | None = None
    gained: bool = False

    def stages(self, shortest: float, long: float) -> Iterator[bool]:
        """Enter the stages of the search one after another; of each, whether it is a first one of few iterations.

        The stages of a budget end at all of it, a half, a quarter, and so on, down to one of at most ``shortest``
        iterations. So the stages of twice the budget are the same and one more: if each depends on its own length and
        on what came before, more effort begins with what less does. A first stage must not depend on its length.
        Where time alone limits the search there is one stage.

        The search sets ``gained`` where it finds something better. `patience` stages in a row without it are the last;
        those of fewer than ``long`` iterations do not count.
        """
        if self.budget is None:
            yield False
            return
        ends = [self.budget]
        while ends[0] > shortest:
            ends.insert(0, ends[0] // 2)
        barren = 0
        for number, end in enumerate(ends):
            self.stage, self.gained = (self.done, end), False
            yield number == 0
            barren = 0 if self.gained else barren + (end - self.stage[0] >= long)
            if self.watch.stopped or self.capped or barren == self.patience:
                return

    def elapsed(self) -> float:
        """Seconds since the search began."""
        return clock() - self.began

    def fraction(self) -> float:
        """The part of the stage that is over, 0 to 1."""
        if self.budget is not None:
            begin, end = self.stage or (0, self.budget)
            return 1.0 if end <= begin else min((self.done - begin) / (end - begin), 1.0)
        return min(self.elapsed() / self.seconds, 1.0) if self.seconds else 1.0

    def planned(self, pace: float) -> float:
        """Iterations of the stage; where time alone limits it, those that ``pace`` in a second makes likely."""
        if self.budget is None:
            return pace * (self.seconds or 0.0)
        return self._end() - (self.stage[0] if self.stage is not None else 0)

    def left(self, most: int) -> int:
        """Iterations for the next stretch of work, at most ``most``."""
        return most if self.budget is None else max(min(most, self._end() - self.done), 0)

    def _end(self) -> int:
        """Iterations at which the stage ends."""
        return self.stage[1] if self.stage is not None else self.budget or 0

    def count(self, iterations: int) -> None:
        """Add iterations that were just done."""
        self.done += iterations

    def over(self, message: str = "", ahead: float = 0.0) -> bool:
        """Whether to end the stage now, if what must still be done takes ``ahead`` seconds.

        Ask between stretches of work.
        """
        if self.watch.stopped or self.capped:
            return True
        self.watch.done = int((self.done / self.budget if self.budget else self.fraction()) * TOTAL)
        if message:
            self.watch.message = message
        if self.budget is not None and self.done >= self._end():
            return True
        if self.seconds is not None and self.elapsed() + ahead >= self.seconds:
            self.capped = True
        return self.capped
