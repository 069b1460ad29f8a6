"""Which bit comes first, where a file's bits may be changed in several orders with equally few changes."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby, permutations
from typing import Final

from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.passes.order_travel import OrderTravel
from pathkit.passes.precedence import precedence_of
from pathkit.passes.tool_changes import Blocks, tool_blocks

MOST_BITS: Final = 4
"""Of a job whose orders of bits are all looked at: 24 of them."""


def with_bits_in_order(job: Job, order: OrderTravel, machine: Machine, setup: Setup | None) -> Job:
    """The job in the order of its bits that travels least, as far as ``order`` tells without a search, among those with
    the fewest changes. The order of one bit's toolpaths is left to ``order``, which begins with the bit given first."""
    if not 1 < len(job.tools) <= MOST_BITS:
        return job
    rule, bit = precedence_of(job), [job.tools.index(path.tool) for path in job.toolpaths]
    found: dict[tuple[int, ...], Blocks] = {}
    for preference in permutations(range(len(job.tools))):
        members = sorted(range(len(bit)), key=lambda at: preference.index(bit[at]))
        blocks = tool_blocks(members, rule.pairs, rule.stage, bit)
        found.setdefault(tuple(key for key, _ in groupby(bit[at] for at in blocks.order)), blocks)
    if len(found) == 1:
        return job
    jobs = [job, *(job.with_toolpaths(job.toolpaths[at] for at in blocks.order) for blocks in found.values())]
    quick = replace(order, effort=0.0).placed(setup)

    def cost(each: Job) -> tuple[int, float]:
        figures = quick(each, machine).figures
        return figures["tool_changes"]["after"], figures["cost"]["after"]

    return min(jobs, key=cost)
