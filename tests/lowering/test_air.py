"""Retracts are as high as what is crossed asks: the board, or a clamp on the very way. Heights by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, box

import pathkit as pk
from pathkit.lowering.air import BESIDE, Air, air_over
from pathkit.model.stock import Zone
from pathkit.motion.program import RAPID, Program
from pathkit.passes.measuring import vertical

MILL = pk.Tool("4 mm end mill", 4.0, number=1, centre_cutting=True, holder=30.0, reach=25.0)
DRILL = pk.Tool("3 mm drill", 3.0, number=2, kind="drill", holder=30.0, reach=40.0)
FEEDS = pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
CLAMP = Zone(box(140.0, 0.0, 160.0, 60.0), "clamp", 20.0)
STOCK = pk.Stock(300.0, 100.0, 9.0, z_zero="bed", underlay=3.0, thickness_tolerance=0.5, zones=(CLAMP,))
BASE, OVER = 12.5 + 8.0, 12.5 + 20.0 + 8.0
"""Travel height over the thickest board, and over the clamp."""


def hole(name: str, x: float, y: float, tool: pk.Tool = MILL) -> pk.Toolpath:
    return pk.Toolpath(name, pk.Curve.point((x, y)), tool, FEEDS, bottom=6.0, role="drill", entry=pk.Plunge())


def job_of(*paths: pk.Toolpath, stock: pk.Stock = STOCK) -> pk.Job:
    return pk.Job("clamped", stock, paths)


def crossings(program: Program) -> list[tuple[float, ...]]:
    """(x from, x to, z) of the rapids sideways."""
    rows = np.flatnonzero((program.kind == RAPID) & (program.origins[:, :2] != program.end[:, :2]).any(axis=1))
    return [(float(program.origins[k, 0]), *program.end[k, [0, 2]].tolist()) for k in rows[1:]]


def test_only_the_move_over_the_clamp_is_high() -> None:
    machine = replace(pk.load_machine("grbl-front-left"), park=(0.0, 90.0))
    job = job_of(hole("a", 20.0, 30.0), hole("b", 40.0, 30.0), hole("c", 250.0, 30.0), hole("d", 250.0, 90.0),
                 hole("e", 20.0, 90.0))  # fmt: skip
    program = pk.lower(job, machine)
    assert program.end[0, 2] == OVER, "from an unknown place the way may lead over anything"
    assert crossings(program)[1:] == [
        (20.0, 40.0, BASE), (40.0, 250.0, OVER), (250.0, 250.0, BASE), (250.0, 20.0, BASE), (20.0, 0.0, BASE)
    ]  # fmt: skip
    bare = replace(STOCK, zones=())
    level = pk.lower(job_of(*job.toolpaths, stock=bare), machine)
    assert vertical(program) < vertical(level) + 4 * (OVER - BASE), "one 20 mm clamp raises one retract, not all"
    # The first move, down from it, up and down at the crossing: by hand, 20 mm each (the first starts unknown).
    assert vertical(program) == pytest.approx(vertical(level) + 3 * (OVER - BASE))


def test_a_zone_at_the_edge_of_bit_and_holder() -> None:
    air = air_over(job_of(hole("a", 20.0, 30.0)), pk.load_machine("grbl-front-left"))
    beside = 60.0 + 2.0 + BESIDE
    assert air.over(MILL, (0.0, beside - 0.1), (300.0, beside - 0.1)) == OVER
    # The holder, 25 mm over the tip, clears a clamp of 20 mm by 13 mm already: 8 mm are asked for.
    assert air.over(MILL, (0.0, beside + 0.1), (300.0, beside + 0.1)) == BASE
    short = replace(MILL, reach=10.0)
    assert air.over(short, (0.0, beside + 0.1), (300.0, beside + 0.1)) == OVER - 10.0
    assert air.over(short, (0.0, 60.0 + 15.0 + BESIDE + 0.1), (300.0, 78.0)) == BASE
    unknown = replace(MILL, holder=None, reach=None)
    assert air.over(unknown, (0.0, beside + 0.1), (300.0, beside + 0.1)) == OVER
    assert air.over(MILL, (np.nan, np.nan), (10.0, 10.0)) == OVER == air.highest


@settings(max_examples=60, deadline=None)
@given(
    st.tuples(*[st.floats(-50.0, 350.0)] * 4),
    st.lists(st.tuples(st.floats(0.0, 280.0), st.floats(0.0, 80.0), st.floats(0.0, 30.0)), max_size=4),
)
def test_no_move_is_lower_than_what_it_crosses_by_heights_travel(
    way: tuple[float, float, float, float], blocks: list[tuple[float, float, float]]
) -> None:
    """The law, by points on the way instead of distances between lines and areas."""
    zones = tuple(Zone(box(x, y, x + 20.0, y + 15.0), "clamp", height) for x, y, height in blocks)
    air = Air(20.5, 8.0, 12.5, zones)
    height = air.over(MILL, way[:2], way[2:])
    swept = LineString([way[:2], way[2:]]).buffer(MILL.radius)
    met = [12.5 + zone.height + 8.0 for zone in zones if swept.intersects(zone.shape)]
    assert max([20.5, *met]) - 1e-9 <= height <= air.highest


@pytest.mark.parametrize("name", ["grbl-front-left", "grbl-back-right", "portrait-inch"])
def test_files_of_a_clamped_board_are_proved_and_so_are_their_twins(name: str) -> None:
    machine = pk.load_machine(name)
    line = pk.Toolpath("slot", pk.Curve.polyline([(120.0, 20.0), (120.0, 90.0), (180.0, 90.0), (180.0, 20.0)]), MILL,
                       FEEDS, bottom=8.0, stepdown=2.5, reversible=False, role="slot", entry=pk.Plunge())  # fmt: skip
    job = job_of(hole("a", 20.0, 30.0), hole("b", 250.0, 30.0), line, hole("c", 20.0, 50.0, DRILL),
                 hole("d", 250.0, 50.0, DRILL))  # fmt: skip
    program = pk.lower(job, machine)
    assert (180.0, 120.0, OVER) in [tuple(round(v, 6) for v in each) for each in crossings(program)], (
        "back to its start"
    )
    posted = pk.post(program, machine)
    proof = pk.verify(posted, program, machine, job=job)
    assert proof.ok, proof.findings
    figures = proof["travel height"].figures
    assert sum(value for key, value in figures.items() if "over_clamps" in key and isinstance(value, int)) >= 4
    twin = pk.air_cut(posted, machine)
    for air, cut in zip(twin.each_file, posted.each_file, strict=True):
        assert pk.verify_twin(air, cut, machine).ok
    if name == "portrait-inch":
        assert "G81" in posted.text, "holes stay drill cycles beyond a clamp too"
    assert pk.run_time(program, machine).total > 0.0


def test_a_rapid_too_low_over_a_clamp_is_found_and_by_nothing_else(monkeypatch: pytest.MonkeyPatch) -> None:
    """The fault: lowering forgets what stands on the board, 1 mm of it at least."""
    machine = pk.load_machine("grbl-front-left")
    job = job_of(hole("a", 20.0, 30.0), hole("b", 250.0, 30.0))
    right = Air.over

    def low(air: Air, tool: pk.Tool, begin: tuple[float, float], end: tuple[float, float]) -> float:
        height = right(air, tool, begin, end)
        return height - 1.0 if height > air.base else height

    monkeypatch.setattr(Air, "over", low)
    program = pk.lower(job, machine)
    proof = pk.verify(pk.post(program, machine), program, machine, job=job)
    assert {check.name for check in proof.checks if check.status == "failed"} == {"travel height"}
