"""Chamfered edges: cut as promised, neither more nor less, in every board that the job accepts."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import pathkit as pk
from pathkit.model.job import Feature
from pathkit.operations import bevels, chamfer, contour, moved, pocket, rectangle
from pathkit.operations.contour import Direction
from pathkit.proof.checks.gouges import bevelled

MACHINES = {name: pk.load_machine(name) for name in ("grbl-front-left", "portrait-inch")}
# One file for all bits, so that one text is looked at.
MACHINES["grbl-front-left"] = replace(
    MACHINES["grbl-front-left"], output={**MACHINES["grbl-front-left"].output, "tool_change": "pause"}
)
CUTTING = pk.Cutting(feed=1000.0, plunge=300.0, spindle=16000.0)
MILL = pk.Tool("4 mm end mill", 4.0, number=1, centre_cutting=True)
VEE = pk.Tool("vee", 12.0, number=2, kind="vee", angle=90.0, centre_cutting=True)
STOCK = pk.Stock(120.0, 90.0, 8.0, z_zero="bed", underlay=2.0, thickness_tolerance=0.3)
OUTLINE = moved(rectangle((0.0, 0.0), 60.0, 40.0, radius=6.0), (30.0, 20.0))
RECESS = rectangle((40.0, 28.0), 24.0, 20.0, radius=3.0)
ISLAND = pk.Curve.circle((52.0, 38.0), 4.0)
THROUGH = STOCK.underside - 0.3


def board(
    *, vee: pk.Tool = VEE, cut_with: pk.Tool | None = None, line: pk.Curve = OUTLINE, width: float = 1.0,
    without: str = "", lower: float = 0.0, direction: Direction = "climb",
) -> pk.Job:  # fmt: skip
    """A plate with a recess that has an island: outline, rim and island bevelled."""
    bit = cut_with or vee
    edge = STOCK.top
    edges: list[tuple[str, pk.Curve, Any]] = [
        ("edge", OUTLINE, "outside"), ("rim", RECESS, "inside"), ("land", ISLAND, "outside")
    ]  # fmt: skip
    marks: list[pk.Chamfer] = []
    cuts: list[pk.Toolpath] = []
    for name, curve, side in edges:
        marks += bevels(name, curve, vee, width=1.0, edge=edge, side=side)
        where = line if name == "edge" else curve
        made = chamfer(name, where, bit, CUTTING, width=width, edge=edge, side=side, direction=direction)
        cuts += [replace(path, bottom=path.bottom - lower) for path in made if path.bottom is not None]
    paths = (
        *(path for path in cuts if path.name != without),
        *pocket("recess", RECESS, MILL, CUTTING, bottom=edge - 3.0, stepdown=1.5, islands=[ISLAND], stock=STOCK),
        *(
            replace(path, tabs=(pk.Tab(30.0, 6.0, 2.0), pk.Tab(120.0, 6.0, 2.0)))
            for path in contour("outline", OUTLINE, MILL, CUTTING, bottom=THROUGH, stepdown=3.0)
        ),
    )
    part = pk.Part("plate", OUTLINE, (Feature(RECESS, edge - 3.0, (ISLAND,)),), chamfers=tuple(marks))
    return pk.Job("board", STOCK, paths, parts=(part,))


def proved(job: pk.Job, machine: str = "grbl-front-left") -> pk.Proof:
    program = pk.lower(job, MACHINES[machine])
    return pk.verify(pk.post(program, MACHINES[machine]), program, MACHINES[machine], job=job)


def failed(job: pk.Job) -> set[str]:
    return {check.name for check in proved(job).checks if check.status == "failed"}


@pytest.mark.parametrize("machine", MACHINES)
@pytest.mark.parametrize("angle", [60.0, 90.0, 140.0])
def test_a_sound_board_raises_nothing(machine: str, angle: float) -> None:
    proof = proved(board(vee=replace(VEE, angle=angle)), machine)
    assert proof.ok, [str(finding) for finding in proof.findings if finding.severity == "error"]
    assert proof["chamfered edges"].figures["chamfers"] == 3
    assert proof["chamfered edges"].status == "passed"


def test_walls_may_be_cut_before_or_after() -> None:
    job = board()
    later = [path for path in job.toolpaths if path.role != "outline"]
    later.sort(key=lambda path: path.role == "chamfer")
    outline = [path for path in job.toolpaths if path.role == "outline"]
    assert proved(replace(job, toolpaths=(*later, *outline))).ok


def moved_line(by: float) -> pk.Curve:
    return moved(OUTLINE, (by, 0.0))


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"without": "edge"}, {"chamfered edges"}),
        ({"without": "rim"}, {"chamfered edges"}),
        ({"without": "land"}, {"chamfered edges"}),
        ({"width": 0.95}, {"chamfered edges"}),
        ({"lower": -0.05}, {"chamfered edges"}),
        ({"line": moved_line(0.05)}, {"chamfered edges", "gouges"}),
        ({"width": 1.05}, {"gouges"}),
        ({"lower": 0.05}, {"gouges"}),
        # The job says one bit, and the part was meant for another.
        ({"cut_with": replace(VEE, angle=80.0)}, {"chamfered edges", "gouges"}),
        ({"line": RECESS}, {"chamfered edges"}),
    ],
    ids=lambda each: "" if isinstance(each, dict) else " and ".join(sorted(each)),
)
def test_what_is_not_as_promised(changes: dict[str, Any], expected: set[str]) -> None:
    found = failed(board(**changes))
    assert expected & found, found
    assert found <= {"chamfered edges", "gouges"}


def test_only_the_new_check_misses_a_chamfer() -> None:
    assert failed(board(without="edge")) == {"chamfered edges"}
    assert failed(board(lower=-0.05)) == {"chamfered edges"}


def test_without_its_promise_a_chamfer_is_a_gouge() -> None:
    job = board()
    (part,) = job.parts
    assert failed(replace(job, parts=(replace(part, chamfers=part.chamfers[1:]),))) == {"gouges"}
    turned = tuple(replace(each, side="inside" if each.side == "outside" else "outside") for each in part.chamfers)
    assert "gouges" in failed(replace(job, parts=(replace(part, chamfers=turned),)))


def test_a_chamfer_that_a_thin_board_would_not_have() -> None:
    job = board()
    (part,) = job.parts
    made = replace(part.chamfers[0], bottom=STOCK.lowest_top)
    findings = proved(replace(job, parts=(replace(part, chamfers=(made,)),))).findings
    assert any("the top of the thinnest board lies at" in finding.what for finding in findings)


def test_one_side_of_the_line_by_hand() -> None:
    """At a height h above the foot of a 90 degree vee the band is h wide: 4·40·h less the corners, which are square
    inside the line and quarter circles beyond it."""
    square = rectangle((0.0, 0.0), 40.0, 40.0)
    within = bevelled(pk.Chamfer(square, -2.0, 1.0), -1.0, 0.0)
    beyond = bevelled(pk.Chamfer(square, -2.0, 1.0, side="inside"), -1.0, 0.0)
    assert within.area == pytest.approx(4.0 * 40.0 - 4.0, abs=1e-9)
    assert beyond.area == pytest.approx(4.0 * 40.0 + math.pi, abs=0.01)
    assert bevelled(pk.Chamfer(square, -2.0, 1.0), -2.0, 0.0) is None
    assert bevelled(pk.Chamfer(square, -2.0, 1.0, top=-1.0), -0.5, 0.0) is None
    # By Pythagoras: at 60 degrees the cone is h / √3 wide.
    steep = bevelled(pk.Chamfer(square, -2.0, 1.0 / math.sqrt(3.0)), -1.0, 0.0)
    wide = 1.0 / math.sqrt(3.0)
    assert steep.area == pytest.approx(4.0 * 40.0 * wide - 4.0 * wide * wide, abs=1e-9)


@st.composite
def polygons(draw: st.DrawFn) -> pk.Curve:
    """Convex ones: places on an ellipse, in order."""
    count = draw(st.integers(3, 8))
    steps = np.array([draw(st.floats(0.6, 1.4)) for _ in range(count)])
    angles = np.cumsum(steps) * 2.0 * math.pi / steps.sum() + draw(st.floats(0.0, math.pi))
    across, along = draw(st.floats(14.0, 28.0)), draw(st.floats(14.0, 24.0))
    return pk.Curve(np.column_stack([60.0 + across * np.cos(angles), 42.0 + along * np.sin(angles)]), closed=True)


@settings(deadline=None, max_examples=15)
@given(
    polygon=polygons(), angle=st.sampled_from([45.0, 60.0, 90.0, 120.0]), width=st.floats(0.6, 1.6),
    plunges=st.booleans(), machine=st.sampled_from(sorted(MACHINES)),
)  # fmt: skip
def test_random_polygons_are_proved(
    polygon: pk.Curve, angle: float, width: float, plunges: bool, machine: str
) -> None:  # fmt: skip
    vee = replace(VEE, angle=angle, centre_cutting=plunges)
    paths = (
        *chamfer("edge", polygon, vee, CUTTING, width=width, edge=STOCK.top, stepdown=1.0),
        *contour("outline", polygon, MILL, CUTTING, bottom=THROUGH, stepdown=3.0),
    )
    part = pk.Part("plate", polygon, chamfers=bevels("edge", polygon, vee, width=width, edge=STOCK.top))
    job = pk.Job("board", STOCK, paths, parts=(part,))
    passes: list[pk.Pass] = [pk.HoldTabs(height=2.0), pk.RampEntries(angle=3.0)]
    proof = proved(pk.Pipeline(passes).run(job, MACHINES[machine]).job, machine)
    assert proof.ok, [str(finding) for finding in proof.findings if finding.severity == "error"]
