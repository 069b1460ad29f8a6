"""Fit: every finished wall moves by half of it; the audit works that out for itself; nonsense is refused.

No source outside the project defines a fit. Its law is a machinist's: a bit that measures d, told to cut for d − f,
leaves its wall f / 2 further in. Sizes below are sums by hand.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LinearRing, Polygon

import pathkit as pk
from pathkit.errors import InputError
from pathkit.jobs import chamfers, edges
from pathkit.jobs.fit import Fit
from pathkit.jobs.reading import job_file_of
from pathkit.model.curve import Curve
from tests.jobs.made import audit_of, finished, only, order_of, proofs_of, said
from tests.swept import swept

JOB = """
name = "joint"
fit = 0.0
stock = { thickness = 6, z_zero = "bed", underlay = 3 }
board = [{ width = 120, depth = 90 }]
tools.mill = { diameter = 3, number = 1, centre_cutting = true }
tools.vee = { diameter = 6, kind = "vee", angle = 90, number = 2 }
tools.drill = { diameter = 4, kind = "drill", number = 3 }
cutting.wood = { feed = 1400, plunge = 400, spindle = 18000 }
[[part]]
name = "plate"
shapes.outline.polygon = [[10, 10], [90, 10], [90, 35], [80, 35], [80, 45], [90, 45], [90, 70], [10, 70]]
shapes.recess.rectangle = { corner = [15, 15], width = 20, depth = 20 }
shapes.isle.rectangle = { corner = [22, 22], width = 5, depth = 5, radius = 1 }
shapes.window.rectangle = { corner = [40, 15], width = 20, depth = 12, radius = 2 }
shapes.round.circle = { centre = [70, 22], radius = 4 }
shapes.dot.circle = { centre = [20, 60], radius = 2 }
shapes.spot.points = [[30, 60]]
shapes.line.line = [[40, 60], [60, 60]]
shapes.thread.line = [[40, 50], [60, 50]]
shapes.mark.line = [[40, 40], [60, 40]]
operations = [
  { kind = "pocket", shape = "recess", islands = ["isle"], relief = true, tool = "mill", bottom.from_top = 3 },
  { kind = "contour", shape = "window", side = "inside", tool = "mill", bottom.through = true },
  { kind = "drill", shape = "round", tool = "mill", bottom.from_top = 4 },
  { kind = "drill", shape = ["dot", "spot"], tool = "drill", bottom.from_top = 4 },
  { kind = "slot", shape = "line", width = 5, tool = "mill", bottom.from_top = 3 },
  { kind = "slot", shape = "thread", tool = "mill", bottom.from_top = 3 },
  { kind = "engrave", shape = "mark", tool = "mill", bottom.from_top = 1 },
  { kind = "chamfer", shape = "outline", width = 1, tool = "vee" },
  { kind = "chamfer", name = "rim", shape = "recess", side = "inside", width = 1, tool = "vee" },
  { kind = "contour", shape = "outline", relief = true, bottom.through = true, tool = "mill", stepdown = 2, lead = 2 },
]
"""


def with_fit(fit: float, text: str = JOB) -> str:
    return text.replace("fit = 0.0", f"fit = {fit}")


def sizes(curve: Curve) -> tuple[float, float]:
    left, front, right, back = curve.bounds
    return round(right - left, 6), round(back - front, 6)


@pytest.mark.parametrize("fit", [0.1, -0.1, 0.3])
def test_openings_grow_by_the_fit_and_what_stays_shrinks_by_it(fit: float) -> None:
    (part,) = only(with_fit(fit)).parts
    assert part.outline is not None
    assert sizes(part.outline) == pytest.approx((80 - fit, 60 - fit), abs=1e-6)
    (isle,) = part.recesses[0].islands
    assert sizes(isle) == pytest.approx((5 - fit, 5 - fit), abs=1e-6)
    hole, dot, spot, line, thread = part.recesses[1:]
    assert sizes(hole.curve) == pytest.approx((8 + fit, 8 + fit), abs=1e-6)
    assert sizes(line.curve) == pytest.approx((25 + fit, 5 + fit), abs=1e-6)
    assert sizes(part.holes[0].curve) == pytest.approx((20 + fit, 12 + fit), abs=1e-6)
    # What has its size from the bit alone keeps it.
    assert [sizes(each.curve) for each in (dot, spot, thread)] == [(4.0, 4.0), (4.0, 4.0), (23.0, 3.0)]


def test_nothing_moves_from_its_place() -> None:
    def middles(text: str) -> list[Any]:
        (part,) = only(text).parts
        every = [part.outline, *(each.curve for each in (*part.recesses[1:], *part.holes))]
        return [np.round(np.add(each.bounds[:2], each.bounds[2:]) / 2.0, 6).tolist() for each in every if each]

    assert middles(with_fit(0.3)) == middles(JOB)


@pytest.mark.parametrize("fit", [0.0, 0.05, -0.05, 0.3, -0.3])
def test_a_job_with_a_fit_is_proved_and_the_audit_agrees(fit: float) -> None:
    order = order_of(with_fit(fit))
    job = finished(order)
    assert audit_of(order, job) == []
    assert [each for proof in proofs_of(job)[1] for each in said(proof)] == []


@pytest.mark.parametrize("fit", [0.1, -0.1])
def test_wood_is_taken_where_the_moved_walls_say(fit: float) -> None:
    """From the bit's own width along the toolpaths, beside the drawn window grown by shapely."""
    text = with_fit(fit)
    window = Polygon([(40, 15), (60, 15), (60, 27), (40, 27)]).buffer(-2).buffer(2 + fit / 2.0, quad_segs=64)
    paths = [path for path in finished(order_of(text)).toolpaths if "window" in path.name]
    cut = swept(paths, "outline", "pocket", "finish", "cut")
    edge = shapely.union_all([shapely.Polygon(part.exterior) for part in shapely.get_parts(cut)])
    assert edge.symmetric_difference(window).area < 0.005 * window.length


