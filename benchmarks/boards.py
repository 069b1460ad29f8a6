"""Made-up boards for the route benchmark (``--board KIND:N``): one kind and size always gives the same board."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from pathkit.tour import Item, Metric, Problem

Random = np.random.Generator
Points = NDArray[np.float64]
STARTS = 8  # candidate starts of a closed contour
RETRACT = 5.0  # what one retract costs, in mm of travel


def board(kind: str, count: int) -> Problem:
    """The board of a kind with ``count`` items; raises ValueError for an unknown kind."""
    if kind not in KINDS:
        raise ValueError(f"no board of kind {kind!r}; there are {', '.join(KINDS)}")
    return KINDS[kind](count, np.random.default_rng(count))


def points(count: int, random: Random) -> Problem:
    """Uniform points in a square, a closed tour; the optimum is near 0.7124·sqrt(n·A) (Johnson and McGeoch 1996)."""
    return Problem.from_points(random.random((count, 2)) * 1000.0, closed=True, name=f"points:{count}")


def drill(count: int, random: Random) -> Problem:
    """A drill sheet: rows of holes at a 5 mm pitch, a third of them left out."""
    side = int(np.ceil(np.sqrt(count * 1.5)))
    grid = np.argwhere(np.ones((side, side))) * 5.0
    chosen = np.sort(random.permutation(len(grid))[:count])
    return Problem.from_points(grid[chosen], start=(0.0, 0.0), name=f"drill:{count}")


def rows(count: int, random: Random) -> Problem:
    """A board of parts with many legs: two rows of holes at a fine pitch for each, with wide gaps between parts."""
    spots: list[Points] = []
    side = int(np.ceil(np.sqrt(count / 60.0)))
    for part in range(4 * side * side):
        legs, across = 4 + 4 * int(random.integers(8)), 4 * int(random.integers(1, 4))
        corner = np.array([part % (2 * side), part // (2 * side)]) * 60.0 + random.integers(0, 12, 2)
        two = np.stack(np.meshgrid(np.arange(legs) * 1.5, [0.0, across]), axis=-1).reshape(-1, 2)
        spots.append(corner + (two if random.random() < 0.7 else two[:, ::-1]))
    return _drilled(spots, count, "rows")


def clusters(count: int, random: Random) -> Problem:
    """Dense fields of holes on grids of their own, few and far between, and lone rows that join some of them."""
    fields = max(count // 100, 3)
    spots: list[Points] = []
    centres = random.integers(0, 40, (fields, 2)) * 50.0
    for k, centre in enumerate(centres):
        pitch = float(random.choice([1.0, 1.5, 2.5]))
        wide, tall = (int(x) for x in random.integers(6, 20, 2))
        field = np.stack(np.meshgrid(np.arange(wide), np.arange(tall)), axis=-1).reshape(-1, 2) * pitch
        spots.append(centre + field[random.random(len(field)) < 0.85])
        step = np.arange(0.0, 1.0, 1.0 / float(random.integers(8, 30)))[:, None]
        spots.append(np.rint(centre + step * (centres[k - 1] - centre)))
    return _drilled(spots, count, "clusters")


def _drilled(spots: list[Points], count: int, kind: str) -> Problem:
    """A closed tour over ``count`` of the spots, each once; more made the same way elsewhere where they are too few."""
    at = np.unique(np.vstack(spots), axis=0)
    while len(at) < count:
        at = np.unique(np.vstack([at, at + np.array([np.ptp(at[:, 0]) + 50.0, 0.0])]), axis=0)
    return Problem.from_points(at[:count], closed=True, name=f"{kind}:{count}")


def engraving(count: int, random: Random) -> Problem:
    """Strokes that may be run either way."""
    side = np.sqrt(count) * 10.0
    begin = random.random((count, 2)) * side
    angle = random.random(count) * 2.0 * np.pi
    length = 2.0 + 18.0 * random.random(count)
    end = begin + (length * np.array([np.cos(angle), np.sin(angle)])).T
    items = [Item([((a, b), (c, d))], reversible=True) for (a, b), (c, d) in zip(begin, end, strict=True)]
    return Problem.from_items(items, start=(0.0, 0.0), metric=Metric(retract=RETRACT), name=f"engraving:{count}")


def plates(count: int, random: Random) -> Problem:
    """Cable-tidy plates in a jittered grid, each with a pocket, two holes and an outline, the outline last."""
    side = int(np.ceil(np.sqrt(count / 4)))
    items: list[Item] = []
    pairs: list[tuple[int, int]] = []
    for plate in range(-(-count // 4)):
        centre = np.array([plate % side, plate // side]) * 40.0 + random.random(2) * 4.0
        first = len(items)
        items.append(Item([(tuple(centre), tuple(centre + np.array([6.0, 3.0])))]))
        items += [Item.at(*(centre + np.array([-8.0, -5.0]))), Item.at(*(centre + np.array([8.0, 5.0])))]
        items.append(_ring(centre, 15.0))
        pairs += [(first, first + 3), (first + 1, first + 3), (first + 2, first + 3)]
    return _ruled(items, pairs, count, "plates")


def outlines(count: int, random: Random) -> Problem:
    """Outlines nested four deep; each comes before the one around it."""
    side = int(np.ceil(np.sqrt(count / 4)))
    items: list[Item] = []
    pairs: list[tuple[int, int]] = []
    for nest in range(-(-count // 4)):
        centre = np.array([nest % side, nest // side]) * 50.0 + random.random(2) * 5.0
        first = len(items)
        items += [_ring(centre + random.random(2), radius) for radius in (4.0, 9.0, 14.0, 19.0)]
        pairs += [(first + k, first + k + 1) for k in range(3)]
    return _ruled(items, pairs, count, "outlines")


def orderings(count: int, random: Random) -> Problem:
    """Costs as good as random, the same both ways, and small groups in a fixed order: single exchanges stick there.

    A third of the items are in groups of five, from the first item to the last.
    """
    costs = np.triu(random.integers(1, 501, (count, count)), 1).astype(float)
    costs += costs.T
    tied = (random.permutation(count - 2) + 1)[: count // 3] if count > 2 else np.zeros(0, dtype=np.int64)
    before = np.zeros((count, count), dtype=bool)
    for begin in range(0, len(tied), 5):
        own = tied[begin : begin + 5]
        for k in range(len(own)):
            before[own[k], own[k + 1 :]] = True
    before[0, 1:] = True
    before[:-1, -1] = True
    costs[before.T] = np.inf
    pairs = [(int(a), int(b)) for a, b in np.argwhere(before)]
    return Problem.from_matrix(costs, first=0, closed=False, precedence=pairs, name=f"orderings:{count}")


def _ring(centre: NDArray[np.float64], radius: float) -> Item:
    angles = np.arange(STARTS) * 2.0 * np.pi / STARTS
    starts = centre + radius * np.column_stack([np.cos(angles), np.sin(angles)])
    return Item([((x, y), (x, y)) for x, y in starts.tolist()])


def _ruled(items: list[Item], pairs: list[tuple[int, int]], count: int, kind: str) -> Problem:
    kept = [pair for pair in pairs if max(pair) < count]
    return Problem.from_items(
        items[:count], start=(0.0, 0.0), precedence=kept, metric=Metric(retract=RETRACT), name=f"{kind}:{count}"
    )


KINDS: dict[str, Callable[[int, Random], Problem]] = {
    "points": points,
    "drill": drill,
    "rows": rows,
    "clusters": clusters,
    "engraving": engraving,
    "plates": plates,
    "outlines": outlines,
    "orderings": orderings,
}
