"""Arcs and lines fitted to runs of short lines, against circles, shapely, scipy and places looked at one by one."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import example, given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import least_squares

import pathkit as pk
from pathkit.curves.fitting import fit
from pathkit.errors import InputError
from pathkit.jobs.demo import demo_machines, demo_passes
from pathkit.motion.program import ARC, RAPID
from tests.demo import demo_plates
from tests.geometry.judged_fits import ROUND, Array, along, chords, circle_of, fit_lines, judge

# --- circles (geometry) ------------------------------------------------------------------------------------------


@given(
    st.floats(0.5, 2000.0),
    st.floats(-7.0, 7.0),
    st.floats(0.7, 5.2),
    st.booleans(),
    st.sampled_from([0.01, 0.002, 0.0005]),
    st.floats(-5.0, 5.0),
)
def test_chords_of_an_arc_become_that_arc(
    radius: float, begin: float, sweep: float, clockwise: bool, sagitta: float, rise: float
) -> None:
    turn = -sweep if clockwise else sweep
    points = chords((30.0, -12.0), radius, begin, turn, sagitta, rise)
    if len(points) <= 4 or abs(turn) / (len(points) - 1) > math.radians(28.8):
        return  # too few to bear witness
    fitted = fit_lines(points)
    assert fitted.sweeps.tolist() == pytest.approx([turn], abs=1e-7)
    centre, found = circle_of(fitted.points[0], fitted.points[1], fitted.sweeps[0])
    assert centre == pytest.approx(30.0 - 12.0j, abs=1e-6)
    assert found == pytest.approx(radius, abs=1e-6)
    assert fitted.points.tolist() == points[[0, -1]].tolist()


@pytest.mark.parametrize("turns", [1, 3])
@pytest.mark.parametrize("rise", [0.0, -6.0])
def test_whole_turns_become_halves(turns: int, rise: float) -> None:
    points = chords((3.0, 4.0), 10.0, 0.0, turns * 2.0 * math.pi, 0.001, rise)
    fitted = fit_lines(points)
    assert len(fitted.sweeps) == 2 * turns
    assert fitted.sweeps == pytest.approx(np.full(2 * turns, math.pi), abs=0.05)
    assert fitted.sweeps.sum() == pytest.approx(turns * 2.0 * math.pi)
    assert fitted.deviation == pytest.approx(0.001, rel=0.05), "the sagitta of its chords"


def off_circle(circle: Array, x: Array, y: Array) -> Array:
    """How far places lie outside a circle (x, y, radius), mm."""
    off: Array = np.hypot(x - circle[0], y - circle[1]) - circle[2]
    return off


@pytest.mark.parametrize("count", [0.001, 0.00254])
@pytest.mark.parametrize("radius", [2.0, 15.0, 120.0])
def test_chords_on_the_grid_of_a_file(radius: float, count: float) -> None:
    """Against the geometric least-squares circle of all vertices, by scipy (Levenberg-Marquardt)."""
    points = np.round(chords((30.0, 20.0), radius, 0.3, 4.0, 0.008) / count) * count
    fitted = fit_lines(points, 0.012)
    assert len(fitted.sweeps) == 1
    centre, found = circle_of(fitted.points[0], fitted.points[1], fitted.sweeps[0])
    best = least_squares(off_circle, [29.0, 21.0, radius], args=points.T[:2]).x
    # Both ends are held, each off by at most 0.71 counts, on an arc of more than half a turn.
    assert abs(centre - complex(best[0], best[1])) <= 2.0 * count
    assert abs(found - best[2]) <= 2.0 * count


def test_shapely_finds_both_as_near_as_is_said() -> None:
    points = np.concatenate([chords((0.0, 0.0), 20.0, 0.0, 2.0), chords((-40.0, 0.0), 30.0, 0.4, -1.5)])
    fitted = fit_lines(points)
    spans = zip(fitted.points, fitted.points[1:], fitted.sweeps, strict=False)
    new = np.concatenate([along(a, b, float(sweep), 400) for a, b, sweep in spans])
    apart = shapely.hausdorff_distance(
        shapely.LineString(points[:, :2]), shapely.LineString(new[:, :2]), densify=1.0 / 500.0
    )
    assert 0.5 * fitted.deviation <= apart <= fitted.deviation + 1e-4
    assert len(fitted.sweeps) == 3, "two arcs, and the line from one to the other"


def test_a_rounded_rectangle_gets_back_its_lines_and_arcs() -> None:
    """Lines cut in pieces, corners in chords: eight spans, joined exactly where they were.

    The last piece of a line is within the tolerance of the arc, but not as near as vertices that were put on it."""
    vertices: list[Array] = []
    for k, (x, y) in enumerate([(50.0, 10.0), (50.0, 40.0), (10.0, 40.0), (10.0, 10.0)]):
        corner = chords((x, y), 5.0, (k - 1) * math.pi / 2.0, math.pi / 2.0, 0.001)
        if vertices:
            vertices.append(np.linspace(vertices[-1][-1], corner[0], 131)[1:-1])
        vertices.append(corner)
    points = np.concatenate([*vertices, np.linspace(vertices[-1][-1], vertices[0][0], 131)[1:]])
    fitted = fit_lines(points)
    assert fitted.sweeps == pytest.approx([math.pi / 2.0, 0.0] * 4, abs=1e-7)
    assert fitted.deviation <= 0.001 + ROUND


# --- polygons, corners, reliefs: what is no arc ------------------------------------------------------------------


@pytest.mark.parametrize("sides", range(3, 13))
@given(radius=st.floats(0.01, 50.0), tolerance=st.floats(0.001, 5.0))
def test_no_polygon_of_few_sides_is_rounded(sides: int, radius: float, tolerance: float) -> None:
    turn = np.arange(sides + 1) * 2.0 * math.pi / sides
    points = np.stack([radius * np.cos(turn), radius * np.sin(turn), np.zeros(sides + 1)], axis=1)
    assert not fit_lines(points, tolerance).sweeps.any()


@pytest.mark.parametrize("sides", [13, 24, 48])
def test_a_polygon_larger_than_the_tolerance_stays_one(sides: int) -> None:
    """The sagitta of a side, r(1 − cos(π/n)), decides (geometry of a circle)."""
    turn = np.arange(sides + 1) * 2.0 * math.pi / sides
    sagitta = 10.0 * (1.0 - math.cos(math.pi / sides))
    points = 10.0 * np.stack([np.cos(turn), np.sin(turn), 0.0 * turn], axis=1)
    assert fit_lines(points, 0.99 * sagitta).first.tolist() == list(range(sides))
    assert fit_lines(points, 1.01 * sagitta).sweeps == pytest.approx([math.pi] * 2, abs=0.5)


def test_a_chamfer_of_three_lines_is_no_arc() -> None:
    """Three symmetrical lines always lie on a circle (an isosceles trapezium is cyclic: Euclid)."""
    points = np.array(
        [[0, 0, 0], [20, 0, 0], [20.02, 0.002, 0], [20.036, 0.018, 0], [20.038, 0.038, 0], [20.038, 20, 0]]
    )
    assert not fit_lines(points, 0.01).sweeps.any()


def test_arcs_that_meet_in_a_corner_stay_two() -> None:
    first = chords((0.0, 0.0), 10.0, 0.0, 1.2, 0.001)
    turn = 1.2 + math.pi / 2.0 + math.radians(25.0)
    centre = first[-1, :2] - 10.0 * np.array([math.cos(turn - math.pi / 2.0), math.sin(turn - math.pi / 2.0)])
    second = chords((centre[0], centre[1]), 10.0, turn - math.pi / 2.0, 1.2, 0.001)
    fitted = fit_lines(np.concatenate([first, second[1:]]), 0.01)
    assert fitted.first.tolist() == [0, len(first) - 1]
    assert fitted.sweeps == pytest.approx([1.2, 1.2])


def test_a_zigzag_along_a_circle_is_no_arc() -> None:
    """Every vertex lies within the tolerance, but the path turns back at each, as no arc does."""
    turn, radius = np.arange(41) * 0.05, 20.0 + np.where(np.arange(41) % 2, 0.02, -0.02)
    points = np.stack([radius * np.cos(turn), radius * np.sin(turn), np.zeros(41)], axis=1)
    assert not fit_lines(points, 0.1).sweeps.any()
    assert fit_lines(points * (20.0 / radius)[:, None], 0.1).first.tolist() == [0]


def test_sideways_and_upright_deviations_add_up() -> None:
    """Lines 0.009 mm inside the arc, and some 0.008 mm above it: together more than 0.01 mm."""
    points = chords((0.0, 0.0), 10.0, 0.0, 2.0, 0.009)
    assert fit_lines(points, 0.01).first.tolist() == [0]
    points[:, 2] = np.where(np.arange(len(points)) % 4 < 2, 0.0, 0.008)
    judge(points, np.zeros(len(points) - 1), np.full(len(points) - 1, 1000.0), 0.01, fit_lines(points, 0.01))


def test_a_line_with_noise_is_a_line() -> None:
    """Also where an arc would do: a line does too."""
    beside = np.random.default_rng(5).uniform(-0.0049, 0.0049, 3000)
    points = np.stack([np.arange(3000.0) * 0.05, beside, np.zeros(3000)], axis=1)
    assert fit_lines(points, 0.01).first.tolist() == [0]


def test_there_and_back_is_not_dropped() -> None:
    points = np.array([[0.0, 0, 0], [1, 0, 0], [2, 0, 0], [1.5, 0, 0], [0, 0, 0], [0, 0, -3], [0, 0, 5]])
    fitted = fit_lines(points)
    assert fitted.first.tolist() == [0, 2, 4, 5]
    assert fitted.deviation == 0.0


def test_lines_are_in_line_in_space() -> None:
    points = np.linspace([0.0, 0.0, 0.0], [10.0, 20.0, -5.0], 41)
    assert fit_lines(points).first.tolist() == [0]
    bent = points + np.array([0.0, 0.0, 1.0]) * np.where(np.arange(41) == 20, 0.02, 0.0)[:, None]
    assert 20 in fit_lines(bent).first


def test_an_arc_that_rises_unevenly_is_none() -> None:
    points = chords((0.0, 0.0), 10.0, 0.0, 2.0, 0.001, 4.0)
    points[:, 2] **= 1.5
    fitted = fit_lines(points)
    assert not any(span > 30 for span in np.diff(fitted.first, append=len(points) - 1))
    judge(points, np.zeros(len(points) - 1), np.full(len(points) - 1, 1000.0), 0.01, fitted)


def test_a_random_relief_is_left_as_it_is() -> None:
    """Rows with heights that no line explains: nothing is in line, and nothing is round."""
    seed = np.random.default_rng(7)
    rows = [np.stack([np.arange(200.0) * 0.3, np.full(200, 0.4 * k), np.zeros(200)], axis=1) for k in range(20)]
    points = np.concatenate([row if k % 2 == 0 else row[::-1] for k, row in enumerate(rows)])
    points[:, 2] = np.where(np.arange(len(points)) % 2, 0.0, -1.0) - seed.uniform(0.1, 0.9, len(points))
    fitted = fit_lines(points)
    assert fitted.first.tolist() == list(range(len(points) - 1))
    assert not fitted.sweeps.any()
    assert fitted.deviation == 0.0


def test_flat_arcs_are_lines() -> None:
    """A radius of 20 m is beyond what controllers calculate well."""
    points = chords((0.0, 0.0), 2e4, 0.0, 0.05, 0.0005)
    fitted = fit_lines(points)
    assert not fitted.sweeps.any()
    assert len(fitted.sweeps) < len(points) / 3


# --- feeds, and arcs that are there ------------------------------------------------------------------------------


def test_a_change_of_feed_ends_a_run() -> None:
    points = chords((0.0, 0.0), 10.0, 0.0, 3.0, 0.001)
    feeds = np.full(len(points) - 1, 900.0)
    feeds[40:] = 600.0
    fitted = fit(points, np.zeros(len(feeds)), feeds)
    assert fitted.first.tolist() == [0, 40]
    assert fitted.feeds.tolist() == [900.0, 600.0]
    assert (fitted.sweeps > 0.0).all()


def test_arcs_of_one_circle_are_joined() -> None:
    turn = np.arange(5) * math.pi / 2.0
    points = np.stack([8.0 * np.cos(turn), 8.0 * np.sin(turn), -0.5 * turn], axis=1)
    fitted = fit(points, np.full(4, math.pi / 2.0), np.full(4, 900.0))
    assert fitted.first.tolist() == [0, 2]
    assert fitted.sweeps == pytest.approx([math.pi, math.pi])
    kept = fit(points, np.full(4, math.pi / 2.0), np.full(4, 900.0), arcs=False)
    assert kept.first.tolist() == [0, 1, 2, 3]


@pytest.mark.parametrize("change", ["radius", "pitch", "way"])
def test_arcs_of_other_circles_are_kept(change: str) -> None:
    points = np.array([[8.0, 0.0, 0.0], [0.0, 8.0, -1.0], [-8.0, 0.0, -2.0]])
    sweeps = np.full(2, math.pi / 2.0)
    if change == "radius":
        points[2, 0] = -8.01
    elif change == "pitch":
        points[2, 2] = -2.01
    else:
        sweeps[1] = -math.pi / 2.0
    fitted = fit(points, sweeps, np.full(2, 900.0))
    assert fitted.first.tolist() == [0, 1]
    assert fitted.sweeps.tolist() == sweeps.tolist()


# --- laws --------------------------------------------------------------------------------------------------------


@st.composite
def paths(draw: st.DrawFn) -> tuple[Array, Array, Array]:
    """Straight stretches, chords, arcs, noise and reliefs, one after the other, at a few feeds."""
    seed = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    points, sweeps, feeds = [np.array([*seed.uniform(-50, 50, 3)])], [], []
    for kind in draw(st.lists(st.sampled_from(["line", "chords", "arc", "noise", "relief", "plunge"]), max_size=7)):
        here = points[-1]
        if kind == "line":
            piece = np.linspace(here, here + seed.normal(size=3) * 8.0, seed.integers(2, 20))
        elif kind == "chords":
            radius, begin, rise = seed.uniform(0.3, 60.0), seed.uniform(0.0, 6.0), seed.choice([0.0, 1.5])
            sagitta = seed.choice([0.012, 0.008, 0.001])
            piece = chords((0.0, 0.0), radius, begin, seed.uniform(-4.0, 4.0), sagitta, rise)
            piece = piece + here - piece[0]
        elif kind == "noise":
            piece = here + np.cumsum(seed.normal(size=(20, 3)) * seed.choice([0.004, 0.05, 1.0]), axis=0)
        elif kind == "relief":
            steps = np.stack([np.full(20, 0.2), np.zeros(20), seed.normal(size=20) * seed.choice([0.003, 0.1])], axis=1)
            piece = here + np.cumsum(steps, axis=0)
        elif kind == "arc":
            piece = np.stack([here, here + np.append(seed.normal(size=2) * 9.0, seed.choice([0.0, 0.7]))])
        else:
            piece = np.stack([here, here - [0.0, 0.0, 1.3]])
        if draw(st.booleans()):
            piece = np.concatenate([piece[:1], np.round(piece[1:], 3)])
        new = piece[1:] if np.array_equal(piece[0], here) else piece
        points += list(new)
        turned = seed.uniform(-5.0, 5.0) if kind == "arc" else 0.0
        sweeps += [turned] * len(new)
        feeds += [float(seed.choice([600.0, 900.0]))] * len(new)
    return np.array(points), np.array(sweeps), np.array(feeds)


@given(paths(), st.sampled_from([0.001, 0.01, 0.05, 0.3]))
def test_neither_path_strays_from_the_other(path: tuple[Array, Array, Array], tolerance: float) -> None:
    points, sweeps, feeds = path
    if len(sweeps):
        judge(points, sweeps, feeds, tolerance, fit(points, sweeps, feeds, tolerance))
        only_lines = fit(points, sweeps, feeds, tolerance, arcs=False)
        judge(points, sweeps, feeds, tolerance, only_lines)
        assert only_lines.sweeps.tolist() == sweeps[only_lines.first].tolist()


@given(st.integers(0, 2**32 - 1), st.floats(0.0, 0.02), st.sampled_from([0.005, 0.02, 0.1]))
@example(3, 0.0, 0.02)
def test_a_smooth_curve_becomes_arcs(seed: int, noise: float, tolerance: float) -> None:
    """A curve whose curvature changes evenly (a clothoid), with noise."""
    draws = np.random.default_rng(seed)
    way = np.linspace(0.0, 60.0, 900)
    heading = draws.uniform(0.0, 6.0) + draws.uniform(-0.02, 0.02) * way + draws.uniform(-0.002, 0.002) * way**2
    steps = np.stack([np.cos(heading), np.sin(heading), np.zeros(900)], axis=1) * (way[1] - way[0])
    points = np.cumsum(steps, axis=0) + draws.uniform(-noise, noise, (900, 3)) * [1.0, 1.0, 0.0]
    fitted = fit_lines(points, tolerance)
    judge(points, np.zeros(899), np.full(899, 1000.0), tolerance, fitted)
    if noise == 0.0:
        assert len(fitted.sweeps) < 60


def demo_chains() -> list[tuple[Array, NDArray[np.bool_], Array]]:
    """Two plates of the demo as their program cuts them, between rapids: vertices with every arc as chords within 0.01
    mm, which lines were an arc, and the feeds."""
    job, machine = demo_plates("plate 01", "plate 02"), demo_machines()[0]
    program = pk.lower(pk.Pipeline(demo_passes(effort=0.1)).run(job, machine).job, machine)
    chains: list[tuple[Array, NDArray[np.bool_], Array]] = []
    cuts = np.flatnonzero(program.kind != RAPID)
    for run in np.split(cuts, np.flatnonzero(np.diff(cuts) > 1) + 1):
        pieces, arcs, feeds = [program.origins[run[:1]]], [np.zeros(0, bool)], [np.zeros(0)]
        for row in run.tolist():
            end, turn = program.end[row : row + 1], float(program.sweep[row])
            if program.kind[row] == ARC:
                centre, here = program.centre[row], program.origins[row]
                arm = here[:2] - centre
                begin, rise = math.atan2(arm[1], arm[0]), float(end[0, 2] - here[2])
                inner = chords((centre[0], centre[1]), math.hypot(*arm), begin, turn, 0.01, rise)[1:-1]
                inner[:, 2] += here[2]
                end = np.concatenate([inner, end])
            pieces.append(end)
            arcs.append(np.full(len(end), program.kind[row] == ARC))
            feeds.append(np.full(len(end), program.feed[row]))
        chains.append((np.concatenate(pieces), np.concatenate(arcs), np.concatenate(feeds)))
    return chains


def test_the_arcs_of_the_demo_come_back() -> None:
    """From a fifth of the lines at most, and no farther off than the chords were."""
    before = after = 0
    for points, arcs, feeds in demo_chains():
        fitted = fit(points, np.zeros(len(feeds)), feeds, 0.01)
        judge(points, np.zeros(len(feeds)), feeds, 0.01, fitted)
        before += int(arcs.sum())
        after += int(np.logical_or.reduceat(arcs, fitted.first).sum())
    assert before > 1000
    assert after <= before / 5


def test_arrays_that_cannot_be_written_are_compiled_for_no_second_time() -> None:
    """numba counts them as another type; those of a program cannot be written, those of a drawing can."""
    from pathkit.curves.fitting_kernel import fit_runs
    from pathkit.curves.settling_kernel import settle

    points, sweeps, feeds = chords((30.0, -12.0), 20.0, 0.0, 4.0), np.zeros(63), np.full(63, 900.0)
    points = points[:64]
    sealed = points.copy(), sweeps.copy(), feeds.copy()
    for array in sealed:
        array.flags.writeable = False
    once = fit(points, sweeps, feeds)
    kernels: list[Any] = [fit_runs, settle]
    known = [list(kernel.signatures) for kernel in kernels]
    assert fit(*sealed).points.tolist() == once.points.tolist()
    assert [list(kernel.signatures) for kernel in kernels] == known


def test_nothing_is_nothing() -> None:
    one = fit(np.zeros((1, 3)), np.zeros(0), np.zeros(0))
    assert len(one.sweeps) == len(one.first) == 0
    two = fit_lines(np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0]]))
    assert two.first.tolist() == [0]
    same = fit_lines(np.zeros((6, 3)))
    assert same.first.tolist() == [0, 1, 2, 3, 4], "what stands still is not for this to judge"


@pytest.mark.parametrize("tolerance", [0.0, -1.0, math.nan])
def test_an_impossible_tolerance_is_refused(tolerance: float) -> None:
    with pytest.raises(InputError, match="never be kept"):
        fit_lines(np.zeros((3, 3)), tolerance)


@pytest.mark.parametrize("seed", [113, 419, 433])
def test_arcs_that_are_joined_stay_as_near_to_the_lines(seed: int) -> None:
    """Half a circle with noise, of which two arcs are made first: both near to the lines, and to each other."""
    turn = np.linspace(0.0, math.pi, 55)
    rough = 20.0 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    rough += np.random.default_rng(seed).uniform(-0.002, 0.002, rough.shape)
    fitted = fit_lines(np.pad(rough, ((0, 0), (0, 1))))
    made = pk.Curve(fitted.points[:, :2], fitted.sweeps).flattened(1e-6)
    lines = shapely.LineString(rough).segmentize(0.05)
    assert shapely.hausdorff_distance(lines, shapely.LineString(made)) <= 0.01 + ROUND
