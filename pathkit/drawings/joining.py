"""Open lines that belong together, put end to end."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pathkit.curves.at_once import lengths_of
from pathkit.curves.regions import backward
from pathkit.model.curve import Curve
from pathkit.tolerances import ROUNDING


@dataclass(frozen=True)
class Loose:
    """A curve and its name in the drawing."""

    curve: Curve
    name: str


Fault = tuple[str, str]


def joined(lines: Sequence[Loose], within: float) -> tuple[list[Loose], list[Fault]]:
    """Chains of lines whose ends are within ``within`` mm of each other; closed where they return to their start.

    The faults (what, what to do) name places where more than two ends meet: it is not known which belong together.
    """
    from scipy.spatial import cKDTree

    if not lines:
        return [], []
    # A line shorter than the gaps that are closed is itself a gap.
    long = lengths_of([line.curve for line in lines]) > within
    lines = [line for line, kept in zip(lines, long, strict=True) if kept] or lines
    # End 2k is the first of line k, 2k + 1 its last.
    ends = np.concatenate([line.curve.points[:: max(len(line.curve.points) - 1, 1)] for line in lines])
    tree = cKDTree(ends)
    pairs = tree.query_pairs(within, output_type="ndarray")
    crowded = np.flatnonzero(np.bincount(pairs.ravel(), minlength=len(ends)) > 1)
    faults: dict[tuple[int, ...], Fault] = {}
    for k, group in zip(crowded, tree.query_ball_point(ends[crowded], within, return_sorted=True), strict=True):
        names = sorted({lines[other // 2].name for other in group})
        what = f"{len(group)} ends meet at ({ends[k][0]:.3f}, {ends[k][1]:.3f}): {', '.join(names[:4])}"
        fix = "draw each loop by itself, and delete one copy of a line drawn twice"
        faults[tuple(group)] = (what, fix)
    if faults:
        return list(lines), list(faults.values())
    partner = dict(pairs.tolist()) | dict(pairs[:, ::-1].tolist())
    return _walk(lines, ends.tolist(), partner), []


def _walk(lines: Sequence[Loose], ends: Sequence[list[float]], partner: dict[int, int]) -> list[Loose]:
    chains: list[Loose] = []
    done: set[int] = set()
    # Those with a free end first, from that end; the rest are closed.
    starts = [k for k in range(2 * len(lines)) if k not in partner]
    for begin in [*starts, *range(0, 2 * len(lines), 2)]:
        if begin // 2 in done:
            continue
        links: list[int] = []
        at: int | None = begin
        while at is not None and at // 2 not in done:
            done.add(at // 2)
            links.append(at)
            at = partner.get(at ^ 1)
        chain = _strung(lines, ends, links, comes_round=at == begin)
        if chain is not None:
            chains.append(chain)
    return chains


def _strung(
    lines: Sequence[Loose], ends: Sequence[list[float]], links: Sequence[int], *, comes_round: bool
) -> Loose | None:
    """The lines entered at these ends, one after the other; small gaps are closed by moving the later one's end."""
    points = [ends[links[0]]]
    sweeps: list[float] = []
    for link in links:
        curve = lines[link // 2].curve
        if len(curve.sweeps) == 1:
            # An exploded outline has nothing but these.
            turn = curve.sweeps[0]
            steps = [(ends[link ^ 1], -turn if link % 2 else turn)]
        else:
            curve = backward(curve) if link % 2 else curve
            steps = list(zip(curve.points[1:].tolist(), curve.sweeps, strict=True))
        for point, sweep in steps:
            if math.dist(points[-1], point) > ROUNDING:
                points.append(point)
                sweeps.append(float(sweep))
    names = list(dict.fromkeys(lines[link // 2].name for link in links))
    name = names[0] if len(names) == 1 else f"{names[0]} and {len(names) - 1} more joined to it"
    if not sweeps:
        return None
    if comes_round and len(points) > 2:
        return Loose(Curve(points[:-1], sweeps, closed=True), name)
    return Loose(Curve(points, sweeps), name)
