"""Files for a beam: what is wrong with one is found, and by the checks that are for it."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString

import pathkit as pk
from pathkit import registry
from pathkit.lowering import lower as lowering
from pathkit.lowering.beam import lower_beam
from pathkit.operations import burn
from pathkit.proof.verify import BEAM_CHECKS, FOR_BITS, verify

BEAM = pk.Tool("blue beam", 0.2, kind="beam")
CUT, MARK = pk.Cutting.by_beam(feed=600.0, power=0.9), pk.Cutting.by_beam(feed=1800.0, power=0.25)
STOCK = pk.Stock(120.0, 80.0, 3.0)
MACHINE = replace(pk.load_machine("grbl-front-left"), dialect="grbl-beam")
MILL = pk.load_machine("grbl-front-left")
MINE = {check.name for check in BEAM_CHECKS}


def label(passes: int = 2) -> pk.Job:
    """A label of a cable-tidy plate: its number, and the cut round it."""
    digits = [LineString([(30, 30), (40, 30), (40, 45)]), LineString([(50, 30), (50, 45)])]
    paths = burn("number", digits, BEAM, MARK, height=STOCK.top)
    paths += burn("edge", pk.Curve.circle((45, 38), 25.0), BEAM, CUT, height=STOCK.top, passes=passes)
    return pk.Job("label", STOCK, paths)


JOB = label()
PROGRAM = pk.lower(JOB, MACHINE)
POSTED = pk.post(PROGRAM, MACHINE)
LINES = POSTED.text.splitlines()


def failed(text: str, program: pk.Program = PROGRAM, job: pk.Job = JOB) -> set[str]:
    proof = pk.verify(text, program, MACHINE, job=job)
    return {check.name for check in proof.checks if check.status == "failed"}


def test_a_good_file_passes_and_what_is_for_bits_is_not_called_proved() -> None:
    proof = pk.verify(POSTED, PROGRAM, MACHINE, job=JOB)
    assert proof.ok
    assert {check.name for check in proof.checks if check.status == "passed"} >= MINE | {"same path", "feeds", "job"}
    assert set(proof.unproved) == FOR_BITS
    assert all("not known" in proof[name].reason for name in FOR_BITS)
    assert proof["beam"].figures == {"least_power": 0.25, "most_power": 0.9}
    assert pk.verify_twin(pk.air_cut(POSTED, MACHINE), POSTED, MACHINE).ok


def test_the_words_of_the_file() -> None:
    """GRBL's wiki, "Grbl v1.1 Laser Mode" (from memory): M4 for power that follows the speed, S beside the moves."""
    code = [line for line in LINES if not line.startswith("(")]
    assert [line for line in code if "M" in line] == ["S0 M4", "M5", "M5 M9", "M2"]
    power = 0.0
    for line in code:
        power = float(found[1]) if (found := re.search(r"S(\d+)", line)) else power
        if line.startswith("G0 "):
            assert power == 0.0
        elif line.startswith("G1 "):
            assert power in (250.0, 900.0)
    lit = np.flatnonzero(PROGRAM.kind != pk.RAPID)
    assert PROGRAM.power is not None
    assert set(PROGRAM.power[lit]) == {0.25, 0.9}
    # Once down to the lines, once up from them: a beam need not rise to travel.
    assert len(np.unique(PROGRAM.end[:, 2])) == 2
    assert (np.diff(PROGRAM.end[:, 2]) != 0.0).sum() == 2


def edited(old: str, new: str, count: int = 0) -> str:
    text, times = re.subn(old, new, POSTED.text, count=count, flags=re.MULTILINE)
    assert times
    return text


