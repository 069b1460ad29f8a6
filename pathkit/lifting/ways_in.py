"""Cuts with a way in, levels, tabs: what may have made them is guessed from their heights, then made and compared."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from pathkit.errors import ModelError
from pathkit.lifting.chains import Chain
from pathkit.lifting.heights import Heights, Turn, degrees, evened
from pathkit.lifting.last_run import Run, curve_of, rises, steepest_detour, tabs_of, without_detours
from pathkit.lifting.same_moves import makes
from pathkit.model.curve import Curve
from pathkit.model.stock import Stock
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Entry, Helix, Peck, Plunge, Ramp, Spiral, Tab, Toolpath
from pathkit.tolerances import SAME_HEIGHT, SAME_MOVE

MOST_LEVELS: Final = 200
"""Of one cut: what has more is no cut in levels."""


def entered(chains: Sequence[Chain], name: str, tool: Tool, stock: Stock) -> Toolpath | None:
    """The toolpath with a way in, levels or tabs that makes exactly the moves of these cuts, one for each level or one
    for all; None if none is found."""
    looks = [Heights(chain, stock.highest_top) for chain in chains]
    if not all(look.promising for look in looks):
        return None
    for at_once in (False, True)[: 1 if len(looks) > 1 else 2]:
        first, last = (replace(look, at_once=at_once) for look in (looks[0], looks[-1]))
        levels = first.levels if len(looks) == 1 else evened([look.levels[-1] for look in looks], stock.highest_top)
        if not 0 < len(levels) <= MOST_LEVELS or (at_once and first.straight):
            continue
        guesses = _Guesses(first, last, tuple(levels), name, tool, stock)
        try:
            for candidate in guesses.all():
                if makes(candidate, chains, stock):
                    return candidate
        except ModelError:
            # Rounding may leave a curve or a tab that there cannot be.
            continue
    return None


def level_by_level(chains: Sequence[Chain]) -> Iterator[list[Chain]]:
    """Cuts that follow one another in the same places, each deeper, as the levels of one toolpath would."""
    group: list[Chain] = []
    for chain in chains:
        if group and not _follows(group[-1], chain):
            yield group
            group = []
        group.append(chain)
    if group:
        yield group


def _follows(upper: Chain, lower: Chain) -> bool:
    ends = np.abs(upper.points[[0, -1], :2] - lower.points[[0, -1], :2]) <= SAME_MOVE
    return (
        bool(ends.all())
        and (upper.tool, upper.spindle) == (lower.tool, lower.spindle)
        and bool(lower.points[-1, 2] < upper.points[-1, 2] - SAME_HEIGHT)
        and not (upper.is_hole or lower.is_hole)
    )


@dataclass(frozen=True, eq=False)
class _Guesses:
    """Toolpaths that may be what makes some cuts, of which ``first`` and ``last`` are looked at."""

    first: Heights
    last: Heights
    levels: tuple[float, ...]
    name: str
    tool: Tool
    stock: Stock

    def all(self) -> Iterator[Toolpath]:
        """The likeliest first."""
        turn = self.last.turn
        if turn is not None and not self.first.straight:
            helix = Helix(self._angle, 2.0 * turn.radius)
            moves = len(self.last.chain.sweeps)
            if turn.behind == moves - 1:
                yield from self._bored(turn, helix)
            # From the helix a line leads to the curve, unless they touch.
            for first in range(min(turn.behind + 1, moves - 1), turn.behind - 1, -1):
                yield from self._along(self.last.run_from(first), [helix])
        yield from self._along(self.last.run_from(self.last.descents[-1].last), None)

    def _bored(self, turn: Turn, helix: Helix) -> Iterator[Toolpath]:
        """A hole wider than the bit: down a helix, round once more, and away from its wall."""
        levels = self._evenly(self.first.descents[0].returns)
        yield from self._made(Curve.point(turn.centre), helix, (), reversible=False, levels=levels)

    def _along(self, run: Run, entries: list[Entry] | None) -> Iterator[Toolpath]:
        """Along the curve of the last run; levels that run it from either end in turn may have begun at the other."""
        run, behind_tabs = without_detours(run)
        if behind_tabs and run.closed:
            behind_tabs = max(behind_tabs, steepest_detour(self.last.run_from(0)))
        away = np.hypot(*(run.points[[0, -1], :2] - self.first.chain.points[0, :2]).T)
        both = [run] if run.closed or away[0] <= SAME_MOVE else [run, run.turned]
        for along in both if away[0] <= away[1] else both[::-1]:
            over = rises(along)
            curve = curve_of(along, over)
            tabs = None if curve is None else tabs_of(curve, over, self.tool.diameter, self.stock.highest_underside)
            if curve is None or tabs is None:
                return
            own = list(self._entries(curve)) if entries is None else entries
            # Only a cut that may be reversed is cut both ways.
            ways = (False,) if curve.closed else (True, False) if len(self.levels) > 1 else (False, True)
            for entry, reversible in itertools.product((*own, *_steeper(own, behind_tabs)), ways):
                levels = self._evenly(self.first.descents[0].returns) if isinstance(entry, Spiral) else self.levels
                yield from self._made(curve, entry, tabs, reversible=reversible, levels=levels)

    def _entries(self, curve: Curve) -> Iterator[Entry]:
        descent = self.first.descents[0]
        if self.first.straight:
            if (bites := self.first.bites) > 1:
                yield Peck((self.stock.highest_top - self.levels[0]) / bites)
            yield Plunge()
            return
        if curve.closed and len(self.levels) == 1 and descent.returns:
            yield Spiral(degrees(descent.drop / (descent.returns * curve.length)))
        if not self.first.at_once:
            yield Ramp(self._angle)
            yield Ramp(self._angle, descent.leg)

    @property
    def _angle(self) -> float:
        return max(self.first.angle, self.last.angle)

    def _evenly(self, laps: int) -> list[float]:
        """The height after each of so many laps."""
        top = self.stock.highest_top if self.first.wood is None else self.first.wood
        bottom, count = self.levels[-1], max(laps, 1)
        return [*(top + (bottom - top) * lap / count for lap in range(1, count)), bottom]

    def _made(
        self, curve: Curve, entry: Entry, tabs: Sequence[Tab], *, reversible: bool, levels: Sequence[float]
    ) -> Iterator[Toolpath]:  # fmt: skip
        cutting = self.first.cutting
        if cutting is not None:
            yield Toolpath(
                self.name, curve, self.tool, cutting, top=self.first.wood, levels=levels, entry=entry, tabs=tabs,
                role="drill" if curve.is_point or isinstance(entry, Peck) else "cut", reversible=reversible,
                free_start=False,
            )  # fmt: skip


def _steeper(entries: list[Entry], slope: float) -> Iterator[Entry]:
    """The same ways in at the angle at which the bit goes down behind tabs, which may be more than it needs itself."""
    for entry in entries:
        if isinstance(entry, Ramp | Spiral | Helix) and degrees(slope) > entry.angle:
            yield replace(entry, angle=degrees(slope))
