"""How a cut goes down: its levels, its ways from one to the next, and the feeds of both."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.geometry.spans import arc_centre, take_apart
from pathkit.lifting.chains import Chain
from pathkit.lifting.last_run import Run
from pathkit.model.tool import Cutting
from pathkit.model.toolpath import MAX_RAMP, MIN_RAMP
from pathkit.tolerances import FILE_GRID, SAME_FEED, SAME_HEIGHT, SAME_MOVE, SAME_PLACE

Array = NDArray[np.float64]

MOST_MOVES: Final = 20_000
"""Of a cut that is looked at: grounds in relief have more, and no way in."""


class Descent(NamedTuple):
    """A stretch of a cut that goes down from one level to the next: ``first`` and ``last`` vertex, the length of its
    plan, what it goes down (mm), and how often it comes back to where it began."""

    first: int
    last: int
    length: float
    drop: float
    returns: int

    @property
    def straight(self) -> bool:
        """Whether it goes down without going along."""
        return self.length <= SAME_PLACE

    @property
    def leg(self) -> float:
        """mm of the plan on which it goes back and forth."""
        return self.length / (2.0 * max(self.returns, 1))


class Turn(NamedTuple):
    """Whole turns about ``centre``, ``radius`` mm wide; the level one that ends them leads to vertex ``behind``."""

    centre: Array
    radius: float
    behind: int


def evened(levels: list[float], top: float) -> list[float]:
    """The levels without the rounding of their file, if it moves them apart that are equally far from one another below
    ``top``: where a ramp ends depends on what it goes down, and twenty times as much."""
    even = np.linspace(top, levels[-1], len(levels) + 1)[1:]
    found: list[float] = even.tolist()
    return [*found[:-1], levels[-1]] if (np.abs(even - levels) <= FILE_GRID).all() else levels


def degrees(slope: float) -> float:
    """A slope as the angle of a way in, within what that may have."""
    return min(max(math.degrees(math.atan(slope)), MIN_RAMP), MAX_RAMP)


@dataclass(frozen=True, eq=False)
class Heights:
    """A look at the heights of a cut in wood that begins at z = ``top`` mm.

    ``at_once``: only its last run counts as level. On its way down a spiral runs level over tabs.
    """

    chain: Chain
    top: float
    at_once: bool = False

    @property
    def promising(self) -> bool:
        """Whether it ends at its greatest depth, in the wood, and has run level there."""
        z = self.chain.points[:, 2]
        lowest = float(z.min())
        if z[-1] > lowest + SAME_HEIGHT or len(z) > MOST_MOVES or lowest >= self.top - SAME_HEIGHT:
            return False
        return bool(self.level[np.argmax(z <= lowest + SAME_HEIGHT) :].any())

    @cached_property
    def _length(self) -> Array:
        return take_apart(self.chain.points[:, :2], self.chain.sweeps, False).length

    @cached_property
    def level(self) -> NDArray[np.bool_]:
        """(k,) which moves run level where the cut has not been deeper before."""
        z = self.chain.points[:, 2]
        deepest = np.minimum.accumulate(z) + SAME_HEIGHT
        found: NDArray[np.bool_] = (z[:-1] <= deepest[:-1]) & (z[1:] <= deepest[1:])
        return found & (np.abs(np.diff(z)) <= SAME_HEIGHT) & (self._length > SAME_PLACE)

    @cached_property
    def levels(self) -> list[float]:
        """z (mm) at which it runs level, from the top."""
        runs = self.chain.points[1:, 2][self.level]
        new = np.concatenate([[True], np.diff(runs) < -SAME_HEIGHT])
        found: list[float] = runs[new].tolist()
        begin = float(self.chain.points[0, 2])
        high = begin > found[0] + SAME_HEIGHT and abs(begin - self.top) > FILE_GRID
        return found[-1:] if self.at_once else evened(found, begin if high else self.top)

    @cached_property
    def descents(self) -> list[Descent]:
        """How it comes to each level."""
        z, plan = self.chain.points[:, 2], self.chain.points[:, :2]
        station = np.concatenate([[0.0], np.cumsum(self._length)])
        found, above = [], float(z[0])
        for level in self.levels:
            last = int(np.argmax(z <= level + FILE_GRID))
            first = int(np.flatnonzero(z[: last + 1] >= above - FILE_GRID)[-1])
            there = np.hypot(*(plan[first : last + 1] - plan[first]).T) <= FILE_GRID
            returns = int((there[1:] & ~there[:-1]).sum())
            found.append(Descent(first, last, float(station[last] - station[first]), above - level, returns))
            above = level
        return found

    @property
    def straight(self) -> bool:
        """Whether it comes straight down to each level."""
        return all(each.straight for each in self.descents)

    @property
    def bites(self) -> int:
        """In how many bites it comes straight down to its first level, back up after each but the last."""
        z = self.chain.points[: self.descents[0].last + 1, 2]
        return int((np.diff(z, append=math.inf) > 0.0).sum())

    @property
    def angle(self) -> float:
        """Degrees of its steepest way down along the plan; the least there is if all go straight down."""
        return degrees(max((each.drop / each.length for each in self.descents if not each.straight), default=0.0))

    @property
    def wood(self) -> float | None:
        """z at which its way in begins; None if that is the top of all wood, or it comes straight down."""
        begin = float(self.chain.points[0, 2])
        return None if self.descents[0].straight or abs(begin - self.top) <= FILE_GRID else begin

    @cached_property
    def turn(self) -> Turn | None:
        """The turns by which it comes to its last level, if a helix makes such ones."""
        points, sweeps, last = self.chain.points[:, :2], self.chain.sweeps, self.descents[-1].last
        if last == 0 or sweeps[last - 1] <= 0.0:
            return None
        (centre,) = arc_centre(points[last - 1 : last], points[last : last + 1], sweeps[last - 1 : last])
        radius = float(np.hypot(*(points[last] - centre)))
        slack = SAME_MOVE / radius
        behind, turned = last, 0.0
        while behind < len(sweeps) and turned < 2.0 * math.pi - slack:
            if sweeps[behind] <= 0.0 or abs(np.hypot(*(points[behind + 1] - centre)) - radius) > SAME_MOVE:
                return None
            turned += float(sweeps[behind])
            behind += 1
        return Turn(centre, radius, behind) if abs(turned - 2.0 * math.pi) <= slack else None

    @cached_property
    def cutting(self) -> Cutting | None:
        """The feeds of its level runs and of its way down; None if the runs have several."""
        feeds, first = self.chain.feeds, self.descents[0]
        if np.ptp(feeds[self.level]) > SAME_FEED:
            return None
        feed = float(feeds[self.level][-1])
        cutting = Cutting(feed=feed, plunge=min(self.chain.plunge, feed), spindle=self.chain.spindle)
        if first.straight:
            return cutting
        way = slice(first.first, first.last)
        falling = np.diff(self.chain.points[first.first : first.last + 1, 2]) < -SAME_HEIGHT
        # The longest is none behind a tab.
        ramp = float(feeds[way][np.argmax(np.where(falling, self._length[way], -1.0))])
        usual = cutting.ramp_feed(first.drop / math.hypot(first.length, first.drop))
        return cutting if abs(usual - ramp) <= SAME_FEED else replace(cutting, ramp=ramp)

    def run_from(self, first: int) -> Run:
        """From this vertex to the end."""
        return Run(self.chain.points[first:], self.chain.sweeps[first:], self.levels[-1])
