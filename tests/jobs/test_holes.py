"""Holes of a job file, from one as wide as the bit to three times that: how they are gone into, and what is proved."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import pathkit as pk
from pathkit.errors import InputError, PathkitError
from pathkit.jobs.order import Order
from pathkit.lowering import entries, holes
from pathkit.model.curve import Curve
from pathkit.model.toolpath import LEAST_PITCH, Helix, Peck, Plunge, Toolpath
from pathkit.motion.program import ARC, RAPID
from pathkit.proof.result import CheckResult
from tests.jobs.made import MACHINE, checks_of, finished, order_of, proofs_of

INCHES = pk.load_machine("portrait-inch")
FEWER = settings(max_examples=max(6, settings().max_examples // 4), deadline=None)

TAGS = """
name = "m3"
[stock]
z_zero = "bed"
thickness = 6
underlay = 2
[[board]]
width = {width}
depth = 100
[tools."end mill"]
diameter = {bit}
centre_cutting = {centre}
[cutting.plywood]
feed = 1400
plunge = 400
spindle = 18000
[[part]]
name = "tag"
[part.shapes]
outline.rectangle = {{ width = 60, depth = 40, radius = 6 }}
hole.circle = {{ centre = [{x}, 15], radius = {radius} }}
[[part.operations]]
kind = "drill"
shape = "hole"
bottom.{bottom}
{more}
[[part.operations]]
kind = "contour"
shape = "outline"
bottom.from_top = 6.3
stepdown = 2
"""


def text(
    diameter: float, bit: float = 3.175, *, centre: bool = True, more: str = "stepdown = 2",
    bottom: str = "from_top = 6.3",
) -> str:  # fmt: skip
    at = max(8.0, diameter / 2.0 + bit + 3.0)
    return TAGS.format(
        width=100, bit=bit, centre=str(centre).lower(), x=at, radius=diameter / 2.0, more=more, bottom=bottom
    )


def ordered(text: str) -> tuple[Order, pk.Job]:
    order = order_of(text)
    return order, finished(order)


def audit(order: Order, job: pk.Job) -> list[CheckResult]:
    return [check for check in checks_of(order, job) if check.status != "passed"]


def proved(job: pk.Job, machine: pk.Machine = MACHINE) -> tuple[pk.Program, set[str]]:
    """The job's program, and the checks that fail."""
    program, proofs = proofs_of(job, machine)
    return program, {f.check for proof in proofs for f in proof.findings if f.severity == "error"}


def sound(order: Order, job: pk.Job, machine: pk.Machine = MACHINE) -> pk.Program:
    """The program of a job that is proved and is what the job file asks for."""
    program, failed = proved(job, machine)
    assert not failed
    assert not audit(order, job)
    return program


def hole_of(job: pk.Job) -> Toolpath:
    (hole,) = (path for path in job.toolpaths if path.role == "drill")
    return hole


def with_hole(job: pk.Job, **changes: Any) -> pk.Job:
    return job.with_toolpaths(tuple(replace(p, **changes) if p.role == "drill" else p for p in job.toolpaths))


def plunges(program: pk.Program, job: pk.Job) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """(x, y, from z, to z) of each way straight down at a feed in the hole."""
    rows = [row for row in range(1, len(program)) if program.kind[row] != RAPID
            and program.toolpath[row] >= 0 and job.toolpaths[program.toolpath[row]].role == "drill"
            and program.end[row, 2] < program.end[row - 1, 2] - 1e-9
            and np.allclose(program.end[row, :2], program.end[row - 1, :2])
            and program.kind[row] != ARC]  # fmt: skip
    return np.array([[*program.end[row], program.end[row - 1, 2]] for row in rows])


