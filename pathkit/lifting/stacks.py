"""Cuts that repeat a curve at growing depth become one toolpath with levels."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from pathkit.lifting.same_moves import makes, own_moves, strung
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Plunge, Toolpath
from pathkit.tolerances import FILE_GRID

if TYPE_CHECKING:
    import networkx

CELL = 1.0
"""mm: first points are looked up by squares of this size."""

_Square = tuple[int, int]


def repeats(upper: Toolpath, lower: Toolpath) -> bool:
    """Whether the lower one runs along the upper one's curve, from the same place and in the same way, but deeper."""
    one, other = upper.curve, lower.curve
    return (
        upper.levels is not None
        and lower.levels is not None
        and lower.levels[0] < upper.levels[-1]
        and (upper.tool, upper.cutting, upper.reversible) == (lower.tool, lower.cutting, lower.reversible)
        and one.closed == other.closed
        and len(one.points) == len(other.points)
        and bool((np.abs(one.points - other.points) <= FILE_GRID).all())
        and bool((np.sign(one.sweeps) == np.sign(other.sweeps)).all())
    )


def stacked(name: str, stock: Stock, paths: Sequence[Toolpath], pairs: Sequence[tuple[int, int]]) -> Job:
    """The job of ``paths``, of which ``pairs`` (by number) must stay in this order; repeated curves are joined where
    nothing must come between them. A joined toolpath stands where its deepest cut stood."""
    import networkx

    waiting: networkx.DiGraph[int] = networkx.DiGraph()
    waiting.add_nodes_from(range(len(paths)))
    waiting.add_edges_from(pairs)
    joined = dict(enumerate(paths))
    last = {at: at for at in joined}
    heads: dict[_Square, list[int]] = {}
    for at, path in enumerate(paths):
        # Between the levels of an open one the bit comes back: along itself, or over ground of which nothing is known.
        if path.levels is None or not (path.curve.closed or path.may_reverse):
            continue
        for head in _near(heads, path):
            if not repeats(joined[head], path) or _between(waiting, head, at):
                continue
            if (both := _deeper(joined[head], path, stock)) is not None:
                joined[head] = both
                del joined[at]
                last[head] = at
                _contract(waiting, head, at)
                break
        else:
            heads.setdefault(_square(path), []).append(at)
    order = networkx.lexicographical_topological_sort(waiting, key=last.__getitem__)
    edges = sorted(waiting.edges, key=lambda pair: (last[pair[0]], last[pair[1]]))
    return Job(name, stock, [joined[at] for at in order], [(joined[a].name, joined[b].name) for a, b in edges])


def _deeper(upper: Toolpath, lower: Toolpath, stock: Stock) -> Toolpath | None:
    """The upper one with the lower one's levels too; None if it would not make the moves of both."""
    levels = (*(upper.levels or ()), *(lower.levels or ()))
    both = replace(
        upper, levels=levels, bottom=levels[-1], tabs=lower.tabs or upper.tabs,
        entry=max(upper.entry, lower.entry, key=lambda entry: getattr(entry, "angle", 0.0)),
        free_start=upper.free_start and lower.free_start,
    )  # fmt: skip
    plain = all(isinstance(path.entry, Plunge) and not path.tabs for path in (upper, lower))
    if plain or makes(both, [strung(own_moves(upper, stock), own_moves(lower, stock))], stock):
        return both
    return None


def _square(path: Toolpath) -> _Square:
    x, y = path.curve.points[0, :2].tolist()
    return math.floor(x / CELL), math.floor(y / CELL)


def _near(heads: dict[_Square, list[int]], path: Toolpath) -> Iterator[int]:
    """Toolpaths that begin in the same square as this one, or beside it; the latest first."""
    x, y = _square(path)
    beside = [heads.get((x + dx, y + dy), []) for dx, dy in itertools.product((-1, 0, 1), repeat=2)]
    yield from sorted(itertools.chain.from_iterable(beside), reverse=True)


def _between(waiting: networkx.DiGraph[int], one: int, other: int) -> bool:
    """Whether something must be cut after the one and before the other."""
    import networkx

    after = [node for node in waiting.successors(one) if node != other]
    return any(networkx.has_path(waiting, node, other) for node in after)


def _contract(waiting: networkx.DiGraph[int], head: int, at: int) -> None:
    waiting.add_edges_from([(before, head) for before in waiting.predecessors(at) if before != head])
    waiting.add_edges_from([(head, after) for after in waiting.successors(at) if after != head])
    waiting.remove_node(at)
