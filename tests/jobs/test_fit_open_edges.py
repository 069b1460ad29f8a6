"""Fit and open edges: walls move, an open edge ends in the open; the audit works that out for itself.

No source outside the project defines this. The law is a machinist's: along an open edge nothing is left to
touch, so only what has a wall can be loose or tight. Sizes below are sums by hand.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
import shapely

from pathkit.errors import InputError
from pathkit.jobs.fit import Fit
from pathkit.model.curve import Curve
from pathkit.operations import open_edges, relieve
from tests.jobs.made import audit_of, finished, only, order_of, outline_of, proofs_of, said
from tests.swept import swept

JOB = """
name = "halves"
fit = 0.0
stock = { thickness = 6, z_zero = "bed", underlay = 3 }
board = [{ width = 100, depth = 80 }]
tools.mill = { diameter = 3, number = 1, centre_cutting = true }
cutting.wood = { feed = 1400, plunge = 400, spindle = 18000 }
[[part]]
name = "plate"
shapes.outline.polygon = [[10, 10], [90, 10], [90, 70], [10, 70]]
shapes.recess.polygon = [[30, 50], [60, 50], [60, 70], [30, 70]]
operations = [
  { kind = "pocket", shape = "recess", open_edges = ["outline"], tool = "mill", bottom.from_top = 3 },
  { kind = "contour", shape = "outline", bottom.through = true, tool = "mill", stepdown = 3 },
]
"""
RECESS = "shapes.recess.polygon = [[30, 50], [60, 50], [60, 70], [30, 70]]"
OUTLINE = "shapes.outline.polygon = [[10, 10], [90, 10], [90, 70], [10, 70]]"
OPEN = 'open_edges = ["outline"]'


def with_fit(fit: float, *changes: tuple[str, str]) -> str:
    text = JOB.replace("fit = 0.0", f"fit = {fit}")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


def path(what: str) -> tuple[str, str]:
    return RECESS, f'shapes.recess.path = "{what}"'


DISC = (OUTLINE, "shapes.outline.circle = { centre = [45, 40], radius = 30 }")
ISLAND = (OPEN, f'{OPEN}, islands = ["land"]')
DEEP = "shapes.deep.polygon = [[60, 50], [80, 50], [80, 62], [60, 62]]\n"
SHAPES = {
    "one side": (),
    "a wider mouth": [path("M 30 50 L 60 50 L 70 70 L 20 70 Z")],
    "a narrower mouth": [path("M 20 50 L 70 50 L 62 70 L 28 70 Z")],
    "a corner": [path("M 60 50 L 90 50 L 90 70 L 60 70 Z")],
    "two ends": [path("M 10 30 L 90 30 L 90 50 L 10 50 Z")],
    "two sides and a corner": [path("M 90 10 L 90 70 L 10 70 L 10 60 L 80 60 L 80 10 Z")],
    "the whole edge": [(RECESS, RECESS.replace("[[30, 50], [60, 50], [60, 70], [30, 70]]", OUTLINE.split(" = ")[1]))],
    "half a disc": [path("M 30 70 A 15 15 0 0 1 60 70 Z")],
    "a Bézier": [path("M 30 70 C 30 40 60 40 60 70 Z")],
    "the edge of a disc": [DISC, path("M 35 50 L 57 50 L 57 67.495454 A 30 30 0 0 1 35 68.284271 Z")],
    "a round corner of the part": [
        (OUTLINE, "shapes.outline.rectangle = { corner = [10, 10], width = 80, depth = 60, radius = 8 }"),
        path("M 60 50 L 90 50 L 90 62 A 8 8 0 0 1 82 70 L 60 70 Z")],
    "a deeper recess, along a part of a side": [
        ("operations = [", DEEP + "operations = [\n  { kind = 'pocket', shape = 'deep', bottom.from_top = 4 },"),
        (OPEN, 'open_edges = ["outline", "deep"]')],
    "two alike, open to each other": [
        ("operations = [", DEEP + "operations = [\n  { kind = 'pocket', shape = 'deep', bottom.from_top = 3, "
                                  "open_edges = ['recess'] },"),
        (OPEN, 'open_edges = ["outline", "deep"]')],
    "a line along a part of a side": [
        (RECESS, f"{RECESS}\nshapes.mouth.line = [[35, 70], [55, 70]]"), (OPEN, 'open_edges = ["mouth"]')],
    "an island that ends there": [
        (RECESS, f"{RECESS}\nshapes.land.polygon = [[42, 60], [48, 60], [48, 70], [42, 70]]"), ISLAND],
    "an island that goes on past it": [
        (RECESS, f"{RECESS}\nshapes.land.polygon = [[42, 60], [48, 60], [48, 75], [42, 75]]"), ISLAND],
    "room for pegs": [(OPEN, f"{OPEN}, relief = true")],
    "rings": [(OPEN, f'{OPEN}, style = "rings"')],
    "right through": [("bottom.from_top = 3", "bottom.through = true, stepdown = 3")],
}  # fmt: skip


@pytest.mark.parametrize("fit", [0.0, 0.3, -0.05])
@pytest.mark.parametrize("shape", SHAPES)
def test_every_kind_of_open_edge_is_proved_and_the_audit_agrees(shape: str, fit: float) -> None:
    order = order_of(with_fit(fit, *SHAPES[shape]))
    job = finished(order)
    assert audit_of(order, job) == []
    assert [each for proof in proofs_of(job)[1] for each in said(proof)] == []


@pytest.mark.parametrize("fit", [0.1, -0.1, 0.5, -0.5])
def test_walls_move_by_half_a_fit_and_the_open_edge_a_whole_one_out(fit: float) -> None:
    (recess,) = only(with_fit(fit)).parts[0].recesses
    assert recess.curve.bounds == pytest.approx((30 - fit / 2, 50 - fit / 2, 60 + fit / 2, 70 + abs(fit)), abs=1e-6)
    assert len(recess.curve.sweeps) == 4


@pytest.mark.parametrize("fit", [0.3, -0.3])
@pytest.mark.parametrize("lean", [8.0, -8.0])
def test_a_leaning_wall_goes_on_straight_to_the_part_s_edge(fit: float, lean: float) -> None:
    """The floor that is cut, beside the drawn wall's line moved along its normal, up to the edge as the fit has it."""
    job = only(with_fit(fit, path(f"M 30 50 L 60 50 L {60 + lean} 70 L 30 70 Z")))
    (recess,) = job.parts[0].recesses
    part = shapely.Polygon(outline_of(job.parts[0]).flattened(1e-4))
    floor = shapely.Polygon(recess.curve.flattened(1e-4)).intersection(part)
    across = fit / 2.0 * (lean**2 + 20.0**2) ** 0.5 / 20.0  # along x
    top, low = 70.0 - fit / 2.0, 50.0 - fit / 2.0
    right = [60 + across + (y - 50) * lean / 20.0 for y in (low, top)]
    asked = shapely.Polygon([(30 - fit / 2, low), (right[0], low), (right[1], top), (30 - fit / 2, top)])
    assert floor.symmetric_difference(asked).area < 1e-6


