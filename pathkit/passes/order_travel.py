"""OrderTravel: the order in which toolpaths are cut, and from which end or place, for the least travel."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, ClassVar, Literal, NamedTuple, get_args

import numpy as np

from pathkit.door import expect, expect_number
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.machine.orientation import orientation
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.model.stock import Stock
from pathkit.passes.base import Passed, Progress, Promise
from pathkit.passes.earlier_order import WORTH, KeptOrder, carried_over, places_in, spliced
from pathkit.passes.precedence import Precedence, precedence_of
from pathkit.passes.promises import (
    only_changes,
    order_keeps_precedence,
    precedence_kept,
    same_board,
    tabs_keep_place,
)
from pathkit.passes.start_points import Point, Way, ways_of
from pathkit.passes.tool_changes import changes_along, part_groups, tool_blocks

if TYPE_CHECKING:
    from pathkit.tour import Metric, Problem, Tour

PATIENCE = 3
"""Long stages of the search in a row, each as long as all before it, that gain nothing before it ends."""

Sequencing = Literal["stage", "part"]
Objective = Literal["mm", "seconds"]


@dataclass(frozen=True)
class OrderTravel:
    """Order the toolpaths for the least travel, from the machine's park and back to it.

    The order keeps the job's pairs, containment (inside before outside where the outer cut goes through) and the stages
    of the roles: over the whole board with ``by="stage"`` (all pockets, then drills and slots, then outlines), within
    each part with ``by="part"``. Bits are changed as seldom as that allows; among orders with equally few changes the
    travel decides, in ``mm`` or ``seconds`` of rapid moves. To save travel, open cuts are reversed and closed ones
    begin elsewhere, if they may. Only ``start``, ``backward`` and the order change, and the result is never worse than
    the given order if that keeps precedence.

    ``effort`` counts iterations, so that the same job, options and ``seed`` give the same result; the search ends
    before where it has long gained nothing. ``seconds`` is only a cap; a note says so if it ended the search.
    ``earlier`` names the toolpaths in the order of a job that was built before: where that order still holds and a
    search finds nothing half a percent better, it is kept, with new toolpaths beside what is nearest, so that a revised
    file differs little. ``bound`` also proves how much shorter the travel could be at most: the
    figures ``bound`` and ``gap``, else None. ``setup`` (how the board lies) moves the park; a pipeline fills it in.
    Without a park the travel begins over the work zero and ends where the last cut does.

    >>> better = pk.Pipeline([pk.OrderTravel(effort=1, seed=0)]).run(job, machine).job
    >>> [path.name for path in better.toolpaths]
    ['groove']
    """

    effort: float = 1.0
    seed: int = 0
    seconds: float | None = None
    by: Sequencing = "stage"
    objective: Objective = "mm"
    bound: bool = False
    setup: Setup | None = None
    earlier: tuple[str, ...] = ()

    name: ClassVar[str] = "order_travel"
    promises: ClassVar[tuple[Promise, ...]] = (
        same_board, only_changes("start", "backward", reorders=True), precedence_kept, order_keeps_precedence,
        tabs_keep_place,
    )  # fmt: skip

    def __post_init__(self) -> None:
        for name, allowed in (("by", get_args(Sequencing)), ("objective", get_args(Objective))):
            if getattr(self, name) not in allowed:
                raise InputError(f"OrderTravel: {name} is {getattr(self, name)!r}; one of: {', '.join(allowed)}")
        for name in ("effort", "seed", "seconds"):
            if name != "seconds" or self.seconds is not None:
                expect_number("OrderTravel", name, getattr(self, name))
        if isinstance(self.earlier, list):
            object.__setattr__(self, "earlier", tuple(self.earlier))  # as a job file has it
        expect("OrderTravel", earlier=(self.earlier, tuple))
        if not (0.0 <= self.effort < math.inf):
            raise InputError(f"OrderTravel: effort is {self.effort!r}; give a number, at least 0")
        if not isinstance(self.seed, int) or self.seed < 0:
            raise InputError(f"OrderTravel: seed is {self.seed!r}; give a whole number, at least 0")
        if self.seconds is not None and not (0.0 < self.seconds < math.inf):
            raise InputError(f"OrderTravel: seconds is {self.seconds!r}; give seconds above 0, or None")

    def placed(self, setup: Setup | None) -> OrderTravel:
        """The same pass for a board that lies as ``setup`` says."""
        return self if setup is None else replace(self, setup=setup)

    def __call__(self, job: Job, machine: Machine, *, progress: Progress | None = None) -> Passed:
        rule = precedence_of(job)
        if self.by == "part":
            rule = rule.within(_homes(part_groups(job, rule)))
        board = _board(job, rule, machine, self.setup)
        given = _Run(tuple(range(len(job.toolpaths))), (0,) * len(job.toolpaths))
        place = places_in(self.earlier, [path.name for path in job.toolpaths])
        plans = self._plans(board, given, place, progress)
        found: list[tuple[_Run, Tour | None]] = [self._solved(board, plan, place, progress) for plan in plans]
        feasible = self._keeps(board, given.order)
        if feasible:
            found.insert(0, (given, None))
        metric, worth = self._metric(machine), 1.0 + WORTH / 100.0 if self.earlier else 1.0

        def cost(pair: tuple[_Run, Tour | None]) -> tuple[int, float]:
            changes, way = board.cost(pair[0], metric)
            return changes, way * (worth if pair[1] is None else 1.0)

        run, tour = min(found, key=cost)
        toolpaths = tuple(
            board.ways[at][choice].on(job.toolpaths[at]) for at, choice in zip(run.order, run.choice, strict=True)
        )
        kept = KeptOrder.of(place, run.order, len(self.earlier)) if self.earlier else None
        findings = [*rule.overruled, *self._notes(feasible, [t for _, t in found if t is not None])]
        findings += [] if kept is None else [kept.finding]
        after = job if toolpaths == job.toolpaths else job.with_toolpaths(toolpaths)
        figures = self._figures(board, (given, run), tour, [t for _, t in found if t])
        return Passed(after, tuple(findings), figures if kept is None else {**figures, "earlier": kept.as_dict()})

    def _metric(self, machine: Machine) -> Metric:
        from pathkit.tour import Metric

        if self.objective == "mm":
            return Metric()
        linear = np.abs(orientation(machine, Stock(1.0, 1.0, 1.0), self.setup).linear[:2, :2])
        # Rates belong to the controller's axes; each bench axis is one of them.
        rate = np.array(machine.motion.rapid[:2]) @ linear
        acceleration = np.array(machine.motion.acceleration[:2]) @ linear
        return Metric.time((rate[0], rate[1]), (acceleration[0], acceleration[1]))

    def _plans(
        self, board: _Board, given: _Run, place: Sequence[int | None], progress: Progress | None
    ) -> list[tuple[int, ...]]:
        """One or two plans: stage numbers under which every allowed order has the fewest changes of bit."""
        rule = board.rule
        members = tuple(range(len(board.tool)))
        if self.by == "part":
            return [self._part_plan(board, place, progress)]
        blocks = tool_blocks(members, rule.pairs, rule.stage, board.tool)
        plans = [_ranked(list(zip(blocks.block, rule.stage, strict=True)))]
        if blocks.changes and rule.kept_by(given.order) and changes_along(given.order, board.tool) <= blocks.changes:
            # Where several blocks of a bit could take a toolpath, the given order may use a later one and travel less.
            taken = np.cumsum([0, *(board.tool[a] != board.tool[b] for a, b in itertools.pairwise(members))])
            plans.append(_ranked(list(zip(taken.tolist(), rule.stage, strict=True))))
        return list(dict.fromkeys(plans))

    def _part_plan(self, board: _Board, place: Sequence[int | None], progress: Progress | None) -> tuple[int, ...]:
        """Stage numbers by part: the order of the parts, by a tour over their middles, then blocks within each."""
        from pathkit.tour import Item, Problem

        groups = part_groups(board.job, board.rule)
        home = _homes(groups)
        pairs = {(home[a], home[b]) for a, b in board.rule.pairs if home[a] != home[b]}
        middles = [np.mean([board.ways[index][0].entry for index in group], axis=0) for group in groups]
        items = [Item.at(float(x), float(y)) for x, y in middles]
        problem = Problem.from_items(items, start=board.begin, end=board.end, precedence=sorted(pairs))
        known = [[at for index in group if (at := place[index]) is not None] for group in groups]
        first = [min(own, default=None) for own in known]
        spots = np.array(middles)
        start = carried_over(first, sorted(pairs), [0] * len(groups), spots, spots) if self.earlier else None
        tour = self._tour(problem, start, progress)
        key: dict[int, tuple[int, int, int]] = {}
        for rank, at in enumerate(tour.order):
            blocks = tool_blocks(groups[at], board.rule.pairs, board.rule.stage, board.tool)
            for index, block in zip(groups[at], blocks.block, strict=True):
                key[index] = (rank, block, board.rule.stage[index])
        return _ranked([key[index] for index in range(len(board.tool))])

    def _solved(
        self, board: _Board, stage: tuple[int, ...], place: Sequence[int | None], progress: Progress | None
    ) -> tuple[_Run, Tour | None]:
        from pathkit.tour import Item, Problem

        items = []
        for ways, number in zip(board.ways, stage, strict=True):
            two_ended = len(ways) == 2 and ways[0].entry == ways[1].exit != ways[0].exit == ways[1].entry
            variants = [(way.entry, way.exit) for way in (ways[:1] if two_ended else ways)]
            items.append(Item(variants, reversible=two_ended, stage=number))
        problem = Problem.from_items(
            items,
            start=board.begin,
            end=board.end,
            metric=self._metric(board.machine),
            precedence=board.rule.pairs,
            name=board.job.name,
        )
        start = None
        if self.earlier:
            entry, leave = (np.array([getattr(ways[0], end) for ways in board.ways]) for end in ("entry", "exit"))
            start = carried_over(place, board.rule.pairs, stage, entry, leave)
        tour = self._tour(problem, start, progress, bound=self.bound, patience=PATIENCE)
        return _Run(tuple(tour.order), tuple(tour.variants)), tour

    def _tour(
        self, problem: Problem, start: tuple[int, ...] | None, progress: Progress | None, *, bound: bool = False,
        patience: int | None = None,
    ) -> Tour:  # fmt: skip
        """A short tour; given a start it keeps that wherever little is to be gained."""
        from pathkit.tour import solve
        from pathkit.tour.solve import with_best_variants

        kept = None if start is None else with_best_variants(problem, start)
        tour = solve(
            problem,
            effort=self.effort,
            seconds=self.seconds,
            seed=self.seed,
            progress=progress,
            initial=kept,
            bound=bound,
            patience=patience,
        )
        return tour if kept is None else spliced(problem, kept, tour)

    def _keeps(self, board: _Board, order: tuple[int, ...]) -> bool:
        """Whether an order keeps the pairs and, over the board or part by part, the stages."""
        if self.by == "stage":
            return board.rule.kept_by(order)
        groups = part_groups(board.job, board.rule)
        home = _homes(groups)
        place = {index: at for at, index in enumerate(order)}
        if any(place[first] > place[second] for first, second in board.rule.pairs):
            return False
        runs = [group for group, _ in itertools.groupby(home[index] for index in order)]
        within = all(
            board.rule.stage[a] <= board.rule.stage[b] for a, b in itertools.pairwise(order) if home[a] == home[b]
        )
        return within and len(runs) == len(set(runs))

    def _notes(self, feasible: bool, tours: Sequence[Tour]) -> list[Finding]:
        notes = []
        if not feasible:
            what = (
                "the given order does not keep precedence, so the travel before it cannot be compared with that after"
            )
            notes.append(Finding(check=self.name, what=what, severity="note"))
        if any(tour.capped for tour in tours):
            what = f"the cap of {self.seconds:g} s ended the search or its bound; another run may find others"
            notes.append(Finding(check=self.name, what=what, fix="lower effort, or drop seconds", severity="note"))
        return notes

    def _figures(
        self, board: _Board, runs: tuple[_Run, _Run], chosen: Tour | None, tours: Sequence[Tour]
    ) -> dict[str, Any]:
        from pathkit.tour import Metric

        metric = self._metric(board.machine)
        (changes, cost), (fewest, least) = (board.cost(run, metric) for run in runs)
        travel = [board.cost(run, Metric())[1] for run in runs]
        # A bound of one plan says nothing about an order of another, so take the least: it holds for all.
        bound = min([least, *(tour.bound for tour in tours)]) if self.bound else None
        gap = None
        if bound is not None and (bound > 0.0 or least <= bound):
            gap = (least - bound) / bound if bound > 0.0 else 0.0
        return {
            "travel": dict(zip(("before", "after"), travel, strict=True)),
            "objective": self.objective,
            "cost": {"before": cost, "after": least},
            "bound": bound,
            "gap": gap,
            "tool_changes": {"before": changes, "after": fewest},
            "capped": any(tour.capped for tour in tours),
            "kept_given": chosen is None,
        }


class _Run(NamedTuple):
    """An order of toolpaths and, for each place in it, the index of the toolpath's way."""

    order: tuple[int, ...]
    choice: tuple[int, ...]


