"""Arcs as every shipped dialect writes them, measured on the text against the true arc.

The measure is plain geometry: how far the places that a controller passes lie from the circle that was meant.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import pathkit as pk
from pathkit.registry import installed
from pathkit.testing.programs import STOCK, program_of

SHIPPED = [p.value for p in installed().provided("dialect") if "pathkit_posts" in p.package]
NAMES = sorted(dialect.name for dialect in SHIPPED if not dialect.capabilities.beam)
FORMS = {
    "grbl": ("incremental", "radius"), "grbl-mist": ("incremental", "radius"), "rs274ngc": ("incremental", "radius"),
    "iso6983": ("incremental",), "reprap": ("incremental",), "csv": ("absolute",),
}  # fmt: skip
WRITTEN = [(name, form) for name in NAMES for form in (*FORMS[name], "none")]
CENTRE = np.array([60.0, 40.0])


def turn(radius: float, begin: float, sweep: float, drop: float = 0.0) -> pk.Program:
    """One arc in the controller's frame, from travel height and back to it."""
    places = [CENTRE + radius * np.array([math.cos(a), math.sin(a)]) for a in (begin, begin + sweep)]
    (x, y), (u, v) = places[0], places[0] if abs(abs(sweep) - 2 * math.pi) < 1e-12 else places[1]
    nan = math.nan
    rows: list[tuple[Any, ...]] = [
        (pk.RAPID, (nan, nan, 30.0), None, 0.0, nan),
        (pk.RAPID, (x, y, 30.0), None, 0.0, nan),
        (pk.LINE, (x, y, 5.0), None, 0.0, 300.0),
        (pk.ARC, (u, v, 5.0 - drop), tuple(CENTRE), sweep, 900.0),
        (pk.RAPID, (u, v, 30.0), None, 0.0, nan),
    ]
    events: list[tuple[int, pk.Event]] = [
        (0, pk.Offset("G54")),
        (1, pk.Spindle(9000.0, 1)),
        (5, pk.Spindle(0.0, 0)),
        (5, pk.Stop()),
    ]
    return program_of(rows, events, frame="controller", stock=STOCK, title="turn")


def machine(dialect: str, tolerance: float = 0.002, **output: Any) -> pk.Machine:
    base = pk.load_machine("grbl-front-left")
    return replace(base, dialect=dialect, output=output, motion=replace(base.motion, arc_tolerance=tolerance))


def cut(program: pk.Program) -> tuple[np.ndarray, np.ndarray]:
    """Places at even steps along the cut as read, and how far round each is from the first."""
    rows = np.flatnonzero(program.kind != pk.RAPID)[1:]
    pieces = []
    for row in rows:
        start, end, share = program.end[row - 1], program.end[row], np.linspace(0.0, 1.0, 65)[:, None]
        piece = start + share * (end - start)
        if program.kind[row] == pk.ARC:
            arm = complex(*(start[:2] - program.centre[row])) * np.exp(1j * program.sweep[row] * share[:, 0])
            piece[:, :2] = program.centre[row] + np.stack([arm.real, arm.imag], axis=1)
        pieces.append(piece)
    places = np.concatenate(pieces)
    seen = places[:, 0] - CENTRE[0] + 1j * (places[:, 1] - CENTRE[1])
    return places, np.unwrap(np.angle(seen))


@pytest.mark.parametrize(("name", "form"), WRITTEN)
@pytest.mark.parametrize("sweep", [0.3, -1.2, math.pi, -4.0, 2 * math.pi, -2 * math.pi, 14.0])
@pytest.mark.parametrize("drop", [0.0, 2.0])
def test_the_written_arc_is_the_meant_one(name: str, form: str, sweep: float, drop: float) -> None:
    where = machine(name, arcs=form)
    program = turn(25.0, 0.4, sweep, drop)
    posted = pk.post(program, where)
    proof = pk.verify(posted, program, where)
    assert proof["controller"].status == proof["same path"].status == "passed"
    places, angle = cut(pk.read(posted.text, name).program)
    radius = np.hypot(*(places[:, :2] - CENTRE).T)
    # Chords within the profile's tolerance; start, end and centre on the grid of thousandths.
    assert np.abs(radius - 25.0).max() <= 0.002 + 0.003
    assert angle[-1] - angle[0] == pytest.approx(sweep, abs=0.001)
    climbed = (places[:, 2] - 5.0) / -drop if drop else np.zeros(len(places))
    if drop:
        np.testing.assert_allclose(climbed, (angle - angle[0]) / sweep, atol=0.002)
    assert (form == "none") is not bool(re.search(r"^(N\d+ )?(G0?[23]\b|c?cw)", posted.text, re.M))


@pytest.mark.parametrize("tolerance", [0.0005, 0.002, 0.01])
@pytest.mark.parametrize("radius", [2.0, 40.0])
def test_chords_keep_within_the_profiles_tolerance(tolerance: float, radius: float) -> None:
    """Sagitta r(1 − cos(θ/2)) (circle geometry), measured on the chords, which are no finer than they need to be."""
    where = machine("csv", tolerance, arcs="none", decimals=6)
    read = pk.read(pk.post(turn(radius, 0.1, 2 * math.pi), where).text, "csv").program
    places, _ = cut(read)
    error = np.abs(np.hypot(*(places[:, :2] - CENTRE).T) - radius).max()
    assert 0.7 * tolerance < error <= tolerance + 1e-5


@pytest.mark.parametrize(("name", "form"), WRITTEN)
def test_no_other_plane_is_ever_named(name: str, form: str) -> None:
    text = pk.post(turn(25.0, 0.4, 9.0, 3.0), machine(name, arcs=form)).text
    assert not re.search(r"G1[89]|K-?\d", text)


@pytest.mark.parametrize("name", ["grbl", "rs274ngc", "iso6983"])
def test_arcs_that_may_not_be_helical_are_chords_only_where_they_climb(name: str) -> None:
    where = machine(name, helical=False)
    assert not re.search(r"G0?[23] X", pk.post(turn(25.0, 0.4, 2.0, 1.0), where).text)
    assert re.search(r"G0?[23] X", pk.post(turn(25.0, 0.4, 2.0), where).text)


@pytest.mark.parametrize(
    ("name", "full", "pieces"), [("grbl", False, 2), ("rs274ngc", True, 1), ("rs274ngc", False, 2)]
)
def test_full_circles_are_split_where_they_have_to_be(name: str, full: bool, pieces: int) -> None:
    where = machine(name, full_circles=full)
    read = pk.read(pk.post(turn(25.0, 0.4, 2 * math.pi), where).text, name).program
    assert np.count_nonzero(read.kind == pk.ARC) == pieces


@pytest.mark.parametrize("name", ["grbl", "grbl-mist"])
def test_a_profile_cannot_ask_for_whole_turns_where_rounding_may_lose_them(name: str) -> None:
    with pytest.raises(pk.PathkitError, match="take a whole turn for none"):
        pk.post(turn(25.0, 0.4, 2 * math.pi), machine(name, full_circles=True))
