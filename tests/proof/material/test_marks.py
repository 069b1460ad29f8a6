"""Which cuts stay within an engraving: the quick way says yes only where the geometry library does."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

import pathkit as pk
from pathkit.proof.material.cross_sections import Cuts, Level, grown
from pathkit.proof.material.marks import Marks
from pathkit.tolerances import WALL_CHORDS

SLACK = 0.012
"""mm, as a grid of a thousandth has it."""

BIT = pk.Tool("bit", 1.0)
Line = list[tuple[float, float]]


def marks(*lines: Line) -> Marks:
    drawn = np.array([shapely.LineString(line) for line in lines], dtype=object)
    radius = np.full(len(lines), BIT.radius)
    return Marks(drawn, radius + SLACK + WALL_CHORDS, radius, np.full(len(lines), -1.0))


def level(*lines: Line) -> Level:
    """What cuts along lines sweep at z = 0."""
    text = "G21 G90 G94 G17 G54\nG0 Z5\n"
    for (x, y), *rest in lines:
        text += f"G0 X{x:.4f} Y{y:.4f}\nG1 Z-1 F100\n" + "".join(f"G1 X{x:.4f} Y{y:.4f}\n" for x, y in rest) + "G0 Z5\n"
    program = pk.read(text + "M2\n", "rs274ngc").program
    return Cuts(program, [BIT], np.zeros(len(program), np.int32), 1.0).at(0.0)


ZIGZAG: Line = [(10.0, 10.0), (14.0, 10.0), (14.0, 13.0), (11.0, 12.0), (10.5, 12.0)]
BESIDE: Line = [(30.0, 10.0), (34.0, 10.0)]


@pytest.mark.parametrize("off", [0.0, 0.005, 0.0115, 0.013, 0.1])
def test_cuts_along_a_mark_stay_within_it(off: float) -> None:
    """Shifted by more than the slack they do not; upright and level moves are among them."""
    drawn = marks(ZIGZAG, BESIDE)
    cut = level([(x + off, y + off) for x, y in ZIGZAG], [(x, y + off) for x, y in BESIDE])
    every = np.arange(len(cut.lines))
    # Straight down at either end, too.
    assert len(every) >= 2
    found = drawn.within(cut, every, np.array([0, 1]))
    tracks = grown(drawn.lines, SLACK)
    expected = shapely.covers(tracks[:, None], cut.lines[None, :]).any(axis=0)
    assert found.tolist() == expected.tolist()
    assert found.any() == (off < SLACK)


def test_only_the_marks_that_are_named_count() -> None:
    cut = level(ZIGZAG)
    every = np.arange(len(cut.lines))
    assert marks(ZIGZAG, BESIDE).within(cut, every, np.array([0])).all()
    assert not marks(ZIGZAG, BESIDE).within(cut, every, np.array([1])).any()


def test_a_wider_bit_may_not_follow_a_mark() -> None:
    drawn, cut = marks(ZIGZAG), level(ZIGZAG)
    narrow = Marks(drawn.lines, drawn.reach, drawn.radius / 2.0, drawn.bottom)
    assert not narrow.within(cut, np.arange(len(cut.lines)), np.array([0])).any()


@pytest.mark.parametrize("seed", range(6))
def test_the_quick_way_says_yes_only_where_the_library_does(seed: int) -> None:
    """Random walks, cut a little beside where they are drawn: held against tracks that are grown with GEOS."""
    random = np.random.default_rng(seed)
    drawn = [np.cumsum(random.uniform(-2.0, 2.0, (12, 2)), axis=0) + 20.0 * k for k in range(3)]
    moved = [points + random.normal(0.0, SLACK / 2.0, points.shape) for points in drawn]
    these = marks(*([(float(x), float(y)) for x, y in points] for points in drawn))
    cut = level(*([(float(x), float(y)) for x, y in points] for points in (*moved, *drawn)))
    every, some = np.arange(len(cut.lines)), np.arange(3)
    expected = shapely.covers(grown(these.lines, SLACK)[:, None], cut.lines[None, :]).any(axis=0)
    assert these.within(cut, every, some).tolist() == expected.tolist()
    quick = these._along(cut, every, some)
    assert not (quick & ~expected).any()
    assert quick.any()
