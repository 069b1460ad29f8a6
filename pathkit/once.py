"""Results that are worked out once for each key, the last ones used, by any number of threads."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any, TypeVar

Result = TypeVar("Result")


@dataclass
class _Place:
    lock: threading.Lock = field(default_factory=threading.Lock)
    filled: bool = False
    result: Any = None


class Once:
    """Keeps the results of the ``most`` keys that were asked for last.

    Threads that ask for the same wait for the first. What raised, or was not worth keeping, is worked out again by the
    next.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._lock = threading.Lock()
        self._places: OrderedDict[Hashable, _Place] = OrderedDict()

    def __len__(self) -> int:
        return sum(place.filled for place in self._places.values())

    def __call__(
        self, key: Hashable, work_out: Callable[[], Result], keep: Callable[[Result], bool] = lambda _: True
    ) -> Result:
        """The result for ``key``: kept, or that of ``work_out``, which is kept if ``keep`` says so."""
        with self._lock:
            place = self._places.setdefault(key, _Place())
            self._places.move_to_end(key)
            while len(self._places) > self._most:
                self._places.popitem(last=False)
        with place.lock:
            if place.filled:
                kept: Result = place.result
                return kept
            made = work_out()
            if keep(made):
                place.result, place.filled = made, True
            return made
