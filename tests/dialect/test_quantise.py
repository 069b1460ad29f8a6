"""Numbers are rounded once; arcs on the grid are judged as the controller draws them."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import ROUND_HALF_EVEN, Decimal

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from numpy.typing import NDArray
from pathkit_posts.grbl import GRAMMAR, Grbl
from pathkit_posts.rs274ngc import Rs274ngc

from pathkit.dialect import grid_kernel
from pathkit.dialect.grid_kernel import CLOCKWISE, COUNTER, RAPIDLY, STRAIGHT, UNKNOWN
from pathkit.dialect.legalise import legalise
from pathkit.dialect.quantise import Grid, quantise
from pathkit.errors import CapabilityError
from pathkit.machine.capabilities import Capabilities
from pathkit.motion.program import ARC, LINE, RAPID, Program
from pathkit.testing.programs import machine_for, program_of

Floats = NDArray[np.float64]
NAN = math.nan
GRBL, NIST = Grbl(), Rs274ngc()
EXACT = replace(GRAMMAR, arc=replace(GRAMMAR.arc, single=False))
WHOLE = replace(GRBL.capabilities, full_circles=True, grammar=EXACT)
"""A similar controller that takes a whole turn in one block."""


def on_grid(program: Program, capabilities: Capabilities | None = None) -> Grid:
    machine = machine_for(GRBL)
    capabilities = capabilities or WHOLE
    return quantise(legalise(program, machine, capabilities, GRBL.words), machine, capabilities)


def cut(*rows: tuple[object, ...], start: tuple[float, float, float] = (0.0, 0.0, 5.0)) -> Program:
    lead: list[tuple[object, ...]] = [(RAPID, (NAN, NAN, start[2]), None, 0.0, NAN), (RAPID, start, None, 0.0, NAN)]
    return program_of([*lead, *rows], [], frame="controller")


def arc_from(centre: tuple[float, float], radius: float, begin: float, sweep: float) -> Program:
    start = (centre[0] + radius * math.cos(begin), centre[1] + radius * math.sin(begin), 0.0)
    finish = (centre[0] + radius * math.cos(begin + sweep), centre[1] + radius * math.sin(begin + sweep), 0.0)
    if abs(abs(sweep) - 2 * math.pi) < 1e-12:
        finish = start
    return cut((ARC, finish, centre, sweep, 600.0), start=start)


@given(st.integers(-(10**6), 10**6))
def test_halves_go_to_the_even_neighbour(sixteenths: int) -> None:
    """Sixteenths are exact in binary, and odd ones lie halfway between two decimals; Decimal rounds them exactly."""
    value = sixteenths / 16.0
    exact = (Decimal(value) * 1000).quantize(Decimal(1), rounding=ROUND_HALF_EVEN)
    grid = on_grid(cut((LINE, (value, 90_000.0, 0.0), None, 0.0, 600.0)))
    assert grid.point[-1, 0] == int(exact)


@given(st.floats(-90_000.0, 90_000.0))
@example(0.0005)
@example(2.6745)
def test_rounding_is_to_the_nearest(value: float) -> None:
    grid = on_grid(cut((LINE, (value, 95_000.0, 0.0), None, 0.0, 600.0)))
    assert abs(Decimal(value) * 1000 - int(grid.point[-1, 0])) <= Decimal("0.50000001")
    assert grid.point[-1, 0] == round(value * 1000.0)


def test_rows_that_round_to_nothing_vanish() -> None:
    grid = on_grid(
        cut(
            (LINE, (1.0, 0.0, 5.0), None, 0.0, 600.0),
            (LINE, (1.0004, 0.0, 5.0), None, 0.0, 600.0),
            (RAPID, (1.0004, 0.0, 5.0), None, 0.0, NAN),
            (LINE, (1.0008, 0.0, 5.0), None, 0.0, 600.0),
        )
    )
    assert grid.row.tolist() == [0, 1, 2, 5]
    assert grid.point[:, 0].tolist() == [UNKNOWN, 0, 1000, 1001]
    assert grid.motion.tolist() == [RAPIDLY, RAPIDLY, STRAIGHT, STRAIGHT]


def drawn(grid: Grid, first: int, capabilities: Capabilities) -> list[Floats]:
    """Points (k, 2), in counts, along every cutting row as a controller draws the written words.

    Arcs about the written centre with the radius of the start (GRBL 1.1, motion control source: chords on the circle of
    the start, the last one to the target); a start that equals the end is a full circle.
    """
    pieces = []
    for n in range(first, len(grid)):
        start, end = grid.point[n - 1, :2].astype(float), grid.point[n, :2].astype(float)
        if grid.motion[n] < CLOCKWISE:
            pieces.append(np.linspace(start, end, 9))
            continue
        sense = 1.0 if grid.motion[n] == COUNTER else -1.0
        if capabilities.arcs == "radius":
            chord = end - start
            length = math.hypot(*chord)
            height = math.sqrt(float(grid.arc[n, 0]) ** 2 - length**2 / 4)
            centre = (start + end) / 2 + sense * height * np.array([-chord[1], chord[0]]) / length
        else:
            centre = grid.arc[n].astype(float)
        arm, reach = start - centre, end - centre
        sweep = math.atan2(arm[0] * reach[1] - arm[1] * reach[0], arm @ reach) * sense
        if sweep <= 1e-12:
            sweep += 2 * math.pi
        angles = math.atan2(arm[1], arm[0]) + sense * np.linspace(0.0, sweep, 65)
        pieces.append(centre + math.hypot(*arm) * np.stack([np.cos(angles), np.sin(angles)], axis=1))
        pieces.append(end[None, :])
    return pieces


def capabilities_of(name: str) -> Capabilities:
    return {
        "grbl": WHOLE,
        "grbl by radius": replace(GRBL.capabilities, arcs="radius"),
        "nist": NIST.capabilities,
        "nist in inches": replace(NIST.capabilities, units="inch"),
        "a strict one": replace(GRBL.capabilities, arc_radius_slack=0.0004),
        "halves only": replace(GRBL.capabilities, full_circles=False),
    }[name]


radii = st.one_of(st.floats(0.0005, 0.05), st.floats(0.05, 500.0), st.floats(500.0, 50_000.0))
sweeps = st.one_of(
    st.floats(1e-6, 0.1),
    st.floats(0.1, 6.28),
    st.floats(1e-9, 1e-3).map(lambda short: 2 * math.pi - short),
    st.sampled_from((math.pi / 2, math.pi, 1.5 * math.pi, 2 * math.pi)),
)
names = st.sampled_from(("grbl", "grbl by radius", "nist", "nist in inches", "halves only"))


@given(names, st.floats(-200, 200), st.floats(-200, 200), radii, st.floats(0, 6.28), sweeps, st.sampled_from((1, -1)))
@example("grbl", 0.0, 0.0, 0.3, 0.0, 0.001, 1)
@example("grbl", 0.0, 0.0, 10.0, 0.1, 2 * math.pi - 1e-5, -1)
def test_a_written_arc_is_the_true_one(
    name: str, x: float, y: float, radius: float, begin: float, sweep: float, sense: int
) -> None:
    """Within three counts everywhere (chords and rounding: 2 + 0.71); exactly as far round as meant."""
    capabilities = capabilities_of(name)
    per_mm = 10.0**capabilities.unit_decimals / (25.4 if capabilities.units == "inch" else 1.0)
    grid = on_grid(arc_from((x, y), radius, begin, sense * sweep), capabilities)
    pieces = drawn(grid, 2, capabilities)
    allowed = 2.75
    if not pieces:
        assert radius * min(sweep, 2.0) * per_mm <= 4.0
        return
    path = np.concatenate(pieces)
    offset = path - np.array([x, y]) * per_mm
    assert np.abs(np.hypot(offset[:, 0], offset[:, 1]) - radius * per_mm).max() <= allowed
    steps = np.angle(np.exp(1j * np.diff(np.unwrap(np.arctan2(offset[:, 1], offset[:, 0])))))
    if radius * per_mm > 30.0:
        turned = sense * float(steps.sum())
        assert abs(turned - sweep) * radius * per_mm <= allowed + 1.0
    for n in range(2, len(grid)):
        full = np.array_equal(grid.point[n, :2], grid.point[n - 1, :2])
        if grid.motion[n] >= CLOCKWISE:
            assert full == (sweep == 2 * math.pi and capabilities.full_circles and len(grid) == 3)


def chain(rng: np.random.Generator, radius: Floats, sweep: Floats) -> Program:
    """Arcs in a chain: each begins where the one before ended."""
    x, y = 10.0, 20.0
    rows: list[tuple[object, ...]] = []
    for r, turn, heading in zip(radius, sweep, rng.uniform(0.0, 2 * math.pi, len(radius)), strict=True):
        centre = (x + r * math.cos(heading), y + r * math.sin(heading))
        x, y = centre[0] - r * math.cos(heading + turn), centre[1] - r * math.sin(heading + turn)
        rows.append((ARC, (x, y, 0.0), centre, turn, 600.0))
    return cut(*rows, start=(10.0, 20.0, 0.0))


@pytest.mark.parametrize("name", ["grbl", "nist", "nist in inches", "a strict one"])
def test_every_written_arc_is_accepted_and_near(name: str) -> None:
    """The distances to start and end differ by no more than the controller takes (GRBL 1.1: 0.005 mm; NISTIR 6556:
    0.002 mm, 0.0002 inch), and neither centre nor radius leaves the true arc's by more than three counts."""
    capabilities = capabilities_of(name)
    slack = {"grbl": 0.005, "nist": 0.002, "nist in inches": 0.0002 * 25.4, "a strict one": 0.0004}[name]
    per_mm = 10.0**capabilities.unit_decimals / (25.4 if capabilities.units == "inch" else 1.0)
    rng = np.random.default_rng(5)
    count = 20_000
    radius = 10.0 ** rng.uniform(-2.5, 1.5, count)
    program = chain(rng, radius, rng.uniform(0.01, 6.28, count) * rng.choice((-1.0, 1.0), count))
    grid = on_grid(program, capabilities)
    arcs = np.flatnonzero(grid.motion >= CLOCKWISE)
    assert len(arcs) > count / 2
    centre = grid.arc[arcs]
    here = np.hypot(*(grid.point[arcs - 1, :2] - centre).T)
    there = np.hypot(*(grid.point[arcs, :2] - centre).T)
    assert np.abs(here - there).max() / per_mm <= slack
    true = program.centre[grid.row[arcs]] * per_mm
    drift = np.hypot(*(centre - true).T) + np.abs(here - radius[grid.row[arcs] - 2] * per_mm)
    assert drift.max() <= 3.0


