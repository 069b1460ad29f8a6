"""What holds an improved file against the one that it was made from finds what nothing else would."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

import pathkit as pk
from pathkit.proof.bites import no_deeper_bite
from pathkit.proof.same_cuts import Cutter, same_cuts
from tests.tuning import written

MACHINE = pk.load_machine("grbl-front-left")
BIT = pk.Tool("3 mm", 3.0, centre_cutting=True)
BOARD = pk.Stock(200.0, 150.0, 9.0, underlay=3.0, thickness_tolerance=0.0)
TEXT = written.text(
    [*written.square(20, 20, 30, (-1, -2)), *written.rows(80, 20, 40, 6, 2.0), *written.drilled([(150.0, 30.0)])]
)


def cutter(program: pk.Program, called: str = "it") -> Cutter:
    return Cutter(program, np.zeros(len(program), np.int32), called)


@pytest.fixture(scope="module")
def lifted() -> pk.Lifted:
    return pk.lift(pk.read_any(TEXT).program, MACHINE, bits=BIT, stock=BOARD)


def without(job: pk.Job, name: str) -> pk.Job:
    kept = [path for path in job.toolpaths if path.name != name]
    return replace(job, toolpaths=tuple(kept), precedence=())


def shifted(path: pk.Toolpath, by: float) -> pk.Toolpath:
    points = path.curve.points.copy()
    points[:, 0] += by
    return replace(path, curve=pk.Curve(points, path.curve.sweeps, path.curve.closed))


FAULTS: dict[str, Callable[[pk.Toolpath], pk.Toolpath | None]] = {
    "a cut is lost": lambda path: None,
    "a cut is not so deep": lambda path: replace(path, levels=None, bottom=path.lowest + 0.05),
    "a cut is deeper": lambda path: replace(path, levels=None, bottom=path.lowest - 0.05),
    "a cut lies aside": lambda path: shifted(path, 0.05),
}


@pytest.mark.parametrize("at", [0, 1, 2])
@pytest.mark.parametrize("fault", FAULTS)
def test_each_fault_in_each_cut_is_found(lifted: pk.Lifted, fault: str, at: int) -> None:
    path = lifted.job.toolpaths[at]
    if "deep" in fault and path.curve.is_trace:
        pytest.skip("a trace has no bottom of its own")
    worse = FAULTS[fault](path)
    others = [other for other in lifted.job.toolpaths if other is not path]
    job = replace(lifted.job, toolpaths=(*others, *([worse] if worse else [])), precedence=())
    found = same_cuts(cutter(lifted.program), cutter(pk.lower(job, MACHINE)), BOARD.top, 0.01)
    assert found.status == "failed"
    right = same_cuts(cutter(lifted.program), cutter(pk.lower(lifted.job, MACHINE)), BOARD.top, 0.01)
    assert right.status == "passed", right.findings


def test_it_names_the_line_of_the_file_that_was_lost(lifted: pk.Lifted) -> None:
    hole = lifted.job.toolpaths[-1]
    found = same_cuts(
        cutter(lifted.program), cutter(pk.lower(without(lifted.job, hole.name), MACHINE)), BOARD.top, 0.01
    )
    assert [TEXT.splitlines()[each.line - 1] for each in found.findings if each.line] == ["G1 Z-5.0 F200"]


def test_a_cut_by_another_bit_is_found(lifted: pk.Lifted) -> None:
    again = pk.lower(lifted.job, MACHINE)
    other = Cutter(again, np.ones(len(again), np.int32), "it")
    assert same_cuts(cutter(lifted.program), other, BOARD.top, 0.01).status == "failed"


def test_a_bit_that_is_not_known_is_not_proved(lifted: pk.Lifted) -> None:
    unknown = Cutter(lifted.program, np.full(len(lifted.program), -1, np.int32), "it")
    assert same_cuts(unknown, unknown, BOARD.top, 0.01).status == "not proved"


def test_only_the_bites_tell_that_a_deep_cut_came_first() -> None:
    text = written.text([*written.square(20, 20, 30, (-2,)), *written.square(20, 20, 30, (-4,))])
    lifted = pk.lift(pk.read_any(text).program, MACHINE, bits=BIT, stock=BOARD)
    (path,) = lifted.job.toolpaths
    parts = [replace(path, name=f"at {z}", levels=(z,), bottom=z, free_start=False) for z in (-4.0, -2.0)]
    wrong = pk.lower(replace(lifted.job, toolpaths=tuple(parts)), MACHINE)
    file, made = cutter(lifted.program, "the file"), cutter(wrong, "what was made of it")
    assert same_cuts(file, made, BOARD.top, 0.01).status == "passed"
    found = no_deeper_bite(file, made, lifted.job)
    assert found.status == "failed"
    assert "4.00 mm deep at once here, in the file 2.00 mm" in found.findings[0].what
    right = cutter(pk.lower(lifted.job, MACHINE), "what was made of it")
    assert no_deeper_bite(file, right, lifted.job).status == "passed"


def test_bites_do_not_depend_on_how_moves_are_parted() -> None:
    text = written.text(written.rows(20, 20, 40, 4, 2.0))
    program = pk.lift(pk.read_any(text).program, MACHINE, bits=BIT, stock=BOARD).program
    fine = text.replace("G1 X60.000", "\n".join(f"G1 X{20 + k * 0.1:.3f}" for k in range(1, 401)))
    lifted = pk.lift(pk.read_any(fine).program, MACHINE, bits=BIT, stock=BOARD)
    both = cutter(program), cutter(lifted.program)
    assert no_deeper_bite(*both, lifted.job).status == no_deeper_bite(*both[::-1], lifted.job).status == "passed"


def test_rapids_of_the_file_through_wood_are_told_and_become_cuts() -> None:
    text = written.text(["G0 X20 Y20", "G1 Z-2 F300", "G0 X60", "G1 Y40 F600", "G0 Z6"])
    tuned = pk.tune(text, MACHINE, bits=BIT, stock=BOARD)
    assert tuned.proof.ok, tuned.proof.findings
    (told,) = tuned.proof["no deeper bite"].findings
    assert told.severity == "warning"
    assert "2.00 mm of wood at rapid, in line 6" in told.what
    assert (tuned.program.kind[tuned.program.end[:, 2] < 0.0] != pk.RAPID).all()


def test_steep_curves_in_space_are_held_in_the_plan() -> None:
    text = (
        "G21 G90 G94 G17\nS16000 M3\nG0 Z6\nG0 X20 Y20\nG1 Z-1 F300\nG18 G2 X34 Z-1 I7 K0 F600\nG17\nG0 Z12\nM5\nM30\n"
    )
    tuned = pk.tune(text.replace("G0 Z6", "G0 Z12"), MACHINE, bits=BIT, stock=BOARD)
    assert tuned.proof.ok, tuned.proof.findings


def test_findings_are_put_into_the_file_that_has_the_line() -> None:
    """Where each bit has a file of its own, a line of the joined text is none of theirs."""
    text = written.text([*written.square(20, 20, 30, (-2,)), *written.square(20, 20, 30, (-4,))])
    lifted = pk.lift(pk.read_any(text).program, MACHINE, bits=BIT, stock=BOARD)
    (path,) = lifted.job.toolpaths
    deep = pk.lower(replace(lifted.job, toolpaths=(replace(path, levels=(-5.0,), bottom=-5.0),)), MACHINE)
    made = cutter(deep, "what was made of it")._replace(placed=lambda each: replace(each, file="second.nc", line=7))
    file = cutter(lifted.program, "the file")
    same, bites = same_cuts(file, made, BOARD.top, 0.01), no_deeper_bite(file, made, lifted.job)
    assert {(each.file, each.line) for each in same.findings if each.what.startswith("what was made")} == {
        ("second.nc", 7)
    }
    assert [(each.file, each.line) for each in bites.findings] == [("second.nc", 7)]