@dataclass(frozen=True)
class _Board:
    """A job as the search sees it: ways, bits by number, where the bit comes from and goes to (bench, mm)."""

    job: Job
    rule: Precedence
    machine: Machine
    ways: tuple[tuple[Way, ...], ...]
    tool: tuple[int, ...]
    begin: Point
    end: Point | None

    def cost(self, run: _Run, metric: Metric) -> tuple[int, float]:
        """(changes of bit, travel in the metric's unit) of a run."""
        taken = [self.ways[at][choice] for at, choice in zip(run.order, run.choice, strict=True)]
        leave = np.array([self.begin, *(way.exit for way in taken)])
        reach = np.array([*(way.entry for way in taken), self.end if self.end is not None else tuple(leave[-1])])
        return changes_along(run.order, self.tool), math.fsum(metric.cost(leave, reach).tolist())


def _board(job: Job, rule: Precedence, machine: Machine, setup: Setup | None) -> _Board:
    numbers = {tool: at for at, tool in enumerate(job.tools)}
    place = machine.park if machine.park is not None else (0.0, 0.0)
    x, y, _ = orientation(machine, job.stock, setup).points_back(np.array([[*place, 0.0]]))[0]
    begin = (float(x), float(y))
    return _Board(
        job,
        rule,
        machine,
        tuple(ways_of(path, job.stock) for path in job.toolpaths),
        tuple(numbers[path.tool] for path in job.toolpaths),
        begin,
        begin if machine.park is not None else None,
    )


def _homes(groups: Sequence[Sequence[int]]) -> list[int]:
    """For each toolpath the number of its group."""
    home = {index: at for at, group in enumerate(groups) for index in group}
    return [home[index] for index in range(len(home))]


def _ranked(keys: Sequence[tuple[int, ...]]) -> tuple[int, ...]:
    """Keys as stage numbers from 0, in their order."""
    rank = {key: at for at, key in enumerate(sorted(set(keys)))}
    return tuple(rank[key] for key in keys)
