"""A program as strokes to draw: pieces of cuts with their depths, travel, where toolpaths begin, and tabs.

Everything is in mm, seen from above, in the bench frame. Cuts and travel are arrays: a file may have a million moves.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from pathkit.motion.program import ARC, RAPID, Program
from pathkit.tolerances import LEAST_TAB, NEAR_DEPTH, SAME_DEPTH, SAME_HEIGHT, SAME_PLACE, TELLING_DEPTH

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

_WIDEST_ARC: Final = math.radians(120.0)
"""The most that one arc of a picture turns: ends far apart keep its centre well defined."""


@dataclass(frozen=True, eq=False)
class Strokes:
    """n pieces, in the file's order: ``start``, ``end`` (n, 2) and ``low`` (n,), the lower end's height, in mm;
    ``level`` (n,) whether both ends have it; ``radius`` (n,) in mm, 0 for straight ones; ``left`` (n,) whether an arc
    turns counter-clockwise; ``row`` (n,) the program's row that each is a piece of."""

    start: Floats
    end: Floats
    low: Floats
    level: Mask
    radius: Floats
    left: Mask
    row: NDArray[np.int64]

    def __len__(self) -> int:
        return len(self.row)

    def take(self, which: Any) -> Strokes:
        """The pieces of these indices, or of a mask."""
        return Strokes(*(getattr(self, name)[which] for name in self.__dataclass_fields__))

    def turned(self, points: Any) -> Strokes:
        """The pieces with both ends as ``points`` maps them, (n, 2) to (n, 2): by a rotation, no mirror."""
        return replace(self, start=points(self.start), end=points(self.end))


def together(groups: Sequence[Strokes]) -> Strokes:
    """All pieces of several files."""
    names = Strokes.__dataclass_fields__
    return Strokes(*(np.concatenate([getattr(group, name) for group in groups]) for name in names))


@dataclass(frozen=True, eq=False)
class Motion:
    """What a program does. ``cut_length`` and ``travel_length`` in mm as seen from above; ``starts`` and ``tabs`` hold
    a row each; ``tab_heading`` (k,) radians, ``unknown`` counts moves from or to a place that the file does not say."""

    cuts: Strokes
    travel: Strokes
    cut_length: float
    travel_length: float
    starts: NDArray[np.int64]
    start_at: Floats
    tab_at: Floats
    tab_heading: Floats
    unknown: int


def motion_of(program: Program, in_air: float | None, marks: Sequence[int] = ()) -> Motion:
    """The strokes of a program on the bench.

    Moves at feed that stay at or above ``in_air`` (mm; None: not known) are travel too. ``marks`` are lines of the file
    that announce a toolpath; without them one begins wherever the bit goes down after it went elsewhere.
    """
    begin, end = program.origins, program.end
    moves = np.flatnonzero(np.any(begin != end, axis=1) | (program.kind == ARC))
    known = np.isfinite(begin[moves, :2]).all(axis=1) & np.isfinite(end[moves, :2]).all(axis=1)
    high = np.maximum(begin[:, 2], end[:, 2])
    low = np.minimum(begin[:, 2], end[:, 2])
    rapid = program.kind == RAPID
    idle = rapid if in_air is None else rapid | (low >= in_air - SAME_HEIGHT)
    if program.power is not None:
        # A beam burns where it has power, and it has no depth.
        idle = rapid | ~(program.power > 0.0)
    drawn = moves[known]
    cutting = drawn[~idle[drawn] & np.isfinite(high[drawn])]
    travelling = drawn[idle[drawn]]
    sideways = np.zeros(len(program), dtype=bool)
    sideways[drawn] = np.hypot(*(end[drawn, :2] - begin[drawn, :2]).T) > SAME_PLACE
    sideways |= program.kind == ARC
    length = _lengths(program)
    starts = _starts(program, cutting, travelling[sideways[travelling]], marks)
    tab_at, tab_heading = _tabs(program, cutting)
    return Motion(
        _pieces(program, cutting, None), _pieces(program, travelling[sideways[travelling]], None),
        float(length[cutting].sum()), float(length[travelling].sum()),
        starts, program.origins[starts, :2], tab_at, tab_heading, int((~known & (program.kind[moves] != RAPID)).sum()),
    )  # fmt: skip


def straightened(program: Program, strokes: Strokes, chord: float) -> Strokes:
    """The same with straight pieces in place of arcs, at most ``chord`` mm beside them."""
    if not strokes.radius.any():
        return strokes
    row = strokes.row
    return _pieces(program, row[np.concatenate([[True], row[1:] != row[:-1]])], chord)