@given(st.sampled_from([-0.4, -0.1, -0.05, 0.05, 0.2, 0.5]))
def test_a_fit_cuts_as_if_the_bit_were_that_much_narrower(fit: float) -> None:
    """The bit's centre runs the same way for (bit d, fit f) and for a bit of d − f, except round sharp corners: those
    move as far as their walls, √2 f / 2, and a round of the other radius goes about them."""
    text = JOB.replace("lead = 2", "lead = 0").replace("relief = true, ", "")
    text = text.replace('side = "inside", tool', 'side = "inside", core = "keep", tool')
    narrow = text.replace("diameter = 3,", f"diameter = {3 - fit:g},")
    one, other = only(with_fit(fit, text)).by_name, only(narrow).by_name
    for name in ("plate window", "plate outline"):
        a, b = (LinearRing(job[name].curve.flattened(1e-4)) for job in (one, other))
        assert a.hausdorff_distance(b) < (2**0.5 - 1.0) * abs(fit) / 2.0 + 2e-3


# Faults between job file and job. Each is seen by the audit alone: the proof believes the job.


def wrong_sign(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Fit, "aside", property(lambda fit: -fit.play / 2.0))


def across_on_each_side(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Fit, "aside", property(lambda fit: fit.play))


def no_holes(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Fit, "hole", lambda fit, diameter, form, tool, *, sized: diameter)


def drills_too(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Fit, "hole", lambda fit, diameter, form, tool, *, sized: diameter + max(fit.play, 0.0))


def no_slots(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Fit, "slot", lambda fit, width, bit: width or bit)


def no_outlines(patch: pytest.MonkeyPatch) -> None:
    real = Fit.wall
    patch.setattr(
        Fit, "wall", lambda fit, ring, title, *, stays: ring if stays else real(fit, ring, title, stays=stays)
    )


def islands_grow(patch: pytest.MonkeyPatch) -> None:
    real = Fit.walls
    patch.setattr(Fit, "walls", lambda fit, rings, title, *, stays: real(fit, rings, title, stays=not stays))


def chamfers_on_the_drawn_edge(patch: pytest.MonkeyPatch) -> None:
    real: Any = chamfers.as_cut
    patch.setattr(chamfers, "as_cut", lambda *args: real(*args[:-1], Fit()))