def test_an_arc_turned_inside_out_by_rounding_is_not_written() -> None:
    """Rounded ends that would make the controller go the long way round instead of the short one, or the reverse."""
    written = grid_kernel._written_centre
    forth, back = (10_000.0, 0.0, 10_000.0, 3.0), (10_000.0, 0.0, 10_000.0, -3.0)
    rest = (0.0, 0.0, 10_000.0, 10_000.0)
    assert written(*forth, *rest, 0.0003, 4.5, 1e8)[0]
    assert written(*back, *rest, -0.0003, 4.5, 1e8)[0]
    assert written(*back, *rest, 2 * math.pi - 0.0003, 4.5, 1e8)[0]
    assert not written(*back, *rest, 0.0003, 4.5, 1e8)[0]
    assert not written(*forth, *rest, -0.0003, 4.5, 1e8)[0]
    assert not written(*forth, *rest, 2 * math.pi - 0.0003, 4.5, 1e8)[0]


def test_turns_that_nearly_close_go_all_the_way_round() -> None:
    """The gap is less than a count: rounding may close it (then GRBL would draw a full circle) or turn it inside out
    (then it would draw next to nothing)."""
    rng = np.random.default_rng(9)
    for _ in range(400):
        radius = 10.0 ** rng.uniform(-1.0, 2.0)
        gap = rng.uniform(0.01, 1.5) / 1000.0 / radius
        sense = float(rng.choice((-1.0, 1.0)))
        begin = rng.uniform(0.0, 6.28)
        grid = on_grid(arc_from((rng.uniform(-9, 9), rng.uniform(-9, 9)), radius, begin, sense * (2 * math.pi - gap)))
        assert np.any(grid.point[1, :2] != grid.point[2, :2])
        path = np.concatenate(drawn(grid, 2, GRBL.capabilities))
        length = np.hypot(*np.diff(path, axis=0).T).sum()
        assert length == pytest.approx(radius * 1000 * (2 * math.pi - gap), rel=0.01, abs=8.0)


