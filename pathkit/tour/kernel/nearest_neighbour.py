"""A first order: always on to the nearest item that waits for nothing."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.tolerances import ROUNDING
from pathkit.tour.kernel.core import Core
from pathkit.tour.kernel.costs import arc

Ints = NDArray[np.int32]


def nearest_feasible(core: Core) -> Ints:
    """Sequence of variants made by always going to the nearest feasible item."""
    n = len(core.first) - 1
    sequence = np.zeros(n, dtype=np.int32)
    waiting = np.diff(core.before_at)
    if len(core.costs) > 1:
        by_table(core, waiting, sequence)
        return sequence
    low = core.entry.min(axis=0)
    span = np.maximum(core.entry.max(axis=0) - low, 0.0)
    cell = max(float(np.sqrt(span[0] * span[1] * 2.0 / len(core.owner))), float(span.max()) / 4096, ROUNDING)
    shape = (span / cell).astype(np.int64) + 1
    place = ((core.entry - low) / cell).astype(np.int32)
    held = (np.argsort(core.low[1:], kind="stable") + 1).astype(np.int32)  # items in the order their stages open
    by_grid(core, waiting, held, place, shape, cell, low, sequence)
    return sequence


@kernel
def by_table(core: Core, waiting: Ints, sequence: Ints) -> None:
    """Scan all open items at each step; ``waiting`` counts what each still waits for."""
    n = len(core.first) - 1
    done = np.zeros(n, dtype=np.bool_)
    done[0] = True
    at = 0
    for i in core.after[core.after_at[0] : core.after_at[1]]:
        waiting[i] -= 1
    for place in range(1, n):
        best = np.inf
        chosen = -1
        for item in range(1, n):
            if done[item] or waiting[item] > 0 or core.low[item] > place:
                continue
            for v in range(core.first[item], core.first[item + 1]):
                cost = arc(core, at, v)
                if cost < best:
                    best = cost
                    chosen = v
        at = chosen
        sequence[place] = at
        item = core.owner[at]
        done[item] = True
        for i in core.after[core.after_at[item] : core.after_at[item + 1]]:
            waiting[i] -= 1


@kernel
def by_grid(
    core: Core,
    waiting: Ints,
    held: Ints,
    place: Ints,
    shape: NDArray[np.int64],
    cell: float,
    low: NDArray[np.float64],
    sequence: Ints,
) -> None:
    """The same by straight distance, with a grid of the open items; memory stays linear in the number of variants."""
    n = len(core.first) - 1
    wide = shape[0]
    tall = shape[1]
    head = np.full(wide * tall, -1, dtype=np.int32)
    onward = np.full(len(core.owner), -1, dtype=np.int32)
    back = np.full(len(core.owner), -1, dtype=np.int32)
    next_held = 0
    done = np.zeros(n, dtype=np.bool_)
    done[0] = True
    for i in core.after[core.after_at[0] : core.after_at[1]]:
        waiting[i] -= 1
    at = 0
    for step in range(1, n):
        while next_held < n - 1 and core.low[held[next_held]] <= step:
            item = held[next_held]
            if waiting[item] == 0:
                _open(core, item, place, wide, head, onward, back)
            next_held += 1
        x = core.exit[at, 0]
        y = core.exit[at, 1]
        at = _closest(core, x, y, shape, cell, low, head, onward)
        sequence[step] = at
        item = core.owner[at]
        done[item] = True
        for v in range(core.first[item], core.first[item + 1]):
            if back[v] >= 0:
                onward[back[v]] = onward[v]
            else:
                head[place[v, 1] * wide + place[v, 0]] = onward[v]
            if onward[v] >= 0:
                back[onward[v]] = back[v]
        for i in core.after[core.after_at[item] : core.after_at[item + 1]]:
            waiting[i] -= 1
            if waiting[i] == 0 and core.low[i] <= step:
                _open(core, i, place, wide, head, onward, back)


@kernel(allocates=False)
def _open(core: Core, item: int, place: Ints, wide: int, head: Ints, onward: Ints, back: Ints) -> None:
    for v in range(core.first[item], core.first[item + 1]):
        c = place[v, 1] * wide + place[v, 0]
        onward[v] = head[c]
        back[v] = -1
        if head[c] >= 0:
            back[head[c]] = v
        head[c] = v


@kernel(allocates=False)
def _closest(
    core: Core,
    x: float,
    y: float,
    shape: NDArray[np.int64],
    cell: float,
    low: NDArray[np.float64],
    head: Ints,
    onward: Ints,
) -> int:
    """Nearest open entry, searched ring by ring of cells; the ring at r cells is at least (r - 1) cells away."""
    wide = shape[0]
    tall = shape[1]
    cx = min(max(int((x - low[0]) / cell), 0), wide - 1)
    cy = min(max(int((y - low[1]) / cell), 0), tall - 1)
    best = np.inf
    found = -1
    for ring in range(max(wide, tall) + 1):
        if found >= 0 and best <= (ring - 1.0) * cell * (ring - 1.0) * cell and ring > 0:
            break
        for j in range(max(cy - ring, 0), min(cy + ring, tall - 1) + 1):
            edge = j == cy - ring or j == cy + ring
            step = 1 if edge else max(2 * ring, 1)
            i = cx - ring
            while i <= cx + ring:
                if 0 <= i < wide:
                    v = head[j * wide + i]
                    while v >= 0:
                        dx = core.entry[v, 0] - x
                        dy = core.entry[v, 1] - y
                        if dx * dx + dy * dy < best:
                            best = dx * dx + dy * dy
                            found = v
                        v = onward[v]
                i += step
    return found
