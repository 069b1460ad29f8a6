"""Traces of lines and helical arcs, with feeds of their own."""

from __future__ import annotations

import math

import numpy as np
import pytest

import pathkit as pk
from pathkit.motion.program import ARC, LINE

HELIX = pk.Curve([[20, 20, 2], [30, 20, -1], [30, 30, -2], [20, 30, -2]], [0.0, math.pi, 0.0])
CUTTING = pk.Cutting(feed=1200.0, plunge=400.0, spindle=18000.0)
BIT = pk.Tool("3 mm", 3.0, centre_cutting=True)
MACHINE = pk.load_machine("grbl-front-left")
BOARD = pk.Stock(100.0, 100.0, 6.0, underlay=3.0)
FEEDS = [(0, 500.0), (1, 900.0), (2, 700.0)]


def job(**more: object) -> pk.Job:
    path = pk.Toolpath("trace", HELIX, BIT, CUTTING, role="engrave", **more)  # type: ignore[arg-type]
    return pk.Job("traces", BOARD, [path])


def test_its_length_is_that_of_lines_and_of_a_helix_unrolled() -> None:
    half_turn = math.hypot(5.0 * math.pi, 1.0)
    assert math.isclose(HELIX.length, math.hypot(10.0, 3.0) + half_turn + 10.0, rel_tol=1e-12)


def test_chords_stay_on_the_helix() -> None:
    points = HELIX.flattened(0.01)[2:-2]
    assert len(points) > 20
    turn = np.arctan2(points[:, 1] - 25.0, points[:, 0] - 30.0) + math.pi / 2.0
    assert np.allclose(np.hypot(points[:, 0] - 30.0, points[:, 1] - 25.0), 5.0)
    assert np.allclose(points[:, 2], -1.0 - turn / math.pi)


def test_it_is_lowered_as_it_lies() -> None:
    program = pk.lower(job(feeds=FEEDS), MACHINE)
    mine = np.flatnonzero((program.toolpath == 0) & (program.kind != 0))
    assert program.kind[mine].tolist() == [LINE, LINE, ARC, LINE]
    assert np.allclose(program.end[mine][1:], HELIX.points[1:])
    assert program.feed[mine].tolist() == [400.0, 500.0, 900.0, 700.0]


def test_backward_its_feeds_come_the_other_way_round() -> None:
    program = pk.lower(job(feeds=FEEDS, reversible=True, backward=True), MACHINE)
    mine = np.flatnonzero((program.toolpath == 0) & (program.kind != 0))
    assert program.feed[mine].tolist() == [400.0, 700.0, 900.0, 500.0]


@pytest.mark.parametrize("more", [{}, {"feeds": FEEDS}, {"feeds": FEEDS, "reversible": True, "backward": True}])
def test_its_file_is_proved(more: dict[str, object]) -> None:
    asked = job(**more)
    program = pk.lower(asked, MACHINE)
    proof = pk.verify(pk.post(program, MACHINE), program, MACHINE, job=asked)
    assert proof.ok, proof.findings


def test_a_feed_out_of_turn_is_found() -> None:
    asked = job(feeds=FEEDS)
    program = pk.lower(asked, MACHINE)
    text = pk.post(program, MACHINE).text
    assert text.count("F900") == 1
    proof = pk.verify(text.replace("F900", "F880"), program, MACHINE, job=asked)
    assert proof["asked feeds"].status == "failed"


def test_it_goes_to_json_and_back() -> None:
    asked = job(feeds=FEEDS)
    assert pk.Job.from_json(asked.to_json()) == asked


@pytest.mark.parametrize(
    ("feeds", "said"),
    [
        ([(1, 500.0)], "count up from 0"),
        ([(0, 500.0), (3, 400.0)], "span 3 of 3"),
        ([(0, 500.0), (0, 400.0)], "count up from 0"),
        ([(0, -1.0)], "feeds[0]"),
        ([500.0], "pairs"),
    ],
)
def test_impossible_feeds_are_refused(feeds: object, said: str) -> None:
    with pytest.raises(pk.ModelError, match="feeds") as refused:
        job(feeds=feeds)
    assert said in str(refused.value)


def test_feeds_need_a_trace() -> None:
    with pytest.raises(pk.ModelError, match="no trace"):
        pk.Toolpath("ring", pk.Curve.circle((5, 5), 3.0), BIT, CUTTING, bottom=-1.0, feeds=[(0, 500.0)])


def test_an_arc_of_a_trace_needs_two_places_in_the_plan() -> None:
    with pytest.raises(pk.ModelError, match="two halves"):
        pk.Curve([[0, 0, 0], [0, 0, -1]], [math.pi])