def test_a_full_turn_is_closed_although_its_end_carries_noise() -> None:
    """10.0625 lies halfway on a grid of 0.001: a hair more and it rounds to the other neighbour."""
    start = (10.0625, 0.0, 0.0)
    grid = on_grid(cut((ARC, (10.0625 + 1e-12, 0.0, -1.0), (0.0, 0.0), 2 * math.pi, 600.0), start=start))
    assert grid.motion.tolist() == [RAPIDLY, RAPIDLY, COUNTER]
    assert grid.point[2].tolist() == [10062, 0, -1000]


def test_short_arcs_never_become_full_circles() -> None:
    """GRBL draws a full circle where the rounded end equals the start: of arcs 0.0001-0.01 mm long, 28 % did so when
    rounded to three decimals (measured with GRBL's own parser)."""
    rng = np.random.default_rng(7)
    for _ in range(1500):
        radius = 10.0 ** rng.uniform(-2, 2)
        sweep = 10.0 ** rng.uniform(-4, -2) / radius * rng.choice((-1.0, 1.0))
        if abs(sweep) > 6.0:
            continue
        grid = on_grid(arc_from((rng.uniform(-9, 9), rng.uniform(-9, 9)), radius, rng.uniform(0, 6), sweep))
        for n in range(2, len(grid)):
            assert not np.array_equal(grid.point[n], grid.point[n - 1])


