"""Files judged by a bench that shares nothing with the library: it only knows which way "left" is.

What the bit draws on the board, as the operator sees it, must be the glyph that was asked for, in every one of the 80
ways in which a controller's axes may lie: 8 in the plane × Z up or down × 4 corners and the centre. The glyph is a flag
on a mast whose free end is an arc: it has no symmetry, so that a mirrored or turned one cannot pass.

Rigid-body kinematics of ISO 841:2001 (from memory): an axis' sign is the direction in which the tool moves relative to
the work.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

import pathkit as pk
from pathkit.machine.profile import Corner, Sideways, Upright
from tests.outside.bench_simulator import simulate

WIDTH, DEPTH = 120.0, 80.0
BOARD = pk.Stock(WIDTH, DEPTH, 9.0)

# Worked out by hand on squared paper, from the board's front left corner: up the mast, along the flag's top edge, round
# the free end (a half turn clockwise about (60, 45)), back to the mast. 2 mm deep.
MAST_FOOT, MAST_TOP = (30.0, 10.0), (30.0, 55.0)
FLAG_TOP, FLAG_CENTRE, FLAG_LOW, FLAG_BACK = (60.0, 55.0), (60.0, 45.0), (60.0, 35.0), (30.0, 35.0)
BULGE = (70.0, 45.0)

SIDES: tuple[Sideways, ...] = ("right", "left", "away", "toward")
ENDS: tuple[Upright, ...] = ("up", "down")
CORNERS: tuple[Corner, ...] = ("front-left", "front-right", "back-left", "back-right", "centre")
PLANE = [(x, y) for x, y in itertools.product(SIDES, repeat=2) if (x in ("right", "left")) != (y in ("right", "left"))]
WAYS = [(x, y, z, corner) for (x, y), z, corner in itertools.product(PLANE, ENDS, CORNERS)]


Way = tuple[Sideways, Sideways, Upright, Corner]


def glyph() -> pk.Program:
    nan = math.nan
    rows: list[tuple[int, tuple[float, float, float], float, float]] = [
        (pk.RAPID, (nan, nan, 8.0), nan, 0.0),
        (pk.RAPID, (*MAST_FOOT, 8.0), nan, 0.0),
        (pk.LINE, (*MAST_FOOT, -2.0), 300.0, 0.0),
        (pk.LINE, (*MAST_TOP, -2.0), 900.0, 0.0),
        (pk.LINE, (*FLAG_TOP, -2.0), 900.0, 0.0),
        (pk.ARC, (*FLAG_LOW, -2.0), 900.0, -math.pi),
        (pk.LINE, (*FLAG_BACK, -2.0), 900.0, 0.0),
        (pk.RAPID, (*FLAG_BACK, 8.0), nan, 0.0),
    ]
    n = len(rows)
    return pk.Program(
        np.full(3, nan), np.array([r[0] for r in rows], np.uint8), np.array([r[1] for r in rows]),
        np.array([FLAG_CENTRE if r[0] == pk.ARC else (nan, nan) for r in rows]), np.array([r[3] for r in rows]),
        np.array([r[2] for r in rows]), np.zeros(n, np.int32), np.zeros(n, np.int32), np.full(n, -1, np.int32),
        (pk.Spindle(12000.0, 1), pk.Spindle(0.0, 0), pk.Stop()), np.array([1, n, n]),
        names=("glyph",), stock=BOARD, title="glyph",
    )  # fmt: skip


def router(x: Sideways, y: Sideways, z: Upright, corner: Corner, dialect: str, units: str) -> pk.Machine:
    axes = pk.Axes(x, y, z)
    motion = pk.Motion((5000.0, 5000.0, 2000.0), (4000.0, 4000.0, 1000.0), (400.0, 400.0, 200.0))
    travel = pk.Travel(600.0, 400.0, 80.0)
    return pk.Machine(
        "router", dialect, axes, travel, motion, origin=corner, left_handed=axes.left_handed, output={"units": units}
    )


def drawn(text: str, way: Way, size: tuple[float, float]) -> list[tuple[float, float, float]]:
    """The one stroke of the file, which begins where the bit went down."""
    x, y, z, corner = way
    strokes = simulate(text, (x, y, z), corner, size)
    assert len(strokes) == 1
    return strokes[0]


def is_the_glyph(stroke: list[tuple[float, float, float]], slack: float) -> bool:
    """Corner by corner, and the arc by its bulge: to the right, ten millimetres beyond the flag's top edge."""
    corners = [(*MAST_FOOT, 8.0), (*MAST_FOOT, -2.0), (*MAST_TOP, -2.0), (*FLAG_TOP, -2.0)]
    places = [*stroke[:4], stroke[-2], stroke[-1]]
    wanted = [*corners, (*FLAG_LOW, -2.0), (*FLAG_BACK, -2.0)]
    arc = np.array(stroke[4:-1])
    bulge = arc[np.hypot(arc[:, 0] - BULGE[0], arc[:, 1] - BULGE[1]).argmin()]
    ring = np.hypot(arc[:, 0] - FLAG_CENTRE[0], arc[:, 1] - FLAG_CENTRE[1])
    return (
        len(arc) > 20
        and np.allclose(places, wanted, rtol=0, atol=slack)
        and np.allclose(bulge, (*BULGE, -2.0), rtol=0, atol=slack)
        and np.allclose(ring, 10.0, rtol=0, atol=slack)
        and bool((arc[:, 0] > 60.0 - slack).all())
    )


