"""Finding a travel order: the search that suits the problem, several starts, and the checked result."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pathkit.door import expect, expect_number
from pathkit.errors import InputError, Refused
from pathkit.tour.problem import Problem, whole
from pathkit.tour.stopping import Progress, Stopping, Watch, watched

SEARCHING = 0.8  # of the seconds, if a bound is wanted too


@dataclass(frozen=True)
class Tour:
    """An order of a problem's items, with its length and a bound.

    ``order[k]`` is the item at place k and ``variants[k]`` its variant (see `Problem.variant`). ``bound`` is a proved
    lower bound on every order; ``bound_gap`` is (length - bound) / bound, 0 if the order is proved best and inf if
    nothing is proved. ``history`` holds (iterations, length) for each improvement. ``capped`` says that ``seconds``
    ended the search or its bound before they were done, so that another machine may find another order or bound.
    """

    order: tuple[int, ...]
    variants: tuple[int, ...]
    length: float
    bound: float
    history: tuple[tuple[int, float], ...] = ()
    iterations: int = 0
    capped: bool = False

    def __repr__(self) -> str:
        said = f", at most {self.bound_gap:.2%} to gain" if self.bound > 0.0 else ""
        return f"Tour({len(self.order)} items, length {self.length:g}{said}{', capped' if self.capped else ''})"

    def _repr_html_(self) -> str:
        """Its figures as a table, for notebooks."""
        from pathkit.sketch import table

        gap = f"{self.bound_gap:.2%}" if self.bound > 0.0 else "nothing proved"
        rows = [("length", f"{self.length:g}"), ("bound", f"{self.bound:g}"), ("to gain at most", gap)]
        rows += [("iterations", f"{self.iterations}"), ("ended by its time limit", "yes" if self.capped else "no")]
        return table(f"Tour of {len(self.order)} items", rows)

    @property
    def bound_gap(self) -> float:
        """Part of the bound by which the order may exceed the best one."""
        if self.length <= self.bound:
            return 0.0
        return (self.length - self.bound) / self.bound if self.bound > 0 else float("inf")


def solve(  # noqa: PLR0913 - keyword arguments
    problem: Problem,
    *,
    effort: float | None = 1,
    seconds: float | None = None,
    seed: int = 0,
    stop: Callable[[], bool] | None = None,
    progress: Progress | None = None,
    executor: Executor | None = None,
    initial: Sequence[int] | Tour | None = None,
    starts: int | None = None,
    bound: bool = True,
    patience: int | None = None,
) -> Tour:
    """Find a cheap order of the problem's items.

    ``effort`` counts iterations, so that the same problem, seed and effort give the same result; ``seconds`` is a cap
    on all of it that may end them early: the bound has what the search leaves, a fifth at least. ``effort=None``
    searches until then. ``stop`` is called every tenth of a second; when it returns True, search and bound end with the
    best so far. So they do if ``progress(done, total, message)`` returns False. Both are called in the caller's own
    thread, also while kernels are compiled: that happens once for an installation, is announced as a message, and
    cannot be cut short. The result is never worse than ``initial``, an order or an earlier Tour. ``starts`` searches (4
    with an ``executor``, else 1) begin from different seeds and run on the executor; what runs in other processes does
    not hear of a stop. ``bound=False`` skips the bound.

    A search with an effort runs in stages, each as long as all before it, so that at one seed a run of twice the effort
    begins with the run of the effort. With ``patience`` it ends after so many long stages in a row that gained nothing.
    Runs too short for two stages take the same steps, too, but ``history`` has only where each ended.

    Raises InputError for impossible options or an initial order that breaks the problem's rules, and Refused if every
    order found needs a forbidden arc.
    """
    expect("solve", problem=(problem, Problem))
    _check_options(effort, seconds, seed, starts, patience)
    given = _initial(problem, initial)
    count = starts if starts is not None else (4 if executor is not None else 1)
    if len(problem) == 0:
        length = problem.length((), ())
        return Tour((), (), length, length)
    seeds = [seed * 1_000_003 + k for k in range(count)]
    limits = (effort, seconds if seconds is None or not bound else SEARCHING * seconds, patience, given)
    began = Stopping(None).began

    def work(watch: Watch) -> Tour:
        from pathkit.kernels import announcing

        with announcing(watch.tell):
            if executor is None:
                runs = [_search(problem, one, *limits, watch) for one in seeds]
            else:
                futures = [executor.submit(_search, problem, one, *limits, watch) for one in seeds]
                runs = [future.result() for future in futures]
            best = min(runs, key=lambda tour: tour.length)
            if not bound or best.bound >= best.length:
                return best
            stopping = Stopping(None, seconds, watch, began)
            proved = proved_bound(problem, best.length, stopping)
            return replace(best, bound=proved, capped=best.capped or stopping.capped)

    return watched(work, stop, progress)


def _check_options(
    effort: float | None, seconds: float | None, seed: int, starts: int | None, patience: int | None
) -> None:
    for name, value, counted in (
        ("effort", effort, False), ("seconds", seconds, False), ("seed", seed, True), ("starts", starts, True),
        ("patience", patience, True),
    ):  # fmt: skip
        if value is not None or name == "seed":
            expect_number("solve", name, value, whole=counted)
    if effort is None and seconds is None:
        raise InputError("effort=None searches until its time is over; give seconds")
    if effort is not None and not (np.isfinite(effort) and effort >= 0):
        raise InputError(f"effort is {effort}; give 0 or more")
    if seconds is not None and not (np.isfinite(seconds) and seconds >= 0):
        raise InputError(f"seconds is {seconds}; give 0 or more")
    if seed < 0:
        raise InputError(f"seed is {seed}; give 0 or more")
    if starts is not None and starts < 1:
        raise InputError(f"starts is {starts}; give 1 or more")
    if patience is not None and patience < 1:
        raise InputError(f"patience is {patience}; give 1 stage or more, or None")


def _initial(problem: Problem, initial: Sequence[int] | Tour | None) -> tuple[tuple[int, ...], tuple[int, ...]] | None:
    """The given order with variants; an order alone takes the first variant of each item, to be improved later."""
    if initial is None:
        return None
    if isinstance(initial, Tour):
        order, variants = initial.order, initial.variants
    else:
        expect("solve", initial=(initial, Sequence, np.ndarray))
        order = tuple(whole(initial, "initial").tolist())
        variants = (0,) * len(order)
    problem.length(order, variants)
    return order, variants


def _search(
    problem: Problem,
    seed: int,
    effort: float | None,
    seconds: float | None,
    patience: int | None,
    given: tuple[tuple[int, ...], tuple[int, ...]] | None,
    watch: Watch,
) -> Tour:
    """One search with one seed."""
    from pathkit.tour import dynamic_programming
    from pathkit.tour.constrained import search as constrained_search
    from pathkit.tour.kernel import nearest_neighbour
    from pathkit.tour.kernel.frame import frame
    from pathkit.tour.symmetric import search as symmetric_search

    stopping = Stopping(None, seconds, watch, patience=patience)
    framed = frame(problem)
    core = framed.core
    history: list[tuple[int, float]] = []
    proved = dynamic_programming.affordable(core)
    if proved:
        sequence = dynamic_programming.best_order(core)
        stopping.budget = 0
    elif symmetric_search.suits(core) and len((own := symmetric_search.nodes(core)).points) >= symmetric_search.LEAST:
        stopping.budget = None if effort is None else symmetric_search.budget(core, effort)
        known = None if given is None else _sequence(problem, framed.items, core.first, *given)
        sequence = symmetric_search.search(core, own, known, seed, stopping, history)
    else:
        stopping.budget = None if effort is None else constrained_search.budget(core, effort)
        start = nearest_neighbour.nearest_feasible(core)
        if given is not None:
            known = _sequence(problem, framed.items, core.first, *given)
            start = known
        sequence = constrained_search.search(core, start, seed, stopping, history)
    order, variants = _order(framed.items, core.first, core.owner, sequence)
    length = problem.length(order, variants)
    if given is not None and (before := problem.length(*given)) < length:
        (order, variants), length = given, before
    if not np.isfinite(length):
        raise Refused("every order found needs a forbidden arc; allow more arcs or search with more effort")
    return Tour(order, variants, length, length if proved else 0.0, tuple(history), stopping.done, stopping.capped)


def proved_bound(problem: Problem, length: float, stopping: Stopping | None = None) -> float:
    """A lower bound on every order, at most ``length``, the cost of a known order; as good as ``stopping`` allows."""
    from pathkit.tour.bound.held_karp import lower_bound
    from pathkit.tour.kernel.frame import frame

    return min(max(lower_bound(frame(problem).core, length, stopping), 0.0), length)


def with_best_variants(problem: Problem, order: Sequence[int]) -> Tour:
    """The order as it is, each item with the variant that makes it shortest."""
    from pathkit.tour.constrained.best_variants import choose_variants
    from pathkit.tour.kernel.frame import frame

    framed = frame(problem)
    given, variants = _initial(problem, order) or ((), ())
    sequence = _sequence(problem, framed.items, framed.core.first, given, variants)
    choose_variants(framed.core, sequence)
    placed, chosen = _order(framed.items, framed.core.first, framed.core.owner, sequence)
    return Tour(placed, chosen, problem.length(placed, chosen), 0.0)


def _sequence(
    problem: Problem, items: NDArray[np.int64], first: NDArray[np.int32], order: Sequence[int], variants: Sequence[int]
) -> NDArray[np.int32]:
    """The core's sequence for an order of the problem."""
    place = np.empty(len(problem), dtype=np.int64)
    own = items >= 0
    place[items[own]] = np.flatnonzero(own)
    sequence = first[place[np.array(order, dtype=np.int64)]] + np.array(variants, dtype=np.int64)
    if not own[0]:
        return np.concatenate([[0], sequence]).astype(np.int32)
    return np.roll(sequence, -order.index(int(items[0]))).astype(np.int32)


def _order(
    items: NDArray[np.int64],
    first: NDArray[np.int32],
    owner: NDArray[np.int32],
    sequence: NDArray[np.int32],
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The problem's order for a sequence of the core."""
    places = owner[sequence]
    chosen = sequence - first[places]
    own = items[places] >= 0
    order: Any = items[places][own]
    return tuple(order.tolist()), tuple(chosen[own].tolist())