def test_grbl_is_handed_whole_turns_in_halves() -> None:
    """The firmware works the angle out in 32-bit floats: a whole turn in one block may be drawn as one chord."""
    grid = on_grid(arc_from((3.00047, 1.99953), 7.12345, 0.3, 2 * math.pi), GRBL.capabilities)
    assert grid.motion.tolist() == [RAPIDLY, RAPIDLY, COUNTER, COUNTER]
    assert not np.array_equal(grid.point[1], grid.point[2])


def test_full_turns_stay_full_turns() -> None:
    circle = arc_from((3.00047, 1.99953), 7.12345, 0.3, 2 * math.pi)
    grid = on_grid(circle)
    assert grid.motion.tolist() == [RAPIDLY, RAPIDLY, COUNTER]
    assert np.array_equal(grid.point[1], grid.point[2])


def test_a_helix_of_many_turns_is_split_and_stays_linear() -> None:
    start = (10.0, 0.0, 2.0)
    grid = on_grid(cut((ARC, (10.0, 0.0, -6.0), (0.0, 0.0), -8 * math.pi, 600.0), start=start))
    assert grid.motion.tolist() == [RAPIDLY, RAPIDLY, CLOCKWISE, CLOCKWISE, CLOCKWISE, CLOCKWISE]
    assert grid.point[2:, 2].tolist() == [0, -2000, -4000, -6000]


def test_long_arcs_stay_arcs() -> None:
    """The recheck turns no arc of ordinary size into a line, in either unit."""
    rng = np.random.default_rng(3)
    for capabilities in (WHOLE, NIST.capabilities, replace(NIST.capabilities, units="inch")):
        kept = 0
        for _ in range(500):
            sweep = rng.uniform(0.3, 6.0) * rng.choice((-1.0, 1.0))
            program = arc_from(
                (rng.uniform(-50, 50), rng.uniform(-50, 50)), rng.uniform(2, 60), rng.uniform(0, 6), sweep
            )
            grid = on_grid(program, capabilities)
            kept += grid.motion[2:].tolist() in ([CLOCKWISE], [COUNTER])
        assert kept >= 497, f"{500 - kept} of 500 arcs were split in {capabilities.units}"


def test_an_arc_with_a_far_centre_becomes_lines() -> None:
    grid = on_grid(arc_from((0.0, -150_000.0), 150_000.0, math.pi / 2, 0.001))
    assert (grid.motion[2:] == STRAIGHT).all()


def test_numbers_too_long_for_the_controller_are_refused() -> None:
    """GRBL reads eight digits and drops the rest silently (its line reader, reproduced on a host)."""
    on_grid(cut((LINE, (99_999.0, 0.0, 0.0), None, 0.0, 600.0)))
    with pytest.raises(CapabilityError, match="8 digits"):
        on_grid(cut((LINE, (100_000.0, 0.0, 0.0), None, 0.0, 600.0)))
    with pytest.raises(CapabilityError, match="8 digits"):
        on_grid(cut((LINE, (1.0, 0.0, 0.0), None, 0.0, 1e8)))


def test_a_feed_that_rounds_to_nothing_is_refused() -> None:
    with pytest.raises(CapabilityError, match="rounds to 0"):
        on_grid(cut((LINE, (1.0, 0.0, 0.0), None, 0.0, 0.04)))


def test_the_kernel_is_its_plain_self(monkeypatch: pytest.MonkeyPatch) -> None:
    inner = grid_kernel._lay_arc
    rng = np.random.default_rng(11)
    sweep = rng.uniform(-6.2, 6.2, 40)
    begin = rng.uniform(0, 6, 40)
    for turn, angle in zip(sweep, begin, strict=True):
        program = arc_from((1.23456, 2.34567), 3.45678, angle, turn)
        legal = legalise(program, machine_for(GRBL), GRBL.capabilities, GRBL.words).program
        rows = grid_kernel.Rows(legal.kind, legal.end, legal.centre, legal.sweep, legal.feed)
        rule = grid_kernel.Rule(
            1.0, 1000.0, 10.0, 1e8, 1e8, False, grid_kernel.ABOUT_CENTRE, 2.0, 4.5, 1e8, 0.0, 0.0
        )  # fmt: skip
        results = []
        for function in (grid_kernel.lay_rows, getattr(grid_kernel.lay_rows, "py_func", grid_kernel.lay_rows)):
            out = (
                np.zeros(64, np.uint8),
                np.zeros((64, 3), np.int64),
                np.zeros((64, 2), np.int64),
                np.zeros(64, np.int64),
                np.zeros(64, np.int64),
            )
            work = grid_kernel.Work(np.full(3, np.nan), np.full(3, UNKNOWN), np.zeros((grid_kernel.DEEPEST + 1, 2)))
            count = function(rows, rule, grid_kernel.Laid(*out), work)
            monkeypatch.setattr(grid_kernel, "_lay_arc", getattr(inner, "py_func", inner))
            results.append((count, *[column[:count].tolist() for column in out]))
        assert results[0] == results[1]
