"""What was judged once holds for files that make the same moves on the bench, and for no others."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest

import pathkit as pk
from pathkit import api
from pathkit.lowering import lower
from pathkit.machine.profile import Axes
from pathkit.motion.program import Note
from pathkit.operations import contour, pocket, rectangle
from pathkit.proof.evidence import Evidence, ProofCheck, gather
from pathkit.proof.judged import READ, Judged
from pathkit.proof.verify import CHECKS
from pathkit.registry import capabilities_of

STOCK = pk.Stock(160, 120, 6, z_zero="bed", underlay=3)
BIT = pk.Tool("3 mm end mill", 3.0, centre_cutting=True)
FEEDS = pk.Cutting(feed=1400, plunge=400, spindle=16000)
PLATE, TRAY = rectangle((20, 20), 90, 60, radius=4), rectangle((40, 35), 40, 20, radius=3)
KEPT = [one for one in CHECKS if one.kept]

HERE = pk.load_machine("grbl-front-left")
THERE = replace(HERE, name="there", origin="back-right", axes=Axes("left", "toward"))


@pytest.fixture(scope="module")
def job() -> pk.Job:
    cuts = pocket("tray", TRAY, BIT, FEEDS, bottom=STOCK.top - 2, stepdown=2, stock=STOCK)
    cuts += contour("outline", PLATE, BIT, FEEDS, bottom=STOCK.through(0.3), stepdown=3)
    part = pk.Part("plate", PLATE, recesses=(pk.Feature(TRAY, bottom=STOCK.top - 2),))
    drawn = pk.Job("plate", STOCK, cuts, parts=(part,))
    return pk.Pipeline([pk.HoldTabs(), pk.RampEntries(angle=3)]).run(drawn, HERE).job


def proof_of(job: pk.Job, machine: pk.Machine, judged: Judged | None, text: bytes | None = None) -> pk.Proof:
    program = pk.lower(job, HERE)
    posted: Any = pk.post(program, machine) if text is None else text
    return api.verify_files(posted, program, machine, job=job, judged=judged)[0]


def counted(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the checks whose verdicts are kept, each time one is judged."""
    seen: list[str] = []
    original = Judged.once

    def once(self: Judged, name: str, evidence: Evidence, work_out: Any, keep: Any) -> Any:
        def counting() -> Any:
            seen.append(name)
            return work_out()

        return original(self, name, evidence, counting, keep)

    monkeypatch.setattr(Judged, "once", once)
    return seen


def test_the_same_moves_from_another_zero_are_judged_once(job: pk.Job, monkeypatch: pytest.MonkeyPatch) -> None:
    seen = counted(monkeypatch)
    judged = Judged()
    assert proof_of(job, HERE, judged).as_dict() == proof_of(job, HERE, None).as_dict()
    first = list(seen)
    assert {one.name for one in KEPT} | {"removal"} == set(first)
    proof = proof_of(job, THERE, judged)
    assert seen == first, "nothing was judged again"
    assert {proof[one.name].status for one in KEPT} == {"passed"}
    assert proof.as_dict() == proof_of(job, THERE, None).as_dict()


@pytest.mark.parametrize(("change", "check"), [("deeper", "finished shape"), ("aside", "gouges")])
def test_a_file_that_cuts_otherwise_is_judged_itself(job: pk.Job, change: str, check: str) -> None:
    """One move of one file is wrong: the proof of the right one must not vouch for it."""
    judged = Judged()
    assert proof_of(job, HERE, judged).ok
    text = pk.post(pk.lower(job, HERE), HERE).files[0].data
    lines = text.split(b"\n")
    if change == "deeper":
        # Every level of the outline that goes through ends 0.5 mm above the bed's waste.
        bottom = f"Z{STOCK.through(0.3):g}".encode()
        assert any(bottom in line for line in lines)
        lines = [line.replace(bottom, b"Z4") for line in lines]
    else:
        at = next(k for k, line in enumerate(lines) if line.startswith((b"G1 X", b"X")))
        at += next(k for k, line in enumerate(lines[at:]) if line.startswith(b"X"))
        lines.insert(at, b"X80 Y50")
    proof = proof_of(job, HERE, judged, b"\n".join(lines))
    alone = proof_of(job, HERE, None, b"\n".join(lines))
    assert proof.as_dict() == alone.as_dict()
    assert not proof.ok
    if change == "deeper":
        assert proof[check].status == "failed"


def test_what_is_wrong_is_never_kept(job: pk.Job) -> None:
    """Findings name lines of their own file."""
    wrong = replace(job, toolpaths=tuple(replace(p, bottom=5.0) if "outline" in p.name else p for p in job.toolpaths))
    judged = Judged()
    here, there = proof_of(wrong, HERE, judged), proof_of(wrong, THERE, judged)
    assert here["finished shape"].findings != ()
    assert there.as_dict() == proof_of(wrong, THERE, None).as_dict()


class Watched:
    """Passes on every attribute, and notes its name."""

    def __init__(self, of: Any, seen: set[str], nested: tuple[str, ...] = (), prefix: str = "") -> None:
        self._of, self._seen, self._nested, self._prefix = of, seen, nested, prefix

    def __getattr__(self, name: str) -> Any:
        value = getattr(self._of, name)
        if name in self._nested:
            return Watched(value, self._seen, self._nested, f"{self._prefix}{name}.")
        self._seen.add(self._prefix + name)
        return value


