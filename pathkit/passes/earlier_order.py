"""The order of an earlier job, carried over to a job that was changed."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray


def carried_over(
    names: Sequence[str],
    earlier: Sequence[str],
    pairs: Sequence[tuple[int, int]],
    stage: Sequence[int],
    entry: NDArray[np.float64],
    leave: NDArray[np.float64],
) -> tuple[int, ...] | None:
    """Indices of all toolpaths in the earlier order, new ones where they lengthen the way least (entry, leave: (n, 2)).

    None if the rules, pairs (first before second) and rising stages, no longer allow that order.
    """
    known: dict[str, list[int]] = {}
    for index, name in enumerate(names):
        known.setdefault(name, []).append(index)
    order = [known[name].pop(0) for name in earlier if known.get(name)]
    before: dict[int, set[int]] = {}
    after: dict[int, set[int]] = {}
    for a, b in pairs:
        before.setdefault(b, set()).add(a)
        after.setdefault(a, set()).add(b)
    for index in sorted(set(range(len(names))) - set(order)):
        place = {other: at for at, other in enumerate(order)}
        low = max([place[a] + 1 for a in before.get(index, ()) if a in place], default=0)
        low = max([low, *(at + 1 for other, at in place.items() if stage[other] < stage[index])])
        high = min([place[b] for b in after.get(index, ()) if b in place], default=len(order))
        high = min([high, *(at for other, at in place.items() if stage[other] > stage[index])])
        if low > high:
            return None
        longer = [_longer(order, at, index, entry, leave) for at in range(low, high + 1)]
        order.insert(low + int(np.argmin(longer)), index)
    place = {other: at for at, other in enumerate(order)}
    rising = all(stage[a] <= stage[b] for a, b in pairwise(order))
    return tuple(order) if rising and all(place[a] < place[b] for a, b in pairs) else None


def _longer(order: list[int], at: int, index: int, entry: NDArray[np.float64], leave: NDArray[np.float64]) -> float:
    """By how much the way lengthens if ``index`` goes to place ``at``."""
    a, b = order[at - 1] if at > 0 else None, order[at] if at < len(order) else None
    to = 0.0 if a is None else float(np.hypot(*(entry[index] - leave[a])))
    on = 0.0 if b is None else float(np.hypot(*(entry[b] - leave[index])))
    return to + on - (0.0 if a is None or b is None else float(np.hypot(*(entry[b] - leave[a]))))
