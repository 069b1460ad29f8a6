"""The last stages of a problem put in the place of their cheapest way: what is left then ends at their cost.

An order goes through the last stage from the variant by which it comes in to the end. If no way from there through the
whole stage costs less than a bound (`short_memory`), the stage may be left out, and that bound counts as the cost of
going in. Trees know little of contours, whose crossing costs them nothing; these bounds lose next to nothing there.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.tour.bound.short_memory import Stretch, affordable, least_after, remembers_all
from pathkit.tour.bound.sparse_graph import Rules, arc_costs, rules_of
from pathkit.tour.kernel.core import Core
from pathkit.tour.stopping import Stopping

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

CONTOURS = 3  # variants for an item from which a stage is hard for trees


class Rest(NamedTuple):
    """What is left of a problem. ``leave`` (m,) bounds the way from each variant, as the last, to the end; inf if it
    cannot be the last. ``bound`` is one for the whole order, 0 if there is none; ``more`` says whether another stage
    may be left out."""

    core: Core
    rules: Rules
    leave: Floats
    bound: float = 0.0
    more: bool = True

    @property
    def done(self) -> bool:
        """Whether nothing is left but item 0, so that no other bound is higher."""
        return len(self.core.first) == 2


def shortened(core: Core, rules: Rules, stopping: Stopping) -> Rest:
    """The problem without its last stages, as many as are hard for trees and take little time."""
    m = len(core.owner)
    every = np.arange(m, dtype=np.int32)
    lead = int(core.first[1])
    waited_for = np.diff(core.after_at) > 0
    ends = (core.owner > 0) & ~waited_for[core.owner] & (core.high[core.owner] == len(core.first) - 2)
    leave = np.where(ends, arc_costs(core, every, np.zeros(m, dtype=np.int32)), np.inf)
    rest = Rest(core, rules, leave)
    while lead == 1 and rest.more and not stopping.over():
        items = np.flatnonzero(rest.rules.stage == rest.rules.stage[1:].max())
        items = items[items > 0]
        variants = int(np.diff(rest.core.first)[items].sum())
        hard = remembers_all(len(items), variants, stopping) or variants >= CONTOURS * len(items)
        if not hard or not affordable(len(items), variants, stopping):
            break
        rest = _without(rest, items.astype(np.int32), stopping)
    return rest


def _without(rest: Rest, items: Ints, stopping: Stopping) -> Rest:
    """What is left without these items, the last stage; if it is the only one, only a bound is added."""
    core, rules = rest.core, rest.rules
    rows = np.flatnonzero(np.isin(core.owner, items)).astype(np.int32)
    home = np.searchsorted(items, core.owner[rows])
    before = np.flatnonzero(rules.stage == rules.stage[items[0]] - 1)
    before = before[before > 0]
    alone = len(items) == len(core.first) - 2
    came = np.zeros(1, dtype=np.int32) if alone else np.flatnonzero(np.isin(core.owner, before)).astype(np.int32)
    into = _prices(core, rules, came, rows)
    own = Stretch(
        np.append(np.searchsorted(home, np.arange(len(items))), len(rows)).astype(np.int32),
        _prices(core, rules, rows, rows),
        into.min(axis=0),
        rest.leave[rows],
    )
    after = least_after(own, stopping)
    leave = (into + after).min(axis=1)
    if alone:
        ended = remembers_all(len(items), len(rows), stopping)
        return Rest(
            _kept(core, np.zeros(1, dtype=np.int32)) if ended else core, rules, rest.leave, float(leave[0]), False
        )
    kept = _kept(core, np.setdiff1d(np.arange(len(core.first) - 1), items).astype(np.int32))
    # An item that another of its stage waits for cannot be the last.
    waited_for = np.diff(kept.after_at) > 0
    ends = np.full(len(core.owner), np.inf)
    ends[came] = leave
    ends = ends[~np.isin(core.owner, items)]
    return Rest(kept, rules_of(kept), np.where(waited_for[kept.owner], np.inf, ends))


def _prices(core: Core, rules: Rules, tails: Ints, heads: Ints) -> Floats:
    """(tails, heads) what going from one variant to another costs; inf if no order does."""
    cost = arc_costs(core, np.repeat(tails, len(heads)), np.tile(heads, len(tails))).reshape(len(tails), len(heads))
    owner = core.owner[heads]
    waits = np.zeros(len(core.first) - 1, dtype=bool)
    waits[np.repeat(np.arange(len(waits)), np.diff(core.before_at))[core.before > 0]] = True
    for row, tail in enumerate(core.owner[tails].tolist()):
        if tail == 0:
            cost[row, waits[owner]] = np.inf
            continue
        barred = rules.barred[rules.barred_at[tail] : rules.barred_at[tail + 1]]
        cost[row, (owner == tail) | np.isin(owner, barred)] = np.inf
    if len(tails) and len(heads) and rules.stage[core.owner[tails[0]]] < rules.stage[owner[0]]:
        inside = np.zeros(len(waits), dtype=bool)
        same = rules.stage[core.before] == np.repeat(rules.stage, np.diff(core.before_at))
        inside[np.repeat(np.arange(len(waits)), np.diff(core.before_at))[same & (core.before > 0)]] = True
        cost[:, inside[owner]] = np.inf
    return cost


def _kept(core: Core, items: Ints) -> Core:
    """The core with these items alone, item 0 among them; all later stages are left out."""
    keep = np.zeros(len(core.first) - 1, dtype=bool)
    keep[items] = True
    rows = np.flatnonzero(keep[core.owner])
    number = np.cumsum(keep) - 1
    place = np.full(len(core.owner) + 1, -1)
    place[rows] = np.arange(len(rows))
    links = {}
    for name in ("after", "before"):
        at, other = getattr(core, f"{name}_at"), getattr(core, name)
        one = np.repeat(np.arange(len(keep)), np.diff(at))
        both = keep[one] & keep[other]
        links[name] = number[other[both]].astype(np.int32)
        counts = np.bincount(number[one[both]], minlength=len(items))
        links[f"{name}_at"] = np.concatenate([[0], np.cumsum(counts)]).astype(np.int32)
    return core._replace(
        first=np.concatenate([[0], np.cumsum(np.diff(core.first)[items])]).astype(np.int32),
        owner=number[core.owner[rows]].astype(np.int32),
        entry=core.entry[rows],
        exit=core.exit[rows],
        costs=np.ascontiguousarray(core.costs[np.ix_(rows, rows)]) if len(core.costs) else core.costs,
        group=core.group[items],
        low=core.low[items],
        high=core.high[items],
        mate=place[core.mate[rows]].astype(np.int32),
        **links,
    )