@pytest.mark.parametrize("one", KEPT, ids=lambda one: one.name)
def test_a_check_whose_verdict_is_kept_reads_only_what_tells_files_apart(job: pk.Job, one: ProofCheck) -> None:
    program = pk.lower(job, HERE)
    evidence = gather(pk.post(program, HERE), program, HERE, capabilities_of(HERE), job=job)
    seen: set[str] = set()
    watched: Any = Watched(evidence, seen, ("capabilities", "machine", "motion"))
    tuple(one.judge(watched))
    assert seen <= READ
    wrong = replace(job, toolpaths=tuple(replace(p, bottom=5.0) if "outline" in p.name else p for p in job.toolpaths))
    program = pk.lower(wrong, HERE)
    watched._of = gather(pk.post(program, HERE), program, HERE, capabilities_of(HERE), job=wrong)
    tuple(one.judge(watched))
    assert seen <= READ


def test_only_so_much_is_kept(job: pk.Job) -> None:
    judged = Judged(most=2)
    proof_of(job, HERE, judged)
    assert len(judged._kept) == 2


def _shifted(column: str, by: float) -> Any:
    def change(evidence: Evidence) -> Evidence:
        moves = evidence.reading.program
        values = np.array(getattr(moves, column))
        row = int(np.flatnonzero(np.isfinite(values.reshape(len(values), -1)).all(axis=1) & (moves.kind == pk.ARC))[0])
        values[row] += by
        return replace(evidence, reading=replace(evidence.reading, program=moves.replace(**{column: values})))

    return change


OTHERWISE: dict[str, Any] = {
    **{f"{column} by {by:g}": _shifted(column, by) for column in ("end", "centre", "sweep", "feed") for by in (0.001,)},
    "a line for an arc": lambda e: replace(
        e,
        reading=replace(
            e.reading,
            program=e.reading.program.replace(
                kind=np.where(e.reading.program.kind == pk.ARC, pk.LINE, e.reading.program.kind)
            ),
        ),
    ),
    "another event": lambda e: replace(
        e,
        reading=replace(
            e.reading,
            program=e.reading.program.replace(event=(Note("another"), *e.reading.program.event[1:])),
        ),
    ),
    "an event less": lambda e: replace(
        e,
        reading=replace(
            e.reading,
            program=e.reading.program.replace(
                event=e.reading.program.event[1:], event_at=e.reading.program.event_at[1:]
            ),
        ),
    ),
    "another board": lambda e: replace(e, stock=replace(STOCK, thickness_tolerance=0.2)),
    "another job": lambda e: replace(e, job=replace(e.job, name="other")),
    "chords": lambda e: replace(e, capabilities=replace(e.capabilities, arcs="none")),
    "no helices": lambda e: replace(e, capabilities=replace(e.capabilities, helical=not e.capabilities.helical)),
    "other decimals": lambda e: replace(e, capabilities=replace(e.capabilities, decimals={"mm": 4, "inch": 5})),
    "wider arcs": lambda e: replace(
        e, machine=replace(e.machine, motion=replace(e.machine.motion, arc_tolerance=0.009))
    ),
}


@pytest.mark.parametrize("change", OTHERWISE.values(), ids=OTHERWISE)
def test_whatever_a_kept_check_may_look_at_tells_files_apart(job: pk.Job, change: Any) -> None:
    """Without a program, so that no move is told apart by the toolpath that it agrees with."""
    text = pk.post(pk.lower(job, HERE), HERE).files[0].data
    evidence = gather(text, None, HERE, capabilities_of(HERE), job=job)
    again = gather(text, None, HERE, capabilities_of(HERE), job=job)
    assert again.alike == evidence.alike
    assert change(again).alike != evidence.alike


def test_a_job_is_lowered_once_for_machines_that_lowering_cannot_tell_apart(
    job: pk.Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    judged = Judged()
    lowered: list[str] = []
    whole = lower.lower

    def counted(job: pk.Job, machine: pk.Machine, setup: pk.Setup | None = None) -> pk.Program:
        lowered.append(machine.name)
        return whole(job, machine, setup)

    here, there = (replace(one, park=None, change=None) for one in (HERE, THERE))
    monkeypatch.setattr(lower, "lower", counted)

    def judged_job(machine: pk.Machine, program: pk.Program) -> str:
        posted = pk.post(program, machine)
        return api.verify_files(posted, program, machine, job=job, judged=judged)[0]["job"].status

    program = whole(job, here)
    assert judged_job(here, program) == judged_job(there, program) == "passed"
    assert lowered == [here.name]
    higher = replace(here, heights=pk.Heights(20.0, 1.0))
    parked = replace(there, park=(5.0, 5.0))
    late = replace(here, spindle=pk.SpindleControl(spin_up=9.0))
    # The program of one machine is not that of another that travels higher, parks, or waits longer.
    assert [judged_job(other, program) for other in (higher, parked, late)] == 3 * ["failed"]
    assert [judged_job(other, whole(job, other)) for other in (higher, parked, late)] == 3 * ["passed"]


def test_lowering_reads_of_a_machine_what_a_kept_program_is_known_by(job: pk.Job) -> None:
    seen: set[str] = set()

    class Watched(pk.Machine):
        def __getattribute__(self, name: str) -> Any:
            seen.add(name)
            return super().__getattribute__(name)

    plain = replace(HERE, park=None, change=None)
    watched = Watched(**{f.name: getattr(plain, f.name) for f in fields(pk.Machine)})
    seen.clear()
    lower.lower(job, watched)
    assert seen & {f.name for f in fields(pk.Machine)} == {"heights", "spindle", "park", "change"}
