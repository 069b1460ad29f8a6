"""How densely are unlike parts nested? Published instances of strip packing, held against the lengths listed for them.

    python -m benchmarks.nesting [--seconds 60]

First `nest` lays all parts on one board that is 5 % longer than listed, as a build would; then the strip packer behind
it looks for the shortest strip in so many seconds of the processor's time. Instances and lengths are written down from
memory: that the shapes are the published ones is seen from their areas, which add up as said below.
"""

from __future__ import annotations

import argparse
import math
import os
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely

from pathkit.model.curve import Curve
from pathkit.model.stock import Stock
from pathkit.operations.nesting import Item, Sheet, nest, strip

SCALE = 10.0
"""mm for one unit of an instance."""


class Instance(NamedTuple):
    """A strip ``depth`` deep; parts as (corners, copies, quarters); ``listed`` is the length to be held against."""

    name: str
    depth: float
    parts: Sequence[tuple[Sequence[tuple[float, float]], int, tuple[int, ...]]]
    listed: float
    source: str


# Seven parts, four of each, half a turn allowed: Blazewicz, Hawryluk and Walkowiak (1993), Using a tabu search approach
# for solving the two-dimensional irregular cutting problem, Annals of Operations Research 41, 313-325. 25.84 and its
# density of 83.60 % are listed in Gomes and Oliveira (2006), Solving irregular strip packing problems by hybridising
# simulated annealing and linear programming, European Journal of Operational Research 171, 811-829. The areas of the
# parts add up to 324 = 0.8360 · 15 · 25.84.
SHAPES2 = Instance(
    "SHAPES2",
    15.0,
    [
        (corners, 4, (0, 2))
        for corners in (
            [(0, 0), (2, -1), (4, 0), (4, 3), (2, 4), (0, 3)],
            [(0, 0), (3, 0), (2, 2), (3, 4), (3, 5), (1, 5), (-1, 3), (-1, 1)],
            [(0, 0), (2, 0), (3, 1), (3, 3), (2, 4), (0, 4), (-1, 3), (-1, 1)],
            [(0, 0), (2, 1), (4, 0), (3, 2), (4, 5), (2, 4), (0, 5), (1, 3)],
            [(0, 0), (5, 0), (5, 5), (4, 5), (3, 3), (2, 2), (0, 1)],
            [(0, 0), (2, 3), (-2, 3)],
            [(0, 0), (2, 0), (2, 2), (0, 2)],
        )
    ],
    25.84,
    "Gomes and Oliveira 2006, best of theirs",
)


def _rectangles(name: str, sizes: str) -> Instance:
    # Hopper and Turton (2001), An empirical investigation of meta-heuristic and heuristic algorithms for a 2D packing
    # problem, European Journal of Operational Research 128, 34-57: rectangles cut from 20 × 20, so that 20 is the best
    # there is; areas add up to 400.
    sides = [tuple(map(float, each.split())) for each in sizes.split(",")]
    parts = [([(0.0, 0.0), (w, 0.0), (w, d), (0.0, d)], 1, (0, 1)) for w, d in sides]
    return Instance(name, 20.0, parts, 20.0, "Hopper and Turton 2001, best there is")


INSTANCES = (
    SHAPES2,
    _rectangles("C1P1", "2 12,7 12,8 6,3 6,3 5,5 5,3 12,3 7,5 7,2 6,3 2,4 2,3 4,4 4,9 2,11 2"),
    _rectangles("C1P2", "4 1,4 5,9 4,3 5,3 9,1 4,5 3,4 1,5 5,7 2,9 3,3 13,2 8,15 4,5 4,10 6,7 2"),
    _rectangles("C1P3", "4 14,5 2,2 2,9 7,5 5,2 5,7 7,3 5,6 5,3 2,6 2,4 6,6 3,10 3,6 3,10 3"),
)


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--seconds", type=int, default=60)
    asked = words.parse_args()
    print("instance  parts  listed  on a board 5 % longer        strip   gap  listed by")
    far = 0
    for each in INSTANCES:
        begun = used()
        there, length = on_a_board(each, 1.05 * each.listed)
        took = used() - begun
        strip_length = shortest_strip(each, asked.seconds)
        parts = sum(copies for _, copies, _ in each.parts)
        # Either way that a build goes must come within 5 %.
        far += there < parts and strip_length > 1.05 * each.listed
        print(
            f"{each.name:9} {parts:5}  {each.listed:6.2f}  {there:2} of them in {took:4.1f} s: {length:5.2f}"
            f"  {strip_length:6.2f}  {100 * (min(strip_length, length) / each.listed - 1):4.1f} %  {each.source}",
            flush=True,
        )
    return 1 if far else 0


def used() -> float:
    """Seconds of the processor's time so far, those of other processes that were begun included."""
    times = os.times()
    return times.user + times.children_user


def on_a_board(instance: Instance, length: float) -> tuple[int, float]:
    """How many parts `nest` lays on one board so long, and how far they reach (infinitely where parts are left)."""
    items = [
        Item(f"{k}", Curve.polyline(SCALE * np.array(corners), closed=True), copies, turns)
        for k, (corners, copies, turns) in enumerate(instance.parts)
    ]
    sheet = Sheet(Stock(SCALE * length, SCALE * instance.depth, 1.0), 0.0, 0.0, 0.0)
    boards = nest(items, sheet)
    if len(boards) > 1 or boards[0].times > 1:
        return boards[0].count, math.inf
    far = max(each.place.x + items[each.item].box(each.place.turn)[2] for each in boards[0].placed)
    return boards[0].count, far / SCALE


def shortest_strip(instance: Instance, seconds: int) -> float:
    """The strip that the library finds, units, once every part on it has been looked at again."""
    pieces = [strip.Piece(SCALE * np.array(corners), copies, turns) for corners, copies, turns in instance.parts]
    packed = strip.pack(pieces, SCALE * instance.depth, reports=10**6, seconds=seconds)
    assert packed is not None
    areas = [
        shapely.affinity.translate(
            shapely.affinity.rotate(shapely.Polygon(pieces[k].ring), 90.0 * place.turn, origin=(0, 0)), place.x, place.y
        )
        for k, place in packed.places
    ]
    whole = shapely.union_all(areas)
    assert abs(whole.area - sum(area.area for area in areas)) < 1e-3 * whole.area
    assert len(areas) == sum(copies for _, copies, _ in instance.parts)
    return packed.length / SCALE


if __name__ == "__main__":
    raise SystemExit(main())
