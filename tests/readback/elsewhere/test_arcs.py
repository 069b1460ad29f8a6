"""Arcs in every form and plane against plain geometry that is worked out here."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit.readback.chords import READ_CHORDS

HEAD = "G21 G90 G94 G17\nM3 S9000\nG0 Z5\n"
END = "G17 G0 Z9\nM5\nM30\n"
PLANES = {"G17": "XYZIJ", "G18": "ZXYKI", "G19": "YZXJK"}
"""Of each plane its axes, the third one, and its centre words: right-handed, so that G3 turns from the first axis to
the second (NISTIR 6556, 3.5.3: clockwise as seen from the positive end of the third axis)."""

near = st.integers(-40_000, 40_000).map(lambda n: n / 1000)
radii = st.integers(500, 60_000).map(lambda n: n / 1000)
turns = st.tuples(st.floats(0.05, 2.0 * math.pi - 0.05), st.sampled_from([-1, 1])).map(math.prod)
angles = st.floats(-math.pi, math.pi)
forms = st.sampled_from(["from start", "from zero", "radius"])
centres = st.builds(complex, near, near)


def arc_file(plane: str, start: complex, centre: complex, turn: float, rise: float, form: str) -> str:
    """A file with one arc about ``centre`` by ``turn`` radians, its centre written as ``form``."""
    u, v, w, i, j = tuple(PLANES[plane])
    end = centre + (start - centre) * cmath.exp(1j * turn)
    motion = "G3" if turn > 0 else "G2"
    radius = abs(start - centre) * (1 if abs(turn) <= math.pi else -1)
    offset = {"from start": centre - start, "from zero": centre, "radius": 0}[form]
    how = f"R{radius:.9f}" if form == "radius" else f"{i}{offset.real:.9f} {j}{offset.imag:.9f}"
    mode = {"from start": "G91.1", "from zero": "G90.1", "radius": ""}[form]
    return (
        f"{HEAD}{mode}\nG0 {w}0\nG0 {u}{start.real:.9f} {v}{start.imag:.9f}\n"
        f"{plane} {motion} {u}{end.real:.9f} {v}{end.imag:.9f} {w}{rise:.9f} {how} F300\n{END}"
    )


def rows_of_the_arc(program: pk.Program) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    return np.asarray(program.line == program.line[np.flatnonzero(program.kind != pk.RAPID)[0]])


@given(centres, radii, angles, turns, near, forms)
def test_arcs_in_xy(centre: complex, radius: float, begin: float, turn: float, rise: float, form: str) -> None:
    if form == "radius" and abs(abs(turn) - math.pi) < 0.05:
        turn = 1.0  # a hair decides where the centre of half a turn lies
    start = centre + cmath.rect(radius, begin)
    program = pk.read_any(arc_file("G17", start, centre, turn, rise, form)).program
    (arc,) = np.flatnonzero(program.kind == pk.ARC)
    far = 1e-6 if form != "radius" else 1e-4
    assert program.centre[arc].tolist() == pytest.approx([centre.real, centre.imag], abs=far)
    assert program.sweep[arc] == pytest.approx(turn, abs=far / radius + 1e-9)
    assert program.end[arc, 2] == pytest.approx(rise, abs=1e-8)


@given(st.sampled_from(["G18", "G19"]), centres, radii, angles, turns, near, forms)
def test_arcs_in_other_planes_lie_on_their_helix(
    plane: str, centre: complex, radius: float, begin: float, turn: float, rise: float, form: str
) -> None:
    if form == "radius" and abs(abs(turn) - math.pi) < 0.05:
        turn = 1.0
    start = centre + cmath.rect(radius, begin)
    reading = pk.read_any(arc_file(plane, start, centre, turn, rise, form))
    program = reading.program
    rows = rows_of_the_arc(program)
    u, v, w = ("XYZ".index(axis) for axis in PLANES[plane][:3])
    assert (program.kind[rows] == pk.LINE).all()
    assert [f.check for f in reading.findings if f.severity == "note"] == ["other plane"]

    # Corners and middles of the chords against the parametric helix: angle and height grow in step.
    ends = np.vstack([program.origins[rows][:1], program.end[rows]])
    middles = (ends[1:] + ends[:-1]) / 2
    share = np.arange(len(ends)) / (len(ends) - 1)
    far = 1e-6 if form != "radius" else 1e-4
    on_circle = centre + (start - centre) * np.exp(1j * turn * share)
    assert np.abs(ends[:, u] + 1j * ends[:, v] - on_circle).max() < far
    assert np.abs(ends[:, w] - rise * share).max() < 1e-8
    sag = radius - np.abs(middles[:, u] + 1j * middles[:, v] - centre)
    assert sag.max() <= READ_CHORDS + far
    # Not finer than needed, either: half as many chords would leave the tolerance.
    assert len(ends) <= 4 or sag.max() > READ_CHORDS / 4 - far


@pytest.mark.parametrize("plane", PLANES)
@pytest.mark.parametrize("motion", ["G2", "G3"])
def test_a_quarter_turns_the_way_its_plane_says(plane: str, motion: str) -> None:
    """Worked out by hand: from the first axis to the second is a quarter for G3, three quarters for G2."""
    u, v, _, i, _ = tuple(PLANES[plane])
    text = f"{HEAD}G0 X0 Y0 Z0\nG1 {u}10 F300\n{plane} {motion} {u}0 {v}10 {i}-10\n{END}"
    program = pk.read_any(text).program
    rows = program.line == 6
    length = (
        np.abs(program.sweep[rows] * 10).sum()
        if plane == "G17"
        else (np.linalg.norm(program.end[rows] - program.origins[rows], axis=1).sum())
    )
    assert length == pytest.approx(10 * math.pi / 2 * (1 if motion == "G3" else 3), abs=0.01)


@pytest.mark.parametrize("words", ["G2 I5", "G3 I5 J0", "G2 X0 Y0 I5", "G2 X0 I5 J0", "G3 Z-3 I5", "G2 I5 K0"])
def test_whole_turns(words: str) -> None:
    program = pk.read_any(f"{HEAD}G0 X0 Y0\nG1 Z-1 F200\n{words}\nG0 Z5\nM5\nM2\n").program
    (arc,) = np.flatnonzero(program.kind == pk.ARC)
    assert program.sweep[arc] == pytest.approx((1 if "G3" in words else -1) * 2 * math.pi)
    assert program.end[arc].tolist() == [0, 0, -3 if "Z-3" in words else -1]
    assert program.centre[arc].tolist() == [5, 0]


def test_a_radius_a_hair_too_short_is_half_a_turn() -> None:
    program = pk.read_any(f"{HEAD}G0 X0 Y0\nG1 Z-1 F200\nG2 X10.001 R5\nG0 Z5\nM5\nM2\n").program
    assert program.sweep[3] == pytest.approx(-math.pi)
    assert program.centre[3].tolist() == pytest.approx([5.0005, 0])
    with pytest.raises(pk.InputError, match="radius is too small"):
        pk.read_any(f"{HEAD}G0 X0 Y0\nG1 Z-1 F200\nG2 X10.1 R5\n")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("G2 X9 Y0 I5", "does not lie on its circle"),
        ("G2 X10 Y0", "without a centre"),
        ("G2 X0 Y0 R5", "does not lie on its circle"),
        ("G2 X10 Y0 I5 K2", "does not lie in the arc's plane"),
        ("G90.1 G2 X10 Y0 I5", "J is missing"),
        ("G2 X10 Y0 I5 R5", "nothing in this block uses"),
        ("G18 G2 X900000 Z-1 I450000", "short lines"),
    ],
)
def test_arcs_that_cannot_be(words: str, told: str) -> None:
    with pytest.raises(pk.InputError, match=told) as caught:
        # The program number keeps known controllers away, of which one drops a K, say.
        pk.read_any(f"O1\n{HEAD}G0 X0 Y0\nG1 Z-1 F200\n{words}\nG0 Z5\nM5\nM2\n")
    assert caught.value.findings[0].line == 7
    assert caught.value.findings[0].column


def test_centres_from_zero_are_seen_by_their_fit() -> None:
    body = "G0 X10.0 Y10\nG1 Z-1 F100\nG2 X20 Y10 I15 J10\nG3 X30 Y10 I25 J10\n"
    reading = pk.read_any(f"{HEAD}{body}{END}")
    stated = pk.read_any(f"{HEAD}G90.1\n{body}{END}")
    assert np.array_equal(reading.program.centre, stated.program.centre, equal_nan=True)
    assert [(f.line, f.severity) for f in reading.findings] == [(6, "warning")]
    assert "from zero" in reading.findings[0].what
    assert stated.findings == ()
    # One arc that fits neither way, and nothing is guessed.
    with pytest.raises(pk.InputError, match="circle"):
        pk.read_any(f"{HEAD}{body}G3 X40 Y10 I26 J10\n{END}")