def test_there_are_eighty_ways() -> None:
    assert len(WAYS) == len(set(WAYS)) == 80


@pytest.mark.parametrize(("dialect", "units"), [("grbl", "mm"), ("rs274ngc", "inch")])
def test_the_glyph_in_all_eighty_ways(dialect: str, units: str) -> None:
    slack = 0.002 if units == "mm" else 0.006
    for way in WAYS:
        machine = router(*way, dialect, units)
        posted = pk.post(glyph(), machine)
        assert is_the_glyph(drawn(posted.text, way, (WIDTH, DEPTH)), slack), way
        assert pk.verify(posted, glyph(), machine).ok, way


@pytest.mark.parametrize("turn", [1, 2, 3])
def test_on_a_board_that_lies_turned(turn: int) -> None:
    """The bench sees the turned board; turning its picture back by hand must give the glyph again."""
    size = (WIDTH, DEPTH) if turn == 2 else (DEPTH, WIDTH)

    def back(place: tuple[float, float, float]) -> tuple[float, float, float]:
        x, y, z = place
        # Turned counter-clockwise, the board's front left corner lies front right, back right, back left in turn.
        return {1: (y, size[0] - x, z), 2: (size[0] - x, size[1] - y, z), 3: (size[1] - y, x, z)}[turn]

    for way in WAYS[:: 7 if turn == 2 else 3]:
        posted = pk.post(glyph(), router(*way, "grbl", "mm"), pk.Setup(turn=turn))
        stroke = [back(place) for place in drawn(posted.text, way, size)]
        assert is_the_glyph(stroke, 0.002), way


def test_the_bench_sees_a_mirrored_glyph_and_a_wrong_arc() -> None:
    """A test of the judge: of the eighty ways to read one file, only the right one passes."""
    text = pk.post(glyph(), router("left", "toward", "up", "back-right", "grbl", "mm")).text
    passed = [way for way in WAYS if is_the_glyph(drawn(text, way, (WIDTH, DEPTH)), 0.002)]
    assert passed == [("left", "toward", "up", "back-right")]
    way = passed[0]
    swapped = text.replace("G2 ", "G9 ").replace("G3 ", "G2 ").replace("G9 ", "G3 ")
    assert swapped != text
    assert not is_the_glyph(drawn(swapped, way, (WIDTH, DEPTH)), 0.002)


# Three profiles, every number worked out by hand from the glyph on a board of 120 × 80.
BY_HAND = [
    # Front left, X right, Y away: the bench's own numbers. The arc is clockwise; its centre is 10 mm toward.
    (("right", "away", "up", "front-left"), "grbl", "mm", [
        "X30 Y10", "Z-2", "Y55", "X60", "G2 X60 Y35 I0 J-10", "G1 X30",
    ]),
    # Back right, X left, Y toward: X = 120 − x, Y = 80 − y; seen from there the arc is clockwise still.
    (("left", "toward", "up", "back-right"), "grbl", "mm", [
        "X90 Y70", "Z-2", "Y25", "X60", "G2 X60 Y45 I0 J10", "G1 X90",
    ]),
    # Front left, X away, Y right, which is left-handed: X = y, Y = x, in inches (30/25.4 = 1.1811, 10/25.4 = 0.3937,
    # 55/25.4 = 2.1654, 60/25.4 = 2.3622, 35/25.4 = 1.3780, 2/25.4 = 0.0787); in its numbers the arc is
    # counter-clockwise.
    (("away", "right", "up", "front-left"), "rs274ngc", "inch", [
        "X0.3937 Y1.1811", "Z-0.0787", "X2.1654", "Y2.3622", "G3 X1.378 Y2.3622 I-0.3937 J0", "G1 Y1.1811",
    ]),
]  # fmt: skip


@pytest.mark.parametrize(("way", "dialect", "units", "lines"), BY_HAND)
def test_numbers_worked_out_by_hand(way: Way, dialect: str, units: str, lines: list[str]) -> None:
    text = pk.post(glyph(), router(*way, dialect, units)).text
    assert is_the_glyph(drawn(text, way, (WIDTH, DEPTH)), 0.002 if units == "mm" else 0.006)
    for line in lines:
        words = set(line.split())
        assert any(words <= set(block.split()) for block in text.splitlines()), (line, text)
