"""Which bit is in the spindle when: with the fewest changes that precedence allows, part by part if asked."""

from __future__ import annotations

import itertools
from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass

from pathkit.model.job import Job
from pathkit.passes.precedence import Pairs, Precedence

MOST_STATES = 4000
"""Sets of finished toolpaths that are searched; beyond that, the bit that can cut most is always taken next."""


@dataclass(frozen=True)
class Blocks:
    """``order`` keeps every pair and stage with the fewest changes of bit; ``block[i]`` counts the changes before i."""

    order: tuple[int, ...]
    block: tuple[int, ...]

    @property
    def changes(self) -> int:
        return max(self.block, default=0)


def tool_blocks(members: Sequence[int], pairs: Pairs, stage: Sequence[int], tool: Sequence[int]) -> Blocks:
    """The toolpaths ``members`` in blocks of one bit each, as few as possible.

    With a bit in the spindle it never hurts to cut all that may be cut with it. So a state is the set of finished
    toolpaths, and breadth-first search over the bits finds the fewest blocks. ``block`` is in the order of ``members``.
    ``pairs`` may name other toolpaths too; they are ignored.
    """
    board = _Board(members, pairs, stage, tool)
    best = _search(board)
    place = {index: at for at, index in enumerate(members)}
    block = [0] * len(members)
    order: list[int] = []
    for count, indices in enumerate(best):
        order += indices
        for index in indices:
            block[place[index]] = count
    return Blocks(tuple(order), tuple(block))


class _Board:
    """What is needed to tell which toolpaths may be cut once a set of others is done."""

    def __init__(self, members: Sequence[int], pairs: Pairs, stage: Sequence[int], tool: Sequence[int]) -> None:
        own = set(members)
        self.members = tuple(members)
        self.stage, self.tool = stage, tool
        self.tools = tuple(dict.fromkeys(tool[index] for index in members))
        self.after: dict[int, list[int]] = {index: [] for index in members}
        self.waits = dict.fromkeys(members, 0)
        for first, second in pairs:
            if first in own and second in own:
                self.after[first].append(second)
                self.waits[second] += 1
        self.stages = sorted({stage[index] for index in members})

    def reach(self, done: frozenset[int], tool: int) -> list[int]:
        """Everything that may be cut with ``tool`` before another is needed, in an allowed order."""
        waits = dict(self.waits)
        left = dict.fromkeys(self.stages, 0)
        for index in self.members:
            if index in done:
                for later in self.after[index]:
                    waits[later] -= 1
            else:
                left[self.stage[index]] += 1
        ready = {stage: deque[int]() for stage in self.stages}
        for index in self.members:
            if index not in done and waits[index] == 0 and self.tool[index] == tool:
                ready[self.stage[index]].append(index)
        taken: list[int] = []
        for stage in self.stages:
            while ready[stage]:
                index = ready[stage].popleft()
                taken.append(index)
                left[stage] -= 1
                for later in self.after[index]:
                    waits[later] -= 1
                    if waits[later] == 0 and self.tool[later] == tool:
                        ready[self.stage[later]].append(later)
            if left[stage]:
                break
        return taken


def _search(board: _Board) -> list[list[int]]:
    everything = len(board.members)
    if everything == 0:
        return []
    queue: deque[tuple[frozenset[int], list[list[int]]]] = deque([(frozenset(), [])])
    seen = {frozenset[int]()}
    while queue:
        done, blocks = queue.popleft()
        moves = [taken for tool in board.tools if (taken := board.reach(done, tool))]
        if len(seen) > MOST_STATES:
            moves = [max(moves, key=len)]
            queue.clear()
        for taken in moves:
            state = done.union(taken)
            if len(state) == everything:
                return [*blocks, taken]
            if state not in seen:
                seen.add(state)
                queue.append((state, [*blocks, taken]))
    raise AssertionError("pairs and stages of a precedence never contradict each other")


def changes_along(order: Sequence[int], tool: Sequence[int]) -> int:
    """How often the bit is changed along an order."""
    return sum(tool[a] != tool[b] for a, b in itertools.pairwise(order))


def part_groups(job: Job, rule: Precedence) -> list[list[int]]:
    """Toolpaths that are cut together, part by part, in an order that the pairs allow.

    A toolpath without a part is a group of its own. Parts that have to wait for each other form one group.
    """
    import networkx

    label = [("part", path.part) if path.part is not None else ("own", path.name) for path in job.toolpaths]
    graph: networkx.DiGraph[tuple[str, str]] = networkx.DiGraph()
    graph.add_nodes_from(label)
    graph.add_edges_from((label[a], label[b]) for a, b in rule.pairs if label[a] != label[b])
    folded = networkx.condensation(graph)
    home = folded.graph["mapping"]
    groups: dict[int, list[int]] = {}
    for index, own in enumerate(label):
        groups.setdefault(home[own], []).append(index)
    first = {node: members[0] for node, members in groups.items()}
    return [groups[node] for node in networkx.lexicographical_topological_sort(folded, key=first.__getitem__)]