@pytest.mark.parametrize("machine", [MACHINE, INCHES], ids=lambda machine: machine.name)
def test_a_hole_hardly_wider_than_the_bit_is_plunged_in_its_middle_and_brought_to_size(machine: pk.Machine) -> None:
    """3.2 mm for a bit of 1/8 in: once some 1 500 laps of 0.0125 mm radius and 3 000 lines."""
    order, job = ordered(text(3.2))
    hole = hole_of(job)
    assert isinstance(hole.entry, Plunge)
    assert not hole.may_reverse
    program = sound(order, job, machine)
    down = plunges(program, job)
    assert np.allclose(down[:, :2], [8.0, 15.0])
    # Boards of 5.5 to 6.5 mm on the bed: 6.8 mm at most are left to go, so four levels of at most 2 mm.
    floors = np.concatenate([[8.5], down[:, 2]])
    assert np.allclose(floors, [8.5, 6.8, 5.1, 3.4, 1.7])
    assert np.count_nonzero(program.toolpath == job.toolpaths.index(hole)) < 30


def test_pecks_clear_their_chips_and_none_is_deeper_than_asked() -> None:
    order, job = ordered(text(3.4, more="stepdown = 2\npeck = 1"))
    assert hole_of(job).entry == Peck(1.0)
    program = sound(order, job)
    down = plunges(program, job)
    assert len(down) == 8
    # 0.85 mm each, from the half millimetre above the last at which the rapid ends.
    assert max(down[1:, 3] - down[1:, 2]) == pytest.approx(0.85 + 0.5)
    ups = [row for row in range(len(program)) if program.kind[row] == RAPID and program.end[row, 2] == 9.5]
    assert len(ups) >= 8, "up to the approach height before each bite"


def test_a_wider_hole_is_bored_in_as_few_turns_as_its_angle_allows() -> None:
    """Lead of a helix: π d tan α (textbook geometry of the helix); 6.8 mm at most, 3 degrees, d = 6 − 3.175."""
    order, job = ordered(text(6.0))
    hole = hole_of(job)
    assert hole.entry == Helix(3.0, 2.825)
    assert hole.curve.is_point
    program = sound(order, job)
    turns = program.sweep[(program.toolpath == job.toolpaths.index(hole)) & (program.kind == ARC)]
    laps = math.ceil(6.8 / (math.pi * 2.825 * math.tan(math.radians(3.0))))
    assert turns.sum() / (2.0 * math.pi) == pytest.approx(laps + 1)


@FEWER
@given(
    bit=st.sampled_from([0.5, 1.0, 3.0, 3.175, 6.0]), share=st.floats(1.0, 3.0), centre=st.booleans(),
    more=st.sampled_from(["stepdown = 2", "stepdown = 0.9", "", "stepdown = 1.5\npeck = 1"]),
    bottom=st.sampled_from(["through = true", "from_top = 2.2"]),
)  # fmt: skip
def test_every_hole_up_to_three_bits_is_proved_or_refused_with_what_works(
    bit: float, share: float, centre: bool, more: str, bottom: str
) -> None:
    diameter = round(bit * share, 3)
    asked = text(diameter, bit, centre=centre, more=more, bottom=bottom)
    if not centre and diameter - bit < 0.25 * bit:
        with pytest.raises(PathkitError, match="does not cut at its centre"):
            ordered(asked)
        return
    order, job = ordered(asked)
    hole = hole_of(job)
    program = sound(order, job)
    if isinstance(hole.entry, Helix):
        depth = hole.highest(job.stock) - hole.depths(job.stock)[-1]
        rows = (program.toolpath == job.toolpaths.index(hole)) & (program.kind == ARC)
        falling = rows & (np.concatenate([[0.0], np.diff(program.end[:, 2])]) < -1e-9)
        # 0.05 of the bit's diameter a turn, or a fifth less for a bit that can do nothing else.
        assert program.sweep[falling].sum() <= 2.0 * math.pi * (
            depth / (0.8 * LEAST_PITCH * bit) + len(hole.levels or ())
        )