@pytest.mark.parametrize("fit", [0.3, -0.3])
def test_wood_is_taken_to_the_walls_and_through_the_mouth(fit: float) -> None:
    """From the bit's own width along the toolpaths: all of the floor but the fillets of two inside corners."""
    cut = swept(only(with_fit(fit)).toolpaths[:2], "pocket", "finish")
    asked = shapely.box(30 - fit / 2, 50 - fit / 2, 60 + fit / 2, 70 + 1.5)
    fillets = 2.0 * (1.0 - math.pi / 4.0) * 1.5**2
    assert asked.difference(cut).area == pytest.approx(fillets, abs=0.01)
    assert cut.intersection(shapely.box(0, 0, 100, 71.5)).difference(asked).area < 0.01


def test_a_bite_for_a_peg_is_in_no_corner_of_a_mouth() -> None:
    """A corner of a mouth has a wall on one side only; a bite there would only wear it away."""
    for fit in (0.0, 0.2, -0.2):
        (recess,) = only(with_fit(fit, (OPEN, f"{OPEN}, relief = true"))).parts[0].recesses
        arcs = [float(y) for (_, y), sweep in zip(recess.curve.points, recess.curve.sweeps, strict=True) if sweep]
        assert len(arcs) == 2
        assert max(arcs) < 55.0
    square = Curve.polyline([(0, 0), (20, 0), (20, 20), (0, 20)], closed=True)
    assert (relieve(square, 1.5).sweeps != 0.0).sum() == 4
    assert (relieve(square, 1.5, open_edges=Curve.polyline([(0, 0), (20, 0)])).sweeps != 0.0).sum() == 2


@pytest.mark.parametrize("fit", [0.1, -0.1])
def test_a_wall_that_runs_flat_into_its_open_edge_is_refused(fit: float) -> None:
    with pytest.raises(
        InputError, match=r"at \(10.00, 70.00\) a wall runs into its open edge at a flat angle"
    ) as raised:
        only(with_fit(fit, path("M 10 70 L 60 55 L 60 70 Z")))
    assert raised.value.findings[0].line


# Faults between job file and job, seen by the audit alone: the proof believes the job.


def walls_as_drawn(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Fit, "opened", lambda fit, ring, edges, title: (ring, tuple(edges)))


def walls_the_other_way(patch: pytest.MonkeyPatch) -> None:
    real = Fit.opened
    patch.setattr(Fit, "opened", lambda fit, *args: real(Fit(-fit.play), *args))


def the_edge_moves_as_a_wall(patch: pytest.MonkeyPatch) -> None:
    real: Callable[..., Any] = open_edges.with_wider_mouths
    patch.setattr("pathkit.jobs.fit.with_wider_mouths", lambda ring, found, by, name: real(ring, found, 1e-3, name))


def the_mouth_ends_square(patch: pytest.MonkeyPatch) -> None:
    """As past any open edge, where nothing is left to be cut."""
    real: Callable[..., Any] = open_edges._past
    patch.setattr(open_edges, "_further", lambda *args, by, name: real(*args, past=by, name=name))


def a_wall_across_the_mouth(patch: pytest.MonkeyPatch) -> None:
    real: Callable[..., Any] = Fit.opened
    patch.setattr(Fit, "opened", lambda fit, *args: (real(fit, *args)[0], ()))


NARROW = path("M 20 50 L 70 50 L 56 70 L 34 70 Z")


@pytest.mark.parametrize(
    ("seed", "fit", "changes"),
    [(walls_as_drawn, 0.1, []), (walls_the_other_way, 0.1, []), (the_edge_moves_as_a_wall, 0.1, []),
     (the_mouth_ends_square, 0.3, [NARROW]), (the_mouth_ends_square, -0.3, [NARROW]),
     (a_wall_across_the_mouth, 0.3, []), (a_wall_across_the_mouth, -0.3, []), (a_wall_across_the_mouth, 0.0, [])],
)  # fmt: skip
def test_a_seeded_fault_is_found_by_the_audit_alone(
    seed: Any, fit: float, changes: list[Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    seed(monkeypatch)
    order = order_of(with_fit(fit, *changes))
    job = finished(order)
    assert audit_of(order, job)
    assert [each for proof in proofs_of(job)[1] for each in said(proof)] == []
