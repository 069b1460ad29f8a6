"""Tabs, starts and ways in, carried over to a curve of fewer spans: to the nearest places on what stands for theirs."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.curves.alike import station_on
from pathkit.errors import ModelError, Refused
from pathkit.lowering.cut import tab_gap
from pathkit.model.curve import Curve
from pathkit.model.span_feeds import Feeds
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Descend, Entry, Ramp, Tab, Toolpath
from pathkit.tolerances import SAME_PLACE


class Carrier(NamedTuple):
    """From stations of the curve ``old`` to those of ``new``, whose span k stands for the old spans from ``first[k]``
    on, and may stray from them by ``tolerance`` mm."""

    old: Curve
    new: Curve
    first: NDArray[np.int64]
    tolerance: float

    def station(self, station: float) -> float:
        """The station (mm) on the new curve of the place at ``station`` on the old one. Both may lie past the ends, by
        whole rounds if the curves are closed."""
        length = self.old.length
        on = station % length if self.old.closed else min(max(station, 0.0), length)
        past = station - on
        own = min(int(np.searchsorted(self.old.spans.station, on, side="right")) - 1, len(self.old.spans.length) - 1)
        span = int(np.searchsorted(self.first, own, side="right")) - 1
        rounds = round(past / length) * self.new.length if self.old.closed else past
        return rounds + station_on(self.new, span, self.old.at(on))

    def moved(self, path: Toolpath, feeds: Feeds, stock: Stock) -> Toolpath | None:
        """The toolpath along the new curve, at its ``feeds``; None if a tab or a way in would end elsewhere."""
        try:
            tabs = tuple(self._tab(path, index) for index in range(len(path.tabs)))
            entry = self._entry(path)
            start = self._wrapped(self.station(path.start)) if path.start else 0.0
            made = replace(path, curve=self.new, tabs=tabs, start=start, entry=entry or path.entry, feeds=feeds)
            kept = all(self._keeps(path, made, index, stock) for index in range(len(tabs)))
        except (ModelError, Refused):
            # What lies at the very end of a curve may lie beyond that of a shorter one; or a tab has no room.
            return None
        return made if entry is not None and kept else None

    def _tab(self, path: Toolpath, index: int) -> Tab:
        """The tab between the same places, and no narrower."""
        low, high = (self.station(station) for station in tab_gap(path, index))
        wide = math.dist(self.new.at(low), self.new.at(high)) - path.tool.diameter
        return replace(path.tabs[index], at=self._wrapped((low + high) / 2.0), width=max(path.tabs[index].width, wide))

    def _keeps(self, path: Toolpath, made: Toolpath, index: int, stock: Stock) -> bool:
        """Whether the bit goes up and down at a tab where it did, and its slopes end where they did."""
        tab, gaps = path.tabs[index], (tab_gap(path, index), tab_gap(made, index))
        run = tab.slope_above(path.lowest, min(stock.highest_underside + tab.height, path.highest(stock)))
        for one, other, way in zip(*gaps, (-run, run), strict=True):
            foot = self.station(one + way) - self.station(one) - way
            if abs(foot) > self.tolerance or not self._near(self.old.at(one), self.new.at(other)):
                return False
        return True

    def _near(self, one: NDArray[np.float64], other: NDArray[np.float64]) -> bool:
        return math.dist(one, other) <= self.tolerance + SAME_PLACE

    def _entry(self, path: Toolpath) -> Entry | None:
        """The way in along the same stretch, and no shorter one; None if there is none."""
        entry = path.entry
        if not isinstance(entry, Ramp | Descend) or entry.within is None:
            return entry
        ends = [(path.start, 1.0)]
        if not self.old.closed:
            # It is left along a lead as long, or run the other way.
            ends.append((self.old.length, -1.0))
        stretches = [(self.station(end), way, end + way * entry.within) for end, way in ends]
        within = max(entry.within, *(way * (self.station(last) - begin) for begin, way, last in stretches))
        if all(self._near(self.old.at(last), self.new.at(begin + way * within)) for begin, way, last in stretches):
            return replace(entry, within=within)
        return None

    def _wrapped(self, station: float) -> float:
        return station % self.new.length if self.new.closed else station