def test_a_bit_that_cannot_plunge_is_refused_with_what_would_do() -> None:
    with pytest.raises(InputError) as raised:
        ordered(text(3.2, centre=False))
    (finding,) = raised.value.findings
    assert "it cannot go straight down" in finding.what
    assert finding.line is not None
    assert all(each in finding.fix for each in ("at most 2.56 mm", "3.97 mm wide", "centre_cutting = true"))
    for better in (text(3.2, 2.56, centre=False), text(3.97, centre=False), text(3.2)):
        assert not proved(ordered(better)[1])[1]


def test_the_angle_of_a_bore_is_the_jobs() -> None:
    order, job = ordered(text(6.0) + "[passes]\nramp_entries = { angle = 5 }\n")
    assert hole_of(job).entry == Helix(5.0, 2.825)
    sound(order, job)


def test_a_contour_round_so_small_a_hole_is_not_spiralled_down_either() -> None:
    inside = text(3.2).replace('kind = "drill"', 'kind = "contour"\nside = "inside"')
    order, job = ordered(inside)
    (hole,) = (path for path in job.toolpaths if path.curve.length < 1.0)
    assert isinstance(hole.entry, Plunge)
    program = sound(order, job)
    assert np.count_nonzero(program.toolpath == job.toolpaths.index(hole)) < 30


# Faults in what makes the moves: job, program and file agree, so that only a look at what the job asks can tell.


def test_only_the_intent_sees_pecks_deeper_than_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    _, job = ordered(text(3.4, more="stepdown = 2\npeck = 1"))
    real = entries.peck_down
    monkeypatch.setattr(entries, "peck_down", lambda rows, cut, depth, *z: real(rows, cut, 1.7 * depth, *z))
    assert proved(job)[1] == {"asked depths"}


def test_only_the_intent_sees_a_bore_steeper_than_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    _, job = ordered(text(6.0))
    real = entries.turn_down
    monkeypatch.setattr(holes, "turn_down", lambda rows, helix, *more: real(rows, replace(helix, angle=4.0), *more))
    assert proved(job)[1] == {"asked entries"}


def test_levels_deeper_than_the_stepdown_are_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    _, job = ordered(text(3.2))
    monkeypatch.setattr(
        pk.Toolpath, "depths", lambda path, stock: (path.bottom,) if path.role == "drill" else path.levels
    )
    assert "asked depths" in proved(job)[1]


def test_a_ring_left_out_leaves_another_hole() -> None:
    """Straight down alone: file and job agree, and the finished part does not."""
    order, job = ordered(text(3.4))
    hole = hole_of(job)
    middle = with_hole(job, curve=Curve.point(hole.curve.points[0]), reversible=None, levels=None, stepdown=None)
    assert "finished shape" in " ".join(proved(middle)[1])
    assert {check.name for check in audit(order, middle)} >= {"cuts as asked"}


@pytest.mark.parametrize(("bit", "style"), [(0.2, "rows"), (0.5, "rings"), (0.5, "rows")])
def test_the_finest_bits_cut_with_the_defaults(bit: float, style: str) -> None:
    """Pocket, holes and contour, with an allowance of a tenth of the bit; one that is given stays what it is."""
    job_text = text(bit * 1.1, bit, more=f"stepdown = {bit}").replace("[[part.operations]]", (
        f"recess.rectangle = {{ corner = [20, 10], width = {20.3 * bit}, depth = {9.3 * bit}, radius = {bit} }}\n"
        f'[[part.operations]]\nkind = "pocket"\nshape = "recess"\nstyle = "{style}"\n'
        f"bottom.from_top = {3 * bit}\nstepdown = {bit}\n[[part.operations]]"
    ), 1)  # fmt: skip
    order, job = ordered(job_text.replace("stepdown = 2", "stepdown = 0.5"))
    sound(order, job)
    if style == "rows":
        with pytest.raises(InputError, match=r"allowance of 0\.2 mm leaves wood standing"):
            ordered(job_text.replace('kind = "pocket"', 'kind = "pocket"\nwall_allowance = 0.2'))
