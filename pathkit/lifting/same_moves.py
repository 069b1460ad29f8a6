"""Does a toolpath that was understood make the moves of the file? It is lowered alone, and held against them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import ModelError, Refused
from pathkit.geometry.spans import arc_centre
from pathkit.lifting.chains import Chain, chains_of
from pathkit.lowering.lower import lower_alone
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Toolpath
from pathkit.tolerances import ROUNDING, SAME_FEED, SAME_HEIGHT, SAME_MOVE, SAME_PLACE

Array = NDArray[np.float64]
Place = tuple[float, float, float]


def makes(toolpath: Toolpath, chains: Sequence[Chain], stock: Stock) -> bool:
    """Whether the toolpath's own moves are those of the ``chains``, one after the other, within `SAME_MOVE`."""
    try:
        own = own_moves(toolpath, stock)
    except (ModelError, Refused):
        return False
    top = stock.highest_top
    return len(own) == len(chains) and all(
        same_moves(_low(one, top), _low(other, top)) for one, other in zip(own, chains, strict=True)
    )


def own_moves(toolpath: Toolpath, stock: Stock) -> list[Chain]:
    """The cuts that a toolpath makes by itself. Raises `Refused` as `lower` does."""
    return chains_of(lower_alone(toolpath, stock), stock.top, toolpath.cutting.spindle).chains


def strung(upper: Sequence[Chain], lower: Sequence[Chain]) -> Chain:
    """Two cuts of one lap as one: between them the bit goes straight down, and does not lift."""
    first, second = upper[-1], lower[0]
    down = bool(first.points[-1, 2] - second.points[0, 2] > SAME_HEIGHT)
    skip = 0 if down else 1
    return replace(
        first,
        points=np.concatenate([first.points, second.points[skip:]]),
        sweeps=np.concatenate([first.sweeps, [0.0] * down, second.sweeps]),
        feeds=np.concatenate([first.feeds, [second.plunge] * down, second.feeds]),
        rapid=np.concatenate([first.rapid, [False] * down, second.rapid]),
    )


def _low(chain: Chain, top: float) -> Chain:
    """The same cut with rapids that end at the wood's ``top``: how high they go is the machine's; none has a feed."""
    if not chain.rapid.any():
        return chain
    points = chain.points.copy()
    points[:, 2] = np.minimum(points[:, 2], top)
    return replace(chain, points=points, feeds=np.where(chain.rapid, 0.0, chain.feeds))


def same_moves(one: Chain, other: Chain) -> bool:
    """Whether two cuts go the same way at the same feeds, however their moves are parted."""
    near = np.abs(one.points[[0, -1]] - other.points[[0, -1]]) <= SAME_MOVE
    if not near.all():
        return False
    return _alike(one, other) or _together(_Moves.of(one), _Moves.of(other))


def _alike(one: Chain, other: Chain) -> bool:
    """Whether they have the same moves, each for each."""
    if len(one.points) != len(other.points) or not (np.abs(one.points - other.points) <= SAME_MOVE).all():
        return False
    half_chord = np.hypot(*np.diff(other.points[:, :2], axis=0).T) / 2.0
    bulge = half_chord * np.abs(np.tan(one.sweeps / 4.0) - np.tan(other.sweeps / 4.0))
    return bool((bulge <= SAME_MOVE).all() and (np.abs(one.feeds - other.feeds) <= SAME_FEED).all())


class _Moves(NamedTuple):
    """The moves of a cut as plain numbers, to be walked along."""

    ends: list[Place]
    centres: list[tuple[float, float]]
    sweeps: list[float]
    feeds: list[float]

    @classmethod
    def of(cls, chain: Chain) -> _Moves:
        centres = arc_centre(chain.points[:-1, :2], chain.points[1:, :2], chain.sweeps)
        return cls(
            list(map(tuple, chain.points.tolist())), list(map(tuple, centres.tolist())), chain.sweeps.tolist(),
            chain.feeds.tolist(),
        )  # fmt: skip


def _together(one: _Moves, other: _Moves) -> bool:
    """Walk along both: each next vertex is one of both, or lies on the other's move, which is parted there."""
    here = (one.ends[0], other.ends[0])
    left = (one.sweeps[0], other.sweeps[0])
    a = b = 0
    while a < len(one.sweeps) and b < len(other.sweeps):
        if abs(one.feeds[a] - other.feeds[b]) > SAME_FEED:
            return False
        mine = _Move(here[0], one.ends[a + 1], one.centres[a], left[0])
        theirs = _Move(here[1], other.ends[b + 1], other.centres[b], left[1])
        if math.dist(mine.end, theirs.end) <= SAME_MOVE:
            if abs(mine.bulge - theirs.bulge) > SAME_MOVE:
                return False
            a, b = a + 1, b + 1
            here = (mine.end, theirs.end)
            left = (one.sweeps[a] if a < len(one.sweeps) else 0.0, other.sweeps[b] if b < len(other.sweeps) else 0.0)
        elif (share := theirs.share_at(mine.end)) is not None and mine.like(theirs, share):
            here, left = (mine.end, theirs.at(share)), (0.0, theirs.sweep * (1.0 - share))
            a += 1
            left = (one.sweeps[a] if a < len(one.sweeps) else 0.0, left[1])
        elif (share := mine.share_at(theirs.end)) is not None and theirs.like(mine, share):
            here, left = (mine.at(share), theirs.end), (mine.sweep * (1.0 - share), 0.0)
            b += 1
            left = (left[0], other.sweeps[b] if b < len(other.sweeps) else 0.0)
        else:
            return False
    return a == len(one.sweeps) and b == len(other.sweeps)


class _Move(NamedTuple):
    start: Place
    end: Place
    centre: tuple[float, float]
    sweep: float

    @property
    def bulge(self) -> float:
        """mm by which an arc lies beside its chord, to the right if positive."""
        return math.dist(self.start[:2], self.end[:2]) / 2.0 * math.tan(self.sweep / 4.0)

    def share_at(self, place: Place) -> float | None:
        """Which share of the move leads to ``place``; None if that does not lie on it."""
        if self.sweep == 0.0:
            way = [e - s for s, e in zip(self.start, self.end, strict=True)]
            square = sum(each * each for each in way)
            if square <= SAME_PLACE * SAME_PLACE:
                return None
            share = sum(each * (p - s) for each, p, s in zip(way, place, self.start, strict=True)) / square
        else:
            begin, end = (math.atan2(p[1] - self.centre[1], p[0] - self.centre[0]) for p in (self.start, place))
            turn = (end - begin) % (2.0 * math.pi) if self.sweep > 0.0 else -((begin - end) % (2.0 * math.pi))
            share = turn / self.sweep
        if not ROUNDING < share < 1.0:
            return None
        return share if math.dist(self.at(share), place) <= SAME_MOVE else None

    def at(self, share: float) -> Place:
        z = self.start[2] + (self.end[2] - self.start[2]) * share
        if self.sweep == 0.0:
            x, y = (s + (e - s) * share for s, e in zip(self.start[:2], self.end[:2], strict=True))
            return x, y, z
        x, y = self.start[0] - self.centre[0], self.start[1] - self.centre[1]
        cos, sin = math.cos(self.sweep * share), math.sin(self.sweep * share)
        return self.centre[0] + cos * x - sin * y, self.centre[1] + sin * x + cos * y, z

    def like(self, other: _Move, share: float) -> bool:
        """Whether this move bulges as that share of the other one does."""
        part = _Move(other.start, other.at(share), other.centre, other.sweep * share)
        return abs(self.bulge - part.bulge) <= SAME_MOVE
