"""Pieces of a board while it is cut, by running the cuts backwards: wood put back joins what it had separated."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.union_find import root

Numbers = NDArray[np.int32]

NEVER = np.int32(2**31 - 1)


@kernel(allocates=False)
def _least_along(rows: Numbers, least: Numbers) -> None:
    """The least of each number of a line and its two neighbours; −1, which says never, is more than all others."""
    last = len(rows) - 1
    for i in range(1, last):
        least[i] = min(rows[i - 1] & NEVER, rows[i] & NEVER, rows[i + 1] & NEVER)
    least[0] = min(rows[0] & NEVER, rows[min(1, last)] & NEVER)
    least[last] = min(rows[max(last - 1, 0)] & NEVER, rows[last] & NEVER)


@kernel
def _least_around(opened: Numbers, when: Numbers) -> None:
    """(ny, nx) the first row that opens a cell or one of the eight around it; `NEVER` for −1. Three lines are at hand
    at a time, so that they stay in the cache."""
    ny, nx = opened.shape
    lines = np.empty((3, nx), np.int32)
    # Beyond the first line and the last one, these count again. A line is not copied into another: numba takes two
    # seconds to compile that.
    _least_along(opened[0], lines[0])
    _least_along(opened[0], lines[2])
    for j in range(ny):
        below, here, above = lines[(j + 2) % 3], lines[j % 3], lines[(j + 1) % 3]
        _least_along(opened[min(j + 1, ny - 1)], above)
        for i in range(nx):
            when[j, i] = min(below[i], here[i], above[i])


@kernel(allocates=False)
def _join(parent: Numbers, area: Numbers, held: Numbers, last: Numbers, cell: Numbers, one: int, other: int) -> None:
    a, b = root(parent, one), root(parent, other)
    if a == b:
        return
    if area[a] < area[b] or (area[a] == area[b] and cell[a] > cell[b]):
        a, b = b, a
    parent[b] = a
    area[a] += area[b]
    held[a] += held[b]
    last[a] = max(last[a], last[b])


@kernel(allocates=False)
def _around(cell: int, nx: int, cells: int) -> tuple[int, int, int, int]:
    """The cells to the right, left, back and front; −1 outside the board."""
    x = cell % nx
    return (
        cell + 1 if x != nx - 1 else -1, cell - 1 if x != 0 else -1, cell + nx if cell + nx < cells else -1,
        cell - nx if cell >= nx else -1,
    )  # fmt: skip


@kernel
def latest_first(opened: Numbers, when: Numbers) -> tuple[Numbers, Numbers, int]:
    """The cells that go, in the order in which they come back.

    ``opened`` (ny, nx) is the row that cuts a cell through, −1 for none. A cell goes with the first row that opens it
    or one of the eight around it: written into ``when`` (ny, nx), `NEVER` for wood that stays. Returns the cells (k,),
    those of the latest row first, by place within a row; (m,) where each row's begin among them, from the latest row
    to row 0, and where those of row 0 end; and how many runs along x the wood has that stays.
    """
    _least_around(opened, when)
    ny, nx = when.shape
    most, runs = -1, 0
    for j in range(ny):
        stays = False
        for i in range(nx):
            row = when[j, i]
            if row != NEVER:
                most = max(most, row)
            elif not stays:
                runs += 1
            stays = row == NEVER
    # The cells of row r begin at begin[most - r].
    begin = np.zeros(most + 3, np.int32)
    for j in range(ny):
        for i in range(nx):
            if when[j, i] != NEVER:
                begin[most - when[j, i] + 2] += 1
    for at in range(2, len(begin)):
        begin[at] += begin[at - 1]
    order = np.empty(begin[-1], np.int32)
    for j in range(ny):
        for i in range(nx):
            if when[j, i] != NEVER:
                at = most - when[j, i] + 1
                order[begin[at]] = j * nx + i
                begin[at] += 1
    return order, begin[:-1], runs


@kernel
def _final(
    node: Numbers, anchor: NDArray[np.bool_], nx: int, parent: Numbers, area: Numbers, held: Numbers, last: Numbers,
    cell: Numbers,
) -> Numbers:  # fmt: skip
    """The pieces of the wood that stays: runs of cells along x, joined where they touch the line before. ``node`` says
    when a cell goes, and from here on to which run it belongs, −1 for none. Returns how many cells each piece has."""
    run, at = 0, 0
    while at < len(node):
        if node[at] != NEVER:
            node[at] = -1
            at += 1
            continue
        first, end = at, at - at % nx + nx
        anchors = 0
        while at < end and node[at] == NEVER:
            node[at] = run
            anchors += 1 if anchor[at] else 0
            at += 1
        parent[run], cell[run] = run, first
        area[run], held[run], last[run] = at - first, anchors, -1
        if first >= nx:
            for beside in range(first - nx, at - nx):
                # Once for each run of the line before.
                if node[beside] >= 0 and (beside == first - nx or node[beside - 1] < 0):
                    _join(parent, area, held, last, cell, run, node[beside])
        run += 1
    sizes, pieces = np.empty(run, np.int32), 0
    for one in range(run):
        if parent[one] == one:
            sizes[pieces] = area[one]
            pieces += 1
    return sizes[:pieces]


@kernel(allocates=False)
def _beside(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    gone: Numbers, row: int, nx: int, node: Numbers, parent: Numbers, area: Numbers, held: Numbers, last: Numbers,
    mark: Numbers, beside: NDArray[np.int64],
) -> int:  # fmt: skip
    """Record the pieces next to what one row removes, just after it: representative, cells, held, last."""
    pieces = 0
    for at in range(len(gone)):
        for other in _around(gone[at], nx, len(node)):
            if other >= 0 and node[other] >= 0:
                whole = root(parent, node[other])
                if mark[whole] != row + 1:
                    mark[whole] = row + 1
                    beside[pieces, 0], beside[pieces, 1] = whole, area[whole]
                    beside[pieces, 2], beside[pieces, 3] = held[whole], last[whole]
                    pieces += 1
    return pieces


@kernel(allocates=False)
def _is_largest(one: int, pieces: int, parent: Numbers, beside: NDArray[np.int64]) -> bool:
    """Whether a piece is the largest of those that were one piece before the row."""
    whole = root(parent, beside[one, 0])
    for other in range(pieces):
        larger = beside[other, 1] > beside[one, 1] or (beside[other, 1] == beside[one, 1] and other < one)
        if larger and root(parent, beside[other, 0]) == whole:
            return False
    return True


@kernel
def partings(
    when: Numbers, order: Numbers, begin: Numbers, runs: int, anchor: NDArray[np.bool_], dust: int, known: Numbers
) -> tuple[NDArray[np.int64], Numbers]:  # fmt: skip
    """Every piece that comes loose, and the cells of each piece at the end.

    The first four are what `latest_first` finds; ``anchor`` (ny, nx) says where something holds; ``known``
    (6, runs + k) is room to work in, and ``when`` is written over. Returns (k, 4): row, a cell of the piece, its cells,
    the last row that cuts it again (−1: none); and (p,) how many cells each piece of the wood that stays has.

    When a row separates wood, each piece of ``dust`` cells or more that nothing holds has come loose, except the
    largest: the others came from it.
    """
    ny, nx = when.shape
    cells = ny * nx
    # What is known of wood is kept for each run that stays and each cell that goes: `node` says where.
    node, holds = when.reshape(cells), anchor.reshape(cells)
    parent, area, held, last, cell, mark = known[0], known[1], known[2], known[3], known[4], known[5]
    for run in range(len(mark)):
        mark[run] = 0
    final = _final(node, holds, nx, parent, area, held, last, cell)
    events = np.zeros((64, 4), np.int64)
    beside = np.zeros((64, 4), np.int64)
    found, most = 0, len(begin) - 2
    for at in range(len(begin) - 1):
        first, end, row = begin[at], begin[at + 1], most - at
        if first == end:
            continue
        if len(beside) < 4 * (end - first):
            beside = np.zeros((8 * (end - first), 4), np.int64)
        pieces = _beside(order[first:end], row, nx, node, parent, area, held, last, mark, beside)
        for k in range(first, end):
            one = runs + k
            node[order[k]] = one
            parent[one], cell[one], area[one], last[one] = one, order[k], 1, row
            held[one] = 1 if holds[order[k]] else 0
            for other in _around(order[k], nx, cells):
                if other >= 0 and node[other] >= 0:
                    _join(parent, area, held, last, cell, one, node[other])
        for one in range(pieces):
            if beside[one, 1] >= dust and beside[one, 2] == 0 and not _is_largest(one, pieces, parent, beside):
                if found == len(events):
                    events = np.concatenate((events, np.zeros_like(events)))
                events[found, 0], events[found, 1] = row, cell[beside[one, 0]]
                events[found, 2], events[found, 3] = beside[one, 1], beside[one, 3]
                found += 1
    return events[:found], final