def bites_at_the_drawn_corner(patch: pytest.MonkeyPatch) -> None:
    def wall(walls: edges.Walls, ring: Curve, title: str, *, outside: bool = False) -> Curve:
        return walls.fit.wall(
            edges.relieved(ring, walls.form, walls.radius, title, outside=outside), title, stays=outside
        )

    patch.setattr(edges.Walls, "wall", wall)


def everything_as_drawn(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Fit, "__init__", lambda fit, play=0.0: object.__setattr__(fit, "play", 0.0))


@pytest.mark.parametrize(
    "seed",
    [wrong_sign, across_on_each_side, no_holes, no_slots, no_outlines, islands_grow, chamfers_on_the_drawn_edge,
     bites_at_the_drawn_corner, everything_as_drawn],
)  # fmt: skip
@pytest.mark.parametrize("fit", [0.1, -0.1])
def test_a_seeded_fault_of_the_fit_is_found(seed: Any, fit: float, monkeypatch: pytest.MonkeyPatch) -> None:
    seed(monkeypatch)
    try:
        order = order_of(with_fit(fit))
    except InputError as error:
        # A chamfer beside its wall is seen before any audit.
        assert "its bit would cut what is to stay" in str(error)  # noqa: PT017
    else:
        assert audit_of(order, finished(order))


def test_drilled_holes_that_are_widened_all_the_same_are_found(monkeypatch: pytest.MonkeyPatch) -> None:
    # The drill is taken for an end mill: else it is refused before any audit.
    drills_too(monkeypatch)
    monkeypatch.setattr("pathkit.jobs.toolpaths.bore", lambda *args, **options: _bored(*args, **options))
    order = order_of(with_fit(0.1))
    assert any("hole" in each for each in audit_of(order, finished(order)))


def _bored(name: str, centre: Any, diameter: float, tool: pk.Tool, cutting: Any, **options: Any) -> Any:
    from pathkit.operations.bore import bore

    mill = replace(tool, kind="flat", centre_cutting=True)
    return tuple(replace(path, tool=tool) for path in bore(name, centre, diameter, mill, cutting, **options))


@pytest.mark.parametrize("size", ["0.05", '"0.002in"', "-0.05", "0"])
def test_a_fit_may_have_its_unit(size: str) -> None:
    read = JOB.replace("fit = 0.0", f"fit = {size}")
    assert abs(job_file_of(read, "j.toml").form.fit) <= 0.0508


@pytest.mark.parametrize(
    ("fit", "said"),
    [("0.02", "at least 0.05"), ("-0.049", "at least 0.05"), ("0.6", "0.5"), ("1", "0.5"), ("nan", "fit"),
     ('"loose"', "unit"), ("true", "number")],
)  # fmt: skip
def test_a_fit_that_makes_no_sense_is_refused_at_its_line(fit: str, said: str) -> None:
    with pytest.raises(InputError, match=said) as raised:
        job_file_of(JOB.replace("fit = 0.0", f"fit = {fit}"), "j.toml")
    assert [(f.line, f.path) for f in raised.value.findings] == [(3, "$.fit")]


@pytest.mark.parametrize(
    ("old", "new", "fit", "said"),
    [
        ("width = 5, tool", "width = 3, tool", -0.1, "2.9 mm wide.*fit = -0.1 has moved its walls"),
        ("radius = 4 }", "radius = 1.5 }", -0.1, "2.9 mm wide.*fit = -0.1 has moved its walls"),
        ("width = 5, depth = 5, radius = 1", "width = 0.3, depth = 5", 0.4, "fit = 0.4 closes it"),
        ("width = 20, depth = 12, radius = 2", "width = 20, depth = 0.3", -0.4, "fit = -0.4 closes it"),
    ],
)  # fmt: skip
def test_what_a_fit_closes_or_the_bit_cannot_cut_is_refused(old: str, new: str, fit: float, said: str) -> None:
    with pytest.raises(InputError, match=said) as raised:
        only(with_fit(fit, JOB.replace(old, new)))
    assert all(finding.line for finding in raised.value.findings)


