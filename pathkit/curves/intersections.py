"""Where lines and arcs cross, and how far a point is from them: columns in, columns out.

The columns are those of `pathkit.geometry.spans.Spans`; an arc's circle is about ``centre`` through ``start``.
"""

from __future__ import annotations

import math
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathkit.tolerances import ROUNDING, VANISHING

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


class Chain(NamedTuple):
    """Spans that need not be connected: ``start``, ``end``, ``centre`` (m, 2) in mm (centre NaN for lines), and
    ``sweep`` (m,) in radians (0 for lines)."""

    start: Floats
    end: Floats
    centre: Floats
    sweep: Floats

    def rows(self, which: Ints | Flags) -> Chain:
        return Chain(self.start[which], self.end[which], self.centre[which], self.sweep[which])

    @property
    def radius(self) -> Floats:
        """(m,) mm, NaN for lines."""
        arm: Floats = self.start - self.centre
        return np.hypot(arm[:, 0], arm[:, 1])

    @property
    def length(self) -> Floats:
        """(m,) mm."""
        way: Floats = self.end - self.start
        chord = np.hypot(way[:, 0], way[:, 1])
        return np.where(self.sweep == 0.0, chord, np.nan_to_num(self.radius) * np.abs(self.sweep))

    def at(self, share: Floats) -> Floats:
        """(m, 2): the point of each span at this share (m,) of its length."""
        line = self.start + (self.end - self.start) * share[:, None]
        turn = self.sweep * share
        arm = self.start - self.centre
        cos, sin = np.cos(turn), np.sin(turn)
        arc = self.centre + np.stack([cos * arm[:, 0] - sin * arm[:, 1], sin * arm[:, 0] + cos * arm[:, 1]], axis=1)
        return np.where((self.sweep == 0.0)[:, None], line, arc)

    def share(self, point: Floats) -> Floats:
        """(m,): how far along each span ``point`` (m, 2) lies, as a share of its length.

        The point must be on the span's line or circle.
        Beyond the ends the share is outside [0, 1]; on an arc, the nearer end decides on which side.
        """
        way = self.end - self.start
        with np.errstate(divide="ignore", invalid="ignore"):
            line = ((point - self.start) * way).sum(axis=1) / (way**2).sum(axis=1)
            ahead = _angle_from(self, point)
            over = 2.0 * math.pi - np.abs(self.sweep)
            ahead = np.where(ahead > np.abs(self.sweep) + over / 2.0, ahead - 2.0 * math.pi, ahead)
            arc = ahead / np.abs(self.sweep)
        return np.where(self.sweep == 0.0, line, arc)


def crossings(chain: Chain, first: Ints, second: Ints, slack: float) -> tuple[Ints, Floats]:
    """The points at which rows ``first[k]`` and ``second[k]`` cross.

    Returns (row, place) with one entry for each of the two rows of a crossing: ``place`` (c, 2) in mm. A crossing
    still counts ``slack`` mm beyond an end. Spans that lie on each other do not cross.
    """
    straight = chain.sweep == 0.0
    rows: list[Ints] = []
    places: list[Floats] = []
    for group, solve in (
        (straight[first] & straight[second], _line_line),
        (straight[first] & ~straight[second], _line_arc),
        (~straight[first] & straight[second], None),
        (~straight[first] & ~straight[second], _arc_arc),
    ):
        a, b = first[group], second[group]
        if solve is None:
            a, b, solve = b, a, _line_arc
        if not len(a):
            continue
        one, two = chain.rows(a), chain.rows(b)
        for place in solve(one, two):
            hit = np.isfinite(place).all(axis=1) & _on(one, place, slack) & _on(two, place, slack)
            rows += [a[hit], b[hit]]
            places += [place[hit], place[hit]]
    if not rows:
        return np.zeros(0, np.int64), np.zeros((0, 2))
    return np.concatenate(rows), np.concatenate(places)