def _lengths(program: Program) -> Floats:
    """(n,) mm of each move as seen from above; arcs by their sweep."""
    length: Floats = np.hypot(*(program.end[:, :2] - program.origins[:, :2]).T)
    arcs = np.flatnonzero(program.kind == ARC)
    length[arcs] = np.abs(program.sweep[arcs]) * np.hypot(*(program.origins[arcs, :2] - program.centre[arcs]).T)
    return length


def _pieces(program: Program, rows: NDArray[np.int64], chord: float | None) -> Strokes:
    begin, end = program.origins[rows], program.end[rows]
    arc = program.kind[rows] == ARC
    centre = np.where(arc[:, None], program.centre[rows], 0.0)
    sweep = np.where(arc, program.sweep[rows], 0.0)
    radius = np.where(arc, np.hypot(*(begin[:, :2] - centre).T), 0.0)
    widest = np.full(len(rows), _WIDEST_ARC)
    if chord is not None:
        # A chord of the angle a lies r (1 − cos(a/2)) inside its arc.
        widest = np.minimum(widest, 2.0 * np.arccos(1.0 - np.minimum(chord / np.maximum(radius, chord), 1.0)))
    count = np.maximum(np.ceil(np.abs(sweep) / widest), 1.0).astype(np.int64)
    of = np.repeat(np.arange(len(rows)), count)
    number = np.arange(len(of)) - np.repeat(np.cumsum(count) - count, count)
    low = np.minimum(begin[of, 2], end[of, 2])
    fall = (end[:, 2] - begin[:, 2]) / count
    several = count[of] > 1
    low = np.where(several, begin[of, 2] + fall[of] * (number + (fall[of] < 0.0)), low)
    angle = np.arctan2(begin[:, 1] - centre[:, 1], begin[:, 0] - centre[:, 0])
    step = sweep / count

    def at(k: NDArray[np.int64]) -> Floats:
        turned = angle[of] + step[of] * k
        return np.asarray(centre[of] + radius[of, None] * np.column_stack([np.cos(turned), np.sin(turned)]))

    first, last = number == 0, number == count[of] - 1
    start = np.where(first[:, None], begin[of, :2], at(number))
    stop = np.where(last[:, None], end[of, :2], at(number + 1))
    drawn = np.zeros(len(of)) if chord is not None else radius[of]
    level = np.abs(end[:, 2] - begin[:, 2]) < SAME_DEPTH
    return Strokes(start, stop, low, level[of], drawn, sweep[of] > 0.0, rows[of])


def _starts(
    program: Program, cutting: NDArray[np.int64], travelling: NDArray[np.int64], marks: Sequence[int]
) -> NDArray[np.int64]:  # fmt: skip
    """The cutting row that each toolpath begins with."""
    if not len(cutting):
        return np.zeros(0, np.int64)
    if len(marks):
        lines = program.line[cutting]
        index = np.searchsorted(lines, np.asarray(marks), side="right")
        return np.asarray(cutting[np.unique(index[index < len(cutting)])], dtype=np.int64)
    before = np.searchsorted(travelling, cutting)
    return np.asarray(cutting[np.concatenate([[True], np.diff(before) > 0])], dtype=np.int64)


def _tabs(program: Program, cutting: NDArray[np.int64]) -> tuple[Floats, Floats]:
    """Middle (k, 2) and heading (k,) of each stretch where a cut rises from its level and comes back down to it.

    The level is that of the flat cut before the rise. Less than `LEAST_TAB` is no tab, nor is a hill without a level
    top. Each place is given once, whatever the number of levels.
    """
    begin, end = program.origins, program.end
    flat = np.abs(end[cutting, 2] - begin[cutting, 2]) < SAME_DEPTH
    length, height = _lengths(program)[cutting], end[cutting, 2]
    joined = np.concatenate([[False], np.diff(cutting) == 1])
    rises = np.flatnonzero(~flat & (height > begin[cutting, 2]) & joined)
    rises = rises[flat[rises - 1] & (length[rises - 1] > SAME_PLACE)]
    places: list[tuple[float, float]] = []
    headings: list[float] = []
    seen: set[tuple[int, int]] = set()
    for first, last in zip(*_back_down(height, joined, rises), strict=True):
        stretch, heights = length[first : last + 1], height[first : last + 1]
        at_top = stretch[flat[first : last + 1] & (heights > heights.max() - SAME_DEPTH)].sum()
        if at_top <= _LEVEL_TOP * stretch.sum():
            continue
        middle = first + int(np.searchsorted(np.cumsum(stretch), stretch.sum() / 2.0))
        at, heading = _halfway(program, int(cutting[middle]))
        key = round(at[0]), round(at[1])
        if seen.isdisjoint((key[0] + i, key[1] + j) for i in (-1, 0, 1) for j in (-1, 0, 1)):
            places.append(at)
            headings.append(heading)
        seen.add(key)
    return np.array(places).reshape(-1, 2), np.array(headings)


