"""Random jobs for property tests: `stocks`, `curves`, `toolpaths`, `jobs`, `machines`.

Needs hypothesis (the ``dev`` extra). Coordinates lie on a grid of a quarter millimetre, so that values worked out by
hand in a test are exact. Bad arguments are refused at once, not at the first example.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import Any, get_args

from hypothesis import strategies as st

from pathkit.errors import InputError
from pathkit.machine.profile import Axes, Corner, Machine, Motion, Sideways, SpindleControl, Travel, Upright
from pathkit.model.curve import Curve
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting, Tool
from pathkit.model.toolpath import Entry, Helix, Peck, Plunge, Role, Toolpath
from pathkit.passes.precedence import precedence_of

GRID = 0.25

TOOLS = (
    Tool("6 mm flat", 6.0, number=1, centre_cutting=True),
    Tool("6 mm blunt", 6.0, number=2),
    Tool("3 mm flat", 3.0, number=3, centre_cutting=True),
    Tool("3 mm drill", 3.0, number=4, kind="drill"),
    Tool("6 mm compression", 6.0, number=5, kind="compression", tip_length=4.0, centre_cutting=True),
)
"""One of each kind that matters: with and without a cutting centre, a drill, a compression bit."""

BOARD = (400.0, 300.0)

# Strategies are made once, here and where `cache` stands: hypothesis looks at each new one for longer than it draws.
_TRUTHS = st.booleans()
_DEPTHS = st.sampled_from((0.25, 0.5, 0.75))
_FEEDS = st.sampled_from((900.0, 1500.0))
_STEPDOWNS = st.sampled_from((None, 1.5, 3.0, 5.0))
_ENTRIES: st.SearchStrategy[Entry] = st.sampled_from((Plunge(), Peck(2.0), Helix(4.0, 2.0)))
_DRILLING = {plunging: st.sampled_from([t for t in TOOLS if t.plunges or not plunging]) for plunging in (True, False)}
_MILLING = st.sampled_from([t for t in TOOLS if t.kind != "drill"])


def stocks(*, z_zero: Sequence[str] = ("top", "bed")) -> st.SearchStrategy[Stock]:
    """Boards of 400 × 300 mm, 6 to 18 mm thick, with an underlay, zero on top or on the bed."""
    if unknown := [name for name in z_zero if name not in ("top", "bed")]:
        raise InputError(f"stocks: z_zero has {unknown[0]!r}; give top, bed or both")
    return _stocks(tuple(z_zero))


@cache
def _stocks(z_zero: tuple[str, ...]) -> st.SearchStrategy[Stock]:
    return st.builds(
        Stock,
        width=st.just(BOARD[0]),
        depth=st.just(BOARD[1]),
        thickness=st.sampled_from((6.0, 9.0, 12.0, 18.0)),
        z_zero=st.sampled_from(z_zero),
        thickness_tolerance=st.sampled_from((0.0, 0.5)),
        underlay=st.sampled_from((1.5, 3.0)),
    )


def curves(*, closed: bool | None = None, size: tuple[float, float] = (20.0, 120.0)) -> st.SearchStrategy[Curve]:
    """Rectangles, rounded ones, circles (``closed``), strokes, bends and zigzags (open) within `BOARD`.

    ``size`` bounds (mm) their longer side.
    """
    low, high = size
    if not 2.0 <= low <= high <= 200.0:
        raise InputError(f"curves: size is {size}; give two lengths from 2 to 200 mm, the smaller first")
    return _curves(closed, low, high)


@cache
def _curves(closed: bool | None, low: float, high: float) -> st.SearchStrategy[Curve]:
    sides = _lengths(low, high)
    offsets = st.tuples(_lengths(0.0, BOARD[0] - high), _lengths(0.0, BOARD[1] - high))
    rings = st.one_of(
        st.builds(_rectangle, offsets, sides, sides, st.sampled_from((0.0, 0.1, 0.25)), st.booleans()),
        st.builds(_circle, offsets, sides, st.booleans()),
    )
    strokes = st.one_of(
        st.builds(_stroke, offsets, sides, sides),
        st.builds(_bend, offsets, sides, st.sampled_from((-math.pi / 2, math.pi / 3, math.pi))),
        st.builds(_raster, offsets, sides, st.integers(2, 5), st.sampled_from((2.0, 4.0))),
    )
    return {True: rings, False: strokes, None: st.one_of(rings, strokes)}[closed]


def toolpaths(
    *, stock: Stock | None = None, roles: Sequence[Role] | None = None, name: str = "cut", parts: Sequence[str] = ()
) -> st.SearchStrategy[Toolpath]:
    """Cuts of every role in this board (default: 12 mm, zero on top), as operations would make them.

    Entries are straight, as they are before `RampEntries`; a single point always has a bit that can enter it.
    """
    board = stock if stock is not None else Stock(*BOARD, 12.0, underlay=2.0)
    allowed = tuple(roles) if roles is not None else get_args(Role)
    if unknown := [role for role in allowed if role not in get_args(Role)]:
        raise InputError(f"toolpaths: no role is called {unknown[0]!r}; there are: {', '.join(get_args(Role))}")
    return _toolpaths(board, allowed, name, tuple(parts))


@st.composite
def _toolpaths(draw: st.DrawFn, stock: Stock, roles: tuple[Role, ...], name: str, parts: tuple[str, ...]) -> Toolpath:
    role = draw(_one_of(roles))
    through = role == "outline" or (role in ("slot", "drill", "cut") and draw(_TRUTHS))
    depth = stock.thickness * draw(_DEPTHS)
    room = max(stock.lowest_underside - stock.highest_bed, 0.0)
    common: dict[str, Any] = {
        "cutting": Cutting(feed=draw(_FEEDS), plunge=300.0, spindle=18000.0),
        "bottom": stock.lowest_underside - min(0.25, room / 2.0) if through else stock.top - depth,
        "stepdown": draw(_STEPDOWNS),
        "part": draw(_one_of((None, *parts))) if parts else None,
        "role": role,
    }
    if role == "drill":
        curve = Curve.point(draw(_places()))
        entry = draw(_ENTRIES)
        tool = draw(_DRILLING[not isinstance(entry, Helix)])
        return Toolpath(name, curve, tool, entry=entry, **common)
    shape = {"outline": True, "finish": True, "slot": False}.get(role, draw(_TRUTHS))
    tool = draw(_MILLING)
    return Toolpath(name, draw(curves(closed=shape)), tool, free_start=draw(_TRUTHS), **common)


def jobs(
    *, most: int = 6, roles: Sequence[Role] | None = None, repeats: bool = True, least: int = 0, sound: bool = False
) -> st.SearchStrategy[Job]:
    """Boards with ``least`` to ``most`` cuts, some of them in parts, and random precedence without a cycle.

    With ``repeats`` a cut may be written as two that repeat its contour at growing depth. ``sound`` jobs could be cut
    as they are: their order keeps precedence, and what goes straight down has a bit that can. Others still need the
    passes that see to it.
    """
    if not 0 <= least <= most:
        raise InputError(f"jobs: least is {least} and most is {most}; give 0 ≤ least ≤ most")
    toolpaths(roles=roles)
    drawn = _jobs(least, most, roles, repeats)
    return drawn.map(_sound) if sound else drawn


@st.composite
def _jobs(draw: st.DrawFn, least: int, most: int, roles: Sequence[Role] | None, repeats: bool) -> Job:
    stock = draw(stocks())
    count = draw(_counts(least, most))
    paths = [
        draw(toolpaths(stock=stock, roles=roles, name=f"cut {index}", parts=("plate", "lid"))) for index in range(count)
    ]
    if repeats:
        paths = [part for path in paths for part in (_split_by_depth(path, stock) if draw(_TRUTHS) else [path])]
    ranks = draw(_ranks(len(paths)))
    pairs = draw(_pairs(max(len(paths) - 1, 0)))
    precedence = {
        (paths[a].name, paths[b].name) if ranks[a] < ranks[b] else (paths[b].name, paths[a].name)
        for a, b in pairs
        if a != b
    }
    return Job("random board", stock, tuple(paths), tuple(sorted(precedence)))


def _sound(job: Job) -> Job:
    rule = precedence_of(job)
    left = list(range(len(job.toolpaths)))
    order: list[int] = []
    while left:
        waiting = {second for first, second in rule.pairs if first in left}
        order.append(next(index for index in left if index not in waiting))
        left.remove(order[-1])
    paths = (job.toolpaths[index] for index in order)
    return job.with_toolpaths(
        replace(path, tool=TOOLS[0]) if isinstance(path.entry, Plunge | Peck) and not path.tool.plunges else path
        for path in paths
    )


def machines() -> st.SearchStrategy[Machine]:
    """Machines with any axis directions and origin, with and without a park."""
    axes = st.sampled_from(
        [Axes(x, y, z) for x in _SIDES + _ENDS for y in (_ENDS if x in _SIDES else _SIDES) for z in _LEVELS]
    )
    places = st.tuples(_lengths(0.0, 50.0), _lengths(0.0, 50.0))
    return st.builds(_machine, axes, st.sampled_from(get_args(Corner)), st.none() | places)


_SIDES: tuple[Sideways, ...] = ("left", "right")
_ENDS: tuple[Sideways, ...] = ("away", "toward")
_LEVELS: tuple[Upright, ...] = ("up", "down")


def _machine(axes: Axes, origin: Corner, park: tuple[float, float] | None) -> Machine:
    return Machine(
        "random router",
        "grbl",
        axes,
        Travel(600.0, 600.0, 100.0),
        Motion((5000.0, 4000.0, 2000.0), (4000.0, 3000.0, 1000.0), (400.0, 300.0, 200.0)),
        origin=origin,
        left_handed=axes.left_handed,
        spindle=SpindleControl(min=6000.0, max=24000.0, spin_up=2.0),
        park=park,
    )


@cache
def _one_of(values: tuple[Any, ...]) -> st.SearchStrategy[Any]:
    return st.sampled_from(values)


@cache
def _counts(least: int, most: int) -> st.SearchStrategy[int]:
    return st.integers(least, most)


@cache
def _ranks(count: int) -> st.SearchStrategy[list[int]]:
    return st.permutations(range(count))


@cache
def _pairs(last: int) -> st.SearchStrategy[list[tuple[int, int]]]:
    return st.lists(st.tuples(_counts(0, last), _counts(0, last)), max_size=3)


@cache
def _places() -> st.SearchStrategy[tuple[float, float]]:
    return st.tuples(_lengths(0.0, BOARD[0]), _lengths(0.0, BOARD[1]))


@cache
def _lengths(low: float, high: float) -> st.SearchStrategy[float]:
    """Multiples of `GRID` from ``low`` to ``high``."""
    return st.integers(math.ceil(low / GRID), math.floor(high / GRID)).map(lambda n: n * GRID)


def _rectangle(at: tuple[float, float], width: float, height: float, round_: float, ccw: bool) -> Curve:
    x, y = at
    r = round_ * min(width, height)
    if r == 0.0:
        corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
        return Curve.polyline(corners if ccw else corners[::-1], closed=True)
    points = [
        (x + r, y), (x + width - r, y), (x + width, y + r), (x + width, y + height - r),
        (x + width - r, y + height), (x + r, y + height), (x, y + height - r), (x, y + r),
    ]  # fmt: skip
    quarter = math.pi / 2
    if ccw:
        return Curve(points, closed=True, sweeps=[0, quarter] * 4)
    return Curve(points[::-1], closed=True, sweeps=[-quarter, 0] * 4)


def _circle(at: tuple[float, float], diameter: float, ccw: bool) -> Curve:
    return Curve.circle((at[0] + diameter / 2.0, at[1] + diameter / 2.0), diameter / 2.0, ccw)


def _stroke(at: tuple[float, float], across: float, up: float) -> Curve:
    return Curve.polyline([at, (at[0] + across, at[1]), (at[0] + across, at[1] + up)])


def _bend(at: tuple[float, float], across: float, sweep: float) -> Curve:
    x, y = at
    return Curve([(x, y), (x + across / 2.0, y), (x + across, y)], sweeps=[sweep, 0.0])


def _raster(at: tuple[float, float], across: float, lines: int, step: float) -> Curve:
    x, y = at
    ends = [(x, x + across) if line % 2 == 0 else (x + across, x) for line in range(lines)]
    return Curve.polyline([(end, y + line * step) for line, pair in enumerate(ends) for end in pair])


def _split_by_depth(path: Toolpath, stock: Stock) -> list[Toolpath]:
    """The cut written as two that repeat its contour, the upper half and the lower."""
    from dataclasses import replace

    if path.curve.is_point or path.bottom is None:
        return [path]
    middle = (path.highest(stock) + path.bottom) / 2.0
    upper = replace(path, name=f"{path.name} above", bottom=middle)
    return [upper, replace(path, name=f"{path.name} below", top=middle)]