@pytest.mark.parametrize(("fit", "stays"), [(0.4, False), (-0.4, True)])
def test_two_walls_that_a_fit_brings_together_are_refused(fit: float, stays: bool) -> None:
    slit = [(5.2, 10), (5.2, 6), (7, 6), (7, 3), (3, 3), (3, 6), (4.9, 6), (4.9, 10)]
    ring = Curve.polyline([(0, 0), (10, 0), (10, 10), *slit, (0, 10)], closed=True)
    assert Fit(fit / 2.0).wall(ring, "c", stays=stays).closed
    with pytest.raises(InputError, match="its walls meet"):
        Fit(fit).wall(ring, "c", stays=stays)


@pytest.mark.parametrize(
    ("fit", "stays", "apart"), [(0.2, False, 1), (-0.2, True, 1), (0.2, True, -1), (-0.2, False, -1)]
)
def test_corners_stay_corners(fit: float, stays: bool, apart: int) -> None:
    """An L with a corner that points in: each vertex moves by 0.1 mm along x and along y."""
    drawn = np.array([(0, 0), (30, 0), (30, 10), (10, 10), (10, 20), (0, 20)], dtype=float)
    out = np.array([(-1, -1), (1, -1), (1, 1), (1, 1), (1, 1), (-1, 1)]) * 0.1 * apart
    moved = Fit(fit).wall(Curve.polyline(drawn, closed=True), "L", stays=stays)
    assert not moved.sweeps.any()
    assert sorted(np.round(moved.points, 6).tolist()) == sorted(np.round(drawn + out, 6).tolist())


def test_corners_between_arcs_go_on_straight_and_needles_stay_round() -> None:
    """Two arcs that meet at right angles; a needle of 20 degrees."""
    lens = Curve([(-10, 0), (10, 0)], [np.pi / 2, np.pi / 2], closed=True)
    moved = Fit(0.4).wall(lens, "lens", stays=False)
    # Where the tangents of both arcs, moved by 0.2 mm, meet: √2 times as far off.
    assert moved.bounds[2] == pytest.approx(10 + 0.2 * 2**0.5, abs=1e-6)
    needle = Curve.polyline([(0, 0), (30, -5.29), (30, 5.29)], closed=True)
    assert Fit(0.4).wall(needle, "needle", stays=False).bounds[0] == pytest.approx(-0.2, abs=1e-6)


@pytest.mark.parametrize("fit", [0.05, 0.5, -0.4])
def test_a_part_with_corners_of_every_kind_is_as_asked(fit: float) -> None:
    text = JOB.replace("[90, 70], [10, 70]]", "[90, 70], [40, 70], [25, 64], [10, 70]]").replace("12, radius = 2", "12")
    text = text.replace("relief = true, ", "").replace('"dot", ', "").replace("[[30, 60]]", "[[70, 60]]")
    order = order_of(with_fit(fit, text))
    assert audit_of(order, finished(order)) == []


@pytest.mark.parametrize("fit", [0.0, 0.1, -0.2])
def test_a_notch_that_a_fit_makes_narrower_than_the_bit_is_refused(fit: float) -> None:
    """The notch is 3.1 mm wide, and the bit 3 mm."""
    text = with_fit(
        fit, JOB.replace("[90, 35], [80, 35], [80, 45], [90, 45]", "[90, 35], [80, 35], [80, 38.1], [90, 38.1]")
    )
    text = text.replace('shape = "outline", relief = true,', 'shape = "outline",')
    text = text.replace('  { kind = "chamfer", shape = "outline", width = 1, tool = "vee" },\n', "")
    if fit >= 0.0:
        assert only(text)
        return
    with pytest.raises(InputError, match=r"does not reach.*fit = -0\.2 has moved its walls"):
        only(text)


def test_what_keeps_its_size_is_said() -> None:
    told = [note.what for note in order_of(with_fit(0.1)).notes if "fit" in note.what]
    assert len(told) == 2
    assert "drill makes holes of its own size" in told[0]
    assert "as wide as its bit" in told[1]
    assert [note for note in order_of(JOB).notes if "fit" in note.what] == []