def distance(chain: Chain, points: Floats) -> Floats:
    """(k,): mm from each of ``points`` (k, 2) to the nearest span."""
    nearest = np.full(len(points), np.inf)
    block = max(1, 400_000 // max(len(chain.sweep), 1))
    lines, arcs = chain.rows(chain.sweep == 0.0), chain.rows(chain.sweep != 0.0)
    for low in range(0, len(points), block):
        some = points[low : low + block]
        for part, measure in ((lines, _to_lines), (arcs, _to_arcs)):
            if len(part.sweep):
                away = measure(part, some).min(axis=1)
                nearest[low : low + block] = np.minimum(nearest[low : low + block], away)
    return nearest


def beyond(chain: Chain, points: Floats, away: float) -> Flags:
    """(k,): whether each of ``points`` (k, 2) lies ``away`` mm or more from every span.

    A few spans, spread over all of them, are asked first: where spans cross in bundles, they rule most points out.
    """
    count = len(chain.sweep)
    spread = np.argsort(np.arange(count) * _GOLDEN % 1.0)
    left = np.arange(len(points))
    asked, more = 0, 8
    while asked < count and len(left):
        left = left[distance(chain.rows(spread[asked : asked + more]), points[left]) >= away]
        asked, more = asked + more, 2 * more
    found = np.zeros(len(points), np.bool_)
    found[left] = True
    return found


_GOLDEN: Final = (math.sqrt(5.0) - 1.0) / 2.0
"""Multiples of it, less what is whole, spread evenly however many are taken (Knuth, The Art of Computer Programming,
volume 3, section 6.4; from memory)."""


def _line_line(one: Chain, two: Chain) -> tuple[Floats, ...]:
    u, v = one.end - one.start, two.end - two.start
    cross = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    scale = np.hypot(u[:, 0], u[:, 1]) * np.hypot(v[:, 0], v[:, 1])
    gap = two.start - one.start
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(np.abs(cross) > VANISHING * scale, (gap[:, 0] * v[:, 1] - gap[:, 1] * v[:, 0]) / cross, np.nan)
    return (one.start + u * share[:, None],)


def _line_arc(line: Chain, arc: Chain) -> tuple[Floats, ...]:
    way = line.end - line.start
    unit = way / np.hypot(way[:, 0], way[:, 1])[:, None]
    foot_at = ((arc.centre - line.start) * unit).sum(axis=1)
    foot = line.start + unit * foot_at[:, None]
    offset = foot - arc.centre
    with np.errstate(invalid="ignore"):
        half = np.sqrt(arc.radius**2 - (offset**2).sum(axis=1))
    return foot + unit * half[:, None], foot - unit * half[:, None]


def _arc_arc(one: Chain, two: Chain) -> tuple[Floats, ...]:
    way = two.centre - one.centre
    apart = np.hypot(way[:, 0], way[:, 1])
    r, s = one.radius, two.radius
    with np.errstate(divide="ignore", invalid="ignore"):
        unit = np.where((apart > ROUNDING)[:, None], way / apart[:, None], np.nan)
        along = (apart**2 + r**2 - s**2) / (2.0 * apart)
        half = np.sqrt(r**2 - along**2)
    foot = one.centre + unit * along[:, None]
    side = np.stack([-unit[:, 1], unit[:, 0]], axis=1) * half[:, None]
    return foot + side, foot - side


def _on(chain: Chain, place: Floats, slack: float) -> Flags:
    with np.errstate(invalid="ignore", divide="ignore"):
        length = chain.length
        along = chain.share(place) * length
        on: Flags = (along >= -slack) & (along <= length + slack)
    return on


def _angle_from(chain: Chain, point: Floats) -> Floats:
    """(m,): radians in [0, 2π) from an arc's start to ``point``, in the arc's own direction."""
    arm, to = chain.start - chain.centre, point - chain.centre
    cross = arm[:, 0] * to[:, 1] - arm[:, 1] * to[:, 0]
    turn = np.arctan2(cross, (arm * to).sum(axis=1))
    ahead: Floats = np.mod(np.where(chain.sweep < 0.0, -turn, turn), 2.0 * math.pi)
    return ahead


def _to_lines(lines: Chain, points: Floats) -> Floats:
    """(k, m) mm."""
    way = lines.end - lines.start
    gap = points[:, None, :] - lines.start[None, :, :]
    share = np.clip((gap * way).sum(axis=2) / (way**2).sum(axis=1), 0.0, 1.0)
    left = gap - way * share[:, :, None]
    away: Floats = np.hypot(left[..., 0], left[..., 1])
    return away


def _to_arcs(arcs: Chain, points: Floats) -> Floats:
    """(k, m) mm."""
    to = points[:, None, :] - arcs.centre[None, :, :]
    arm = arcs.start - arcs.centre
    turn = np.arctan2(arm[:, 0] * to[..., 1] - arm[:, 1] * to[..., 0], (to * arm).sum(axis=2))
    ahead = np.mod(np.where(arcs.sweep < 0.0, -turn, turn), 2.0 * math.pi)
    beside = np.abs(np.hypot(to[..., 0], to[..., 1]) - arcs.radius)
    ends = [points[:, None, :] - end[None, :, :] for end in (arcs.start, arcs.end)]
    nearest_end = np.minimum(*(np.hypot(e[..., 0], e[..., 1]) for e in ends))
    away: Floats = np.where(ahead <= np.abs(arcs.sweep), beside, nearest_end)
    return away