def _back_down(height: Floats, joined: Mask, rises: NDArray[np.int64]) -> tuple[list[int], list[int]]:
    """First and last move of each rise that comes back to its level within a few moves: up, along, down."""
    level, top = height[rises - 1], height[rises]
    last = np.full(len(rises), -1)
    going = np.arange(len(rises))
    for step in range(1, _TAB_MOVES):
        at = rises[going] + step
        going = going[(at < len(height)) & joined[np.minimum(at, len(height) - 1)]]
        here = height[rises[going] + step]
        top[going] = np.maximum(top[going], here)
        down = here <= level[going] + SAME_DEPTH
        back = going[down & (here >= level[going] - SAME_DEPTH)]
        last[back] = rises[back] + step
        going = going[~down]
    found = (last >= 0) & (top - level >= LEAST_TAB)
    return rises[found].tolist(), last[found].tolist()


_TAB_MOVES: Final = 64
_LEVEL_TOP: Final = 0.125
"""Share of a tab's length that its top has at least; a sloped one has about a quarter."""


def _halfway(program: Program, row: int) -> tuple[tuple[float, float], float]:
    """The middle of a move as seen from above, and its heading there in radians."""
    begin, end = program.origins[row, :2], program.end[row, :2]
    if program.kind[row] != ARC:
        middle = (begin + end) / 2.0
        return (float(middle[0]), float(middle[1])), math.atan2(end[1] - begin[1], end[0] - begin[0])
    centre, sweep = program.centre[row], float(program.sweep[row])
    turned = math.atan2(begin[1] - centre[1], begin[0] - centre[0]) + sweep / 2.0
    radius = math.dist(begin, centre)
    place = float(centre[0] + radius * math.cos(turned)), float(centre[1] + radius * math.sin(turned))
    return place, turned + math.copysign(math.pi / 2.0, sweep)


def depth_classes(cuts: Strokes, top: float | None, unit: float, most: int) -> Floats:
    """(k,) heights in mm, falling: the floor of each class of depth; a cut belongs to the highest class not above it.

    Where level cuts are most of all and have few depths, they are the classes. Else classes are of equal size, a round
    number of ``unit`` (mm), counted from ``top`` (or from zero).
    """
    if not len(cuts):
        return np.zeros(0)
    lows = np.round(cuts.low / SAME_DEPTH) * SAME_DEPTH
    sizes = np.hypot(*(cuts.end - cuts.start).T)
    lowest, highest = float(lows.min()), float(lows.max())
    levels, index = np.unique(lows[cuts.level], return_inverse=True)
    weights = np.bincount(index, sizes[cuts.level], minlength=len(levels))
    telling = weights >= sizes.sum() * TELLING_DEPTH
    some = weights[telling].sum() >= sizes.sum() / 2.0
    levels = np.unique(np.append(levels[telling], lowest))
    # Of depths that nobody could tell apart the lowest counts.
    levels = levels[np.concatenate([[True], np.diff(levels) > NEAR_DEPTH])][::-1]
    if some and len(levels) <= most:
        return np.asarray(levels)
    origin = 0.0 if top is None else top
    if highest - lowest < SAME_DEPTH:
        return np.array([lowest])
    step = _round_step((highest - lowest) / most / unit) * unit
    last = math.ceil((origin - lowest) / step - SAME_DEPTH)
    first = math.floor((origin - highest) / step) + 1
    first = first if top is None else max(first, 1)
    return np.asarray(origin - step * np.arange(min(first, last), last + 1), dtype=np.float64)


def _round_step(least: float) -> float:
    """The smallest of 1, 2, 2.5, 5 times a power of ten that is no less."""
    power = 10.0 ** math.floor(math.log10(max(least, SAME_DEPTH)))
    return next(k * power for k in (1.0, 2.0, 2.5, 5.0, 10.0, 20.0) if k * power >= least)


def class_of(low: Floats, floors: Floats) -> NDArray[np.int64]:
    """(n,) the class of each height: the first floor (they fall) that is not above it."""
    found = np.searchsorted(-floors, -(low + SAME_DEPTH), side="left")
    return np.minimum(found, max(len(floors) - 1, 0)).astype(np.int64)
