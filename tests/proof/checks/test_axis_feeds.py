"""A feed above what an axis moves never goes out unremarked; what the machine keeps to is said nothing of."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import pathkit as pk
from pathkit import api
from pathkit.proof.checks.axis_feeds import axis_shares

BIT = pk.Tool("6 mm", 6.0, centre_cutting=True)
BOARD = pk.Stock(300, 200, 12)
MOTION = pk.Motion((6000.0, 6000.0, 2500.0), (4000.0, 5000.0, 1000.0), (500.0, 500.0, 200.0))
MACHINE = replace(pk.load_machine("grbl-front-left"), motion=MOTION)


def proof(curve: pk.Curve, feed: float, plunge: float = 500.0, machine: pk.Machine = MACHINE, **more: Any) -> pk.Proof:
    path = pk.Toolpath(
        "cut", curve, BIT, pk.Cutting(feed=feed, plunge=plunge, spindle=16000.0), bottom=-2.0, role="slot", **more
    )
    job = pk.Job("check", BOARD, (path,))
    program = pk.lower(job, machine)
    return api.verify(pk.post(program, machine), program, machine, job=job)


def line(dx: float, dy: float) -> pk.Curve:
    return pk.Curve.polyline([[60.0, 60.0], [60.0 + dx, 60.0 + dy]])


@pytest.mark.parametrize(
    ("curve", "feed", "said"),
    [
        (line(80, 0), 4000.0, None),
        (line(80, 0), 4100.0, "X at most 4000"),
        (line(0, 80), 4900.0, None),
        (line(0, 80), 9000.0, "Y at most 5000"),
        # 45°: 5600 · cos 45° = 3960 in each axis.
        (line(80, 80), 5600.0, None),
        (line(80, 80), 5700.0, "X at most 4000"),
        (pk.Curve.circle((100, 100), 30.0), 4000.0, None),
        (pk.Curve.circle((100, 100), 30.0), 4500.0, "X at most 4000"),
    ],
)
def test_each_axis_by_its_own_share(curve: pk.Curve, feed: float, said: str | None) -> None:
    check = proof(curve, feed)["axis feeds"]
    assert (check.status == "passed") == (said is None)
    assert [f.severity for f in check.findings] == ([] if said is None else ["warning"])
    if said is not None:
        (finding,) = check.findings
        assert said in finding.what
        assert "slows the whole move down" in finding.what
        assert "feed = 4000 works" in finding.fix
        assert finding.line is not None


def test_the_way_down_too() -> None:
    check = proof(line(80, 0), 2000.0, plunge=1600.0)["axis feeds"]
    (finding,) = check.findings
    assert "ask for up to 1600 mm/min, and 'grbl-front-left' moves Z at most 1000" in finding.what
    assert (
        'plunge = 1000 works; for this machine alone, if it has no share yet: cutting = { plunge = "62%" }'
        in finding.fix
    )


def test_the_value_that_it_names_works() -> None:
    # 4000 of 9000 is 44.4 %.
    assert 'feed = "44%"' in proof(line(80, 0), 9000.0)["axis feeds"].findings[0].fix
    assert proof(line(80, 0), 0.44 * 9000.0)["axis feeds"].status == "passed"


def test_going_up_over_a_tab_is_no_cut() -> None:
    """It rises at the cutting feed, which is above what Z moves; slower it harms nothing."""
    outline = pk.Curve.polyline([[50, 50], [150, 50], [150, 120], [50, 120]], closed=True)
    path = pk.Toolpath("o", outline, BIT, pk.Cutting(feed=2400.0, plunge=600.0, spindle=16000.0), bottom=-12.3,
                       stepdown=4.0,
                       role="outline", tabs=(pk.Tab(50.0, 6.0, 3.0),))  # fmt: skip
    job = pk.Job("tabs", replace(BOARD, underlay=3.0, thickness_tolerance=0.1), (path,))
    program = pk.lower(job, MACHINE)
    rises = (program.end[:, 2] - program.origins[:, 2] > 0.5) & (program.kind == pk.LINE)
    assert (program.feed[rises] > 1000.0).any()
    assert api.verify(pk.post(program, MACHINE), program, MACHINE, job=job)["axis feeds"].status == "passed"


def test_a_controller_that_says_nothing_of_it() -> None:
    machine = pk.load_machine("portrait-inch")
    (finding,) = proof(line(80, 0), 6000.0, machine=machine)["axis feeds"].findings
    assert "what this controller does then is not known here" in finding.what


def test_a_file_that_was_made_faster_is_told() -> None:
    """F written by another hand: no job knows of it."""
    path = pk.Toolpath(
        "cut", line(80, 0), BIT, pk.Cutting(feed=3000.0, plunge=500.0, spindle=16000.0), bottom=-2.0, role="slot"
    )
    program = pk.lower(pk.Job("check", BOARD, (path,)), MACHINE)
    text = pk.post(program, MACHINE).text.replace("F3000", "F8000")
    check = pk.verify(text, program, MACHINE)["axis feeds"]
    assert check.status == "not proved"
    assert "up to 8000 mm/min" in check.findings[0].what


@given(st.floats(-3.0, 3.0), st.floats(0.05, 6.2), st.booleans(), st.floats(-4.0, 4.0))
def test_an_arc_asks_what_its_chords_ask(first: float, sweep: float, clockwise: bool, rise: float) -> None:
    """Against the definition itself: the direction of many short chords of a helix."""
    turn = -sweep if clockwise else sweep
    angles = np.linspace(first, first + turn, 20001)
    places = np.column_stack([20.0 * np.cos(angles), 20.0 * np.sin(angles), np.linspace(0.0, rise, 20001)])
    program = pk.Program(
        start=places[0], kind=np.array([pk.ARC], np.uint8), end=places[-1:], centre=np.zeros((1, 2)),
        sweep=np.array([turn]), feed=np.array([1000.0]), toolpath=np.full(1, -1, np.int32), level=np.zeros(1, np.int32),
        line=np.zeros(1, np.int32), frame="controller",
    )  # fmt: skip
    chords = np.abs(np.diff(places, axis=0))
    wanted = (chords / np.sqrt((chords**2).sum(axis=1))[:, None]).max(axis=0)
    assert axis_shares(program)[0] == pytest.approx(wanted, abs=2e-3)


@pytest.mark.parametrize(("feed", "runs_at"), [(3000.0, 3000.0), (4000.0, 4000.0), (9000.0, 4000.0)])
def test_the_run_time_counts_with_the_limit(feed: float, runs_at: float) -> None:
    """L/v + v/a for a long line from rest to rest (uniform acceleration, any mechanics textbook), v no more than the
    limit."""
    start = np.array([10.0, 10.0, 0.0])
    program = pk.Program(
        start=start, kind=np.array([pk.LINE], np.uint8), end=np.array([[260.0, 10.0, 0.0]]), centre=np.zeros((1, 2)),
        sweep=np.zeros(1), feed=np.array([feed]), toolpath=np.full(1, -1, np.int32), level=np.zeros(1, np.int32),
        line=np.zeros(1, np.int32), frame="controller",
    )  # fmt: skip
    v = runs_at / 60.0
    assert pk.run_time(program, MACHINE).moving == pytest.approx(250.0 / v + v / 500.0, rel=2e-3)
