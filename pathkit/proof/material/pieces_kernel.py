"""Pieces of a board while it is cut, by running the cuts backwards: wood put back joins what it had separated."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pathkit.kernels import kernel
from pathkit.union_find import root

Numbers = NDArray[np.int32]

NEVER = np.int32(2**31 - 1)


@kernel(allocates=False)
def _join(parent: Numbers, area: Numbers, held: Numbers, last: Numbers, one: int, other: int) -> None:
    a, b = root(parent, one), root(parent, other)
    if a == b:
        return
    if area[a] < area[b] or (area[a] == area[b] and a > b):
        a, b = b, a
    parent[b] = a
    area[a] += area[b]
    held[a] += held[b]
    last[a] = max(last[a], last[b])


@kernel(allocates=False)
def _put_back(
    parent: Numbers, area: Numbers, held: Numbers, last: Numbers, anchor: NDArray[np.bool_], cell: int, row: int
) -> None:
    parent[cell] = cell
    area[cell] = 1
    held[cell] = 1 if anchor[cell] else 0
    last[cell] = row


@kernel(allocates=False)
def _neighbour(cell: int, side: int, nx: int, cells: int) -> int:
    """The cell to the right, left, back or front; −1 outside the board."""
    if side == 0:
        return cell + 1 if (cell + 1) % nx != 0 else -1
    if side == 1:
        return cell - 1 if cell % nx != 0 else -1
    if side == 2:
        return cell + nx if cell + nx < cells else -1
    return cell - nx


@kernel
def _final(
    when: Numbers, anchor: NDArray[np.bool_], nx: int, parent: Numbers, area: Numbers, held: Numbers, last: Numbers
) -> Numbers:
    """The pieces of the wood that stays: runs of cells along each row, joined where they touch the row before. Returns
    how many cells each has."""
    runs, cell = 0, 0
    while cell < len(when):
        if when[cell] != NEVER:
            cell += 1
            continue
        first, end = cell, cell - cell % nx + nx
        anchors = 0
        while cell < end and when[cell] == NEVER:
            parent[cell] = first
            anchors += 1 if anchor[cell] else 0
            cell += 1
        area[first], held[first], last[first] = cell - first, anchors, -1
        runs += 1
        for at in range(first, cell):
            # Once for each run of the row before.
            if at >= nx and when[at - nx] == NEVER and (at == first or when[at - nx - 1] != NEVER):
                _join(parent, area, held, last, first, at - nx)
    sizes, pieces = np.empty(runs, np.int32), 0
    for one in range(len(when)):
        if parent[one] == one:
            sizes[pieces] = area[one]
            pieces += 1
    return sizes[:pieces]


@kernel(allocates=False)
def _beside(  # noqa: PLR0913 - numba takes them apart anyway, in an inner loop
    gone: NDArray[np.int64], row: int, nx: int, parent: Numbers, area: Numbers, held: Numbers, last: Numbers,
    mark: Numbers, beside: NDArray[np.int64],
) -> int:  # fmt: skip
    """Record the pieces next to what one row removes, just after it: representative, cells, held, last."""
    pieces = 0
    for at in range(len(gone)):
        for side in range(4):
            other = _neighbour(gone[at], side, nx, len(parent))
            if other >= 0 and parent[other] >= 0:
                whole = root(parent, other)
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
    when: Numbers, order: NDArray[np.int64], anchor: NDArray[np.bool_], nx: int, dust: int
) -> tuple[NDArray[np.int64], Numbers]:
    """Every piece that comes loose, and the cells of each piece at the end.

    ``when`` (cells,) is the row that removes a cell, `NEVER` for wood that stays; ``order`` the cells that go, latest
    first; ``anchor`` where something holds. Returns (k, 4): row, a cell of the piece, its cells, the last row that cuts
    it again (−1: none); and (p,) how many cells each piece of the wood that stays has.

    When a row separates wood, each piece of ``dust`` cells or more that nothing holds has come loose, except the
    largest: the others came from it.
    """
    cells = len(when)
    # Memory that is zero costs nothing until it is written to, and most cells need a parent only.
    parent, mark = np.full(cells, -1, np.int32), np.zeros(cells, np.int32)
    area, held, last = np.zeros(cells, np.int32), np.zeros(cells, np.int32), np.zeros(cells, np.int32)
    final = _final(when, anchor, nx, parent, area, held, last)
    events = np.zeros((64, 4), np.int64)
    beside = np.zeros((64, 4), np.int64)
    count, first = 0, 0
    while first < len(order):
        row, end = when[order[first]], first
        while end < len(order) and when[order[end]] == row:
            end += 1
        if len(beside) < 4 * (end - first):
            beside = np.zeros((8 * (end - first), 4), np.int64)
        pieces = _beside(order[first:end], row, nx, parent, area, held, last, mark, beside)
        for at in range(first, end):
            _put_back(parent, area, held, last, anchor, order[at], row)
            for side in range(4):
                other = _neighbour(order[at], side, nx, cells)
                if other >= 0 and parent[other] >= 0:
                    _join(parent, area, held, last, order[at], other)
        for one in range(pieces):
            if beside[one, 1] >= dust and beside[one, 2] == 0 and not _is_largest(one, pieces, parent, beside):
                if count == len(events):
                    events = np.concatenate((events, np.zeros_like(events)))
                events[count, 0], events[count, 1] = row, beside[one, 0]
                events[count, 2], events[count, 3] = beside[one, 1], beside[one, 3]
                count += 1
        first = end
    return events[:count], final