FAULTS: dict[str, tuple[str, set[str]]] = {
    "no S0 on the way": (edited(r"^(G0 X.*) S0$", r"\1"), {"beam", "power"}),
    "M3, which burns at a standstill": (edited("^S0 M4$", "S0 M3"), {"beam"}),
    "never switched off": (edited("^M5( M9)?$", r"M9"), {"beam"}),
    "never switched on": (edited("^S0 M4$", "S0"), MINE),
    "another power for a line": (edited("S250", "S260", 1), {"power", "every line"}),
    "more than full power": (edited("S900", "S2000"), MINE),
    "one digit lost": (edited("S900", "S90"), {"power", "every line"}),
    "a pause with the beam on": (edited(r"^(G0 X.* S0)$", r"\1\nM0", 1), {"beam", "events"}),
    # The two sides are compared from event to event, so here the path is another too.
    "switched off half way": (edited("^(G1 .*S900)$", r"\1\nM5"), {"same path", "every line"}),
    "a wait with constant power": (edited("^(G1 .*S900)$", r"\1\nM3\nG4 P1\nM4"), {"beam", "events"}),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_faults_in_the_text(fault: str) -> None:
    text, by = FAULTS[fault]
    assert failed(text) == by


@pytest.mark.parametrize("fault", ["no S0 on the way", "M3, which burns at a standstill", "never switched off",
                                   "more than full power", "a pause with the beam on"])  # fmt: skip
def test_what_is_dangerous_is_found_in_the_text_alone(fault: str) -> None:
    text, _ = FAULTS[fault]
    proof = verify(text, None, MACHINE, registry.capabilities_of(MACHINE), rules_only=True)
    assert proof["beam"].status == "failed"
    assert all(finding.line for finding in proof["beam"].findings)


def test_a_missing_feed_is_refused() -> None:
    assert "controller" in failed(edited(r" F1800", "", 1))


def _spoilt(how: Callable[[pk.Program], pk.Program], monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """What fails if lowering itself is wrong, in the file and where the proof lowers the job again."""
    monkeypatch.setattr(lowering, "lower_beam", lambda *given: how(lower_beam(*given)))
    program = pk.lower(JOB, MACHINE)
    return failed(pk.post(program, MACHINE).text, program)


def _without(program: pk.Program, kept: np.ndarray) -> pk.Program:
    at = np.cumsum([0, *kept])[program.event_at]
    return program.take(kept, event=program.event, event_at=at)


def _of(name: str) -> np.ndarray:
    return np.array(PROGRAM.toolpath == PROGRAM.names.index(name))


def one_pass_less(program: pk.Program) -> pk.Program:
    edge = np.flatnonzero(_of("edge"))
    kept = np.ones(len(program), dtype=bool)
    kept[edge[: len(edge) // 2]] = False
    return _without(program, kept)


def a_gap(program: pk.Program) -> pk.Program:
    power = np.array(program.power)
    power[np.flatnonzero(_of("edge"))[5]] = 0.0
    return program.replace(power=power)


def exchanged(program: pk.Program) -> pk.Program:
    power = np.array(program.power)
    power[_of("number 2")] = 0.9
    return program.replace(power=power)


def too_fast(program: pk.Program) -> pk.Program:
    return program.replace(feed=np.where(_of("edge"), 900.0, program.feed))


def moved(program: pk.Program) -> pk.Program:
    end = np.array(program.end)
    end[:, 0] += 0.1
    return program.replace(end=end)


def lowered(program: pk.Program) -> pk.Program:
    end = np.array(program.end)
    end[end[:, 2] == STOCK.top, 2] -= 0.5
    return program.replace(end=end)


def a_line_too_much(program: pk.Program) -> pk.Program:
    way = np.flatnonzero((program.kind == pk.RAPID) & (program.end[:, 2] == STOCK.top))[-1]
    kind, feed, power = np.array(program.kind), np.array(program.feed), np.array(program.power)
    kind[way], feed[way], power[way] = pk.LINE, 600.0, 0.9
    return program.replace(kind=kind, feed=feed, power=power)


@pytest.mark.parametrize(
    "how", [one_pass_less, a_gap, exchanged, too_fast, moved, lowered, a_line_too_much], ids=lambda how: how.__name__
)
def test_faults_of_lowering_are_found_by_the_job_alone(
    how: Callable[[pk.Program], pk.Program], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert _spoilt(how, monkeypatch) == {"every line"}


def test_a_good_lowering_fails_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    assert _spoilt(lambda program: program, monkeypatch) == set()


places = st.tuples(st.integers(2, 110), st.integers(2, 70)).map(lambda xy: (float(xy[0]), float(xy[1])))


@given(st.lists(st.lists(places, min_size=2, max_size=6, unique=True), min_size=1, max_size=4), st.integers(1, 3))
def test_lines_that_cross_and_lie_on_each_other_are_counted_rightly(
    lines: list[list[tuple[float, float]]], passes: int
) -> None:
    shapes = [LineString(line) for line in lines]
    job = pk.Job("any", STOCK, burn("line", shapes, BEAM, MARK, height=0.0, passes=passes))
    program = pk.lower(job, MACHINE)
    for units in ("mm", "inch"):
        machine = replace(MACHINE, output={"units": units})
        proof = pk.verify(pk.post(program, machine), program, machine, job=job)
        assert proof["every line"].status == "passed", [str(finding) for finding in proof.findings]
    # The same with one pass more is another job.
    more = pk.Job("any", STOCK, burn("line", shapes, BEAM, MARK, height=0.0, passes=passes + 1))
    posted = pk.post(program, MACHINE)
    proof = pk.verify(posted.text, program, MACHINE, job=more)
    assert proof["every line"].status == "failed"


def test_orientation_and_scale_of_s_change_nothing() -> None:
    for axes in (pk.Axes("left", "toward", "up"), pk.Axes("away", "right", "up"), pk.Axes("right", "away", "down")):
        for speed, most in (("byte", 255.0), ("percent", 100.0), (12000, 12000.0)):
            machine = replace(MACHINE, axes=axes, left_handed=axes.left_handed, output={"speed": speed})
            posted = pk.post(PROGRAM, machine)
            proof = pk.verify(posted, PROGRAM, machine, job=JOB)
            assert proof.ok, [str(finding) for finding in proof.findings]
            said = {float(found) for found in re.findall(r"S([\d.]+)", posted.text)}
            assert max(said) == pytest.approx(0.9 * most, abs=0.5)


@pytest.mark.parametrize(
    "output",
    [{"arcs": "none"}, {"decimals": 2}, {"line_end": "crlf"}, {"file_names": "8.3"}, {"line_numbers": True},
     {"modal": False, "modal_feed": False}, {"fixed_decimals": True}, {"units": "inch", "speed": "percent"}],
    ids=str,
)  # fmt: skip
def test_what_a_profile_changes_is_proved(output: dict[str, str | int | bool]) -> None:
    machine = replace(MACHINE, output=output)
    posted = pk.post(PROGRAM, machine)
    proof = pk.verify(posted, PROGRAM, machine, job=JOB)
    assert proof.ok, [str(finding) for finding in proof.findings]
    assert pk.verify_twin(pk.air_cut(posted, machine), posted, machine).ok


def test_a_bit_and_a_beam_are_not_taken_for_each_other() -> None:
    with pytest.raises(pk.CapabilityError, match="no beam"):
        pk.post(PROGRAM, MILL)
    bit = pk.Tool("3 mm", 3.0, centre_cutting=True)
    groove = pk.Toolpath("g", pk.Curve.polyline([(10, 10), (40, 10)]), bit,
                         pk.Cutting(feed=900.0, plunge=300.0, spindle=9000.0), bottom=-1.0)  # fmt: skip
    with pytest.raises(pk.CapabilityError, match="a beam and no spindle"):
        pk.post(pk.lower(pk.Job("g", STOCK, (groove,)), MILL), MACHINE)
    with pytest.raises(pk.ProfileError, match="speed"):
        pk.post(PROGRAM, replace(MACHINE, output={"speed": "rpm"}))


def test_powers_that_cannot_be_written_are_refused() -> None:
    faint = pk.Cutting.by_beam(feed=600.0, power=0.0004)
    job = pk.Job("faint", STOCK, burn("x", LineString([(5, 5), (9, 5)]), BEAM, faint, height=0.0))
    with pytest.raises(pk.CapabilityError, match="rounds to S0"):
        pk.post(pk.lower(job, MACHINE), MACHINE)
    for power in (np.full(len(PROGRAM), np.nan), np.full(len(PROGRAM), -0.1), np.zeros(3)):
        with pytest.raises(pk.InputError, match="power"):
            PROGRAM.replace(power=power)


def test_what_stands_on_the_board_is_refused() -> None:
    from shapely.geometry import box

    clamp = pk.Zone(box(0, 0, 10, 10), "clamp", height=12.0)
    job = replace(JOB, stock=replace(STOCK, zones=(clamp,)))
    with pytest.raises(pk.Refused, match="stands on the board"):
        pk.lower(job, MACHINE)


def test_a_pause_puts_the_beam_out_and_then_back() -> None:
    row = int(np.flatnonzero(_of("edge"))[3])
    at = np.searchsorted(PROGRAM.event_at, row, side="left")
    events = [*PROGRAM.event[:at], pk.Pause("look"), *PROGRAM.event[at:]]
    program = PROGRAM.replace(event=events, event_at=np.insert(PROGRAM.event_at, at, row))
    posted = pk.post(program, MACHINE)
    lines = posted.text.splitlines()
    pause = lines.index("M0")
    assert lines[pause - 2 : pause + 2] == ["M5", "(pathkit: look)", "M0", "S0 M4"]
    assert "S900" in lines[pause + 2]
    proof = pk.verify(posted, program, MACHINE)
    assert {c.name for c in proof.checks if c.status == "failed"} == set()
    assert pk.verify_twin(pk.air_cut(posted, MACHINE), posted, MACHINE).ok


def test_no_round_trip_of_a_program_loses_its_power() -> None:
    import copy
    import pickle

    assert pickle.loads(pickle.dumps(PROGRAM)) == copy.deepcopy(PROGRAM) == PROGRAM
    assert PROGRAM.replace(power=None) != PROGRAM
    assert PROGRAM.replace(power=None) != PROGRAM
    assert PROGRAM.take(slice(3)).power is not None
    assert math.isclose(pk.run_time(PROGRAM, MACHINE).total, pk.run_time(PROGRAM, MILL).total)
